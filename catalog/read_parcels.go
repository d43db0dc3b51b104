package catalog

import (
	"fmt"
)

func (s spot) parcel(code string, p *Parcel) {
	s.code("parcel", code)
	s.in("heaviest").weight(p.Heaviest)
	s.in("longest").above(p.Longest)
	s.in("length_and_girth").above(p.Girth)
	if s.in("length_and_girth").unread() || s.in("longest").unread() {
		return
	}
	if p.Girth > 0 && p.Girth < p.Longest {
		s.in("length_and_girth").fault(fmt.Sprintf("length and girth of %s are less than the longest side of %s", p.Girth, p.Longest), "write the longest side and twice the two others together")
	}
	s = s.in("rules")
	if len(p.Rules) == 0 {
		s.fault("no rule says what a parcel is billed as", "write at least one")
	}
	for i, rule := range p.Rules {
		s := s.item(i)
		s.in("sides").in("to").above(rule.Sides.To)
		s.in("weights_to").weight(rule.Weights)
		if i > 0 && !p.Rules[i-1].From.Before(rule.From) {
			s.in("from").fault(fmt.Sprintf("%s is not after %s of the rule before it", rule.From, p.Rules[i-1].From), "write the rules from the oldest")
		}
	}
}

func (s spot) pallet(code string, p *Pallet) {
	s.code("pallet", code)
	switch {
	case (p.Length == nil) != (p.Width == nil):
		s.fault("only one side of the deck is given", "write length and width, or neither for a skid that is made to size")
	case p.Length != nil:
		s.in("length").above(*p.Length)
		s.in("width").above(*p.Width)
	}
	if (p.Weight == nil) == (p.ByArea == nil) {
		given := []string{}
		if p.Weight != nil {
			given = []string{"weight", "weight_by_area"}
		}
		s.exactly(given, []string{"weight", "weight_by_area"})
	}
	if p.Weight != nil && *p.Weight < 0 {
		s.in("weight").fault(fmt.Sprintf("the weight %s is less than zero", p.Weight), "")
	}
	s.in("height").notBelow(p.Height)
	s.in("load").weight(p.Load)
	if highest := s.in("highest"); !highest.unread() && p.Highest <= p.Height {
		highest.fault(fmt.Sprintf("%s leaves no room over a pallet of %s", p.Highest, p.Height), "write the height of the loaded pallet, the pallet included")
	}
}
