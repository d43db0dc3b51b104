package cutting_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"billwright/bom/cutting"
)

// week draws a workshop's week in sixteenths of an inch and cents: 40 to 300
// pieces of 60 lengths of 2 to 120 in, five stock lengths not priced in
// proportion, and 40 offcuts of 12 to 130 in that cost nothing.
func week(seed uint64) cutting.Problem {
	const inch = 16
	rnd := rand.New(rand.NewPCG(seed, 1))
	p := cutting.Problem{Kerf: inch / 8, Keep: 24 * inch}
	for _, length := range []int64{144, 240, 252, 288, 480} {
		perInch := 17 + 3.5*rnd.Float64()
		p.Stock = append(p.Stock, cutting.Stock{Length: length * inch, Cost: int64(perInch * float64(length)), Limit: cutting.Unlimited})
	}
	for range 40 {
		p.Stock = append(p.Stock, cutting.Stock{Length: 12*inch + rnd.Int64N(118*inch+1), Limit: 1})
	}
	for range 60 {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 2*inch + rnd.Int64N(118*inch+1)})
	}
	for range 40 + rnd.IntN(261) {
		p.Pieces[rnd.IntN(60)].Count++
	}
	p.Pieces = slices.DeleteFunc(p.Pieces, func(c cutting.Piece) bool { return c.Count == 0 })
	return p
}

// TestAWorkshopsWeekIsProved: bars of several kinds beside offcuts, each plan
// proved with about a second of work.
func TestAWorkshopsWeekIsProved(t *testing.T) {
	seeds := []uint64{18, 1, 3, 8, 13, 21, 34, 55, 68, 77, 89}
	if underRace {
		seeds = seeds[:2]
	}
	whole, listed := 0, 0
	for _, seed := range seeds {
		p := week(seed)
		plan := solved(t, "week", p, cutting.Options{Work: 2e9})
		if plan.Status == cutting.NotProved {
			t.Errorf("seed %d: cost %d, bound %d", seed, plan.Cost, plan.Bound)
		}
		for _, n := range plan.Certificate.Proofs[0].Nodes {
			if n.Leaf != nil && n.Leaf.Whole {
				whole++
			}
			if len(n.Listed) > 0 {
				listed++
			}
		}
	}
	if whole == 0 || listed == 0 {
		t.Errorf("%d leaves are proved by whole bars, and %d trees by short bars; want some of each", whole, listed)
	}
}

// Pieces of 4 on bars of 10 for 10 and of 6 for 7: a long bar holds two and a
// short one one. Prices alone prove 15 for three pieces; but two long bars cost 20,
// and a long and a short one 17.
func TestVerifyCountsWholeBars(t *testing.T) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 4, Count: 3}},
		Stock:  []cutting.Stock{{Length: 10, Cost: 10, Limit: cutting.Unlimited}, {Length: 6, Cost: 7, Limit: cutting.Unlimited}},
	}
	made := func() *cutting.Plan {
		return &cutting.Plan{
			Bars: []cutting.Bar{
				{Stock: 0, Count: 1, Cuts: []cutting.Cut{{Piece: 0, Count: 2}}, Leftover: 2},
				{Stock: 1, Count: 1, Cuts: []cutting.Cut{{Piece: 0, Count: 1}}, Leftover: 2},
			},
			Cost: 17, Bound: 17, Status: cutting.BySearch,
			Certificate: cutting.Certificate{Proofs: []cutting.Proof{{Grain: 1, Nodes: []cutting.Node{
				{Leaf: &cutting.Leaf{Whole: true, Scale: 1, Prices: []cutting.Price{{Length: 4, Price: 5}}}},
			}}}},
		}
	}
	if err := cutting.Verify(&p, made()); err != nil {
		t.Fatal(err)
	}
	for said, harm := range map[string]func(*cutting.Plan){
		"can hold 20, and may hold 10": func(q *cutting.Plan) {
			q.Certificate.Proofs[0].Nodes[0].Leaf.Whole, q.Certificate.Proofs[0].Nodes[0].Leaf.Prices[0].Price = false, 10
		},
		"proves 15, the plan claims 17": func(q *cutting.Plan) { q.Certificate.Proofs[0].Nodes[0].Leaf.Whole = false },
		"proves 0, the plan claims 17":  func(q *cutting.Plan) { q.Certificate.Proofs[0].Nodes[0].Leaf.Prices = nil },
		"prices of pieces only": func(q *cutting.Plan) {
			q.Certificate.Proofs[0].Nodes[0].Leaf.Stock = []cutting.StockPrice{{Stock: 0, Price: 1}}
		},
	} {
		q := made()
		harm(q)
		if err := cutting.Verify(&p, q); err == nil || !strings.Contains(err.Error(), said) {
			t.Errorf("got %v, want %q", err, said)
		}
	}
	free := p
	free.Stock = append(slices.Clone(p.Stock), cutting.Stock{Length: 6, Cost: 0, Limit: 1})
	if err := cutting.Verify(&free, made()); err == nil || !strings.Contains(err.Error(), "proves 10, the plan claims 17") {
		t.Errorf("with a free offcut got %v", err)
	}
}

