// Package sampling draws random configurations of a catalog's products, for
// properties that must hold of all of them and for measuring.
package sampling

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Dice gives a whole number from 0 to below n.
type Dice func(n int) int

// Picks draws a text for each attribute of a product, or leaves it to its
// default.
func Picks(p *catalog.Product, roll Dice) (list []catalog.Pick) {
	for code, a := range p.Attributes.All() {
		if a.Default != nil && roll(3) == 0 {
			continue
		}
		list = append(list, catalog.Pick{Attribute: code.Value, Text: anyText(a, roll)})
	}
	return list
}

func anyText(a *catalog.Attribute, roll Dice) string {
	switch {
	case a.Choose != nil:
		options := a.Options()
		return options[roll(len(options))].Code
	case a.Size != nil && len(a.Size.Standard) > 0 && roll(3) == 0:
		return a.Size.Standard[roll(len(a.Size.Standard))].String()
	case a.Size != nil && roll(2) == 0:
		return anyStep(a.Size.From, a.Size.To, a.Size.StepMM, roll).Millimetres() + " mm"
	case a.Size != nil:
		return anyStep(a.Size.From, a.Size.To, a.Size.StepInch, roll).String()
	case a.Count != nil:
		return fmt.Sprint(a.Count.From + roll(a.Count.To-a.Count.From+1))
	}
	return "written"
}

func anyStep(from, to, step unit.Length, roll Dice) unit.Length {
	first, last := (from+step-1)/step, to/step
	return (first + unit.Length(roll(int(last-first+1)))) * step
}

// Config draws a configuration of any product; it is nil when the catalog
// refuses it.
func Config(cat *catalog.Catalog, roll Dice) *catalog.Config {
	codes := cat.Products.Keys()
	product, _ := cat.Products.Get(codes[roll(len(codes))])
	return ConfigOf(cat, product, roll)
}

// ConfigOf draws a configuration of a product.
func ConfigOf(cat *catalog.Catalog, product *catalog.Product, roll Dice) *catalog.Config {
	config, _ := cat.Check(product.Code, Asked(cat, product, roll), cat.Workshop.Effective)
	return config
}

// Asked draws picks as Picks does, without what the catalog does not ask for
// beside the others.
func Asked(cat *catalog.Catalog, product *catalog.Product, roll Dice) []catalog.Pick {
	list := Picks(product, roll)
	for range list {
		_, findings := cat.Check(product.Code, list, cat.Workshop.Effective)
		asked := make([]catalog.Pick, 0, len(list))
		for _, pick := range list {
			if !notAsked(findings, pick.Attribute) {
				asked = append(asked, pick)
			}
		}
		if len(asked) == len(list) {
			break
		}
		list = asked
	}
	return list
}

// notAsked reports that the catalog does not ask for an attribute.
func notAsked(findings []catalog.Finding, attribute string) bool {
	for _, f := range findings {
		if f.Pointer == "/configuration/"+attribute && f.Code == "attribute.not-asked" {
			return true
		}
	}
	return false
}
