package choices

import "math/big"

// count gives how many complete choices a diagram holds, of those that keep to
// the classes allowed (a vector of all fields' classes).
func (d *diagram) count(allowed []uint64) *big.Int {
	if d.none {
		return new(big.Int)
	}
	t := &tally{diagram: d, ways: make([]*big.Int, len(d.nodes)), free: make([]*big.Int, len(d.kinds.off)), allowed: allowed}
	total := big.NewInt(1)
	decided := map[int32]bool{}
	for i := range t.free {
		t.free[i] = t.values(int32(i), t.domain(int32(i), d.full))
	}
	t.ways[leaf] = big.NewInt(1)
	for _, s := range d.parts {
		for n := s.from; n < s.end; n++ {
			t.ways[n] = t.node(&d.nodes[n])
		}
		total.Mul(total, t.ways[s.end-1])
		for _, f := range s.fields {
			decided[f] = true
		}
	}
	for f, ways := range t.free {
		if !decided[int32(f)] {
			total.Mul(total, ways)
		}
	}
	return total
}

type tally struct {
	*diagram
	ways    []*big.Int // by node
	free    []*big.Int // of a field that may be anything
	allowed []uint64
}

func (t *tally) domain(f int32, of []uint64) []uint64 {
	off := t.kinds.off[f]
	return of[off : int(off)+t.kinds.wordsOf(f)]
}

// values is how many values the classes of a mask have, of those allowed.
func (t *tally) values(f int32, mask []uint64) *big.Int {
	n := 0
	allowed := t.domain(f, t.allowed)
	ones(mask, func(class int32) {
		if has(allowed, class) {
			n += count(t.kinds.members(f, class))
		}
	})
	return big.NewInt(int64(n))
}

func (t *tally) node(n *node) *big.Int {
	if n.field == None {
		all := big.NewInt(1)
		for _, kid := range t.kids[n.from:n.end] {
			all.Mul(all, t.ways[kid])
		}
		return all
	}
	sum := new(big.Int)
	for i := n.from; i < n.end; i++ {
		a := &t.arcs[i]
		ways := t.values(n.field, t.maskOf(n.field, a))
		ways.Mul(ways, t.ways[a.child])
		if freed := t.freedBy(a); freed != nil {
			ones(freed, func(f int32) { ways.Mul(ways, t.free[f]) })
		}
		sum.Add(sum, ways)
	}
	return sum
}

func (d *diagram) maskOf(f int32, a *arc) []uint64 {
	if d.isWide(f) {
		at := int(a.mask)
		return d.wide[at : at+d.kinds.wordsOf(f)]
	}
	return []uint64{a.mask}
}
