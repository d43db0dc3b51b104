package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Drawn pieces: one end, or both alike, are drawn out to a taper, to a smaller
// bar, or to a taper and from its end on to a smaller bar.
//
//	taper    parent = taper · (2 + a + c + 2 a c)/6, where the width and the
//	         thickness of the end are a and c times the bar's: a = c = r two
//	         ways, which is (1 + r + r²)/3, and one of them 1 one way, which is
//	         (1 + r)/2; a point is 1/3 and a wedge 1/2
//	round    a square bar's taper that is forged round takes what a square taper
//	         of the share square_first of its length does; by volume alone the
//	         share is pi/4, so that the taper grows by 27.3 %, and a smithing
//	         lesson has 5/6, 20 % (F-07): it is the shop's figure
//	bar      parent = length · its area / the bar's area
//	parent   = straight + what each drawn end takes
//	coated   taper: each side its mean width times its slant height, a round's as
//	         a cone; bar: its perimeter times its length; and the end faces
//
// Source: handbook F-01 to F-08 (volume constancy, the prismatoid).
//
// Worked: 1 in round drawn to 12 in of 1/2 in round takes 12 · (1/2)² = 3 in;
// 6 in of wedge from a 1 in square take 3 in.

// TaperParent is the length in nanometres of bar that is drawn out to a taper
// whose end has width and thickness times the bar's, each from 0 to 1.
func TaperParent(taper unit.Length, width, thickness float64) float64 {
	return float64(float64(taper)*(2+width+thickness+float64(2*float64(width*thickness)))) / 6
}

// drawing is a drawn piece whose formulas are reckoned.
type drawing struct {
	section              *catalog.Section
	straight, taper, bar unit.Length
	drawn                *catalog.Section // the smaller bar, or nil
	width, thickness     float64          // of the taper's end, over the bar's
	round                bool             // a square bar drawn to a round taper
	first                unit.Length      // length at which a round taper is first forged square
	ends                 int              // that are drawn out: 1 or 2
}

func (r *reckoning) drawn(p *catalog.Part, section *catalog.Section) (shaped, bool) {
	d := p.Steel.Drawn
	var x exact
	w, ok := r.drawing(p.Path, d, section, &x)
	if !ok {
		return shaped{}, false
	}
	each := r.drawnEnd(p.Path, &w, &x)
	parent := w.straight + unit.Length(w.ends)*each
	surface := x.drawnSurface(&w)
	shape := shaped{name: "drawn", developed: w.straight + unit.Length(w.ends)*(w.taper+w.bar), parent: parent, surface: &surface,
		ends: "square, drawn", form: r.drawnForm(d, &w)}
	if d.BothEnds {
		shape.ends = "drawn, drawn"
	}
	if r.trace && w.ends == 1 {
		r.note(p.Path, "parent length", "%s + %s = %s", w.straight, each, parent)
	} else if r.trace {
		r.note(p.Path, "parent length", "%s + %d·%s = %s", w.straight, w.ends, each, parent)
	}
	return r.forged(p, shape, "", &x)
}

// drawing reckons the formulas of a drawn piece.
func (r *reckoning) drawing(path string, d *catalog.Drawn, section *catalog.Section, x *exact) (drawing, bool) {
	w := drawing{section: section, ends: 1, width: fraction(d.End), thickness: fraction(d.End)}
	if d.BothEnds {
		w.ends = 2
	}
	switch d.Ways {
	case "one":
		w.width = 1
	case "width":
		w.thickness = 1
	}
	for _, one := range []struct {
		name    string
		formula *catalog.Expr
		into    *unit.Length
	}{{"taper", d.Taper, &w.taper}, {"straight", d.Straight, &w.straight}, {"smaller bar", barLength(d), &w.bar}} {
		if one.formula == nil {
			continue
		}
		var ok bool
		if *one.into, ok = r.length(path, one.name, one.formula); !ok {
			return w, false
		}
	}
	if d.Bar != nil {
		w.drawn = d.Bar.Section(section)
		w.width, w.thickness = endOf(section, w.drawn)
	}
	return w, d.SquareFirst == nil || r.squareFirst(path, d.SquareFirst, &w, x)
}

// squareFirst makes the taper round.
func (r *reckoning) squareFirst(path string, share *catalog.Expr, w *drawing, x *exact) bool {
	value, ok := r.value(path, "share forged square first", share)
	if !ok {
		return false
	}
	n := value.Number()
	if !catalog.SquareFirst(n) {
		r.refuseFormula("drawn.square-first", path, "the share of the taper that is first forged square", share, "is not from 0.7854 (a quarter of pi, which the volume takes) to 1")
		return false
	}
	w.round, w.first = true, unit.Length(x.ratio(int64(w.taper), n.Num(), n.Den()))
	return true
}

func barLength(d *catalog.Drawn) *catalog.Expr {
	if d.Bar == nil {
		return nil
	}
	return &d.Bar.Length
}

