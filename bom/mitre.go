package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Mitred pieces.
//
//	developed  the length over the long points, which the bar is cut to
//	short      long - across·tan(first) - across·tan(second)
//	weight     that of a bar as long as the piece is at the middle of its steel:
//	           long - share·(across·tan(first) + across·tan(second)), the share
//	           being 1/2 but for an angle, whose steel lies nearer its heel
//	coated     perimeter times the length at the middle of the outline, and each
//	           end's cross-section / cos(its angle)
//
// A plane cuts off a prism what it would if it stood square at the middle of the
// section, so that the weight is exact and not a rule of thumb. Source: geometry;
// for the short point, handbook F-35.
//
// Worked: a 30 in frame member 1-1/2 in deep, mitred 45° at both ends: short
// point = 30 - 1.5 - 1.5 = 27 in, and it weighs what 28-1/2 in do.

// mitreCut is what two mitres leave of a piece: its length over the short points,
// in the middle of its steel and in the middle of its outline.
type mitreCut struct {
	short, steel, outline unit.Length
	first, second         catalog.Degrees
}

// mitreCut cuts a piece of some length over its long points.
func (x *exact) mitreCut(m *catalog.Mitred, section *catalog.Section, long unit.Length, first, second catalog.Degrees) mitreCut {
	one, other := mitreLoss(m.Across, first.Float()), mitreLoss(m.Across, second.Float())
	steel, outline := m.Middle(section)
	return mitreCut{
		short:   long - x.float(one) - x.float(other),
		steel:   long - x.float(float64(steel*(one+other))),
		outline: long - x.float(float64(outline*(one+other))),
		first:   first, second: second,
	}
}

func (r *reckoning) mitred(path string, m *catalog.Mitred, section *catalog.Section) (shaped, bool) {
	long, ok := r.length(path, "length over the long points", &m.LongPoint)
	if !ok {
		return shaped{}, false
	}
	var x exact
	cut := x.mitreCut(m, section, long, m.First, m.Second)
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if cut.short <= 0 {
		r.refuse("length.not-positive", path, "mitres of %s and %s degrees across %s leave nothing of %s over the long points; more than %s is needed",
			m.First, m.Second, m.Across, long, long-cut.short)
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "short point", "%s - %s·tan %s° - %s·tan %s° = %s", long, m.Across, m.First, m.Across, m.Second, cut.short)
		steel, _ := m.Middle(section)
		r.note(path, "length in the middle of the steel", "%s - %.4f·(%s - %s) = %s", long, steel, long, cut.short, cut.steel)
	}
	perimeter, err := section.Perimeter()
	x.keep(err)
	surface := x.area(perimeter, cut.outline) + x.cutFaces(section, m.First, m.Second)
	return shaped{name: "mitred", developed: long, parent: cut.steel, surface: &surface, shortPoint: &cut.short, ends: end(m.First) + ", " + end(m.Second)}, r.settled(path, &x)
}

// cutFaces are the faces that cuts at some angles lay bare.
func (x *exact) cutFaces(section *catalog.Section, angles ...catalog.Degrees) unit.Area {
	face, err := section.CrossSection()
	x.keep(err)
	faces := 0.0
	for _, angle := range angles {
		faces += float64(face) / cosine(angle.Float())
	}
	return x.floatArea(faces)
}

func cosine(degrees float64) float64 { return math.Cos(float64(degrees*math.Pi) / 180) }

// mitreLoss is how much shorter, in nanometres, one mitre makes the other side.
func mitreLoss(across unit.Length, degrees float64) float64 {
	return float64(float64(across) * math.Tan(float64(degrees*math.Pi)/180))
}

func end(angle catalog.Degrees) string {
	if angle == 0 {
		return "square"
	}
	return angle.String() + "° off square"
}
