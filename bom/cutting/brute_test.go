package cutting_test

import (
	"errors"
	"math"
	"math/bits"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom/cutting"
)

// tiny draws a problem of at most 7 pieces, small enough to try every plan.
func tiny(t *rapid.T) cutting.Problem {
	groups := rapid.SampledFrom([][]string{{""}, {""}, {"A36", "heat 7"}}).Draw(t, "groups")
	p := cutting.Problem{
		Kerf:           rapid.Int64Range(0, 3).Draw(t, "kerf"),
		KerfAfterEvery: rapid.Bool().Draw(t, "after every"),
		TrimStart:      rapid.Int64Range(0, 2).Draw(t, "trim at the start"),
		TrimEnd:        rapid.Int64Range(0, 2).Draw(t, "trim at the end"),
		Keep:           rapid.Int64Range(0, 10).Draw(t, "keep"),
	}
	for _, g := range groups {
		p.Stock = append(p.Stock, cutting.Stock{Length: 40, Cost: rapid.Int64Range(1, 30).Draw(t, "cost"), Limit: cutting.Unlimited, Group: g})
		for range rapid.IntRange(0, 3).Draw(t, "more stock") {
			p.Stock = append(p.Stock, cutting.Stock{
				Length: rapid.Int64Range(10, 50).Draw(t, "stock"), Cost: rapid.Int64Range(0, 30).Draw(t, "cost"),
				Limit: rapid.Int64Range(-1, 2).Draw(t, "limit"), Group: g,
			})
		}
	}
	for range rapid.IntRange(1, 4).Draw(t, "lines") {
		p.Pieces = append(p.Pieces, cutting.Piece{
			Length: rapid.Int64Range(1, 33).Draw(t, "length"), Count: rapid.Int64Range(1, 2).Draw(t, "count"),
			Group: rapid.SampledFrom(groups).Draw(t, "group"),
		})
	}
	return p
}

// leastByTrying is the least cost over all plans of a group: bar after bar of
// limited stock takes any set of pieces, or none, and then any number of bars
// of unlimited stock.
func leastByTrying(p *cutting.Problem, group string) int64 {
	var pieces []int64
	for _, piece := range p.Pieces {
		for range piece.Count {
			if piece.Group == group {
				pieces = append(pieces, piece.Length)
			}
		}
	}
	const never = math.MaxInt64 / 2
	best := make([]int64, 1<<len(pieces))
	for i := range best {
		best[i] = never
	}
	best[0] = 0
	use := func(s cutting.Stock, from []int64) {
		for have := range best {
			for set := (len(best) - 1) &^ have; set > 0; set = (set - 1) &^ have {
				if fits(p, s.Length, pieces, set) {
					best[have|set] = min(best[have|set], from[have]+s.Cost)
				}
			}
		}
	}
	for _, s := range p.Stock {
		for range s.Limit {
			if s.Group == group {
				use(s, slices.Clone(best))
			}
		}
	}
	for _, s := range p.Stock {
		if s.Group == group && s.Limit == cutting.Unlimited {
			use(s, best)
		}
	}
	return best[len(best)-1]
}

func fits(p *cutting.Problem, length int64, pieces []int64, set int) bool {
	cuts := int64(bits.OnesCount(uint(set)))
	if !p.KerfAfterEvery {
		cuts--
	}
	used := p.TrimStart + p.TrimEnd + cuts*p.Kerf
	for i, w := range pieces {
		if set>>i&1 == 1 {
			used += w
		}
	}
	return used <= length
}

func TestTinyPlansAreTheBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(t)
		plan, err := cutting.Solve(p, cutting.Options{Work: 1e8})
		if err != nil {
			t.Fatal(err)
		}
		if err := cutting.Verify(&p, plan); err != nil {
			t.Fatal(err)
		}
		var least int64
		seen := map[string]bool{}
		for _, piece := range p.Pieces {
			if !seen[piece.Group] {
				least += leastByTrying(&p, piece.Group)
			}
			seen[piece.Group] = true
		}
		if plan.Bound > least || plan.Cost < least || plan.Status != cutting.NotProved && plan.Cost != least {
			t.Fatalf("cost %d, bound %d, %s; the least by trying all plans is %d", plan.Cost, plan.Bound, plan.Status, least)
		}
	})
}

func TestOrderOfLinesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(t)
		q := p
		q.Pieces = rapid.Permutation(p.Pieces).Draw(t, "pieces")
		q.Stock = rapid.Permutation(p.Stock).Draw(t, "stock")
		a, errA := cutting.Solve(p, cutting.Options{Work: 1e8})
		b, errB := cutting.Solve(q, cutting.Options{Work: 1e8})
		if err := errors.Join(errA, errB); err != nil {
			t.Fatal(err)
		}
		if a.Cost != b.Cost || a.Bound != b.Bound || a.Status != b.Status {
			t.Fatalf("%d %d %s, and after changing the order %d %d %s", a.Cost, a.Bound, a.Status, b.Cost, b.Bound, b.Status)
		}
	})
}

func TestOneMorePieceIsNeverCheaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(t)
		q := p
		q.Pieces = append(slices.Clone(p.Pieces), p.Pieces[0])
		q.Pieces[len(q.Pieces)-1].Count = 1
		a, errA := cutting.Solve(p, cutting.Options{Work: 1e8})
		b, errB := cutting.Solve(q, cutting.Options{Work: 1e8})
		if err := errors.Join(errA, errB); err != nil {
			t.Fatal(err)
		}
		proved := a.Status != cutting.NotProved && b.Status != cutting.NotProved
		if proved && b.Cost < a.Cost {
			t.Fatalf("one piece more costs %d instead of %d", b.Cost, a.Cost)
		}
	})
}
