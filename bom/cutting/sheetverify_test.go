package cutting_test

import (
	"strings"
	"testing"

	"billwright/bom/cutting"
)

// crossed is a problem with a plan by hand: of a sheet of 10 x 10, a piece of 5 x
// 10 leaves 5 x 10, which does not hold one of 10 x 5, so each takes a sheet of
// its own, though together they have the area of one.
func crossed() (cutting.SheetProblem, *cutting.SheetPlan) {
	p := cutting.SheetProblem{
		Pieces: []cutting.SheetPiece{{Length: 5, Width: 10, Count: 1}, {Length: 10, Width: 5, Count: 1}},
		Sheets: []cutting.Sheet{{Length: 10, Width: 10, Cost: 3, Limit: cutting.Unlimited}, {Length: 4, Width: 4, Cost: 0, Limit: 1}},
	}
	part := func(length, width int64, along bool, piece int) cutting.Part {
		return cutting.Part{Length: 10, Width: 10, Piece: -1, Along: along, Parts: []cutting.Part{
			{Length: length, Width: width, Piece: piece}, {Length: length, Width: width, Piece: -1},
		}}
	}
	return p, &cutting.SheetPlan{
		Sheets: []cutting.CutSheet{{Sheet: 0, Count: 1, Part: part(5, 10, true, 0)}, {Sheet: 0, Count: 1, Part: part(10, 5, false, 1)}},
		Cost:   6, Bound: 6, Status: cutting.ByBound,
		Proof: cutting.SheetProof{Grain: 3, Nodes: []cutting.SheetNode{{Leaf: each()}}},
	}
}

// each prices both pieces at a sheet, which holds either but not both.
func each() *cutting.SheetPrices {
	return &cutting.SheetPrices{Scale: 1, Pieces: []int64{1, 1}, Sheets: []int64{0, 0}, Counted: []int{0, 1}}
}

func TestVerifySheetsTakesAPlanMadeByHand(t *testing.T) {
	p, plan := crossed()
	if err := cutting.VerifySheets(&p, plan); err != nil {
		t.Fatal(err)
	}
	// Once more by a decision: where both share a sheet there is none, where they
	// do not each takes one.
	plan.Status = cutting.BySearch
	plan.Proof.Nodes = []cutting.SheetNode{{First: 0, Second: 1, Together: 1, Apart: 2}, {Leaf: each()}, {Leaf: each()}}
	plan.Proof.Nodes[1].Leaf.Pieces = []int64{9, 9}
	if err := cutting.VerifySheets(&p, plan); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if found := solvedSheets(t, "crossed", p, cutting.Options{}); found.Cost != 6 || found.Bound != 6 {
			t.Errorf("cost %d, bound %d, %s", found.Cost, found.Bound, found.Status)
		}
		// A kerf of 1 changes nothing: 4 x 10 are left.
		p.Kerf = 1
	}
}

