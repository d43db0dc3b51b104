package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
)

// BaseSize tells how many rules a product's base has and how many of its own are
// not among them.
func (c *Choosing) BaseSize() (rules, formulas int) {
	for _, exact := range c.base.exact {
		if !exact {
			formulas++
		}
	}
	return len(c.Origins), formulas
}

// Verdicts tells what the formulas of a product say of picks and what its rule
// base says: the rules broken, by what they say, and whether a formula fails.
// Asked tells that the picks can be put to the base at all: nothing is missing,
// faulty or unknown.
func (c *Catalog) Verdicts(p *Product, picks []Pick, day calendar.Date) (byFormula, byBase string, asked bool, err error) {
	k := checking{product: p, scope: p.scope, day: day}
	k.read(picks)
	k.out.settle(p.scope, k.entries)
	for i, s := range k.out.states {
		if s.open() || s == notAsked && k.entries[i].given {
			return "", "", false, nil
		}
	}
	var broken []string
	for _, i := range k.out.broken {
		broken = append(broken, fmt.Sprint("rule ", i))
	}
	if len(k.out.failures) > 0 {
		broken = append(broken, "fails")
	}
	made, err := c.Choosing(p, day)
	if err != nil {
		return "", "", false, err
	}
	all, err := made.Rules.Violations(k.picks(made))
	if err != nil {
		return "", "", false, err
	}
	var said []string
	for _, v := range all {
		o := made.Origins[v.Rule]
		if o.Kind == RuleFails {
			said = append(said, "fails")
			continue
		}
		said = append(said, fmt.Sprint("rule ", o.index))
	}
	for i, exact := range made.base.exact {
		if !exact && slices.Contains(k.out.broken, i) {
			said = append(said, fmt.Sprint("rule ", i))
		}
	}
	slices.Sort(broken)
	slices.Sort(said)
	return strings.Join(slices.Compact(broken), ", "), strings.Join(slices.Compact(said), ", "), true, nil
}

// picks are the settled attributes as picks of the base.
func (k *checking) picks(c *Choosing) choices.Picks {
	picks := c.Rules.Picks()
	for i := range k.scope.attributes {
		if f := c.base.fields[i]; f != choices.None {
			picks[f] = c.base.pick(i, &k.out, k.entries)
		}
	}
	return picks
}
