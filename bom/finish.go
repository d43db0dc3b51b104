package bom

import (
	"slices"
	"strconv"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Finish steps, in order.
//
//	powder mass   = area · film · specific gravity · 1 g/cm3 / transfer efficiency
//	liquid volume = area · dry film / volume solids / transfer efficiency
//	minutes       = pieces · minutes + area · minutes by area
//
// Both are the handbook's coverage rules solved for the amount: 192.3/(SG·mil)
// ft2 by pound and 1604·solids/mil ft2 by gallon at full transfer.
//
// Worked: 60.09 ft2 at 2 mil of SG 1.6, all of it reaching the work: 1.000 lb.

// FinishRow is one step of a finish for a whole line.
type FinishRow struct {
	Path   string `json:"path"`
	Step   int    `json:"step"`
	Finish string `json:"finish"`
	Work   string `json:"do"`
	Hand   bool   `json:"hand"`
	Pieces int    `json:"pieces"`
	// Area is that of all pieces.
	Area    Surface `json:"area"`
	Minutes Minutes `json:"minutes"`
	Coating string  `json:"coating,omitempty"`
	Powder  *Weight `json:"powder,omitempty"`
	Liquid  *Liquid `json:"liquid,omitempty"`
	Wait    string  `json:"wait_hours,omitempty"`

	flammable bool
}

// assembly is steel that is finished as one.
type assembly struct {
	path string
	each int
	// area is the coated area of one unit of the product.
	area unit.Area
}

// finish adds the steps of a finish for the pieces at path, of which one unit of
// the product has each; unitArea is the finished area of all of one unit's.
func (r *reckoning) finish(path string, finish *catalog.Finish, each int, unitArea unit.Area) {
	var x exact
	pieces := r.all(each)
	area := unit.Area(x.times(int64(unitArea), r.line.Quantity))
	r.bill.Finish = slices.Grow(r.bill.Finish, len(finish.Steps))
	for i := range finish.Steps {
		step := &finish.Steps[i]
		row := FinishRow{
			Path: path + "/finish/" + strconv.Itoa(i+1), Step: i + 1, Finish: finish.Name, Work: step.Work, Hand: step.Hand,
			Pieces: pieces, Area: Surface(area),
			Minutes: minutes(step.Minutes, pieces, &x) + minutesByArea(step.PerArea, area, &x),
		}
		if row.Minutes == 0 && step.PerArea.Sign() > 0 {
			row.Minutes = 1
		}
		if step.WaitHours.Sign() > 0 {
			row.Wait = step.WaitHours.String()
		}
		r.coat(&row, step, area, &x)
		r.bill.Finish = append(r.bill.Finish, row)
	}
	r.settled(path, &x)
}

// minutesByArea is in tenths of a minute, from minutes by square foot.
func minutesByArea(perFoot unit.Ratio, area unit.Area, x *exact) Minutes {
	if perFoot.Sign() == 0 {
		return 0
	}
	return Minutes(x.ratio(x.ratio(int64(area), 10*perFoot.Num(), perFoot.Den()), 1, int64(unit.SquareFoot)))
}

func (r *reckoning) coat(row *FinishRow, step *catalog.FinishStep, area unit.Area, x *exact) {
	if step.Coating == "" {
		return
	}
	coating, found := r.cat.Coatings.Get(step.Coating)
	if !found {
		r.refuse("coating.unknown", row.Path, "there is no coating %q", step.Coating)
		return
	}
	row.Coating, row.flammable = coating.Name, coating.Flammable
	if coating.Kind == "powder" {
		mass, err := PowderMass(area, coating.Film, *coating.Gravity, coating.Transfer)
		x.keep(err)
		row.Powder = (*Weight)(&mass)
		if r.trace {
			r.note(row.Path, "powder", "%s · %s film · %s · 1 g/cm3 / %s = %s", row.Area, coating.Film, *coating.Gravity, coating.Transfer, *row.Powder)
		}
		r.need(row.Path, KindPowder, coating.Code, row.Pieces, int64(mass), Mass)
		return
	}
	volume, err := LiquidVolume(area, coating.Film, *coating.Solids, coating.Transfer)
	x.keep(err)
	row.Liquid = (*Liquid)(&volume)
	if r.trace {
		r.note(row.Path, "liquid", "%s · %s dry film / %s solids / %s = %s", row.Area, coating.Film, *coating.Solids, coating.Transfer, *row.Liquid)
	}
	r.need(row.Path, KindLiquid, coating.Code, row.Pieces, int64(volume), Volume)
}

// PowderMass is what powder an area takes: film thickness, specific gravity and
// the share of the powder that reaches the work, from above 0 to 1. Rounded to
// the nearest microgram. Errors: overflow, division by zero.
func PowderMass(area unit.Area, film unit.Length, gravity, transfer unit.Ratio) (unit.Mass, error) {
	volume, err := area.Times(film)
	if err != nil {
		return 0, err
	}
	// 1 g/cm3 is 1 microgram by nanolitre.
	by, err := gravity.Div(transfer)
	if err != nil {
		return 0, err
	}
	return unit.Mass(volume).Scale(by, unit.Nearest)
}

// LiquidVolume is what liquid an area takes for one coat: its dry film, the
// share of its volume that stays, and the share that reaches the work. Rounded
// to the nearest nanolitre. Errors: overflow, division by zero.
func LiquidVolume(area unit.Area, film unit.Length, solids, transfer unit.Ratio) (unit.Volume, error) {
	dry, err := area.Times(film)
	if err != nil {
		return 0, err
	}
	kept, err := solids.Mul(transfer)
	if err != nil {
		return 0, err
	}
	one, err := unit.NewRatio(1, 1)
	if err != nil {
		return 0, err
	}
	by, err := one.Div(kept)
	if err != nil {
		return 0, err
	}
	return dry.Scale(by, unit.Nearest)
}
