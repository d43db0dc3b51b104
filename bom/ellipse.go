package bom

import (
	"math"

	"billwright/catalog/unit"
)

// The edge of an ellipse is 4·a·E(k), a complete elliptic integral, which the
// arithmetic-geometric mean gives to the last place (Gauss, Legendre;
// Abramowitz and Stegun 17.6):
//
//	a0, b0 = half axes,  c0² = a0² - b0²
//	an+1 = (an + bn)/2,  bn+1 = √(an·bn),  cn+1 = (an - bn)/2
//	edge = 2·pi·(a0² - Σ 2^(n-1)·cn²) / lim an
//
// It uses sums, products and roots alone, which are the same on any machine.
// The handbook's approximation by Ramanujan falls short of long ellipses, by
// 0.059 % at 8 to 1 (row G-04); this has no such limit.
//
// Worked: half axes 2 and 1: 9.688448.

// mostMeans bounds the iteration: each doubles the places that are right, and
// the longest ellipse that lengths in nanometres allow needs nine.
const mostMeans = 40

// EllipsePerimeter is the edge in nanometres of an ellipse with the given axes
// in nanometres.
func EllipsePerimeter(length, width unit.Length) float64 {
	a, b := float64(float64(max(length, width))/2), float64(float64(min(length, width))/2)
	// (a + b)·(a - b) loses nothing where the two are close.
	sum := float64(a*a) - float64(float64((a+b)*(a-b))/2)
	for weight, n := 1.0, 0; n < mostMeans; n++ {
		c := float64((a - b) / 2)
		if c <= a*1e-17 {
			break
		}
		a, b = float64((a+b)/2), math.Sqrt(float64(a*b))
		sum -= float64(weight * float64(c*c))
		weight *= 2
	}
	return float64(2*math.Pi*sum) / a
}
