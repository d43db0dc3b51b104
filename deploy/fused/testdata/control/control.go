// Package control has the one thing that the test must find.
package control

// Fused multiplies and adds without saying that the product is rounded.
func Fused(a, b, c float64) float64 { return a*b + c }

// Apart says so.
func Apart(a, b, c float64) float64 { return float64(a*b) + c }
