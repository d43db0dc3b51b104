package demand

import (
	"slices"
	"strings"
)

// Use tells that the shop used up what a line needs of some kinds of material.
type Use struct {
	Line int
	// Unit is 0 for every unit of the line.
	Unit int
	// Path is that of a row and of all below it, or empty for the whole unit.
	Path string
	// UsesUp tells which kinds of material.
	UsesUp func(kind string) bool
}

// Used gives what of the requirements was used up, each row with the pieces and
// the amount of the units it was used up of; quantity tells how many units a
// line has. Amounts are shared out by unit and rounded up to their grain.
func Used(rows []Requirement, uses []Use, quantity func(line int) int) []Requirement {
	var used []Requirement
	for i := range rows {
		r := rows[i]
		n := quantity(r.Line)
		if r.Surplus || n == 0 {
			continue
		}
		units := map[int]bool{}
		for _, u := range uses {
			if u.Line != r.Line || !u.UsesUp(r.Kind) || u.Path != "" && r.Path != u.Path && !strings.HasPrefix(r.Path, u.Path+"/") {
				continue
			}
			for unit := 1; unit <= n; unit++ {
				if (u.Unit == 0 || u.Unit == unit) && (r.Unit == 0 || r.Unit == unit) {
					units[unit] = true
				}
			}
		}
		switch {
		case len(units) == 0:
			continue
		case r.Unit == 0 && len(units) < n:
			r.Pieces, r.Amount = int(shareUp(int64(r.Pieces), len(units), n)), shareUp(r.Amount, len(units), n)
		}
		used = append(used, r)
	}
	return used
}

// shareUp is amount·part/whole rounded up, with its factors apart so that
// nothing overflows.
func shareUp(amount int64, part, whole int) int64 {
	each, rest := amount/int64(whole), amount%int64(whole)
	return each*int64(part) + (rest*int64(part)+int64(whole)-1)/int64(whole)
}

// Disposed is what was used up and does not fit the changed needs, with what
// becomes of it.
type Disposed struct {
	Requirement
	// Disposition is keep, recut, stock, scrap or charge.
	Disposition string
}

// Dispose makes the needs of a changed order of its new ones and of what was
// used up: what was used up and is needed still counts as it is, what is not
// becomes surplus and stays in the ledger, since it was bought. By keep the
// pieces made stand in for new ones of their row; by recut they do where they
// are long enough; by stock, scrap and charge all new ones are needed. Needs
// gives nothing to buy for what stands in.
func Dispose(needs, used []Requirement, disposition func(r *Requirement) string) (all []Requirement, surplus []Disposed) {
	all = slices.Clone(needs)
	left := slices.Clone(needs)
	seq := 0
	for i := range needs {
		seq = max(seq, needs[i].Seq)
	}
	for i := range used {
		u := used[i]
		takeAlike(left, &u)
		if u.Pieces <= 0 && u.Amount <= 0 {
			continue
		}
		d := disposition(&u)
		if d == "keep" || d == "recut" {
			standIn(all, left, u, d == "recut")
		}
		seq++
		u.Seq, u.Surplus, u.Firm = seq, true, false
		all = append(all, u)
		surplus = append(surplus, Disposed{u, d})
	}
	return slices.DeleteFunc(all, func(r Requirement) bool { return r.Pieces <= 0 || r.Amount <= 0 }), surplus
}

// takeAlike takes from what was used up that which the new needs ask for just
// so.
func takeAlike(left []Requirement, u *Requirement) {
	for k := range left {
		n := &left[k]
		if n.Line != u.Line || n.Path != u.Path || n.Kind != u.Kind || n.Item != u.Item || n.Length != u.Length || n.Width != u.Width || n.Unit != 0 && u.Unit != 0 && n.Unit != u.Unit {
			continue
		}
		pieces, amount := min(n.Pieces, u.Pieces), min(n.Amount, u.Amount)
		n.Pieces, u.Pieces = n.Pieces-pieces, u.Pieces-pieces
		n.Amount, u.Amount = n.Amount-amount, u.Amount-amount
		// Less of the same: a rest of either without the other is no row.
		if u.Pieces <= 0 || u.Amount <= 0 {
			u.Pieces, u.Amount = 0, 0
		}
	}
}

// standIn lets pieces made take the place of new ones of the same row.
func standIn(all, left []Requirement, u Requirement, recut bool) {
	for k := range left {
		n := &left[k]
		if n.Surplus || n.Line != u.Line || n.Path != u.Path || n.Kind != u.Kind || n.Unit != 0 && u.Unit != 0 && n.Unit != u.Unit || n.Pieces <= 0 {
			continue
		}
		if recut && (u.Length == 0 || n.Length > u.Length || n.Width > u.Width || n.Item != u.Item) {
			continue
		}
		pieces := min(n.Pieces, u.Pieces)
		amount := shareUp(n.Amount, pieces, n.Pieces)
		n.Pieces, n.Amount = n.Pieces-pieces, n.Amount-amount
		all[k].Pieces, all[k].Amount = all[k].Pieces-pieces, all[k].Amount-amount
		if u.Pieces -= pieces; u.Pieces == 0 {
			return
		}
	}
}
