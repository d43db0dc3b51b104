package choices

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
)

// Conflict is why something cannot be: picks and rules that contradict each
// other. Without any one of them the others do not.
type Conflict struct {
	Picks []int32 // fields, rising
	Rules []int32 // indices, rising; Compiled.Rule tells of them
	// Whole is false when a bound kept it from being made as small as it can be.
	Whole bool
}

// ErrPossible is the answer to why not when it can be.
var ErrPossible = errors.New("it can be: nothing contradicts it")

// WhyNot tells why a field cannot be a value beside the picks; a pick of that
// very field is left aside. With a field of None it tells why the picks
// contradict. Effort says for each field how hard its pick is to change, nil
// for all alike: of several reasons it gives one of picks that are easy to
// change. The error is ErrPossible, or ErrBound.
func (a *Asker) WhyNot(picks Picks, f, value int32, effort []int64) (Conflict, error) {
	if err := a.c.sound(picks); err != nil {
		return Conflict{}, err
	}
	q := &question{Asker: a, picks: a.c.Picks(), whole: true}
	var soft []int32
	for g, v := range picks {
		if v != None && int32(g) != f {
			soft = append(soft, int32(g))
			q.picks[g] = v
		}
	}
	if f != None {
		if value < 0 || int(value) >= a.c.Values(f) {
			return Conflict{}, &UnknownError{Field: a.c.Code(f), Value: "number " + strconv.Itoa(int(value))}
		}
		q.picks[f] = value
	}
	slices.SortStableFunc(soft, func(x, y int32) int { return cmp.Compare(effortOf(effort, x), effortOf(effort, y)) })
	q.prefer = slices.Clone(q.picks)
	switch can, err := q.can(); {
	case err != nil:
		return Conflict{}, err
	case can:
		return Conflict{}, ErrPossible
	}
	out := q.conflict(soft)
	slices.Sort(out.Picks)
	return out, nil
}

func effortOf(effort []int64, f int32) int64 {
	if int(f) < len(effort) {
		return effort[f]
	}
	return 0
}

// question asks again and again whether some of the picks can be completed.
type question struct {
	*Asker
	picks  Picks // those taken at the moment
	prefer Picks // all of them
	whole  bool
}

// can tells whether the picks taken can be completed.
func (q *question) can() (bool, error) {
	if hub := q.pickedHub(q.picks); hub != None && !q.c.byHub[hub].over {
		return q.keeps(q.c.byHub[hub], q.picks), nil
	}
	if hub := q.pickedHub(q.prefer); hub != None && q.pickedHub(q.picks) == None {
		if d := q.c.byHub[hub]; !d.over && q.keeps(d, q.picks) {
			return true, nil
		}
	}
	over := q.pickedHub(q.picks) != None
	if !over {
		for _, d := range q.c.distinct {
			if d.over {
				over = true
			} else if q.keeps(d, q.picks) {
				return true, nil
			}
		}
	}
	if !over {
		return false, nil
	}
	return q.searchFor(q.picks)
}

// searchFor asks the exact search.
func (a *Asker) searchFor(picks Picks) (bool, error) {
	b, possible := a.whole()
	if !possible || !b.assume(picks) {
		return false, nil
	}
	return b.search(a.c.options.Search)
}

// longRead is how many rules a reason may have before one that takes the hub's
// pick for granted is given instead: that no base at all takes an option may take
// a rule of each base to say, that this base does not takes one.
const longRead = 24

// shortRefutation is how much work finding the rules of a reason may take before
// the same.
const shortRefutation = 1000

// conflict finds picks and rules, beginning with the earliest of the soft picks.
func (q *question) conflict(soft []int32) Conflict {
	hub := q.c.base.hub
	out := Conflict{Picks: q.minimalPicks(soft)}
	if hub != None && slices.Contains(soft, hub) && !slices.Contains(out.Picks, hub) {
		if len(out.Picks) == 0 {
			return q.conflictAtHub(soft) // no value of the hub takes it
		}
		q.take(out.Picks)
		e := q.refuter()
		e.limit = shortRefutation
		core, refuted := e.refute(func(b *board) bool { return b.assume(q.picks) }, e.all)
		q.release(out.Picks)
		if !refuted || len(core) > longRead {
			return q.conflictAtHub(soft)
		}
	}
	out.Rules = q.minimalRules(out.Picks)
	out.Whole = q.whole
	return out
}

// conflictAtHub finds picks and rules that contradict beside the hub's pick, and
// then whether they need it.
func (q *question) conflictAtHub(soft []int32) Conflict {
	hub := q.c.base.hub
	rest := slices.DeleteFunc(slices.Clone(soft), func(f int32) bool { return f == hub })
	q.take([]int32{hub})
	out := Conflict{Picks: q.minimalPicks(rest)}
	out.Rules = q.minimalRules(append(out.Picks, hub))
	q.release([]int32{hub})
	e := q.refuter()
	if _, without := e.refute(func(b *board) bool { return b.assume(q.picks) }, out.Rules); !without {
		out.Picks = append(out.Picks, hub)
	}
	out.Whole = q.whole && !e.bound
	return out
}

// minimalPicks finds a smallest set of the soft picks that still contradicts,
// of the earliest ones, by QuickXplain (Junker, AAAI 2004).
func (q *question) minimalPicks(soft []int32) []int32 {
	for _, f := range soft {
		q.picks[f] = None
	}
	if can, err := q.can(); err == nil && !can || len(soft) == 0 {
		return nil
	}
	return q.quick(false, soft)
}

// quick gives a smallest part of soft that contradicts beside the picks taken.
// Grown tells that picks were taken since it was last asked.
func (q *question) quick(grown bool, soft []int32) []int32 {
	if grown {
		switch can, err := q.can(); {
		case err != nil:
			q.whole = false
		case !can:
			return nil
		}
	}
	if len(soft) == 1 {
		return soft
	}
	first, second := soft[:len(soft)/2], soft[len(soft)/2:]
	q.take(first)
	late := q.quick(true, second)
	q.release(first)
	q.take(late)
	early := q.quick(len(late) > 0, first)
	q.release(late)
	return slices.Concat(early, late)
}

func (q *question) take(fields []int32) {
	for _, f := range fields {
		q.picks[f] = q.prefer[f]
	}
}

func (q *question) release(fields []int32) {
	for _, f := range fields {
		q.picks[f] = None
	}
}

// minimalRules finds rules that contradict the picks, none of them needlessly.
func (q *question) minimalRules(picked []int32) []int32 {
	q.take(picked)
	e := q.refuter()
	rules, refuted := e.minimal(func(b *board) bool { return b.assume(q.picks) }, e.all)
	q.whole = q.whole && refuted && !e.bound
	return rules
}
