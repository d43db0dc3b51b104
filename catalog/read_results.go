package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
)

// mostCombinations bounds the search for what a text formula may come to. The
// largest catalogs we reckon with have choices of a few hundred values, of
// which a formula reads one or two.
const mostCombinations = 20_000

// results gives the codes that a text formula of a part may come to, and
// faults those that are not in a table. It is nil when the formula depends on
// more than choices, so that this cannot be said before an order comes.
func (r *productReading) results(s spot, b branch, e *Expr, table string) []string {
	s = s.at(e.Pos)
	if codes := r.plainly(e.compiled, table); codes != nil {
		return codes
	}
	conditions := make([]*formula.Formula, len(b.whens))
	for i, when := range b.whens {
		conditions[i] = when.compiled
	}
	codes := []string{}
	possible := r.combine(append(conditions, e.compiled), func(env []formula.Value) {
		if !existing(conditions, env) {
			return
		}
		if value, err := e.compiled.Eval(env); err == nil && !slices.Contains(codes, value.Text()) {
			codes = append(codes, value.Text())
		}
	})
	if !possible {
		return nil
	}
	for _, code := range codes {
		if !slices.Contains(r.r.codes(table), code) {
			s.fault(fmt.Sprintf("the formula may come to %q, and there is no %s of that code", code, singular[table]), meant(code, r.r.codes(table)))
		}
	}
	return codes
}

// plainly gives the values of a formula that is but the name of a choice from
// the very table.
func (r *productReading) plainly(f *formula.Formula, table string) []string {
	i, found := r.scope.index[f.Text()]
	if !found {
		return nil
	}
	if a := r.scope.attributes[i]; a.Choose != nil && a.Choose.From == table {
		return a.codes()
	}
	return nil
}

// existingParts is existing for conditions as written.
func existingParts(whens []*Expr, env []formula.Value) bool {
	for _, when := range whens {
		if value, err := when.Eval(env); err != nil || !value.Bool() {
			return false
		}
	}
	return true
}

// existing tells whether conditions all hold; one that fails does not.
func existing(conditions []*formula.Formula, env []formula.Value) bool {
	for _, when := range conditions {
		if value, err := when.Eval(env); err != nil || !value.Bool() {
			return false
		}
	}
	return true
}

// combine goes through all combinations of the choices that formulas read. It
// tells false when they read anything else, or there are too many.
func (r *productReading) combine(formulas []*formula.Formula, visit func(env []formula.Value)) bool {
	var choices []*Attribute
	for _, f := range formulas {
		for _, name := range f.Names() {
			i, isAttribute := r.scope.index[name]
			if !isAttribute {
				return false
			}
			a := r.scope.attributes[i]
			if a.Choose == nil {
				return false
			}
			if !slices.Contains(choices, a) {
				choices = append(choices, a)
			}
		}
	}
	count := 1
	for _, a := range choices {
		if count *= len(a.options); count > mostCombinations {
			return false
		}
	}
	combinations(choices, slices.Clone(r.scope.template), visit)
	return true
}

func combinations(choices []*Attribute, env []formula.Value, visit func([]formula.Value)) {
	if len(choices) == 0 {
		visit(env)
		return
	}
	for i, o := range choices[0].options {
		choices[0].fill(env, &entry{value: o.value, chosen: i})
		combinations(choices[1:], env, visit)
	}
}

// pair adds the rule that the part's finish goes on its species, and checks
// that each species it may be of has a finish at all.
func (r *productReading) pair(b branch, p *WoodPart) {
	made := &rule{pair: &woodPair{catalog: r.r.cat, species: p.Species.compiled, finish: p.Finish.compiled}}
	for _, when := range b.whens {
		made.pair.whens = append(made.pair.whens, when.compiled)
	}
	r.concerns(made)
	if !slices.ContainsFunc(r.scope.rules, func(other *rule) bool { return other.pair.same(made.pair) }) {
		r.scope.rules = append(r.scope.rules, made)
		r.everySpeciesFinished(b.s, made.pair)
	}
}

// same tells that two parts follow the same rule.
func (w *woodPair) same(other *woodPair) bool {
	if w == nil || other == nil || len(w.whens) != len(other.whens) {
		return false
	}
	for i := range w.whens {
		if w.whens[i].Text() != other.whens[i].Text() {
			return false
		}
	}
	return w.species.Text() == other.species.Text() && w.finish.Text() == other.finish.Text()
}

func (r *productReading) everySpeciesFinished(s spot, pair *woodPair) {
	if r.r.finishOnUnknown {
		return
	}
	var met, finished []string
	r.combine(append(slices.Clone(pair.whens), pair.species, pair.finish), func(env []formula.Value) {
		species, err := pair.species.Eval(env)
		if err != nil || !existing(pair.whens, env) {
			return
		}
		if code := species.Text(); !slices.Contains(met, code) {
			met = append(met, code)
		}
		if said, err := pair.judge(env); err == nil && said == holds && !slices.Contains(finished, species.Text()) {
			finished = append(finished, species.Text())
		}
	})
	for _, species := range met {
		if _, known := r.r.cat.Species.Get(species); known && !slices.Contains(finished, species) {
			s.in("finish").fault(fmt.Sprintf("none of the finishes offered goes on %s", species),
				"offer one that does, add the species to a finish's \"on\", or do not offer the species")
		}
	}
}
