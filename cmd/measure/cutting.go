package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"billwright/bom/cutting"
)

// instance is a line of a .jsonl file: bars when it has a capacity, sheets when
// it has a sheet.
type instance struct {
	Name     string
	Capacity int64
	Pieces   [][]int64
	Optimum  int64

	Sheet     []int64
	Published map[string]knownPlan
}

// cuttingBar is what a published set is held against; medians and slowest in ms,
// 0 for no bar.
type cuttingBar struct{ median, slowest float64 }

var cuttingBars = map[string]cuttingBar{
	"falkenauer_u": {5, 1000}, "falkenauer_t": {100, 1000},
	"scholl_1": {1, 10_000}, "scholl_2": {1, 10_000}, "scholl_3": {2000, 10_000},
	"schwerin_1": {10, 0}, "schwerin_2": {10, 0},
	"waescher": {1000, 60_000}, "hard28": {1000, 60_000},
	"week": {0, 1000},
}

// cuttingRun is the outcome of one set.
type cuttingRun struct {
	times                    []float64
	proved, equal, given     int
	provedBefore             int
	bars, byHand, unverified int64
}

// measureCutting plans every instance of every .jsonl file of a folder, and
// verifies every plan.
func measureCutting(ctx context.Context, r *report, args []string) error {
	if len(args) == 1 && args[0] == "generated" {
		return errors.Join(measureWeeks(ctx, r), measureYear(r))
	}
	if len(args) != 1 {
		return errors.New("cutting: name the folder of .jsonl files, or generated for the week and the year drawn here")
	}
	files, err := filepath.Glob(filepath.Join(args[0], "*.jsonl"))
	if err != nil || len(files) == 0 {
		return errors.Join(err, fmt.Errorf("no .jsonl file in %s", args[0]))
	}
	r.note("name\tbars\tbound\toptimum\tstatus\tms\tbest-fit decreasing")
	for _, file := range files {
		if err := measureSet(ctx, r, file); err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
	}
	return errors.Join(measureWeeks(ctx, r), measureYear(r))
}

func measureSet(ctx context.Context, r *report, file string) error {
	set := strings.TrimSuffix(filepath.Base(file), ".jsonl")
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer f.Close()
	run, fixed, rotated := cuttingRun{}, cuttingRun{}, cuttingRun{}
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<24)
	for n := 1; lines.Scan() && ctx.Err() == nil; n++ {
		var in instance
		if err := json.Unmarshal(lines.Bytes(), &in); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		var err error
		switch {
		case in.Capacity > 0:
			err = run.bar(r, &in)
		case len(in.Sheet) == 2:
			err = errors.Join(fixed.sheets(r, &in, false), rotated.sheets(r, &in, true))
		default:
			err = errors.New("neither a capacity nor a sheet of two sides")
		}
		if err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
	}
	run.print(r, set)
	fixed.printSheets(r, set+".fixed")
	rotated.printSheets(r, set+".rotated")
	return errors.Join(lines.Err(), ctx.Err())
}

func (run *cuttingRun) bar(r *report, in *instance) error {
	p := cutting.Problem{Stock: []cutting.Stock{{Length: in.Capacity, Cost: 1, Limit: cutting.Unlimited}}}
	for _, piece := range in.Pieces {
		if len(piece) != 2 {
			return fmt.Errorf("%s: a piece is [length, count]", in.Name)
		}
		p.Pieces = append(p.Pieces, cutting.Piece{Length: piece[0], Count: piece[1]})
	}
	_, err := run.plan(r, in.Name, &p, in.Optimum, 0)
	return err
}

// plan solves and verifies a problem and returns by how many per cent the cost
// is above the bound. A limit of 0 is no deadline.
func (run *cuttingRun) plan(r *report, name string, p *cutting.Problem, optimum int64, limit time.Duration) (float64, error) {
	start := time.Now()
	options := cutting.Options{}
	if limit > 0 {
		options.Stop = func() bool { return time.Since(start) > limit-limit/50 }
	}
	plan, err := cutting.Solve(*p, options)
	ms := float64(time.Since(start).Microseconds()) / 1000
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	hand, err := cutting.BestFit(*p)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	if err := cutting.Verify(p, plan); err != nil {
		run.unverified++
		r.note("%s: not verified: %v", name, err)
	}
	run.times = append(run.times, ms)
	run.bars += plan.Cost
	run.byHand += hand.Cost
	if plan.Status != cutting.NotProved {
		run.proved++
	}
	if optimum > 0 {
		run.given++
		if plan.Cost == optimum {
			run.equal++
		}
	}
	r.note("%s\t%d\t%d\t%d\t%s\t%.3f\t%d", name, plan.Cost, plan.Bound, optimum, plan.Status, ms, hand.Cost)
	return 100 * float64(plan.Cost-plan.Bound) / float64(max(plan.Bound, 1)), nil
}

func (run *cuttingRun) print(r *report, set string) {
	if len(run.times) == 0 {
		return
	}
	n := float64(len(run.times))
	name := func(figure string) string { return "cutting." + set + "." + figure }
	r.plain(name("instances"), n, "instances")
	r.atLeast(name("proved"), float64(run.proved), "instances", n)
	if run.given > 0 {
		r.atLeast(name("equal_to_optimum"), float64(run.equal), "instances", float64(run.given))
	}
	r.atMost(name("not_verified"), float64(run.unverified), "plans", 0)
	unit := "bars"
	if set == "week" {
		unit = "cents"
	}
	run.printTimes(r, name, cuttingBars[set])
	r.plain(name("bars_saved"), float64(run.byHand-run.bars), unit)
	r.plain(name("bars_saved_share"), 100*float64(run.byHand-run.bars)/float64(max(run.byHand, 1)), "%")
}

func (run *cuttingRun) printTimes(r *report, name func(string) string, bar cuttingBar) {
	slices.Sort(run.times)
	run.time(r, name("median"), 0.5, bar.median)
	run.time(r, name("p95"), 0.95, 0)
	run.time(r, name("slowest"), 1, bar.slowest)
}

func (run *cuttingRun) time(r *report, name string, share, bar float64) {
	ms := run.times[int(share*float64(len(run.times)-1)+0.5)]
	if bar == 0 {
		r.plain(name, ms, "ms")
		return
	}
	r.atMost(name, ms, "ms", bar)
}
