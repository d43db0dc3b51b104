package choices

import (
	"cmp"
	"slices"
)

// FindingKind says what kind of thing was found in a rule base that is written
// soundly.
type FindingKind string

const (
	// NothingBuildable: no complete choice keeps all rules.
	NothingBuildable FindingKind = "nothing can be built"
	// HubUnbuildable: no complete choice has this value of the hub.
	HubUnbuildable FindingKind = "cannot be built"
	// DeadOption: no complete choice has this value, or any of a run of numbers.
	DeadOption FindingKind = "dead option"
	// ForcedOption: every complete choice has this value, of several.
	ForcedOption FindingKind = "forced option"
	// NeverApplies: when the rule applies, other rules are broken already.
	NeverApplies FindingKind = "rule never applies"
	// Redundant: the other rules already say what this one says.
	Redundant FindingKind = "redundant rule"
	// RowNeverUsed: a forbidden row that other rules forbid already, or an allowed
	// row that nothing may be.
	RowNeverUsed FindingKind = "row never used"
	// RowWithinRow: another row of the rule covers all of this one.
	RowWithinRow FindingKind = "row within another"
	// GivenUp: the diagram of this value of the hub, or of the whole base, passed
	// its bound; questions are answered by search there.
	GivenUp FindingKind = "given up at a bound"
	// NotExamined: a search about the rule passed its bound.
	NotExamined FindingKind = "not examined"
)

// Finding is one thing that whoever wrote the rules should know. What does not
// apply is None.
type Finding struct {
	Kind         FindingKind
	Hub          int32
	Field, Value int32
	To           int32 // the last of a run of dead numbers that begins with Value
	Rule, Row    int32 // the row from 0
	Other        int32 // the row that covers this one
	// Because are the rules that make it so, none of them needlessly; Bounded
	// tells that a bound kept it from being made as small as it can be.
	Because []int32
	Bounded bool
}

func finding(kind FindingKind) Finding {
	return Finding{Kind: kind, Hub: None, Field: None, Value: None, To: None, Rule: None, Row: None, Other: None}
}

// Lint finds what is wrong with the rules as a whole, each finding with the
// rules that make it so: first what cannot be built, then options, then rules.
// Options dead or forced at one value of the hub only are told by LintHub.
func (c *Compiled) Lint() []Finding {
	d := newDoubts(c)
	l := &lint{c: c, d: d, e: d.e}
	if l.unbuildable() {
		return l.all
	}
	l.options()
	for r := range c.base.rules {
		l.rule(int32(r))
	}
	return l.all
}

type lint struct {
	c   *Compiled
	d   *doubts // nil where no rule is doubted
	e   *refuter
	all []Finding
}

func (l *lint) add(f Finding) { l.all = append(l.all, f) }

// because adds a finding with the rules that make it so.
func (l *lint) because(f Finding, start func(*board) bool) {
	l.e.bound = false
	rules, refuted := l.e.minimal(start, l.e.all)
	f.Because, f.Bounded = rules, !refuted || l.e.bound
	if !refuted {
		f.Because = nil
	}
	l.add(f)
}

// unbuildable finds values of the hub that cannot be built, and tells whether
// nothing can.
func (l *lint) unbuildable() bool {
	none := 0
	for h, d := range l.c.byHub {
		if d.over {
			f := finding(GivenUp)
			f.Hub = l.c.hubOrNone(int32(h))
			l.add(f)
		}
		if d.none {
			none++
		}
	}
	if none == len(l.c.byHub) {
		l.because(finding(NothingBuildable), func(*board) bool { return true })
		return true
	}
	if l.c.base.hub == None {
		return false
	}
	for h, d := range l.c.byHub {
		if d.none {
			f := finding(HubUnbuildable)
			f.Hub, f.Field, f.Value = int32(h), l.c.base.hub, int32(h)
			l.because(f, l.start(l.c.base.hub, int32(h), int32(h), false))
		}
	}
	return false
}

