package bom

// Cautions are rows, not prose: each names the hazard and defers to local codes
// and licensed practice. None claims conformity to any standard.

// Caution is one caution of a line.
type Caution struct {
	Code string `json:"code"`
	Path string `json:"path"`
	Says string `json:"says"`
}

const defers = " Follow local codes and licensed practice."

func (r *reckoning) cautions() {
	if r.hot && r.cat.Choice("hot_work_caution") == "yes" {
		r.caution("hot-work", firstPath(r.bill.Steel, func(row *SteelRow) string { return row.Path }),
			"Hot work: clear combustibles within "+r.hotWorkClearance()+" and keep a fire watch.")
	}
	if len(r.bill.Wood) > 0 {
		r.caution("wood-dust", r.bill.Wood[0].Path, "Wood dust burns and can explode: collect it at the machine.")
	}
	for i := range r.bill.Glass {
		r.caution("sharp-glass", r.bill.Glass[i].Path, "Glass edges cut: gloves and eye protection, carry upright, never trim a tempered pane.")
	}
	for i := range r.bill.Finish {
		if r.bill.Finish[i].flammable {
			r.caution("flammable-finish", r.bill.Finish[i].Path, "Flammable finish: no ignition source, ventilate, wear the breathing protection of the data sheet.")
		}
	}
	if len(r.bill.Cushions) > 0 {
		r.caution("upholstery-label", r.bill.Cushions[0].Path, "Upholstered seating sold in the United States needs the flammability label of 16 CFR 1640 where it applies.")
	}
	for i := range r.bill.Cartons {
		if r.bill.Cartons[i].TwoLift {
			r.caution("two-person-lift", r.bill.Cartons[i].Path, "Lift with two persons or a device: "+r.bill.Cartons[i].Gross.In(r.units)+".")
		}
	}
}

// hotWorkClearance is the 35 ft of 29 CFR 1910.252(a)(2)(vii), 10.668 m.
func (r *reckoning) hotWorkClearance() string {
	if r.units == Metric {
		return "11 m"
	}
	return "35 ft"
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
