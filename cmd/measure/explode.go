package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"runtime"
	"syscall"
	"time"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/sampling"
)

// measureExplode prints how fast bills are reckoned, by a second of one processor.
// Every line
// is a new random configuration over all products of the demonstration, made
// beforehand and reckoned once; nothing is kept from one line to the next.
func measureExplode(ctx context.Context, r *report, _ []string) error {
	cat, faults := catalog.Read(demonstration.Files())
	if cat == nil {
		return fmt.Errorf("the demonstration has %d faults, the first: %s", len(faults), faults[0].Error())
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	e := &explosions{cat: cat, source: rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), 1))}
	const batches, lines = 12, 1500
	off, err := e.run(ctx, r, "traces off", batches, lines, 1, false, false)
	if err != nil {
		return err
	}
	on, err := e.run(ctx, r, "traces on", batches, lines, 1, true, false)
	if err != nil {
		return err
	}
	written, err := e.run(ctx, r, "traces on and written out", batches, lines, 1, true, true)
	if err != nil {
		return err
	}
	r.atLeast("lines a second, traces off", off.perSecond(), "lines/s", 20_000)
	r.atLeast("lines a second, traces on", on.perSecond(), "lines/s", 10_000)
	r.plain("lines a second, traces on and written out as text", written.perSecond(), "lines/s")
	rows, err := e.rowsPerLine(500)
	if err != nil {
		return err
	}
	r.plain("mean rows of a line's bill", rows, "rows")
	r.plain("mean figures of a line's trace", float64(on.figures)/float64(on.lines), "figures")
	r.plain("allocations of a line, traces off", off.mallocs/float64(off.lines), "allocations")
	r.plain("allocations of a line, traces on", on.mallocs/float64(on.lines), "allocations")
	few, err := e.run(ctx, r, "orders of 10 lines", 8, 1000, 10, false, false)
	if err != nil {
		return err
	}
	many, err := e.run(ctx, r, "orders of 1000 lines", 8, 1000, 1000, false, false)
	if err != nil {
		return err
	}
	r.atMost("time a line of 1000 over that of 10", few.perSecond()/many.perSecond(), "ratio", 1.5)
	return nil
}

// explosions draws lines and reckons them.
type explosions struct {
	cat    *catalog.Catalog
	source *rand.Rand
}

// exploded sums what a run took.
type exploded struct {
	lines, figures int
	mallocs        float64
	took           time.Duration
}

func (x exploded) perSecond() float64 { return float64(x.lines) / x.took.Seconds() }

// run reckons batches of lines, the given number of them to an order, and gives
// the sum of all.
func (e *explosions) run(ctx context.Context, r *report, name string, batches, lines, perOrder int, trace, write bool) (sum exploded, err error) {
	for range batches {
		if err := ctx.Err(); err != nil {
			return sum, err
		}
		batch := e.draw(lines)
		one, err := e.explode(batch, perOrder, trace, write)
		if err != nil {
			return sum, err
		}
		r.note("%s: %d lines in %s, %.0f lines/s", name, one.lines, one.took, one.perSecond())
		sum.lines, sum.figures = sum.lines+one.lines, sum.figures+one.figures
		sum.mallocs, sum.took = sum.mallocs+one.mallocs, sum.took+one.took
	}
	return sum, nil
}

// draw makes lines that nothing refuses.
func (e *explosions) draw(n int) []bom.Line {
	lines := make([]bom.Line, 0, n)
	for len(lines) < n {
		config := sampling.Config(e.cat, e.source.IntN)
		if config == nil {
			continue
		}
		line := bom.Line{Number: 1, Quantity: 1 + e.source.IntN(20), Config: config}
		if bill, _, _ := bom.Explode(e.cat, []bom.Line{line}, false); bill != nil {
			line.Number = len(lines)%1000 + 1
			lines = append(lines, line)
		}
	}
	return lines
}

func (e *explosions) explode(lines []bom.Line, perOrder int, trace, write bool) (exploded, error) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	figures := 0
	start, err := ownProcessorTime()
	if err != nil {
		return exploded{}, err
	}
	for at := 0; at < len(lines); at += perOrder {
		order := lines[at:min(at+perOrder, len(lines))]
		bill, recording, findings := (*bom.Bill)(nil), &bom.Recording{}, []catalog.Finding(nil)
		if trace {
			bill, recording, findings = bom.Record(e.cat, order)
		} else {
			bill, _, findings = bom.Explode(e.cat, order, false)
		}
		if bill == nil {
			return exploded{}, fmt.Errorf("a line that was taken is refused: %s", findings[0].Message)
		}
		figures += recording.Len()
		if write {
			recording.Working()
		}
	}
	end, err := ownProcessorTime()
	if err != nil {
		return exploded{}, err
	}
	took := end - start
	runtime.ReadMemStats(&after)
	return exploded{len(lines), figures, float64(after.Mallocs - before.Mallocs), took}, nil
}

// rowsPerLine counts the rows of the bills of some lines: the members of every
// list of the bill's document that have a path, cautions among them.
func (e *explosions) rowsPerLine(n int) (float64, error) {
	rows := 0
	for _, line := range e.draw(n) {
		bill, _, _ := bom.Explode(e.cat, []bom.Line{line}, false)
		document, err := bill.Document()
		if err != nil {
			return 0, err
		}
		var whole struct {
			Lines []map[string]json.RawMessage `json:"lines"`
		}
		if err := json.Unmarshal(document, &whole); err != nil {
			return 0, err
		}
		for _, value := range whole.Lines[0] {
			var list []struct{ Path string }
			if json.Unmarshal(value, &list) == nil {
				rows += len(list)
			}
		}
	}
	return float64(rows) / float64(n), nil
}

// ownProcessorTime is what the program has had of processors so far, collecting
// garbage included, so that other work on the machine does not count.
func ownProcessorTime() (time.Duration, error) {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0, fmt.Errorf("read the processor time: %w", err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano()), nil
}
