package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// Substitution is material that is taken in place of another for some days. It
// concerns what a part is made of by itself; what a customer chose, such as a
// species or a cloth, is never replaced.
type Substitution struct {
	// Number numbers a workshop's substitutions from 1.
	Number int `json:"number"`
	// Kind is a kind of material of Substitutable.
	Kind string `json:"kind"`
	Item string `json:"item"`
	By   string `json:"by"`
	// From and Until are the first and the last day on which it is taken.
	From   calendar.Date `json:"from"`
	Until  calendar.Date `json:"until"`
	Reason string        `json:"reason"`
}

// Substitutable are the kinds of material that may be substituted.
var Substitutable = []string{"steel", "hardware", "foam", "powder", "liquid", "wire"}

// Holds tells whether the substitution is taken on a day.
func (s *Substitution) Holds(day calendar.Date) bool {
	return !day.Before(s.From) && !day.After(s.Until)
}

// replaced looks an item and its substitute up in a table of the catalog.
func replaced[T any](table source.Map[*T], s *Substitution) (item, by *T, found bool) {
	item, found = table.Get(s.Item)
	by, other := table.Get(s.By)
	return item, by, found && other
}

// CheckSubstitution finds what is wrong with a substitution under this catalog.
func (c *Catalog) CheckSubstitution(s *Substitution) (findings []Finding) {
	add := func(pointer, code, format string, args ...any) {
		findings = append(findings, Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if !slices.Contains(Substitutable, s.Kind) {
		add("/kind", "kind.unknown", "%s is not substituted: what a customer chooses is changed by a change of the order.", quoted(s.Kind))
		findings[0].Allowed = Substitutable
		return findings
	}
	known := c.itemsOf(s.Kind)
	for _, at := range []struct{ pointer, code string }{{"/item", s.Item}, {"/by", s.By}} {
		if !slices.Contains(known, at.code) {
			f := Finding{Pointer: at.pointer, Code: "item.unknown", Message: fmt.Sprintf("The catalog has no %s %s.", s.Kind, quoted(at.code))}
			if near, found := source.Nearest(at.code, known); found {
				f.Nearest = near
			}
			findings = append(findings, f)
		}
	}
	if len(findings) == 0 && s.Item == s.By {
		add("/by", "item.same", "%s cannot take its own place.", s.Item)
	}
	if item, by, found := replaced(c.Sections, s); found && s.Kind == "steel" && item.Shape != by.Shape {
		add("/by", "item.unlike", "%s is %s and %s is %s: a part is not made of another form.", s.Item, item.Shape, s.By, by.Shape)
	}
	if s.Until.Before(s.From) {
		add("/until", "date.order", "It would end on %s, before it begins on %s.", s.Until, s.From)
	}
	return findings
}

// itemsOf are the codes of the items of a kind of material.
func (c *Catalog) itemsOf(kind string) (codes []string) {
	switch kind {
	case "steel":
		return c.Sections.Keys()
	case "hardware":
		return c.Hardware.Keys()
	case "foam":
		return c.Foams.Keys()
	case "wire":
		return c.Wires.Keys()
	}
	for code, coating := range c.Coatings.All() {
		if coating.Kind == kind {
			codes = append(codes, code.Value)
		}
	}
	return codes
}

// InForce is the catalog with the substitutions that orders are exploded with
// where nothing else is said.
func (c *Catalog) InForce(substitutions []Substitution) *Catalog {
	with := *c
	with.inForce = substitutions
	return &with
}

// Substitutions are those in force, as InForce was given them.
func (c *Catalog) Substitutions() []Substitution { return c.inForce }

// Substituted is the catalog with each substitute in the place of its item; what
// this revision does not have is left out. Items in the place of others tell so
// by their field InPlaceOf.
func (c *Catalog) Substituted(substitutions []Substitution) *Catalog {
	if len(substitutions) == 0 {
		return c
	}
	with := *c
	for i := range substitutions {
		s := &substitutions[i]
		switch s.Kind {
		case "steel":
			if _, by, found := replaced(c.Sections, s); found {
				item := *by
				item.InPlaceOf = s.Item
				with.Sections = with.Sections.With(s.Item, &item)
			}
		case "hardware":
			if _, by, found := replaced(c.Hardware, s); found {
				item := *by
				item.InPlaceOf = s.Item
				with.Hardware = with.Hardware.With(s.Item, &item)
			}
		case "foam":
			if _, by, found := replaced(c.Foams, s); found {
				item := *by
				item.InPlaceOf = s.Item
				with.Foams = with.Foams.With(s.Item, &item)
			}
		case "wire":
			if _, by, found := replaced(c.Wires, s); found {
				item := *by
				item.InPlaceOf = s.Item
				with.Wires = with.Wires.With(s.Item, &item)
			}
		default:
			if _, by, found := replaced(c.Coatings, s); found {
				item := *by
				item.InPlaceOf = s.Item
				with.Coatings = with.Coatings.With(s.Item, &item)
			}
		}
	}
	return &with
}
