package catalog

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
	"billwright/catalog/source"
)

// RuleFinding is one thing that the engineer should know of a product's rules.
type RuleFinding struct {
	Product string
	// Kind is what sort of thing it is, in the words of package choices, or
	// "cannot be made ready".
	Kind string
	// Attribute and Values are the option that it is about, Rule the rule's code.
	Attribute string
	Values    string
	Rule      string
	// Says is the finding as a sentence, Because what makes it so.
	Says    string
	Because []RuleOrigin
	// Pos is where it stands in the files.
	Pos source.Pos
}

// KindNotReady is the kind of finding of rules that cannot be made ready.
const KindNotReady = "cannot be made ready"

// LintRules finds what is wrong with the rules of every product as a whole, for
// orders of a day, each with the rules that make it so. Nothing that is made
// ready for it is kept, since a large catalog has hundreds of products.
func (c *Catalog) LintRules(day calendar.Date) (all []RuleFinding) {
	for _, p := range c.Products.All() {
		all = append(all, c.Limited(c.ready.limits).LintProduct(p, day)...)
	}
	return all
}

// LintProduct finds what is wrong with the rules of one product.
func (c *Catalog) LintProduct(p *Product, day calendar.Date) []RuleFinding {
	made, err := c.Choosing(p, day)
	if err != nil {
		return []RuleFinding{{Product: p.Code, Kind: KindNotReady, Pos: p.Pos,
			Says: fmt.Sprintf("The rules of %s cannot be made ready for questions, so that orders are checked by their formulas only: %v.", p.Name, err)}}
	}
	l := ruleLint{made: made, p: p}
	l.base()
	return l.all
}

type ruleLint struct {
	made *Choosing
	p    *Product
	all  []RuleFinding
}

func (l *ruleLint) base() {
	found := l.made.Rules.Lint()
	perOrigin := map[string]int{}
	for i := range l.made.Origins {
		perOrigin[l.key(int32(i))]++
	}
	said := map[string]int{} // kind and rule, of which several of the base are one of the product
	for _, f := range found {
		if f.Rule != choices.None && f.Row == choices.None {
			said[string(f.Kind)+l.key(f.Rule)]++
		}
	}
	for _, f := range found {
		switch f.Kind {
		case choices.DeadOption:
			l.dead(f)
		case choices.ForcedOption:
			l.option(f, fmt.Sprintf("%s can only be %s", l.attribute(f).Name, l.value(f, f.Value)))
		case choices.NothingBuildable:
			l.add(f, RuleFinding{Says: fmt.Sprintf("Nobody can build %s: whatever is chosen, a rule is broken", l.p.Name)})
		case choices.GivenUp:
			l.add(f, RuleFinding{Says: fmt.Sprintf("The rules of %s are too tangled for a diagram; questions about them are searched, which takes longer", l.p.Name)})
		default:
			l.rule(f, said[string(f.Kind)+l.key(f.Rule)] >= perOrigin[l.key(f.Rule)])
		}
	}
}

func (l *ruleLint) key(rule int32) string {
	o := l.made.Origins[rule]
	return fmt.Sprint(o.Kind, "/", o.Code, "/", o.index)
}

func (l *ruleLint) attribute(f choices.Finding) *Attribute { return l.made.Attribute(f.Field) }

func (l *ruleLint) value(f choices.Finding, v int32) string {
	a := l.attribute(f)
	switch {
	case v == l.made.notAsked(a.slot, f.Field):
		return "left out, and is never asked"
	case a.Choose != nil && int(v) == len(a.options):
		return "something unlisted"
	case a.Choose != nil:
		return a.options[v].Name
	}
	return l.made.text(a.slot, f.Field, v, l.made.base.scope.unit)
}

// dead tells of an option that nobody can order, or of numbers side by side.
func (l *ruleLint) dead(f choices.Finding) {
	a := l.attribute(f)
	if f.Value == l.made.notAsked(a.slot, f.Field) {
		return // it is always asked, which hinders nobody
	}
	if a.Choose != nil && int(f.Value) < len(a.options) && slices.ContainsFunc(f.Because, func(r int32) bool { return l.made.Origins[r].Kind == RuleWithdrawn }) {
		return // it is withdrawn, and that is meant
	}
	what := l.value(f, f.Value)
	if f.To > f.Value {
		named := int32(len(l.made.base.base.Fields[f.Field].Values))
		first, last := l.made.inOneUnit(a.slot, l.made.base.scope.unit, int(f.Value-named), int(f.To-named))
		if what = l.value(f, named+int32(first)); last > first {
			what += " to " + l.value(f, named+int32(last))
		}
	}
	l.option(f, fmt.Sprintf("%s can never be %s, whatever else is chosen", a.Name, what))
	l.all[len(l.all)-1].Values = what
}

func (l *ruleLint) option(f choices.Finding, says string) {
	a := l.attribute(f)
	l.add(f, RuleFinding{Attribute: a.Code, Values: l.value(f, f.Value), Says: says, Pos: a.Pos})
}

