package formula

import (
	"cmp"
	"math"
	"math/big"
	"slices"
)

// Known is what is known of a value before it is settled: that it is this very
// one, that it lies between two, and how it hangs on what is still free. The
// zero Known is a name that is not set, or a formula that always fails.
type Known struct {
	kind Kind
	// mayFail tells that it may not come to a value at all.
	mayFail bool
	sure    bool // value is what it is
	value   Value
	exact   exact // the same while a formula is reckoned, of what is measured
	// low and high are its bounds, of what is measured and bounded.
	bounded   bool
	low, high exact
	line      *line
	// all must hold for a yes: of each clause one atom. Only where told.
	told bool
	all  []Clause
}

// Atom is a comparison of what is free with a whole number, in the grains of
// the kinds: the sum of Times * slot, and Plus, is at most 0.
type Atom struct {
	Terms []AtomTerm // rising by slot, one at least
	Plus  int64
}

// AtomTerm is one free name of an atom, by its slot, and its factor; or the
// product of two, whose slots are Slot and With. With is NoSlot for one name.
type AtomTerm struct {
	Slot, With int
	Times      int64
}

// NoSlot is no slot.
const NoSlot = -1

// Clause holds when one of its atoms does.
type Clause []Atom

// Exactly is a value that is known; not set for a value that is not.
func Exactly(v Value) Known {
	if v.kind == 0 {
		return Known{}
	}
	k := Known{kind: v.kind, sure: true, value: v, exact: exact{r: v.ratio}}
	return k.spanned()
}

// Between is the value of a free name, a whole number of its kind's grain from
// low to high.
func Between(slot int, kind Kind, low, high int64) Known {
	if low == high {
		v := Value{kind: kind, ratio: whole(low).r}
		return Exactly(v)
	}
	return Known{kind: kind, bounded: true, low: whole(low), high: whole(high), line: &line{terms: []lineTerm{{slot, NoSlot, whole(1), whole(low), whole(high)}}}}
}

// Unsure is a value of a kind of which nothing is known.
func Unsure(kind Kind) Known { return Known{kind: kind, mayFail: true} }

// Opposite is no where a yes is known, and yes where a no is.
func (k Known) Opposite() Known { return k.opposite() }

// spanned gives what is sure its bounds and its line.
func (k Known) spanned() Known {
	if k.kind.measurable() {
		k.bounded, k.low, k.high = true, k.exact, k.exact
		k.line = &line{plus: k.exact}
	}
	return k
}

// Value is the value where it is known for sure and cannot fail.
func (k Known) Value() (Value, bool) { return k.value, k.kind != 0 && k.sure && !k.mayFail }

// Fails tells that it never comes to a value.
func (k Known) Fails() bool { return k.kind == 0 }

// MayFail tells that it may not come to a value.
func (k Known) MayFail() bool { return k.kind == 0 || k.mayFail }

// Bounds are the least and the greatest that it may come to, in whole grains
// and rounded outwards.
func (k Known) Bounds() (low, high int64, bounded bool) {
	if !k.bounded {
		return 0, 0, false
	}
	low, lowFits := k.low.down()
	high, highFits := k.high.neg().down()
	return low, -high, lowFits && highFits
}

// down is the whole number at or below x, where it fits.
func (x exact) down() (int64, bool) {
	whole := roundDown(x)
	return whole.Int64(), whole.IsInt64() && whole.Int64() > math.MinInt64
}

func roundDown(x exact) *big.Int {
	r := x.rat()
	return new(big.Int).Div(r.Num(), r.Denom())
}

// Clauses are what a yes comes down to, all of which must hold, where it can be
// said so and cannot fail. Of a yes that is sure there are none.
func (k Known) Clauses() ([]Clause, bool) {
	return k.all, k.kind == Bool && k.told && !k.sure && !k.mayFail
}

// line is a sum of free names with factors, and a number.
type line struct {
	terms []lineTerm // rising by slot
	plus  exact
}

type lineTerm struct {
	slot, with int // with is NoSlot, or that of another name it is multiplied by
	times      exact
	low, high  exact // of the name, or the product
}

func (t lineTerm) compare(other lineTerm) int {
	return cmp.Or(cmp.Compare(t.slot, other.slot), cmp.Compare(t.with, other.with))
}

