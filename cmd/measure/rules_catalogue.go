package main

import (
	"context"
	"math/big"
	"runtime"
	"syscall"
	"testing"
	"time"

	"billwright/catalog/choices"
	"billwright/catalog/choices/invented"
)

// measureFurniture prints the figures of the catalogue made for the measure,
// against the bars.
func measureFurniture(ctx context.Context, r *report) error {
	const name = "rules.catalogue"
	base := invented.Furniture()
	values, apart := 0, 0
	for _, f := range base.Fields {
		values += len(f.Values)
	}
	for i := range base.Rules {
		if !namesField(&base.Rules[i], base.Hub) {
			apart++
		}
	}
	r.plain(name+".fields", float64(len(base.Fields)), "fields")
	r.plain(name+".values", float64(values), "named values")
	r.plain(name+".rules", float64(len(base.Rules)), "rules")
	r.plain(name+".rules_without_base", float64(apart), "rules")
	c, err := measureCompile(r, name, base)
	if err != nil {
		return err
	}
	if err := measureCount(r, name, c); err != nil {
		return err
	}
	if err := measureChange(r, name, base, c); err != nil {
		return err
	}
	measureCatalogueQuestions(ctx, r, name, base, c)
	begin := ownTime()
	findings := c.Lint()
	r.atMost(name+".lint", (ownTime() - begin).Seconds(), "s of one core", 1)
	kinds := map[choices.FindingKind]int{}
	for _, f := range findings {
		kinds[f.Kind]++
	}
	r.note("%s: lint found %v", name, kinds)
	return nil
}

func namesField(r *choices.Rule, code string) bool {
	names := func(row choices.Row) bool {
		for _, t := range row {
			if t.Field == code {
				return true
			}
		}
		return false
	}
	for _, rows := range [][]choices.Row{r.Allow, r.Forbid, {r.Where, r.Require}} {
		for _, row := range rows {
			if names(row) {
				return true
			}
		}
	}
	return false
}

// ownTime is the processor time that this process has used, collecting garbage
// included: a bar for one core is not about what else the machine does.
func ownTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func heap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func measureCompile(r *report, name string, base *choices.Base) (*choices.Compiled, error) {
	before := heap()
	begin := ownTime()
	c, err := choices.Compile(base, choices.Options{})
	if err != nil {
		return nil, err
	}
	r.atMost(name+".compile", (ownTime() - begin).Seconds(), "s of one core", 2)
	r.atMost(name+".memory", float64(heap()-before)/(1<<20), "MiB", 50)
	size, over, _ := c.Size()
	r.plain(name+".nodes", float64(size.Nodes), "nodes")
	r.plain(name+".arcs", float64(size.Arcs), "arcs")
	r.atMost(name+".given_up", float64(over), "bases", 0)
	largest := 0
	for h := range int32(c.Values(c.Hub())) {
		size, _ := c.HubSize(h)
		largest = max(largest, size.Nodes)
		r.note("%s: base %s has %d nodes, %d arcs", name, c.Name(c.Hub(), h), size.Nodes, size.Arcs)
	}
	r.plain(name+".largest_base", float64(largest), "nodes")
	return c, nil
}

func measureCount(r *report, name string, c *choices.Compiled) error {
	n, err := c.Count(choices.None)
	if err != nil {
		return err
	}
	bar := new(big.Int).Exp(big.NewInt(10), big.NewInt(18), nil)
	r.row(name+".buildable", n.String(), "orders", ">= 10^18", n.Cmp(bar) >= 0)
	none := 0
	for h := range int32(c.Values(c.Hub())) {
		if n, err := c.Count(h); err == nil && n.Sign() == 0 {
			none++
		}
	}
	r.plain(name+".bases_unbuildable", float64(none), "bases")
	return nil
}

// measureChange changes the limits of one base, and compiles what that touches.
func measureChange(r *report, name string, base *choices.Base, c *choices.Compiled) error {
	changed := *base
	changed.Rules = append([]choices.Rule(nil), base.Rules...)
	limits := &changed.Rules[invented.Bases] // the first rule of a base's size
	require := append(choices.Row(nil), limits.Require...)
	width := require[0].Set.Numbers[0]
	require[0].Set.Numbers = []choices.Interval{{From: width.From, To: width.To - 2}}
	limits.Require = require
	begin := ownTime()
	after, err := choices.Compile(&changed, choices.Options{Previous: c})
	if err != nil {
		return err
	}
	r.atMost(name+".change_of_one_base", millis(ownTime()-begin), "ms of one core", 100)
	_, _, reused := after.Size()
	r.plain(name+".change_taken_over", float64(reused), "diagrams")
	begin = ownTime()
	changes := after.Since(c)
	r.plain(name+".since", millis(ownTime()-begin), "ms of one core")
	r.plain(name+".since_changed", float64(len(changes)), "bases")
	return nil
}

func measureCatalogueQuestions(ctx context.Context, r *report, name string, base *choices.Base, c *choices.Compiled) {
	q := newQuestions(base, c)
	q.ask(ctx, 50_000, 10*time.Second)
	r.atMost(name+".query.p50", micros(quantile(q.remaining, 0.50)), "us", 10)
	r.atMost(name+".query.p99", micros(quantile(q.remaining, 0.99)), "us", 100)
	picks := c.Picks()
	picks[c.Hub()], picks[3] = 0, choices.None
	r.atMost(name+".query.allocations", testing.AllocsPerRun(100, func() { _ = q.a.Remaining(picks, q.left) }), "allocations", 0)
	loose := newQuestions(base, c)
	loose.hubLess = true
	loose.ask(ctx, 5_000, 10*time.Second)
	r.plain(name+".query_without_base.p50", millis(quantile(loose.remaining, 0.50)), "ms")
	r.atMost(name+".query_without_base.p99", millis(quantile(loose.remaining, 0.99)), "ms", 5)
	loose.explain(ctx, 100, 10*time.Second)
	r.plain(name+".explain_without_base.p50", millis(quantile(loose.whyNot, 0.50)), "ms")
	r.plain(name+".explain_without_base.p99", millis(quantile(loose.whyNot, 0.99)), "ms")
	r.atMost(name+".explain_without_base.not_minimal", float64(loose.stayed), "explanations", 0)
	var changes []time.Duration
	q.session(func(picks choices.Picks) bool {
		for range 20 {
			changes = append(changes, leastOf(func() { _ = q.a.MayChange(picks, q.left) }))
		}
		return q.a.Remaining(picks, q.left) == nil
	})
	r.plain(name+".may_change.p99", millis(quantile(changes, 0.99)), "ms")
	q.repair(ctx, 1000, 10*time.Second)
	q.explain(ctx, 400, 40*time.Second)
	q.reportRepairs(r, name, true)
}
