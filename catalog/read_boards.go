package catalog

import (
	"fmt"
	"slices"
)

func (r *reading) boards() {
	entries(r.spot("boards"), r.cat.Boards, func(s spot, code string, x *Board) {
		x.Code = code
		s = s.at(x.Pos)
		s.in("length_gain").notBelow(x.LengthGain)
		s.in("depth_gain").notBelow(x.DepthGain)
		s.in("joint").above(x.Joint)
		if x.Caliper != nil {
			s.in("caliper").above(*x.Caliper)
		}
		if x.Caliper == nil && slices.ContainsFunc(x.Grades, func(g BoardGrade) bool { return g.Crush != nil }) {
			s.fault("grades have an edge crush strength and the board no thickness, so that no stack can be reckoned", "write the board's caliper")
		}
		s.grades(x.Grades)
		s.buying(x.Buy, Pieces)
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
		s.sheets(g.Sheets, false)
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
