package bom

import (
	"slices"
	"strings"

	"billwright/catalog"
)

// A line may be of a part of its product alone, as a replacement is: Line.Part is
// the position path of the sub-tree, and a unit of the line is one piece of it.
// Rows keep the paths that they have in the whole product. What is around the
// part counts only for what it does to it: the finish of the group it is welded
// into, on the part's own surface. Joints with what is not made fall away, and
// so do cartons that pack none of it. What is not made is reckoned all the same,
// since a fastener is made to its top and a carton to all that it was drawn for,
// and then left off the bill.

// lying tells how a part lies to the sub-tree of the line.
type lying int

const (
	isWithin  lying = iota // it is of the sub-tree, or the line is of the whole
	isRoot                 // it is the part asked for
	isAround               // the part asked for is below it
	isOutside              // it is not made
)

func (l *Line) lies(path string) lying {
	switch {
	case l.Part == "", strings.HasPrefix(path, l.Part+"/"):
		return isWithin
	case path == l.Part:
		return isRoot
	case strings.HasPrefix(l.Part, path+"/"):
		return isAround
	}
	return isOutside
}

// groupAround reckons a group of which only a part is made.
func (r *reckoning) groupAround(p *catalog.Part) {
	if p.Welded {
		r.hot = true
	}
	inner := func() {
		for _, part := range p.Parts.All() {
			r.part(part, 1)
		}
	}
	if p.MetalFinish == nil {
		inner()
		return
	}
	r.assemblies = append(r.assemblies, assembly{path: p.Path, each: 1})
	inner()
	done := r.assemblies[len(r.assemblies)-1]
	r.assemblies = r.assemblies[:len(r.assemblies)-1]
	if done.area > 0 {
		r.finishGroup(p, done)
	}
}

// shadow reckons a part that is not made, for what others read of it.
func (r *reckoning) shadow(p *catalog.Part, times int) {
	line, hot, found := r.line, r.hot, len(r.findings)
	weights, sewing, matches := len(r.weights), len(r.sewing), len(r.matches)
	overhangs, tips, materials, cautions := len(r.overhangs), len(r.tips), len(r.bill.materials), len(r.bill.Cautions)
	assemblies, chains := r.assemblies, r.chains
	r.line.Part, r.assemblies = "", []assembly{{}}
	r.part(p, times)
	r.line, r.hot, r.assemblies, r.chains = line, hot, assemblies, chains
	r.shadowed = append(r.shadowed, r.weights[weights:]...)
	r.findings, r.weights, r.sewing, r.matches = r.findings[:found], r.weights[:weights], r.sewing[:sewing], r.matches[:matches]
	r.overhangs, r.tips, r.bill.materials, r.bill.Cautions = r.overhangs[:overhangs], r.tips[:tips], r.bill.materials[:materials], r.bill.Cautions[:cautions]
}

// unshadow takes the rows of what is not made off the bill.
func (r *reckoning) unshadow() {
	if r.line.Part == "" {
		return
	}
	b := &r.bill
	b.Steel = slices.DeleteFunc(b.Steel, func(row SteelRow) bool { return r.notMade(row.Path) })
	b.Welds = slices.DeleteFunc(b.Welds, func(row WeldRow) bool { return r.notMade(row.Path) })
	b.Welded = slices.DeleteFunc(b.Welded, func(row WeldedRow) bool { return r.notMade(row.Path) })
	b.Wood = slices.DeleteFunc(b.Wood, func(row WoodRow) bool { return r.notMade(row.Path) })
	b.Glass = slices.DeleteFunc(b.Glass, func(row GlassRow) bool { return r.notMade(row.Path) })
	b.Stone = slices.DeleteFunc(b.Stone, func(row StoneRow) bool { return r.notMade(row.Path) })
	b.Finish = slices.DeleteFunc(b.Finish, func(row FinishRow) bool { return r.notMade(row.Path) })
	b.Routes = slices.DeleteFunc(b.Routes, func(row RouteRow) bool { return r.notMade(row.Path) })
	b.Cushions = slices.DeleteFunc(b.Cushions, func(row CushionRow) bool { return r.notMade(row.Path) })
	b.Cloth = slices.DeleteFunc(b.Cloth, func(row ClothRow) bool { return r.notMade(row.Path) })
	b.Hardware = slices.DeleteFunc(b.Hardware, func(row HardwareRow) bool { return r.notMade(row.Path) })
	b.Lifts = slices.DeleteFunc(b.Lifts, func(row LiftRow) bool { return r.notMade(row.of) && r.notMade(row.Path) })
	r.steps = slices.DeleteFunc(r.steps, func(s step) bool { return s.line == r.line.Number && s.path != "" && r.notMade(s.path) })
}

// notMade tells that a row is neither of the sub-tree nor of a finish around it
// nor of a carton.
func (r *reckoning) notMade(path string) bool {
	if within(path, r.line.Part) || strings.HasPrefix(path, "carton/") {
		return false
	}
	group, _, finish := strings.Cut(path, "/finish")
	return !finish || !strings.HasPrefix(r.line.Part, group+"/")
}

// PartCount is a part that a configuration has, and how many pieces of it a unit
// of the product has.
type PartCount struct {
	Path   string `json:"path"`
	Name   string `json:"name"`
	Pieces int    `json:"pieces"`
}

// Parts are the parts of a configuration in the order of the product, groups
// before what is in them. What cannot be reckoned is left out: Explode tells of
// it.
func Parts(cat *catalog.Catalog, config *catalog.Config) (parts []PartCount) {
	r := reckoning{cat: cat, units: unitsOf(cat), line: Line{Quantity: 1, Config: config}, env: config.Env()}
	var walk func(p *catalog.Part, times int)
	walk = func(p *catalog.Part, times int) {
		if !r.holds(p.Path, p.When) {
			return
		}
		if p.Pieces != nil {
			n, ok := r.count(p.Path, piecesFigure, p.Pieces)
			if !ok || n == 0 || times*n > maxPieces {
				return
			}
			times *= n
		}
		parts = append(parts, PartCount{p.Path, name(p), times})
		for _, part := range p.Parts.All() {
			walk(part, times)
		}
	}
	for _, part := range config.Product.Parts.All() {
		walk(part, 1)
	}
	return parts
}
