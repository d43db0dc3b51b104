package catalog

import (
	"fmt"

	"billwright/catalog/formula"
)

// outline checks that a shape has the sizes it needs and no others.
func (r *productReading) outline(s spot, o Outline) {
	r.lengths(s, namedExpr{"length", o.Length}, namedExpr{"width", o.Width}, namedExpr{"end_width", o.EndWidth})
	switch {
	case o.Shape == Round && o.Width != nil:
		s.in("width").fault("a round has no width", "its length is its diameter")
	case o.Shape == Rectangle && o.Width == nil:
		s.fault("a rectangle needs \"width\"", "write it, or shape: round")
	case o.Shape != Round && o.Width == nil:
		s.fault(fmt.Sprintf("%s needs \"width\"", aShape(o.Shape)), "write its size across the length")
	}
	switch {
	case o.Shape == Boat && o.EndWidth == nil:
		s.fault("a boat needs \"end_width\"", "write the width of its straight ends")
	case o.Shape != Boat && o.EndWidth != nil:
		s.in("end_width").fault(fmt.Sprintf("%s has no straight ends", aShape(o.Shape)), "leave it out, or write shape: boat")
	}
}

func aShape(shape string) string {
	if shape == Ellipse {
		return "an ellipse"
	}
	return "a " + shape
}

// edges checks profiles by side, which a shape without sides cannot have.
func (r *productReading) edges(s spot, shape string, e *Edges) {
	if e == nil {
		return
	}
	s = s.in("edges")
	if shape == Round || shape == Ellipse {
		s.fault(fmt.Sprintf("%s has one edge and no sides", aShape(shape)), "write its profile under edge alone")
	}
	if e.Front == nil && e.Back == nil && e.Ends == nil {
		s.fault("no side is named", "write front, back or ends, or leave edges out")
	}
	r.known.compile(s.in("front"), e.Front, formula.Text)
	r.known.compile(s.in("back"), e.Back, formula.Text)
	r.known.compile(s.in("ends"), e.Ends, formula.Text)
}

// standing checks what a top lies on and what is asked about its tipping.
func (r *productReading) standing(s spot, support *Support, tip *Tip) {
	if support != nil {
		s := s.in("support")
		r.lengths(s, namedExpr{"length", &support.Length}, namedExpr{"width", support.Width})
		r.known.compile(s.in("caution_over"), support.Caution, formula.Length) // 0 in: any overhang
		r.known.compile(s.in("most"), support.Most, formula.Length)
	}
	if tip != nil {
		s := s.in("tip")
		r.lengths(s, namedExpr{"base", &tip.Base}, namedExpr{"reach", tip.Reach})
		r.pieces(s.in("feet"), tip.Feet)
	}
}
