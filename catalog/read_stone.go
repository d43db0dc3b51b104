package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

func (s spot) stone(code string, x *Stone) {
	x.Code = code
	s.withdrawal("stone", code, x.LastOrder, x.Successor)
	s.in("thickness").above(x.Thickness)
	s.in("lead_days").days(x.LeadDays)
	s.in("weight_within").within(x.Within)
	s.in("largest").largestPiece(x.Largest)
	s.sheets(x.Sheets, false)
	s.buying(x.Buy, Pieces)
}

// largestPiece checks the largest piece of a vendor.
func (s spot) largestPiece(largest *GlassLimit) {
	if largest == nil {
		return
	}
	s.in("width").above(largest.Width)
	s.in("length").above(largest.Length)
	s.notMore("width", largest.Width, "length", largest.Length)
}

// within checks by how much a weight may be off.
func (s spot) within(share unit.Ratio) {
	if share.Sign() < 0 || share.Cmp(unit.RatioOf(1)) >= 0 {
		s.fault(fmt.Sprintf("%s more or less is no weight", share), "write 0 or more and less than 1, such as 5 %")
	}
}

func (r *productReading) stone(b branch, part *Part) {
	s, p := b.s, part.Stone
	r.outline(s, p.Outline())
	r.standing(s, p.Support, p.Tip)
	r.known.compile(s.in("edge"), &p.Edge, formula.Text)
	if r.known.compile(s.in("stone"), &p.Stone, formula.Text) {
		r.made(s.in("stone"), b, part, &p.Stone, "stone")
	}
}
