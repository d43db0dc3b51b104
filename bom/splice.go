package bom

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Splices.
//
//	cuts without places   as many pieces as the bars call for, each a multiple of
//	                      the saw's fraction, alike but for one fraction
//	cuts with places      from the datum end, each as far as a bar reaches
//	cut of one piece      = its share of the whole cut length + preparation at
//	                      each spliced end; the shares sum to the whole exactly
//	finished, mass        likewise; the last piece has what is left
//	coated                each piece its sides; only the outer ends are coated
//
// Worked: 300 in from bars that give 239 in are two pieces of 150 in; with 1/16
// in of preparation each is cut to 150 1/16 in.

// divide gives the shares of a cut length that is to be spliced, or nil where
// the part may not be, or not so.
func (r *reckoning) divide(p *catalog.Part, section *catalog.Section, cut unit.Length) []unit.Length {
	s := p.Steel.Splice
	if s == nil {
		return nil
	}
	bar := spliceBar(section)
	if bar == nil {
		return nil
	}
	if len(s.At) > 0 {
		return r.divideAt(s, cut, r.usable(bar.Length))
	}
	return divideEvenly(s, cut, r.usable(bar.Length), r.cat.Rounding("steel_cut").To)
}

// divideEvenly cuts in as few pieces as bars of a usable length allow.
func divideEvenly(s *catalog.Splice, cut, usable, grain unit.Length) []unit.Length {
	for n := 2; n <= s.Most+1; n++ {
		shares := make([]unit.Length, n)
		whole, rest := cut/grain, cut%grain
		for i := range shares {
			shares[i] = whole / unit.Length(n) * grain
			if unit.Length(i) < whole%unit.Length(n) {
				shares[i] += grain
			}
		}
		shares[n-1] += rest
		if splicesHold(s, shares, usable) {
			return shares
		}
	}
	return nil
}

// divideAt cuts at the catalog's places: the farthest that a bar reaches, so
// that there are as few splices as can be.
func (r *reckoning) divideAt(s *catalog.Splice, cut, usable unit.Length) []unit.Length {
	var places []unit.Length
	step := unit.Rounding{Mode: unit.Nearest, To: r.cat.Rounding("steel_cut").To}
	for i := range s.At {
		v, err := s.At[i].Eval(r.env)
		if err != nil || v.Length() > unit.MaxEntry {
			return nil
		}
		if at, err := step.Round(v.Length()); err == nil && at >= max(s.FromEnds, 1) && cut-at >= max(s.FromEnds, 1) {
			places = append(places, at)
		}
	}
	slices.Sort(places)
	var shares []unit.Length
	start := unit.Length(0)
	for cut-start+s.Preparation > usable {
		ends := s.Preparation
		if start > 0 {
			ends *= 2
		}
		next := start
		for _, at := range places {
			if at-start+ends <= usable {
				next = max(next, at)
			}
		}
		if next == start || len(shares) == s.Most {
			return nil
		}
		shares, start = append(shares, next-start), next
	}
	return append(shares, cut-start)
}

// spliced adds the rows of a piece that is cut in several, and those of its
// splices. row is that of the whole piece, were it in one.
func (r *reckoning) spliced(p *catalog.Part, section *catalog.Section, row SteelRow, shape *shaped, shares []unit.Length) {
	finished := endToEnd(row.Finished, shares)
	developed := endToEnd(shape.developed, shares)
	for i := range shares {
		one := row
		one.Path, one.Name = p.Path+"/"+strconv.Itoa(i+1), fmt.Sprintf("%s, piece %d of %d", row.Name, i+1, len(shares))
		one.Finished, one.Cut, one.Work = finished[i], shares[i]+preparation(p.Steel.Splice, i, len(shares)), nil
		mitre, ok := r.splicedEnds(p, section, &one, developed[i], i, len(shares))
		if !ok || !r.splicedPiece(section, one, &mitre, i, len(shares)) {
			return
		}
	}
	r.noteSplice(p, &row, shares)
	r.splices(p, section, &row, len(shares))
}

// preparation is what is added to the cut of a piece at its spliced ends.
func preparation(s *catalog.Splice, i, n int) unit.Length {
	if i == 0 || i == n-1 {
		return s.Preparation
	}
	return 2 * s.Preparation
}

