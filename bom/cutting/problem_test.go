package cutting_test

import (
	"errors"
	"runtime"
	"strings"
	"testing"
	"time"

	"billwright/bom/cutting"
)

func TestBadProblemsAreRefusedWithAllFaults(t *testing.T) {
	bar := []cutting.Stock{{Length: 6000, Cost: 10, Limit: cutting.Unlimited}}
	one := []cutting.Piece{{Length: 1000, Count: 1}}
	for name, c := range map[string]struct {
		problem cutting.Problem
		said    []string
	}{
		"a piece longer than the stock": {
			cutting.Problem{Pieces: []cutting.Piece{{Length: 6001, Count: 1}}, Stock: bar},
			[]string{"pieces, line 1: length 6001 is longer than the 6000 that the longest bar leaves"},
		},
		"trim makes it too long": {
			cutting.Problem{Pieces: []cutting.Piece{{Length: 5995, Count: 1}}, Stock: bar, TrimStart: 3, TrimEnd: 3},
			[]string{"longer than the 5994"},
		},
		"a kerf behind every piece makes it too long": {
			cutting.Problem{Pieces: []cutting.Piece{{Length: 6000, Count: 1}}, Stock: bar, Kerf: 3, KerfAfterEvery: true},
			[]string{"longer than the 5997"},
		},
		"zero, negative and too many": {
			cutting.Problem{Pieces: []cutting.Piece{{Length: 0, Count: 1}, {Length: -5, Count: 1}, {Length: 5, Count: 0}, {Length: 5, Count: 2e12}}, Stock: bar},
			[]string{"line 1: length 0", "line 2: length -5", "line 3: count 0", "line 4: count 2000000000000"},
		},
		"kerf wider than the bar": {
			cutting.Problem{Pieces: one, Stock: bar, Kerf: 6000},
			[]string{"the kerf 6000 is as wide as the bar of 6000 is long"},
		},
		"trim eats the bar": {
			cutting.Problem{Pieces: one, Stock: bar, TrimStart: 3000, TrimEnd: 3000},
			[]string{"trimming 3000 and 3000 leaves nothing of a bar of 6000"},
		},
		"no stock":          {cutting.Problem{Pieces: one}, []string{"stock: there is none", `there is no stock of group ""`}},
		"stock used up":     {cutting.Problem{Pieces: one, Stock: []cutting.Stock{{Length: 6000}}}, []string{"no stock of group"}},
		"no stock of grade": {cutting.Problem{Pieces: []cutting.Piece{{Length: 9, Count: 1, Group: "4140"}}, Stock: bar}, []string{`no stock of group "4140"`}},
		"bad stock": {
			cutting.Problem{Pieces: one, Stock: []cutting.Stock{{Length: -1}, {Length: 10, Cost: -1, Limit: -7}}, Kerf: -1, Keep: -2, LengthsPerBar: -1},
			[]string{"stock, line 1: length -1", "line 2: cost -1", "line 2: limit -7", "kerf: -1", "keep: -2", "lengths per bar: -1"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := cutting.Solve(c.problem, cutting.Options{})
			var invalid *cutting.Invalid
			if !errors.As(err, &invalid) {
				t.Fatalf("got %v", err)
			}
			for _, said := range c.said {
				if !strings.Contains(err.Error(), said) {
					t.Errorf("%q is missing in %q", said, err)
				}
			}
		})
	}
}

func TestStockThatRunsOutIsNamed(t *testing.T) {
	p := cutting.Problem{Pieces: []cutting.Piece{{Length: 3000, Count: 5}}, Stock: []cutting.Stock{{Length: 6000, Limit: 2}}}
	_, err := cutting.Solve(p, cutting.Options{})
	var short *cutting.TooLittleStock
	if !errors.As(err, &short) || len(short.Short) != 1 || short.Short[0].Count != 1 {
		t.Fatalf("got %v", err)
	}
}

func TestHugeCountsAndGrainsStayBounded(t *testing.T) {
	billion := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 2317, Count: 1e9}, {Length: 1419, Count: 999_999_999}, {Length: 811, Count: 1e9 - 7}},
		Stock:  []cutting.Stock{{Length: 6000, Cost: 1, Limit: cutting.Unlimited}},
		Kerf:   3,
	}
	plan := solved(t, "counts of 10^9", billion, cutting.Options{})
	if len(plan.Bars) > 100 || plan.Cost-plan.Bound > 3 {
		t.Errorf("%d lines of bars, cost %d, bound %d", len(plan.Bars), plan.Cost, plan.Bound)
	}
	nanometres := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 609_600_000, Count: 7}, {Length: 512_762_500, Count: 9}, {Length: 1_234_500_001, Count: 4}},
		Stock:  []cutting.Stock{{Length: 6_096_000_000, Cost: 1, Limit: cutting.Unlimited}},
		Kerf:   3_175_000,
	}
	if plan := solved(t, "nanometres", nanometres, cutting.Options{}); plan.Status == cutting.NotProved {
		t.Errorf("cost %d, bound %d", plan.Cost, plan.Bound)
	}
}

