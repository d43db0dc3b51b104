package catalog

import (
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// Grid is the sizes that may be entered for an attribute, in the unit in which
// it was settled: every Step from From to To.
type Grid struct {
	From, To, Step unit.Length

	unit unit.EntryUnit
}

// Text is a size as people would enter it.
func (g Grid) Text(l unit.Length) string { return lengthText(l, g.unit) }

// Grid gives the sizes that might have been entered for a setting; ok tells that
// it is a size at all, and not one that stands between all steps.
func (c *Config) Grid(s *Setting) (g Grid, ok bool) {
	size := s.Attribute.Size
	if size == nil {
		return Grid{}, false
	}
	g = Grid{unit: c.Product.scope.unit}
	if read, err := unit.ParseEntry(s.Entered); err == nil {
		g.unit = read.Unit
	}
	g.Step = size.step(g.unit)
	g.From, g.To = (size.From+g.Step-1)/g.Step*g.Step, size.To/g.Step*g.Step
	return g, g.From <= g.To
}

// With is the environment of the configuration with another size for one
// attribute, figures reckoned anew. No rule is judged and nothing is asked or
// not asked anew: it is for trying, and Check has the last word.
func (c *Config) With(a *Attribute, size unit.Length) []formula.Value {
	env := slices.Clone(c.env)
	a.fill(env, &entry{value: formula.LengthOf(size)})
	for _, f := range c.Product.scope.figures {
		value, err := f.formula.Eval(env)
		if err != nil {
			value = formula.Value{}
		}
		env[f.slot] = value
	}
	return env
}

// Picks are what was picked, defaults left out, with another text for one
// attribute.
func (c *Config) Picks(a *Attribute, text string) []Pick {
	picks := make([]Pick, 0, len(c.Settings)+1)
	for i := range c.Settings {
		if s := &c.Settings[i]; !s.Defaulted && s.Attribute != a {
			picks = append(picks, Pick{Attribute: s.Attribute.Code, Text: s.Entered})
		}
	}
	return append(picks, Pick{Attribute: a.Code, Text: text})
}
