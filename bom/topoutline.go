package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Outlines of tops, shelves and panes. L is the length, W the width, both of
// the rectangle around the shape; areas in square micrometres, lengths in
// nanometres, each rounded once to a whole grain.
//
//	rectangle  area L·W; front and back L, ends W
//	round      area pi·L²/4; edge pi·L
//	ellipse    area pi·L·W/4; edge by the arithmetic-geometric mean (ellipse.go)
//	racetrack  area (L - W)·W + pi·W²/4; front and back L - W, ends half circles
//	           of pi·W/2; L is at least W
//	boat       straight ends e wide, sides arcs of a circle over the chord L with
//	           the rise h = (W - e)/2, which is at most L/2:
//	           half angle  t = 2·atan(2h/L)
//	           radius      R = L²/8h + h/2 (handbook)
//	           side        2·R·t
//	           area        L·e + 2 segments of R²·(t - sin t·cos t)
//	half       of any of them, cut across the middle of its length: half the
//	           area, half the outer edge, and a mating edge W
//
// Worked: a boat 96 x 44 in with ends of 36 in: h = 4, R = 96²/32 + 2 = 290 in,
// t = 2·atan(8/96) = 0.166282, side 96.4438 in, area 3968.71 in2.

// outline is a finished shape: along and across are the sides of its bounding
// rectangle along and across the grain.
type outline struct {
	shape         string
	length, width unit.Length
	endWidth      unit.Length // of a boat
	along, across unit.Length
	area          unit.Area
	perimeter     unit.Length // without a mating edge
	side, end     unit.Length // edge of one long side and of one end; 0 of a round or an ellipse
	mating        unit.Length // of a half: where it meets the other
}

// outline reckons a shape; for a round, length is the diameter and width is
// nil.
func (r *reckoning) outline(path, grain string, from catalog.Outline) (outline, bool) {
	o := outline{shape: from.Shape}
	if !r.sides(path, from, &o) || !r.shapely(path, &o) {
		return outline{}, false
	}
	var x exact
	o.reckon(&x)
	o.along, o.across = o.length, o.width
	if grain == "width" {
		o.along, o.across = o.width, o.length
	}
	return o, r.settled(path, &x)
}

// sides reckons the sizes that are written.
func (r *reckoning) sides(path string, from catalog.Outline, o *outline) (ok bool) {
	if o.length, ok = r.length(path, "length", from.Length); !ok {
		return false
	}
	if o.width = o.length; from.Width != nil {
		if o.width, ok = r.length(path, "width", from.Width); !ok {
			return false
		}
	}
	if from.EndWidth != nil {
		o.endWidth, ok = r.length(path, "end width", from.EndWidth)
	}
	return ok
}

// shapely refuses sizes that make no such shape.
func (r *reckoning) shapely(path string, o *outline) bool {
	switch rise := o.width - o.endWidth; {
	case o.shape == catalog.Racetrack && o.width > o.length:
		r.refuse("outline.too-short", path, "a racetrack is at least as long as it is wide, and this one is %s by %s: make it %s or longer, or turn the two sizes around", o.length, o.width, o.width)
	case o.shape == catalog.Boat && rise <= 0:
		r.refuse("outline.no-bow", path, "the ends of a boat are narrower than its middle, and these are %s of %s: make them narrower, or the top a rectangle", o.endWidth, o.width)
	case o.shape == catalog.Boat && rise > o.length:
		r.refuse("outline.too-short", path, "the sides of a boat bow out by at most half its length of %s, and these by half of %s: make it %s or longer, or its ends %s or wider",
			o.length, rise, rise, o.width-o.length)
	default:
		return true
	}
	return false
}

// reckon fills in area and edge.
func (o *outline) reckon(x *exact) {
	switch o.shape {
	case catalog.Round:
		o.area, o.perimeter = x.floatArea(CircleArea(o.length)), x.float(float64(math.Pi*float64(o.length)))
	case catalog.Ellipse:
		o.area, o.perimeter = x.floatArea(EllipseArea(o.length, o.width)), x.float(EllipsePerimeter(o.length, o.width))
	case catalog.Racetrack:
		o.area = x.floatArea(RacetrackArea(o.length, o.width))
		o.side, o.end = o.length-o.width, x.float(float64(math.Pi*float64(o.width))/2)
	case catalog.Boat:
		o.area = x.floatArea(BoatArea(o.length, o.width, o.endWidth))
		o.side, o.end = x.float(BoatSide(o.length, o.width, o.endWidth)), o.endWidth
	default:
		o.area, o.side, o.end = x.area(o.length, o.width), o.length, o.width
	}
	if o.perimeter == 0 {
		o.perimeter = 2 * (o.side + o.end)
	}
}

// half is one of the two halves that a shape is cut to across the middle of its
// length.
func (o outline) half(grain string) outline {
	h := o
	h.shape = "half " + o.shape
	h.length, h.area, h.perimeter, h.mating = (o.length+1)/2, o.area/2, (o.perimeter+1)/2, o.width
	if h.side = (o.side + 1) / 2; o.side > 0 {
		h.perimeter = 2*h.side + o.end // so that the profiles add up to it
	}
	h.along, h.across = h.length, h.width
	if grain == "width" {
		h.along, h.across = h.width, h.length
	}
	return h
}

// edges is how much edge the shape has in all, mating edges included.
func (o *outline) edges() unit.Length { return o.perimeter + o.mating }

// text is how the shape is bought: "ellipse 72 in x 40 in".
func (o *outline) text(u Units) string {
	text := u.Shaped(o.shape, o.length, o.width)
	if o.endWidth > 0 {
		text += " with ends of " + u.Length(o.endWidth)
	}
	return text
}

