package cutting_test

import (
	"testing"

	"pgregory.net/rapid"

	"billwright/bom/cutting"
)

// Best-fit decreasing cuts 50 + 45 and 35 + 30 + 20 from two bars of 100 and
// leaves 5 and 15, neither worth keeping. By hand: 50 + 30 + 20 fills a bar, and
// 45 + 35 leaves 20.
func TestLeftoversAreGatheredByHand(t *testing.T) {
	p := cutting.Problem{
		Stock: []cutting.Stock{{Length: 100, Cost: 1, Limit: cutting.Unlimited}},
		Pieces: []cutting.Piece{
			{Length: 50, Count: 1}, {Length: 45, Count: 1}, {Length: 35, Count: 1}, {Length: 30, Count: 1}, {Length: 20, Count: 1},
		},
		Keep: 20,
	}
	plan := solved(t, "two bars", p, cutting.Options{})
	kept, n := keptLengths(plan)
	if plan.Cost != 2 || kept != 20 || n != 1 || plan.Waste(&p) != 0 {
		t.Errorf("%d bars, %d kept in %d leftovers, waste %d: %v", plan.Cost, kept, n, plan.Waste(&p), plan.Bars)
	}
	p.LengthsPerBar = 2
	if plan := solved(t, "two lengths a bar", p, cutting.Options{}); plan.Cost != 3 {
		t.Errorf("with two lengths a bar: %d bars", plan.Cost)
	}
}

func keptLengths(plan *cutting.Plan) (length, n int64) {
	for _, b := range plan.Bars {
		if b.Kept {
			length += b.Leftover * b.Count
			n += b.Count
		}
	}
	return length, n
}

// Keeping leftovers changes where they are, and nothing else: it costs no more,
// and the squares of the leftovers, which grow as they come together, are never
// less than without it.
func TestGatheringLeftoversNeverCosts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(t)
		p.Keep = 0
		apart, err := cutting.Solve(p, cutting.Options{Work: 1e8})
		if err != nil {
			t.Fatal(err)
		}
		p.Keep = rapid.Int64Range(1, 12).Draw(t, "keep at least")
		together, err := cutting.Solve(p, cutting.Options{Work: 1e8})
		if err != nil {
			t.Fatal(err)
		}
		if err := cutting.Verify(&p, together); err != nil {
			t.Fatal(err)
		}
		if together.Cost > apart.Cost || together.Bound != apart.Bound {
			t.Fatalf("cost %d, bound %d; without gathering %d, %d", together.Cost, together.Bound, apart.Cost, apart.Bound)
		}
		if together.Count() == apart.Count() && squares(&p, together) < squares(&p, apart) {
			t.Fatalf("leftovers %v, without gathering %v", together.Bars, apart.Bars)
		}
	})
}

// squares adds the squares of what is free on each bar, kerfs counted as in the
// sum of pieces: what Leftover cuts off at 0 counts here.
func squares(p *cutting.Problem, plan *cutting.Plan) (sum int64) {
	for _, b := range plan.Bars {
		free := p.Stock[b.Stock].Length - p.TrimStart - p.TrimEnd
		if !p.KerfAfterEvery {
			free += p.Kerf
		}
		for _, c := range b.Cuts {
			free -= (p.Pieces[c.Piece].Length + p.Kerf) * c.Count
		}
		sum += free * free * b.Count
	}
	return sum
}
