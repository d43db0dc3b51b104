package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// PriceLine is one line of a quote.
type PriceLine struct {
	// For says what the line is for.
	For string `json:"for"`
	// List is its list price for one unit.
	List unit.Money `json:"list"`
}

// Quote is the price of one unit of a configuration for one dealer.
type Quote struct {
	Lines []PriceLine `json:"lines"`
	// ListUnit is the sum of the lines.
	ListUnit unit.Money `json:"list_unit"`
	// Terms are the dealer's, such as 50/10.
	Terms string `json:"terms"`
	// NetUnit is what the terms leave of ListUnit, rounded half up to the cent.
	NetUnit unit.Money `json:"net_unit"`
	// ToBeQuoted tells that the price list has no class for this size, or that
	// something unlisted was asked for. There is then no price: Lines is empty,
	// and the sums are to be disregarded.
	ToBeQuoted bool `json:"to_be_quoted"`
	// Surcharges are those charged on the day; what they come to hangs on the
	// whole line (see Whole).
	Surcharges []*Surcharge `json:"-"`
}

// Price prices one unit of a configuration of this catalog for a dealer and an
// order that counts for a day: the first size class that fits, all options that
// fit, and the charge for a size that is not standard; then the dealer's chain
// of discounts, rounded once per unit; and the surcharges of the day. A finding, and a Quote without a net price, is given for an unknown
// dealer; a sum beyond what money can hold is a finding too.
func (c *Catalog) Price(cfg *Config, dealer string, day calendar.Date) (*Quote, []Finding) {
	q, findings := &Quote{}, []Finding(nil)
	who, found := c.Dealers.Get(dealer)
	if !found {
		findings = append(findings, c.unknownDealer(dealer))
	} else {
		q.Terms = who.Terms.String()
	}
	if sample := cfg.Product.Sample; sample != nil && sample.Free && found {
		return sampleQuote(cfg.Product, q.Terms), findings
	}
	list := cfg.Product.scope.prices
	if cfg.open() || list == nil || !q.class(list, cfg.env) {
		q.ToBeQuoted = true
		return q, findings
	}
	for _, surcharge := range c.Surcharges.All() {
		if surcharge.charged(cfg.Product, day) {
			q.Surcharges = append(q.Surcharges, surcharge)
		}
	}
	q.additions(list, cfg.env)
	err := q.sum()
	if err == nil && found {
		q.NetUnit, err = q.ListUnit.Scale(who.Terms.Multiplier(), unit.Nearest)
	}
	if err != nil {
		findings = append(findings, Finding{Pointer: "/configuration", Code: "price.too-large",
			Message: fmt.Sprintf("The price of %s is too large to be reckoned with.", cfg.Product.Name)})
	}
	return q, findings
}

// PricePart prices one piece of a part of a configuration for a dealer: by its
// list price less the dealer's chain of discounts, rounded once. A part without a
// price is to be quoted; an unknown dealer is a finding.
func (c *Catalog) PricePart(cfg *Config, path, dealer string) (*Quote, []Finding) {
	who, found := c.Dealers.Get(dealer)
	if !found {
		return &Quote{}, []Finding{c.unknownDealer(dealer)}
	}
	q := &Quote{Terms: who.Terms.String(), ToBeQuoted: true}
	list := cfg.Product.scope.prices
	if list == nil {
		return q, nil
	}
	price, listed := list.Parts.Get(path)
	if !listed {
		return q, nil
	}
	q.ToBeQuoted, q.Lines, q.ListUnit = false, []PriceLine{{For: "Part " + path, List: price}}, price
	var err error
	if q.NetUnit, err = q.ListUnit.Scale(who.Terms.Multiplier(), unit.Nearest); err != nil {
		return q, []Finding{{Pointer: "/configuration", Code: "price.too-large", Message: fmt.Sprintf("The price of %s is too large to be reckoned with.", path)}}
	}
	return q, nil
}

// open tells that something unlisted was asked for.
func (c *Config) open() bool {
	return slices.ContainsFunc(c.Settings, func(s Setting) bool { return s.Open })
}

// class adds the line of the first size class that fits.
func (q *Quote) class(list *PriceList, env []formula.Value) bool {
	for i := range list.Sizes {
		if class := &list.Sizes[i]; allMet(class.tests, env) {
			q.Lines = append(q.Lines, PriceLine{For: class.For, List: class.List})
			return true
		}
	}
	return false
}

func (q *Quote) additions(list *PriceList, env []formula.Value) {
	for i := range list.Options {
		if option := &list.Options[i]; allMet(option.tests, env) {
			q.Lines = append(q.Lines, PriceLine{For: option.For, List: option.Add})
		}
	}
	if list.Custom != nil && slices.ContainsFunc(list.Custom.of, func(a *Attribute) bool { return a.custom(env) }) {
		q.Lines = append(q.Lines, PriceLine{For: list.Custom.For, List: list.Custom.Charge})
	}
}

// custom tells that a size is settled and is not a standard one.
func (a *Attribute) custom(env []formula.Value) bool {
	value := env[a.slot]
	return value.Kind() == formula.Length && !slices.Contains(a.Size.Standard, value.Length())
}

func (q *Quote) sum() (err error) {
	for _, line := range q.Lines {
		if q.ListUnit, err = q.ListUnit.Add(line.List); err != nil {
			return err
		}
	}
	return nil
}

func (c *Catalog) unknownDealer(code string) Finding {
	f := Finding{Pointer: "/dealer", Code: "dealer.unknown",
		Message: fmt.Sprintf("There is no dealer %s, so that no terms are known and there is no net price.", quoted(code))}
	if near, found := source.Nearest(strings.ToLower(code), c.Dealers.Keys()); found {
		f.Nearest = near
		f.Message += " Did you mean " + c.DealerNamed(near) + "?"
	}
	return f
}
