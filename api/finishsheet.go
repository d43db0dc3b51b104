package api

import (
	"strings"

	"billwright/bom"
)

// The sheets of finishing: the steps, and the routes that they lead the work.

func finishSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"step", "finish", "do", "station", "hand", "pieces", "area (ft2)", "coats", "minutes", "coating", "powder (lb)", "liquid (gal)",
		"mixed of", "safety data sheet", "flash (min)", "cure", "recoat from (h)", "recoat to (h)", "longest wait for the next coat (h)", "wait (h)", "ready (h)"},
		func(l *bom.LineBill) []bom.FinishRow { return l.Finish },
		func(r *bom.FinishRow, n numbers) []string {
			cells := []string{r.Path, count(r.Step), r.Finish, r.Work, r.Station, yesNo(r.Hand), count(r.Pieces), r.Area.Number(n.units),
				count(max(r.Coats, 1)), decimal(int64(r.Minutes), 10, 1), r.Coating, "", "", mix(r, n), r.SafetySheet, "", cure(r), "", "", "", r.Wait, hours(r.Ready)}
			if r.Coating == "" {
				cells[8] = ""
			}
			if r.Powder != nil {
				cells[11] = r.Powder.Number(n.units)
			}
			if r.Liquid != nil {
				cells[12] = r.Liquid.Number(n.units)
			}
			if r.Flash != nil {
				cells[15] = decimal(int64(*r.Flash), 10, 1)
			}
			if w := r.Recoat; w != nil {
				cells[17], cells[18], cells[19] = hours(&w.From), hours(w.To), hours(w.Longest)
			}
			return cells
		})
}

func routeSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"finish", "pieces", "stations", "then", "hand", "finish batch", "ready (h)"},
		func(l *bom.LineBill) []bom.RouteRow { return l.Routes },
		func(r *bom.RouteRow, _ numbers) []string {
			return []string{r.Path, r.Finish, count(r.Pieces), strings.Join(r.Stations, "; "), r.Then, yesNo(r.Hand), r.Batch, hours(r.Ready)}
		})
}

// hours writes a time in hours, and none as an empty cell.
func hours(h *bom.Hours) string {
	if h == nil {
		return ""
	}
	return decimal(int64(*h), 3600, 2)
}

func cure(r *bom.FinishRow) string {
	if r.Cure == nil {
		return ""
	}
	return r.Cure.Minutes.String() + " at " + r.Cure.At
}

func mix(r *bom.FinishRow, n numbers) string {
	parts := make([]string, len(r.Mix))
	for i, m := range r.Mix {
		parts[i] = m.Component + " " + m.Liquid.Number(n.units)
	}
	return strings.Join(parts, "; ")
}
