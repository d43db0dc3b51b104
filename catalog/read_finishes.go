package catalog

import (
	"fmt"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

func (r *reading) finishes() {
	entries(r.spot("metal_finishes"), r.cat.MetalFinishes, func(s spot, code string, x *Finish) {
		x.Code = code
		s = s.at(x.Pos)
		s.withdrawal("metal_finishes", code, x.LastOrder, x.Successor)
		if x.Says != "" {
			s.in("says").fault("a metal finish goes on steel, so that it cannot be picked for the wrong species", "leave it out")
		}
		if len(x.On) > 0 {
			s.in("on").fault("a metal finish goes on steel, not on species", "leave it out")
		}
		s.steps(x.Steps, "powder", "liquid")
	})
	entries(r.spot("wood_finishes"), r.cat.WoodFinishes, func(s spot, code string, x *Finish) {
		x.Code = code
		s = s.at(x.Pos)
		s.withdrawal("wood_finishes", code, x.LastOrder, x.Successor)
		s.on(x.On)
		s.steps(x.Steps, "liquid")
	})
}

// on checks the species that a wood finish may go on.
func (s spot) on(species []source.Text) {
	s = s.in("on")
	if len(species) == 0 {
		s.fault("the finish says no species that it may go on", "list them, so that no pair without steps can be ordered")
	}
	s.twice(values(species))
	for _, one := range species {
		if !s.at(one.Pos).from("species", one.Value) {
			s.r.finishOnUnknown = true
		}
	}
}

// steps checks the steps of a finish, of which there must be one at least:
// what is ordered with it would otherwise go to the shop without work on it.
func (s spot) steps(steps []FinishStep, kinds ...string) {
	s = s.in("steps")
	if len(steps) == 0 {
		s.fault("the finish has no steps", "write at least one")
	}
	for i, step := range steps {
		s := s.item(i).at(step.Pos)
		s.in("minutes").time(step.Minutes)
		s.in("minutes_per_ft2").time(step.PerArea)
		s.in("wait_hours").time(step.WaitHours)
		if step.Coating != "" && s.in("coating").from("coatings", step.Coating) {
			s.in("coating").kindOf(step.Coating, kinds)
		}
	}
}

func (s spot) kindOf(code string, kinds []string) {
	coating, _ := s.r.cat.Coatings.Get(code)
	for _, kind := range kinds {
		if coating.Kind == kind || coating.Kind == "" {
			return
		}
	}
	s.fault(fmt.Sprintf("%s is a %s, and wood is finished with a %s", code, coating.Kind, listed(kinds)), "")
}

func (s spot) time(t unit.Ratio) {
	if t.Sign() < 0 {
		s.fault(fmt.Sprintf("%s is less than zero", t), "")
	}
}
