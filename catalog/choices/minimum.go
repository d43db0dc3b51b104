package choices

// unreachable is more than any sum of costs.
const unreachable = int64(1) << 61

// plusCost adds costs, of which either may be unreachable.
func plusCost(a, b int64) int64 {
	if a >= unreachable || b >= unreachable {
		return unreachable
	}
	return a + b
}

// costs is what each value of each field costs.
type costs struct {
	value  []int64 // by field and value, as classing.of
	other  []int64 // by field: what any value but the pick costs at least
	signed bool    // values may cost less than nothing
	// in the diagram at hand, by class:
	class []int64
	which []int32 // the value that costs the least
	free  []int64 // by field: the least of all that some choice has
	even  []bool  // by field: all classes cost the same
}

func newCosts(b *base) *costs {
	n := len(b.fields)
	return &costs{value: make([]int64, b.words*64), other: make([]int64, n), free: make([]int64, n), even: make([]bool, n)}
}

// load reckons the costs of a diagram's classes. It gives the least that any
// choice could cost if no rule bound the fields to each other.
func (k *costs) load(a *Asker, d *diagram) int64 {
	b := a.c.base
	k.class = append(k.class[:0], make([]int64, len(d.kinds.values))...)
	k.which = append(k.which[:0], make([]int32, len(d.kinds.values))...)
	total := int64(0)
	for f := range b.fields {
		k.free[f], k.even[f] = 0, true
		if int32(f) == b.hub {
			continue
		}
		k.loadField(b, d, int32(f))
		total = plusCost(total, k.free[f])
	}
	return total
}

func (k *costs) loadField(b *base, d *diagram, f int32) {
	at, first := b.fields[f].off*64, d.kinds.first[f]
	k.free[f] = unreachable
	ones(d.fullOf(f), func(class int32) {
		best, which := unreachable, None
		ones(d.kinds.members(f, class), func(v int32) {
			if c := k.value[at+int(v)]; which == None || c < best {
				best, which = c, v
			}
		})
		k.class[first+class], k.which[first+class] = best, which
		if k.free[f] < unreachable && k.free[f] != best {
			k.even[f] = false
		}
		k.free[f] = min(k.free[f], best)
	})
	ones(d.fullOf(f), func(class int32) {
		k.even[f] = k.even[f] && k.class[first+class] == k.free[f]
	})
}

// cheapest gives the least that a class of a mask costs, and which class.
func (k *costs) cheapest(d *diagram, f int32, mask []uint64) (int64, int32) {
	if k.even[f] {
		return k.free[f], lowest(mask)
	}
	best, which := unreachable, None
	first := d.kinds.first[f]
	ones(mask, func(class int32) {
		if c := k.class[first+class]; which == None || c < best {
			best, which = c, class
		}
	})
	return best, which
}

// arc is what following an arc costs, from its node down.
func (k *costs) arc(a *Asker, d *diagram, f int32, x *arc) int64 {
	cost, _ := k.cheapest(d, f, d.maskOf(f, x))
	cost = plusCost(cost, a.best[x.child])
	if set := d.freedBy(x); set != nil {
		ones(set, func(g int32) { cost = plusCost(cost, k.free[g]) })
	}
	return cost
}

// least reckons the least that a choice of a diagram costs.
func (k *costs) least(a *Asker, d *diagram) int64 {
	a.best[leaf] = 0
	total := int64(0)
	for i := range d.parts {
		s := &d.parts[i]
		for n := s.from; n < s.end; n++ {
			a.best[n] = k.node(a, d, &d.nodes[n])
		}
		total = plusCost(total, a.best[s.end-1])
	}
	for f, at := range d.partOf {
		if at == None {
			total = plusCost(total, k.free[f])
		}
	}
	return total
}

func (k *costs) node(a *Asker, d *diagram, n *node) int64 {
	if n.field == None {
		sum := int64(0)
		for _, kid := range d.kids[n.from:n.end] {
			sum = plusCost(sum, a.best[kid])
		}
		return sum
	}
	best := unreachable
	for j := n.from; j < n.end; j++ {
		best = min(best, k.arc(a, d, n.field, &d.arcs[j]))
	}
	return best
}

// choice writes the choice that costs the least; least was reckoned before.
func (k *costs) choice(a *Asker, d *diagram, into Picks) {
	for f := range into {
		if int32(f) != a.c.base.hub {
			k.choose(d, int32(f), d.fullOf(int32(f)), into)
		}
	}
	for i := range d.parts {
		k.walk(a, d, d.parts[i].end-1, into)
	}
}

func (k *costs) choose(d *diagram, f int32, mask []uint64, into Picks) {
	_, class := k.cheapest(d, f, mask)
	into[f] = k.which[d.kinds.first[f]+class]
}

func (k *costs) walk(a *Asker, d *diagram, at int32, into Picks) {
	n := &d.nodes[at]
	if at == leaf {
		return
	}
	if n.field == None {
		for _, kid := range d.kids[n.from:n.end] {
			k.walk(a, d, kid, into)
		}
		return
	}
	for j := n.from; j < n.end; j++ {
		x := &d.arcs[j]
		if k.arc(a, d, n.field, x) == a.best[at] {
			k.choose(d, n.field, d.maskOf(n.field, x), into)
			k.walk(a, d, x.child, into)
			return
		}
	}
}
