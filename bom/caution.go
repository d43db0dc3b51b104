package bom

import (
	"strconv"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cautions are rows, not prose: each names the hazard and defers to local codes
// and licensed practice. None claims conformity to any standard. Their figures
// stand in the catalog's standards, with the source of each.

// Caution is one caution of a line.
type Caution struct {
	Code string `json:"code"`
	Path string `json:"path"`
	Says string `json:"says"`
	// Load is the figure of a tip-load caution.
	Load Weight `json:"load,omitzero"`
}

const defers = " Follow local codes and licensed practice."

func (r *reckoning) cautions() {
	if r.hot && r.cat.Choice("hot_work_caution") == "yes" {
		r.caution("hot-work", firstPath(r.bill.Steel, func(row *SteelRow) string { return row.Path }), r.hotWork())
	}
	if len(r.bill.Wood) > 0 {
		r.caution("wood-dust", r.bill.Wood[0].Path, r.woodDust())
	}
	for i := range r.bill.Glass {
		r.caution("sharp-glass", r.bill.Glass[i].Path, "Glass edges cut: gloves and eye protection, carry upright, never trim a tempered pane.")
	}
	for i := range r.bill.Finish {
		r.finishCautions(&r.bill.Finish[i])
	}
	if len(r.bill.Cushions) > 0 {
		r.caution("upholstery-label", r.bill.Cushions[0].Path, "Upholstered seating sold in the United States needs the flammability label of 16 CFR 1640 where it applies.")
	}
	r.liftCautions()
}

// finishCautions are what a step brings with it, as the catalog says of its
// coating and its work.
func (r *reckoning) finishCautions(row *FinishRow) {
	if c := row.coating; c != nil {
		r.coatCautions(row, c)
	}
	switch row.step.Dust {
	case "blasting":
		r.caution("blasting-dust", row.Path, "Blasting throws abrasive and raises dust of rust and scale: close the room, use an abrasive without free silica, wear the air-fed hood.")
	case "sanding":
		r.caution("sanding-dust", row.Path, "Sanding dust of wood and dried coats burns and can explode: collect it at the tool, let nothing spark, keep rags and dust in closed metal.")
	}
	if row.Cure != nil {
		r.caution("hot-cure", row.Path, "Work comes out of the oven at "+row.Cure.At+": gloves, no hands before it is cool; purge the oven before lighting it.")
	}
}

func (r *reckoning) coatCautions(row *FinishRow, c *catalog.Coating) {
	if c.Flammable {
		r.caution("flammable-finish", row.Path, "Flammable finish: no ignition source, ventilate, wear the breathing protection of the data sheet.")
	}
	if c.Isocyanate {
		r.caution("isocyanate-finish", row.Path, "Isocyanates harm the lungs, and filters do not hold them safely back: breathe supplied air, cover the skin, keep others out until the coat has flashed off."+sheet(row))
	}
	if c.Dust {
		r.caution("powder-dust", row.Path, "Coating powder in the air can explode: run the booth's exhaust, ground the work, sweep with nothing that sparks."+sheet(row))
	}
}

// sheet names the safety data sheet of a row's coating.
func sheet(row *FinishRow) string {
	if row.SafetySheet == "" {
		return ""
	}
	return " Safety data sheet " + row.SafetySheet + "."
}

// hotWork clears the catalog's distance, or the 35 ft of 29 CFR
// 1910.252(a)(2)(vii), 10.668 m; in whole feet or metres, not less.
func (r *reckoning) hotWork() string {
	b := append(make([]byte, 0, 160), "Hot work: clear combustibles within "...)
	clearance, given := r.cat.MaybeLength("hot_work_clearance")
	if !given {
		clearance = 35 * unit.Foot
	}
	if r.units == Metric {
		b = append(strconv.AppendInt(b, int64((clearance+unit.Metre-1)/unit.Metre), 10), " m"...)
	} else {
		b = append(strconv.AppendInt(b, int64((clearance+unit.Foot-1)/unit.Foot), 10), " ft"...)
	}
	b = append(b, " and keep a fire watch"...)
	if after, given := r.cat.MaybeRatio("fire_watch_minutes"); given {
		b = append(b, " until at least "...)
		b, _ = after.AppendText(b) // it has no error
		b = append(b, " min after it"...)
	}
	return string(append(b, '.'))
}

// woodDust tells of which dust, where the catalog says it. Its size is written
// to a ten-thousandth of an inch, or exactly in millimetres.
func (r *reckoning) woodDust() string {
	b := append(make([]byte, 0, 160), "Wood dust "...)
	size, sized := r.cat.MaybeLength("wood_dust_size")
	moisture, dry := r.cat.MaybeRatio("wood_dust_moisture")
	if sized && dry {
		b = append(b, "up to "...)
		if r.units == Metric {
			b = append(size.AppendMillimetres(b), " mm"...)
		} else {
			b = append(unit.AppendDecimal(b, int64(size), int64(unit.Inch), 4), " in"...)
		}
		b = append(percent(append(b, ", of less than "...), moisture), " moisture, "...)
	}
	return string(append(b, "burns and can explode: collect it at the machine."...))
}

// percent writes a share in percent, to two decimals where it has any.
func percent(b []byte, share unit.Ratio) []byte {
	decimals := 2
	if 100%share.Den() == 0 {
		decimals = 0
	}
	hundred, err := share.Mul(unit.RatioOf(100))
	if err != nil {
		b, _ = share.AppendText(b) // it has no error
		return b
	}
	return append(unit.AppendDecimal(b, hundred.Num(), hundred.Den(), decimals), " %"...)
}

func (r *reckoning) caution(code, path, says string) {
	r.bill.Cautions = append(r.bill.Cautions, Caution{Code: code, Path: path, Says: says + defers})
}

func firstPath[T any](rows []T, path func(*T) string) string {
	if len(rows) == 0 {
		return ""
	}
	return path(&rows[0])
}
