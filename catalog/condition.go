package catalog

import (
	"fmt"
	"strconv"
	"strings"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Condition is a set of values of one attribute. A choice is met by being one
// of Values; a length or a whole number also by lying in an interval, of which
// either end may be absent. It is written as a value, a list of values, or as
// "up to 72 in", "under 72 in", "over 72 in", "at least 72 in" or two of these,
// "over 72 in up to 96 in"; of a whole number without a unit, "up to 3".
type Condition struct {
	Values []source.Text `yaml:"-"`
	// From and To are the ends of an interval of lengths, Least and Most those of
	// an interval of whole numbers.
	From  *unit.Length `yaml:"-"`
	To    *unit.Length `yaml:"-"`
	Least *int         `yaml:"-"`
	Most  *int         `yaml:"-"`
	// Over tells that the lower end itself is not met, Under that the upper is
	// not.
	Over  bool       `yaml:"-"`
	Under bool       `yaml:"-"`
	Pos   source.Pos `yaml:"-"`
}

// The words of intervals.
const (
	wordOver    = "over "
	wordAtLeast = "at least "
	wordUpTo    = "up to "
	wordUnder   = "under "
)

// FromText reads one value or an interval.
func (c *Condition) FromText(t source.Text) error {
	c.Pos = t.Pos
	low, high := parts(strings.TrimSpace(t.Value))
	if low == "" && high == "" {
		c.Values = []source.Text{t}
		return nil
	}
	if text, is := strings.CutPrefix(low, wordOver); is {
		low, c.Over = text, true
	}
	if text, is := strings.CutPrefix(high, wordUnder); is {
		high, c.Under = text, true
	}
	if err := end(strings.TrimPrefix(low, wordAtLeast), &c.From, &c.Least); err != nil {
		return err
	}
	if err := end(strings.TrimPrefix(high, wordUpTo), &c.To, &c.Most); err != nil {
		return err
	}
	return c.sound()
}

// parts splits an interval into its lower end and its upper one, each with its
// word before it; what is none has neither.
func parts(text string) (low, high string) {
	if strings.HasPrefix(text, wordUpTo) || strings.HasPrefix(text, wordUnder) {
		return "", text
	}
	if !strings.HasPrefix(text, wordOver) && !strings.HasPrefix(text, wordAtLeast) {
		return "", ""
	}
	for _, word := range []string{wordUpTo, wordUnder} {
		if i := strings.Index(text, " "+word); i >= 0 {
			return text[:i], text[i+1:]
		}
	}
	return text, ""
}

// end reads one end of an interval, a whole number or a length.
func end(text string, length **unit.Length, number **int) error {
	if text == "" {
		return nil
	}
	if n, err := strconv.Atoi(text); err == nil && n >= 0 {
		*number = &n
		return nil
	}
	l, err := unit.ParseLength(text)
	*length = &l
	return err
}

func (c *Condition) sound() error {
	switch {
	case (c.From != nil || c.To != nil) && (c.Least != nil || c.Most != nil):
		return fmt.Errorf("%q has a length and a plain number: write both with a unit, or neither", c)
	case c.From != nil && c.To != nil && (*c.To < *c.From || *c.To == *c.From && (c.Over || c.Under)),
		c.Least != nil && c.Most != nil && (*c.Most < *c.Least || *c.Most == *c.Least && (c.Over || c.Under)):
		return fmt.Errorf("nothing lies in the interval %q: it ends before it begins", c)
	}
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

// String writes the condition as a catalog does.
func (c *Condition) String() string {
	var words []string
	for _, value := range c.Values {
		words = append(words, value.Value)
	}
	if len(words) > 0 {
		return strings.Join(words, ", ")
	}
	if low := endText(c.From, c.Least); low != "" {
		words = append(words, pick(c.Over, wordOver, wordAtLeast)+low)
	}
	if high := endText(c.To, c.Most); high != "" {
		words = append(words, pick(c.Under, wordUnder, wordUpTo)+high)
	}
	return strings.Join(words, " ")
}

func endText(length *unit.Length, number *int) string {
	switch {
	case length != nil:
		return length.String()
	case number != nil:
		return strconv.Itoa(*number)
	}
	return ""
}

func pick(first bool, one, other string) string {
	if first {
		return one
	}
	return other
}

// meetsLength tells whether a length lies in the interval.
func (c *Condition) meetsLength(l unit.Length) bool {
	return meets(l, c.From, c.To, c.Over, c.Under)
}

// meetsNumber tells whether a whole number lies in the interval.
func (c *Condition) meetsNumber(n int) bool { return meets(n, c.Least, c.Most, c.Over, c.Under) }

func meets[T unit.Length | int](x T, from, to *T, over, under bool) bool {
	if from != nil && (x < *from || over && x == *from) {
		return false
	}
	return to == nil || x < *to || !under && x == *to
}
