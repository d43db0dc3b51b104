// Package invented makes rule bases for measures and for tests from outside: one
// of the size and shape that a workshop's catalogue may have, and small ones of
// every kind of rule. All in it is invented, and the same every time.
package invented

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"billwright/catalog/choices"
)

// Bases is how many values the hub of Furniture has.
const Bases = 120

const (
	furnitureShared = 134 // rules that do not name the base
	furnitureSeed   = 5
	collections     = 8 // of bases; each has one order that every rule lets stand
)

// furnitureFields are the fields beside base, width and length, in groups. A rule
// is about fields that have to do with each other: a field with one or two of
// those before it in its group, and a few with another group or with the size.
var furnitureFields = [][]struct {
	code string
	n    int
}{
	{{"top", 6}, {"shape", 8}, {"species", 22}, {"wood-finish", 34}, {"edge", 16}, {"thickness", 9}, {"glass", 12}, {"glass-edge", 8}, {"stone", 14}},
	{{"section", 18}, {"metal-finish", 44}, {"leg", 26}, {"foot", 16}, {"glide", 12}, {"stretcher", 12}, {"brace", 8}, {"apron", 10}, {"weld", 5}},
	{{"cushion", 9}, {"fabric", 110}, {"grade", 12}, {"welt", 9}, {"foam", 8}, {"zip", 5}, {"thread", 16}, {"button", 8}},
	{{"shelf", 9}, {"shelf-finish", 18}, {"drawer", 8}, {"pull", 28}, {"lock", 5}, {"cable", 8}},
	{{"use", 3}, {"height", 14}, {"carton", 16}, {"pallet", 7}, {"label", 10}, {"certificate", 6}},
}

// furniture makes the catalogue. Width and length are in quarter inches.
type furniture struct {
	random *rand.Rand
	base   *choices.Base
	groups [][]int       // fields by group
	links  [][2]int      // fields that have to do with each other
	sizes  []int         // fields that have to do with the size
	keep   []map[int]int // by collection: the value of each field that stays allowed
	width  int
	length int
}

// Furniture makes a catalogue of about 40 fields, 700 named values, a width and
// a length in quarter inches, and 400 rules, of which the first 2*Bases are of
// one base each, availability and then size, and a third do not name the base.
func Furniture() *choices.Base {
	f := &furniture{random: rand.New(rand.NewPCG(furnitureSeed, 1)), base: &choices.Base{Hub: "base"}}
	f.fields()
	f.relate()
	for range collections {
		keep := map[int]int{}
		for i := range f.base.Fields {
			if n := len(f.base.Fields[i].Values); n > 0 {
				keep[i] = f.random.IntN(n)
			}
		}
		keep[f.width] = 80 + 4*f.random.IntN(10) // 20 to 29 in
		keep[f.length] = 160 + 4*f.random.IntN(20)
		f.keep = append(f.keep, keep)
	}
	for b := range Bases {
		f.availability(b)
	}
	for b := range Bases {
		f.limits(b)
	}
	f.joint(27)
	for i := range furnitureShared {
		f.shared(i)
	}
	return f.base
}

func (f *furniture) fields() {
	names := func(code string, n int) choices.Field {
		field := choices.Field{Code: code}
		for i := range n {
			field.Values = append(field.Values, fmt.Sprintf("%s-%d", code, i+1))
		}
		return field
	}
	f.base.Fields = append(f.base.Fields, names("base", Bases))
	f.width, f.length = 1, 2
	f.base.Fields = append(f.base.Fields,
		choices.Field{Code: "width", Grid: []choices.Grid{{Min: 40, Max: 192, Step: 1}}},
		choices.Field{Code: "length", Grid: []choices.Grid{{Min: 64, Max: 480, Step: 1}}})
	for _, group := range furnitureFields {
		var members []int
		for _, x := range group {
			members = append(members, len(f.base.Fields))
			f.base.Fields = append(f.base.Fields, names(x.code, x.n))
		}
		f.groups = append(f.groups, members)
	}
}

// relate draws which fields have to do with each other.
func (f *furniture) relate() {
	for g, group := range f.groups {
		for i := 1; i < len(group); i++ {
			first := f.random.IntN(i)
			f.links = append(f.links, [2]int{group[first], group[i]})
			if second := f.random.IntN(i); second != first && f.random.IntN(3) == 0 {
				f.links = append(f.links, [2]int{group[second], group[i]})
			}
		}
		f.sizes = append(f.sizes, group[f.random.IntN(len(group))])
		other := f.groups[(g+1)%len(f.groups)]
		f.links = append(f.links, [2]int{group[f.random.IntN(len(group))], other[f.random.IntN(len(other))]})
	}
}

func (f *furniture) collection(base int) int { return base % collections }

// some draws about a share of a field's values, those that must be kept among
// them.
func (f *furniture) some(field int, share float64, kept ...int) choices.Term {
	values := f.base.Fields[field].Values
	var set choices.Set
	for v, name := range values {
		if f.random.Float64() < share || slices.ContainsFunc(kept, func(c int) bool { return f.keep[c][field] == v }) {
			set.Values = append(set.Values, name)
		}
	}
	if len(set.Values) == 0 {
		set.Values = append(set.Values, values[f.random.IntN(len(values))])
	}
	return choices.Term{Field: f.base.Fields[field].Code, Set: set}
}

// where names one base.
func (f *furniture) where(base int) choices.Term {
	return choices.Term{Field: "base", Set: choices.Set{Values: []string{f.base.Fields[0].Values[base]}}}
}

