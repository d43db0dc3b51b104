package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// boards checks the boards that a carton may be of, in order of preference.
func (s spot) boards(codes []source.Text) {
	s = s.in("board")
	if len(codes) == 0 {
		s.fault("no board is named", "write at least one")
	}
	s.twice(values(codes))
	for _, code := range codes {
		s.at(code.Pos).from("boards", code.Value)
		s.r.use("boards", code.Value)
	}
}

// cartons checks how the product is boxed.
func (r *productReading) cartons() {
	paths := make([]string, 0, len(r.parts))
	for path := range r.parts {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	entries(r.s.in("cartons"), r.p.Cartons, func(s spot, code string, c *Carton) {
		c.Code = code
		r.use("carton")
		s = s.at(c.Pos)
		s.code("carton", code)
		r.known.compile(s.in("when"), c.When, formula.Bool)
		s.boards(c.Board)
		r.lengths(s, namedExpr{"length", &c.Length}, namedExpr{"width", &c.Width}, namedExpr{"depth", &c.Depth})
		if c.Packing < 0 {
			s.in("packing").fault(fmt.Sprintf("the weight %s is less than zero", c.Packing), "")
		}
		s = s.in("packs")
		if len(c.Packs) == 0 {
			s.fault("nothing is packed in the carton", "name at least one part")
		}
		s.twice(values(c.Packs))
		for _, path := range c.Packs {
			s.at(path.Pos).known("part", path.Value, paths)
		}
	})
}
