package catalog

import (
	"errors"
	"strings"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// WithCode is what sentences call something of the catalog: the name that people
// read, with the code that is written in orders in brackets, as White oak
// (white-oak). In one sentence the code stands once, where somebody may write it;
// elsewhere the name stands alone.
func WithCode(name, code string) string {
	switch {
	case name == "":
		return code
	case code == "" || name == code:
		return name
	}
	return name + " (" + code + ")"
}

// DealerNamed is a dealer by the code: the name with the code.
func (c *Catalog) DealerNamed(code string) string {
	if d, found := c.Dealers.Get(code); found {
		return WithCode(d.Name, code)
	}
	return code
}

// named is an option with its code.
func (o *Option) named() string { return WithCode(o.Name, o.Code) }

// namedOf are options by their codes, each with its code.
func (a *Attribute) namedOf(codes []string) []string {
	names := make([]string, 0, len(codes))
	for _, code := range codes {
		names = append(names, a.optionNamed(code))
	}
	return names
}

// optionNamed is an option by its code, or the code of what is not listed.
func (a *Attribute) optionNamed(code string) string {
	if i, found := a.find(code); found {
		return a.options[i].named()
	}
	return code
}

// attributesNamed are the attributes of a product, each with its code.
func (p *Product) attributesNamed() []string {
	var names []string
	for code, a := range p.Attributes.All() {
		names = append(names, WithCode(a.Name, code.Value))
	}
	return names
}

// words are those of the product, for its formulas. What a formula reads is named
// without its code, a value that may be chosen with it.
func (s *productScope) words() formula.Words {
	return formula.Words{
		Metric: s.unit == unit.MetricEntry,
		Name:   s.nameOf,
		Value: func(name, text string) string {
			if i, found := s.index[name]; found {
				return s.attributes[i].optionNamed(text)
			}
			return text
		},
	}
}

// condition is when an attribute is asked, in the words of the product.
func (s *productScope) condition(e *Expr) string {
	if e.compiled == nil {
		return e.Value
	}
	return e.compiled.Said(s.words())
}

// SaidWorking is the working of one of the product's formulas, for sentences: it
// begins with the formula in words. It is all in millimetres where something of it
// is no whole number of 1/64 in.
func (p *Product) SaidWorking(e *Expr, env []formula.Value) string {
	words := p.scope.words()
	text := e.compiled.SaidWorking(words, env)
	if !words.Metric && strings.Contains(text, " in") && strings.Contains(text, " mm") {
		words.Metric = true
		return e.compiled.SaidWorking(words, env)
	}
	return text
}

// Failure is why one of the product's formulas cannot be reckoned, for whoever
// orders: without its place and without what an engineer would write.
func (p *Product) Failure(err error) string { return p.scope.failure(err) }

func (s *productScope) failure(err error) string {
	if f, ok := errors.AsType[*formula.Fault](err); ok {
		return f.Said(s.nameOf)
	}
	return err.Error()
}

// nameOf is what people call a name of the product's formulas: an attribute by
// its name, a property of what is chosen as cloth's usable width.
func (s *productScope) nameOf(name string) string {
	code, property, is := strings.Cut(name, ".")
	i, found := s.index[code]
	switch {
	case found && is:
		return s.attributes[i].Name + "'s " + strings.ReplaceAll(property, "_", " ")
	case found:
		return s.attributes[i].Name
	}
	return strings.ReplaceAll(strings.TrimPrefix(name, "standard."), "_", " ")
}
