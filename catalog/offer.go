package catalog

import (
	"errors"
	"slices"
	"strconv"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
	"billwright/catalog/unit"
)

// Offer is what may still be chosen of a product beside picks that leave
// something open. Every value that it offers can be completed to a whole that
// keeps all rules, and every value that it does not offer cannot.
type Offer struct {
	Product    *Product
	Attributes []Offered
	// Contradiction tells why the picks cannot stand together, where they cannot;
	// then nothing is offered but the nearest that can be built.
	Contradiction *Reason
	// Nearest is what to change of the picks, and then nothing else, to have
	// something that can be built; only beside a contradiction.
	Nearest []Change
	// Proven tells that nothing that can be built changes fewer picks.
	Proven bool
	// Refuses are the conditions that are looked at only when the whole is checked.
	Refuses []MayStillRefuse
	// Bounded tells that the rules are too tangled to be searched to the end: what
	// is offered could then not be ruled out, and not all of it is sure.
	Bounded bool
}

// Offered is one attribute of an offer.
type Offered struct {
	Attribute *Attribute
	// Picked tells that it is among the picks; what is offered is then what it
	// could be changed to, all other picks kept.
	Picked  bool
	Entered string
	// Asked tells that it may be asked, NotAsked that it may also not be.
	Asked, NotAsked bool
	// NotAskedBecause tells why it is not asked, where it cannot be.
	NotAskedBecause *Reason
	// Forced is the only value left of several; nil where there is a choice.
	Forced *string
	// Default is the value that is taken when nothing is picked; DefaultFits tells
	// that it is among those left.
	Default     string
	DefaultFits bool
	// Values are those of a choice, in the catalog's order.
	Values []OfferedValue
	// Unlisted tells of an open choice whether something unlisted may be written.
	Unlisted *OfferedValue
	// Left are the numbers left of a size or a count, as the fewest intervals,
	// and Gaps what is kept out of its limits.
	Left []OfferedInterval
	Gaps []OfferedGap
}

// OfferedValue is a value of a choice, and why it is kept out where it is.
type OfferedValue struct {
	Code, Name string
	Left       bool
	Because    *Reason
}

// OfferedInterval is from one number to another, both included, as people write
// them; of a size it stands for what lies on a step.
type OfferedInterval struct{ From, To string }

// OfferedGap is an interval that is kept out, and why the number in it that is
// next to those left is.
type OfferedGap struct {
	OfferedInterval
	Because *Reason
}

// Reason is why something cannot be: attributes whose picks stand against it, and
// what rules say. None of them is there needlessly.
type Reason struct {
	Attributes []string
	Rules      []RuleOrigin
	// Whole is false when a bound kept it from being made as small as it can be.
	Whole bool
}

// mostReasons bounds the values of one offer that are explained; those beyond
// are told without a reason.
const mostReasons = 400

// Offer finds what may still be chosen beside picks for an order that counts for
// a day. What is wrong with a pick by itself is told in findings, and the pick is
// then left out. The error is that of Choosing.
func (c *Catalog) Offer(product string, picks []Pick, day calendar.Date, keep ...string) (*Offer, []Finding, error) {
	p, found := c.Products.Get(product)
	switch {
	case !found:
		return nil, []Finding{c.unknownProduct(product, day)}, nil
	case len(picks) > mostPicks:
		return nil, []Finding{tooMany(len(picks))}, nil
	}
	made, err := c.Choosing(p, day)
	if err != nil {
		return nil, nil, err
	}
	k := checking{product: p, scope: p.scope, day: day}
	if after(p.LastOrder, day) {
		k.findings = append(k.findings, c.withdrawnProduct(p, day))
	}
	k.read(picks)
	for _, attribute := range keep {
		if i, known := k.scope.index[attribute]; known {
			k.entries[i].keep = true
		}
	}
	for i := range k.scope.attributes {
		k.findings = append(k.findings, k.refused[i]...)
	}
	o := offering{made: made, k: &k, offer: &Offer{Product: p, Refuses: made.Refuses, Proven: true}}
	o.asker = made.Rules.Asker()
	defer o.asker.Done()
	o.all()
	return o.offer, k.findings, nil
}

// offering is the state of one Offer.
type offering struct {
	made    *Choosing
	asker   *choices.Asker
	k       *checking
	picks   choices.Picks
	effort  []int64
	offer   *Offer
	reasons int
}

