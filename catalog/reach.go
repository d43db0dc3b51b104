package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
)

// What can never be ordered: an attribute whose condition no choice fulfils,
// and a value that a single rule keeps out whatever else is picked. What only
// several rules together keep out, and rules over lengths, texts and figures,
// are not looked into.

func (r *reading) reach() {
	entries(r.spot("products"), r.cat.Products, func(s spot, _ string, p *Product) {
		one := productReading{r: r, s: s, p: p, scope: p.scope}
		for i, a := range p.scope.attributes {
			s := s.in("attributes").in(a.Code).at(a.Pos)
			if one.neverAsked(a) {
				s.in("asked_when").warn("no choice fulfils the condition, so that it is never asked", "")
				continue
			}
			if a.Choose == nil {
				continue
			}
			for _, rule := range p.scope.rules {
				if slices.Contains(rule.concerns, i) {
					one.keptOut(s, a, rule)
				}
			}
		}
	})
}

func (r *productReading) neverAsked(a *Attribute) bool {
	if a.AskedWhen == nil {
		return false
	}
	asked := false
	possible := r.combine([]*formula.Formula{a.AskedWhen.compiled}, func(env []formula.Value) {
		value, err := a.AskedWhen.Eval(env)
		asked = asked || err != nil || value.Bool()
	})
	return possible && !asked
}

// keptOut warns of the values of a choice that a rule never lets through.
func (r *productReading) keptOut(s spot, a *Attribute, ru *rule) {
	others := r.others(a, ru)
	if others == nil || ru.open != nil || ru.jig != nil {
		return
	}
	for i, o := range a.options {
		env := slices.Clone(r.scope.template)
		a.fill(env, &entry{value: o.value, chosen: i})
		let := false
		withOthers(others[1:], env, func(env []formula.Value) bool {
			let = a.askedIn(env) && !saysNo(ru, env)
			return let
		})
		if let {
			continue
		}
		why := fmt.Sprintf("the rule %s keeps it out whatever else is picked", ru.code)
		if ru.pair != nil {
			why = "the wood finishes and the species offered here never go together with it"
		}
		s.in(o.Code).warn("it can never be ordered: "+why, "")
	}
}

func saysNo(ru *rule, env []formula.Value) bool {
	said, err := ru.judge(env)
	return err == nil && said == broken
}

func (a *Attribute) askedIn(env []formula.Value) bool {
	if a.AskedWhen == nil {
		return true
	}
	value, err := a.AskedWhen.Eval(env)
	return err != nil || value.Bool()
}

// others are the choices that decide with a choice whether a rule lets it
// through, the choice itself first; nil when more than choices decide, or there
// are too many combinations.
func (r *productReading) others(a *Attribute, ru *rule) []*Attribute {
	list := []*Attribute{a}
	count := 1
	for _, i := range append(slices.Clone(ru.concerns), a.askedBy...) {
		other := r.scope.attributes[i]
		if slices.Contains(list, other) {
			continue
		}
		if other.Choose == nil {
			return nil
		}
		if count *= len(other.options) + 1; count > mostCombinations {
			return nil
		}
		list = append(list, other)
	}
	return list
}

// withOthers goes through the values of choices, of which one that has a
// condition may also have none, until visit is content.
func withOthers(choices []*Attribute, env []formula.Value, visit func([]formula.Value) bool) bool {
	if len(choices) == 0 {
		return visit(env)
	}
	a := choices[0]
	if a.AskedWhen != nil && withOthers(choices[1:], slices.Clone(env), visit) {
		return true
	}
	for i, o := range a.options {
		a.fill(env, &entry{value: o.value, chosen: i})
		if withOthers(choices[1:], env, visit) {
			return true
		}
	}
	return false
}