// A rack of a million offcuts, no two alike, beside bars to buy: a plan that
// re-adds, in bounded memory and time; alike, they are one kind.
func TestAMillionOffcuts(t *testing.T) {
	offcuts := int64(1_000_000)
	if underRace {
		offcuts = 100_000
	}
	for name, step := range map[string]int64{"all different": 1, "all alike": 0} {
		p := cutting.Problem{
			Stock:  []cutting.Stock{{Length: 6_000_000, Cost: 40, Limit: cutting.Unlimited}},
			Pieces: []cutting.Piece{{Length: 3_317_000, Count: 40}, {Length: 912_000, Count: 60}, {Length: 611_000, Count: 30}},
			Kerf:   3000, Keep: 300_000,
		}
		for i := range offcuts {
			p.Stock = append(p.Stock, cutting.Stock{Length: 1_000_000 + step*i, Limit: 1})
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		begun := time.Now()
		plan, err := cutting.Solve(p, cutting.Options{Work: 1e9})
		took := time.Since(begun)
		runtime.ReadMemStats(&after)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := cutting.Verify(&p, plan); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		// A bar holds one of the longest pieces and no second: 40 are bought, and
		// the offcuts hold the others.
		if plan.Cost != 40*40 {
			t.Errorf("%s: cost %d, bound %d", name, plan.Cost, plan.Bound)
		}
		if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<30 || took > time.Minute {
			t.Errorf("%s: %d MiB allocated in %v", name, grown>>20, took)
		}
	}
}

func TestADeadlineOfZeroWithManyKinds(t *testing.T) {
	p := cutting.Problem{
		Stock: []cutting.Stock{
			{Length: 2880, Cost: 4800, Limit: cutting.Unlimited}, {Length: 2400, Cost: 4150, Limit: cutting.Unlimited},
			{Length: 700, Limit: 2}, {Length: 650, Limit: 1},
		},
		Pieces: []cutting.Piece{{Length: 480, Count: 17}, {Length: 295, Count: 23}, {Length: 660, Count: 9}, {Length: 111, Count: 31}},
		Kerf:   1, Keep: 240,
	}
	at := solved(t, "deadline of zero", p, cutting.Options{Stop: func() bool { return true }})
	free := solved(t, "no deadline", p, cutting.Options{})
	if free.Status == cutting.NotProved || at.Cost < free.Cost || at.Cost > free.Cost*13/10 {
		t.Errorf("cost %d at once, %d in the end (%s)", at.Cost, free.Cost, free.Status)
	}
}

// What a search that is cut short has proved is kept, and Verify sees that.
func TestAnInterruptedSearchKeepsItsBound(t *testing.T) {
	p := cutting.Problem{Kerf: 2}
	for i, length := range []int64{2304, 3840, 4032, 4608, 7680} {
		p.Stock = append(p.Stock, cutting.Stock{Length: length, Cost: []int64{2581, 4491, 4610, 5672, 9185}[i], Limit: cutting.Unlimited})
	}
	for i := range int64(24) {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 150 + 7919*(i+3)%1777, Count: 1 + i%4})
	}
	raised, bounds := 0, []int64{0}
	for _, work := range []int64{2e6, 6e6, 12e6, 25e6, 50e6, 100e6} {
		plan := solved(t, "interrupted", p, cutting.Options{Work: work})
		bounds = append(bounds, plan.Bound)
		if plan.Bound < bounds[len(bounds)-2] {
			t.Errorf("with more work less is proved: %v", bounds)
		}
		if plan.Status == cutting.NotProved && len(plan.Certificate.Proofs[0].Nodes) > 1 {
			raised++
		}
	}
	if raised == 0 {
		t.Errorf("no unproved plan has a bound by search: bounds %v", bounds)
	}
}

func TestADeadlineOfZeroStillGivesAPlan(t *testing.T) {
	for _, in := range readPublished(t, "hard28")[:3] {
		plan := solved(t, in.Name, in.problem(), cutting.Options{Stop: func() bool { return true }})
		if plan.Cost > in.Optimum*11/10 {
			t.Errorf("%s: %d bars, the fewest are %d", in.Name, plan.Cost, in.Optimum)
		}
	}
}

func TestTheSameProblemGivesTheSamePlan(t *testing.T) {
	for _, in := range readPublished(t, "waescher")[:4] {
		a := solved(t, in.Name, in.problem(), cutting.Options{Work: 2e7})
		b := solved(t, in.Name, in.problem(), cutting.Options{Work: 2e7})
		if text(t, a) != text(t, b) {
			t.Errorf("%s: two plans", in.Name)
		}
	}
}

// TestFreeBarsWithoutEnd: what fits a bar that costs nothing costs nothing; of the
// three pieces of 33, no two of which come from one bar, one takes the free bar of
// 36 and each of the others a bar for 7.
func TestFreeBarsWithoutEnd(t *testing.T) {
	p := cutting.Problem{
		Pieces: []cutting.Piece{{Length: 8, Count: 50}, {Length: 33, Count: 3}, {Length: 6, Count: 3}},
		Stock: []cutting.Stock{
			{Length: 40, Cost: 7, Limit: cutting.Unlimited}, {Length: 10, Cost: 0, Limit: cutting.Unlimited}, {Length: 36, Cost: 0, Limit: 1},
		},
	}
	plan, err := cutting.Solve(p, cutting.Options{Work: 1e8})
	if err != nil {
		t.Fatal(err)
	}
	if err := cutting.Verify(&p, plan); err != nil {
		t.Fatal(err)
	}
	if plan.Cost != 14 || plan.Bound != 14 || plan.Status == cutting.NotProved {
		t.Errorf("cost %d, bound %d, %s", plan.Cost, plan.Bound, plan.Status)
	}
}
