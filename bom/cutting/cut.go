package cutting

import (
	"cmp"
	"slices"
)

// usedColumn is a pattern that the linear programme uses.
type usedColumn struct {
	p *pattern
	x float64
}

func (a *master) used() []usedColumn {
	var used []usedColumn
	for place, v := range a.lp.basis {
		if v >= 0 && a.lp.x[place] > 1e-7 && a.pool[v].stock >= 0 {
			used = append(used, usedColumn{&a.pool[v], a.lp.x[place]})
		}
	}
	return used
}

// meeting says how often two items share bars, at least as often as a cut of
// both can count, in the order of items.
type meeting [][]float64

func meetings(items int, used []usedColumn) meeting {
	y := make(meeting, items)
	for i := range y {
		y[i] = make([]float64, items)
	}
	for _, u := range used {
		for i, t := range u.p.terms {
			y[t.item][t.item] += float64(u.x * float64(t.count/2))
			for _, o := range u.p.terms[i+1:] {
				f := float64(u.x * float64(min(t.count, o.count)))
				y[t.item][o.item] += f
				y[o.item][t.item] += f
			}
		}
	}
	return y
}

type candidateCut struct {
	row    countRow
	broken float64
}

const (
	cutsARound    = 20
	leastBroken   = 0.02
	cutsOfAnItem  = 4
	mostCandidate = 4000
)

// separate finds cuts that the linear programme breaks: of two or three items,
// half the pieces rounded down, where they are odd in number (subset-row cuts:
// Jepsen, Petersen, Spoorendonk and Pisinger 2008, Operations Research 56; they
// are Chvatal's rounding with multipliers of one half).
func (a *master) separate() []countRow {
	used := a.used()
	need := a.m.need
	y := meetings(len(need), used)
	var found []candidateCut
	try := func(items ...int) {
		row := countRow{over: 2}
		for _, i := range items {
			row.terms = append(row.terms, term{i, 1})
		}
		broken := -float64(row.all(need))
		for _, u := range used {
			broken += float64(u.x * float64(row.count(u.p)))
		}
		if broken > leastBroken {
			found = append(found, candidateCut{row, broken})
		}
	}
	for i := range need {
		for j := i; j < len(need); j++ {
			both := y[i][j] + y[i][i] + y[j][j]
			if (need[i]+need[j])%2 == 1 && both > float64((need[i]+need[j])/2)+leastBroken {
				try(i, j)
			}
			if j == i {
				if need[i]%2 == 1 && y[i][i] > float64(need[i]/2)+leastBroken {
					try(i)
				}
				continue
			}
			for k := j + 1; k < len(need); k++ {
				if n := need[i] + need[j] + need[k]; n%2 == 1 && both+y[i][k]+y[j][k]+y[k][k] > float64(n/2)+leastBroken && len(found) < mostCandidate {
					try(i, j, k)
				}
			}
		}
	}
	a.work.spend(int64(len(need) * len(need) * len(need) / 6))
	return a.choose(found)
}

// choose takes the most broken cuts, not too many of one item and none twice.
func (a *master) choose(found []candidateCut) []countRow {
	slices.SortStableFunc(found, func(x, y candidateCut) int { return cmp.Compare(y.broken, x.broken) })
	times := make([]int, len(a.m.width))
	var rows []countRow
	for _, f := range found {
		fresh := !slices.ContainsFunc(f.row.terms, func(t term) bool { return times[t.item] >= cutsOfAnItem })
		if !fresh || a.has(&f.row) {
			continue
		}
		for _, t := range f.row.terms {
			times[t.item]++
		}
		if rows = append(rows, f.row); len(rows) == cutsARound {
			break
		}
	}
	return rows
}

func (a *master) has(row *countRow) bool {
	return slices.ContainsFunc(a.rows, func(r limitRow) bool {
		return r.cut && r.over == row.over && slices.Equal(r.terms, row.terms)
	})
}

// addLimitRow adds a row to the linear programme.
func (a *master) addLimitRow(r limitRow) {
	sign, penalty := -1.0, 0.0
	if r.atLeast {
		if sign, penalty = 1, 16; len(a.m.size) > 1 {
			penalty = 500
		}
	}
	r.at = a.lp.addLimit(sign, float64(r.limit), penalty, func(v int) float64 { return float64(r.count(&a.pool[v])) })
	a.rows = append(a.rows, r)
	a.left.rows = append(a.left.rows, r.limit)
}
