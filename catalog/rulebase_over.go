package catalog

import (
	"slices"
	"strings"

	"billwright/catalog/choices"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// over is a condition reckoned over many values at once: a yes where it holds.
type over func(env []formula.Known) formula.Known

// over is what a rule beyond its where asks for.
func (r *rule) over() over {
	switch {
	case r.need != nil:
		return r.need.Over
	case r.pair != nil:
		return r.pair.over
	}
	return r.jig.over
}

// formulas are those that a rule reads.
func (r *rule) formulas() []*formula.Formula {
	switch {
	case r.need != nil:
		return []*formula.Formula{r.need}
	case r.pair != nil:
		return append(slices.Clone(r.pair.whens), r.pair.species, r.pair.finish)
	}
	return append(slices.Clone(r.jig.whens), r.jig.radius)
}

// exists is what is known of whether a part exists. It is settled when that is
// known for sure, one way or the other.
func exists(whens []*formula.Formula, env []formula.Known) (known formula.Known, settled bool) {
	for _, when := range whens {
		known = when.Over(env)
		value, sure := known.Value()
		switch {
		case known.Fails():
			return known, false
		case !sure:
			return formula.Unsure(formula.Bool), false
		case !value.Bool():
			return formula.Exactly(formula.BoolOf(true)), false
		}
	}
	return known, true
}

func (w *woodPair) over(env []formula.Known) formula.Known {
	if known, there := exists(w.whens, env); !there {
		return known
	}
	species, finish := w.species.Over(env), w.finish.Over(env)
	if species.Fails() || finish.Fails() {
		return formula.Known{}
	}
	on, sure := species.Value()
	code, also := finish.Value()
	if !sure || !also {
		return formula.Unsure(formula.Bool)
	}
	made, found := w.catalog.WoodFinishes.Get(code.Text())
	return formula.Exactly(formula.BoolOf(found && made.goesOn(on.Text())))
}

func (j *jigPair) over(env []formula.Known) formula.Known {
	if known, there := exists(j.whens, env); !there {
		return known
	}
	radius := j.radius.Over(env)
	value, sure := radius.Value()
	low, high, bounded := radius.Bounds()
	switch {
	case radius.Fails():
		return formula.Known{}
	case sure:
		return formula.Exactly(formula.BoolOf(slices.Contains(j.jig.Radii, value.Length())))
	case radius.MayFail() || !bounded:
		return formula.Unsure(formula.Bool)
	case slices.ContainsFunc(j.jig.Radii, func(r unit.Length) bool { return low <= int64(r) && int64(r) <= high }):
		return formula.Unsure(formula.Bool)
	}
	return formula.Exactly(formula.BoolOf(false))
}

// asked translates when an attribute is asked: it has a value where it is, and
// none where it is not.
func (b *rulebase) asked(i int, a *Attribute) {
	if b.fields[i] == choices.None {
		return // what is written is no field
	}
	is := choices.Term{Field: a.Code, Set: choices.Set{Values: []string{ValueNotAsked}}}
	has := choices.Term{Field: a.Code, Set: choices.Set{Values: []string{ValueNotAsked}, Except: true}}
	origin := RuleOrigin{Kind: RuleAsked, Code: a.Code, Says: a.Name + " is asked only when " + b.scope.condition(a.AskedWhen) + ".", index: -1}
	f := a.AskedWhen.compiled
	asked := regions{b: b, of: f.Over, formulas: []*formula.Formula{f}, grouped: true, unsetIsNo: true}
	not := asked
	not.of = func(env []formula.Known) formula.Known { return f.Over(env).Opposite() }
	not.unsetIsNo = false
	if !asked.add(origin, choices.Row{has}) || !not.add(origin, choices.Row{is}) {
		b.refuse(origin, append(slices.Clone(a.askedBy), i))
	}
}

// figure translates that a figure can be reckoned, where it might not be.
func (b *rulebase) figure(f *figure) {
	origin := RuleOrigin{Kind: RuleFails, Code: f.name, Says: "The figure " + f.name + " cannot be reckoned.", index: -1}
	of := func(env []formula.Known) formula.Known {
		switch k := f.formula.Over(env); {
		case k.Fails():
			return formula.Known{}
		case k.MayFail():
			return formula.Unsure(formula.Bool)
		}
		return formula.Exactly(formula.BoolOf(true))
	}
	r := regions{b: b, of: of, formulas: []*formula.Formula{f.formula}, grouped: true}
	if !r.add(origin, nil) {
		b.refuse(origin, f.reads)
	}
}

// behind gathers what formulas read: the attributes, by index and rising, and
// the figures, in order.
func (s *productScope) behind(formulas []*formula.Formula) (attributes, figures []int) {
	var visit func(f *formula.Formula)
	visit = func(f *formula.Formula) {
		for _, name := range f.Names() {
			of, _, _ := strings.Cut(name, ".")
			if i, is := s.index[of]; is {
				attributes = append(attributes, i)
				continue
			}
			at := slices.IndexFunc(s.figures, func(one figure) bool { return one.name == name })
			if at >= 0 && !slices.Contains(figures, at) {
				figures = append(figures, at)
				visit(s.figures[at].formula)
			}
		}
	}
	for _, f := range formulas {
		visit(f)
	}
	slices.Sort(attributes)
	slices.Sort(figures)
	return slices.Compact(attributes), figures
}
