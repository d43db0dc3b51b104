package main

import (
	"context"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"slices"
	"time"

	"billwright/bom/cutting"
)

const (
	weekSeeds   = 100
	weekLengths = 60
	weekOffcuts = 40
	yearPieces  = 10_000
	yearLengths = 200
)

// week draws a workshop's week in sixteenths of an inch and cents: 40 to 300
// pieces of 60 lengths from 2 to 120 in, five stock lengths whose prices by
// length differ by up to a tenth, and 40 offcuts of 12 to 130 in that cost
// nothing.
func week(seed uint64) cutting.Problem {
	const inch = 16
	rnd := rand.New(rand.NewPCG(seed, 1))
	p := cutting.Problem{Kerf: inch / 8, Keep: 24 * inch}
	for _, length := range []int64{144, 240, 252, 288, 480} {
		perInch := 17 + 3.5*rnd.Float64()
		p.Stock = append(p.Stock, cutting.Stock{Length: length * inch, Cost: int64(perInch * float64(length)), Limit: cutting.Unlimited})
	}
	for range weekOffcuts {
		p.Stock = append(p.Stock, cutting.Stock{Length: 12*inch + rnd.Int64N(118*inch+1), Limit: 1})
	}
	for range weekLengths {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 2*inch + rnd.Int64N(118*inch+1)})
	}
	for range 40 + rnd.IntN(261) {
		p.Pieces[rnd.IntN(weekLengths)].Count++
	}
	p.Pieces = slices.DeleteFunc(p.Pieces, func(c cutting.Piece) bool { return c.Count == 0 })
	return p
}

// year draws a year's demand in millimetres: 10,000 pieces of 200 lengths.
func year() cutting.Problem {
	rnd := rand.New(rand.NewPCG(1, 2))
	p := cutting.Problem{Kerf: 3, Stock: []cutting.Stock{{Length: 6000, Cost: 1, Limit: cutting.Unlimited}}}
	for range yearLengths {
		p.Pieces = append(p.Pieces, cutting.Piece{Length: 100 + rnd.Int64N(2900), Count: 1})
	}
	for range yearPieces - yearLengths {
		p.Pieces[rnd.IntN(yearLengths)].Count++
	}
	return p
}

func measureWeeks(ctx context.Context, r *report) error {
	run := cuttingRun{}
	gap := 0.0
	for seed := range uint64(weekSeeds) {
		p := week(seed)
		hand, err := run.plan(r, "week", &p, 0, time.Second)
		if err != nil || ctx.Err() != nil {
			return err
		}
		gap = max(gap, hand)
	}
	run.print(r, "week")
	r.plain("cutting.week.largest_gap", gap, "%")
	return nil
}

func measureYear(r *report) error {
	p := year()
	var after runtime.MemStats
	// What other sets needed before is given back, so as not to be counted here.
	debug.FreeOSMemory()
	run := cuttingRun{}
	gap, err := run.plan(r, "year", &p, 0, 10*time.Second)
	if err != nil {
		return err
	}
	runtime.ReadMemStats(&after)
	r.atMost("cutting.year.gap", gap, "%", 0.1)
	r.atMost("cutting.year.time", run.times[0]/1000, "s", 10)
	// What the process holds of the operating system.
	r.atMost("cutting.year.memory", float64(after.Sys-after.HeapReleased)/(1<<20), "MiB", 200)
	r.plain("cutting.year.bars_saved", float64(run.byHand-run.bars), "bars")
	r.atMost("cutting.year.not_verified", float64(run.unverified), "plans", 0)
	return nil
}