// endToEnd parts a length as the shares part the cut; the last has what is left.
func endToEnd(whole unit.Length, shares []unit.Length) []unit.Length {
	parts := slices.Clone(shares)
	for _, share := range shares[:len(shares)-1] {
		whole -= share
	}
	parts[len(parts)-1] = whole
	return parts
}

// splicedEnds gives a piece its ends, and a mitred one its short point.
func (r *reckoning) splicedEnds(p *catalog.Part, section *catalog.Section, row *SteelRow, developed unit.Length, i, n int) (mitreCut, bool) {
	ends := strings.SplitN(row.Ends, ", ", 2)
	m := p.Steel.Mitred
	if m == nil {
		m = &catalog.Mitred{}
	}
	first, second := m.First, m.Second
	if i > 0 {
		ends[0], first = "spliced", 0
	}
	if i < n-1 {
		ends[1], second = "spliced", 0
	}
	row.Ends, row.ShortPoint = strings.Join(ends, ", "), nil
	var x exact
	cut := x.mitreCut(m, section, developed, first, second)
	if first == 0 && second == 0 {
		row.Shape = "straight"
		return cut, true
	}
	if !r.settled(row.Path, &x) {
		return cut, false
	}
	if cut.short <= 0 {
		r.refuse("length.not-positive", row.Path, "the mitre across %s leaves nothing of the piece of %s that is spliced to it", m.Across, developed)
		return cut, false
	}
	row.ShortPoint = &cut.short
	return cut, true
}

// splicedPiece adds the row of one piece of a spliced one, of which the spliced
// ends are not coated.
func (r *reckoning) splicedPiece(section *catalog.Section, row SteelRow, mitre *mitreCut, i, n int) bool {
	var x exact
	mass, err := section.Mass(mitre.steel)
	x.keep(err)
	perimeter, err := section.Perimeter()
	x.keep(err)
	coated := x.area(perimeter, mitre.outline)
	switch i {
	case 0:
		coated += x.cutFaces(section, mitre.first)
	case n - 1:
		coated += x.cutFaces(section, mitre.second)
	}
	row.Weight, row.Coated = Weight(x.times(int64(mass), row.Pieces)), Surface(x.times(int64(coated), row.Pieces))
	return r.addSteel(row, section, mass, coated, &x)
}

// splices adds the joints of a spliced piece and what is done to the whole.
func (r *reckoning) splices(p *catalog.Part, section *catalog.Section, row *SteelRow, n int) {
	s := p.Steel.Splice
	var length unit.Length
	ok := false
	if s.Length != nil {
		length, ok = r.length(p.Path, "weld length", s.Length)
	} else {
		length, ok = r.perimeter(p.Path, section)
	}
	if !ok {
		return
	}
	joints := make([]joint, n-1)
	for i := range joints {
		at := p.Path + "/"
		joints[i] = joint{path: at + "weld/" + strconv.Itoa(i+1), name: fmt.Sprintf("Splice %d of %s", i+1, row.Name),
			joins: []string{at + strconv.Itoa(i+1), at + strconv.Itoa(i+2)}, each: row.Each, length: length, allRound: s.Length == nil, weld: &s.Weld}
	}
	r.welded(p.Path, row.Name, row.Each, joints, p.Steel.Work, worked{length: row.Finished})
}

func (r *reckoning) noteSplice(p *catalog.Part, row *SteelRow, shares []unit.Length) {
	if !r.trace {
		return
	}
	texts := make([]string, len(shares))
	for i, share := range shares {
		texts[i] = r.units.Length(share)
	}
	r.note(p.Path, "splice", "%s in %d pieces = %s", row.Cut, len(shares), strings.Join(texts, " + "))
	for i, share := range shares {
		r.note(p.Path+"/"+strconv.Itoa(i+1), "cut length", "%s + %s preparation = %s", share, preparation(p.Steel.Splice, i, len(shares)), share+preparation(p.Steel.Splice, i, len(shares)))
	}
}

// splicesHold tells that each piece fits its bar and no splice lies too near an
// end.
func splicesHold(s *catalog.Splice, shares []unit.Length, usable unit.Length) bool {
	last := len(shares) - 1
	for i, share := range shares {
		if share <= 0 || share+preparation(s, i, len(shares)) > usable {
			return false
		}
	}
	return shares[0] >= s.FromEnds && shares[last] >= s.FromEnds
}
