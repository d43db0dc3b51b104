package catalog

import (
	"slices"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
)

// Use is a place of a product where an option or a rule is used.
type Use struct {
	Product   string
	Attribute string // that has the option; empty of a rule
	Option    string
	// Rule is the rule that names the option, or the one asked for, with where it
	// comes from and what it says.
	Rule RuleOrigin
	// With are the attributes that the rule is about.
	With []string
}

// WhereOption finds where an option is used: the products that offer it, each
// with the rules that name it, by its code. A use without a rule says that it is
// offered.
func (c *Catalog) WhereOption(option string, day calendar.Date) (uses []Use) {
	for code, p := range c.Products.All() {
		for _, a := range p.scope.attributes {
			v, found := a.find(option)
			if !found {
				continue
			}
			uses = append(uses, Use{Product: code.Value, Attribute: a.Code, Option: option})
			made, err := c.Choosing(p, day)
			if err != nil {
				continue
			}
			for _, one := range made.rulesOf(made.Rules.WhereUsed(made.Field(a), int32(v))) {
				one.Attribute, one.Option = a.Code, option
				uses = append(uses, one)
			}
		}
	}
	return uses
}

// WhereRule finds the products that have a rule of a code, with what it is about.
func (c *Catalog) WhereRule(rule string, day calendar.Date) (uses []Use) {
	for _, p := range c.Products.All() {
		made, err := c.Choosing(p, day)
		if err != nil {
			continue
		}
		var places []choices.Use
		for i, o := range made.Origins {
			if o.Code == rule {
				places = append(places, choices.Use{Rule: int32(i), Row: choices.None})
			}
		}
		uses = append(uses, made.rulesOf(places)...)
	}
	return uses
}

// rulesOf are the rules of places, each once.
func (c *Choosing) rulesOf(places []choices.Use) (uses []Use) {
	for _, place := range places {
		origin := c.Origins[place.Rule]
		with := []string{}
		for _, f := range c.Rules.Rule(place.Rule).Fields {
			with = append(with, c.Rules.Code(f))
		}
		at := slices.IndexFunc(uses, func(u Use) bool { return u.Rule == origin })
		if at < 0 {
			uses = append(uses, Use{Product: c.Product.Code, Rule: origin, With: with})
			continue
		}
		for _, code := range with {
			if !slices.Contains(uses[at].With, code) {
				uses[at].With = append(uses[at].With, code)
			}
		}
	}
	return uses
}
