package catalog

import "fmt"

// steelShapes are the keys of a steel part's shapes, in the order people read
// them in.
var steelShapes = []string{"straight", "mitred", "ring", "bent", "hoop", "scroll", "drawn", "upset", "twisted"}

func (r *productReading) steel(b branch, part *Part) {
	s, p := b.s, part.Steel
	s.in("section").from("sections", p.Section)
	r.fixedTo(b, part, "sections", p.Section)
	given := []string{}
	for i, is := range []bool{p.Straight != nil, p.Mitred != nil, p.Ring != nil, p.Bent != nil,
		p.Hoop != nil, p.Scroll != nil, p.Drawn != nil, p.Upset != nil, p.Twisted != nil} {
		if is {
			given = append(given, steelShapes[i])
			r.steelShape(steelShapes[i], b, part)
		}
	}
	if len(given) != 1 {
		s.exactly(given, steelShapes)
	}
	s.forging(p)
	r.splice(s, p)
	for i, work := range p.Work {
		s.in("work").item(i).in("minutes").time(work.Minutes)
	}
}

// steelShape checks one shape that is given.
func (r *productReading) steelShape(shape string, b branch, part *Part) {
	s, p := b.s, part.Steel
	section, _ := r.r.cat.Sections.Get(p.Section)
	s.shapedFrom(shape, section)
	s = s.in(shape)
	switch shape {
	case "straight":
		r.lengths(b.s, namedExpr{"straight", &p.Straight.Length})
	case "mitred":
		r.mitred(s, p.Mitred)
	case "ring":
		r.lengths(s, namedExpr{"outside", &p.Ring.Outside})
	case "bent":
		b.s = s.in("runs")
		r.bent(b, part)
	case "hoop":
		r.hoop(s, b, part)
	case "scroll":
		r.scroll(s, p.Scroll)
	case "drawn":
		r.drawn(s, p.Drawn, section)
	case "upset":
		r.upset(s, p.Upset, section)
	case "twisted":
		r.twisted(s, p.Twisted)
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