func (o *offering) all() {
	o.picks = o.made.entered(o.k.entries)
	o.effort = o.made.effort()
	left, change := o.made.Rules.NoValues(), o.made.Rules.NoValues()
	switch err := o.asker.Remaining(o.picks, left); {
	case errors.Is(err, choices.ErrContradiction):
		o.contradiction()
		return
	case err != nil:
		o.offer.Bounded = true
	}
	if err := o.asker.MayChange(o.picks, change); err != nil {
		o.offer.Bounded = true
	}
	for i, a := range o.k.scope.attributes {
		f := o.made.base.fields[i]
		from := left
		if f != choices.None && o.picks[f] != choices.None {
			from = change
		}
		o.offer.Attributes = append(o.offer.Attributes, o.attribute(i, a, f, from))
	}
}

// entered are sound entries as picks, the others left open.
func (c *Choosing) entered(entries []entry) choices.Picks {
	picks := c.Rules.Picks()
	for i := range entries {
		if f := c.base.fields[i]; f != choices.None && entries[i].given && entries[i].sound {
			picks[f] = c.base.value(i, &entries[i])
		}
	}
	return picks
}

// effort is how hard a pick is to change: a choice between listed things less
// than a size, which the room decides.
func (c *Choosing) effort() []int64 {
	effort := make([]int64, c.Rules.Fields())
	for i, a := range c.base.scope.attributes {
		if f := c.base.fields[i]; f != choices.None {
			effort[f] = 2
			if a.Size != nil {
				effort[f] = 3
			}
		}
	}
	return effort
}

func (o *offering) attribute(i int, a *Attribute, f int32, left choices.Values) Offered {
	e := &o.k.entries[i]
	one := Offered{Attribute: a, Picked: e.given && e.sound, Entered: e.text, Asked: true}
	if a.byDefault.sound {
		one.Default = a.Default.Value
	}
	if f == choices.None {
		one.DefaultFits = a.byDefault.sound
		return one
	}
	c := o.made.Rules
	if none := o.notAsked(i, f); none != choices.None {
		one.NotAsked = c.Has(left, f, none)
		one.Asked = c.HowMany(left, f) > 1 || !one.NotAsked
		if !one.Asked {
			one.NotAskedBecause = o.whyNotAsked(f, none)
			return one
		}
	}
	one.DefaultFits = a.byDefault.sound && o.fits(i, f, left)
	if c.HowMany(left, f) == 1 && c.Values(f) > 1 {
		for v := range c.Each(left, f) {
			text := o.text(i, f, v)
			one.Forced = &text
		}
	}
	if a.Choose != nil {
		o.values(&one, i, f, left)
		return one
	}
	o.numbers(&one, i, f, left)
	return one
}

func (o *offering) fits(i int, f int32, left choices.Values) bool {
	v := o.made.base.value(i, &o.made.base.scope.attributes[i].byDefault)
	return v != choices.None && o.made.Rules.Has(left, f, v)
}

// notAsked is the value of not being asked; None for what is always asked.
func (o *offering) notAsked(i int, f int32) int32 { return o.made.notAsked(i, f) }

func (c *Choosing) notAsked(i int, f int32) int32 {
	if c.base.scope.attributes[i].AskedWhen == nil {
		return choices.None
	}
	return int32(len(c.base.base.Fields[f].Values) - 1)
}

// whyNotAsked tells why an attribute can have no value at all, by the first that
// it might have.
func (o *offering) whyNotAsked(f, none int32) *Reason {
	for v := range int32(o.made.Rules.Values(f)) {
		if v != none {
			return o.because(f, v)
		}
	}
	return nil
}

// because tells why a field cannot be a value; nil past the bound on reasons.
func (o *offering) because(f, v int32) *Reason {
	if o.reasons++; o.reasons > mostReasons {
		return nil
	}
	conflict, err := o.asker.WhyNot(o.picks, f, v, o.effort)
	if err != nil {
		return nil
	}
	return o.made.reason(&conflict)
}

// reason is a conflict in the words of the product.
func (c *Choosing) reason(conflict *choices.Conflict) *Reason {
	r := &Reason{Whole: conflict.Whole, Attributes: []string{}}
	for _, f := range conflict.Picks {
		r.Attributes = append(r.Attributes, c.Attribute(f).Code)
	}
	for _, i := range conflict.Rules {
		origin := c.Origins[i]
		if !slices.ContainsFunc(r.Rules, func(other RuleOrigin) bool {
			return other.Kind == origin.Kind && other.Code == origin.Code && other.Says == origin.Says
		}) {
			r.Rules = append(r.Rules, origin)
		}
	}
	return r
}

