package choices_test

import (
	"errors"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/choices"
)

// Both ways of answering: by diagrams, and by the search alone, which the least
// bound on nodes leaves.
var ways = []struct {
	name    string
	options choices.Options
}{{"diagrams", choices.Options{}}, {"search", choices.Options{Nodes: 1}}}

func onBoth(t *testing.T, check func(t *rapid.T, s *shop, c *choices.Compiled)) {
	t.Helper()
	for _, way := range ways {
		t.Run(way.name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				s := newShop(drawBase(t))
				c, err := choices.Compile(s.base, way.options)
				if err != nil {
					t.Fatalf("%v\n%s", err, describe(s.base))
				}
				check(t, s, c)
			})
		})
	}
}

func TestRemainingIsWhatEveryChoiceTriedLeaves(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		a := c.Asker()
		defer a.Done()
		into := c.NoValues()
		for range 3 {
			picks := drawPicks(t, s)
			good := s.with(picks)
			err := a.Remaining(picks, into)
			if (len(good) == 0) != errors.Is(err, choices.ErrContradiction) {
				t.Fatalf("picks %v: %v, while %d choices have them\n%s", picks, err, len(good), describe(s.base))
			}
			for f := range s.options {
				for v := range s.options[f] {
					want := slices.ContainsFunc(good, func(choice []int) bool { return choice[f] == v })
					if got := c.Has(into, int32(f), int32(v)); got != want {
						t.Fatalf("picks %v: field %d value %d remains: %v, want %v\n%s", picks, f, v, got, want, describe(s.base))
					}
				}
			}
		}
	})
}

func TestMayChangeReleasesOnePickAtATime(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		a := c.Asker()
		defer a.Done()
		into := c.NoValues()
		picks := drawPicks(t, s)
		if err := a.MayChange(picks, into); err != nil {
			t.Fatal(err)
		}
		for f := range s.options {
			loose := slices.Clone(picks)
			loose[f] = choices.None
			good := s.with(loose)
			for v := range s.options[f] {
				want := picks[f] != choices.None && slices.ContainsFunc(good, func(choice []int) bool { return choice[f] == v })
				if got := c.Has(into, int32(f), int32(v)); got != want {
					t.Fatalf("picks %v: field %d may be %d: %v, want %v\n%s", picks, f, v, got, want, describe(s.base))
				}
			}
		}
	})
}

func TestWhyNotIsEnoughAndNothingOfItIsNeedless(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		a := c.Asker()
		defer a.Done()
		picks := drawPicks(t, s)
		f := rapid.IntRange(0, len(s.options)-1).Draw(t, "asked")
		v := rapid.IntRange(0, len(s.options[f])-1).Draw(t, "value")
		effort := rapid.SliceOfN(rapid.Int64Range(0, 5), len(picks), len(picks)).Draw(t, "effort")
		asked := slices.Clone(picks)
		asked[f] = int32(v)
		why, err := a.WhyNot(picks, int32(f), int32(v), effort)
		if len(s.with(asked)) > 0 {
			if !errors.Is(err, choices.ErrPossible) {
				t.Fatalf("%v of what can be\n%s", err, describe(s.base))
			}
			return
		}
		if err != nil || !why.Whole {
			t.Fatalf("picks %v, %d = %d: %+v %v\n%s", picks, f, v, why, err, describe(s.base))
		}
		contradicts := func(fields, rules []int32) bool {
			some := c.Picks()
			for _, g := range fields {
				some[g] = picks[g]
			}
			some[f] = int32(v)
			return len(s.without(rules).with(some)) == 0
		}
		if !contradicts(why.Picks, why.Rules) {
			t.Fatalf("picks %v, %d = %d: %+v does not contradict\n%s", picks, f, v, why, describe(s.base))
		}
		for i := range why.Picks {
			if contradicts(slices.Delete(slices.Clone(why.Picks), i, i+1), why.Rules) {
				t.Fatalf("picks %v, %d = %d: pick %d of %+v is needless\n%s", picks, f, v, i, why, describe(s.base))
			}
		}
		for i := range why.Rules {
			if contradicts(why.Picks, slices.Delete(slices.Clone(why.Rules), i, i+1)) {
				t.Fatalf("picks %v, %d = %d: rule %d of %+v is needless\n%s", picks, f, v, i, why, describe(s.base))
			}
		}
	})
}

