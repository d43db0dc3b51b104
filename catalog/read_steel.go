package catalog

import (
	"fmt"
)

func (r *productReading) steel(b branch, part *Part) {
	s, p := b.s, part.Steel
	s.in("section").from("sections", p.Section)
	r.fixedTo(b, part, "sections", p.Section)
	given := []string{}
	if p.Straight != nil {
		given = append(given, "straight")
		r.lengths(s, namedExpr{"straight", &p.Straight.Length})
	}
	if p.Mitred != nil {
		given = append(given, "mitred")
		r.mitred(s.in("mitred"), p.Mitred)
	}
	if p.Ring != nil {
		given = append(given, "ring")
		r.lengths(s.in("ring"), namedExpr{"outside", &p.Ring.Outside})
		if section, found := r.r.cat.Sections.Get(p.Section); found && section.Shape == "angle" {
			s.in("section").fault(fmt.Sprintf("%s is an angle, which is not rolled to a ring here", p.Section), "a ring is of round, square or flat bar, or of tube")
		}
	}
	if p.Bent != nil {
		given = append(given, "bent")
		b.s = s.in("bent").in("runs")
		r.bent(b, part)
	}
	if len(given) != 1 {
		s.exactly(given, []string{"straight", "mitred", "ring", "bent"})
	}
	for i, work := range p.Work {
		s.in("work").item(i).in("minutes").time(work.Minutes)
	}
}

func (r *productReading) mitred(s spot, m *Mitred) {
	r.lengths(s, namedExpr{"long_point", &m.LongPoint})
	s.in("across").above(m.Across)
	for _, end := range []struct {
		name  string
		angle int
	}{{"first", m.First}, {"second", m.Second}} {
		if end.angle < 0 || end.angle > 60 {
			s.in(end.name).fault(fmt.Sprintf("an end cannot be cut %d degrees off square", end.angle), "write 0 to 60")
		}
	}
	if m.First == 0 && m.Second == 0 {
		s.fault("both ends are square", "write it as straight, or the angle of an end under first or second")
	}
}

// bent checks that straights and bends follow one another.
func (r *productReading) bent(b branch, part *Part) {
	bends, runs := 0, part.Steel.Bent.Runs
	for i, run := range runs {
		s := b.s.item(i)
		isBend := run.Angle != 0 || run.Radius != nil
		switch {
		case isBend == (run.Straight != nil):
			s.fault("a run is a straight, or an angle with its radius", "write exactly one of the two")
		case !isBend && i > 0 && runs[i-1].Straight != nil:
			s.fault("two straights follow one another", "write them as one")
		case isBend && run.Radius == nil:
			s.fault("a bend needs its centre-line radius", "")
		case isBend && (run.Angle < 1 || run.Angle > 360):
			s.in("angle").fault(fmt.Sprintf("nothing is bent by %d degrees", run.Angle), "write 1 to 360")
		}
		if isBend {
			bends++
		}
		r.lengths(s, namedExpr{"straight", run.Straight}, namedExpr{"radius", run.Radius})
		r.jig(s, b, part, &run)
	}
	if bends == 0 {
		b.s.fault("nothing is bent", "write a straight piece as straight")
	}
}
