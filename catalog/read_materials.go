package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

func (r *reading) materials() {
	entries(r.spot("sections"), r.cat.Sections, func(s spot, code string, x *Section) { s.at(x.Pos).section(code, x) })
	r.roughs()
	entries(r.spot("species"), r.cat.Species, func(s spot, code string, x *Species) { s.at(x.Pos).species(code, x) })
	entries(r.spot("glass"), r.cat.Glass, func(s spot, code string, x *Glass) { s.at(x.Pos).glass(code, x) })
	entries(r.spot("climates"), r.cat.Climates, func(s spot, code string, x *Climate) { s.at(x.Pos).climate(code, x) })
	entries(r.spot("stone"), r.cat.Stone, func(s spot, code string, x *Stone) { s.at(x.Pos).stone(code, x) })
	entries(r.spot("coatings"), r.cat.Coatings, func(s spot, code string, x *Coating) { s.at(x.Pos).coating(code, x) })
	entries(r.spot("fabrics"), r.cat.Fabrics, func(s spot, code string, x *Fabric) { s.at(x.Pos).fabric(code, x) })
	entries(r.spot("foams"), r.cat.Foams, func(s spot, code string, x *Foam) {
		x.Code = code
		s = s.at(x.Pos)
		s.in("lead_days").days(x.LeadDays)
		s.sheets(x.Sheets, true)
		s.buying(x.Buy, sheetsOr(x.Sheets, Volumes))
	})
	entries(r.spot("hardware"), r.cat.Hardware, func(s spot, code string, x *Hardware) { s.at(x.Pos).hardware(code, x) })
}

// roughs checks that rough thicknesses rise, since the first that surfaces to
// a top is the one taken.
func (r *reading) roughs() {
	var before *Rough
	entries(r.spot("rough_thicknesses"), r.cat.Rough, func(s spot, code string, x *Rough) {
		x.Code = code
		s.in("nominal").above(x.Nominal)
		s.in("surfaced").above(x.Surfaced)
		s.notMore("surfaced", x.Surfaced, "nominal thickness", x.Nominal)
		if before != nil && (x.Nominal <= before.Nominal || x.Surfaced <= before.Surfaced) {
			s.fault(fmt.Sprintf("%s is not thicker than %s before it, nominal and surfaced", code, before.Code), "write them from thin to thick")
		}
		before = x
	})
}

func (s spot) species(code string, x *Species) {
	x.Code = code
	s.in("lead_days").days(x.LeadDays)
	s.withdrawal("species", code, x.LastOrder, x.Successor)
	if tenth, _ := unit.NewRatio(1, 10); x.Movement.Sign() < 0 || x.Movement.Cmp(tenth) > 0 {
		s.in("movement").fault(fmt.Sprintf("%s is not a change of width per percent of moisture", x.Movement), "write it as a plain number, such as 0.00365")
	}
	if x.Quarter != nil && (x.Quarter.Sign() < 0 || x.Quarter.Cmp(x.Movement) > 0) {
		s.in("movement_quarter").fault(fmt.Sprintf("%s is not a change of width per percent of moisture, or more than the %s of flat-sawn wood", x.Quarter, x.Movement), "write it as a plain number, such as 0.0018")
	}
	if x.Shrinks != nil {
		s.in("shrinkage").in("flat").loss(x.Shrinks.Flat)
		s.in("shrinkage").in("quarter").loss(x.Shrinks.Quarter)
	}
	s.sheets(x.Sheets, true)
	if x.Sheets != nil && !x.Bought() {
		s.in("sheets").at(x.Sheets.Pos).fault("blanks that are made of lumber are not cut from sheets", "write blanks: bought, or leave it out")
	}
	switch {
	case s.in("blanks").unread():
		return // of what must be told then, nothing is known
	case x.Bought():
		s.buying(x.Buy, Pieces)
		s.boughtBlanks(x)
		return
	}
	s.buying(x.Buy, Volumes)
	s.in("yield").yield(x.Yield)
	if x.Strip != 0 {
		s.in("widest_strip").above(x.Strip)
	}
	s = s.in("rough")
	if len(x.Rough) == 0 {
		s.fault("no rough thickness is listed", "write those it is bought in")
	}
	s.twice(x.Rough)
	for _, rough := range x.Rough {
		s.from("rough_thicknesses", rough)
	}
}

func (s spot) yield(y unit.Ratio) {
	if y.Sign() == 0 {
		s.fault("how much of the lumber ends in blanks is not told", "write the yield, such as 70 %, or blanks: bought for what comes in size")
		return
	}
	s.share(y)
}

// boughtBlanks checks that nothing is said of lumber where there is none.
func (s spot) boughtBlanks(x *Species) {
	for _, one := range []struct {
		name string
		is   bool
	}{{"yield", x.Yield.Sign() != 0}, {"rough", len(x.Rough) > 0}, {"widest_strip", x.Strip != 0}} {
		if one.is {
			s.in(one.name).fault("blanks that are bought are not made of lumber", "leave it out, or write blanks: made")
		}
	}
}

