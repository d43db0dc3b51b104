package bom

import (
	"billwright/catalog"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// Trimmings: what is bought and sewn into a cushion, or put around its foam. All
// of it is formulas of the cushion form: zip, welt cord, and whatever else the
// form lists, by the piece, by length, or by length and width.
//
// Worked: thread at 2-1/2 times the seam: a cushion with 200 in of seam takes
// 500 in; a wrap of 40 x 20 in takes 800 in2, and at 0.06 lb/ft2 weighs 1/3 lb.

// TrimmingRow is what one cushion takes of one thing bought: Pieces of it, or a
// Length, or with a Width an Area.
type TrimmingRow struct {
	Path   string      `json:"path"`
	Item   string      `json:"item"`
	Pieces int         `json:"pieces,omitzero"`
	Length unit.Length `json:"length,omitzero"`
	Width  unit.Length `json:"width,omitzero"`
	Area   Surface     `json:"area,omitzero"`
	Weight Weight      `json:"weight,omitzero"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`
}

func (r *reckoning) trimmings(row *CushionRow, form *catalog.CushionForm, env []formula.Value) bool {
	outer := r.env
	r.env = env
	defer func() { r.env = outer }()
	for _, trim := range []struct {
		figure string
		expr   *catalog.Expr
		into   *unit.Length
	}{{"zip", form.Zip, &row.Zip}, {"welt-cord", form.Cord, &row.Cord}} {
		if trim.expr == nil {
			continue
		}
		length, ok := r.length(row.Path, trim.figure, trim.expr)
		if !ok {
			return false
		}
		*trim.into = length
		var x exact
		r.need(row.Path+"/"+trim.figure, KindHardware, trim.figure, row.Pieces, x.times(int64(length), row.Pieces), Length)
		if !r.settled(row.Path, &x) {
			return false
		}
	}
	for code, trimming := range form.Trimmings.All() {
		if !r.trimming(row, code.Value, trimming) {
			return false
		}
	}
	return true
}

// trimming adds one thing that the form lists; the environment is the form's.
func (r *reckoning) trimming(row *CushionRow, code string, t *catalog.Trimming) bool {
	path := row.Path + "/" + code
	item, found := r.cat.Hardware.Get(t.Item)
	if !found {
		r.refuse("hardware.unknown", path, "there is no hardware %q", t.Item)
		return false
	}
	made := TrimmingRow{Path: path, Item: item.Name, SubstitutedFor: r.inPlace(item.InPlaceOf)}
	var x exact
	if !r.measured(&made, item, t, &x) {
		return false
	}
	unitMass := x.times(int64(made.Weight), row.Each)
	switch {
	case made.Area > 0:
		r.need(path, KindHardware, item.Code, row.Pieces, x.times(int64(made.Area), row.Pieces), Area)
	case made.Length > 0:
		r.need(path, KindHardware, item.Code, row.Pieces, x.times(int64(made.Length), row.Pieces), Length)
	case made.Pieces > 0:
		all := x.times(int64(made.Pieces), row.Pieces)
		r.need(path, KindHardware, item.Code, int(all), all, Each)
	default:
		return true // none in this size
	}
	if !r.settled(path, &x) {
		return false
	}
	row.Trimmings = append(row.Trimmings, made)
	r.weigh(path, unit.Mass(unitMass))
	return true
}

// measured fills a trimming's amounts and weight in one cushion.
func (r *reckoning) measured(made *TrimmingRow, item *catalog.Hardware, t *catalog.Trimming, x *exact) bool {
	var mass unit.Mass
	var err error
	switch {
	case t.Pieces != nil:
		n, ok := r.count(made.Path, "pieces", t.Pieces)
		if !ok {
			return false
		}
		made.Pieces, mass = n, unit.Mass(x.times(int64(item.Weight), n))
	case t.Width == nil:
		length, ok := r.length(made.Path, "length", t.Length)
		if !ok {
			return false
		}
		if made.Length = length; item.ByLength != nil {
			mass, err = item.ByLength.Mass(length)
		}
	default:
		length, okLength := r.length(made.Path, "length", t.Length)
		width, okWidth := r.length(made.Path, "width", t.Width)
		if !okLength || !okWidth {
			return false
		}
		area := x.area(length, width)
		if made.Length, made.Width, made.Area = length, width, Surface(area); item.ByArea != nil {
			mass, err = item.ByArea.Mass(area)
		}
		if r.trace {
			r.note(made.Path, "area", "%s x %s = %s", length, width, made.Area)
		}
	}
	x.keep(err)
	made.Weight = Weight(mass)
	return true
}
