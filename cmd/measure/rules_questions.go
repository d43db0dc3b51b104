package main

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"billwright/catalog/choices"
)

// questions asks a compiled base as people do: pick after pick, each of what
// remains; now and then for something that does not.
type questions struct {
	base    *choices.Base
	c       *choices.Compiled
	a       *choices.Asker
	left    choices.Values
	random  *rand.Rand
	hubLess bool // never picks the hub
	refused int  // questions given up at a bound

	remaining, whyNot, nearest []time.Duration
	removed, stayed            int // explanations that the removal test confirms, and others
	unproven, worse            int // repairs that are not proven, or dearer than the search's
}

func newQuestions(base *choices.Base, c *choices.Compiled) *questions {
	return &questions{base: base, c: c, a: c.Asker(), left: c.NoValues(), random: rand.New(rand.NewPCG(11, 7))}
}

// leastOf times a question asked three times over, and takes the least: what a
// processor shared with others adds is not the question's.
func leastOf(ask func()) time.Duration {
	least := time.Duration(math.MaxInt64)
	for range 3 {
		begin := time.Now()
		ask()
		least = min(least, time.Since(begin))
	}
	return least
}

// mostPicks is how many picks a session makes.
const mostPicks = 16

// session makes picks one after another; seen is told the picks before each,
// with what remains, and ends the session when it is false.
func (q *questions) session(seen func(picks choices.Picks) bool) {
	picks := q.c.Picks()
	if hub := q.c.Hub(); hub != choices.None && !q.hubLess {
		picks[hub] = int32(q.random.IntN(q.c.Values(hub)))
	}
	for range mostPicks {
		var err error
		q.remaining = append(q.remaining, leastOf(func() { err = q.a.Remaining(picks, q.left) }))
		if err != nil {
			q.refused++
			return
		}
		if !seen(picks) {
			return
		}
		f := int32(q.random.IntN(q.c.Fields()))
		if picks[f] != choices.None || q.hubLess && f == q.c.Hub() {
			continue
		}
		picks[f] = q.oneOf(f)
	}
}

// oneOf draws one of the values of a field that remain.
func (q *questions) oneOf(f int32) int32 {
	at := q.random.IntN(q.c.HowMany(q.left, f))
	for v := range q.c.Each(q.left, f) {
		if at == 0 {
			return v
		}
		at--
	}
	return choices.None
}

// ask times what remains.
func (q *questions) ask(ctx context.Context, n int, most time.Duration) {
	for end := time.Now().Add(most); len(q.remaining) < n && time.Now().Before(end) && ctx.Err() == nil; {
		q.session(func(choices.Picks) bool { return true })
		if q.refused > 0 {
			return
		}
	}
}

func (q *questions) report(r *report, name string) {
	r.plain(name+".query.p50", micros(quantile(q.remaining, 0.50)), "us")
	r.plain(name+".query.p99", micros(quantile(q.remaining, 0.99)), "us")
	r.note("%s: %d questions of what remains", name, len(q.remaining))
}

// explain times why a value that does not remain cannot be, and puts each answer
// to the removal test.
func (q *questions) explain(ctx context.Context, n int, most time.Duration) {
	for end := time.Now().Add(most); len(q.whyNot) < n && time.Now().Before(end) && ctx.Err() == nil; {
		q.session(func(picks choices.Picks) bool {
			if q.random.IntN(4) > 0 {
				return true
			}
			f := int32(q.random.IntN(q.c.Fields()))
			v := int32(q.random.IntN(q.c.Values(f)))
			if picks[f] != choices.None || q.c.Has(q.left, f, v) {
				return true
			}
			var why choices.Conflict
			var err error
			q.whyNot = append(q.whyNot, leastOf(func() { why, err = q.a.WhyNot(picks, f, v, nil) }))
			if err == nil && why.Whole && q.survives(picks, f, v, why) {
				q.removed++
			} else {
				q.stayed++
			}
			return len(q.whyNot) < n
		})
		if q.refused > 0 {
			return
		}
	}
}

