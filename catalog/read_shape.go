package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/unit"
)

// shapedFrom faults a section that a shape is not made from. A section that is
// not known, or whose own shape is faulted, is not faulted again.
func (s spot) shapedFrom(shape string, section *Section) {
	if section == nil || section.Shape == "" {
		return
	}
	s = s.in("section")
	is := fmt.Sprintf("%s is of the shape %s", section.Code, section.Shape)
	from := func(shapes ...string) bool { return slices.Contains(shapes, section.Shape) }
	switch shape {
	case "ring":
		if from("angle") {
			s.fault(section.Code+" is an angle, which is not rolled to a ring here", "a ring is of round, square or flat bar, or of tube")
		}
	case "hoop", "scroll":
		if from("angle") {
			s.fault(fmt.Sprintf("%s is an angle, which is not bent to a %s here", section.Code, shape), fmt.Sprintf("a %s is of round, square or flat bar, or of tube", shape))
		}
	case "drawn":
		if !from("square", "round", "flat") {
			s.fault(is+", which is not drawn out", "draw out square, round or flat bar")
		}
	case "upset":
		if !from("square", "round") {
			s.fault(is+", which is not upset here", "upset square or round bar")
		}
	case "twisted":
		if !from("square", "flat") {
			s.fault(is+", on which a twist does not show or which it would crush", "twist square or flat bar")
		}
	}
}

// hoop checks a rounded rectangle; its corners are bends of 90 degrees.
func (r *productReading) hoop(s spot, b branch, part *Part) {
	h := part.Steel.Hoop
	r.lengths(s, namedExpr{"length", &h.Length}, namedExpr{"width", &h.Width}, namedExpr{"radius", &h.Radius})
	r.jig(s, b, part, &Run{Angle: 90 * deg, Radius: &h.Radius, Jig: h.Jig})
}

func (r *productReading) scroll(s spot, x *Scroll) {
	r.lengths(s, namedExpr{"first", &x.First}, namedExpr{"last", &x.Last})
	s.in("turns").turns(x.Turns)
}

func (r *productReading) twisted(s spot, x *Twisted) {
	r.lengths(s, namedExpr{"length", &x.Length})
	s.in("turns").turns(x.Turns)
	s.in("shortening").loss(x.Shortening)
}

// turns faults turns that nobody makes.
func (s spot) turns(n unit.Ratio) {
	if !s.unread() && (n.Sign() <= 0 || n.Cmp(unit.RatioOf(1000)) > 0) {
		s.fault(fmt.Sprintf("%s turns", n), "write more than 0 and up to 1000")
	}
}

// loss faults a share lost that is below 0 or half or more, which no heat or
// twist takes.
func (s spot) loss(share unit.Ratio) {
	if half, err := unit.NewRatio(1, 2); err == nil && (share.Sign() < 0 || share.Cmp(half) >= 0) {
		s.fault(fmt.Sprintf("%s is no share to lose", share), "write 0 or more and less than 1/2, such as 0.04 or 4 %")
	}
}
