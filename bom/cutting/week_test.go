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
	seeds := []uint64{1, 3, 8, 13, 21, 34, 55, 68, 77, 89}
	if underRace {
		seeds = seeds[:2]
	}
	whole := 0
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
		}
	}
	if whole == 0 {
		t.Error("no leaf is proved by whole bars")
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