// survives is the removal test, on bases made of the named rules alone: with
// all of it there is no choice, without any pick or rule of it there is one.
func (q *questions) survives(picks choices.Picks, f, v int32, why choices.Conflict) bool {
	if q.possible(picks, f, v, why.Picks, why.Rules) {
		return false
	}
	for i := range why.Picks {
		if !q.possible(picks, f, v, slices.Delete(slices.Clone(why.Picks), i, i+1), why.Rules) {
			return false
		}
	}
	for i := range why.Rules {
		if !q.possible(picks, f, v, why.Picks, slices.Delete(slices.Clone(why.Rules), i, i+1)) {
			return false
		}
	}
	return true
}

func (q *questions) possible(picks choices.Picks, f, v int32, fields, rules []int32) bool {
	few := *q.base
	few.Rules = nil
	for _, r := range rules {
		few.Rules = append(few.Rules, q.base.Rules[r])
	}
	c, err := choices.Compile(&few, choices.Options{})
	if err != nil {
		return false
	}
	some := c.Picks()
	for _, g := range fields {
		some[g] = picks[g]
	}
	some[f] = v
	a := c.Asker()
	defer a.Done()
	return a.Remaining(some, c.NoValues()) == nil
}

// wrongFields is how many fields of an order are made wrong before it is
// repaired.
const wrongFields = 4

// repair times the nearest order to one that was buildable until up to four of
// its fields were changed.
func (q *questions) repair(ctx context.Context, n int, most time.Duration) {
	for end := time.Now().Add(most); len(q.nearest) < n && time.Now().Before(end) && ctx.Err() == nil; {
		start := q.c.Picks()
		if hub := q.c.Hub(); hub != choices.None {
			start[hub] = int32(q.random.IntN(q.c.Values(hub)))
		}
		order, err := q.a.Cheapest(start, func(f, v int32) int64 { return int64(q.random.IntN(1000)) })
		if err != nil {
			q.refused++
			return
		}
		wish := choices.Wish{Picks: order.Picks}
		for range wrongFields {
			f := q.random.IntN(q.c.Fields())
			wish.Picks[f] = int32(q.random.IntN(q.c.Values(int32(f))))
		}
		var nearest choices.Order
		q.nearest = append(q.nearest, leastOf(func() { nearest, err = q.a.Nearest(&wish) }))
		broken, _ := q.c.Violations(nearest.Picks)
		if err != nil || !nearest.Proven || len(broken) > 0 || nearest.Cost > wrongFields {
			q.unproven++
		}
	}
}

// reportRepairs prints explanations and repairs, with bars or without.
func (q *questions) reportRepairs(r *report, name string, bars bool) {
	for _, x := range []struct {
		name string
		all  []time.Duration
		bar  float64
	}{{"explain", q.whyNot, 2}, {"repair", q.nearest, 10}} {
		if len(x.all) == 0 {
			r.row(name+"."+x.name+".p99", "-", "ms", "-", true)
			r.note("%s: nothing to %s was found", name, x.name)
			continue
		}
		r.plain(name+"."+x.name+".p50", millis(quantile(x.all, 0.50)), "ms")
		if p99 := millis(quantile(x.all, 0.99)); bars {
			r.atMost(name+"."+x.name+".p99", p99, "ms", x.bar)
		} else {
			r.plain(name+"."+x.name+".p99", p99, "ms")
		}
	}
	r.plain(name+".explain.sampled", float64(q.removed+q.stayed), "explanations")
	r.atMost(name+".explain.not_minimal", float64(q.stayed), "explanations", 0)
	r.plain(name+".repair.sampled", float64(len(q.nearest)), "orders")
	r.atMost(name+".repair.not_proven", float64(q.unproven), "orders", 0)
}
