package choices_test

import (
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"pgregory.net/rapid"

	"billwright/catalog/choices"
)

// option is a value of a field as a rule base's reader sees it.
type option struct {
	name   string
	number int64
	is     bool // a number
}

// shop is a rule base small enough that every complete choice can be tried.
type shop struct {
	base    *choices.Base
	options [][]option
	at      map[string]int
	good    [][]int // every complete choice that keeps all rules
}

// optionsOf lists a field's values by the documentation of choices.Picks.
func optionsOf(f *choices.Field) []option {
	var all []option
	for _, name := range f.Values {
		all = append(all, option{name: name})
	}
	var numbers []int64
	for _, g := range f.Grid {
		for n := g.Min; n <= g.Max; n += g.Step {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	for _, n := range slices.Compact(numbers) {
		all = append(all, option{number: n, is: true})
	}
	return all
}

func newShop(b *choices.Base) *shop {
	s := &shop{base: b, at: map[string]int{}}
	for i := range b.Fields {
		s.options = append(s.options, optionsOf(&b.Fields[i]))
		s.at[b.Fields[i].Code] = i
	}
	choice := make([]int, len(b.Fields))
	s.try(choice, 0)
	return s
}

func (s *shop) try(choice []int, f int) {
	if f == len(choice) {
		if len(s.broken(choice)) == 0 {
			s.good = append(s.good, slices.Clone(choice))
		}
		return
	}
	for v := range s.options[f] {
		choice[f] = v
		s.try(choice, f+1)
	}
}

func (s *shop) in(set *choices.Set, o option) bool {
	found := !o.is && slices.Contains(set.Values, o.name)
	for _, i := range set.Numbers {
		found = found || o.is && i.From <= o.number && o.number <= i.To
	}
	return found != set.Except
}

func (s *shop) met(row choices.Row, choice []int) bool {
	for _, t := range row {
		f := s.at[t.Field]
		if !s.in(&t.Set, s.options[f][choice[f]]) {
			return false
		}
	}
	return true
}

// keeps reads a rule by its documentation, with nothing of the engine.
func (s *shop) keeps(r *choices.Rule, choice []int) bool {
	pick := func(code string) option { f := s.at[code]; return s.options[f][choice[f]] }
	any := func(rows []choices.Row) bool {
		return slices.ContainsFunc(rows, func(row choices.Row) bool { return s.met(row, choice) })
	}
	switch {
	case !s.met(r.Where, choice):
		return true
	case r.Allow != nil:
		return any(r.Allow)
	case r.Forbid != nil:
		return !any(r.Forbid)
	case r.Require != nil:
		return s.met(r.Require, choice)
	case r.AtMost != nil:
		a, b := pick(r.AtMost.A), pick(r.AtMost.B)
		return !a.is || !b.is || a.number*max(r.AtMost.TimesA, 1) <= b.number*max(r.AtMost.TimesB, 1)+r.AtMost.Plus
	}
	a, b := pick(r.Product.A), pick(r.Product.B)
	high, low := bits.Mul64(uint64(a.number), uint64(b.number))
	return !a.is || !b.is || high < r.Product.High || high == r.Product.High && low <= r.Product.Low
}

func (s *shop) broken(choice []int) []int {
	var all []int
	for i := range s.base.Rules {
		if !s.keeps(&s.base.Rules[i], choice) {
			all = append(all, i)
		}
	}
	return all
}

// with gives the good choices that have the picks.
func (s *shop) with(picks choices.Picks) [][]int {
	var all [][]int
	for _, choice := range s.good {
		if fits(choice, picks) {
			all = append(all, choice)
		}
	}
	return all
}

func fits(choice []int, picks choices.Picks) bool {
	for f, v := range picks {
		if v != choices.None && choice[f] != int(v) {
			return false
		}
	}
	return true
}

// without gives the same shop with only some of its rules, all choices tried
// anew.
func (s *shop) without(keep []int32) *shop {
	b := *s.base
	b.Rules = nil
	for _, r := range keep {
		b.Rules = append(b.Rules, s.base.Rules[r])
	}
	return newShop(&b)
}

// drawBase draws a rule base of every kind of field and rule.
func drawBase(t *rapid.T) *choices.Base {
	b := &choices.Base{}
	n := rapid.IntRange(1, 5).Draw(t, "fields")
	for i := range n {
		b.Fields = append(b.Fields, drawField(t, i))
	}
	if rapid.Bool().Draw(t, "hub") {
		b.Hub = b.Fields[rapid.IntRange(0, n-1).Draw(t, "which")].Code
	}
	for i := range rapid.IntRange(0, 7).Draw(t, "rules") {
		b.Rules = append(b.Rules, drawRule(t, b, i))
	}
	return b
}

func drawField(t *rapid.T, i int) choices.Field {
	f := choices.Field{Code: fmt.Sprintf("f%d", i)}
	kind := rapid.IntRange(0, 3).Draw(t, "kind")
	if kind != 1 {
		for v := range rapid.IntRange(1, 4).Draw(t, "values") {
			f.Values = append(f.Values, string(rune('a'+v)))
		}
	}
	if kind == 1 || kind == 3 {
		min, step := rapid.Int64Range(0, 6).Draw(t, "min"), rapid.Int64Range(1, 3).Draw(t, "step")
		f.Grid = append(f.Grid, choices.Grid{Min: min, Max: min + step*rapid.Int64Range(0, 4).Draw(t, "steps"), Step: step})
		if rapid.Bool().Draw(t, "second") {
			f.Grid = append(f.Grid, choices.Grid{Min: 1, Max: 7, Step: 3})
		}
	}
	return f
}

func drawSet(t *rapid.T, f *choices.Field) choices.Set {
	set := choices.Set{Except: rapid.IntRange(0, 3).Draw(t, "except") == 0}
	for _, name := range f.Values {
		if rapid.Bool().Draw(t, "in") {
			set.Values = append(set.Values, name)
		}
	}
	if len(f.Grid) > 0 {
		from := rapid.Int64Range(-1, 12).Draw(t, "from")
		set.Numbers = append(set.Numbers, choices.Interval{From: from, To: from + rapid.Int64Range(0, 8).Draw(t, "width")})
	}
	return set
}

func drawRow(t *rapid.T, b *choices.Base, most int) choices.Row {
	row := choices.Row{}
	fields := rapid.Permutation(b.Fields).Draw(t, "order")
	for i := range rapid.IntRange(0, min(most, len(fields))).Draw(t, "terms") {
		row = append(row, choices.Term{Field: fields[i].Code, Set: drawSet(t, &fields[i])})
	}
	return row
}

func drawRows(t *rapid.T, b *choices.Base) []choices.Row {
	rows := []choices.Row{}
	for range rapid.IntRange(0, 5).Draw(t, "rows") {
		rows = append(rows, drawRow(t, b, 3))
	}
	return rows
}

func drawRule(t *rapid.T, b *choices.Base, i int) choices.Rule {
	r := choices.Rule{ID: fmt.Sprintf("R%d", i), Says: fmt.Sprintf("Rule %d.", i)}
	if rapid.Bool().Draw(t, "applies") {
		r.Where = drawRow(t, b, 2)
	}
	var numeric []string
	for _, f := range b.Fields {
		if len(f.Grid) > 0 {
			numeric = append(numeric, f.Code)
		}
	}
	kinds := 3
	if len(numeric) >= 2 {
		kinds = 5
	}
	switch rapid.IntRange(0, kinds-1).Draw(t, "rule") {
	case 0:
		r.Allow = drawRows(t, b)
	case 1:
		r.Forbid = drawRows(t, b)
	case 2:
		r.Require = drawRow(t, b, 2)
	case 3:
		two := rapid.Permutation(numeric).Draw(t, "two")
		r.AtMost = &choices.AtMost{A: two[0], B: two[1], TimesA: rapid.Int64Range(0, 2).Draw(t, "timesA"), TimesB: rapid.Int64Range(0, 2).Draw(t, "timesB"), Plus: rapid.Int64Range(-4, 4).Draw(t, "plus")}
	default:
		two := rapid.Permutation(numeric).Draw(t, "two")
		r.Product = &choices.Product{A: two[0], B: two[1], Low: rapid.Uint64Range(0, 90).Draw(t, "limit")}
	}
	return r
}

func drawPicks(t *rapid.T, s *shop) choices.Picks {
	picks := make(choices.Picks, len(s.options))
	for f := range picks {
		picks[f] = choices.None
		if rapid.IntRange(0, 2).Draw(t, "picked") == 0 {
			picks[f] = int32(rapid.IntRange(0, len(s.options[f])-1).Draw(t, "pick"))
		}
	}
	return picks
}

// describe writes a base for a failed test.
func describe(b *choices.Base) string {
	var out strings.Builder
	fmt.Fprintf(&out, "hub %q\n", b.Hub)
	for _, f := range b.Fields {
		fmt.Fprintf(&out, "%+v\n", f)
	}
	for _, r := range b.Rules {
		fmt.Fprintf(&out, "%+v", r)
		if r.AtMost != nil {
			fmt.Fprintf(&out, " at most %+v", *r.AtMost)
		}
		if r.Product != nil {
			fmt.Fprintf(&out, " product %+v", *r.Product)
		}
		out.WriteByte('\n')
	}
	return out.String()
}