func (s spot) glass(code string, x *Glass) {
	x.Code = code
	s.withdrawal("glass", code, x.LastOrder, x.Successor)
	s.in("thickness").above(x.Thickness)
	s.in("lead_days").days(x.LeadDays)
	s.in("largest").largestPiece(x.Largest)
	s.in("weight_within").weightOfGlass(x.Within)
	s.sheets(x.Sheets, false)
	if x.Sheets != nil && x.Tempered() {
		s.in("sheets").at(x.Sheets.Pos).fault("tempered glass is never cut: the vendor cuts it before it is tempered", "leave it out, so that panes are bought to size")
	}
	s.buying(x.Buy, Pieces)
	if x.Large < 0 {
		s.in("large_over").fault(fmt.Sprintf("%s is less than zero", x.Large), "")
	}
}

func (s spot) fabric(code string, x *Fabric) {
	x.Code = code
	s.in("lead_days").days(x.LeadDays)
	s.in("flaws").addition(x.Flaws)
	s.withdrawal("fabrics", code, x.LastOrder, x.Successor)
	if x.Own {
		s.needsHold(PlacedOwnMaterial, code+" is customer's own material, which the order has to wait for")
	}
	switch {
	case x.Own && x.Buy != nil:
		s.in("buy").at(x.Buy.Pos).fault("customer's own material is not bought", "leave it out")
	case x.Leather != nil:
		s.buying(x.Buy, Pieces)
	default:
		s.buying(x.Buy, Lengths)
	}
	if x.Leather != nil {
		s.leather(x)
		return
	}
	s.in("bolt").notBelow(x.Bolt)
	s.in("repeat").notBelow(x.Repeat)
	s.in("repeat_across").notBelow(x.Across)
	if x.Own && x.Goods == 0 && x.Usable == 0 {
		return
	}
	if x.Goods <= 0 || x.Usable <= 0 {
		s.fault("a cloth needs its goods_width and its usable_width", "only own_material may leave both out, since they come with the order")
		return
	}
	s.in("goods_width").above(x.Goods)
	s.notMore("usable_width", x.Usable, "goods width", x.Goods)
}

// leather checks the hides, and that nothing is said of a roll.
func (s spot) leather(x *Fabric) {
	for _, one := range []struct {
		name string
		is   bool
	}{{"goods_width", x.Goods != 0}, {"usable_width", x.Usable != 0}, {"repeat", x.Repeat != 0}, {"repeat_across", x.Across != 0}, {"bolt", x.Bolt != 0},
		{"railroad", x.Railroad}, {"direction", x.Direction != ""}} {
		if one.is {
			s.in(one.name).fault("leather comes in hides and not from a roll", "leave it out")
		}
	}
	s = s.in("leather")
	if x.Leather.Hide <= 0 {
		s.in("hide").fault(fmt.Sprintf("%s is not more than zero", x.Leather.Hide), "")
	}
	s.in("clear_width").above(x.Leather.Width)
	s.in("clear_length").above(x.Leather.Length)
	s.notMore("clear_width", x.Leather.Width, "clear length", x.Leather.Length)
	if clear, err := x.Leather.Length.Times(x.Leather.Width); err != nil || x.Leather.Hide > 0 && clear > x.Leather.Hide {
		s.fault("the clear part is larger than the hide", "")
	}
	if ten := unit.RatioOf(10); x.Leather.Factor.Cmp(unit.RatioOf(1)) < 0 || x.Leather.Factor.Cmp(ten) > 0 {
		s.in("factor").fault(fmt.Sprintf("%s times the area of the pieces is not what is bought", x.Leather.Factor), "write 1 or more and up to 10, such as 1.5")
	}
}

// addition faults a share to add that is below zero or above one.
func (s spot) addition(r unit.Ratio) {
	if r.Sign() < 0 || r.Cmp(unit.RatioOf(1)) > 0 {
		s.fault(fmt.Sprintf("%s is not a share to add", r), "write 0 to 1, such as 0.05 or 5 %")
	}
}

func (s spot) hardware(code string, x *Hardware) {
	x.Code = code
	s.in("lead_days").days(x.LeadDays)
	s.withdrawal("hardware", code, x.LastOrder, x.Successor)
	if x.Weight < 0 {
		s.in("weight").fault(fmt.Sprintf("the weight %s is less than zero", x.Weight), "")
	}
	if x.Shank != nil {
		s.in("shank").above(*x.Shank)
	}
	s.buying(x.Buy, Pieces, Lengths, Areas)
}

// sheetsOr is what an item is counted in: sheets, or as it is without them.
func sheetsOr(sheets *Sheets, otherwise Dimension) Dimension {
	if sheets != nil {
		return Pieces
	}
	return otherwise
}
