package cutting_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom/cutting"
)

type publishedSheet struct {
	Name      string
	Sheet     []int64
	Pieces    [][]int64
	Published map[string]struct {
		Proven bool
		Bound  float64
		Best   *int64
	}
}

func (in *publishedSheet) problem(turn bool) cutting.SheetProblem {
	p := cutting.SheetProblem{Sheets: []cutting.Sheet{{Length: in.Sheet[0], Width: in.Sheet[1], Cost: 1, Limit: cutting.Unlimited}}}
	for _, piece := range in.Pieces {
		p.Pieces = append(p.Pieces, cutting.SheetPiece{Length: piece[0], Width: piece[1], Count: piece[2], Turn: turn})
	}
	return p
}

func readSheets(t *testing.T, set string) []publishedSheet {
	t.Helper()
	f, err := os.Open("../../testdata/cutting/" + set + ".jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all []publishedSheet
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var in publishedSheet
		if err := json.Unmarshal(lines.Bytes(), &in); err != nil {
			t.Fatal(err)
		}
		all = append(all, in)
	}
	if err := lines.Err(); err != nil || len(all) == 0 {
		t.Fatalf("%s: %d instances: %v", set, len(all), err)
	}
	return all
}

func solvedSheets(t interface {
	Helper()
	Fatalf(string, ...any)
}, name string, p cutting.SheetProblem, o cutting.Options) *cutting.SheetPlan {
	t.Helper()
	plan, err := cutting.SolveSheets(p, o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if err := cutting.VerifySheets(&p, plan); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return plan
}

// TestPublishedSheets holds plans against the best known bounds and plans of
// testdata/cutting (see SOURCES.md there), with grain and without.
func TestPublishedSheets(t *testing.T) {
	for _, c := range []struct {
		set, kind string
		proved    int
	}{{"guillotine_class", "fixed", 27}, {"guillotine_class", "rotated", 27}, {"guillotine_furniture", "fixed", 17}} {
		t.Run(c.set+" "+c.kind, func(t *testing.T) {
			t.Parallel()
			proved, counted := 0, 0
			for _, in := range sample(readSheets(t, c.set)) {
				plan := solvedSheets(t, in.Name, in.problem(c.kind == "rotated"), cutting.Options{Work: 1e8})
				known := in.Published[c.kind]
				if known.Best != nil && plan.Bound > *known.Best {
					t.Errorf("%s: bound %d, but %d sheets are known to be enough", in.Name, plan.Bound, *known.Best)
				}
				if float64(plan.Cost) < known.Bound-1e-4 {
					t.Errorf("%s: %d sheets, but %v are known to be needed", in.Name, plan.Cost, known.Bound)
				}
				if plan.Status != cutting.NotProved {
					proved++
				}
				if leaf := plan.Proof.Nodes[0].Leaf; leaf == nil || len(leaf.Counted) > 0 {
					counted++
				}
			}
			if proved < c.proved && !underRace {
				t.Errorf("%d plans proved, at least %d were to be expected", proved, c.proved)
			}
			if c.set+c.kind == "guillotine_classfixed" && counted == 0 && !underRace {
				t.Error("no proof counts pieces")
			}
		})
	}
}

// TestFourPanelsByHand: kerf 3 between the panels of a sheet of 103 x 83 leaves
// exactly four of 50 x 40; a kerf of 4 only one in each direction.
func TestFourPanelsByHand(t *testing.T) {
	p := cutting.SheetProblem{
		Pieces: []cutting.SheetPiece{{Length: 50, Width: 40, Count: 8}},
		Sheets: []cutting.Sheet{{Length: 105, Width: 85, Cost: 30, Limit: cutting.Unlimited}},
		Kerf:   3, Trim: 1,
	}
	plan := solvedSheets(t, "kerf 3", p, cutting.Options{})
	if plan.Count() != 2 || plan.Cost != 60 || plan.Status != cutting.ByBound || len(plan.Sheets) != 1 {
		t.Errorf("%d sheets, %d, %s", plan.Count(), plan.Cost, plan.Status)
	}
	p.Kerf = 4
	if plan := solvedSheets(t, "kerf 4", p, cutting.Options{}); plan.Count() != 8 {
		t.Errorf("%d sheets, not 8", plan.Count())
	}
}

// TestGrainCostsASheet: two of 60 x 40 fit a sheet of 80 x 60 only when turned.
func TestGrainCostsASheet(t *testing.T) {
	for turn, sheets := range map[bool]int64{true: 1, false: 2} {
		p := cutting.SheetProblem{
			Pieces: []cutting.SheetPiece{{Length: 60, Width: 40, Count: 2, Turn: turn}},
			Sheets: []cutting.Sheet{{Length: 80, Width: 60, Cost: 1, Limit: cutting.Unlimited}},
		}
		if plan := solvedSheets(t, "grain", p, cutting.Options{}); plan.Count() != sheets || plan.Status != cutting.ByBound {
			t.Errorf("turn %v: %d sheets, %s", turn, plan.Count(), plan.Status)
		}
	}
}

func TestSheetsOnTheRackAreUsedFirst(t *testing.T) {
	p := cutting.SheetProblem{
		Pieces: []cutting.SheetPiece{{Length: 1000, Width: 600, Count: 5}},
		Sheets: []cutting.Sheet{
			{Length: 2440, Width: 1220, Cost: 4200, Limit: cutting.Unlimited},
			{Length: 1100, Width: 700, Cost: 0, Limit: 1},
		},
		Kerf: 3, Stages: 2,
	}
	plan := solvedSheets(t, "rack", p, cutting.Options{})
	if plan.Cost != 4200 || plan.Count() != 2 || plan.Status != cutting.ByBound || !plan.WithoutLimits {
		t.Errorf("%d sheets for %d, %s", plan.Count(), plan.Cost, plan.Status)
	}
}

func TestBadSheetProblemsAreRefused(t *testing.T) {
	p := cutting.SheetProblem{
		Pieces: []cutting.SheetPiece{{Length: 0, Width: 5, Count: 1}, {Length: 5, Width: 5, Count: 0}, {Length: 101, Width: 5, Count: 1}},
		Sheets: []cutting.Sheet{{Length: 100, Width: 100, Cost: 1, Limit: cutting.Unlimited}, {Length: 100, Width: 2, Cost: -1, Limit: -5}},
		Trim:   1, Kerf: -1, Stages: 1,
	}
	_, err := cutting.SolveSheets(p, cutting.Options{})
	var invalid *cutting.Invalid
	if !errors.As(err, &invalid) {
		t.Fatalf("got %v", err)
	}
	for _, said := range []string{"kerf: -1", "stages: 1", "line 1: 0 x 5", "line 2: count 0", "line 3: 101 x 5 is larger", "line 2: 100 x 2: trim 1", "cost -1", "limit -5"} {
		if !strings.Contains(err.Error(), said) {
			t.Errorf("%q is missing in %q", said, err)
		}
	}
}

// TestSheetPlansHold draws problems with every option and verifies their plans.
func TestSheetPlansHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := cutting.SheetProblem{
			Sheets: []cutting.Sheet{{Length: 60, Width: 50, Cost: rapid.Int64Range(1, 9).Draw(t, "cost"), Limit: cutting.Unlimited}},
			Kerf:   rapid.Int64Range(0, 3).Draw(t, "kerf"), Trim: rapid.Int64Range(0, 2).Draw(t, "trim"),
			Stages: rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "stages"),
		}
		for range rapid.IntRange(0, 2).Draw(t, "more sheets") {
			p.Sheets = append(p.Sheets, cutting.Sheet{
				Length: rapid.Int64Range(20, 80).Draw(t, "length"), Width: rapid.Int64Range(20, 80).Draw(t, "width"),
				Cost: rapid.Int64Range(0, 9).Draw(t, "cost"), Limit: rapid.Int64Range(-1, 2).Draw(t, "limit"),
			})
		}
		for range rapid.IntRange(1, 6).Draw(t, "lines") {
			p.Pieces = append(p.Pieces, cutting.SheetPiece{
				Length: rapid.Int64Range(1, 40).Draw(t, "length"), Width: rapid.Int64Range(1, 40).Draw(t, "width"),
				Count: rapid.Int64Range(1, 5).Draw(t, "count"), Turn: rapid.Bool().Draw(t, "turn"),
			})
		}
		plan := solvedSheets(t, "drawn", p, cutting.Options{Work: 5e5})
		q := p
		q.Stages = 0
		if free := solvedSheets(t, "without stages", q, cutting.Options{Work: 5e5}); free.Bound > plan.Cost {
			t.Fatalf("bound %d without a limit of stages, a plan of %d with it", free.Bound, plan.Cost)
		}
	})
}
