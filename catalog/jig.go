package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Jig is a bending jig. What is bent on it can have no other radius.
type Jig struct {
	Code   string        `yaml:"-"`
	Name   string        `yaml:"name,required" doc:"Name as the shop says it."`
	Radii  []unit.Length `yaml:"radii,required" doc:"Radii that it bends to, on the centre line unless inside says otherwise."`
	Inside bool          `yaml:"inside" doc:"yes for a die whose radii are those of the inside of the bend; it then takes bends by inside, and otherwise those by radius."`
	Angles []Degrees     `yaml:"angles" doc:"Angles that it bends to, in whole or half degrees; without them, any."`
	Pos    source.Pos    `yaml:"-"`
}

// jigPair is the rule that follows from the jig a bend is made on.
type jigPair struct {
	jig    *Jig
	part   *Part
	whens  []*formula.Formula // conditions under which the part exists
	radius *formula.Formula
	unit   unit.EntryUnit // in which its sentence names lengths
}

// judge holds for a part that does not exist.
func (j *jigPair) judge(env []formula.Value) (verdict, error) {
	for _, when := range j.whens {
		exists, err := when.Eval(env)
		if err != nil {
			return unreckoned, err
		}
		if !exists.Bool() {
			return holds, nil
		}
	}
	radius, err := j.radius.Eval(env)
	if err != nil {
		return unreckoned, err
	}
	if slices.Contains(j.jig.Radii, radius.Length()) {
		return holds, nil
	}
	return broken, nil
}

func (j *jigPair) sentence(env []formula.Value) string {
	radius, _ := j.radius.Eval(env)
	u := oneUnit(oneUnit(j.unit, j.jig.Radii...), radius.Length())
	return fmt.Sprintf("%s is bent to a radius of %s, and %s bends to %s only.", partName(j.part), lengthText(radius.Length(), u), j.jig.Name, j.jig.sizes(u))
}

// sizes lists the radii of a jig.
func (j *Jig) sizes(u unit.EntryUnit) string {
	u = oneUnit(u, j.Radii...)
	list := make([]string, len(j.Radii))
	for i, radius := range j.Radii {
		list[i] = lengthText(radius, u)
	}
	return listed(list)
}

// same tells that two bends of a part follow the same rule.
func (j *jigPair) same(other *jigPair) bool {
	return j != nil && other != nil && j.jig == other.jig && j.part == other.part && j.radius.Text() == other.radius.Text()
}
