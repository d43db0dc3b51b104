package api

import "billwright/bom"

func init() {
	partSheets["shipping"], partSheets["handling-units"], partSheets["lifts"] = shippingSheet, unitSheet, liftSheet
}

// shippingSheet is how the cartons travel for which the catalog names a
// handling; the others stand on the sheet of cartons alone.
func shippingSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"pieces", "outside length (in)", "outside width (in)", "outside depth (in)", "gross (lb)", "package type", "ship", "parcel terms",
		"billed length (in)", "billed width (in)", "billed height (in)", "dimensional weight (lb)", "billed weight (lb)", "layers that may be stacked", "safe load (lb)", "why no figure"},
		func(l *bom.LineBill) []bom.CartonRow {
			var shipped []bom.CartonRow
			for i := range l.Cartons {
				if l.Cartons[i].Outside != nil {
					shipped = append(shipped, l.Cartons[i])
				}
			}
			return shipped
		},
		func(r *bom.CartonRow, n numbers) []string {
			parcel := make([]string, 6)
			if p := r.Parcel; p != nil {
				parcel = []string{p.Terms, n.length(p.Length), n.length(p.Width), n.length(p.Height), p.Dimensional.Number(n.units), p.Billed.Number(n.units)}
			}
			safe := ""
			if r.Stack.SafeLoad > 0 {
				safe = r.Stack.SafeLoad.Number(n.units)
			}
			cells := append([]string{r.Path, count(r.Pieces), n.length(r.Outside.Length), n.length(r.Outside.Width), n.length(r.Outside.Depth),
				r.Gross.Number(n.units), r.Package, r.Ship}, parcel...)
			return append(cells, count(r.Stack.Layers), safe, r.Stack.Reason)
		})
}

func unitSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"pallet", "units", "cartons on each", "layers", "length (in)", "width (in)", "height (in)", "weight of each (lb)", "density", "freight class", "scale from"},
		func(l *bom.LineBill) []bom.UnitRow { return l.Units },
		func(r *bom.UnitRow, n numbers) []string {
			return []string{r.Path, r.Pallet, count(r.Units), count(r.Cartons), count(r.Layers), n.length(r.Length), n.length(r.Width), n.length(r.Height),
				r.Weight.Number(n.units), r.Density, r.Class, r.Scale}
		})
}

func liftSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"lift", "weight (lb)", "recommended limit (lb)", "lift index"},
		func(l *bom.LineBill) []bom.LiftRow { return l.Lifts },
		func(r *bom.LiftRow, n numbers) []string {
			return []string{r.Path, r.Lift, r.Weight.Number(n.units), r.Limit.Number(n.units), r.Index}
		})
}
