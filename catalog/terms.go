package catalog

import (
	"fmt"
	"strings"

	"billwright/catalog/unit"
)

// Terms is a dealer's chain of discounts, each taken off what the one before
// left: "50/10" leaves 0.45 of the list price.
type Terms struct {
	text       string
	multiplier unit.Ratio
}

// UnmarshalText reads percentages parted by "/", each with or without its sign,
// or "list" for no discount. Each is 0 or from 1 to less than 100: what is
// between 0 and 1 is a share that somebody took for a percentage.
func (t *Terms) UnmarshalText(text []byte) error {
	t.text = string(text)
	t.multiplier, _ = unit.NewRatio(1, 1)
	if t.text == "list" {
		return nil
	}
	hundred, _ := unit.NewRatio(100, 1)
	for _, part := range strings.Split(t.text, "/") {
		percent, err := parsePercent(part)
		if err != nil {
			return fmt.Errorf("terms %q: %w", t.text, err)
		}
		if percent.Sign() < 0 || percent.Cmp(hundred) >= 0 {
			return fmt.Errorf("terms %q: a discount is a percentage from 0 to less than 100", t.text)
		}
		if percent.Sign() > 0 && percent.Cmp(unit.RatioOf(1)) < 0 {
			return fmt.Errorf("terms %q: %s: a discount is in percent; write 50 for half", t.text, strings.TrimSpace(part))
		}
		left, err := hundred.Sub(percent)
		if err == nil {
			left, err = left.Div(hundred)
		}
		if err == nil {
			t.multiplier, err = t.multiplier.Mul(left)
		}
		if err != nil {
			return fmt.Errorf("terms %q: %w", t.text, err)
		}
	}
	return nil
}

// String is the chain as written.
func (t Terms) String() string { return t.text }

// Multiplier is what the chain leaves of a list price, exact.
func (t Terms) Multiplier() unit.Ratio { return t.multiplier }
