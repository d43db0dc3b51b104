package catalog

import (
	"fmt"
)

func (r *reading) boards() {
	entries(r.spot("boards"), r.cat.Boards, func(s spot, code string, x *Board) {
		x.Code = code
		s = s.at(x.Pos)
		s.in("length_gain").notBelow(x.LengthGain)
		s.in("depth_gain").notBelow(x.DepthGain)
		s.in("joint").above(x.Joint)
		s.grades(x.Grades)
	})
}

// grades checks that grades rise, since the first that holds is taken.
func (s spot) grades(grades []BoardGrade) {
	s = s.in("grades")
	if len(grades) == 0 {
		s.fault("the board has no grades", "write at least one")
	}
	for i, g := range grades {
		s := s.item(i)
		s.in("united").above(g.United)
		if g.Gross <= 0 {
			s.in("gross").fault(fmt.Sprintf("the weight %s is not more than zero", g.Gross), "")
		}
		if i == 0 {
			continue
		}
		before := grades[i-1]
		if g.Gross < before.Gross || g.United < before.United || g.Gross == before.Gross && g.United == before.United {
			s.fault(fmt.Sprintf("%s holds no more than %s before it", g.Grade, before.Grade), "write the grades from weak to strong")
		}
	}
}

// freight checks that the scale rises and ends open.
func (r *reading) freight() {
	f := r.cat.Freight
	if len(f.Classes) == 0 {
		return
	}
	s := r.spot("freight").at(f.Pos)
	if f.Source == "" {
		s.in("source").fault("a density scale without its source", "write where it is published")
	}
	if f.From == nil {
		s.in("from").fault("a density scale without the day from which it holds", "write its first day, such as 2025-07-19")
	}
	s = s.in("classes")
	last := len(f.Classes) - 1
	for i, class := range f.Classes {
		s := s.item(i)
		switch {
		case i == last && class.Below != nil:
			s.in("below").fault("the last step has a limit, so that nothing holds what is denser", "leave it out")
		case i < last && class.Below == nil:
			s.fault(fmt.Sprintf("class %s has no limit, so that the steps after it are never reached", class.Class), "write the density below which it holds")
		case i > 0 && i < last && f.Classes[i-1].Below != nil && class.Below.Ratio().Cmp(f.Classes[i-1].Below.Ratio()) <= 0:
			s.in("below").fault(fmt.Sprintf("the limit of class %s is not above that of class %s before it", class.Class, f.Classes[i-1].Class), "write the steps from the lightest")
		}
	}
}
