package choices

// MayChange finds for each picked field the values it could be changed to with
// all other picks kept; its own value is among them when the picks can be
// completed. Fields that are not picked have none. The error is ErrBound when a
// search was given up: values that could not be ruled out are then among them.
func (a *Asker) MayChange(picks Picks, into Values) error {
	if err := a.c.sound(picks); err != nil {
		return err
	}
	clear(into)
	over := false
	hub := a.c.base.hub
	picked := a.pickedHub(picks)
	for _, d := range a.c.distinct {
		own := picked == None || a.c.byHub[picked] == d
		switch {
		case d.over:
			over = true
		case own:
			a.released(d, picks, into)
		}
		if hub != None && picked != None && !d.over && a.keeps(d, picks) {
			a.markHubs(d, into)
		}
	}
	if over {
		return a.mayChangeBySearch(picks, into)
	}
	return nil
}

// released adds what one diagram lets each picked field be with its pick
// released: in one pass down, a node counts when all beside it keep the picks,
// whether or not it does itself (as derivatives of the diagram; Darwiche 2003).
func (a *Asker) released(d *diagram, picks Picks, into Values) {
	if d.none {
		return
	}
	outside, which := a.load(d, picks)
	if outside > 1 {
		return
	}
	dead, deadPart := 0, -1
	for i := range d.parts {
		if s := &d.parts[i]; a.touched(s) && !a.up(d, s) {
			dead++
			deadPart = i
		}
	}
	switch {
	case outside+dead > 1:
	case outside == 1:
		a.releaseOne(d, which, into)
	case dead == 1:
		a.releasePart(d, deadPart, picks, into)
	default:
		for i := range d.parts {
			if a.touched(&d.parts[i]) {
				a.releasePart(d, i, picks, into)
			}
		}
		for f, v := range picks {
			if v != None && int32(f) != a.c.base.hub && d.partOf[f] == None {
				orInto(a.c.of(into, int32(f)), a.c.of(d.values, int32(f)))
			}
		}
	}
}

// releaseOne is for the one field whose pick the diagram has no choice for at
// all.
func (a *Asker) releaseOne(d *diagram, f int32, into Values) {
	at := d.partOf[f]
	if at == None {
		orInto(a.c.of(into, f), a.c.of(d.values, f))
		return
	}
	s := &d.parts[at]
	if !a.touched(s) {
		a.up(d, s)
	}
	a.down(d, s)
	d.expand(a.c.base, f, a.foundOf(d, f), into)
}

func (a *Asker) releasePart(d *diagram, part int, picks Picks, into Values) {
	s := &d.parts[part]
	a.clearPart(d, s)
	for i := s.end - 1; i >= s.from; i-- {
		if a.reach[i] == 0 {
			continue
		}
		n := &d.nodes[i]
		if n.field == None {
			a.releaseKids(d.kids[n.from:n.end])
			continue
		}
		for j := n.from; j < n.end; j++ {
			a.releaseArc(d, n.field, &d.arcs[j])
		}
	}
	for _, f := range s.fields {
		if picks[f] != None {
			d.expand(a.c.base, f, a.foundOf(d, f), into)
		}
	}
}

// releaseKids goes down to each kid beside which no other is dead.
func (a *Asker) releaseKids(kids []int32) {
	dead, which := 0, leaf
	for _, kid := range kids {
		if a.alive[kid] == 0 {
			dead++
			which = kid
		}
	}
	switch dead {
	case 0:
		for _, kid := range kids {
			a.reach[kid] = 1
		}
	case 1:
		a.reach[which] = 1
	}
}

func (a *Asker) releaseArc(d *diagram, f int32, x *arc) {
	allowed := false
	if d.isWide(f) {
		allowed = a.wideAllows(d, f, x)
	} else {
		allowed = x.mask&a.allow[f] != 0
	}
	if a.alive[x.child] != 0 {
		orInto(a.acc[d.kinds.off[f]:], d.maskOf(f, x))
		if allowed && x.freed != 0 {
			orInto(a.freed, d.freedBy(x))
		}
	}
	if allowed {
		a.reach[x.child] = 1
	}
}

// mayChangeBySearch asks the search once for each pick, where a diagram is
// missing.
func (a *Asker) mayChangeBySearch(picks Picks, into Values) error {
	var given error
	loose := append(Picks(nil), picks...)
	for f, v := range picks {
		if v == None {
			continue
		}
		loose[f] = None
		switch err := a.remainingBySearch(loose, a.found, false); err {
		case nil, ErrBound:
			orInto(a.c.of(into, int32(f)), a.c.of(a.found, int32(f)))
			if err != nil {
				given = err
			}
		}
		loose[f] = v
	}
	return given
}
