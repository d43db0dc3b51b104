package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Upset heads.
//
//	parent = length - head + head length · head area / bar area
//	coated = the sides of bar and head and both faces of the head, less the
//	         bar's section
//
// Source: handbook F-12 (volume constancy); F-13 for the note that an upset
// longer than three times the bar's size is apt to fold.
//
// Worked: a head of 7/8 in square, 3/4 in long, from a bar of 5/8 in square takes
// 3/4 · (7/8)² / (5/8)² = 1.47 in of it.

// longestUpset is how many times its size a bar may be upset unsupported
// (handbook F-13, rule 1).
const longestUpset = 3

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
	large.Size, large.MillPerimeter = &u.Size, nil
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
		note = r.says("%s are upset, over %d times the bar's %s: apt to fold, take short heats and straighten often", r.onRule(consumed), longestUpset, *section.Size)
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
