package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

func (r *productReading) drawn(s spot, x *Drawn, section *Section) {
	r.lengths(s, namedExpr{"straight", x.Straight}, namedExpr{"taper", x.Taper})
	if x.Taper == nil && x.Bar == nil {
		s.fault("nothing is drawn out", "write taper, or bar with its length and size")
	}
	if x.End.Sign() < 0 || x.End.Cmp(unit.RatioOf(1)) >= 0 {
		s.in("end").fault(fmt.Sprintf("a taper does not end at %s of the bar", x.End), "write 0 or more and less than 1, such as 1/2")
	}
	if x.Ways != "" && x.Ways != "two" && section != nil && section.Shape == "round" {
		s.in("ways").fault(section.Code+" is round, and tapers on all sides", "write two, or leave it out")
	}
	r.drawnBar(s, x, section)
	r.squareFirst(s, x, section)
}

// drawnBar checks the smaller bar, which takes the place of the taper's end.
func (r *productReading) drawnBar(s spot, x *Drawn, section *Section) {
	if x.Bar == nil {
		return
	}
	if x.End.Sign() != 0 {
		s.in("end").fault("the taper ends at the size of bar", "leave it out")
	}
	if x.Ways != "" {
		s.in("ways").fault("the taper runs into the size of bar", "leave it out")
	}
	s = s.in("bar")
	r.lengths(s, namedExpr{"length", &x.Bar.Length})
	if section == nil || !r.drawable(section) || s.unread() {
		return
	}
	drawn := x.Bar.Section(section)
	if !s.measures(drawn, shapeSizes[drawn.Shape]) {
		return
	}
	large, err := section.CrossSection()
	small, serr := drawn.CrossSection()
	if err == nil && serr == nil && small >= large {
		s.fault(fmt.Sprintf("the bar drawn out has %s in2, and %s that it is drawn from has %s in2", small.SquareInches(4), section.Code, large.SquareInches(4)), "drawing out makes a bar thinner; upset it to make it thicker")
	}
	round := section.Shape == "square" && drawn.Shape == "round" && x.SquareFirst != nil
	if x.Taper != nil && drawn.Shape != section.Shape && !round {
		s.in("shape").fault(fmt.Sprintf("a taper of a %s does not run into a %s", section.Shape, drawn.Shape), "leave the taper out, write the bar's own shape, or write square_first for a square that is drawn round")
	}
	if x.Taper != nil && drawn.Shape == section.Shape && (larger(drawn.Size, section.Size) || larger(drawn.Width, section.Width) || larger(drawn.Thickness, section.Thickness)) {
		s.fault("a side of the bar drawn out is larger than the bar's, so that no taper runs into it", "leave the taper out, or make each side smaller")
	}
}

func (r *productReading) drawable(section *Section) bool {
	return section.Shape == "square" || section.Shape == "round" || section.Shape == "flat"
}

func larger(small, large *unit.Length) bool { return small != nil && large != nil && *small > *large }

// SquareFirst tells that a number is a share of a round taper's length at which
// it may be forged square: a round has pi/4 of the steel of the square around it,
// so that a shorter square taper does not hold the steel of the round one.
func SquareFirst(share unit.Ratio) bool {
	least, err := unit.NewRatio(785_398_164, 1_000_000_000) // pi/4, rounded up to 1e-9
	return err == nil && share.Cmp(least) >= 0 && share.Cmp(unit.RatioOf(1)) <= 0
}

func (r *productReading) squareFirst(s spot, x *Drawn, section *Section) {
	if x.SquareFirst == nil {
		return
	}
	s = s.in("square_first")
	switch {
	case x.Taper == nil:
		s.fault("without a taper nothing is forged square first", "leave it out, or write taper")
	case section != nil && section.Shape != "" && section.Shape != "square":
		s.fault(section.Code+" is not square", "leave it out; a taper has the shape of its bar")
	case x.Ways != "" && x.Ways != "two":
		s.fault("a round tapers on all sides", "write ways: two, or leave it out")
	case x.Bar != nil && x.Bar.Shape != "round":
		s.fault("the taper is round and the bar after it is not", "write shape: round for the bar")
	}
	if !r.known.compile(s, x.SquareFirst, formula.Number) {
		return
	}
	if value, fixed := r.fixed(x.SquareFirst); fixed && !SquareFirst(value.Number()) {
		s.at(x.SquareFirst.Pos).fault(fmt.Sprintf("a round taper is not forged from a square one of %s of its length", value), "write 0.7854 (a quarter of pi, by volume) to 1; 5/6 is taught")
	}
}

func (r *productReading) upset(s spot, x *Upset, section *Section) {
	r.lengths(s, namedExpr{"length", &x.Length}, namedExpr{"head", &x.Head})
	s = s.in("size")
	if s.unread() {
		return
	}
	s.above(x.Size)
	if section == nil || section.Size == nil || x.Size <= 0 || x.Size > *section.Size {
		return
	}
	s.fault(fmt.Sprintf("the head is %s and the bar %s", lengthText(x.Size, r.scope.unit), lengthText(*section.Size, r.scope.unit)), "a head is larger than its bar")
}

// forging checks that what is forged, and nothing else, tells what it loses in
// the fire, so that no figure of shop practice hides in the code.
func (s spot) forging(p *SteelPart) {
	f, forged := p.Forging, p.Drawn != nil || p.Upset != nil
	switch {
	case forged && f == nil:
		s.fault("a drawn or upset piece loses steel in the fire", "write forging with its scale_loss and heats")
	case !forged && f != nil:
		s.in("forging").fault("only a drawn or upset piece is forged", "leave it out")
	}
	if f == nil {
		return
	}
	s = s.in("forging")
	s.in("scale_loss").loss(f.ScaleLoss)
	s.in("hot_cut").notBelow(f.HotCut)
	s.in("temperature").heat(f.Temperature)
	if heats := s.in("heats"); !heats.unread() && (f.Heats < 1 || f.Heats > 100) {
		heats.fault(fmt.Sprintf("a piece is not forged in %d heats", f.Heats), "write 1 to 100")
	}
}
