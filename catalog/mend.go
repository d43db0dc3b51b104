package catalog

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// How a broken rule is mended: each attribute that the rule concerns is set to
// its other values in turn, everything else left as it is, and the whole is
// settled again. A value mends the rule if it then holds, no other rule is
// broken that was not, and nothing else is found wrong.

// change is one other value of one attribute and what it comes to.
type change struct {
	text   string
	broken []int // rules
	worse  bool  // something is wrong that was not
}

// mends tells that the change mends a rule; before are the rules broken now.
func (c *change) mends(rule int, before []int) bool {
	if c.worse || slices.Contains(c.broken, rule) {
		return false
	}
	return !slices.ContainsFunc(c.broken, func(other int) bool { return !slices.Contains(before, other) })
}

// try settles everything with one attribute changed.
func (k *checking) try(i int, e entry) change {
	entries := slices.Clone(k.entries)
	entries[i] = e
	var out outcome
	out.settle(k.scope, entries, k.judge)
	return change{broken: out.broken, worse: out.lacking > k.out.lacking || len(out.failures) > len(k.out.failures)}
}

// mendings are the values of an attribute that mend a rule, and the nearest of
// them where values have a distance, or there is only one. Values are listed
// of choices only.
func (k *checking) mendings(rule, i int) (values []string, nearest string, any bool) {
	a := k.scope.attributes[i]
	if state := k.out.states[i]; state != settled && state != defaulted {
		return nil, "", false
	}
	switch {
	case a.Choose != nil:
		for _, c := range k.choices(i) {
			if c.mends(rule, k.out.broken) {
				values = append(values, c.text)
			}
		}
		if len(values) == 1 {
			nearest = values[0]
		}
		return values, nearest, len(values) > 0
	case a.Size != nil:
		nearest, any = k.nearestLength(rule, i)
	case a.Count != nil:
		nearest, any = k.nearestCount(rule, i)
	}
	return nil, nearest, any
}

// choices tries every other value of a choice, once in a Check.
func (k *checking) choices(i int) []change {
	if tried, found := k.changes[i]; found {
		return tried
	}
	a := k.scope.attributes[i]
	now := k.out.env[a.slot]
	var tried []change
	for at, o := range a.options {
		if o.value == now && !k.entries[i].open || o.withdrawn(k.day) {
			continue
		}
		c := k.try(i, entry{given: true, sound: true, text: o.Code, value: o.value, chosen: at})
		c.text = o.Code
		tried = append(tried, c)
	}
	if k.changes == nil {
		k.changes = map[int][]change{}
	}
	k.changes[i] = tried
	return tried
}

// mostCounts bounds the values of a count that are tried.
const mostCounts = 200

func (k *checking) nearestCount(rule, i int) (string, bool) {
	a := k.scope.attributes[i]
	now := int(k.out.env[a.slot].Number().Num())
	for away := 1; away <= mostCounts; away++ {
		for _, n := range []int{now - away, now + away} {
			if n < a.Count.From || n > a.Count.To {
				continue
			}
			e := entry{given: true, sound: true, value: formula.NumberOf(unit.RatioOf(int64(n)))}
			if c := k.try(i, e); c.mends(rule, k.out.broken) {
				return strconv.Itoa(n), true
			}
		}
	}
	return "", false
}

