// Package outside holds catalog/choices against engines that others made: a SAT
// solver and a library of binary decision diagrams. Rule bases are put into
// their terms from the rules as they are written, by nothing of the package.
package outside

import (
	"math/bits"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"billwright/catalog/choices"
	"billwright/catalog/choices/published"
)

// option is a value of a field: a name or a number.
type option struct {
	name   string
	number int64
	is     bool
}

// reading is a rule base as its documentation says to read it.
type reading struct {
	base    *choices.Base
	at      map[string]int
	options [][]option
}

func read(b *choices.Base) *reading {
	r := &reading{base: b, at: map[string]int{}}
	for i, f := range b.Fields {
		r.at[f.Code] = i
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
		r.options = append(r.options, all)
	}
	return r
}

// in gives the values of a term's field that are in its set, and the others.
func (r *reading) in(t *choices.Term) (field int, in, out []int) {
	field = r.at[t.Field]
	names := map[string]bool{}
	for _, name := range t.Set.Values {
		names[name] = true
	}
	for v, o := range r.options[field] {
		found := !o.is && names[o.name]
		for _, i := range t.Set.Numbers {
			found = found || o.is && i.From <= o.number && o.number <= i.To
		}
		if found != t.Set.Except {
			in = append(in, v)
		} else {
			out = append(out, v)
		}
	}
	return field, in, out
}

// compared gives the two fields of a number rule and whether it allows two of
// their values.
func (r *reading) compared(rule *choices.Rule) (a, b int, allows func(va, vb int) bool) {
	var holds func(x, y int64) bool
	if m := rule.AtMost; m != nil {
		a, b = r.at[m.A], r.at[m.B]
		holds = func(x, y int64) bool { return x*max(m.TimesA, 1) <= y*max(m.TimesB, 1)+m.Plus }
	} else {
		p := rule.Product
		a, b = r.at[p.A], r.at[p.B]
		holds = func(x, y int64) bool {
			high, low := bits.Mul64(uint64(x), uint64(y))
			return high < p.High || high == p.High && low <= p.Low
		}
	}
	return a, b, func(va, vb int) bool {
		x, y := r.options[a][va], r.options[b][vb]
		return !x.is || !y.is || holds(x.number, y.number)
	}
}

func fromFolder(t *testing.T, name string) *choices.Base {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "..", "testdata", "rules", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	form := published.DIMACS
	if strings.HasSuffix(name, ".tbl") {
		form = published.Tables
	}
	base, err := form(file)
	if err != nil {
		t.Fatal(err)
	}
	return base
}

func compile(t *testing.T, b *choices.Base) *choices.Compiled {
	t.Helper()
	c, err := choices.Compile(b, choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}
