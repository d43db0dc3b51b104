package choices

import (
	"math/big"
	"slices"
)

// HubChange is what a new revision changes for one value of the hub, or for the
// whole base without a hub.
type HubChange struct {
	Hub           string   // its name; "" without a hub
	Before, After *big.Int // complete choices; nil when the hub is new or gone, or past its bound
	Lost, Gained  []Option // values that some choice had or has, in the order of the fields
}

// Option is a value of a field by name: a number is written in digits.
type Option struct{ Field, Value string }

// Since tells what changed for each value of the hub since an earlier revision:
// how many complete choices there are, and which options were lost or gained.
// Values of the hub where nothing did are left out. Fields and values are the
// same when their codes are. A bound that was passed leaves a count out, and
// options as far as they could be ruled out.
func (c *Compiled) Since(before *Compiled) []HubChange {
	var all []HubChange
	for _, hub := range hubNames(before, c) {
		change := HubChange{Hub: hub, Before: before.countOf(hub), After: c.countOf(hub)}
		old, now := before.optionsOf(hub), c.optionsOf(hub)
		change.Lost, change.Gained = missing(old, now), missing(now, old)
		same := change.Before != nil && change.After != nil && change.Before.Cmp(change.After) == 0
		if change.Before == nil && change.After == nil {
			same = true
		}
		if !same || len(change.Lost)+len(change.Gained) > 0 {
			all = append(all, change)
		}
	}
	return all
}

func hubNames(revisions ...*Compiled) []string {
	var names []string
	for _, c := range revisions {
		if c.base.hub == None {
			names = append(names, "")
			continue
		}
		for h := range int32(len(c.byHub)) {
			names = append(names, c.Name(c.base.hub, h))
		}
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(names, func(name string) bool {
		again := seen[name]
		seen[name] = true
		return again
	})
}

// hubValue finds a value of the hub by name; 0 without a hub.
func (c *Compiled) hubValue(name string) (int32, bool) {
	if c.base.hub == None {
		return 0, name == ""
	}
	for h := range int32(len(c.byHub)) {
		if c.Name(c.base.hub, h) == name {
			return h, true
		}
	}
	return 0, false
}

func (c *Compiled) countOf(hub string) *big.Int {
	h, found := c.hubValue(hub)
	if !found {
		return nil
	}
	n, err := c.Count(h)
	if err != nil {
		return nil
	}
	return n
}

func (c *Compiled) optionsOf(hub string) []Option {
	h, found := c.hubValue(hub)
	if !found {
		return nil
	}
	picks := c.Picks()
	if c.base.hub != None {
		picks[c.base.hub] = h
	}
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	if err := a.Remaining(picks, left); err == ErrContradiction {
		return nil
	}
	var all []Option
	for f := range int32(len(c.base.fields)) {
		for v := range c.Each(left, f) {
			all = append(all, Option{c.Code(f), c.Name(f, v)})
		}
	}
	return all
}

func missing(of, in []Option) []Option {
	there := make(map[Option]bool, len(in))
	for _, o := range in {
		there[o] = true
	}
	var all []Option
	for _, o := range of {
		if !there[o] {
			all = append(all, o)
		}
	}
	return all
}