func (c *Compiled) hubOrNone(h int32) int32 {
	if c.base.hub == None {
		return None
	}
	return h
}

// start restricts a board to values of a field from one to another, or to all
// others.
func (l *lint) start(f, from, to int32, except bool) func(*board) bool {
	return func(b *board) bool {
		mask := make([]uint64, b.kinds.wordsOf(f))
		for v := from; v <= to; v++ {
			put(mask, b.kinds.class(b.base, f, v))
		}
		if except {
			mask = without(b.domain(f), mask)
		}
		return b.restrict(f, mask, byPick)
	}
}

// options finds what is dead or forced in all.
func (l *lint) options() {
	a := l.c.Asker()
	defer a.Done()
	left := l.c.NoValues()
	if err := a.Remaining(l.c.Picks(), left); err == ErrContradiction {
		l.because(finding(NothingBuildable), func(*board) bool { return true })
		return
	}
	for f := range l.c.base.fields {
		l.optionsOf(int32(f), left, None)
	}
}

// optionsOf finds what is dead or forced of a field. A field that is forced has
// its dead options told by that.
func (l *lint) optionsOf(f int32, left Values, hub int32) {
	fd := &l.c.base.fields[f]
	n := l.c.HowMany(left, f)
	if n == fd.size {
		return
	}
	at := func(b *board) bool {
		return hub == None || l.start(l.c.base.hub, hub, hub, false)(b)
	}
	if n == 1 {
		out := finding(ForcedOption)
		out.Hub, out.Field, out.Value = hub, f, lowest(l.c.of(left, f))
		if l.sameClass(f, out.Value) == 1 {
			l.because(out, func(b *board) bool { return at(b) && l.start(f, out.Value, out.Value, true)(b) })
			return
		}
	}
	for v := int32(0); v < int32(fd.size); v++ {
		if l.c.Has(left, f, v) {
			continue
		}
		out := finding(DeadOption)
		out.Hub, out.Field, out.Value = hub, f, v
		for int(v) >= fd.named() && int(v)+1 < fd.size && !l.c.Has(left, f, v+1) {
			v++
		}
		out.To = v
		l.because(out, func(b *board) bool { return at(b) && l.start(f, out.Value, out.To, false)(b) })
	}
}

// sameClass is how many values no rule tells from a value.
func (l *lint) sameClass(f, value int32) int {
	k := l.c.whole.kinds
	return count(k.members(f, k.class(l.c.base, f, value)))
}

// LintHub finds the options that are dead or forced at one value of the hub and
// not in all, each with the rules that make it so.
func (c *Compiled) LintHub(hub int32) []Finding {
	if c.base.hub == None || hub < 0 || int(hub) >= len(c.byHub) {
		return nil
	}
	a := c.Asker()
	defer a.Done()
	l := &lint{c: c, e: newRefuter(c.whole, len(c.base.rules), c.options.Search)}
	all, here := c.NoValues(), c.NoValues()
	picks := c.Picks()
	_ = a.Remaining(picks, all)
	picks[c.base.hub] = hub
	if err := a.Remaining(picks, here); err == ErrContradiction {
		return nil // Lint tells of it
	}
	for f := range c.base.fields {
		f := int32(f)
		if f == c.base.hub || slices.Equal(c.of(all, f), c.of(here, f)) {
			continue
		}
		for i, w := range c.of(all, f) { // dead in all: told by Lint
			c.of(here, f)[i] |= fillWord(c.base.fields[f].size, i) &^ w
		}
		l.optionsOf(f, here, hub)
	}
	slices.SortStableFunc(l.all, func(a, b Finding) int { return cmp.Compare(a.Field, b.Field) })
	return l.all
}

// fillWord is word i of a set of all values.
func fillWord(size, i int) uint64 {
	if left := size - i*64; left < 64 {
		return 1<<uint(left) - 1
	}
	return ^uint64(0)
}
