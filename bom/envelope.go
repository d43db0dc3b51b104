package bom

import (
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// The inside of a carton from what is packed.
//
//	stacked       largest length x largest width x (sum of thicknesses + pads)
//	side by side  largest length x (sum of widths + pads) x largest thickness
//	inside        = that + 2 · cushioning on each side
//
// with a pad between one piece and the next. Wood, glass, stone and cushions lie
// as their rows say; hardware lies in the gaps. Whatever else is packed has the
// size that the catalog writes for it.
//
// Worked: two panes of 20 x 14 x 1/4 in with a 1/8 in pad and 2 in of cushioning
// take 24 x 18 x (2·1/4 + 1/8 + 4) = 4 5/8 in.

// room is what each of some like pieces takes in a carton.
type room struct {
	path   string
	sides  [3]unit.Length // length, width, thickness
	pieces int
}

// inside gives the inside length, width and depth of a carton.
func (r *reckoning) inside(path string, c *catalog.Carton) (sides [3]unit.Length, ok bool) {
	if c.Envelope != nil {
		return r.enveloped(path, c)
	}
	length, okLength := r.length(path, "inside length", c.Length)
	width, okWidth := r.length(path, "inside width", c.Width)
	depth, okDepth := r.length(path, "inside depth", c.Depth)
	return [3]unit.Length{length, width, depth}, okLength && okWidth && okDepth
}

func (r *reckoning) enveloped(path string, c *catalog.Carton) (sides [3]unit.Length, ok bool) {
	e := c.Envelope
	cushioning, ok := r.length(path, "cushioning", &e.Cushioning)
	between := unit.Length(0)
	if e.Between != nil && ok {
		between, ok = r.length(path, "pad between", e.Between)
	}
	rooms, known := r.rooms(path, c)
	if !ok || !known {
		return sides, false
	}
	if len(rooms) == 0 {
		r.refuse("carton.empty", path, "nothing that this configuration packs has a size: write its size under the envelope, or let the carton exist only with what it packs")
		return sides, false
	}
	whole := packed(rooms, e.Lay == "side by side", between)
	for i, name := range []string{"length", "width", "depth"} {
		sides[i] = whole[i] + 2*cushioning
		if r.trace {
			r.note(path, "inside "+name, "%s of what is packed + 2 x %s cushioning = %s", whole[i], cushioning, sides[i])
		}
		if sides[i] > unit.MaxEntry {
			r.refuse("size.too-large", path, "the packed envelope is beyond anything that is made")
			return sides, false
		}
	}
	return sides, true
}

// packed is what pieces take together, as they lie: stacked, or side by side;
// between lies between one and the next. The sides are length, width, depth.
func packed(rooms []room, beside bool, between unit.Length) (sides [3]unit.Length) {
	along := 2 // the side that adds up
	if beside {
		along = 1
	}
	pieces := 0
	for _, room := range rooms {
		for i, side := range room.sides {
			if i != along {
				sides[i] = max(sides[i], side)
			}
		}
		sides[along] += room.sides[along] * unit.Length(room.pieces)
		pieces += room.pieces
	}
	sides[along] += between * unit.Length(pieces-1)
	return sides
}

// rooms are the pieces that a carton packs, in the order of packs.
func (r *reckoning) rooms(path string, c *catalog.Carton) (rooms []room, ok bool) {
	ok = true
	for _, pack := range c.Packs {
		for sized, size := range c.Envelope.Sizes.All() {
			if !within(sized.Value, pack.Value) || !r.weighs(sized.Value) {
				continue
			}
			one, known := r.sized(path, sized.Value, size)
			ok = ok && known
			if known && one.pieces > 0 {
				rooms = append(rooms, one)
			}
		}
		for _, one := range r.rowRooms(pack.Value) {
			if !r.sizedAbove(one.path, c.Envelope) {
				rooms = append(rooms, one)
			}
		}
	}
	if r.trace {
		for _, one := range rooms {
			r.note(path, "packed "+one.path, "%d of %s x %s x %s", one.pieces, one.sides[0], one.sides[1], one.sides[2])
		}
	}
	return rooms, ok
}

// within tells that a path is that of a part or of something below it.
func within(path, part string) bool {
	return path == part || strings.HasPrefix(path, part+"/")
}

// weighs tells that a part, or anything below it, is in this configuration.
func (r *reckoning) weighs(part string) bool {
	for _, list := range [][]weighed{r.weights, r.shadowed} {
		for _, w := range list {
			if within(w.path, part) {
				return true
			}
		}
	}
	return false
}

// sizedAbove tells that the catalog writes the size of a part or of a group
// around it.
func (r *reckoning) sizedAbove(path string, e *catalog.Envelope) bool {
	for sized := range e.Sizes.All() {
		if within(path, sized.Value) {
			return true
		}
	}
	return false
}

func (r *reckoning) sized(path, part string, size *catalog.EnvelopeSize) (one room, ok bool) {
	one = room{path: part, pieces: 1}
	ok = true
	for i, side := range []struct {
		name string
		expr *catalog.Expr
	}{{" length", &size.Length}, {" width", &size.Width}, {" depth", &size.Depth}} {
		l, known := r.length(path, part+side.name, side.expr)
		one.sides[i], ok = l, ok && known
	}
	if size.Pieces != nil {
		n, known := r.count(path, part+" pieces", size.Pieces)
		one.pieces, ok = n, ok && known
	}
	return one, ok
}

// rowRooms are the wood, glass, stone and cushions of a part and all below it.
func (r *reckoning) rowRooms(part string) (rooms []room) {
	for i := range r.bill.Wood {
		if w := &r.bill.Wood[i]; within(w.Path, part) {
			rooms = append(rooms, room{w.Path, [3]unit.Length{w.Length, max(w.Width, w.EndWidth), w.Thickness}, w.Each})
		}
	}
	for i := range r.bill.Glass {
		if g := &r.bill.Glass[i]; within(g.Path, part) {
			rooms = append(rooms, room{g.Path, [3]unit.Length{g.Length, max(g.Width, g.EndWidth), g.Thickness}, g.Each})
		}
	}
	for i := range r.bill.Stone {
		if s := &r.bill.Stone[i]; within(s.Path, part) {
			rooms = append(rooms, room{s.Path, [3]unit.Length{s.Length, max(s.Width, s.EndWidth), s.Thickness}, s.Each})
		}
	}
	for i := range r.bill.Cushions {
		if c := &r.bill.Cushions[i]; within(c.Path, part) {
			rooms = append(rooms, room{c.Path, [3]unit.Length{c.Length, c.Width, c.Height}, c.Each})
		}
	}
	return rooms
}