// product is the line of two names multiplied, each with a factor and not less
// than nothing.
func (l *line) product(other *line) (*line, bool) {
	if l == nil || other == nil || len(l.terms) != 1 || len(other.terms) != 1 || l.plus.sign() != 0 || other.plus.sign() != 0 {
		return nil, false
	}
	a, b := l.terms[0], other.terms[0]
	if a.slot > b.slot {
		a, b = b, a
	}
	if a.with != NoSlot || b.with != NoSlot || a.slot == b.slot || a.low.sign() < 0 || b.low.sign() < 0 {
		return nil, false
	}
	return &line{terms: []lineTerm{{a.slot, b.slot, a.times.mul(b.times), a.low.mul(b.low), a.high.mul(b.high)}}}, true
}

func (l *line) add(other *line, sign exact) *line {
	sum := &line{plus: l.plus.add(other.plus.mul(sign)), terms: slices.Clone(l.terms)}
	for _, t := range other.terms {
		t.times = t.times.mul(sign)
		at, found := slices.BinarySearchFunc(sum.terms, t, lineTerm.compare)
		if !found {
			sum.terms = slices.Insert(sum.terms, at, t)
			continue
		}
		sum.terms[at].times = sum.terms[at].times.add(t.times)
	}
	sum.terms = slices.DeleteFunc(sum.terms, func(t lineTerm) bool { return t.times.sign() == 0 })
	return sum
}

func (l *line) times(factor exact) *line { return (&line{}).add(l, factor) }

// bounds are the least and the greatest that the line comes to.
func (l *line) bounds() (low, high exact) {
	low, high = l.plus, l.plus
	for _, t := range l.terms {
		a, b := t.times.mul(t.low), t.times.mul(t.high)
		if t.times.sign() < 0 {
			a, b = b, a
		}
		low, high = low.add(a), high.add(b)
	}
	return low, high
}

// isWhole tells that every value of the line is a whole number.
func (l *line) isWhole() bool {
	return l.plus.isWhole() && !slices.ContainsFunc(l.terms, func(t lineTerm) bool { return !t.times.isWhole() })
}

// atMost is the atom that says that the line is at most 0, or below it.
func (l *line) atMost(strictly bool) (Atom, bool) {
	scale := big.NewInt(1)
	numbers := []exact{l.plus}
	for _, t := range l.terms {
		numbers = append(numbers, t.times)
	}
	for _, x := range numbers {
		den := x.rat().Denom()
		common := new(big.Int).GCD(nil, nil, scale, den)
		scale.Mul(scale, new(big.Int).Div(den, common))
	}
	wholes, fits := make([]int64, len(numbers)), true
	for i, x := range numbers {
		n := new(big.Rat).Mul(x.rat(), new(big.Rat).SetInt(scale)).Num()
		wholes[i] = n.Int64()
		fits = fits && n.IsInt64() && n.Int64() > math.MinInt64
	}
	a := Atom{Plus: wholes[0]}
	for i, t := range l.terms {
		a.Terms = append(a.Terms, AtomTerm{t.slot, t.with, wholes[i+1]})
	}
	if strictly {
		fits = fits && a.Plus < math.MaxInt64
		a.Plus++
	}
	return a, fits
}

// not is the opposite of an atom: since all is whole, more than 0 is 1 or more.
func (a Atom) not() (Atom, bool) {
	opposite := Atom{Plus: 1 - a.Plus, Terms: slices.Clone(a.Terms)}
	for i := range opposite.Terms {
		opposite.Terms[i].Times = -opposite.Terms[i].Times
	}
	return opposite, a.Plus > math.MinInt64/2
}

// Texts are the texts that the formula names, sorted; of them alone does it tell
// texts apart, unless it compares names with each other or with a table's rows.
func (f *Formula) Texts() []string {
	var texts []string
	f.root.texts(&texts)
	slices.Sort(texts)
	return slices.Compact(texts)
}

func (n *node) texts(list *[]string) {
	if n.literal.kind == Text {
		*list = append(*list, n.literal.text)
	}
	for i, a := range n.args {
		if n.table != nil && i == 0 {
			continue // the table's name
		}
		a.texts(list)
	}
	if n.table == nil || n.kind != Text {
		return
	}
	for _, row := range n.table.rows {
		*list = append(*list, row.Gives.text)
	}
}
