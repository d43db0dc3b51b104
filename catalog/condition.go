package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Condition is a set of values of one attribute. A choice is met by being one
// of Values; a length by lying within From and To, of which either may be
// absent. It is written as a value, a list of values, or for a length as
// "up to 72 in", "over 72 in", "over 72 in up to 96 in" or "at least 72 in".
type Condition struct {
	Values []source.Text `yaml:"-"`
	From   *unit.Length  `yaml:"-"`
	To     *unit.Length  `yaml:"-"`
	// Over tells that From itself is not met.
	Over bool       `yaml:"-"`
	Pos  source.Pos `yaml:"-"`
}

// FromText reads one value or an interval.
func (c *Condition) FromText(t source.Text) error {
	c.Pos = t.Pos
	rest := strings.TrimSpace(t.Value)
	low, isOver := strings.CutPrefix(rest, "over ")
	low, isLeast := strings.CutPrefix(low, "at least ")
	if isOver || isLeast {
		low, high, both := strings.Cut(low, " up to ")
		from, err := unit.ParseLength(low)
		if err != nil {
			return err
		}
		c.From, c.Over = &from, isOver
		if both {
			return c.readTo(high)
		}
		return nil
	}
	if high, isTo := strings.CutPrefix(rest, "up to "); isTo {
		return c.readTo(high)
	}
	c.Values = []source.Text{t}
	return nil
}

// FromTexts reads a list of values.
func (c *Condition) FromTexts(list []source.Text) error {
	if len(list) == 0 {
		return fmt.Errorf("an empty list meets nothing: write at least one value")
	}
	c.Pos, c.Values = list[0].Pos, list
	return nil
}

func (c *Condition) readTo(text string) error {
	to, err := unit.ParseLength(text)
	if err != nil {
		return err
	}
	if c.From != nil && to < *c.From {
		return fmt.Errorf("the interval ends at %s, before it begins at %s", to, *c.From)
	}
	c.To = &to
	return nil
}

// meetsLength tells whether a length lies in the interval.
func (c *Condition) meetsLength(l unit.Length) bool {
	if c.From != nil && (l < *c.From || c.Over && l == *c.From) {
		return false
	}
	return c.To == nil || l <= *c.To
}