// fourOfFive is four pieces of 5, bars of 12 for 10 and an offcut of 9 that costs
// nothing. The offcut holds one piece and a bar two, so that it takes two bars.
// That one bar will not do is proved by listing only what the offcut can hold: with
// no piece in it, or with one.
func fourOfFive() (cutting.Problem, *cutting.Plan) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 5, Count: 4}},
		Stock:  []cutting.Stock{{Length: 12, Cost: 10, Limit: cutting.Unlimited}, {Length: 9, Limit: 1}},
	}
	leaf := func(piece, offcut int64, decisions ...int64) *cutting.Leaf {
		return &cutting.Leaf{Scale: 1, Prices: []cutting.Price{{Length: 5, Price: piece}},
			Stock: []cutting.StockPrice{{Stock: 1, Price: offcut}}, Branches: decisions}
	}
	return p, &cutting.Plan{
		Bars: []cutting.Bar{{Stock: 0, Count: 2, Cuts: []cutting.Cut{{Piece: 0, Count: 2}}, Leftover: 2}},
		Cost: 20, Bound: 20, Status: cutting.BySearch,
		Certificate: cutting.Certificate{Proofs: []cutting.Proof{{Grain: 10, Below: 2, Nodes: []cutting.Node{
			{Row: cutting.Row{Stock: []int{0}}, Most: 1, Low: 1, High: 2},
			{ // At the price of 4, one piece in the offcut is just within the gap of 0.
				Narrow: leaf(4, 4, 11), Listed: []int{1},
				Row: cutting.Row{Stock: []int{1}, Terms: []cutting.Term{{Length: 5, Times: 1}}, Over: 1}, Low: 3, High: 4,
			},
			// Two bars or more at 1 each.
			{Leaf: &cutting.Leaf{Scale: 1, Branches: []int64{1}}},
			{Leaf: leaf(4, 0, 11, 0)}, // 16 - 11
			{Leaf: leaf(5, 5, 11, 0)}, // 20 - 5 - 11
		}}}},
	}
}

func TestVerifyListsShortBarsOnly(t *testing.T) {
	p, plan := fourOfFive()
	if err := cutting.Verify(&p, plan); err != nil {
		t.Fatal(err)
	}
	nodes := func(q *cutting.Plan) []cutting.Node { return q.Certificate.Proofs[0].Nodes }
	// A decision on the offcut's pieces counts in the offcut only: were it to count
	// in the bars, these could hold 24.
	q := plan
	nodes(q)[4].Leaf.Stock[0].Price, nodes(q)[4].Leaf.Branches = 12, []int64{11, 7}
	if err := cutting.Verify(&p, q); err != nil {
		t.Errorf("with a price for the decision: %v", err)
	}
	// Also where the bars are listed too, as they are within a gap of 4.
	q.Certificate.Proofs[0].Below, nodes(q)[1].Listed = 6, []int{0, 1}
	if err := cutting.Verify(&p, q); err != nil {
		t.Errorf("with the bars listed: %v", err)
	}
	for _, c := range []struct {
		said string
		harm func(*cutting.Problem, *cutting.Plan)
	}{
		// Nor do two pieces in two offcuts say that there are two in each.
		{"can hold 4, and may hold 0", func(p *cutting.Problem, q *cutting.Plan) {
			p.Stock[1].Limit = 2
			nodes(q)[1].Most, nodes(q)[1].Low, nodes(q)[1].High = 1, 4, 3
		}},
		{"can hold 8, and may hold 4", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[3].Leaf.Branches[0] = 3 }},
		{"can hold 5, and may hold 3", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[4].Leaf.Stock[0].Price = 3 }},
		{"can hold 12, and may hold 5", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[4].Leaf.Branches[1] = 7 }},
		{"can hold 4, and may hold 0", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[1].Low, nodes(q)[1].High = 4, 3 }},
		{"bars that are not listed", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[1].Row.Stock = []int{0} }},
		{"bars that are not listed", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[1].Narrow, nodes(q)[1].Listed = nil, nil }},
		{"no bar is listed", func(_ *cutting.Problem, q *cutting.Plan) { nodes(q)[1].Listed = []int{7} }},
		{"only the first node", func(_ *cutting.Problem, q *cutting.Plan) {
			nodes(q)[3].Narrow, nodes(q)[3].Listed = nodes(q)[3].Leaf, []int{1}
		}},
		// Two offcuts hold a piece each, and one bar is enough: a decision that
		// there is a piece in them does not say that there is one in each.
		{"the plan claims 20", func(p *cutting.Problem, _ *cutting.Plan) { p.Stock[1].Limit = 2 }},
		{"can hold 5, and may hold 0", func(p *cutting.Problem, q *cutting.Plan) {
			p.Stock[1].Limit = 2
			nodes(q)[4].Leaf.Stock[0].Price = 0
		}},
	} {
		p, q := fourOfFive()
		c.harm(&p, q)
		if err := cutting.Verify(&p, q); err == nil || !strings.Contains(err.Error(), c.said) {
			t.Errorf("got %v, want %q", err, c.said)
		}
	}
}

// Whatever fits free bars of 18 without end has no price: else no prices would prove
// anything, and the tree would go on deciding that there are more bars of 38, and
// more again.
func TestFreeBarsWithoutEndEndTheSearch(t *testing.T) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 34, Count: 2}, {Length: 13, Count: 2}, {Length: 8, Count: 2}},
		Stock:  []cutting.Stock{{Length: 38, Cost: 1, Limit: cutting.Unlimited}, {Length: 18, Limit: cutting.Unlimited}},
	}
	plan := solved(t, "free bars", p, cutting.Options{Work: 1e9})
	if n := len(plan.Certificate.Proofs[0].Nodes); plan.Cost != 2 || n > 100 {
		t.Errorf("cost %d with a tree of %d nodes, want 2 and hardly any", plan.Cost, n)
	}
}

// About a thousand pieces take so many bars that their numbers are too many to go through one by
// one: the check must begin with those worth most for their cost.
func TestVerifyCountsManyWholeBars(t *testing.T) {
	p := week(0)
	rnd := rand.New(rand.NewPCG(0, 2))
	for i := range p.Pieces {
		p.Pieces[i].Count += 10 + rnd.Int64N(10)
	}
	solved(t, "many", p, cutting.Options{Work: 5e8})
}
