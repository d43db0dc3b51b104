package main

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"time"

	"billwright/catalog/choices"
	"billwright/catalog/choices/invented"
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
	base := invented.Furniture()
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
		small := invented.Small(random)
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

// mostGivenUp is how many questions the search may give up at its bound before
// no more are asked.
const mostGivenUp = 20

// compareWays asks the same random questions of a base compiled and of the same
// base searched. It gives how many both answered and how many answers differ.
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
	givenUp := 0
	for end := time.Now().Add(most); asked < n && givenUp < mostGivenUp && time.Now().Before(end) && ctx.Err() == nil; {
		picks := randomPicks(random, c)
		wantErr, gotErr := a.Remaining(picks, left), b.Remaining(picks, other)
		if errors.Is(wantErr, choices.ErrBound) || errors.Is(gotErr, choices.ErrBound) {
			givenUp++
			continue
		}
		asked++
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
