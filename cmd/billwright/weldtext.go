package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/unit"
)

// welds writes what is welded, joint by joint, and then the wholes with what is
// done to them.
func (t *textWriter) welds(b *bom.LineBill) {
	in := t.units
	t.section("Welds", "joints\tlength in all\tweld\tprocess\tdeposit\twire\tarc\twhat", len(b.Welds), func(i int) []string {
		r := &b.Welds[i]
		return []string{fmt.Sprint(r.Pieces), tape(r.TotalLength, in), weldKind(r, in), r.Process, r.Deposit.In(in), r.WireWeight.In(in), minutes(r.Arc), r.Name + works(r.Work)}
	})
	t.section("Welded", "pieces\tlength in all\tdeposit\twire\tarc\twhat", len(b.Welded), func(i int) []string {
		r := &b.Welded[i]
		return []string{fmt.Sprint(r.Pieces), tape(r.TotalLength, in), r.Deposit.In(in), r.WireWeight.In(in), minutes(r.Arc), r.Name + works(r.Work)}
	})
}

func weldKind(r *bom.WeldRow, in bom.Units) string {
	text := fmt.Sprintf("%s, %s %s", r.Kind, r.SizeOf, in.Length(r.Size))
	if r.Form != "" {
		text += ", " + r.Form
	}
	if r.AllRound {
		text += ", all round"
	}
	return text
}

func works(work []bom.OperationRow) string {
	if len(work) == 0 {
		return ""
	}
	texts := make([]string, len(work))
	for i, w := range work {
		texts[i] = w.Work
	}
	return " (" + strings.Join(texts, "; ") + ")"
}

// ways are the rows of what was chosen for pieces longer than the bars.
func ways(l *order.DocumentLine) (rows [][]string) {
	for _, path := range slices.Sorted(maps.Keys(l.Ways)) {
		rows = append(rows, []string{"  " + path, l.Ways[path], "longer than the bars on the rack"})
	}
	return rows
}

// tape is a length as a tape shows it; a plug has none.
func tape(l unit.Length, in bom.Units) string {
	if l == 0 {
		return ""
	}
	return in.Tape(l)
}
