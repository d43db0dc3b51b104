package choices

import (
	"fmt"
	"math"
	"slices"
)

// longest is how many values a field may have.
const longest = 1 << 17

// base is a Base made ready: names are indices, and sets are bit sets.
type base struct {
	fields []field
	byCode map[string]int32
	hub    int32 // None for no hub
	rules  []rule
	words  int // of a vector of all fields' values
	layout fingerprint
	sets   int
}

// maker reads a Base and collects all that is wrong with it.
type maker struct {
	base   base
	sets   []map[fingerprint]*set // by field
	ones   []map[string]*set      // sets of one named value, by field
	faults Faults
	rule   string
	row    int
}

func ready(b *Base) (*base, error) {
	m := &maker{base: base{byCode: map[string]int32{}, hub: None}}
	for i := range b.Fields {
		m.addField(&b.Fields[i])
	}
	if b.Hub != "" {
		m.base.hub = m.field(b.Hub)
	}
	m.addRules(b.Rules)
	if len(m.faults) > 0 {
		return nil, m.faults
	}
	return &m.base, nil
}

func (m *maker) fault(field, format string, args ...any) {
	m.faults = append(m.faults, Fault{Rule: m.rule, Row: m.row, Field: field, Says: fmt.Sprintf(format, args...)})
}

func (m *maker) addField(from *Field) {
	f := field{code: from.Code, names: from.Values, byName: make(map[string]int32, len(from.Values)), off: m.base.words}
	if _, twice := m.base.byCode[f.code]; twice {
		m.fault(f.code, "there are two fields of this code")
		return
	}
	for i, name := range from.Values {
		if _, twice := f.byName[name]; twice {
			m.fault(f.code, "it has the value %q twice", name)
		}
		f.byName[name] = int32(i)
	}
	f.numbers = m.numbers(from)
	f.size = len(f.names) + len(f.numbers)
	if f.size == 0 {
		m.fault(f.code, "it has no values")
	}
	f.words = wordsFor(f.size)
	m.base.words += f.words
	m.base.byCode[f.code] = int32(len(m.base.fields))
	m.base.fields = append(m.base.fields, f)
	m.sets = append(m.sets, map[fingerprint]*set{})
	m.ones = append(m.ones, map[string]*set{})
	p := m.base.layout.withText(f.code).with(uint64(len(f.names)))
	for _, name := range f.names {
		p = p.withText(name)
	}
	for _, n := range f.numbers {
		p = p.with(uint64(n))
	}
	m.base.layout = p
}

