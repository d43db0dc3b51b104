package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"billwright/catalog/choices"
	"billwright/catalog/choices/published"
)

// Bounds for rule bases that are read: a count takes a minute at most or so.
const (
	publishedNodes = 3_000_000
	publishedWork  = 150_000_000
	countBar       = 60 // seconds
	fileTime       = 8 * time.Second
	fileQueries    = 20_000
	fileSamples    = 100 // of explanations and of repairs
)

// measureRules measures the choices of every rule base of a folder, and of a
// furniture catalogue made for the purpose.
func measureRules(ctx context.Context, r *report, args []string) error {
	if len(args) == 0 {
		return measureDemonstrationRules(ctx, r)
	}
	if len(args) != 1 {
		return errors.New("measure rules of which folder? It reads every .dimacs and .tbl file there; without one it measures the demonstration")
	}
	entries, err := os.ReadDir(args[0])
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := ctx.Err(); err != nil {
			return err
		}
		if ext := filepath.Ext(e.Name()); ext == ".dimacs" || ext == ".tbl" {
			if err := measureRuleFile(ctx, r, filepath.Join(args[0], e.Name())); err != nil {
				return fmt.Errorf("%s: %w", e.Name(), err)
			}
		}
	}
	if err := measureFurniture(ctx, r); err != nil {
		return err
	}
	if err := measurePaths(ctx, r); err != nil {
		return err
	}
	return measureDemonstrationRules(ctx, r)
}

func readRules(path string) (*choices.Base, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if strings.HasSuffix(path, ".tbl") {
		return published.Tables(file)
	}
	return published.DIMACS(file)
}

func measureRuleFile(ctx context.Context, r *report, path string) error {
	name := "rules." + filepath.Base(path)
	base, err := readRules(path)
	if err != nil {
		return err
	}
	values := 0
	for _, f := range base.Fields {
		values += len(f.Values)
	}
	r.plain(name+".fields", float64(len(base.Fields)), "fields")
	r.plain(name+".values", float64(values), "values")
	r.plain(name+".rules", float64(len(base.Rules)), "rules")
	begin := time.Now()
	c, err := choices.Compile(base, choices.Options{Nodes: publishedNodes, Work: publishedWork, Total: publishedWork})
	if err != nil {
		return err
	}
	r.atMost(name+".compile", time.Since(begin).Seconds(), "s", countBar)
	countFile(r, name, c, begin)
	alwaysAndNever(r, name, c)
	q := newQuestions(base, c)
	q.ask(ctx, fileQueries, fileTime/2)
	q.report(r, name)
	q.repair(ctx, fileSamples, fileTime/4)
	q.explain(ctx, fileSamples, fileTime/4)
	q.reportRepairs(r, name, false)
	compared, differ, err := compareWays(ctx, base, c, fileQueries, fileTime)
	if err != nil {
		return err
	}
	r.plain(name+".agreement.queries", float64(compared), "queries")
	r.atMost(name+".agreement.differ", float64(differ), "queries", 0)
	return nil
}

func countFile(r *report, name string, c *choices.Compiled, begin time.Time) {
	size, over, _ := c.Size()
	if over > 0 {
		r.missing(name+".count", "choices", fmt.Sprintf("<= %d s", countBar), fmt.Errorf("the diagram was given up at %d nodes or %d constraints looked at", publishedNodes, publishedWork))
		return
	}
	n, err := c.Count(choices.None)
	if err != nil {
		r.missing(name+".count", "choices", "-", err)
		return
	}
	r.row(name+".count", n.String(), "choices", "-", true)
	r.plain(name+".digits", float64(len(n.String())), "digits")
	r.atMost(name+".counted", time.Since(begin).Seconds(), "s", countBar)
	r.plain(name+".nodes", float64(size.Nodes), "nodes")
	r.plain(name+".arcs", float64(size.Arcs), "arcs")
	r.plain(name+".size", float64(size.Bytes)/(1<<20), "MiB")
}

// alwaysAndNever counts options that every choice has or none: of clauses, the
// variables that are always on or never; of tables, the fields that are forced
// and the values that are dead.
func alwaysAndNever(r *report, name string, c *choices.Compiled) {
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	if err := a.Remaining(c.Picks(), left); err != nil {
		r.missing(name+".always_on", "options", "-", err)
		r.missing(name+".never_on", "options", "-", err)
		return
	}
	always, never := 0, 0
	for f := range int32(c.Fields()) {
		boolean := c.Values(f) == 2 && c.Name(f, 0) == published.Off
		for v := range int32(c.Values(f)) {
			switch {
			case boolean && v == 0:
			case !c.Has(left, f, v):
				never++
			case c.HowMany(left, f) == 1 && c.Values(f) > 1:
				always++
			}
		}
	}
	r.plain(name+".always_on", float64(always), "options")
	r.plain(name+".never_on", float64(never), "options")
}

// quantile gives a quantile of durations, which it sorts.
func quantile(all []time.Duration, q float64) time.Duration {
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[min(int(q*float64(len(all))), len(all)-1)]
}

func micros(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1e3 }

func millis(d time.Duration) float64 { return float64(d.Nanoseconds()) / 1e6 }