// rule tells of a rule that the product writes. Several rules of the base may be
// one of the product: what is wrong with some of them only is no fault.
func (l *ruleLint) rule(f choices.Finding, whole bool) {
	o := l.made.Origins[f.Rule]
	if o.Kind != RuleWritten && o.Kind != RuleUnlisted {
		return
	}
	written, found := l.p.Rules.Get(o.Code)
	one := RuleFinding{Rule: o.Code}
	if found {
		one.Pos = written.Pos
	}
	switch {
	case f.Kind == choices.Redundant && whole:
		one.Says = fmt.Sprintf("The rule %s says nothing that others do not say already", o.Code)
	case f.Kind == choices.NeverApplies && whole:
		one.Says = fmt.Sprintf("The rule %s never applies: where it would, others are broken already", o.Code)
	case f.Kind == choices.NotExamined:
		one.Says = fmt.Sprintf("Whether the rule %s is needed was not examined to the end", o.Code)
	default:
		return // rows are the program's own where a formula was translated
	}
	if slices.ContainsFunc(l.all, func(other RuleFinding) bool {
		return other.Says == one.Says+"." || strings.HasPrefix(other.Says, one.Says+":")
	}) {
		return
	}
	l.add(f, one)
}

// add tells a finding with the rules that make it so.
func (l *ruleLint) add(f choices.Finding, one RuleFinding) {
	one.Product, one.Kind = l.p.Code, string(f.Kind)
	if one.Pos == (source.Pos{}) {
		one.Pos = l.p.Pos
	}
	conflict := choices.Conflict{Rules: f.Because, Whole: !f.Bounded}
	one.Because = l.made.reason(&conflict).Rules
	var says []string
	for _, o := range one.Because {
		if o.Code != one.Rule {
			says = append(says, o.Says)
		}
	}
	if len(says) > 0 {
		one.Says += ": " + strings.TrimSuffix(strings.Join(says, " "), ".")
	}
	one.Says += "."
	l.all = append(l.all, one)
}

// RuleChange is what a revision changes of what can be built of a product.
type RuleChange struct {
	Product string
	// Before and After count the configurations that can be built; nil where
	// there is no such product, or they were not counted within the bound.
	Before, After *big.Int
	// Lost and Gained are options that could be, or can now be ordered.
	Lost, Gained []OptionChange
}

// OptionChange is an option of an attribute, numbers side by side as one.
type OptionChange struct{ Attribute, Values string }

// ChoicesSince tells what a revision changes of what can be built, product by
// product, those of which nothing changed left out.
func (c *Catalog) ChoicesSince(before *Catalog, day calendar.Date) (all []RuleChange) {
	for code, p := range c.Products.All() {
		old, found := before.Products.Get(code.Value)
		now, err := c.Choosing(p, day)
		if err != nil {
			continue // LintRules tells it
		}
		if !found {
			all = append(all, RuleChange{Product: code.Value, After: now.count()})
			continue
		}
		then, err := before.Choosing(old, day)
		if err != nil {
			continue
		}
		for _, change := range now.Rules.Since(then.Rules) {
			all = append(all, RuleChange{code.Value, change.Before, change.After, then.options(change.Lost), now.options(change.Gained)})
		}
	}
	for code, p := range before.Products.All() {
		if _, found := c.Products.Get(code.Value); found {
			continue
		}
		if then, err := before.Choosing(p, day); err == nil {
			all = append(all, RuleChange{Product: code.Value, Before: then.count()})
		}
	}
	return all
}

// count is how many configurations can be built; nil past the bound.
func (c *Choosing) count() *big.Int {
	n, err := c.Rules.Count(choices.None)
	if errors.Is(err, choices.ErrBound) {
		return nil
	}
	return n
}

// options gathers options by attribute, numbers side by side joined.
func (c *Choosing) options(list []choices.Option) (changes []OptionChange) {
	byField := map[int32][]int32{}
	var fields []int32
	for _, o := range list {
		f, err := c.Rules.Field(o.Field)
		if err != nil {
			continue
		}
		if byField[f] == nil {
			fields = append(fields, f)
		}
		byField[f] = append(byField[f], c.valueNamed(f, o.Value))
	}
	for _, f := range fields {
		a := c.Attribute(f)
		is := make([]bool, c.Rules.Values(f))
		for _, v := range byField[f] {
			if v != choices.None {
				is[v] = true
			}
		}
		named := len(c.base.base.Fields[f].Values)
		var words []string
		for v := range named {
			if is[v] && int32(v) != c.notAsked(a.slot, f) {
				words = append(words, c.Rules.Name(f, int32(v)))
			}
		}
		for _, run := range runs(is[named:]) {
			words = append(words, c.span(a, f, int32(named+run[0]), int32(named+run[1])))
		}
		if len(words) > 0 {
			changes = append(changes, OptionChange{a.Code, strings.Join(words, ", ")})
		}
	}
	return changes
}

func (c *Choosing) span(a *Attribute, f, from, to int32) string {
	text := c.text(a.slot, f, from, c.base.scope.unit)
	if to > from {
		text += " to " + c.text(a.slot, f, to, c.base.scope.unit)
	}
	return text
}

func (c *Choosing) valueNamed(f int32, name string) int32 {
	for v := range int32(c.Rules.Values(f)) {
		if c.Rules.Name(f, v) == name {
			return v
		}
	}
	return choices.None
}
