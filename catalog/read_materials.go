package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

func (r *reading) materials() {
	entries(r.spot("sections"), r.cat.Sections, func(s spot, code string, x *Section) { s.at(x.Pos).section(code, x) })
	r.roughs()
	entries(r.spot("species"), r.cat.Species, func(s spot, code string, x *Species) { s.at(x.Pos).species(code, x) })
	entries(r.spot("glass"), r.cat.Glass, func(s spot, code string, x *Glass) { s.at(x.Pos).glass(code, x) })
	entries(r.spot("coatings"), r.cat.Coatings, func(s spot, code string, x *Coating) { s.at(x.Pos).coating(code, x) })
	entries(r.spot("fabrics"), r.cat.Fabrics, func(s spot, code string, x *Fabric) { s.at(x.Pos).fabric(code, x) })
	entries(r.spot("foams"), r.cat.Foams, func(_ spot, code string, x *Foam) { x.Code = code })
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
	s.in("yield").share(x.Yield)
	s.in("widest_strip").above(x.Strip)
	if tenth, _ := unit.NewRatio(1, 10); x.Movement.Sign() <= 0 || x.Movement.Cmp(tenth) > 0 {
		s.in("movement").fault(fmt.Sprintf("%s is not a change of width per percent of moisture", x.Movement), "write it as a plain number, such as 0.00365")
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

func (s spot) glass(code string, x *Glass) {
	x.Code = code
	s.in("thickness").above(x.Thickness)
	s.in("lead_days").days(x.LeadDays)
	if x.Largest != nil {
		s.in("largest").in("width").above(x.Largest.Width)
		s.in("largest").in("length").above(x.Largest.Length)
		s.in("largest").notMore("width", x.Largest.Width, "length", x.Largest.Length)
	}
}

func (s spot) coating(code string, x *Coating) {
	x.Code = code
	s.in("dry_film").above(x.Film)
	s.in("transfer_efficiency").share(x.Transfer)
	switch x.Kind {
	case "powder":
		s.figureOf("powder", "specific_gravity", x.Gravity, "volume_solids", x.Solids)
		if x.Gravity != nil && x.Gravity.Sign() <= 0 {
			s.in("specific_gravity").fault(fmt.Sprintf("%s is not more than zero", x.Gravity), "")
		}
	case "liquid":
		s.figureOf("liquid", "volume_solids", x.Solids, "specific_gravity", x.Gravity)
		if x.Solids != nil {
			s.in("volume_solids").share(*x.Solids)
		}
	}
}

// figureOf checks that a coating has the figure its kind is reckoned by, and
// not the other's.
func (s spot) figureOf(kind, needed string, value *unit.Ratio, other string, otherValue *unit.Ratio) {
	if value == nil {
		s.fault(fmt.Sprintf("a %s needs %q", kind, needed), "take it from the data sheet")
	}
	if otherValue != nil {
		s.in(other).fault(fmt.Sprintf("a %s has no %q", kind, other), "leave it out")
	}
}

func (s spot) fabric(code string, x *Fabric) {
	x.Code = code
	s.in("repeat").notBelow(x.Repeat)
	s.in("lead_days").days(x.LeadDays)
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

func (s spot) hardware(code string, x *Hardware) {
	x.Code = code
	if x.Weight < 0 {
		s.in("weight").fault(fmt.Sprintf("the weight %s is less than zero", x.Weight), "")
	}
	if x.Shank != nil {
		s.in("shank").above(*x.Shank)
	}
}

// cushionForms compiles the formulas of every form.
func (r *reading) cushionForms() {
	entries(r.spot("cushion_forms"), r.cat.CushionForms, func(s spot, code string, x *CushionForm) {
		x.Code = code
		s.at(x.Pos).cushionForm(x)
	})
}

func (s spot) cushionForm(x *CushionForm) {
	known := x.declare(s.r.own, s.r.lacking)
	if x.Pieces.Len() == 0 {
		s.in("pieces").fault("the form has no pieces", "write at least one")
	}
	entries(s.in("pieces"), x.Pieces, func(s spot, name string, piece *CushionPiece) {
		s.code("piece", name)
		known.compile(s.in("pieces"), &piece.Count, formula.Number)
		known.compile(s.in("along"), &piece.Along, formula.Length)
		known.compile(s.in("across"), &piece.Across, formula.Length)
	})
	known.compile(s.in("zip"), x.Zip, formula.Length)
	known.compile(s.in("cord"), x.Cord, formula.Length)
}
