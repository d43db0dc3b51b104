package choices

// Asker asks questions of a compiled base. It keeps the room that answers need,
// so that asking allocates nothing; one goroutine uses it at a time.
type Asker struct {
	c        *Compiled
	class    []int32  // of each field's pick in the diagram at hand, or None
	allow    []uint64 // the classes allowed of a field with up to 64
	alive    []uint8  // by node: something below it keeps the picks
	reach    []uint8  // by node: something above it does
	acc      []uint64 // the classes found, as a vector of all fields' classes
	freed    []uint64 // the fields found to be anything
	found    []uint64 // values, as a vector of all fields
	board    *board   // of the exact search; nil until it is needed
	root     int      // its mark with all rules and no pick
	possible bool     // there may be a choice at all
	proofs   *refuter
	best     []int64
}

// Asker gives an asker; Done gives it back for others to use.
func (c *Compiled) Asker() *Asker { return c.askers.Get().(*Asker) }

// Done gives an asker back. It may not be used afterwards.
func (a *Asker) Done() { a.c.askers.Put(a) }

func newAsker(c *Compiled) *Asker {
	n := len(c.base.fields)
	a := &Asker{c: c, class: make([]int32, n), allow: make([]uint64, n), freed: make([]uint64, wordsFor(n)), found: make([]uint64, c.base.words)}
	nodes, words := 1, 1
	for _, d := range c.distinct {
		nodes, words = max(nodes, len(d.nodes)), max(words, d.kinds.words)
	}
	a.best = make([]int64, nodes)
	a.alive, a.reach, a.acc = make([]uint8, nodes), make([]uint8, nodes), make([]uint64, words)
	a.alive[leaf] = 1
	return a
}

// pickedHub gives the value of the hub that is picked, 0 without a hub, or None.
func (a *Asker) pickedHub(picks Picks) int32 {
	if a.c.base.hub == None {
		return 0
	}
	return picks[a.c.base.hub]
}

// load takes the picks to the classes of a diagram. It gives how many picks the
// diagram has no choice for at all, and the last such field, which it then
// treats as not picked.
func (a *Asker) load(d *diagram, picks Picks) (outside int, which int32) {
	which = None
	hub, b := a.c.base.hub, a.c.base
	for f, v := range picks {
		a.class[f], a.allow[f] = None, ^uint64(0)
		if v == None || int32(f) == hub {
			continue
		}
		class := d.kinds.of[b.fields[f].off*64+int(v)]
		off := d.kinds.off[f]
		if class == None || !has(d.full[off:], class) {
			outside++
			which = int32(f)
			continue
		}
		a.class[f] = class
		a.allow[f] = 1 << (uint(class) & 63)
	}
	return outside, which
}

// touched tells whether a part decides any field that is picked.
func (a *Asker) touched(s *span) bool {
	for _, f := range s.fields {
		if a.class[f] != None {
			return true
		}
	}
	return false
}

// up reckons for each node of a part whether anything below it keeps the picks,
// and tells it of the root.
func (a *Asker) up(d *diagram, s *span) bool {
	alive := a.alive
	for i := s.from; i < s.end; i++ {
		n := &d.nodes[i]
		var ok uint8
		switch {
		case n.field == None:
			ok = 1
			for _, kid := range d.kids[n.from:n.end] {
				ok &= alive[kid]
			}
		case d.isWide(n.field):
			ok = a.upWide(d, n)
		default:
			allow := a.allow[n.field]
			arcs := d.arcs[n.from:n.end]
			for j := range arcs {
				if arcs[j].mask&allow != 0 && alive[arcs[j].child] != 0 {
					ok = 1
					break
				}
			}
		}
		alive[i] = ok
	}
	return alive[s.end-1] != 0
}

func (a *Asker) upWide(d *diagram, n *node) uint8 {
	for j := n.from; j < n.end; j++ {
		if a.alive[d.arcs[j].child] != 0 && a.wideAllows(d, n.field, &d.arcs[j]) {
			return 1
		}
	}
	return 0
}

func (a *Asker) wideAllows(d *diagram, f int32, x *arc) bool {
	class := a.class[f]
	return class == None || has(d.wide[x.mask:], class)
}

// keeps tells whether a diagram has a choice that keeps the picks.
func (a *Asker) keeps(d *diagram, picks Picks) bool {
	if d.none {
		return false
	}
	if outside, _ := a.load(d, picks); outside > 0 {
		return false
	}
	for i := range d.parts {
		if s := &d.parts[i]; a.touched(s) && !a.up(d, s) {
			return false
		}
	}
	return true
}

// clearPart makes ready for going down a part.
func (a *Asker) clearPart(d *diagram, s *span) {
	clear(a.reach[s.from:s.end])
	clear(a.freed)
	for _, f := range s.fields {
		off := d.kinds.off[f]
		clear(a.acc[off : int(off)+d.kinds.wordsOf(f)])
	}
	a.reach[s.end-1] = 1
}

// down collects, from the root, the classes on every way that keeps the picks.
func (a *Asker) down(d *diagram, s *span) {
	a.clearPart(d, s)
	for i := s.end - 1; i >= s.from; i-- {
		if a.reach[i]&a.alive[i] == 0 {
			continue
		}
		n := &d.nodes[i]
		switch {
		case n.field == None:
			for _, kid := range d.kids[n.from:n.end] {
				a.reach[kid] = 1
			}
		case d.isWide(n.field):
			for j := n.from; j < n.end; j++ {
				x := &d.arcs[j]
				if a.alive[x.child] != 0 && a.wideAllows(d, n.field, x) {
					orInto(a.acc[d.kinds.off[n.field]:], d.maskOf(n.field, x))
					a.follow(d, x)
				}
			}
		default:
			a.downNarrow(d, n)
		}
	}
}

func (a *Asker) downNarrow(d *diagram, n *node) {
	allow, found := a.allow[n.field], uint64(0)
	arcs := d.arcs[n.from:n.end]
	for j := range arcs {
		x := &arcs[j]
		if x.mask&allow != 0 && a.alive[x.child] != 0 {
			found |= x.mask
			a.follow(d, x)
		}
	}
	a.acc[d.kinds.off[n.field]] |= found
}

func (a *Asker) follow(d *diagram, x *arc) {
	a.reach[x.child] = 1
	if x.freed != 0 {
		orInto(a.freed, d.freedBy(x))
	}
}

// foundOf gives the classes found of a field of a part.
func (a *Asker) foundOf(d *diagram, f int32) []uint64 {
	if has(a.freed, f) {
		return d.fullOf(f)
	}
	off := d.kinds.off[f]
	return a.acc[off : int(off)+d.kinds.wordsOf(f)]
}