func (m *maker) numbers(from *Field) []int64 {
	var all []int64
	for _, g := range from.Grid {
		switch {
		case g.Step <= 0:
			m.fault(from.Code, "its step is %d: a step is more than nothing", g.Step)
		case g.Max < g.Min:
			m.fault(from.Code, "its numbers end at %d before they begin at %d", g.Max, g.Min)
		case uint64(g.Max-g.Min)/uint64(g.Step) >= longest:
			m.fault(from.Code, "it has more than %d numbers: make the step coarser", longest)
		default:
			for i := int64(0); i <= int64(uint64(g.Max-g.Min)/uint64(g.Step)); i++ {
				all = append(all, g.Min+i*g.Step)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// field gives the index of a field, or None and a fault.
func (m *maker) field(code string) int32 {
	if i, found := m.base.byCode[code]; found {
		return i
	}
	m.fault(code, "there is no such field")
	return None
}

func (m *maker) addRules(rules []Rule) {
	seen := map[string]bool{}
	for i := range rules {
		r := &rules[i]
		m.rule, m.row = r.ID, 0
		if r.ID == "" {
			m.rule = fmt.Sprintf("number %d", i+1)
			m.fault("", "it has no ID")
		} else if seen[r.ID] {
			m.fault("", "there are two rules of this ID")
		}
		seen[r.ID] = true
		m.addRule(r)
	}
	m.rule, m.row = "", 0
}

func (m *maker) addRule(from *Rule) {
	r := rule{id: from.ID, says: from.Says, where: m.terms(from.Where)}
	kinds := 0
	for _, given := range []bool{from.Allow != nil, from.Forbid != nil, from.Require != nil, from.AtMost != nil, from.Product != nil} {
		if given {
			kinds++
		}
	}
	if kinds != 1 {
		m.fault("", "it says %d things: exactly one of Allow, Forbid, Require, AtMost and Product is given", kinds)
		return
	}
	switch {
	case from.Allow != nil:
		r.rows = m.rows(from.Allow)
	case from.Forbid != nil:
		r.rows, r.forbid = m.rows(from.Forbid), true
	case from.Require != nil:
		r.rows = m.rows([]Row{from.Require})
	case from.AtMost != nil:
		r.compare = m.atMost(from.AtMost)
	default:
		r.compare = m.product(from.Product)
	}
	r.finish()
	m.base.rules = append(m.base.rules, r)
}

func (m *maker) rows(from []Row) [][]term {
	rows := make([][]term, 0, len(from))
	for i, row := range from {
		m.row = i + 1
		rows = append(rows, m.terms(row))
	}
	m.row = 0
	return rows
}

func (m *maker) terms(row Row) []term {
	terms := make([]term, 0, len(row))
	for i := range row {
		f := m.field(row[i].Field)
		if f == None {
			continue
		}
		s := m.set(f, &row[i].Set)
		if at := slices.IndexFunc(terms, func(t term) bool { return t.field == f }); at >= 0 {
			m.fault(row[i].Field, "it stands twice in one row: write one set")
			continue
		}
		terms = append(terms, term{field: f, set: s})
	}
	return terms
}

func (m *maker) set(f int32, from *Set) *set {
	simple := len(from.Values) == 1 && len(from.Numbers) == 0 && !from.Except
	if simple {
		if s := m.ones[f][from.Values[0]]; s != nil {
			return s
		}
	}
	fd := &m.base.fields[f]
	in := make([]uint64, fd.words)
	for _, name := range from.Values {
		i, found := fd.byName[name]
		if !found {
			m.fault(fd.code, "it has no value %q", name)
			continue
		}
		put(in, i)
	}
	for _, interval := range from.Numbers {
		if interval.To < interval.From {
			m.fault(fd.code, "the interval %d to %d ends before it begins", interval.From, interval.To)
		}
		for v, to := fd.between(interval); v < to; v++ {
			put(in, v)
		}
	}
	if from.Except {
		complement(in, fd.size)
	}
	s := m.intern(f, in)
	if simple {
		m.ones[f][from.Values[0]] = s
	}
	return s
}

func complement(in []uint64, size int) {
	for i := range in {
		in[i] = ^in[i]
	}
	if size%64 != 0 {
		in[len(in)-1] &= 1<<(uint(size)%64) - 1
	}
}

// intern gives the one set of a content, with its complement.
func (m *maker) intern(f int32, in []uint64) *set {
	print := fingerprint{uint64(f)}.withAll(in)
	if s := m.sets[f][print]; s != nil {
		return s
	}
	out := slices.Clone(in)
	complement(out, m.base.fields[f].size)
	s := &set{in: in, print: print, id: int32(m.base.sets)}
	s.not = &set{in: out, print: fingerprint{uint64(f)}.withAll(out), id: int32(m.base.sets + 1), not: s}
	m.base.sets += 2
	m.sets[f][s.print], m.sets[f][s.not.print] = s, s.not
	return s
}

func (m *maker) atMost(from *AtMost) *compare {
	c := &compare{a: m.numeric(from.A), b: m.numeric(from.B), timesA: max(from.TimesA, 1), timesB: max(from.TimesB, 1), plus: from.Plus}
	if from.TimesA < 0 || from.TimesB < 0 {
		m.fault("", "a factor is negative: write the rule the other way about")
	}
	if c.a == None || c.b == None {
		return c
	}
	if c.a == c.b {
		m.fault(from.A, "it is compared with itself: write an interval")
	}
	for _, side := range []struct {
		field int32
		times int64
		plus  int64
	}{{c.a, c.timesA, 0}, {c.b, c.timesB, c.plus}} {
		for _, n := range m.base.fields[side.field].numbers {
			if math.Abs(float64(n))*float64(side.times)+math.Abs(float64(side.plus)) > math.MaxInt64/2 {
				m.fault(m.base.fields[side.field].code, "the number %d times %d is too large to be compared", n, side.times)
				break
			}
		}
	}
	return c
}

func (m *maker) product(from *Product) *compare {
	c := &compare{a: m.numeric(from.A), b: m.numeric(from.B), product: true, high: from.High, low: from.Low}
	if c.a == None || c.b == None {
		return c
	}
	if c.a == c.b {
		m.fault(from.A, "it is multiplied by itself: write an interval")
	}
	for _, f := range []int32{c.a, c.b} {
		if numbers := m.base.fields[f].numbers; len(numbers) > 0 && numbers[0] < 0 {
			m.fault(m.base.fields[f].code, "it may be negative: a product is limited of what is not")
		}
	}
	return c
}

func (m *maker) numeric(code string) int32 {
	f := m.field(code)
	if f != None && len(m.base.fields[f].numbers) == 0 {
		m.fault(code, "it has no numbers")
	}
	return f
}
