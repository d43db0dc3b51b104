package catalog

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"sort"
	"strings"

	"billwright/catalog/choices"
	"billwright/catalog/formula"
)

// expressible tells that clauses can be said by rules: of each clause one atom at
// most is of two numbers, and that compares one with the other.
func expressible(clauses []formula.Clause) bool {
	for _, c := range clauses {
		pairs := 0
		for _, a := range c {
			if one := a.Terms[0]; len(a.Terms) == 1 && one.With == formula.NoSlot {
				continue
			}
			if pairs++; pairs > 1 || !compares(a) && !ofTwo(a) {
				return false
			}
		}
	}
	return true
}

// compares tells that an atom compares one number with another.
func compares(a formula.Atom) bool {
	if len(a.Terms) != 2 || a.Terms[0].With != formula.NoSlot || a.Terms[1].With != formula.NoSlot {
		return false
	}
	return (a.Terms[0].Times > 0) != (a.Terms[1].Times > 0)
}

// ofTwo tells that an atom is of two numbers and nothing else.
func ofTwo(a formula.Atom) bool {
	return len(a.Terms) == 1 || len(a.Terms) == 2 && a.Terms[0].With == formula.NoSlot && a.Terms[1].With == formula.NoSlot
}

// limits tells that an atom limits the product of two numbers.
func limits(a formula.Atom) bool {
	return len(a.Terms) == 1 && a.Terms[0].With != formula.NoSlot && a.Terms[0].Times > 0 && a.Plus <= 0
}

// emit writes the regions as rules: one of forbidden rows for where it is a no,
// one for where it fails, and others for each clause that must be met.
func (r *regions) emit(origin RuleOrigin, where choices.Row) bool {
	var no, fails []region
	byClauses := map[string][]region{}
	var keys []string
	for _, one := range r.found {
		switch key := fmt.Sprint(one.clauses); {
		case one.fails:
			fails = append(fails, one)
		case len(one.clauses) == 0:
			no = append(no, one)
		default:
			if byClauses[key] == nil {
				keys = append(keys, key)
			}
			byClauses[key] = append(byClauses[key], one)
		}
	}
	if len(keys) > mostRegions/10 {
		return false
	}
	r.forbid(origin, where, r.joined(no))
	failing := origin
	failing.Kind = RuleFails
	r.forbid(failing, where, r.joined(fails))
	for _, key := range keys {
		for _, one := range r.joined(byClauses[key]) {
			for _, c := range one.clauses {
				r.clause(origin, where, r.row(&one), c)
			}
		}
	}
	return true
}

func (r *regions) forbid(origin RuleOrigin, where choices.Row, found []region) {
	if len(found) == 0 {
		return
	}
	rule := choices.Rule{Where: where}
	for i := range found {
		row := r.row(&found[i])
		if len(row) == 0 { // nothing is ever right
			row = choices.Row{{Field: r.b.base.Fields[0].Code, Set: choices.Set{Except: true}}}
		}
		rule.Forbid = append(rule.Forbid, row)
	}
	r.b.add(origin, rule)
}

// row is a region as terms; what the region does not bind is left out.
func (r *regions) row(one *region) (row choices.Row) {
	for at, d := range r.dims {
		set := one.sets[at]
		for _, n := range one.numbers[at] {
			numbers := d.numbers()
			set.Numbers = append(set.Numbers, choices.Interval{From: numbers[n[0]], To: numbers[n[1]]})
		}
		if !r.everything(&d, set) {
			row = append(row, choices.Term{Field: d.attribute.Code, Set: set})
		}
	}
	return row
}

// everything tells that a set has all values of a field.
func (r *regions) everything(d *dim, set choices.Set) bool {
	field := &r.b.base.Fields[d.field]
	if len(set.Values) < len(field.Values) {
		return false
	}
	count := 0
	numbers := r.b.numbers[d.attribute.slot]
	for _, i := range set.Numbers {
		low, _ := slices.BinarySearch(numbers, i.From)
		high, found := slices.BinarySearch(numbers, i.To)
		if found {
			high++
		}
		count += high - low
	}
	return count >= len(numbers)
}

