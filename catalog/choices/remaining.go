package choices

import (
	"errors"
	"math/bits"
)

// Values is a set of values of every field; Compiled reads it.
type Values []uint64

// NoValues gives room for an answer.
func (c *Compiled) NoValues() Values { return make(Values, c.base.words) }

// of gives the words of a field.
func (c *Compiled) of(v []uint64, f int32) []uint64 {
	fd := &c.base.fields[f]
	return v[fd.off : fd.off+fd.words]
}

// Has tells whether a value of a field is in the set.
func (c *Compiled) Has(v Values, f, value int32) bool { return has(v[c.base.fields[f].off:], value) }

// HowMany tells how many values of a field are in the set.
func (c *Compiled) HowMany(v Values, f int32) int { return count(c.of(v, f)) }

// Each gives every value of a field in the set, rising.
func (c *Compiled) Each(v Values, f int32) func(yield func(int32) bool) {
	return func(yield func(int32) bool) {
		for i, w := range c.of(v, f) {
			for ; w != 0; w &= w - 1 {
				if !yield(int32(i*64 + bits.TrailingZeros64(w))) {
					return
				}
			}
		}
	}
}

// Intervals adds the numbers of a field in the set to into, as the fewest
// intervals, rising: an interval stands for those of the field's numbers that
// lie in it.
func (c *Compiled) Intervals(v Values, f int32, into []Interval) []Interval {
	fd := &c.base.fields[f]
	last := None - 1
	for i, w := range c.of(v, f) {
		for ; w != 0; w &= w - 1 {
			value := int32(i*64 + bits.TrailingZeros64(w))
			n, is := fd.number(value)
			switch {
			case !is:
				continue
			case value == last+1:
				into[len(into)-1].To = n
			default:
				into = append(into, Interval{n, n})
			}
			last = value
		}
	}
	return into
}

// Remaining finds the values of every field that some complete choice has which
// keeps all rules and all picks. Of a picked field that is the pick alone. The
// error is ErrContradiction, with no values, when there is no such choice, and
// ErrBound when the search was given up: the values are then those found and
// those that could not be ruled out.
func (a *Asker) Remaining(picks Picks, into Values) error {
	if err := a.c.sound(picks); err != nil {
		return err
	}
	clear(into)
	if hub := a.pickedHub(picks); hub != None {
		d := a.c.byHub[hub]
		if d.over {
			return a.remainingBySearch(picks, into, false)
		}
		if !a.remaining(d, picks, into) {
			return ErrContradiction
		}
		if a.c.base.hub != None {
			put(a.c.of(into, a.c.base.hub), hub)
		}
		return nil
	}
	return a.remainingOfAll(picks, into)
}

// remainingOfAll joins what remains for every value of the hub.
func (a *Asker) remainingOfAll(picks Picks, into Values) error {
	some, over := false, false
	for _, d := range a.c.distinct {
		switch {
		case d.over:
			over = true
		case a.remaining(d, picks, into):
			some = true
			a.markHubs(d, into)
		}
	}
	if over {
		err := a.remainingBySearch(picks, a.found, true)
		if err == nil || errors.Is(err, ErrBound) {
			orInto(into, a.found)
			return err
		}
	}
	if !some {
		return ErrContradiction
	}
	return nil
}

func (a *Asker) markHubs(d *diagram, into Values) {
	for h, other := range a.c.byHub {
		if other == d {
			put(a.c.of(into, a.c.base.hub), int32(h))
		}
	}
}

// remaining adds what remains in one diagram; false when nothing does.
func (a *Asker) remaining(d *diagram, picks Picks, into Values) bool {
	if !a.keeps(d, picks) {
		return false
	}
	hub := a.c.base.hub
	for i := range d.parts {
		s := &d.parts[i]
		if !a.touched(s) || !a.adds(d, s.fields, picks, into) {
			continue
		}
		a.down(d, s)
		for _, f := range s.fields {
			if picks[f] == None {
				d.expand(a.c.base, f, a.foundOf(d, f), into)
			}
		}
	}
	for f, v := range picks {
		out := a.c.of(into, int32(f))
		switch {
		case int32(f) == hub:
		case v != None:
			put(out, v)
		case !a.decided(d, int32(f)):
			orInto(out, a.c.of(d.values, int32(f)))
		}
	}
	return true
}

// adds tells whether a diagram has any value of fields not picked that is not
// in a set yet: with others joined before, mostly not.
func (a *Asker) adds(d *diagram, fields []int32, picks Picks, into Values) bool {
	for _, f := range fields {
		if picks[f] == None && !within(a.c.of(d.values, f), a.c.of(into, f)) {
			return true
		}
	}
	return false
}

// decided tells whether a field is one of a part that was gone down.
func (a *Asker) decided(d *diagram, f int32) bool {
	at := d.partOf[f]
	return at != None && a.touched(&d.parts[at])
}
