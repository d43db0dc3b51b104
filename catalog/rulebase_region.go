package catalog

import (
	"slices"

	"billwright/catalog/choices"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// How a formula becomes rows of choices. What it reads is told apart into
// choices and small counts, of which each combination is looked at, and sizes and
// large counts, of which all values are looked at at once: where the formula then
// is a yes or a no, or comes down to comparisons, that is a row; where it is
// neither, the values are halved. What would take too many looks stays a formula.
const (
	mostSmall   = 64     // numbers of a count that are looked at one by one
	mostCells   = 20_000 // combinations of a formula
	mostLooks   = 30_000 // at a formula
	mostRegions = 6_000  // rows of a formula before they are joined
)

// regions translates one condition.
type regions struct {
	b        *rulebase
	where    []test // under which alone it applies
	of       over
	formulas []*formula.Formula
	grouped  bool // values that no formula tells apart are looked at once
	// unsetIsNo tells that a condition which fails because it reads what is not
	// asked is not met; otherwise it says nothing.
	unsetIsNo bool
	most      int // looks; mostLooks unless it is told

	dims    []dim
	figures []int
	env     []formula.Known
	looks   int
	found   []region
}

// dim is one attribute that the condition reads.
type dim struct {
	attribute *Attribute
	field     int32
	classes   []class // of what is looked at one by one, and whether it is asked
}

// class is values of an attribute that are alike to the condition.
type class struct {
	values  []string
	number  *int64
	entry   entry
	unset   bool
	numbers []int64 // all those of a size, looked at at once
	ranges  [][2]int
}

// region is a part of the choices in which the condition comes to the same.
type region struct {
	sets    []choices.Set // by dim
	numbers [][][2]int    // by dim: ranges of the numbers of the class, none for what has no range
	class   []int         // by dim
	fails   bool
	clauses []formula.Clause // to be met; none where it is a no
}

// add puts the condition into the base. It is false, and nothing is put there,
// when that cannot be done exactly.
func (r *regions) add(origin RuleOrigin, where choices.Row) bool {
	if !r.read() {
		return false
	}
	for _, t := range where { // what the condition reads itself has its part of it already
		if slices.ContainsFunc(r.dims, func(d dim) bool { return d.attribute.Code == t.Field }) && len(r.where) > 0 {
			where = slices.DeleteFunc(slices.Clone(where), func(u choices.Term) bool { return u.Field == t.Field })
		}
	}
	return r.emit(origin, where)
}

// read finds the regions; it is false when that cannot be done exactly.
func (r *regions) read() bool {
	if r.most == 0 {
		r.most = mostLooks
	}
	attributes, figures := r.b.scope.behind(r.formulas)
	r.figures = figures
	cells := 1
	for _, i := range attributes {
		d, sound := r.dim(i)
		if cells *= len(d.classes); !sound || cells > min(mostCells, r.most) {
			return false
		}
		r.dims = append(r.dims, d)
	}
	r.env = r.b.scope.known()
	return r.cells(make([]int, 0, len(r.dims)))
}

// known is the environment in which only standards are known.
func (s *productScope) known() []formula.Known {
	env := make([]formula.Known, len(s.template))
	for slot, v := range s.template {
		env[slot] = formula.Exactly(v)
	}
	return env
}

// dim gives the classes of an attribute, of which those that do not meet the
// where are left out.
func (r *regions) dim(i int) (d dim, sound bool) {
	a := r.b.scope.attributes[i]
	d = dim{attribute: a, field: r.b.fields[i]}
	if d.field == choices.None {
		return d, false
	}
	var condition *test
	for at := range r.where {
		if r.where[at].attribute == a {
			condition = &r.where[at]
		}
	}
	if a.AskedWhen != nil && condition == nil {
		d.classes = append(d.classes, class{values: []string{ValueNotAsked}, unset: true})
	}
	switch {
	case a.Choose != nil:
		r.options(&d, condition)
	default:
		numbers := r.b.numbers[i]
		if len(numbers) == 0 {
			return d, false
		}
		meets := make([]bool, len(numbers))
		env := make([]formula.Value, a.slot+1)
		for at, n := range numbers {
			env[a.slot] = a.number(n)
			meets[at] = condition == nil || condition.met(env)
		}
		if a.Count != nil && len(numbers) <= mostSmall {
			for at, n := range numbers {
				if meets[at] {
					d.classes = append(d.classes, class{number: &n, entry: entry{value: a.number(n)}})
				}
			}
			break
		}
		d.classes = append(d.classes, class{numbers: numbers, ranges: runs(meets)})
	}
	return d, true
}

// number is a number of a field as formulas read it.
func (a *Attribute) number(n int64) formula.Value {
	if a.Size != nil {
		return formula.LengthOf(unit.Length(n))
	}
	return formula.NumberOf(unit.RatioOf(n))
}

// runs are the stretches that are true, from the first to the last of each.
func runs(is []bool) (ranges [][2]int) {
	for i := 0; i < len(is); i++ {
		if !is[i] {
			continue
		}
		from := i
		for i+1 < len(is) && is[i+1] {
			i++
		}
		ranges = append(ranges, [2]int{from, i})
	}
	return ranges
}

// options gives the classes of a choice.
func (r *regions) options(d *dim, condition *test) {
	a := d.attribute
	same := map[string]int{}
	texts, together := r.texts()
	take := func(name string, e entry) {
		if condition != nil && !slices.Contains(condition.values, e.value) {
			return
		}
		key := name
		if together {
			key = alike(a, &e, texts)
		}
		if at, found := same[key]; found {
			d.classes[at].values = append(d.classes[at].values, name)
			return
		}
		same[key] = len(d.classes)
		d.classes = append(d.classes, class{values: []string{name}, entry: e})
	}
	for at, o := range a.options {
		take(o.Code, entry{value: o.value, chosen: at})
	}
	if open := a.Choose.Open; open != nil {
		take(ValueUnlisted, entry{value: a.options[open.as].value, chosen: open.as, open: true})
	}
}

// texts are those that the condition names, and whether it tells texts apart by
// them alone: it may read one choice only.
func (r *regions) texts() (list []string, alone bool) {
	attributes, figures := r.b.scope.behind(r.formulas)
	read := 0
	for _, f := range r.formulas {
		list = append(list, f.Texts()...)
	}
	for _, i := range figures {
		list = append(list, r.b.scope.figures[i].formula.Texts()...)
	}
	for _, i := range attributes {
		if r.b.scope.attributes[i].Choose != nil {
			read++
		}
	}
	return list, r.grouped && read <= 1
}

// alike is the same for values that a condition cannot tell apart.
func alike(a *Attribute, e *entry, texts []string) string {
	key := ""
	if slices.Contains(texts, e.value.Text()) {
		key = "=" + e.value.Text()
	}
	for _, p := range a.options[e.chosen].properties {
		key += "|" + p.String()
	}
	if e.open {
		key += "|open"
	}
	return key
}

// cells goes through the combinations of classes.
func (r *regions) cells(chosen []int) bool {
	if len(chosen) < len(r.dims) {
		d := &r.dims[len(chosen)]
		for i := range d.classes {
			c := &d.classes[i]
			d.attribute.know(r.env, c)
			if !r.cells(append(chosen, i)) {
				return false
			}
		}
		return true
	}
	boxes := [][][2]int{make([][2]int, len(r.dims))}
	for at, d := range r.dims {
		c := &d.classes[chosen[at]]
		if c.numbers == nil {
			continue
		}
		var more [][][2]int
		for _, box := range boxes {
			for _, one := range c.ranges {
				box = slices.Clone(box)
				box[at] = one
				more = append(more, box)
			}
		}
		boxes = more
	}
	for _, box := range boxes {
		if !r.divide(chosen, box) {
			return false
		}
	}
	return true
}

// know fills in what an attribute is known to be.
func (a *Attribute) know(env []formula.Known, c *class) {
	exactly := make([]formula.Value, len(env))
	if !c.unset && c.numbers == nil {
		a.fill(exactly, &c.entry)
	}
	env[a.slot] = formula.Exactly(exactly[a.slot])
	if a.Choose == nil {
		return
	}
	for i := range a.options[0].properties {
		env[a.firstProperty+i] = formula.Exactly(exactly[a.firstProperty+i])
	}
	if a.Choose.Open != nil {
		slot := a.Choose.Open.slot
		env[slot] = formula.Exactly(exactly[slot])
	}
}

// look reckons the condition over a box of numbers.
func (r *regions) look(chosen []int, box [][2]int) formula.Known {
	r.looks++
	for at := range r.dims {
		d := &r.dims[at]
		if c := &d.classes[chosen[at]]; c.numbers != nil {
			kind := formula.Length
			if d.attribute.Size == nil {
				kind = formula.Number
			}
			r.env[d.attribute.slot] = formula.Between(d.attribute.slot, kind, c.numbers[box[at][0]], c.numbers[box[at][1]])
		}
	}
	for _, i := range r.figures {
		f := &r.b.scope.figures[i]
		r.env[f.slot] = f.formula.Over(r.env)
	}
	return r.of(r.env)
}

// divide takes a box as it is or halves it.
func (r *regions) divide(chosen []int, box [][2]int) bool {
	if r.looks > r.most || len(r.found) > mostRegions {
		return false
	}
	known := r.look(chosen, box)
	if r.settled(chosen, box, known) {
		return true
	}
	at := r.cut(chosen, box)
	if at < 0 {
		return false // a point is settled, or the formula is not what it seems
	}
	low, high := halves(box, at)
	return r.divide(chosen, low) && r.divide(chosen, high)
}

func halves(box [][2]int, at int) (low, high [][2]int) {
	low, high = slices.Clone(box), slices.Clone(box)
	middle := (box[at][0] + box[at][1]) / 2
	low[at][1], high[at][0] = middle, middle+1
	return low, high
}

// cut is the dim to halve: one of which a half is then told, or else the one with
// the fewest numbers left. So what rises and falls with two sizes becomes a row
// for each number of the one with fewer.
func (r *regions) cut(chosen []int, box [][2]int) int {
	if at, alone := r.onlyWide(chosen, box); alone {
		return at
	}
	best, left, told := -1, 0, 0
	for at := range r.dims {
		n := box[at][1] - box[at][0]
		if n == 0 || r.dims[at].classes[chosen[at]].numbers == nil {
			continue
		}
		low, high := halves(box, at)
		halvesTold := 0
		for _, half := range [][][2]int{low, high} {
			if _, _, known := r.comesTo(r.look(chosen, half)); known {
				halvesTold++
			}
		}
		if halvesTold > told || halvesTold == told && (best < 0 || n < left) {
			best, left, told = at, n, halvesTold
		}
	}
	return best
}

// onlyWide is the one dim with several numbers left, if there is but one.
func (r *regions) onlyWide(chosen []int, box [][2]int) (at int, alone bool) {
	at = -1
	for i := range r.dims {
		if box[i][1] == box[i][0] || r.dims[i].classes[chosen[i]].numbers == nil {
			continue
		}
		if at >= 0 {
			return -1, false
		}
		at = i
	}
	return at, true
}

// comesTo is what is known: a yes, a failure or clauses, if it is told.
func (r *regions) comesTo(known formula.Known) (yes bool, clauses []formula.Clause, told bool) {
	value, sure := known.Value()
	if known.Fails() || sure {
		return sure && value.Bool(), nil, true
	}
	clauses, told = known.Clauses()
	return false, clauses, told && expressible(clauses)
}

// settled notes the region if it is told what it comes to.
func (r *regions) settled(chosen []int, box [][2]int, known formula.Known) bool {
	yes, clauses, told := r.comesTo(known)
	if !told {
		return false
	}
	fails := known.Fails()
	if fails && r.readsUnset(chosen) {
		yes, fails = !r.unsetIsNo, false
	}
	if yes {
		return true
	}
	one := region{fails: fails, clauses: clauses, class: slices.Clone(chosen), sets: make([]choices.Set, len(r.dims)), numbers: make([][][2]int, len(r.dims))}
	for at, d := range r.dims {
		c := &d.classes[chosen[at]]
		switch {
		case c.numbers != nil:
			one.numbers[at] = [][2]int{box[at]}
		case c.number != nil:
			one.sets[at].Numbers = []choices.Interval{{From: *c.number, To: *c.number}}
		default:
			one.sets[at].Values = slices.Clone(c.values)
		}
	}
	r.found = append(r.found, one)
	return true
}

func (r *regions) readsUnset(chosen []int) bool {
	for at, d := range r.dims {
		if d.classes[chosen[at]].unset {
			return true
		}
	}
	return false
}