// numbers are those of the dim's class that has a range.
func (d *dim) numbers() []int64 {
	for i := range d.classes {
		if d.classes[i].numbers != nil {
			return d.classes[i].numbers
		}
	}
	return nil
}

// joined joins regions that differ in one dim only, dim by dim.
func (r *regions) joined(found []region) []region {
	for again := true; again; {
		before := len(found)
		for at := range r.dims {
			found = r.joinedBy(found, at)
		}
		again = len(found) < before
	}
	return found
}

func (r *regions) joinedBy(found []region, at int) (joined []region) {
	same := map[string]int{}
	for _, one := range found {
		var key strings.Builder
		for other := range r.dims {
			if other != at {
				fmt.Fprint(&key, one.sets[other], one.numbers[other], ";")
			}
		}
		i, met := same[key.String()]
		if !met {
			same[key.String()] = len(joined)
			joined = append(joined, one)
			continue
		}
		joined[i].sets = slices.Clone(joined[i].sets)
		joined[i].numbers = slices.Clone(joined[i].numbers)
		set := &joined[i].sets[at]
		set.Values = sortedSet(append(slices.Clone(set.Values), one.sets[at].Values...))
		set.Numbers = append(slices.Clone(set.Numbers), one.sets[at].Numbers...)
		joined[i].numbers[at] = joinedRanges(append(slices.Clone(joined[i].numbers[at]), one.numbers[at]...))
	}
	return joined
}

func sortedSet(values []string) []string {
	slices.Sort(values)
	return slices.Compact(values)
}

// joinedRanges are ranges rising, those that touch made one.
func joinedRanges(ranges [][2]int) (joined [][2]int) {
	slices.SortFunc(ranges, func(a, b [2]int) int { return cmp.Compare(a[0], b[0]) })
	for _, one := range ranges {
		if last := len(joined) - 1; last >= 0 && one[0] <= joined[last][1]+1 {
			joined[last][1] = max(joined[last][1], one[1])
			continue
		}
		joined = append(joined, one)
	}
	return joined
}

// clause writes that one of the atoms holds in a region.
func (r *regions) clause(origin RuleOrigin, where, region choices.Row, c formula.Clause) {
	rule := choices.Rule{Where: slices.Concat(where, region)}
	var single []choices.Term // of which one must hold
	bound := false
	for _, a := range c {
		switch {
		case len(a.Terms) == 1 && a.Terms[0].With == formula.NoSlot:
			single = append(single, r.single(a))
			continue
		case limits(a):
			rule.Product = &choices.Product{A: r.code(a.Terms[0].Slot), B: r.code(a.Terms[0].With), Low: uint64(-a.Plus / a.Terms[0].Times)}
		case compares(a):
			rule.AtMost = r.atMost(a)
		default:
			rule.Forbid = r.stairs(a)
		}
		bound = true
	}
	if !bound {
		for _, t := range single {
			rule.Allow = append(rule.Allow, choices.Row{t})
		}
		r.b.add(origin, rule)
		return
	}
	for _, t := range single { // where none of the others holds
		t.Set.Except = true
		rule.Where = narrowed(rule.Where, t)
	}
	r.b.add(origin, rule)
}

func (r *regions) atMost(a formula.Atom) *choices.AtMost {
	more, less := a.Terms[0], a.Terms[1]
	if more.Times < 0 {
		more, less = less, more
	}
	return &choices.AtMost{A: r.code(more.Slot), TimesA: more.Times, B: r.code(less.Slot), TimesB: -less.Times, Plus: -a.Plus}
}

// stairs are the rows that an atom of two numbers forbids: for each number of
// the one those of the other, like steps joined.
func (r *regions) stairs(a formula.Atom) (rows []choices.Row) {
	one, other := a.Terms[0].Slot, a.Terms[0].With
	if len(a.Terms) == 2 {
		other = a.Terms[1].Slot
	}
	if len(r.b.numbers[one]) > len(r.b.numbers[other]) {
		one, other = other, one
	}
	var from int64
	var last []choices.Interval
	numbers := r.b.numbers[one]
	for i, n := range numbers {
		out := r.beyond(a, one, n, other)
		if i > 0 && !slices.Equal(out, last) {
			rows = r.stair(rows, one, choices.Interval{From: from, To: numbers[i-1]}, other, last)
			from = n
		}
		if i == 0 {
			from = n
		}
		last = out
	}
	return r.stair(rows, one, choices.Interval{From: from, To: numbers[len(numbers)-1]}, other, last)
}

