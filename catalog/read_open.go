package catalog

import (
	"fmt"
)

// open checks what is said of an open choice once its values are known.
func (s spot) open(a *Attribute) {
	open := a.Choose.Open
	if open == nil {
		return
	}
	s = s.in("open").at(open.Pos)
	if open.Longest < 1 || open.Longest > 2000 {
		s.in("longest").fault(fmt.Sprintf("%d characters", open.Longest), "write 1 to 2000")
	}
	if s.in("reckoned_as").known("value", open.ReckonedAs, a.codes()) {
		open.as, _ = a.find(open.ReckonedAs)
	}
	if open.Hold == "" {
		s.needsHold(PlacedOpenChoice, "no kind of hold is named")
		open.kind, _ = s.r.cat.HoldPlaced(PlacedOpenChoice)
		return
	}
	if s.in("hold").known("kind of hold", open.Hold, s.r.cat.Holds.Keys()) {
		open.kind, _ = s.r.cat.Holds.Get(open.Hold)
	}
}

// openRules are the rules of what may be picked beside something unlisted, one
// for each attribute, so that each has its own finding.
func (r *productReading) openRules() {
	for _, a := range r.scope.attributes {
		if a.Choose == nil || a.Choose.Open == nil {
			continue
		}
		s := r.s.in("attributes").in(a.Code).in("choose").in("open").at(a.Choose.Open.Pos).in("where")
		for _, t := range r.conditions(s, a.Choose.Open.Where) {
			if t.attribute == a {
				s.in(a.Code).fault("the attribute itself is what is unlisted", "name other attributes only")
				continue
			}
			made := &rule{says: a.Choose.Open.Says, allow: []test{t}, open: a}
			r.concerns(made)
			r.scope.rules = append(r.scope.rules, made)
		}
	}
}