func TestVerifySheetsFindsWhatIsWrong(t *testing.T) {
	decided := func(p *cutting.SheetPlan, nodes ...cutting.SheetNode) {
		p.Status, p.Proof.Nodes = cutting.BySearch, append(nodes, cutting.SheetNode{Leaf: each()}, cutting.SheetNode{Leaf: each()})
	}
	for _, c := range []struct {
		name string
		harm func(*cutting.SheetProblem, *cutting.SheetPlan)
		said string
	}{
		{"a piece too few", func(p *cutting.SheetProblem, _ *cutting.SheetPlan) { p.Pieces[0].Count = 2 }, "1 cut, 2 asked for"},
		{"a piece where none is", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Sheets[0].Part.Parts[0].Piece = 7 }, "no piece line 7"},
		{"another piece", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Sheets[0].Part.Parts[0].Piece = 1 }, "is not piece line 1"},
		{"turned against the grain", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			p.Sheets[0].Part.Parts[0].Piece, p.Sheets[0].Part.Parts[0].Turned = 1, true
		}, "is not piece line 1"},
		{"no room for the kerf", func(p *cutting.SheetProblem, _ *cutting.SheetPlan) { p.Kerf = 1 }, "come to 11"},
		{"a cut that ends in the middle", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Sheets[0].Part.Parts[1].Width = 9 }, "from edge to edge"},
		{"no room for the trim", func(p *cutting.SheetProblem, _ *cutting.SheetPlan) { p.Trim = 1 }, "more than trimming leaves"},
		{"a sheet that is not there", func(p *cutting.SheetProblem, _ *cutting.SheetPlan) { p.Sheets[0].Limit = 1 }, "2 used, 1 there"},
		{"a size that is not there", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Sheets[0].Sheet = 2 }, "makes no sense"},
		{"a wrong cost", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Cost, p.Bound = 5, 5 }, "the sheets cost 6"},
		{"not proved though it is", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Status = cutting.NotProved }, "do not go with"},
		{"stages that are not said", func(p *cutting.SheetProblem, _ *cutting.SheetPlan) { p.Stages = 2 }, "leaves out the limit"},
		{"no proof", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes = nil }, "the proof is empty"},
		{"a search that is none", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Status = cutting.BySearch }, "has 1 nodes"},
		{"a search that is not said", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
			p.Status = cutting.ByBound
		}, "has 3 nodes"},
		{"prices too high", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Pieces[0] = 2 }, "worth 2, more than it may"},
		{"prices too low", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Pieces[0] = 0 }, "prove 3, the plan claims 6"},
		{"a price below nothing", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Pieces[0] = -1 }, "out of range"},
		{"prices of another problem", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Pieces = []int64{1} }, "of another problem"},
		{"no scale", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Scale = 0 }, "of another problem"},
		{"a wrong grain", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Grain = 2 }, "grains of 2"},
		{"a price of a sheet without limit", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Sheets[0] = 1 }, "do not go together"},
		{"only one counted", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Counted = []int{0} }, "worth 2, more than it may"},
		{"none counted", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Counted = nil }, "worth 2, more than it may"},
		{"counted though not there", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) { p.Proof.Nodes[0].Leaf.Counted[1] = 2 }, "no line 2 to count"},
		{"a piece needed twice is held twice", func(p *cutting.SheetProblem, plan *cutting.SheetPlan) {
			p.Pieces[0].Count = 2
			plan.Sheets[0].Part.Parts[1].Piece = 0
		}, "worth 2, more than it may"},
		{"a decision above itself", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 0, Apart: 2})
		}, "no node 0 below"},
		{"a decision on one piece", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 1, Second: 1, Together: 1, Apart: 2})
		}, "are the same piece"},
		{"a decision on a piece needed twice", func(p *cutting.SheetProblem, plan *cutting.SheetPlan) {
			p.Pieces[0].Count = 2
			plan.Sheets[0].Part.Parts[1].Piece = 0
			decided(plan, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
		}, "line 0 is not of a piece needed once"},
		{"a decision on what is not counted", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
			p.Proof.Nodes[2].Leaf.Counted = []int{0}
		}, "a piece that is not counted"},
		{"a leaf of the decision too high", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
			p.Proof.Nodes[2].Leaf.Pieces = []int64{2, 2}
		}, "node 2: sheet line 0 can hold pieces worth 2"},
		{"a leaf of the decision too low", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
			p.Proof.Nodes[1].Leaf.Pieces = []int64{0, 1}
		}, "prove 3, the plan claims 6"},
		{"the other leaf too low", func(_ *cutting.SheetProblem, p *cutting.SheetPlan) {
			decided(p, cutting.SheetNode{First: 0, Second: 1, Together: 1, Apart: 2})
			p.Proof.Nodes[2].Leaf.Pieces = []int64{0, 1}
		}, "prove 3, the plan claims 6"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, plan := crossed()
			c.harm(&p, plan)
			err := cutting.VerifySheets(&p, plan)
			if err == nil || !strings.Contains(err.Error(), c.said) {
				t.Errorf("got %v, want %q", err, c.said)
			}
		})
	}
}
