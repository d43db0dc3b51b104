package main

import (
	"fmt"
	"time"

	"billwright/bom/cutting"
)

// sheetShares are the least shares proved, in per cent, by set and grain.
var sheetShares = map[string]float64{
	"guillotine_class.fixed": 80, "guillotine_class.rotated": 86, "guillotine_furniture.fixed": 70,
}

// sheetSeconds is how long one plan of sheets may take.
const sheetSeconds = 10

// knownPlan is what is known of an instance of sheets.
type knownPlan struct {
	Proven bool
	Bound  float64
	Best   *int64
}

// sheets plans an instance of sheets with the grain fixed or not.
func (run *cuttingRun) sheets(r *report, in *instance, turn bool) error {
	p := cutting.SheetProblem{Sheets: []cutting.Sheet{{Length: in.Sheet[0], Width: in.Sheet[1], Cost: 1, Limit: cutting.Unlimited}}}
	for _, piece := range in.Pieces {
		if len(piece) != 3 {
			return fmt.Errorf("%s: a piece of a sheet is [length, width, count]", in.Name)
		}
		p.Pieces = append(p.Pieces, cutting.SheetPiece{Length: piece[0], Width: piece[1], Count: piece[2], Turn: turn})
	}
	start := time.Now()
	stop := func() bool { return time.Since(start) > sheetSeconds*time.Second*97/100 }
	plan, err := cutting.SolveSheets(p, cutting.Options{Stop: stop})
	ms := float64(time.Since(start).Microseconds()) / 1000
	if err != nil {
		return fmt.Errorf("%s: %w", in.Name, err)
	}
	if err := cutting.VerifySheets(&p, plan); err != nil {
		run.unverified++
		r.note("%s: not verified: %v", in.Name, err)
	}
	run.times = append(run.times, ms)
	run.bars += plan.Cost
	if plan.Status != cutting.NotProved {
		run.proved++
	}
	known := in.Published[map[bool]string{false: "fixed", true: "rotated"}[turn]]
	best := "-"
	if known.Best != nil {
		best = fmt.Sprint(*known.Best)
		run.given++
		if plan.Cost <= *known.Best {
			run.equal++
		}
	}
	if known.Proven {
		run.provedBefore++
	}
	r.note("%s\t%d\t%d\t%s\t%s\t%.3f", in.Name, plan.Cost, plan.Bound, best, plan.Status, ms)
	return nil
}

func (run *cuttingRun) printSheets(r *report, set string) {
	if len(run.times) == 0 {
		return
	}
	n := float64(len(run.times))
	name := func(figure string) string { return "cutting." + set + "." + figure }
	r.plain(name("instances"), n, "instances")
	if share := sheetShares[set]; share > 0 {
		r.atLeast(name("proved"), 100*float64(run.proved)/n, "%", share)
	} else {
		r.plain(name("proved"), 100*float64(run.proved)/n, "%")
	}
	r.plain(name("proved_as_published"), 100*float64(run.provedBefore)/n, "%")
	if run.given > 0 {
		r.plain(name("as_good_as_published"), 100*float64(run.equal)/float64(run.given), "%")
	}
	r.atMost(name("not_verified"), float64(run.unverified), "plans", 0)
	run.printTimes(r, name, cuttingBar{slowest: sheetSeconds * 1000})
	r.plain(name("sheets"), float64(run.bars), "sheets")
}
