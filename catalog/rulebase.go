package catalog

import (
	"fmt"
	"slices"
	"strconv"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// The values that a field of a rule base has beside those that are listed.
const (
	// ValueNotAsked stands for an attribute that is not asked.
	ValueNotAsked = "(not asked)"
	// ValueUnlisted stands for whatever is written for an open choice.
	ValueUnlisted = "(unlisted)"
)

// RuleKind is where a rule of a product's rule base comes from.
type RuleKind string

// The kinds of rule.
const (
	RuleWritten   RuleKind = "rule"      // that the product writes
	RuleSpecies   RuleKind = "species"   // of the species that a wood finish goes on
	RuleJig       RuleKind = "jig"       // of the radii that a jig bends to
	RuleUnlisted  RuleKind = "unlisted"  // of what goes with something unlisted
	RuleAsked     RuleKind = "asked"     // of when an attribute is asked
	RuleFails     RuleKind = "formula"   // of where a formula cannot be reckoned
	RuleWithdrawn RuleKind = "withdrawn" // of what is withdrawn
	RuleLimit     RuleKind = "limit"     // of what the bill refuses
)

// RuleOrigin is where a rule of a rule base comes from.
type RuleOrigin struct {
	Kind RuleKind
	// Code is the code of a written rule, the attribute's of one of when it is
	// asked or withdrawn, and otherwise what the rule is told by.
	Code string
	// Says is the sentence for people.
	Says string

	index int // of the product's rules; -1 for what is none of them
}

// MayStillRefuse is a condition that could not be made a rule of choices: what
// is chosen is refused by it only when the whole is checked or exploded.
type MayStillRefuse struct {
	// What is the rule's code or the place in the bill.
	What string `json:"what"`
	// Says is the sentence for people.
	Says string `json:"says"`
	// Attributes are what it hangs on.
	Attributes []string `json:"attributes"`
}

// rulebase is a product's rules as a base of choices, before anything is
// withdrawn from it.
type rulebase struct {
	scope   *productScope
	base    choices.Base
	fields  []int32      // by attribute; choices.None for free text
	numbers [][]int64    // by attribute: the numbers of its field, rising
	origins []RuleOrigin // by rule of the base
	exact   []bool       // by rule of the product: it is in the base
	refuses []MayStillRefuse
}

// newRulebase makes the rule base of a product.
func newRulebase(p *Product) *rulebase {
	b := &rulebase{scope: p.scope, fields: make([]int32, len(p.scope.attributes)), numbers: make([][]int64, len(p.scope.attributes)), exact: make([]bool, len(p.scope.rules))}
	for i, a := range p.scope.attributes {
		b.fields[i] = choices.None
		if a.Write == nil {
			b.fields[i] = int32(len(b.base.Fields))
			b.base.Fields = append(b.base.Fields, b.field(i, a))
		}
	}
	for i, a := range p.scope.attributes {
		if a.AskedWhen != nil {
			b.asked(i, a)
		}
	}
	for i := range p.scope.figures {
		b.figure(&p.scope.figures[i])
	}
	for i, r := range p.scope.rules {
		b.rule(i, r)
	}
	return b
}

// field is an attribute as a field of choices: what is listed by code, sizes and
// counts by number.
func (b *rulebase) field(i int, a *Attribute) choices.Field {
	f := choices.Field{Code: a.Code}
	switch {
	case a.Choose != nil:
		for _, o := range a.options {
			f.Values = append(f.Values, o.Code)
		}
		if a.Choose.Open != nil {
			f.Values = append(f.Values, ValueUnlisted)
		}
	case a.Size != nil:
		for _, step := range []unit.Length{a.Size.StepInch, a.Size.StepMM} {
			if from, to := (a.Size.From+step-1)/step*step, a.Size.To/step*step; from <= to {
				f.Grid = append(f.Grid, choices.Grid{Min: int64(from), Max: int64(to), Step: int64(step)})
			}
		}
	default:
		f.Grid = append(f.Grid, choices.Grid{Min: int64(a.Count.From), Max: int64(a.Count.To), Step: 1})
	}
	b.numbers[i] = gridNumbers(f.Grid)
	if a.AskedWhen != nil {
		f.Values = append(f.Values, ValueNotAsked)
	}
	return f
}

// mostNumbers is how many numbers a field of choices may have.
const mostNumbers = 1 << 17

// gridNumbers are the numbers of grids, rising; none when there are more than a
// field may have, which the base is then refused for.
func gridNumbers(grids []choices.Grid) (numbers []int64) {
	for _, g := range grids {
		if (g.Max-g.Min)/g.Step >= mostNumbers {
			return nil
		}
		for n := g.Min; n <= g.Max; n += g.Step {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers)
}

// add takes a rule into the base. Its ID is made the rule's own.
func (b *rulebase) add(origin RuleOrigin, r choices.Rule) {
	r.ID, r.Says = fmt.Sprintf("%s %s %d", origin.Kind, origin.Code, len(b.base.Rules)), origin.Says
	b.base.Rules = append(b.base.Rules, r)
	b.origins = append(b.origins, origin)
}

// origin tells where a rule of the product comes from.
func (b *rulebase) origin(i int) RuleOrigin {
	r := b.scope.rules[i]
	o := RuleOrigin{Kind: RuleWritten, Code: r.code, Says: r.says, index: i}
	switch {
	case r.pair != nil:
		o.Kind, o.Code, o.Says = RuleSpecies, r.pair.finish.Text(), "A wood finish goes only on the species it is made for."
	case r.jig != nil:
		o.Kind, o.Code, o.Says = RuleJig, r.jig.part.Path, fmt.Sprintf("%s is bent on %s, which bends to %s only.", partName(r.jig.part), r.jig.jig.Name, r.jig.jig.sizes(r.jig.unit))
	case r.open != nil:
		o.Kind, o.Code = RuleUnlisted, r.open.Code
	}
	return o
}

// rule translates a rule of the product.
func (b *rulebase) rule(i int, r *rule) {
	origin := b.origin(i)
	where, sound := b.row(r.where)
	if !sound {
		b.refuse(origin, r.concerns)
		return
	}
	if r.need == nil && r.pair == nil && r.jig == nil {
		b.exact[i] = b.table(origin, r, where)
		return
	}
	over := r.over()
	regions := regions{b: b, where: r.where, of: over, formulas: r.formulas(), grouped: r.pair == nil}
	b.exact[i] = regions.add(origin, where)
	if !b.exact[i] {
		b.refuse(origin, r.concerns)
	}
}

func (b *rulebase) refuse(origin RuleOrigin, attributes []int) {
	m := MayStillRefuse{What: origin.Code, Says: origin.Says}
	for _, i := range slices.Sorted(slices.Values(attributes)) {
		m.Attributes = append(m.Attributes, b.scope.attributes[i].Code)
	}
	b.refuses = append(b.refuses, m)
}

// table translates what a rule allows or forbids.
func (b *rulebase) table(origin RuleOrigin, r *rule, where choices.Row) bool {
	if r.open != nil {
		where = append(where, choices.Term{Field: r.open.Code, Set: choices.Set{Values: []string{ValueUnlisted}}})
	}
	tests := r.allow
	if len(r.forbid) > 0 {
		tests = r.forbid
	}
	row, sound := b.row(tests)
	if !sound {
		return false
	}
	if len(r.forbid) > 0 {
		b.add(origin, choices.Rule{Where: where, Forbid: []choices.Row{row}})
		return true
	}
	for at := range row {
		if tests[at].attribute.AskedWhen != nil {
			row[at].Set.Values = append(row[at].Set.Values, ValueNotAsked)
		}
	}
	b.add(origin, choices.Rule{Where: where, Require: row})
	return true
}

func (b *rulebase) row(tests []test) (row choices.Row, sound bool) {
	for i := range tests {
		t := &tests[i]
		if b.fields[t.attribute.slot] == choices.None {
			return nil, false
		}
		row = append(row, choices.Term{Field: t.attribute.Code, Set: t.set()})
	}
	return row, true
}

// set is what meets a condition.
func (t *test) set() (s choices.Set) {
	a := t.attribute
	if t.interval != nil {
		s.Numbers = []choices.Interval{t.interval.whole(a.Size != nil)}
		return s
	}
	for _, v := range t.values {
		switch v.Kind() {
		case formula.Text:
			s.Values = append(s.Values, v.Text())
		case formula.Length:
			s.Numbers = append(s.Numbers, choices.Interval{From: int64(v.Length()), To: int64(v.Length())})
		default:
			s.Numbers = append(s.Numbers, choices.Interval{From: v.Number().Num(), To: v.Number().Num()})
		}
	}
	if a.Choose != nil && a.Choose.Open != nil && slices.Contains(s.Values, a.Choose.Open.ReckonedAs) {
		s.Values = append(s.Values, ValueUnlisted)
	}
	return s
}

// whole is an interval in whole numbers, both ends among them.
func (c *Condition) whole(lengths bool) choices.Interval {
	i := choices.Interval{From: 0, To: int64(unit.MaxEntry)}
	switch {
	case lengths && c.From != nil:
		i.From = int64(*c.From)
	case !lengths && c.Least != nil:
		i.From = int64(*c.Least)
	}
	switch {
	case lengths && c.To != nil:
		i.To = int64(*c.To)
	case !lengths && c.Most != nil:
		i.To = int64(*c.Most)
	}
	if c.Over {
		i.From++
	}
	if c.Under {
		i.To--
	}
	return i
}

// withdrawn is the base as of a day: what may no longer be ordered is forbidden.
// The key tells which days are alike.
func (s *productScope) withdrawnOn(day calendar.Date) (key string) {
	if !s.withdraws {
		return ""
	}
	for i, a := range s.attributes {
		for o := range a.options {
			if a.options[o].withdrawn(day) {
				key += strconv.Itoa(i) + ":" + strconv.Itoa(o) + " "
			}
		}
	}
	return key
}

// asOf is the base without what is withdrawn on a day.
func (b *rulebase) asOf(day calendar.Date) (choices.Base, []RuleOrigin) {
	base, origins := b.base, slices.Clone(b.origins)
	base.Rules = slices.Clone(b.base.Rules)
	for _, a := range b.scope.attributes {
		var gone []string
		for i := range a.options {
			if a.options[i].withdrawn(day) {
				gone = append(gone, a.options[i].Code)
			}
		}
		if len(gone) == 0 {
			continue
		}
		origin := RuleOrigin{Kind: RuleWithdrawn, Code: a.Code, Says: fmt.Sprintf("%s %s may no longer be ordered.", a.Name, listed(a.namesOf(gone))), index: -1}
		base.Rules = append(base.Rules, choices.Rule{ID: "withdrawn " + a.Code, Says: origin.Says,
			Forbid: []choices.Row{{{Field: a.Code, Set: choices.Set{Values: gone}}}}})
		origins = append(origins, origin)
	}
	return base, origins
}

func (a *Attribute) namesOf(codes []string) (names []string) {
	for _, code := range codes {
		if i, found := a.find(code); found {
			names = append(names, a.options[i].Name)
		}
	}
	return names
}

// pick is how an attribute stands as a value of its field: None where it has no
// value that can be told.
func (b *rulebase) pick(i int, o *outcome, entries []entry) int32 {
	a, e := b.scope.attributes[i], &entries[i]
	switch o.states[i] {
	case notAsked:
		return int32(len(b.base.Fields[b.fields[i]].Values) - 1)
	case defaulted:
		e = &a.byDefault
	case settled:
	default:
		return choices.None
	}
	return b.value(i, e)
}

// value is the value of a field that an entry comes to.
func (b *rulebase) value(i int, e *entry) int32 {
	a := b.scope.attributes[i]
	named := int32(len(b.base.Fields[b.fields[i]].Values))
	var n int64
	switch {
	case e.open:
		return int32(len(a.options))
	case a.Choose != nil:
		return int32(e.chosen)
	case a.Size != nil:
		n = int64(e.value.Length())
	default:
		n = e.value.Number().Num()
	}
	at, found := slices.BinarySearch(b.numbers[i], n)
	if !found {
		return choices.None
	}
	return named + int32(at)
}
