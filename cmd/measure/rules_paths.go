package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"billwright/catalog/choices"
)

// pathQueries is how many random questions are answered both ways.
const (
	pathQueries      = 1_000_000
	pathCatalogue    = 20_000
	pathQueriesABase = 500
	pathTime         = 4 * time.Minute
)

// searchOnly makes every diagram be given up, so that the search answers.
var searchOnly = choices.Options{Nodes: 1}

// measurePaths answers random questions by diagrams and by the search alone, on
// the catalogue and on small bases of every kind of rule.
func measurePaths(ctx context.Context, r *report) error {
	end := time.Now().Add(pathTime)
	base := makeFurniture()
	c, err := choices.Compile(base, choices.Options{})
	if err != nil {
		return err
	}
	queries, differ, err := compareWays(ctx, base, c, pathCatalogue, pathTime/4)
	if err != nil {
		return err
	}
	r.plain("rules.paths.catalogue", float64(queries), "queries")
	random := rand.New(rand.NewPCG(3, 9))
	bases := 0
	for queries < pathQueries && time.Now().Before(end) && ctx.Err() == nil {
		small := randomRules(random)
		c, err := choices.Compile(small, choices.Options{})
		if err != nil {
			return err
		}
		n, d, err := compareWays(ctx, small, c, pathQueriesABase, time.Minute)
		if err != nil {
			return err
		}
		queries, differ, bases = queries+n, differ+d, bases+1
	}
	r.plain("rules.paths.small_bases", float64(bases), "bases")
	r.atLeast("rules.paths.queries", float64(queries), "queries", pathQueries)
	r.atMost("rules.paths.differ", float64(differ), "queries", 0)
	return nil
}

// compareWays asks the same random questions of a base compiled and of the same
// base searched. It gives how many were asked and how many answers differ.
func compareWays(ctx context.Context, base *choices.Base, c *choices.Compiled, n int, most time.Duration) (asked, differ int, err error) {
	searched, err := choices.Compile(base, searchOnly)
	if err != nil {
		return 0, 0, err
	}
	a, b := c.Asker(), searched.Asker()
	defer a.Done()
	defer b.Done()
	left, other := c.NoValues(), searched.NoValues()
	random := rand.New(rand.NewPCG(uint64(n), uint64(len(base.Rules))))
	for end := time.Now().Add(most); asked < n && time.Now().Before(end) && ctx.Err() == nil; asked++ {
		picks := randomPicks(random, c)
		wantErr, gotErr := a.Remaining(picks, left), b.Remaining(picks, other)
		if errors.Is(wantErr, choices.ErrBound) || errors.Is(gotErr, choices.ErrBound) {
			return asked, differ, nil
		}
		if !errors.Is(gotErr, wantErr) || !slices.Equal(left, other) {
			differ++
		}
	}
	return asked, differ, nil
}

// randomPicks picks up to a third of the fields, or of 30 of many, at random.
func randomPicks(random *rand.Rand, c *choices.Compiled) choices.Picks {
	picks := c.Picks()
	for range random.IntN(min(c.Fields()/3, 10) + 2) {
		f := int32(random.IntN(c.Fields()))
		picks[f] = int32(random.IntN(c.Values(f)))
	}
	return picks
}

// randomRules makes a small base of every kind of field and rule.
func randomRules(random *rand.Rand) *choices.Base {
	b := &choices.Base{}
	n := 3 + random.IntN(7)
	for i := range n {
		f := choices.Field{Code: fmt.Sprint("f", i)}
		if i > 1 {
			for v := range 2 + random.IntN(5) {
				f.Values = append(f.Values, fmt.Sprint("v", v))
			}
		}
		if i < 2 || random.IntN(5) == 0 {
			f.Grid = []choices.Grid{{Min: int64(random.IntN(5)), Max: int64(10 + random.IntN(20)), Step: int64(1 + random.IntN(3))}}
		}
		b.Fields = append(b.Fields, f)
	}
	if random.IntN(2) == 0 {
		b.Hub = b.Fields[2].Code
	}
	for i := range 2 + random.IntN(2*n) {
		b.Rules = append(b.Rules, randomRule(random, b, i))
	}
	return b
}

func randomRule(random *rand.Rand, b *choices.Base, i int) choices.Rule {
	r := choices.Rule{ID: fmt.Sprint("r", i)}
	if random.IntN(3) == 0 {
		r.Where = randomRow(random, b, 1)
	}
	switch random.IntN(6) {
	case 0:
		r.AtMost = &choices.AtMost{A: b.Fields[0].Code, B: b.Fields[1].Code, TimesA: int64(1 + random.IntN(2)), TimesB: int64(1 + random.IntN(2)), Plus: int64(random.IntN(12) - 2)}
	case 1:
		r.Product = &choices.Product{A: b.Fields[1].Code, B: b.Fields[0].Code, Low: uint64(60 + random.IntN(400))}
	case 2:
		r.Require = randomRow(random, b, 1)
		if len(r.Where) == 0 {
			r.Where = randomRow(random, b, 2)
		}
	case 3:
		r.Allow = []choices.Row{}
		for range 3 + random.IntN(6) {
			r.Allow = append(r.Allow, randomRow(random, b, 3))
		}
	default:
		r.Forbid = []choices.Row{}
		for range 1 + random.IntN(4) {
			r.Forbid = append(r.Forbid, randomRow(random, b, 2+random.IntN(2)))
		}
	}
	return r
}

func randomRow(random *rand.Rand, b *choices.Base, terms int) choices.Row {
	row := choices.Row{}
	for _, f := range random.Perm(len(b.Fields))[:min(terms, len(b.Fields))] {
		field := &b.Fields[f]
		set := choices.Set{Except: random.IntN(6) == 0}
		for _, name := range field.Values {
			if random.IntN(2) == 0 {
				set.Values = append(set.Values, name)
			}
		}
		if len(field.Grid) > 0 {
			from := int64(random.IntN(25))
			set.Numbers = []choices.Interval{{From: from, To: from + int64(random.IntN(12))}}
		}
		row = append(row, choices.Term{Field: field.Code, Set: set})
	}
	return row
}
