package cutting_test

import (
	"encoding/json"
	"strings"
	"testing"

	"billwright/bom/cutting"
)

func text(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// rails is a problem with a plan by hand: two bars of 100 with kerf 2 and trim 1.
func rails() (cutting.Problem, *cutting.Plan) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 48, Count: 3}, {Length: 40, Count: 1}},
		Stock:  []cutting.Stock{{Length: 100, Cost: 7, Limit: cutting.Unlimited}, {Length: 60, Cost: 0, Limit: 0}},
		Kerf:   2, TrimStart: 1, Keep: 5,
	}
	leaf := &cutting.Leaf{Scale: 2, Prices: []cutting.Price{{Length: 48, Price: 1}, {Length: 40, Price: 1}}}
	return p, &cutting.Plan{
		Bars: []cutting.Bar{
			{Stock: 0, Count: 1, Cuts: []cutting.Cut{{Piece: 0, Count: 2}}, Leftover: 0},
			{Stock: 0, Count: 1, Cuts: []cutting.Cut{{Piece: 0, Count: 1}, {Piece: 1, Count: 1}}, Leftover: 7, Kept: true},
		},
		Cost: 14, Bound: 14, Status: cutting.ByBound,
		Certificate: cutting.Certificate{Proofs: []cutting.Proof{{Grain: 7, Nodes: []cutting.Node{{Leaf: leaf}}}}},
	}
}

func TestVerifyTakesAPlanMadeByHand(t *testing.T) {
	p, plan := rails()
	if err := cutting.Verify(&p, plan); err != nil {
		t.Fatal(err)
	}
	if plan.Count() != 2 || plan.Waste(&p) != 200-3*48-40-7 {
		t.Errorf("%d bars, waste %d", plan.Count(), plan.Waste(&p))
	}
}

func TestVerifyFindsWhatIsWrong(t *testing.T) {
	leaf := func(p *cutting.Plan) *cutting.Leaf { return p.Certificate.Proofs[0].Nodes[0].Leaf }
	for _, c := range []struct {
		name string
		harm func(*cutting.Problem, *cutting.Plan)
		said string
	}{
		{"a piece too few", func(_ *cutting.Problem, p *cutting.Plan) { p.Bars[0].Cuts[0].Count = 1; p.Bars[0].Leftover = 49 }, "2 cut, 3 asked for"},
		{"a piece too many", func(p *cutting.Problem, _ *cutting.Plan) { p.Pieces[1].Count = 2 }, "1 cut, 2 asked for"},
		{"too long for the bar", func(p *cutting.Problem, _ *cutting.Plan) { p.TrimEnd = 2 }, "1 beyond the usable end"},
		{"no room for the kerf", func(p *cutting.Problem, _ *cutting.Plan) { p.KerfAfterEvery = true }, "beyond the usable end"},
		{"wrong leftover", func(_ *cutting.Problem, p *cutting.Plan) { p.Bars[1].Leftover = 9 }, "7 is left over, not 9"},
		{"kept though short", func(p *cutting.Problem, _ *cutting.Plan) { p.Keep = 8 }, "leftover 7 kept: true"},
		{"wrong cost", func(_ *cutting.Problem, p *cutting.Plan) { p.Cost, p.Bound = 13, 13 }, "the bars cost 14"},
		{"stock that is not there", func(_ *cutting.Problem, p *cutting.Plan) { p.Bars[0].Stock = 2 }, "make no sense"},
		{"too many bars", func(p *cutting.Problem, _ *cutting.Plan) { p.Stock[0].Limit = 1 }, "2 bars used, 1 there"},
		{"another group", func(p *cutting.Problem, _ *cutting.Plan) { p.Stock[0].Group = "A36" }, `a piece of group "" on stock of group "A36"`},
		{"too many lengths", func(p *cutting.Problem, _ *cutting.Plan) { p.LengthsPerBar = 1 }, "2 different lengths"},
		{"bound above cost", func(_ *cutting.Problem, p *cutting.Plan) { p.Bound = 21 }, "above the cost"},
		{"not proved though it is", func(_ *cutting.Problem, p *cutting.Plan) { p.Status = cutting.NotProved }, "do not go with"},
		{"no proof", func(_ *cutting.Problem, p *cutting.Plan) { p.Certificate.Proofs = nil }, "have no proof"},
		{"two proofs", func(_ *cutting.Problem, p *cutting.Plan) {
			p.Certificate.Proofs = append(p.Certificate.Proofs, p.Certificate.Proofs...)
		}, "two proofs"},
		{"prices too high", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Prices[0].Price = 2 }, "can hold 4, and may hold 2"},
		{"prices too low", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Prices = leaf(p).Prices[1:] }, "proves 7, the plan claims 14"},
		{"a negative price", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Prices[0].Price = -1 }, "out of range"},
		{"a price for no piece", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Prices[0].Length = 47 }, "is no piece"},
		{"a price twice", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Prices[0].Length = 40 }, "priced twice"},
		{"a stock price without limit", func(_ *cutting.Problem, p *cutting.Plan) {
			leaf(p).Stock = []cutting.StockPrice{{Stock: 0, Price: 3}}
		}, "no limit that could have a price"},
		{"a wrong grain", func(_ *cutting.Problem, p *cutting.Plan) { p.Certificate.Proofs[0].Grain = 5 }, "no multiple of 5"},
		{"a scale of nothing", func(_ *cutting.Problem, p *cutting.Plan) { leaf(p).Scale = 0 }, "scale 0"},
		{"a tree without leaves", func(_ *cutting.Problem, p *cutting.Plan) {
			p.Certificate.Proofs[0].Nodes = []cutting.Node{{Row: cutting.Row{Stock: []int{0}}, Most: 1, Low: 0, High: 0}}
		}, "is not there or is met twice"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, plan := rails()
			c.harm(&p, plan)
			err := cutting.Verify(&p, plan)
			if err == nil || !strings.Contains(err.Error(), c.said) {
				t.Errorf("got %v, want %q", err, c.said)
			}
		})
	}
}
