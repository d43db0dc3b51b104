package catalog

import (
	"fmt"
	"slices"
)

// leaf checks the wood top that a leaf extends. What the leaf is made of is
// noted where the top is read.
func (r *productReading) leaf(b branch, p *Part) {
	s, leaf := b.s, p.Leaf
	r.lengths(s, namedExpr{"width", &leaf.Width})
	var woods []string
	for path, part := range r.parts { // the parts read so far stand above
		if part.Wood != nil {
			woods = append(woods, path)
		}
	}
	slices.Sort(woods)
	if !s.in("of").known("wood part above", leaf.Of, woods) {
		return
	}
	leaf.top = r.parts[leaf.Of]
	if shape := leaf.top.Wood.Outline().Shape; shape != Rectangle && !leaf.top.Wood.Halves {
		s.in("of").fault(fmt.Sprintf("%s is of the shape %s in one piece, which a leaf cannot be joined to", leaf.Of, shape),
			"make the top of two halves that part for the leaves, halves: yes")
	}
}