func (r *regions) stair(rows []choices.Row, one int, step choices.Interval, other int, out []choices.Interval) []choices.Row {
	if len(out) == 0 {
		return rows
	}
	return append(rows, choices.Row{{Field: r.code(one), Set: choices.Set{Numbers: []choices.Interval{step}}}, {Field: r.code(other), Set: choices.Set{Numbers: out}}})
}

// beyond are the numbers of the other with which an atom does not hold beside a
// number of the one. It rises or falls with the other, so that they are a stretch
// from either end.
func (r *regions) beyond(a formula.Atom, one int, n int64, other int) []choices.Interval {
	numbers := r.b.numbers[other]
	breaks := func(m int64) bool { return exceeds(a, one, n, other, m) }
	first, end := breaks(numbers[0]), breaks(numbers[len(numbers)-1])
	turn := sort.Search(len(numbers), func(i int) bool { return breaks(numbers[i]) != first })
	switch {
	case first && end:
		return []choices.Interval{{From: numbers[0], To: numbers[len(numbers)-1]}}
	case first:
		return []choices.Interval{{From: numbers[0], To: numbers[turn-1]}}
	case end:
		return []choices.Interval{{From: numbers[turn], To: numbers[len(numbers)-1]}}
	}
	return nil
}

// exceeds tells that an atom does not hold of two numbers.
func exceeds(a formula.Atom, one int, n int64, other int, m int64) bool {
	of := func(slot int) *big.Int {
		if slot == one {
			return big.NewInt(n)
		}
		return big.NewInt(m)
	}
	sum := big.NewInt(a.Plus)
	for _, t := range a.Terms {
		x := of(t.Slot)
		if t.With != formula.NoSlot {
			x.Mul(x, of(t.With))
		}
		sum.Add(sum, x.Mul(x, big.NewInt(t.Times)))
	}
	return sum.Sign() > 0
}

func (r *regions) code(slot int) string { return r.b.scope.attributes[slot].Code }

// single is an atom of one number as an interval.
func (r *regions) single(a formula.Atom) choices.Term {
	slot, times := a.Terms[0].Slot, a.Terms[0].Times
	numbers := r.b.numbers[slot]
	meets := make([]bool, len(numbers))
	for i, n := range numbers {
		meets[i] = times*n+a.Plus <= 0
	}
	t := choices.Term{Field: r.code(slot)}
	for _, run := range runs(meets) {
		t.Set.Numbers = append(t.Set.Numbers, choices.Interval{From: numbers[run[0]], To: numbers[run[1]]})
	}
	return t
}

// narrowed adds a term of the kind "anything except" to a row, which may have one
// of the field already.
func narrowed(row choices.Row, t choices.Term) choices.Row {
	at := slices.IndexFunc(row, func(one choices.Term) bool { return one.Field == t.Field })
	if at < 0 {
		return append(row, t)
	}
	row = slices.Clone(row)
	set := row[at].Set
	if set.Except {
		set.Values = append(slices.Clone(set.Values), t.Set.Values...)
		set.Numbers = append(slices.Clone(set.Numbers), t.Set.Numbers...)
		row[at].Set = set
		return row
	}
	set.Values = slices.DeleteFunc(slices.Clone(set.Values), func(v string) bool { return slices.Contains(t.Set.Values, v) })
	set.Numbers = without(set.Numbers, t.Set.Numbers)
	row[at].Set = set
	return row
}

// without takes intervals out of others.
func without(from, out []choices.Interval) []choices.Interval {
	for _, o := range out {
		var left []choices.Interval
		for _, i := range from {
			if o.To < i.From || o.From > i.To {
				left = append(left, i)
				continue
			}
			if i.From < o.From {
				left = append(left, choices.Interval{From: i.From, To: o.From - 1})
			}
			if i.To > o.To {
				left = append(left, choices.Interval{From: o.To + 1, To: i.To})
			}
		}
		from = left
	}
	return from
}
