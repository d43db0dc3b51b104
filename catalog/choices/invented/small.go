package invented

import (
	"fmt"
	"math/rand/v2"

	"billwright/catalog/choices"
)

// Small makes a small base of every kind of field and rule: three to nine fields,
// half of the time with a hub.
func Small(random *rand.Rand) *choices.Base {
	b := &choices.Base{}
	n := 3 + random.IntN(7)
	for i := range n {
		f := choices.Field{Code: fmt.Sprint("f", i)}
		if i > 1 {
			for v := range 2 + random.IntN(5) {
				f.Values = append(f.Values, fmt.Sprint("v", v))
			}
		}
		if i < 2 || random.IntN(5) == 0 {
			f.Grid = []choices.Grid{{Min: int64(random.IntN(5)), Max: int64(10 + random.IntN(20)), Step: int64(1 + random.IntN(3))}}
		}
		b.Fields = append(b.Fields, f)
	}
	if random.IntN(2) == 0 {
		b.Hub = b.Fields[2].Code
	}
	for i := range 2 + random.IntN(2*n) {
		b.Rules = append(b.Rules, randomRule(random, b, i))
	}
	return b
}

func randomRule(random *rand.Rand, b *choices.Base, i int) choices.Rule {
	r := choices.Rule{ID: fmt.Sprint("r", i)}
	if random.IntN(3) == 0 {
		r.Where = randomRow(random, b, 1)
	}
	switch random.IntN(6) {
	case 0:
		r.AtMost = &choices.AtMost{A: b.Fields[0].Code, B: b.Fields[1].Code, TimesA: int64(1 + random.IntN(2)), TimesB: int64(1 + random.IntN(2)), Plus: int64(random.IntN(12) - 2)}
	case 1:
		r.Product = &choices.Product{A: b.Fields[1].Code, B: b.Fields[0].Code, Low: uint64(60 + random.IntN(400))}
	case 2:
		r.Require = randomRow(random, b, 1)
		if len(r.Where) == 0 {
			r.Where = randomRow(random, b, 2)
		}
	case 3:
		r.Allow = []choices.Row{}
		for range 3 + random.IntN(6) {
			r.Allow = append(r.Allow, randomRow(random, b, 3))
		}
	default:
		r.Forbid = []choices.Row{}
		for range 1 + random.IntN(4) {
			r.Forbid = append(r.Forbid, randomRow(random, b, 2+random.IntN(2)))
		}
	}
	return r
}

func randomRow(random *rand.Rand, b *choices.Base, terms int) choices.Row {
	row := choices.Row{}
	for _, f := range random.Perm(len(b.Fields))[:min(terms, len(b.Fields))] {
		field := &b.Fields[f]
		set := choices.Set{Except: random.IntN(6) == 0}
		for _, name := range field.Values {
			if random.IntN(2) == 0 {
				set.Values = append(set.Values, name)
			}
		}
		if len(field.Grid) > 0 {
			from := int64(random.IntN(25))
			set.Numbers = []choices.Interval{{From: from, To: from + int64(random.IntN(12))}}
		}
		row = append(row, choices.Term{Field: field.Code, Set: set})
	}
	return row
}
