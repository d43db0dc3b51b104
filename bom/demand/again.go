package demand

import "slices"

// Again gives what spoiled pieces of one row need once more, to be put behind
// the requirements given. Where a row has fewer pieces than were spoiled, short
// is how many it has. Amounts are shared out by piece and rounded up to their
// grain, so that never too little is bought.
func Again(rows []Requirement, line, unit int, path string, pieces int) (again []Requirement, short int) {
	seq := 0
	for i := range rows {
		seq = max(seq, rows[i].Seq)
	}
	for i := range rows {
		r := rows[i]
		if r.Surplus || r.Line != line || r.Path != path || r.Unit != 0 && unit != 0 && r.Unit != unit {
			continue
		}
		// What was spoiled before stands behind its row and is no row of the bill.
		if slices.ContainsFunc(again, func(o Requirement) bool {
			return o.Kind == r.Kind && o.Item == r.Item && o.Length == r.Length && o.Width == r.Width
		}) {
			continue
		}
		if pieces > r.Pieces {
			return nil, r.Pieces
		}
		whole := int64(r.Pieces)
		each, rest := r.Amount/whole, r.Amount%whole // apart, so that nothing overflows
		r.Amount = each*int64(pieces) + (rest*int64(pieces)+whole-1)/whole
		r.Pieces = pieces
		seq++
		r.Seq = seq
		if r.Unit == 0 {
			r.Unit = unit
		}
		again = append(again, r)
	}
	return again, 0
}
