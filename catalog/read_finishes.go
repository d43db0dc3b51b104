package catalog

import (
	"fmt"

	"billwright/catalog/formula"
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
	for i := range steps {
		step := &steps[i]
		s := s.item(i).at(step.Pos)
		if step.Coating != "" && s.in("coating").from("coatings", step.Coating) {
			s.in("coating").kindOf(step.Coating, kinds)
		}
		s.times(step, i+1 == len(steps))
		s.coats(step)
	}
}

// times checks what a step takes and what it waits for.
func (s spot) times(step *FinishStep, last bool) {
	for _, one := range []struct {
		name string
		time unit.Ratio
	}{
		{"minutes", step.Minutes}, {"minutes_per_ft2", step.PerArea}, {"minutes_per_m2", step.PerMetre},
		{"flash_minutes", step.Flash}, {"handle_hours", step.Handle}, {"wait_hours", step.WaitHours},
	} {
		s.in(one.name).time(one.time)
	}
	if step.PerArea.Sign() != 0 && step.PerMetre.Sign() != 0 {
		s.in("minutes_per_m2").fault("minutes_per_ft2 is given too", "leave one of the two out")
	}
	if step.Handle.Sign() > 0 && !last {
		s.in("handle_hours").fault("another step follows, which waits for the coat and not for its handling", "write wait_hours or recoat here, and handle_hours on the last step")
	}
	if c := step.Cure; c != nil {
		s.in("cure").cure(c)
	}
}

// hottest is a bound for entries alone: no finish is cured at red heat.
const hottest = 600

func (s spot) cure(c *Cure) {
	s.in("minutes").time(c.Minutes)
	if c.Minutes.Sign() == 0 {
		s.in("minutes").fault("0 is not more than zero", "")
	}
	if c.At.Celsius() <= 0 || c.At.Celsius() > hottest {
		s.in("at").fault("no finish is cured at that temperature", fmt.Sprintf("write more than 0 C and up to %d C, such as 400 F", hottest))
	}
}

// mostCoats bounds the coats of one step.
const mostCoats = 20

// coats checks what only a step with a coating may have.
func (s spot) coats(step *FinishStep) {
	if step.Coats < 0 || step.Coats > mostCoats {
		s.in("coats").fault(fmt.Sprintf("%d coats", step.Coats), fmt.Sprintf("write 1 to %d", mostCoats))
	}
	if step.Coating == "" {
		for _, one := range []struct {
			name string
			is   bool
		}{{"coats", step.Coats != 0}, {"flash_minutes", step.Flash.Sign() > 0}, {"recoat", step.Recoat != nil}} {
			if one.is {
				s.in(one.name).fault("the step puts nothing on", "name its coating, or leave this out")
			}
		}
	}
	if step.Recoat != nil {
		s.in("recoat").at(step.Recoat.Pos).recoat(step.Recoat)
	}
}

func (s spot) recoat(r *Recoat) {
	s.in("from").time(r.From)
	if r.To != nil {
		s.in("to").time(*r.To)
	}
	switch {
	case r.To != nil && r.To.Cmp(r.From) <= 0:
		s.in("to").fault(fmt.Sprintf("the window closes %s h after the coat and opens %s h after it", r.To, r.From), "write more hours than under from, or leave it out where the window does not close")
	case r.To == nil && r.Overrun != "":
		s.in("overrun").fault("a window that does not close is never overrun", "write under to when it closes, or leave this out")
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

// longest bounds entries of time, in minutes or hours, so that sums of them over
// all pieces of an order stay far from overflow.
const longest = 100_000

func (s spot) time(t unit.Ratio) {
	switch {
	case t.Sign() < 0:
		s.fault(fmt.Sprintf("%s is less than zero", t), "")
	case t.Cmp(unit.RatioOf(longest)) > 0:
		s.fault(fmt.Sprintf("%s is beyond anything that is worked or waited for", t), fmt.Sprintf("write up to %d", longest))
	}
}

// match checks the name of a part's match set: only what is finished is
// finished together.
func (r *productReading) match(b *branch, p *Part) {
	s := b.s.in("match")
	if p.Match != nil && p.Wood == nil && p.MetalFinish == nil {
		s.fault("the part is not finished", "write it on a wood part, or on the group that has a metal_finish")
	}
	r.known.compile(s, p.Match, formula.Text)
}