func (o *offering) values(one *Offered, i int, f int32, left choices.Values) {
	a := one.Attribute
	value := func(v int32, code, name string) OfferedValue {
		offered := OfferedValue{Code: code, Name: name, Left: o.made.Rules.Has(left, f, v)}
		if !offered.Left {
			offered.Because = o.because(f, v)
		}
		return offered
	}
	for v, option := range a.options {
		one.Values = append(one.Values, value(int32(v), option.Code, option.Name))
	}
	if a.Choose.Open != nil {
		unlisted := value(int32(len(a.options)), "", a.Choose.Open.Says)
		one.Unlisted = &unlisted
	}
}

// mostGaps bounds the gaps of one attribute that are told.
const mostGaps = 20

func (o *offering) numbers(one *Offered, i int, f int32, left choices.Values) {
	numbers := o.made.base.numbers[i]
	named := int32(len(o.made.base.base.Fields[f].Values))
	is := make([]bool, len(numbers))
	for at := range numbers {
		is[at] = o.made.Rules.Has(left, f, named+int32(at))
	}
	text := func(at int) string { return o.text(i, f, named+int32(at)) }
	next := 0
	gap := func(from, to, beside int) {
		if from <= to && len(one.Gaps) < mostGaps {
			first, last := o.made.inOneUnit(i, o.made.unitOf(&o.k.entries[i]), from, to)
			one.Gaps = append(one.Gaps, OfferedGap{OfferedInterval{text(first), text(last)}, o.because(f, named+int32(beside))})
		}
	}
	for _, run := range runs(is) {
		one.Left = append(one.Left, OfferedInterval{text(run[0]), text(run[1])})
		gap(next, run[0]-1, run[0]-1)
		next = run[1] + 1
	}
	gap(next, len(numbers)-1, next)
}

// inOneUnit narrows an interval of a size's numbers, by their places, to ends that
// lie on the step of a unit, so that one sentence has one unit. Where none does,
// all of them are told in the other.
func (c *Choosing) inOneUnit(i int, u unit.EntryUnit, from, to int) (first, last int) {
	size, numbers := c.base.scope.attributes[i].Size, c.base.numbers[i]
	if size == nil {
		return from, to
	}
	step := int64(size.step(u))
	for first = from; first < to && numbers[first]%step != 0; first++ {
	}
	for last = to; last > first && numbers[last]%step != 0; last-- {
	}
	if numbers[first]%step != 0 {
		return from, to
	}
	return first, last
}

// text is a value as people write it.
func (o *offering) text(i int, f, v int32) string {
	return o.made.text(i, f, v, o.made.unitOf(&o.k.entries[i]))
}

// text is a value of a field as it is entered; empty for one that is not asked
// or not listed. A length is in the unit given where it lies on its step, and
// else in the other.
func (c *Choosing) text(i int, f, v int32, u unit.EntryUnit) string {
	a := c.base.scope.attributes[i]
	n, is := c.Rules.Number(f, v)
	switch {
	case !is && int(v) < len(a.options):
		return a.options[v].Code
	case !is:
		return ""
	case a.Size == nil:
		return strconv.FormatInt(n, 10)
	}
	if unit.Length(n)%a.Size.step(u) != 0 {
		u = otherUnit(u)
	}
	return lengthText(unit.Length(n), u)
}

// unitOf is the unit in which something was entered, or else the workshop's.
func (c *Choosing) unitOf(e *entry) unit.EntryUnit {
	if e.given && e.sound {
		return e.unit
	}
	return c.base.scope.unit
}

func otherUnit(u unit.EntryUnit) unit.EntryUnit {
	if u == unit.MetricEntry {
		return unit.InchEntry
	}
	return unit.MetricEntry
}

// contradiction tells why the picks cannot stand together, and what would.
func (o *offering) contradiction() {
	o.offer.Contradiction = &Reason{Attributes: []string{}}
	if conflict, err := o.asker.WhyNot(o.picks, choices.None, choices.None, o.effort); err == nil {
		o.offer.Contradiction = o.made.reason(&conflict)
	}
	o.offer.Nearest, o.offer.Proven = o.made.nearest(o.asker, o.k.entries)
	for i, a := range o.k.scope.attributes {
		e := &o.k.entries[i]
		o.offer.Attributes = append(o.offer.Attributes, Offered{Attribute: a, Picked: e.given && e.sound, Entered: e.text})
	}
}
