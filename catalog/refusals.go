package catalog

import (
	"reflect"
	"slices"
	"strings"

	"billwright/catalog/choices"
	"billwright/catalog/formula"
)

// Refusals are the choices of a product that are refused by something that is no
// formula, such as a step of the explosion.
type Refusals struct {
	// Rows are those choices; none where nothing is refused.
	Rows []choices.Row
	// Attributes are what it hangs on.
	Attributes []string
	// Found tells that rows are all that is refused: between two sizes that come
	// to the same, what was tried in between did so too. Otherwise what is refused
	// could not be told within the bound, or does not rise and fall evenly.
	Found bool
}

// trial tells whether something is refused.
type trial = func(env []formula.Value, settled bool) bool

// The bounds on finding refusals.
const (
	mostTrials  = 4_000 // looks at one place
	proofTrials = 150   // points tried beside those that were looked at
)

// Refused finds for which choices a condition is refused that reads what
// formulas of the product read, tried on environments with their names set and
// others not; settled tells that all attributes behind them are asked and set. Sizes are bisected: what is refused is taken to be in one stretch
// from an end, which is then tried at other points. The dice give a whole number
// from 0 to below n.
func (p *Product) Refused(formulas []*formula.Formula, refused trial, dice func(n int) int) Refusals {
	b := &rulebase{scope: p.scope, fields: make([]int32, len(p.scope.attributes)), numbers: make([][]int64, len(p.scope.attributes))}
	for i, a := range p.scope.attributes {
		b.fields[i] = choices.None
		if a.Write == nil {
			b.fields[i] = int32(len(b.base.Fields))
			b.base.Fields = append(b.base.Fields, b.field(i, a))
		}
	}
	r := &regions{b: b, formulas: formulas, most: mostTrials}
	out := Refusals{}
	attributes, figures := p.scope.behind(formulas)
	for _, i := range attributes {
		out.Attributes = append(out.Attributes, p.scope.attributes[i].Code)
	}
	r.of = func(env []formula.Known) formula.Known { return r.corners(env, figures, refused) }
	if !r.read() {
		return out
	}
	for i := range proofTrials {
		if !r.proves(figures, refused, dice) {
			return out
		}
		if i == 0 && len(r.dims) == 0 {
			break
		}
	}
	out.Found = true
	for _, one := range r.joined(r.found) {
		row := r.row(&one)
		if len(row) == 0 {
			row = choices.Row{{Field: b.base.Fields[0].Code, Set: choices.Set{Except: true}}}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// corners tries the corners of what is known of the sizes: where they all come to
// the same, so is what lies between taken to.
func (r *regions) corners(known []formula.Known, figures []int, refused trial) formula.Known {
	env := make([]formula.Value, len(known))
	copy(env, r.b.scope.template)
	var free []int
	var ends [][2]int64
	for i, a := range r.b.scope.attributes {
		value, sure := known[a.slot].Value()
		env[a.slot] = value
		if low, high, bounded := known[a.slot].Bounds(); !sure && bounded {
			free, ends = append(free, i), append(ends, [2]int64{low, high})
		}
		r.b.scope.chosen(env, known, a)
	}
	settled := !slices.ContainsFunc(r.dims, func(d dim) bool { return known[d.attribute.slot].Fails() })
	yes, no := false, false
	for corner := range 1 << len(free) {
		for at, i := range free {
			a := r.b.scope.attributes[i]
			env[a.slot] = a.number(ends[at][corner>>at&1])
		}
		r.b.scope.reckon(env, figures)
		is := refused(env, settled)
		if yes, no = yes || is, no || !is; yes && no {
			return formula.Unsure(formula.Bool)
		}
	}
	return formula.Exactly(formula.BoolOf(no))
}

// chosen copies what is known of what a choice stands for.
func (s *productScope) chosen(env []formula.Value, known []formula.Known, a *Attribute) {
	if a.Choose == nil {
		return
	}
	for i := range a.options[0].properties {
		env[a.firstProperty+i], _ = known[a.firstProperty+i].Value()
	}
	if a.Choose.Open != nil {
		env[a.Choose.Open.slot], _ = known[a.Choose.Open.slot].Value()
	}
}

// reckon fills in figures, those that cannot be reckoned left unset.
func (s *productScope) reckon(env []formula.Value, figures []int) {
	for _, i := range figures {
		f := &s.figures[i]
		value, err := f.formula.Eval(env)
		if err != nil {
			value = formula.Value{}
		}
		env[f.slot] = value
	}
}

// proves tries a point and tells whether it comes to what the regions say.
func (r *regions) proves(figures []int, refused trial, dice func(n int) int) bool {
	chosen, point := make([]int, len(r.dims)), make([][2]int, len(r.dims))
	env := r.b.scope.known()
	for at := range r.dims {
		d := &r.dims[at]
		chosen[at] = dice(len(d.classes))
		c := &d.classes[chosen[at]]
		d.attribute.know(env, c)
		if c.numbers == nil {
			continue
		}
		n := dice(len(c.numbers))
		point[at] = [2]int{n, n}
		kind := formula.Length
		if d.attribute.Size == nil {
			kind = formula.Number
		}
		env[d.attribute.slot] = formula.Between(d.attribute.slot, kind, c.numbers[n], c.numbers[n])
	}
	holds, _ := r.corners(env, figures, refused).Value()
	said := slices.ContainsFunc(r.found, func(one region) bool {
		for at := range r.dims {
			if one.class[at] != chosen[at] {
				return false
			}
			if ranges := one.numbers[at]; len(ranges) > 0 && (point[at][0] < ranges[0][0] || point[at][0] > ranges[0][1]) {
				return false
			}
		}
		return true
	})
	return said != holds.Bool()
}

// Formulas are all that a part reads by itself and through the groups around it,
// those of parts below left out.
func (p *Product) Formulas(path string) (all []*formula.Formula) {
	at, above := p.Parts, ""
	for _, code := range strings.Split(path, "/") {
		part, found := at.Get(code)
		if !found {
			return all
		}
		above += code
		own := *part
		at = part.Parts
		if above != path { // of a group around it only whether and how often it is there
			own = Part{When: part.When, Pieces: part.Pieces}
		}
		own.Parts = at
		own.Parts = noParts
		gather(reflect.ValueOf(own), &all)
		above += "/"
	}
	return all
}

var noParts = Part{}.Parts

var exprType = reflect.TypeFor[Expr]()

// gather takes every formula out of a value.
func gather(v reflect.Value, all *[]*formula.Formula) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			gather(v.Elem(), all)
		}
	case reflect.Slice:
		for i := range v.Len() {
			gather(v.Index(i), all)
		}
	case reflect.Struct:
		if v.Type() == exprType {
			if compiled := v.Interface().(Expr).compiled; compiled != nil {
				*all = append(*all, compiled)
			}
			return
		}
		if values, is := v.Interface().(interface{ EachValue(func(any)) }); is {
			values.EachValue(func(one any) { gather(reflect.ValueOf(one), all) })
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				gather(v.Field(i), all)
			}
		}
	}
}

// Trial is a configuration for trying a part of the product: only what its
// formulas read is set, and nothing was checked.
func (c *Catalog) Trial(p *Product, env []formula.Value) *Config {
	made := &Config{Product: p, day: c.Workshop.Effective, env: env}
	if _, placed := c.HoldPlaced(PlacedUnknownRepeat); !placed {
		return made
	}
	o := outcome{env: env, states: make([]state, len(p.scope.attributes))}
	for i, a := range p.scope.attributes {
		if env[a.slot].Kind() != 0 {
			o.states[i] = settled
		}
	}
	for i := range p.scope.ownCloths {
		if own := &p.scope.ownCloths[i]; own.unknown(c, &o) {
			made.plain = append(made.plain, own.part)
		}
	}
	return made
}

// Part is the part of a path, such as base/leg.
func (p *Product) Part(path string) (*Part, bool) {
	at := p.Parts
	for {
		code, rest, below := strings.Cut(path, "/")
		part, found := at.Get(code)
		if !found || !below {
			return part, found
		}
		at, path = part.Parts, rest
	}
}
