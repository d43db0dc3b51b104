package cutting_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom/cutting"
)

// Three lengths fill a bar of 12 ft exactly, 60 + 48 + 36 in; a saw that sets no
// more than two stops a bar needs more bars than that, and says that its bound
// is the other's. By hand: two lengths a bar leave 36, 48 or 60 in of each bar.
func TestNoMoreLengthsOnABarThanTheSawSets(t *testing.T) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 60, Count: 4}, {Length: 48, Count: 4}, {Length: 36, Count: 4}},
		Stock:  []cutting.Stock{{Length: 144, Cost: 1, Limit: cutting.Unlimited}},
	}
	free, err := cutting.Solve(p, cutting.Options{})
	if err != nil || free.Cost != 4 || free.WithoutLimits {
		t.Fatalf("without limit %+v, %v", free, err)
	}
	p.LengthsPerBar = 2
	limited, err := cutting.Solve(p, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := cutting.Verify(&p, limited); err != nil {
		t.Fatal(err)
	}
	if limited.Cost < 5 || limited.Bound != 4 || !limited.WithoutLimits || limited.Status != cutting.NotProved {
		t.Errorf("with two lengths a bar: cost %d, bound %d, %s", limited.Cost, limited.Bound, limited.Status)
	}
}

// Whatever is cut, a plan within the saw's limits still verifies, and costs no
// less than the plan without them.
func TestSawLimitsOnlyEverCost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tiny(t)
		for i := range p.Pieces {
			p.Pieces[i].Order = fmt.Sprint(rapid.IntRange(1, 3).Draw(t, "order"))
		}
		for i := range p.Stock {
			p.Stock[i].Limit = cutting.Unlimited // else the limits may leave too little
		}
		if p.Check() != nil {
			t.Skip("a piece is longer than the bars")
		}
		free, err := cutting.Solve(p, cutting.Options{})
		if err != nil {
			t.Fatal(err)
		}
		p.LengthsPerBar, p.OrdersTogether = rapid.IntRange(1, 3).Draw(t, "lengths"), true
		limited, err := cutting.Solve(p, cutting.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := cutting.Verify(&p, limited); err != nil {
			t.Fatal(err)
		}
		if limited.Cost < free.Cost || limited.Bound > free.Cost {
			t.Fatalf("limited %d (bound %d), free %d", limited.Cost, limited.Bound, free.Cost)
		}
	})
}

// Eight orders of the same four legs each: with the orders together no order
// lies on more bars than it must, at the same cost.
func TestOrdersLieTogetherAtNoCost(t *testing.T) {
	p := cutting.Problem{Stock: []cutting.Stock{{Length: 240, Cost: 1, Limit: cutting.Unlimited}}}
	for leg := range 4 { // as a week's rows come: leg by leg over all orders
		for order := range 8 {
			p.Pieces = append(p.Pieces, cutting.Piece{Length: 30, Count: 1, Order: fmt.Sprint("order ", order, leg/9)})
		}
	}
	apart, err := cutting.Solve(p, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	p.OrdersTogether = true
	together, err := cutting.Solve(p, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := cutting.Verify(&p, together); err != nil {
		t.Fatal(err)
	}
	if together.Cost != apart.Cost || touched(&p, together) != 8 || touched(&p, apart) <= 8 {
		t.Errorf("orders on bars: %d together, %d apart; cost %d and %d", touched(&p, together), touched(&p, apart), together.Cost, apart.Cost)
	}
}

// touched counts, over the bars, the orders that each has pieces of.
func touched(p *cutting.Problem, plan *cutting.Plan) (n int64) {
	for _, bar := range plan.Bars {
		orders := map[string]bool{}
		for _, cut := range bar.Cuts {
			orders[p.Pieces[cut.Piece].Order] = true
		}
		n += int64(len(orders)) * bar.Count
	}
	return n
}
