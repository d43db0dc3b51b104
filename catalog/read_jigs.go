package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/unit"
)

// jigs checks the bending jigs.
func (r *reading) jigs() {
	entries(r.spot("jigs"), r.cat.Jigs, func(s spot, code string, j *Jig) {
		j.Code = code
		s = s.at(j.Pos)
		if len(j.Radii) == 0 {
			s.in("radii").fault("the jig has no radius", "write at least one")
		}
		s.radii(j.Radii)
		seen := []string{}
		for i, angle := range j.Angles {
			if angle < 1 || angle > 360*deg {
				s.in("angles").item(i).fault(fmt.Sprintf("nothing is bent by %s degrees", angle), "write 1 to 360")
			}
			seen = append(seen, fmt.Sprint(angle))
		}
		s.in("angles").twice(seen)
	})
}

func (s spot) radii(radii []unit.Length) {
	s = s.in("radii")
	for i, radius := range radii {
		s.item(i).above(radius)
		for _, other := range radii[:i] {
			if other == radius {
				s.item(i).fault(fmt.Sprintf("%s is listed twice", radius), "leave one out")
				break
			}
		}
	}
}

// jig checks a bend that is made on a jig.
func (r *productReading) jig(s spot, b branch, p *Part, run *Run) {
	if run.Jig == "" {
		return
	}
	s = s.in("jig")
	radius := run.Radius
	if run.Inside != nil {
		radius = run.Inside
	}
	if radius == nil {
		s.fault("a straight is made on no jig", "write it on a bend")
		return
	}
	if !s.known("jig", run.Jig, r.r.cat.Jigs.Keys()) {
		return
	}
	jig, _ := r.r.cat.Jigs.Get(run.Jig)
	r.r.use("jigs", run.Jig)
	if r.r.spot("jigs", run.Jig).unread() {
		return // what it bends to is not known in full
	}
	if jig.Inside != (run.Inside != nil) {
		by, other := "radius", "inside"
		if jig.Inside {
			by, other = other, by
		}
		s.fault(fmt.Sprintf("the radii of %s are those of %s, and the bend is given by %s", jig.Name, by, other), fmt.Sprintf("write the bend by %s, or another jig", by))
		return
	}
	if run.Angle != 0 && len(jig.Angles) > 0 && !slices.Contains(jig.Angles, run.Angle) {
		s.fault(fmt.Sprintf("%s does not bend by %s degrees", jig.Name, run.Angle), fmt.Sprintf("it bends by %s", listed(texts(jig.Angles))))
	}
	if radius.compiled == nil || len(jig.Radii) == 0 {
		return
	}
	if value, fixed := r.fixed(radius); fixed {
		if value.Length() > 0 && !slices.Contains(jig.Radii, value.Length()) {
			s.at(radius.Pos).fault(fmt.Sprintf("%s does not bend to a radius of %s", jig.Name, lengthText(value.Length(), r.scope.unit)), "it bends to "+jig.sizes(r.scope.unit))
		}
		return
	}
	made := &rule{jig: &jigPair{jig: jig, part: p, radius: radius.compiled, unit: r.scope.unit}}
	for _, when := range b.whens {
		made.jig.whens = append(made.jig.whens, when.compiled)
	}
	r.concerns(made)
	if !slices.ContainsFunc(r.scope.rules, func(other *rule) bool { return other.jig.same(made.jig) }) {
		r.scope.rules = append(r.scope.rules, made)
	}
}

func texts(numbers []Degrees) []string {
	list := make([]string, len(numbers))
	for i, n := range numbers {
		list[i] = fmt.Sprint(n)
	}
	return list
}
