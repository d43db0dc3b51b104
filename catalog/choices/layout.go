package choices

import "encoding/binary"

// layout lays the nodes that a diagram needs into its arrays, each part's in a
// row and what a node leads to before it.
type layout struct {
	*compiler
	d     *diagram
	at    map[int32]int32 // where a draft's node is
	freed map[string]int32
}

func (c *compiler) write(d *diagram, roots []int32) {
	l := &layout{compiler: c, d: d, at: map[int32]int32{leaf: leaf}, freed: map[string]int32{}}
	d.nodes = append(d.nodes, node{field: None})
	for range c.base.fields {
		d.partOf = append(d.partOf, None)
	}
	for _, root := range roots {
		from := int32(len(d.nodes))
		l.place(root)
		s := span{from: from, end: int32(len(d.nodes))}
		ones(c.drafts[root].vars, func(f int32) {
			s.fields = append(s.fields, f)
			d.partOf[f] = int32(len(d.parts))
		})
		d.parts = append(d.parts, s)
	}
}

func (l *layout) place(n int32) int32 {
	if at, done := l.at[n]; done {
		return at
	}
	d := &l.drafts[n]
	for _, kid := range d.kids {
		l.place(kid)
	}
	for i := range d.arcs {
		l.place(d.arcs[i].child)
	}
	at := int32(len(l.d.nodes))
	l.at[n] = at
	if d.field == None {
		from := int32(len(l.d.kids))
		for _, kid := range d.kids {
			l.d.kids = append(l.d.kids, l.at[kid])
		}
		l.d.nodes = append(l.d.nodes, node{None, from, int32(len(l.d.kids))})
		return at
	}
	from := int32(len(l.d.arcs))
	for i := range d.arcs {
		l.d.arcs = append(l.d.arcs, l.arc(d, &d.arcs[i]))
	}
	l.d.nodes = append(l.d.nodes, node{d.field, from, int32(len(l.d.arcs))})
	return at
}

func (l *layout) arc(d *draft, a *draftArc) arc {
	out := arc{mask: a.mask[0], child: l.at[a.child]}
	if l.d.isWide(d.field) {
		out.mask = uint64(len(l.d.wide))
		l.d.wide = append(l.d.wide, a.mask...)
	}
	below := l.drafts[a.child].vars
	free := make([]uint64, len(d.vars))
	for i, w := range d.vars {
		free[i] = w &^ below[i]
	}
	free[d.field>>6] &^= 1 << (uint(d.field) & 63)
	if !empty(free) {
		out.freed = l.set(free)
	}
	return out
}

func (l *layout) set(fields []uint64) int32 {
	var key []byte
	for _, w := range fields {
		key = binary.LittleEndian.AppendUint64(key, w)
	}
	at, found := l.freed[string(key)]
	if !found {
		l.d.freed = append(l.d.freed, fields...)
		at = int32(len(l.d.freed) / l.d.words)
		l.freed[string(key)] = at
	}
	return at
}

// freedBy gives the fields that an arc leaves to be anything.
func (d *diagram) freedBy(a *arc) []uint64 {
	if a.freed == 0 {
		return nil
	}
	end := int(a.freed) * d.words
	return d.freed[end-d.words : end]
}
