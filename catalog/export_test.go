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
	k.out.settle(p.scope, k.entries, nil)
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
	all, err := made.Rules.Violations(made.base.picks(made.Rules, &k.out, k.entries))
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

// Removals tells of reasons that a question of the base gives whether all of
// each is needed: of the picks with any one of them taken back, and of the rules
// with any one of them struck out, the value can be had. Each is a value of a
// field that picks keep out; told is how many there were, needless those that are
// not needed.
func (c *Choosing) Removals(entered []Pick, day calendar.Date, most int) (told int, needless []string, err error) {
	k := checking{product: c.Product, scope: c.Product.scope, day: day}
	k.read(entered)
	picks := c.entered(k.entries)
	a := c.Rules.Asker()
	defer a.Done()
	left := c.Rules.NoValues()
	if err := a.MayChange(picks, left); err != nil {
		return 0, nil, err
	}
	all := c.Rules.NoValues()
	if err := a.Remaining(picks, all); err != nil {
		return 0, nil, nil // a contradiction has reasons of its own
	}
	for f := range int32(c.Rules.Fields()) {
		from := all
		if picks[f] != choices.None {
			from = left
		}
		for v := range int32(c.Rules.Values(f)) {
			if c.Rules.Has(from, f, v) || told >= most {
				continue
			}
			conflict, err := a.WhyNot(picks, f, v, c.effort())
			if err != nil {
				return told, nil, fmt.Errorf("why not %s %s: %w", c.Rules.Code(f), c.Rules.Name(f, v), err)
			}
			told++
			needless = append(needless, c.needless(picks, f, v, &conflict)...)
			break // one of each field
		}
	}
	return told, needless, nil
}

func (c *Choosing) needless(picks choices.Picks, f, v int32, conflict *choices.Conflict) (list []string) {
	with := func(rules *choices.Compiled, leaveOut int32) bool {
		some := rules.Picks()
		for _, p := range conflict.Picks {
			if p != leaveOut {
				some[p] = picks[p]
			}
		}
		some[f] = v
		a := rules.Asker()
		defer a.Done()
		return a.Remaining(some, rules.NoValues()) == nil
	}
	if with(c.Rules, choices.None) {
		list = append(list, "the reason is none: "+c.Rules.Code(f)+" "+c.Rules.Name(f, v))
	}
	for _, p := range conflict.Picks {
		if !with(c.Rules, p) {
			list = append(list, "the pick of "+c.Rules.Code(p))
		}
	}
	only := c.base.base
	only.Rules = nil
	for _, r := range conflict.Rules {
		only.Rules = append(only.Rules, c.from.Rules[r])
	}
	for at := range only.Rules {
		without := only
		without.Rules = slices.Delete(slices.Clone(only.Rules), at, at+1)
		rules, err := choices.Compile(&without, choices.Options{})
		if err != nil || !with(rules, choices.None) {
			list = append(list, "the rule "+only.Rules[at].ID)
		}
	}
	return list
}
