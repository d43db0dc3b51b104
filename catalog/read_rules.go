package catalog

import (
	"fmt"
	"iter"
	"slices"
	"strconv"

	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// rules makes the product's own rules ready.
func (r *productReading) rules() {
	entries(r.s.in("rules"), r.p.Rules, func(s spot, code string, written *Rule) {
		written.Code = code
		s = s.at(written.Pos)
		given := []string{}
		for _, part := range []struct {
			name string
			is   bool
		}{{"allow", written.Allow.Len() > 0}, {"forbid", written.Forbid.Len() > 0}, {"need", written.Need != nil}} {
			if part.is {
				given = append(given, part.name)
			}
		}
		if len(given) != 1 {
			s.exactly(given, []string{"allow", "forbid", "need"})
		}
		made := &rule{code: code, says: written.Says}
		made.where = r.conditions(s.in("where"), written.Where)
		made.allow = r.conditions(s.in("allow"), written.Allow)
		made.forbid = r.conditions(s.in("forbid"), written.Forbid)
		if r.known.compile(s.in("need"), written.Need, formula.Bool) {
			made.need = written.Need.compiled
		}
		r.concerns(made)
		r.scope.rules = append(r.scope.rules, made)
	})
}

// concerns puts first what a rule allows or forbids, the attribute asked last
// before those above it, and then the attributes under which it applies.
func (r *productReading) concerns(made *rule) {
	add := func(indexes ...int) {
		for _, i := range indexes {
			if !slices.Contains(made.concerns, i) {
				made.concerns = append(made.concerns, i)
			}
		}
	}
	for _, t := range made.allow {
		add(t.attribute.slot)
	}
	for _, i := range slices.Backward(slices.Sorted(slots(made.forbid))) {
		add(i)
	}
	if made.need != nil {
		reads := r.reads(made.need)
		slices.Reverse(reads)
		add(reads...)
	}
	if made.pair != nil {
		add(r.reads(made.pair.finish)...)
		add(r.reads(made.pair.species)...)
	}
	if made.jig != nil {
		add(r.reads(made.jig.radius)...)
	}
	made.primary = len(made.concerns)
	if made.open != nil {
		add(made.open.slot)
	}
	for _, t := range made.where {
		add(t.attribute.slot)
	}
	var whens []*formula.Formula
	switch {
	case made.pair != nil:
		whens = made.pair.whens
	case made.jig != nil:
		whens = made.jig.whens
	}
	for _, when := range whens {
		add(r.reads(when)...)
	}
}

func slots(tests []test) iter.Seq[int] {
	return func(yield func(int) bool) {
		for _, t := range tests {
			if !yield(t.attribute.slot) {
				return
			}
		}
	}
}

// reads are the attributes that a formula depends on, itself or through
// properties and figures, by index and in order.
func (r *productReading) reads(f *formula.Formula) (list []int) {
	for _, name := range f.Names() {
		list = append(list, r.behind[name]...)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// conditions makes conditions on attributes ready.
func (r *productReading) conditions(s spot, written source.Map[*Condition]) (tests []test) {
	entries(s, written, func(s spot, name string, c *Condition) {
		if !s.attributeOf(r.p, name) {
			return
		}
		i, sound := r.scope.index[name]
		if !sound {
			return
		}
		t := test{attribute: r.scope.attributes[i]}
		if s.at(c.Pos).test(&t, c) {
			tests = append(tests, t)
		}
	})
	return tests
}

// test fits a condition to the kind of its attribute.
func (s spot) test(t *test, c *Condition) bool {
	a := t.attribute
	switch {
	case len(c.Values) == 0:
		return s.interval(t, c)
	case a.Write != nil:
		s.fault(fmt.Sprintf("%s is free text, of which nothing can hang", a.Code), "")
		return false
	}
	before := len(s.r.faults)
	for _, text := range c.Values {
		if value, ok := s.at(text.Pos).valueOf(a, text.Value); ok {
			t.values = append(t.values, value)
		}
	}
	return len(s.r.faults) == before
}

// interval checks that an interval is of the attribute's kind, and that
// something may lie in it.
func (s spot) interval(t *test, c *Condition) bool {
	a := t.attribute
	lengths := c.From != nil || c.To != nil
	none, limits := false, ""
	switch {
	case a.Size != nil && lengths:
		none = c.From != nil && !meets(a.Size.To, c.From, nil, c.Over, false) || c.To != nil && !meets(a.Size.From, nil, c.To, false, c.Under)
		limits = fmt.Sprintf("it is from %s to %s", a.Size.From, a.Size.To)
	case a.Size != nil:
		s.fault(fmt.Sprintf("%s is a length, and %q has no unit", a.Code, c), "write such as up to 72 in")
		return false
	case a.Count != nil && !lengths:
		none = c.Least != nil && !meets(a.Count.To, c.Least, nil, c.Over, false) || c.Most != nil && !meets(a.Count.From, nil, c.Most, false, c.Under)
		limits = fmt.Sprintf("it is from %d to %d", a.Count.From, a.Count.To)
	case a.Count != nil:
		s.fault(fmt.Sprintf("%s is a whole number, and %q has a unit", a.Code, c), "write such as up to 3")
		return false
	default:
		s.fault(fmt.Sprintf("%s is neither a length nor a number, so that nothing lies in an interval", a.Code), "write a value or a list of values")
		return false
	}
	if none {
		s.fault(fmt.Sprintf("no %s lies in this interval", a.Code), limits)
		return false
	}
	t.interval = c
	return true
}

// valueOf reads a value that a condition names.
func (s spot) valueOf(a *Attribute, text string) (formula.Value, bool) {
	switch {
	case a.Size != nil:
		l, err := unit.ParseLength(text)
		if err != nil {
			s.fault(err.Error(), "write a length, or such as up to 72 in, over 72 in, at least 72 in")
			return formula.Value{}, false
		}
		if l < a.Size.From || l > a.Size.To {
			s.fault(fmt.Sprintf("%s is never %s", a.Code, l), fmt.Sprintf("it is from %s to %s", a.Size.From, a.Size.To))
		}
		return formula.LengthOf(l), true
	case a.Count != nil:
		n, err := strconv.Atoi(text)
		if err != nil || n < a.Count.From || n > a.Count.To {
			s.fault(fmt.Sprintf("%s is never %q", a.Code, text), fmt.Sprintf("it is from %d to %d", a.Count.From, a.Count.To))
			return formula.Value{}, false
		}
		return formula.NumberOf(unit.RatioOf(int64(n))), true
	}
	_, found := a.find(text)
	if !found {
		s.fault(fmt.Sprintf("%s is never %q", a.Code, text), meant(text, a.codes()))
	}
	return formula.TextOf(text), found
}

func (a *Attribute) codes() []string {
	codes := make([]string, len(a.options))
	for i, o := range a.options {
		codes[i] = o.Code
	}
	return codes
}