func TestNearestIsTheLeastOfEveryChoiceTried(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		a := c.Asker()
		defer a.Done()
		wish := &choices.Wish{Picks: drawPicks(t, s), Weights: rapid.SliceOfN(rapid.Int64Range(0, 9), len(s.options), len(s.options)).Draw(t, "weights")}
		order, err := a.Nearest(wish)
		if len(s.good) == 0 {
			if !errors.Is(err, choices.ErrContradiction) {
				t.Fatalf("%v, while nothing can be built\n%s", err, describe(s.base))
			}
			return
		}
		cost := func(choice []int) (weight, steps int64) {
			for f, v := range wish.Picks {
				if v == choices.None || choice[f] == int(v) {
					continue
				}
				weight += wish.Weights[f]
				if s.options[f][v].is && s.options[f][choice[f]].is {
					steps += int64(max(choice[f]-int(v), int(v)-choice[f]))
				}
			}
			return weight, steps
		}
		got := make([]int, len(order.Picks))
		for f, v := range order.Picks {
			got[f] = int(v)
		}
		if err != nil || !order.Proven || len(s.broken(got)) > 0 {
			t.Fatalf("wish %+v: %+v %v\n%s", wish, order, err, describe(s.base))
		}
		weight, steps := cost(got)
		if weight != order.Cost {
			t.Fatalf("wish %+v: %+v costs %d\n%s", wish, order, weight, describe(s.base))
		}
		for _, choice := range s.good {
			if w, n := cost(choice); w < weight || w == weight && n < steps {
				t.Fatalf("wish %+v: %v costs %d, %d steps; %+v costs %d, %d steps\n%s", wish, choice, w, n, order, weight, steps, describe(s.base))
			}
		}
	})
}

func TestCheapestIsTheLeastOfEveryChoiceTried(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		a := c.Asker()
		defer a.Done()
		picks := drawPicks(t, s)
		prices := rapid.SliceOfN(rapid.Int64Range(-9, 30), 20, 20).Draw(t, "prices")
		price := func(f, v int32) int64 { return prices[(int(f)*7+int(v))%len(prices)] }
		order, err := a.Cheapest(picks, price)
		good := s.with(picks)
		if len(good) == 0 {
			if !errors.Is(err, choices.ErrContradiction) {
				t.Fatalf("%v, while nothing has the picks\n%s", err, describe(s.base))
			}
			return
		}
		least := int64(1 << 40)
		found := false
		for _, choice := range good {
			sum := int64(0)
			same := true
			for f, v := range choice {
				sum += price(int32(f), int32(v))
				same = same && order.Picks[f] == int32(v)
			}
			least, found = min(least, sum), found || same
		}
		if err != nil || !order.Proven || order.Cost != least || !found || len(order.Changed) > 0 {
			t.Fatalf("picks %v: %+v %v, least %d\n%s", picks, order, err, least, describe(s.base))
		}
	})
}

func TestCountIsThatOfEveryChoiceTried(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := newShop(drawBase(t))
		c, err := choices.Compile(s.base, choices.Options{})
		if err != nil {
			t.Fatal(err)
		}
		all, err := c.Count(choices.None)
		if err != nil || all.Int64() != int64(len(s.good)) {
			t.Fatalf("%v %v, want %d\n%s", all, err, len(s.good), describe(s.base))
		}
		if c.Hub() == choices.None {
			return
		}
		for h := range int32(c.Values(c.Hub())) {
			picks := c.Picks()
			picks[c.Hub()] = h
			n, err := c.Count(h)
			if err != nil || n.Int64() != int64(len(s.with(picks))) {
				t.Fatalf("hub %d: %v %v, want %d\n%s", h, n, err, len(s.with(picks)), describe(s.base))
			}
		}
	})
}

func TestViolationsAreAllThatPicksBreak(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := newShop(drawBase(t))
		c, err := choices.Compile(s.base, choices.Options{})
		if err != nil {
			t.Fatal(err)
		}
		picks := drawPicks(t, s)
		got, err := c.Violations(picks)
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.base.Rules {
			broken := slices.ContainsFunc(got, func(v choices.Violation) bool { return v.Rule == int32(i) })
			if want := len(s.without([]int32{int32(i)}).with(picks)) == 0; broken && !want {
				t.Fatalf("picks %v: rule %d is said to be broken\n%s", picks, i, describe(s.base))
			} else if want && !broken && !slices.Contains(picks, choices.None) {
				t.Fatalf("picks %v: rule %d is broken and not said to be\n%s", picks, i, describe(s.base))
			}
		}
	})
}
