package api

import (
	"strings"

	"billwright/bom"
)

func weldSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "joins", "kind", "size of", "size (in)", "form", "process", "each", "pieces", "sides", "length (in)",
		"all round", "length in all (in)", "deposit (lb)", "wire", "wire (lb)", "arc minutes", "ground flush", "work"},
		func(l *bom.LineBill) []bom.WeldRow { return l.Welds },
		func(r *bom.WeldRow, n numbers) []string {
			return []string{r.Path, r.Name, strings.Join(r.Joins, "; "), r.Kind, r.SizeOf, n.length(r.Size), r.Form, r.Process, count(r.Each), count(r.Pieces),
				count(r.Sides), n.unless(r.Length), yesNo(r.AllRound), n.unless(r.TotalLength), r.Deposit.Number(n.units), r.Wire, r.WireWeight.Number(n.units),
				arc(r.Arc), yesNo(r.GrindFlush), operations(r.Work)}
		})
}

func weldedSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "each", "pieces", "length in all (in)", "deposit (lb)", "wire (lb)", "arc minutes", "work"},
		func(l *bom.LineBill) []bom.WeldedRow { return l.Welded },
		func(r *bom.WeldedRow, n numbers) []string {
			return []string{r.Path, r.Name, count(r.Each), count(r.Pieces), n.unless(r.TotalLength), r.Deposit.Number(n.units), r.WireWeight.Number(n.units),
				arc(r.Arc), operations(r.Work)}
		})
}

// arc leaves the cell of a process without a rate empty.
func arc(m bom.Minutes) string {
	if m == 0 {
		return ""
	}
	return decimal(int64(m), 10, 1)
}