// nearestLength looks for the length nearest to the one picked that mends a
// rule. It tries the lengths at which rules mostly turn - the limits, the
// standard sizes, the ends of intervals, the other lengths picked - and from
// each that will do moves towards the one picked for as long as it still does.
// What it gives does mend the rule; where a rule turns more than once in
// between, something nearer may exist.
func (k *checking) nearestLength(rule, i int) (string, bool) {
	a := k.scope.attributes[i]
	u := k.entries[i].unit
	if k.out.states[i] == defaulted {
		u = a.byDefault.unit
	}
	now, step := k.out.env[a.slot].Length(), a.Size.step(u)
	mends := func(l unit.Length) bool {
		c := k.try(i, entry{given: true, sound: true, value: formula.LengthOf(l), unit: u})
		return c.mends(rule, k.out.broken)
	}
	best, found := unit.Length(0), false
	for _, l := range k.turns(a, u) {
		if found && apart(l, now) >= apart(best, now)+step*2 || !mends(l) {
			continue
		}
		for far, near := l/step, now/step; far-near > 1 || near-far > 1; {
			if middle := (far + near) / 2; mends(middle * step) {
				far, l = middle, middle*step
			} else {
				near = middle
			}
		}
		if !found || apart(l, now) < apart(best, now) {
			best, found = l, true
		}
	}
	return lengthText(best, u), found
}

func apart(l, m unit.Length) unit.Length { return max(l-m, m-l) }

// turns are the lengths at which rules mostly turn, made such as can be
// entered, the nearest first.
func (k *checking) turns(a *Attribute, u unit.EntryUnit) []unit.Length {
	list := append([]unit.Length{a.Size.From, a.Size.To}, a.Size.Standard...)
	for _, r := range k.scope.rules {
		if r.jig != nil {
			list = append(list, r.jig.jig.Radii...)
		}
		for _, tests := range [][]test{r.where, r.allow, r.forbid} {
			for _, t := range tests {
				if t.attribute == a && t.interval != nil {
					list = append(list, t.interval.ends()...)
				}
			}
		}
	}
	for _, value := range k.out.env[:len(k.scope.attributes)] {
		if value.Kind() == formula.Length {
			list = append(list, value.Length())
		}
	}
	now, kept := k.out.env[a.slot].Length(), list[:0]
	for _, l := range list {
		if near, found := a.Size.nearest(l, u); found && near != now {
			kept = append(kept, near)
		}
	}
	slices.SortFunc(kept, func(l, m unit.Length) int { return cmp.Compare(apart(l, now), apart(m, now)) })
	return slices.Compact(kept)
}

func (c *Condition) ends() (list []unit.Length) {
	if c.From != nil {
		list = append(list, *c.From)
	}
	if c.To != nil {
		list = append(list, *c.To)
	}
	return list
}

// brokenRule is the finding of a broken rule. It points to the attribute that
// one would change: a default before what was picked, and otherwise the first
// that the rule concerns and that can mend it.
func (k *checking) brokenRule(index int) Finding {
	r := k.scope.rules[index]
	f := Finding{Pointer: "/configuration", Code: codeRuleBroken, Message: r.sentence(k.out.env)}
	if r.jig != nil {
		f.Code = codeNoJig
	}
	if len(r.concerns) == 0 {
		return f
	}
	suspects, clash := k.suspects(r)
	at := suspects[0]
	for _, i := range suspects {
		if values, nearest, any := k.mendings(index, i); any {
			at, f.Allowed, f.Nearest = i, values, nearest
			break
		}
	}
	a := k.scope.attributes[at]
	f.Pointer = "/configuration/" + a.Code
	if clash && k.out.states[at] == defaulted {
		f.Code = codeDefaultClashes
		f.Message += fmt.Sprintf(" %s was not picked, and its default, %s, does not go with the rest.", a.Name, a.name(&a.byDefault, k.scope.unit))
	}
	return f
}

// suspects puts the attributes of a rule in the order in which one would
// change them. A default is the first suspect, but one that only says when the
// rule applies is not, where two or more picks break the rule without it.
func (k *checking) suspects(r *rule) (list []int, clash bool) {
	picked := 0
	for _, i := range r.concerns {
		if k.out.states[i] == settled {
			picked++
		}
	}
	for at, i := range r.concerns {
		if k.out.states[i] == defaulted && (at < r.primary || picked < 2) {
			list = append(list, i)
		}
	}
	clash = len(list) > 0
	for _, i := range r.concerns {
		if !slices.Contains(list, i) {
			list = append(list, i)
		}
	}
	return list, clash
}
