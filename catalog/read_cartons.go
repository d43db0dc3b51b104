package catalog

import (
	"fmt"
	"maps"
	"slices"
	"strings"

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
		r.inside(s, c)
		if c.Handling != "" {
			s.in("handling").from("handling", c.Handling)
			r.r.use("handling", c.Handling)
		}
		s.in("lift").lifted(c.Lift)
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

// lifted checks the lift that a carton or a part names.
func (s spot) lifted(code string) {
	if code == "" {
		return
	}
	s.from("lifts", code)
	s.r.use("lifts", code)
}

// inside checks how the inside of a carton is given.
func (r *productReading) inside(s spot, c *Carton) {
	sides := []namedExpr{{"length", c.Length}, {"width", c.Width}, {"depth", c.Depth}}
	if c.Envelope != nil {
		for _, side := range sides {
			if side.expr != nil {
				s.in(side.name).fault(fmt.Sprintf("the envelope gives the %s already", side.name), "leave it out, or write length, width and depth and no envelope")
			}
		}
		r.envelope(s.in("envelope").at(c.Envelope.Pos), c)
		return
	}
	for _, side := range sides {
		if side.expr == nil && !s.in(side.name).unread() {
			s.fault(fmt.Sprintf("the key %q is missing", side.name), "write length, width and depth of the inside, or an envelope")
		}
	}
	r.lengths(s, sides...)
}

// envelope checks how packed parts lie in a carton, and that the room that each
// takes can be told.
func (r *productReading) envelope(s spot, c *Carton) {
	e := c.Envelope
	r.lengths(s, namedExpr{"cushioning", &e.Cushioning}, namedExpr{"between", e.Between})
	known := len(r.r.decoded) > 0
	entries(s.in("sizes"), e.Sizes, func(s spot, path string, size *EnvelopeSize) {
		known = true
		s = s.at(size.Pos)
		r.lengths(s, namedExpr{"length", &size.Length}, namedExpr{"width", &size.Width}, namedExpr{"depth", &size.Depth})
		r.pieces(s.in("pieces"), size.Pieces)
		if s.known("part", path, slices.Sorted(maps.Keys(r.parts))) && !packed(path, c.Packs) {
			s.fault(fmt.Sprintf("the carton does not pack %s", path), "name it under packs, or leave its size out")
		}
	})
	for _, pack := range c.Packs {
		if part := r.parts[pack.Value]; part != nil {
			known = r.room(s.at(pack.Pos), part, e) || known
		}
	}
	if !known {
		s.fault("nothing that is packed has a size", "write under sizes what room it takes")
	}
}

// packed tells that a part, or a group that it is in, is packed.
func packed(path string, packs []source.Text) bool {
	return slices.ContainsFunc(packs, func(pack source.Text) bool {
		return path == pack.Value || strings.HasPrefix(path, pack.Value+"/")
	})
}

// room tells whether something of a part takes room, and faults steel of which
// no size is written, of itself or of a group around it.
func (r *productReading) room(s spot, p *Part, e *Envelope) (takes bool) {
	if _, sized := e.Sizes.Get(p.Path); sized {
		return true
	}
	if p.Steel != nil {
		s.fault(fmt.Sprintf("%s is of steel, and no row of the bill tells what room it takes", p.Path), "write under sizes how large it, or the group that it is welded into, is over all")
		return true
	}
	takes = p.Wood != nil || p.Glass != nil || p.Stone != nil || p.Cushion != nil
	for _, part := range p.Parts.All() {
		takes = r.room(s, part, e) || takes
	}
	return takes
}
