package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Outlines of seats.
//
// Each stands in a rectangle, length L along the front by width W towards the
// back, from which plates and foam are cut. Perimeter P and area A of the
// finished outline are:
//
//	rectangle  P = 2 (L + W)                        A = L·W
//	round      P = pi·L                             A = pi/4·L²
//	trapezoid  P = L + B + 2 sqrt(W² + ((L-B)/2)²)  A = (L + B)/2·W, B the rear length
//	t-shape    P = 2 (L + W)                        A = L·E + B·(W - E), E the ears
//	polygon    P = sum of its sides                 A = half the sum of the cross products
//
// Roots and pi in float64, rounded once to 1 nm and 1 um2 (plane geometry).
// Foam of an outline other than a rectangle is trimmed from its block to half
// foam_oversize around the outline, and weighs by A + P·oversize/2; the corners
// of that margin are left out.
//
// Worked: a round of 16 in has P = 50.265 in and A = 201.06 in2; a trapezoid of
// 22 in before and 16 in behind, 20 in deep, P = 22 + 16 + 2 sqrt(400 + 9) =
// 78.447 in and A = 380 in2.

// seat reckons the finished size of a cushion.
func (r *reckoning) seat(p *catalog.Part) (catalog.Finished, bool) {
	c := p.Cushion
	length, okLength := r.length(p.Path, "length", &c.Length)
	width, okWidth := length, okLength
	if c.Width != nil {
		width, okWidth = r.length(p.Path, "width", c.Width)
	}
	height, okHeight := r.length(p.Path, "height", &c.Height)
	if !okLength || !okWidth || !okHeight {
		return catalog.Finished{}, false
	}
	size := catalog.Finished{Length: length, Width: width, Height: height}
	var x exact
	ok := r.outlineOf(p, &size, &x) && r.settled(p.Path, &x)
	if ok && r.trace && c.Shape != "" && c.Shape != "rectangle" {
		r.note(p.Path, "perimeter", "of a %s %s x %s = %s", c.Shape, length, width, size.Perimeter)
		r.note(p.Path, "area", "of a %s %s x %s = %s", c.Shape, length, width, Surface(size.Area))
	}
	return size, ok
}

func (r *reckoning) outlineOf(p *catalog.Part, size *catalog.Finished, x *exact) bool {
	c, l, w := p.Cushion, size.Length, size.Width
	size.Perimeter = 2 * (l + w)
	switch c.Shape {
	case catalog.ShapeRound:
		size.Perimeter, size.Area = x.float(float64(math.Pi*float64(l))), x.floatArea(float64(math.Pi/4*float64(micrometres(l)*micrometres(l))))
		return true
	case catalog.ShapeTrapezoid:
		rear, ok := r.within(p.Path, "rear length", c.Rear, "length", l)
		if !ok {
			return false
		}
		size.Perimeter = l + rear + x.float(float64(2*root(float64(w), float64(l-rear)/2)))
		size.Area = x.area(l+rear, w) / 2
		return true
	case catalog.ShapeT:
		rear, okRear := r.within(p.Path, "rear length", c.Rear, "length", l)
		ears, okEars := r.within(p.Path, "ears", c.Ears, "width", w)
		if !okRear || !okEars {
			return false
		}
		size.Area = x.area(l, ears) + x.area(rear, w-ears)
		return true
	case catalog.ShapePolygon:
		return r.polygon(p, size, x)
	}
	size.Area = x.area(l, w)
	return true
}

// within is a length that must not be more than another.
func (r *reckoning) within(path, figure string, e *catalog.Expr, of string, most unit.Length) (unit.Length, bool) {
	l, ok := r.length(path, figure, e)
	if ok && l > most {
		r.refuse("cushion.outline", path, "the %s of %s is more than the %s of %s: make it %s or less", figure, l, of, most, most)
		return 0, false
	}
	return l, ok
}

type point struct{ right, back unit.Length }

// polygon reckons an outline given by its corners.
func (r *reckoning) polygon(p *catalog.Part, size *catalog.Finished, x *exact) bool {
	corners := make([]point, len(p.Cushion.Corners))
	for i := range p.Cushion.Corners {
		c := &p.Cushion.Corners[i]
		right, okRight := r.value(p.Path, "corner to the right", &c.Right)
		back, okBack := r.value(p.Path, "corner to the back", &c.Back)
		if !okRight || !okBack {
			return false
		}
		corners[i] = point{right.Length(), back.Length()}
	}
	low, high := corners[0], corners[0]
	for _, c := range corners {
		low = point{min(low.right, c.right), min(low.back, c.back)}
		high = point{max(high.right, c.right), max(high.back, c.back)}
	}
	if low != (point{}) || high != (point{size.Length, size.Width}) {
		r.refuse("cushion.outline", p.Path, "the corners reach from %s to %s along the front and from %s to %s to the back, and not over 0 to the length of %s and 0 to the width of %s: correct them or the size",
			low.right, high.right, low.back, high.back, size.Length, size.Width)
		return false
	}
	if i, j, crossed := crossing(corners); crossed {
		r.refuse("cushion.outline", p.Path, "the side after corner %d meets the side after corner %d: give the corners in turn around the seat, each once", i+1, j+1)
		return false
	}
	perimeter, twice := 0.0, 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		perimeter += root(float64(b.right-a.right), float64(b.back-a.back))
		twice += float64(micrometres(a.right)*micrometres(b.back)) - float64(micrometres(b.right)*micrometres(a.back))
	}
	size.Perimeter, size.Area = x.float(perimeter), x.floatArea(math.Abs(twice)/2)
	return true
}

// crossing finds two sides that meet other than at the corner between them, or
// a side of no length.
func crossing(corners []point) (i, j int, crossed bool) {
	n := len(corners)
	for i := range n {
		a, b := corners[i], corners[(i+1)%n]
		if a == b {
			return i, i, true
		}
		for j := i + 1; j < n; j++ {
			c, d := corners[j], corners[(j+1)%n]
			switch {
			case j == i+1 || i == 0 && j == n-1: // neighbours may fold back on each other
				near, far, other := b, a, d
				if i == 0 && j == n-1 {
					near, far, other = a, b, c
				}
				if turn(far, near, other) == 0 && ahead(near, far, other) {
					return i, j, true
				}
			case meets(a, b, c, d):
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// ahead tells that two corners lie on the same side of near, in a line with it.
func ahead(near, a, b point) bool {
	return float64(float64(a.right-near.right)*float64(b.right-near.right))+float64(float64(a.back-near.back)*float64(b.back-near.back)) > 0
}

// turn is the sign of the turn from a over b to c: 1 left, -1 right, 0 straight.
func turn(a, b, c point) int {
	cross := float64(float64(b.right-a.right)*float64(c.back-a.back)) - float64(float64(b.back-a.back)*float64(c.right-a.right))
	switch {
	case cross > 0:
		return 1
	case cross < 0:
		return -1
	}
	return 0
}

// meets tells that the side from a to b has a point in common with that from c
// to d.
func meets(a, b, c, d point) bool {
	t1, t2, t3, t4 := turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
	if t1 != t2 && t3 != t4 {
		return true
	}
	return t1 == 0 && between(a, b, c) || t2 == 0 && between(a, b, d) || t3 == 0 && between(c, d, a) || t4 == 0 && between(c, d, b)
}

func between(a, b, c point) bool {
	return min(a.right, b.right) <= c.right && c.right <= max(a.right, b.right) && min(a.back, b.back) <= c.back && c.back <= max(a.back, b.back)
}

func micrometres(l unit.Length) float64 { return float64(l) / float64(unit.Micrometre) }