// endOf is the size of a smaller bar over that of the bar it is drawn from.
func endOf(from, to *catalog.Section) (width, thickness float64) {
	w, t := barSides(from)
	dw, dt := barSides(to)
	return dw / w, dt / t
}

// drawnEnd is the length of bar that one drawn end takes.
func (r *reckoning) drawnEnd(path string, w *drawing, x *exact) unit.Length {
	var taper, bar unit.Length
	if w.taper > 0 {
		square := w.taper
		if w.round {
			square = w.first
		}
		taper = x.float(TaperParent(square, w.width, w.thickness))
		if r.trace {
			r.note(path, "bar of the taper", "%s·(2 + %.6g + %.6g + 2·%.6g·%.6g)/6 = %s", square, w.width, w.thickness, w.width, w.thickness, taper)
		}
	}
	if w.drawn != nil {
		large, err := w.section.CrossSection()
		x.keep(err)
		small, err := w.drawn.CrossSection()
		x.keep(err)
		bar, err = ParentLength(w.bar, small, large)
		x.keep(err)
		if r.trace {
			r.note(path, "bar of the smaller bar", "%s·%s/%s = %s", w.bar, small, large, bar)
		}
	}
	return taper + bar
}

// drawnSurface is the coated area of a drawn piece.
func (x *exact) drawnSurface(w *drawing) unit.Area {
	perimeter, err := w.section.Perimeter()
	x.keep(err)
	face, err := w.section.CrossSection()
	x.keep(err)
	sides, end, bar := w.taperSides(), w.endFace(face), unit.Area(0)
	if w.drawn != nil {
		thin, err := w.drawn.Perimeter()
		x.keep(err)
		bar = x.area(thin, w.bar)
		small, err := w.drawn.CrossSection()
		x.keep(err)
		if end = float64(small); w.taper == 0 {
			end = float64(face) // the end and the shoulder around it
		}
	}
	n := float64(w.ends)
	ends := float64(n*end) + float64((2-n)*float64(face))
	return x.area(perimeter, w.straight) + unit.Area(w.ends)*bar + x.floatArea(float64(n*sides)/1e6+ends)
}

// taperSides are the sides of a taper in nm2: each of them is a trapezoid, and a
// round's is a cone's.
func (w *drawing) taperSides() float64 {
	if w.taper == 0 {
		return 0
	}
	b, t := barSides(w.section)
	slant := func(size, end float64) float64 { return root(float64(w.taper), float64(size*(1-end))/2) }
	if w.round || w.section.Shape == "round" {
		return float64(math.Pi * float64(b*(1+w.width)) / 2 * slant(b, w.width))
	}
	return float64(b*(1+w.width)*slant(t, w.thickness)) + float64(t*(1+w.thickness)*slant(b, w.width))
}

// endFace is the face in um2 at the end of a taper of a bar with a face.
func (w *drawing) endFace(face unit.Area) float64 {
	end := float64(float64(face) * float64(w.width*w.thickness))
	if w.round {
		return float64(math.Pi / 4 * end)
	}
	return end
}

// barSides are the width and the thickness of a square, round or flat bar.
func barSides(s *catalog.Section) (width, thickness float64) {
	if s.Size != nil {
		return float64(*s.Size), float64(*s.Size)
	}
	return float64(*s.Width), float64(*s.Thickness)
}

// drawnForm tells what the smith draws.
func (r *reckoning) drawnForm(d *catalog.Drawn, w *drawing) string {
	text := ""
	if w.taper > 0 {
		text = r.says("drawn to %s over %s", r.taperEnd(d, w), w.taper)
	}
	if w.round {
		text = r.says("forged square over %s, then round, %s", r.onRule(w.first), text)
	}
	if w.drawn != nil {
		bar := r.says("%s for %s", r.barText(w.drawn), w.bar)
		if text == "" {
			text = "drawn to " + bar
		} else {
			text += " and on as " + bar
		}
	}
	if d.BothEnds {
		text += ", both ends"
	}
	return text
}

// onRule is a length that need not lie on a fraction of an inch, as a rule shows it.
func (r *reckoning) onRule(l unit.Length) string {
	if r.units == Metric {
		return r.units.Length(l)
	}
	return r.units.Tape(l)
}

// taperEnd is what a taper ends in.
func (r *reckoning) taperEnd(d *catalog.Drawn, w *drawing) string {
	switch {
	case w.drawn != nil:
		return r.barText(w.drawn)
	case d.End.Sign() > 0 && d.Ways == "width":
		return d.End.String() + " of the width"
	case d.End.Sign() > 0:
		return d.End.String() + " of the bar"
	case d.Ways == "one" || d.Ways == "width":
		return "an edge"
	}
	return "a point"
}

// barText is a smaller bar as the smith says it: "1/2 in round".
func (r *reckoning) barText(s *catalog.Section) string {
	if s.Size != nil {
		return r.says("%s %s", *s.Size, s.Shape)
	}
	return r.says("%s x %s flat", *s.Width, *s.Thickness)
}
