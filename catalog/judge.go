package catalog

import (
	"slices"

	"billwright/catalog/choices"
)

// judge is a product's rule base made ready for judging what was picked, and for
// nothing else: it has no diagrams, which only questions about what is open need.
type judge struct {
	base     *rulebase
	compiled *choices.Compiled
}

// judgingOnly bounds the making of diagrams to none.
var judgingOnly = choices.Options{Nodes: 1, Work: 1, Total: 1, Search: 1}

// judge makes the rules of a product ready for judging, once; nil where they
// cannot be made a base at all, which the lint of the rules tells.
func (r *readyProduct) judge(p *Product) *judge {
	r.judging.Do(func() {
		base := r.rulebase(p)
		if compiled, err := choices.Compile(&base.base, judgingOnly); err == nil {
			r.judged = &judge{base: base, compiled: compiled}
		}
	})
	return r.judged
}

// rules judges the rules of the product. Of one that concerns what is still open
// nothing is said, though it may be broken already.
func (j *judge) rules(o *outcome, scope *productScope, entries []entry) {
	all, err := j.compiled.Violations(j.base.picks(j.compiled, o, entries))
	for i, r := range scope.rules {
		switch {
		case !j.base.exact[i] || err != nil:
			o.rule(i, r)
		case o.any(r.concerns, state.open):
		default:
			j.rule(o, i, r, all)
		}
	}
}

// rule takes over what the base says of one rule. Where a formula of it fails the
// formula itself has the words.
func (j *judge) rule(o *outcome, i int, r *rule, all []choices.Violation) {
	at := slices.IndexFunc(all, func(v choices.Violation) bool { return j.base.origins[v.Rule].index == i })
	switch {
	case at < 0:
	case j.base.origins[all[at].Rule].Kind == RuleFails:
		o.rule(i, r)
	default:
		o.broken = append(o.broken, i)
	}
}

// picks is what entries came to as picks of the base.
func (b *rulebase) picks(c *choices.Compiled, o *outcome, entries []entry) choices.Picks {
	picks := c.Picks()
	for i, f := range b.fields {
		if f != choices.None {
			picks[f] = b.pick(i, o, entries)
		}
	}
	return picks
}
