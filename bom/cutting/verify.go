package cutting

import (
	"errors"
	"fmt"
	"math/big"
)

// Verify checks a plan against its problem from scratch: every piece is there
// once, every bar holds its pieces with kerf and trim, no stock is overdrawn,
// cost and leftovers add up, and the certificate proves the bound and the status
// claimed. It shares no code with the solver. It returns all it finds, or nil.
func Verify(p *Problem, plan *Plan) error {
	v := &verifier{p: p, plan: plan}
	v.bars()
	v.totals()
	if len(v.found) == 0 {
		v.certificate()
	}
	return errors.Join(v.found...)
}

type verifier struct {
	p     *Problem
	plan  *Plan
	cut   map[int]int64 // pieces by line
	used  map[int]int64 // bars by stock line
	found []error
}

func (v *verifier) fault(format string, args ...any) {
	v.found = append(v.found, fmt.Errorf(format, args...))
}

func (v *verifier) bars() {
	v.cut, v.used = map[int]int64{}, map[int]int64{}
	for i, b := range v.plan.Bars {
		if b.Stock < 0 || b.Stock >= len(v.p.Stock) || b.Count <= 0 || len(b.Cuts) == 0 {
			v.fault("bar %d: stock line %d, %d bars with %d cuts make no sense", i, b.Stock, b.Count, len(b.Cuts))
			continue
		}
		v.used[b.Stock] += b.Count
		v.bar(i, &b)
	}
}

// bar saws one bar from its start, piece by piece.
func (v *verifier) bar(i int, b *Bar) {
	stock := v.p.Stock[b.Stock]
	end := stock.Length - v.p.TrimEnd
	at := v.p.TrimStart
	lengths := map[int64]bool{}
	pieces := int64(0)
	for _, c := range b.Cuts {
		if c.Piece < 0 || c.Piece >= len(v.p.Pieces) || c.Count <= 0 {
			v.fault("bar %d: cut of line %d, %d times, makes no sense", i, c.Piece, c.Count)
			return
		}
		piece := v.p.Pieces[c.Piece]
		if piece.Group != stock.Group {
			v.fault("bar %d: a piece of group %q on stock of group %q", i, piece.Group, stock.Group)
		}
		lengths[piece.Length] = true
		v.cut[c.Piece] += c.Count * b.Count
		pieces += c.Count
		at += c.Count * (piece.Length + v.p.Kerf)
	}
	last := at
	if !v.p.KerfAfterEvery {
		last -= v.p.Kerf
	}
	if last > end {
		v.fault("bar %d: the %d pieces end at %d, %d beyond the usable end", i, pieces, last, last-end)
	}
	left := max(end-at, 0)
	if b.Leftover != left {
		v.fault("bar %d: %d is left over, not %d", i, left, b.Leftover)
	}
	if keep := v.p.Keep > 0 && left >= v.p.Keep; keep != b.Kept {
		v.fault("bar %d: leftover %d kept: %v", i, left, b.Kept)
	}
	if n := v.p.LengthsPerBar; n > 0 && len(lengths) > n {
		v.fault("bar %d: %d different lengths, more than %d", i, len(lengths), n)
	}
}

func (v *verifier) totals() {
	for i, piece := range v.p.Pieces {
		if v.cut[i] != piece.Count {
			v.fault("piece line %d: %d cut, %d asked for", i, v.cut[i], piece.Count)
		}
	}
	cost := new(big.Int)
	for i, s := range v.p.Stock {
		if s.Limit != Unlimited && v.used[i] > s.Limit {
			v.fault("stock line %d: %d bars used, %d there", i, v.used[i], s.Limit)
		}
		cost.Add(cost, new(big.Int).Mul(big.NewInt(s.Cost), big.NewInt(v.used[i])))
	}
	if cost.Cmp(big.NewInt(v.plan.Cost)) != 0 {
		v.fault("the bars cost %s, the plan says %d", cost, v.plan.Cost)
	}
	if v.plan.Bound > v.plan.Cost {
		v.fault("the bound %d is above the cost %d", v.plan.Bound, v.plan.Cost)
	}
	if proved := v.plan.Bound == v.plan.Cost; proved == (v.plan.Status == NotProved) {
		v.fault("bound %d and cost %d do not go with the status %q", v.plan.Bound, v.plan.Cost, v.plan.Status)
	}
	if v.plan.WithoutLimits != (v.p.LengthsPerBar > 0) {
		v.fault("the plan does not say whether the bound leaves out the limit of lengths on a bar")
	}
}
