package bom

import (
	"fmt"
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Forged pieces: steel is neither made nor lost but as scale, so that volumes
// before and after are alike.
//
//	drawn    parent = straight + taper · (2 + a + c + 2 a c)/6, where the width
//	         and the thickness of the end are a and c times the bar's: a = c = r
//	         two ways, which is (1 + r + r²)/3, and a = 1, c = r one way, which
//	         is (1 + r)/2; a point is 1/3 and a wedge 1/2
//	upset    parent = length - head + head length · head area / bar area
//	stock    = parent / (1 - scale loss), never parent · (1 + scale loss)
//	cut      = stock + hot cut, rounded by steel_cut
//	mass     = that of the parent: of the finished piece
//	coated   taper: each side its mean width times its slant height
//	         head: its sides and both its faces, less the bar's section
//
// Lengths in nanometres, areas in um2. Source: handbook F-01 to F-12 (volume
// constancy, the prismatoid) and, for the scale loss, F-10; F-13 for the note
// that an upset longer than three times the bar's size is apt to fold.
//
// Worked: 7 in of parent at 4 % scale loss are 7 / 0.96 = 7.2917 in, where 7 ·
// 1.04 would be 0.0117 in short; a head of 7/8 in square, 3/4 in long, from a
// bar of 5/8 in square takes 3/4 · (7/8)² / (5/8)² = 1.47 in of it.

// ForgingRow is what the smith needs beside the cut list.
type ForgingRow struct {
	// Stock is the length of bar that becomes the piece, before scale loss and
	// hot cut, to the fraction that finished lengths are given to.
	Stock unit.Length `json:"stock_length"`
	// Heats are those of one piece.
	Heats int    `json:"heats"`
	Note  string `json:"note,omitempty"`
}

// TaperParent is the length in nanometres of bar that is drawn out to a taper
// whose end has width and thickness times the bar's, each from 0 to 1.
func TaperParent(taper unit.Length, width, thickness float64) float64 {
	return float64(float64(taper)*(2+width+thickness+float64(2*float64(width*thickness)))) / 6
}

// ParentLength is the length of a bar of the section parent that becomes length
// of the section area: what an upset head consumes, or what is drawn out.
// Errors: unit.ErrDivideByZero, unit.ErrOverflow.
func ParentLength(length unit.Length, area, parent unit.Area) (unit.Length, error) {
	nm, err := unit.MulDivRound(int64(length), int64(area), int64(parent), unit.Nearest)
	return unit.Length(nm), err
}

// BeforeLoss is the length of which, after a share is lost, length is left:
// length / (1 - loss). Errors: unit.ErrDivideByZero, unit.ErrOverflow.
func BeforeLoss(length unit.Length, loss unit.Ratio) (unit.Length, error) {
	left, err := unit.RatioOf(1).Sub(loss)
	if err != nil {
		return 0, err
	}
	nm, err := unit.MulDivRound(int64(length), left.Den(), left.Num(), unit.Nearest)
	return unit.Length(nm), err
}

// longestUpset is how many times its size a bar may be upset unsupported
// (handbook F-13, rule 1).
const longestUpset = 3

func (r *reckoning) drawn(p *catalog.Part, section *catalog.Section) (shaped, bool) {
	d := p.Steel.Drawn
	taper, ok := r.length(p.Path, "taper", &d.Taper)
	if !ok {
		return shaped{}, false
	}
	var straight unit.Length
	if d.Straight != nil {
		if straight, ok = r.length(p.Path, "straight", d.Straight); !ok {
			return shaped{}, false
		}
	}
	end := fraction(d.End)
	width, to := end, "a point"
	if d.Ways == "one" {
		width, to = 1, "an edge"
	}
	if end > 0 {
		to = d.End.String() + " of the bar"
	}
	var x exact
	drawn := x.float(TaperParent(taper, width, end))
	surface := x.taperSurface(section, straight, taper, width, end)
	if r.trace {
		r.note(p.Path, "parent length", "%s + %s drawn to %s, by volume %s = %s", straight, taper, to, drawn, straight+drawn)
	}
	shape := shaped{name: "drawn", developed: straight + taper, parent: straight + drawn, surface: &surface,
		ends: "square, drawn", form: r.says("drawn to %s over %s", to, taper)}
	return r.forged(p, shape, "", &x)
}

// taperSurface is the coated area of a taper with the straight before it; each
// side of a taper is a trapezoid, and a round's is a cone's.
func (x *exact) taperSurface(s *catalog.Section, straight, taper unit.Length, width, thickness float64) unit.Area {
	perimeter, err := s.Perimeter()
	x.keep(err)
	section, err := s.CrossSection()
	x.keep(err)
	w, t := barSides(s)
	slant := func(size, end float64) float64 { return root(float64(taper), float64(size*(1-end))/2) }
	var sides float64
	if s.Shape == "round" {
		sides = float64(math.Pi * float64(w*(1+width)) / 2 * slant(w, width))
	} else {
		sides = float64(w*(1+width)*slant(t, thickness)) + float64(t*(1+thickness)*slant(w, width))
	}
	ends := float64(float64(section) * (1 + float64(width*thickness)))
	return x.area(perimeter, straight) + x.floatArea(sides/1e6+ends)
}

// barSides are the width and the thickness of a square, round or flat bar.
func barSides(s *catalog.Section) (width, thickness float64) {
	if s.Size != nil {
		return float64(*s.Size), float64(*s.Size)
	}
	return float64(*s.Width), float64(*s.Thickness)
}

func (r *reckoning) upset(p *catalog.Part, section *catalog.Section) (shaped, bool) {
	u := p.Steel.Upset
	length, ok1 := r.length(p.Path, "length", &u.Length)
	head, ok2 := r.length(p.Path, "head", &u.Head)
	if !ok1 || !ok2 {
		return shaped{}, false
	}
	if head > length {
		r.refuse("upset.head-too-long", p.Path, "a head of %s is longer than the whole piece, %s", head, length)
		return shaped{}, false
	}
	// The head is a section of the bar's shape.
	large := *section
	large.Size = &u.Size
	var x exact
	headArea, err := large.CrossSection()
	x.keep(err)
	barArea, err := section.CrossSection()
	x.keep(err)
	consumed, err := ParentLength(head, headArea, barArea)
	x.keep(err)
	surface := x.headSurface(section, &large, length, head, headArea)
	if r.trace {
		r.note(p.Path, "parent length", "%s - %s + %s upset from %s = %s", length, head, head, consumed, length-head+consumed)
	}
	note := ""
	if consumed > longestUpset**section.Size {
		note = r.says("%s are upset, over %d times the bar's %s: apt to fold, take short heats and straighten often", consumed, longestUpset, *section.Size)
	}
	shape := shaped{name: "upset", developed: length, parent: length - head + consumed, surface: &surface,
		ends: "square, upset", form: r.says("upset to %s over %s", u.Size, head)}
	return r.forged(p, shape, note, &x)
}

// headSurface is the coated area of a bar with a head: the sides of both and,
// looked at from either end, the head's face.
func (x *exact) headSurface(bar, head *catalog.Section, length, headLength unit.Length, face unit.Area) unit.Area {
	thin, err := bar.Perimeter()
	x.keep(err)
	thick, err := head.Perimeter()
	x.keep(err)
	return x.area(thin, length-headLength) + x.area(thick, headLength) + 2*face
}

// forged adds what is lost in the fire to a shape whose parent length is known.
func (r *reckoning) forged(p *catalog.Part, shape shaped, note string, x *exact) (shaped, bool) {
	f := p.Steel.Forging
	blank, err := BeforeLoss(shape.parent, f.ScaleLoss)
	x.keep(err)
	stock := x.round(r.cat.Rounding("steel_finished"), shape.parent)
	if !r.settled(p.Path, x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(p.Path, "stock", "%s / (1 - %s scale loss) = %s", shape.parent, f.ScaleLoss, blank)
	}
	shape.blank, shape.allowance = blank, f.HotCut
	shape.forging = &ForgingRow{Stock: stock, Heats: f.Heats, Note: note}
	return shape, true
}

// says is a text for the shop, its quantities in the workshop's units.
func (r *reckoning) says(format string, args ...any) string {
	return fmt.Sprintf(format, r.written(args)...)
}