// noteOutline tells how area and edge of a whole shape came about.
func (r *reckoning) noteOutline(path string, o *outline) {
	if !r.trace {
		return
	}
	area, l, w := Surface(o.area), o.length, o.width
	switch o.shape {
	case catalog.Round:
		r.note(path, "outline area", "pi·%s²/4 = %s", l, area)
		r.note(path, "edge length", "pi·%s = %s", l, o.perimeter)
	case catalog.Ellipse:
		r.note(path, "outline area", "pi·%s·%s/4 = %s", l, w, area)
		r.note(path, "edge length", "ellipse of the half axes %s/2 and %s/2, by the arithmetic-geometric mean = %s", l, w, o.perimeter)
	case catalog.Racetrack:
		r.note(path, "outline area", "(%s - %s)·%s + pi·%s²/4 = %s", l, w, w, w, area)
		r.note(path, "edge length", "2·(%s - %s) + pi·%s = %s", l, w, w, o.perimeter)
	case catalog.Boat:
		r.noteBoat(path, o)
	default:
		r.note(path, "outline area", "%s · %s = %s", l, w, area)
		r.note(path, "edge length", "2·(%s + %s) = %s", l, w, o.perimeter)
	}
}

func (r *reckoning) noteBoat(path string, o *outline) {
	l, e, rise := o.length, o.endWidth, (o.width-o.endWidth)/2
	r.note(path, "radius of the sides", "%s²/(8·%s) + %s/2 = %s", l, rise, rise, r.units.Tape(bow(l, o.width, e).radiusLength()))
	r.note(path, "outline area", "%s·%s + 2 segments %s high = %s", l, e, rise, Surface(o.area))
	r.note(path, "edge length", "2 arcs of %s + 2·%s = %s", o.side, e, o.perimeter)
}

// noteHalf tells what a half has of the whole.
func (r *reckoning) noteHalf(path string, whole, half *outline) {
	if r.trace {
		r.note(path, "length of a half", "%s / 2 = %s", whole.length, half.length)
		r.note(path, "edge length of a half", "%s / 2 = %s", whole.perimeter, half.perimeter)
		r.note(path, "mating edge", "%s across the middle", half.mating)
	}
}

// CircleArea is pi·d²/4 in square micrometres, d in nanometres.
func CircleArea(diameter unit.Length) float64 { return EllipseArea(diameter, diameter) }

// EllipseArea is pi·l·w/4 in square micrometres, of the axes l and w in
// nanometres.
func EllipseArea(length, width unit.Length) float64 {
	// A division by a power of two is a product to the compiler, and is written so
	// that no machine fuses it either.
	return float64(float64(math.Pi*float64((float64(length)/1000)*(float64(width)/1000))) / 4)
}

// RacetrackArea is (l - w)·w + pi·w²/4 in square micrometres, of sizes in
// nanometres.
func RacetrackArea(length, width unit.Length) float64 {
	w := float64(width) / 1000
	return float64((float64(length-width)/1000)*w) + CircleArea(width)
}

// arc is a side of a boat: an arc of a circle of the radius in nanometres over
// the chord, of which angle is half the angle at the middle, in radians.
type arc struct{ radius, angle float64 }

func bow(length, width, endWidth unit.Length) arc {
	chord, rise := float64(length), float64(float64(width-endWidth)/2)
	return arc{radius: float64(chord*chord)/float64(8*rise) + float64(rise/2), angle: float64(2 * math.Atan(float64(2*rise)/chord))}
}

func (a arc) radiusLength() unit.Length {
	l, err := unit.LengthFromFloat(a.radius)
	if err != nil { // a side as good as straight
		return math.MaxInt64
	}
	return l
}

// BoatSide is the length in nanometres of one side of a boat.
func BoatSide(length, width, endWidth unit.Length) float64 {
	a := bow(length, width, endWidth)
	return float64(2 * float64(a.radius*a.angle))
}

// BoatArea is the area of a boat in square micrometres, of sizes in nanometres.
func BoatArea(length, width, endWidth unit.Length) float64 {
	a := bow(length, width, endWidth)
	r := a.radius / 1000
	segment := float64(float64(r*r) * (a.angle - float64(math.Sin(a.angle)*math.Cos(a.angle))))
	return float64((float64(length)/1000)*(float64(endWidth)/1000)) + float64(2*segment)
}

// grainName is the direction of a grain as rows say it.
func grainName(grain string) string {
	if grain == "width" {
		return "along the width"
	}
	return "along the length"
}

// SideEdge is how much edge of one profile a piece has.
type SideEdge struct {
	Profile string      `json:"profile"`
	Length  unit.Length `json:"length"`
}

// edges reckons the profile of each side and gives the length of edge by
// profile, in the order front, back, ends. A half has one end.
func (r *reckoning) edges(path string, o *outline, edge string, by *catalog.Edges) ([]SideEdge, bool) {
	if by == nil {
		return nil, true
	}
	ends := 2 * o.end
	if o.mating > 0 {
		ends = o.end
	}
	var list []SideEdge
	for _, side := range []struct {
		name   string
		e      *catalog.Expr
		length unit.Length
	}{{"front", by.Front, o.side}, {"back", by.Back, o.side}, {"ends", by.Ends, ends}} {
		profile := edge
		if side.e != nil {
			text, ok := r.text(path, "edge at the "+side.name, side.e)
			if !ok {
				return nil, false
			}
			profile = text
		}
		list = addEdge(list, profile, side.length)
	}
	return list, true
}

func addEdge(list []SideEdge, profile string, length unit.Length) []SideEdge {
	if length == 0 {
		return list
	}
	for i := range list {
		if list[i].Profile == profile {
			list[i].Length += length
			return list
		}
	}
	return append(list, SideEdge{profile, length})
}
