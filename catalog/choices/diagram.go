package choices

// diagram holds every complete choice that keeps the rules, for one value of
// the hub: a decision diagram in which parts that no longer bear on each other
// stand side by side (an and-or diagram over multi-valued fields; Mateescu,
// Dechter, Marinescu, JAIR 33, 2008; decision-DNNF: Darwiche 2001). It is
// immutable.
type diagram struct {
	kinds  *classing
	print  fingerprint
	full   []uint64 // the classes of each field that some choice has
	values []uint64 // and their values, as a vector of all fields
	nodes  []node   // what a node leads to stands before it; node 0 holds always
	arcs   []arc
	kids   []int32  // of and-nodes
	wide   []uint64 // masks of fields with more than 64 classes
	freed  []uint64 // sets of fields
	words  int      // of a set of fields
	parts  []span   // the parts that stand side by side at the top; none when nothing binds
	partOf []int32  // the part that decides a field, or None
	none   bool     // there is no choice
	over   bool     // it was given up at a bound; nothing but kinds is meant
	work   int      // what it cost, in constraints looked at
}

// node is a decision on a field (arcs from to end) or, with a field of None,
// an and (kids from to end).
type node struct{ field, from, end int32 }

// arc leads on when the field's class is in the mask.
type arc struct {
	mask  uint64 // of a field with more than 64 classes: where it begins in wide
	child int32
	freed int32 // which set of fields any class of full will do for; 0 for none
}

// span is a part's nodes, of which the last is its root.
type span struct {
	from, end int32
	fields    []int32 // that it decides
}

// leaf is the node that holds always.
const leaf = int32(0)

// Size is what a diagram has.
type Size struct{ Nodes, Arcs, Bytes int }

func (d *diagram) size() Size {
	n := len(d.nodes)*12 + len(d.arcs)*16 + len(d.kids)*4 + (len(d.wide)+len(d.freed)+len(d.full))*8
	n += len(d.kinds.of)*4 + len(d.kinds.first)*8
	for _, v := range d.kinds.values {
		n += 24 + len(v)*8
	}
	return Size{Nodes: len(d.nodes), Arcs: len(d.arcs) + len(d.kids), Bytes: n}
}

// isWide tells whether a field's masks are longer than a word.
func (d *diagram) isWide(f int32) bool { return d.kinds.count(f) > 64 }
