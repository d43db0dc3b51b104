package bom

import "billwright/catalog/unit"

// Cautions of tops: how they tip, how far they reach and how they are carried.

// overhangs is a top that reaches past its support by more than the catalog
// lets go without a caution.
type overhangs struct {
	path        string
	over, limit unit.Length
}

// topCautions are those that follow from the whole line.
func (r *reckoning) topCautions(whole unit.Mass) {
	for _, o := range r.overhangs {
		r.caution("overhang", o.path, "Overhang: it reaches "+r.units.Tape(o.over)+" past what it lies on, more than "+r.units.Tape(o.limit)+": do not sit, stand or lean on the edge.")
	}
	for _, t := range r.tips {
		var x exact
		load, err := TipLoad(whole, t.base, t.reach)
		x.keep(err)
		if !r.settled(t.path, &x) {
			continue
		}
		r.note(t.path, "tip load", "%s·%s / (%s - %s) = %s", Weight(whole), t.base, t.reach, t.base, Weight(load))
		r.caution("tip-load", t.path, "Tipping: by statics a load of "+Weight(load).In(r.units)+" at its edge begins to tip it; this is a warning and no test of stability.")
		r.bill.Cautions[len(r.bill.Cautions)-1].Load = Weight(load)
	}
	for i := range r.bill.Stone {
		r.caution("stone", r.bill.Stone[i].Path, "Stone breaks under its own weight: carry it on edge"+r.stoneLift(&r.bill.Stone[i])+". Its dust harms the lungs: it is not cut or ground dry.")
	}
}

// stoneLift adds how a heavy stone is lifted.
func (r *reckoning) stoneLift(row *StoneRow) string {
	limit, err := r.cat.TwoPersonLift()
	if err != nil || row.heaviest <= limit {
		return ""
	}
	return ", with two persons or a device, " + Weight(row.heaviest).In(r.units) + " each"
}