func (f *furniture) add(r choices.Rule) {
	r.ID = fmt.Sprintf("rule-%d", len(f.base.Rules)+1)
	r.Says = fmt.Sprintf("Rule %d of the invented catalogue.", len(f.base.Rules)+1)
	f.base.Rules = append(f.base.Rules, r)
}

// availability says which options one base takes.
func (f *furniture) availability(base int) {
	c := f.collection(base)
	row := choices.Row{}
	for _, group := range f.groups {
		for _, field := range group {
			if f.random.IntN(3) > 0 {
				row = append(row, f.some(field, 0.3+0.5*f.random.Float64(), c))
			}
		}
	}
	f.add(choices.Rule{Where: choices.Row{f.where(base)}, Require: row})
}

// limits says how wide and long one base may be.
func (f *furniture) limits(base int) {
	c := f.collection(base)
	w, l := int64(f.keep[c][f.width]), int64(f.keep[c][f.length])
	f.add(choices.Rule{Where: choices.Row{f.where(base)}, Require: choices.Row{
		{Field: "width", Set: choices.Set{Numbers: []choices.Interval{{From: w - int64(4+f.random.IntN(40)), To: w + int64(8+f.random.IntN(60))}}}},
		{Field: "length", Set: choices.Set{Numbers: []choices.Interval{{From: l - int64(8+f.random.IntN(80)), To: l + int64(16+f.random.IntN(160))}}}},
	}})
}

// joint are rules of several bases: rows of bases and what goes with them.
func (f *furniture) joint(n int) {
	for range n {
		a, b := f.pair()
		var rows []choices.Row
		for c := range collections {
			var bases choices.Set
			for base := range Bases {
				if f.collection(base) == c {
					bases.Values = append(bases.Values, f.base.Fields[0].Values[base])
				}
			}
			rows = append(rows, choices.Row{{Field: "base", Set: bases}, f.some(a, 0.7, c), f.some(b, 0.6, c)})
		}
		f.complete(rows)
		f.add(choices.Rule{Allow: rows})
	}
}

// shared is a rule that does not name the base.
func (f *furniture) shared(i int) {
	switch {
	case i == 0:
		f.add(choices.Rule{AtMost: &choices.AtMost{A: "width", B: "length"}})
	case i == 1:
		f.add(choices.Rule{Product: &choices.Product{A: "width", B: "length", Low: 40_000}}) // 17.4 sq ft
	case i < 8:
		f.sized(i)
	case i%3 == 0:
		f.table()
	default:
		f.forbid()
	}
}

// sized lets a choice go with sizes of less area, or of less length against
// the width, only.
func (f *furniture) sized(i int) {
	field := f.sizes[f.random.IntN(len(f.sizes))]
	where := choices.Row{f.others(field)}
	if i%2 == 0 {
		f.add(choices.Rule{Where: where, Product: &choices.Product{A: "width", B: "length", Low: uint64(14_000 + 2000*i)}})
		return
	}
	f.add(choices.Rule{Where: where, AtMost: &choices.AtMost{A: "length", B: "width", TimesB: int64(1 + i%3)}})
}

// others is some values of a field that no collection's order has.
func (f *furniture) others(field int) choices.Term {
	term := f.some(field, 0.35)
	term.Set.Values = slices.DeleteFunc(term.Set.Values, func(name string) bool {
		return slices.ContainsFunc(f.keep, func(keep map[int]int) bool { return f.base.Fields[field].Values[keep[field]] == name })
	})
	return term
}

// pair draws two fields that have to do with each other.
func (f *furniture) pair() (a, b int) {
	link := f.links[f.random.IntN(len(f.links))]
	if f.random.IntN(2) == 0 {
		return link[1], link[0]
	}
	return link[0], link[1]
}

// forbid is one to four rows of values that do not go together. No row holds of
// any collection's order.
func (f *furniture) forbid() {
	var rows []choices.Row
	for range 1 + f.random.IntN(4) {
		a, b := f.pair()
		row := choices.Row{f.some(a, 0.25), f.others(b)}
		if f.random.IntN(8) == 0 {
			row[1] = f.others(f.sizes[f.random.IntN(len(f.sizes))])
			row[0] = choices.Term{Field: "length", Set: choices.Set{Numbers: []choices.Interval{{From: int64(200 + 8*f.random.IntN(20)), To: 480}}}}
		}
		if len(row[1].Set.Values) > 0 {
			rows = append(rows, row)
		}
	}
	f.add(choices.Rule{Forbid: append([]choices.Row{}, rows...)})
}

// table lets two or three fields go together by rows; each collection's order
// has one.
func (f *furniture) table() {
	a, b := f.pair()
	var rows []choices.Row
	for c := range collections {
		rows = append(rows, choices.Row{f.some(a, 0.4, c), f.some(b, 0.45, c)})
	}
	f.complete(rows)
	f.add(choices.Rule{Allow: rows})
}

// complete puts values that no row has into one, so that no option is dead by
// oversight of the catalogue's maker.
func (f *furniture) complete(rows []choices.Row) {
	for at := range rows[0] {
		field := f.base.Fields[slices.IndexFunc(f.base.Fields, func(x choices.Field) bool { return x.Code == rows[0][at].Field })]
		for _, name := range field.Values {
			has := func(row choices.Row) bool { return slices.Contains(row[at].Set.Values, name) }
			if !slices.ContainsFunc(rows, has) {
				row := rows[f.random.IntN(len(rows))]
				row[at].Set.Values = append(row[at].Set.Values, name)
			}
		}
	}
}
