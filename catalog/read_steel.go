package catalog

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
	s.in("work").operations(p.Work, p.goesBy())
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
		r.mitred(s, p.Mitred, section)
	case "ring":
		r.lengths(s, namedExpr{"outside", &p.Ring.Outside})
	case "bent":
		b.s = s
		r.bent(b, part, section)
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
