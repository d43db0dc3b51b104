package bom

import (
	"slices"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Finish steps, in order.
//
//	powder mass   = area · film · specific gravity · 1 g/cm3 / transfer efficiency
//	liquid volume = area · dry film / volume solids / transfer efficiency
//	either        = area / coverage of the data sheet / transfer efficiency
//	minutes       = pieces · minutes + area · minutes by area
//
// each for one coat, times the coats of the step. The first two are the
// handbook's coverage rules solved for the amount: 192.3/(SG·mil) ft2 by pound
// and 1604·solids/mil ft2 by gallon at full transfer.
//
// Worked: 60.09 ft2 at 2 mil of SG 1.6, all of it reaching the work: 1.000 lb.
// 100 ft2 twice over by a sheet's 400 ft2/gal at 80 %: 100·2/400/0.8 = 0.625 gal.

// FinishRow is one step of a finish for a whole line.
type FinishRow struct {
	Path    string `json:"path"`
	Step    int    `json:"step"`
	Finish  string `json:"finish"`
	Work    string `json:"do"`
	Station string `json:"station,omitempty"`
	Hand    bool   `json:"hand"`
	Pieces  int    `json:"pieces"`
	// Area is that of all pieces.
	Area Surface `json:"area"`
	// Coats is how many are put on, where there are several; minutes and
	// amounts are of all of them.
	Coats   int     `json:"coats,omitzero"`
	Minutes Minutes `json:"minutes"`
	Coating string  `json:"coating,omitempty"`
	Powder  *Weight `json:"powder,omitempty"`
	Liquid  *Liquid `json:"liquid,omitempty"`
	// Mix is what the liquid is mixed of.
	Mix []MixRow `json:"mix,omitempty"`
	// SafetySheet names the coating's safety data sheet.
	SafetySheet string     `json:"safety_sheet,omitempty"`
	Flash       *Minutes   `json:"flash,omitempty"`
	Recoat      *RecoatRow `json:"recoat,omitempty"`
	Cure        *CureRow   `json:"cure,omitempty"`
	// Wait is in hours, before the next step or before the work is handled.
	Wait string `json:"wait_hours,omitempty"`
	// Ready is when the next step may begin at the earliest, after the finish
	// was begun; of the last step, when the work may be handled.
	Ready *Hours `json:"ready,omitempty"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`

	step    *catalog.FinishStep
	coating *catalog.Coating
}

// MixRow is one component of a liquid that is mixed.
type MixRow struct {
	Component string `json:"component"`
	Liquid    Liquid `json:"liquid"`
}

// assembly is steel that is finished as one.
type assembly struct {
	path string
	each int
	// area is the coated area of one unit of the product.
	area unit.Area
}

// finish adds the steps of a finish for the part's pieces, of which one unit of
// the product has each; unitArea is the finished area of all of one unit's.
func (r *reckoning) finish(p *catalog.Part, finish *catalog.Finish, each int, unitArea unit.Area) {
	var x exact
	path, pieces := p.Path, r.all(each)
	area := unit.Area(x.times(int64(unitArea), r.line.Quantity))
	paths := pathsOf(path+"/finish/", len(finish.Steps))
	first := len(r.bill.Finish)
	r.bill.Finish = slices.Grow(r.bill.Finish, len(finish.Steps))
	for i := range finish.Steps {
		step := &finish.Steps[i]
		row := FinishRow{
			Path: paths.next(), Step: i + 1, Finish: finish.Name, Work: step.Work, Station: step.Station, Hand: step.Hand,
			Pieces: pieces, Area: Surface(area), Minutes: stepMinutes(step, pieces, area, &x), step: step,
		}
		if step.Coats > 1 {
			row.Coats = step.Coats
		}
		r.noteMinutes(&row, step)
		r.coat(&row, step, area, &x)
		r.waits(&row, step, i+1 == len(finish.Steps), &x)
		r.noteStep(&row)
		r.bill.Finish = append(r.bill.Finish, row)
	}
	if !r.settled(path, &x) {
		return
	}
	c := chain{path: path, finish: finish, pieces: pieces, area: area, rows: r.bill.Finish[first:len(r.bill.Finish):len(r.bill.Finish)]}
	batch := r.matched(p, &c)
	r.routed(&c, batch)
	if batch == "" {
		r.windows(&c)
	}
}

// stepMinutes is the work of all coats of a step; what takes any time at all
// takes a tenth of a minute.
func stepMinutes(step *catalog.FinishStep, pieces int, area unit.Area, x *exact) Minutes {
	layers := step.Layers()
	work := minutes(step.Minutes, pieces*layers, x)
	if layers > 1 {
		area = unit.Area(x.times(int64(area), layers))
	}
	work += minutesByArea(step.PerArea, unit.SquareFoot, area, x) + minutesByArea(step.PerMetre, unit.SquareMetre, area, x)
	if work == 0 && (step.PerArea.Sign() > 0 || step.PerMetre.Sign() > 0) {
		return 1
	}
	return work
}

// numbered are paths that end in their number; all are cut from one text, since
// a bill has many of them.
type numbered struct {
	all    string
	before int // characters before a number
	last   int
}

// pathsOf numbers a path from 1 to n.
func pathsOf(path string, n int) numbered {
	var b strings.Builder
	b.Grow(n * (len(path) + len("10")))
	var number [20]byte
	for i := range n {
		b.WriteString(path)
		b.Write(strconv.AppendInt(number[:0], int64(i+1), 10))
	}
	return numbered{all: b.String(), before: len(path)}
}

func (p *numbered) next() string {
	p.last++
	end := p.before + 1
	for n := p.last; n >= 10; n /= 10 {
		end++
	}
	path := p.all[:end]
	p.all = p.all[end:]
	return path
}

// noteMinutes tells how a step's work came about.
func (r *reckoning) noteMinutes(row *FinishRow, step *catalog.FinishStep) {
	if !r.trace || row.Minutes == 0 {
		return
	}
	format, args := "%d coats · %d pieces · %s min = %s", []any{max(row.Coats, 1), row.Pieces, step.Minutes, row.Minutes}
	switch {
	case step.PerArea.Sign() > 0:
		format, args = "%d coats · (%d pieces · %s min + %s · %s min/ft2) = %s", []any{args[0], args[1], args[2], row.Area, step.PerArea, row.Minutes}
	case step.PerMetre.Sign() > 0:
		format, args = "%d coats · (%d pieces · %s min + %s · %s min/m2) = %s", []any{args[0], args[1], args[2], row.Area, step.PerMetre, row.Minutes}
	}
	if row.Coats == 0 {
		format, args = strings.TrimPrefix(format, "%d coats · "), args[1:]
	}
	r.note(row.Path, "minutes", format, args...)
}

// minutesByArea is in tenths of a minute, from minutes for each of an area.
func minutesByArea(minutes unit.Ratio, each, area unit.Area, x *exact) Minutes {
	if minutes.Sign() == 0 {
		return 0
	}
	return Minutes(x.ratio(x.ratio(int64(area), 10*minutes.Num(), minutes.Den()), 1, int64(each)))
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
	row.Coating, row.SafetySheet = coating.Name, coating.Sheet
	row.coating, row.SubstitutedFor = coating, r.inPlace(coating.InPlaceOf)
	coated := unit.Area(x.times(int64(area), step.Layers()))
	if coating.Kind == "powder" {
		mass, err := powderFor(coating, coated)
		x.keep(err)
		row.Powder = (*Weight)(&mass)
		r.noteCoat(row, coating, "powder", *row.Powder)
		r.need(row.Path, KindPowder, coating.Code, row.Pieces, int64(mass), Mass)
		return
	}
	volume, err := liquidFor(coating, coated)
	x.keep(err)
	row.Liquid = (*Liquid)(&volume)
	r.noteCoat(row, coating, "liquid", *row.Liquid)
	if coating.Mix.Len() == 0 {
		r.need(row.Path, KindLiquid, coating.Code, row.Pieces, int64(volume), Volume)
		return
	}
	r.mix(row, coating, volume, x)
}

// mix splits a volume into its components by parts; they sum to it exactly.
func (r *reckoning) mix(row *FinishRow, coating *catalog.Coating, volume unit.Volume, x *exact) {
	whole, done := unit.RatioOf(0), unit.RatioOf(0)
	for _, parts := range coating.Mix.All() {
		sum, err := whole.Add(parts)
		x.keep(err)
		whole = sum
	}
	var before int64
	for name, parts := range coating.Mix.All() {
		sum, err := done.Add(parts)
		x.keep(err)
		done = sum
		share, err := done.Div(whole)
		x.keep(err)
		upTo := x.ratio(int64(volume), share.Num(), share.Den())
		component := MixRow{Component: name.Value, Liquid: Liquid(upTo - before)}
		before = upTo
		row.Mix = append(row.Mix, component)
		r.note(row.Path, "mix "+name.Value, "%s · %s / %s parts = %s", *row.Liquid, parts, whole, component.Liquid)
		r.need(row.Path, KindLiquid, coating.Code+" "+name.Value, row.Pieces, int64(component.Liquid), Volume)
	}
}

// noteCoat tells how an amount came about.
func (r *reckoning) noteCoat(row *FinishRow, c *catalog.Coating, figure string, amount any) {
	if !r.trace {
		return
	}
	coats := ""
	if row.Coats > 1 {
		coats = " · " + strconv.Itoa(row.Coats) + " coats"
	}
	switch {
	case c.Coverage != nil:
		r.note(row.Path, figure, "%s%s at %s / %s = %s", row.Area, coats, c.Coverage, c.Transfer, amount)
	case c.Kind == "powder":
		r.note(row.Path, figure, "%s%s · %s film · %s · 1 g/cm3 / %s = %s", row.Area, coats, c.Film, *c.Gravity, c.Transfer, amount)
	default:
		r.note(row.Path, figure, "%s%s · %s dry film / %s solids / %s = %s", row.Area, coats, c.Film, *c.Solids, c.Transfer, amount)
	}
}

// powderFor is what powder an area takes of a coating, by its sheet's coverage
// or its film.
func powderFor(c *catalog.Coating, area unit.Area) (unit.Mass, error) {
	if c.Coverage == nil {
		return PowderMass(area, c.Film, *c.Gravity, c.Transfer)
	}
	n, err := Covered(area, *c.Coverage, c.Transfer)
	return unit.Mass(n), err
}

// liquidFor is what liquid an area takes of a coating.
func liquidFor(c *catalog.Coating, area unit.Area) (unit.Volume, error) {
	if c.Coverage == nil {
		return LiquidVolume(area, c.Film, *c.Solids, c.Transfer)
	}
	n, err := Covered(area, *c.Coverage, c.Transfer)
	return unit.Volume(n), err
}

// Covered is what an area takes by a data sheet's coverage and the share that
// reaches the work, from above 0 to 1: micrograms of a powder, nanolitres of a
// liquid, to the nearest. Errors: overflow, division by zero.
func Covered(area unit.Area, coverage catalog.Coverage, transfer unit.Ratio) (int64, error) {
	by, err := coverage.Amount().Div(transfer)
	if err != nil {
		return 0, err
	}
	return unit.MulDivRound(int64(area), by.Num(), by.Den(), unit.Nearest)
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
