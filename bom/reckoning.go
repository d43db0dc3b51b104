package bom

import (
	"errors"
	"fmt"
	"strings"

	"billwright/catalog"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// maxPieces bounds what one formula may ask for in one unit of a product.
const maxPieces = 10_000

// reckoning is the explosion of one line in progress.
type reckoning struct {
	cat      *catalog.Catalog
	units    Units
	line     Line
	env      []formula.Value
	bill     LineBill
	findings []catalog.Finding
	trace    bool
	steps    []step
	// asked are the standards read since the last figure was noted.
	asked []string
	// assemblies is the stack of groups with a metal finish around the part
	// being reckoned; steel adds its area to the last.
	assemblies []assembly
	// weights is the mass of one unit's rows by path, for cartons.
	weights []weighed
	// shadowed are those of what is reckoned and not made.
	shadowed []weighed
	sewing   []sewn
	hot      bool
	// waysTaken are the parts whose choice of a way was looked at.
	waysTaken []string
	// partFound tells that the part that the line is of is in its configuration.
	partFound bool
	// came is what came of customer's own material, where that is checked.
	came *cameFor
	// chains counts the line's finishes; matches are those of them that belong
	// to a match set.
	chains  int
	matches []match
	// overhangs and tips wait for the cautions.
	overhangs []overhangs
	tips      []tipping
}

type weighed struct {
	path string
	mass unit.Mass
}

func (r *reckoning) explode() {
	product := r.line.Config.Product
	r.bill = LineBill{Line: r.line.Number, Product: product.Code, Name: product.Name, Part: r.line.Part, Quantity: r.line.Quantity}
	for code, figure := range product.Figures.All() {
		r.noteFormula("", code.Value, figure)
	}
	for _, part := range product.Parts.All() {
		r.part(part, 1)
	}
	r.cloth()
	for _, carton := range product.Cartons.All() {
		r.carton(carton)
	}
	r.unshadow()
	if r.line.Part != "" && !r.partFound {
		r.refuse("part.unknown", r.line.Part, "this configuration has no such part")
	}
	r.idleWays()
	r.finished()
	var total unit.Mass
	for _, w := range r.weights {
		total += w.mass
	}
	r.cautions()
	r.topCautions(total)
	r.bill.UnitWeight = Weight(total)
}

// part reckons a part of which one unit of the product has times groups.
func (r *reckoning) part(p *catalog.Part, times int) {
	at := r.line.lies(p.Path)
	if at == isOutside {
		r.shadow(p, times)
		return
	}
	if !r.holds(p.Path, p.When) {
		return
	}
	if at == isAround {
		r.groupAround(p)
		return
	}
	each := times
	if at == isRoot {
		r.partFound = true
	} else if p.Pieces != nil {
		n, ok := r.count(p.Path, piecesFigure, p.Pieces)
		if !ok || n == 0 {
			return
		}
		if each *= n; each > maxPieces {
			r.refuse("part.too-many", p.Path, "%d pieces in one unit; no more than %d are taken", each, maxPieces)
			return
		}
	}
	from := len(r.steps)
	defer r.restsOn(from)
	r.notePieces(p, each)
	switch {
	case p.Steel != nil:
		r.steel(p, each)
	case p.Wood != nil:
		r.wood(p, each)
	case p.Leaf != nil:
		r.leaf(p, each)
	case p.Stone != nil:
		r.stone(p, each)
	case p.Glass != nil:
		r.glass(p, each)
	case p.Cushion != nil:
		r.cushion(p, each)
	case p.Hardware != nil:
		r.hardware(p, each)
	default:
		r.group(p, each)
	}
	r.liftPart(p, each)
}

func (r *reckoning) group(p *catalog.Part, each int) {
	if p.Welded {
		r.hot = true
	}
	if p.MetalFinish == nil {
		r.below(p, each)
		return
	}
	r.assemblies = append(r.assemblies, assembly{path: p.Path, each: each})
	r.below(p, each)
	done := r.assemblies[len(r.assemblies)-1]
	r.assemblies = r.assemblies[:len(r.assemblies)-1]
	r.finishGroup(p, done)
}

// finishGroup finishes the steel of a group that was gone through.
func (r *reckoning) finishGroup(p *catalog.Part, done assembly) {
	code, ok := r.text(p.Path, "metal_finish", p.MetalFinish)
	if !ok {
		return
	}
	finish, found := r.cat.MetalFinishes.Get(code)
	if !found {
		r.refuse("finish.unknown", p.Path, "there is no metal finish %q", code)
		return
	}
	r.finish(p, finish, done.each, done.area)
}

// name is what the papers call a part.
func name(p *catalog.Part) string {
	if p.Name != "" {
		return p.Name
	}
	return strings.ReplaceAll(p.Path[strings.LastIndexByte(p.Path, '/')+1:], "-", " ")
}

// partNamed is what the papers call the part of a path.
func (r *reckoning) partNamed(path string) string {
	if part, found := r.line.Config.Product.Part(path); found {
		return name(part)
	}
	return path
}

// said is a catalog name as the papers say it: where an open choice decided it,
// what was written for it, with the name that it is reckoned as meanwhile.
func (r *reckoning) said(e *catalog.Expr, reckoned string) string {
	settings := r.line.Config.Settings
	for i := range settings {
		if s := &settings[i]; s.Open && s.Attribute.Code == strings.TrimSpace(e.Value) {
			return s.Name + " (reckoned as " + reckoned + ")"
		}
	}
	return reckoned
}

// all is the number of pieces in the whole line.
func (r *reckoning) all(each int) int { return each * r.line.Quantity }

func (r *reckoning) refuse(code, path, format string, args ...any) {
	r.findings = append(r.findings, catalog.Finding{
		Pointer: fmt.Sprintf("/lines/%d", r.line.Number-1),
		Code:    code,
		Message: fmt.Sprintf("line %d › %s: ", r.line.Number, strings.ReplaceAll(path, "/", " › ")) + fmt.Sprintf(format, r.units.together(args)...) + ".",
	})
}

// refuseFormula reports a formula that gave no usable value, with its working.
func (r *reckoning) refuseFormula(code, path, figure string, e *catalog.Expr, because string) {
	r.refuse(code, path, "%s %s; the formula is %s", figure, because, r.line.Config.Product.SaidWorking(e, r.env))
}

func (r *reckoning) written(args []any) []any { return r.units.written(args) }

func (r *reckoning) value(path, figure string, e *catalog.Expr) (formula.Value, bool) {
	v, err := e.Eval(r.env)
	if err != nil {
		r.refuse("formula.failed", path, "%s cannot be reckoned: %s", figure, r.line.Config.Product.Failure(err))
		return v, false
	}
	r.noteFormula(path, figure, e)
	return v, true
}

func (r *reckoning) holds(path string, e *catalog.Expr) bool {
	if e == nil {
		return true
	}
	v, err := e.Eval(r.env)
	if err != nil {
		r.refuse("formula.failed", path, "whether it exists cannot be reckoned: %s", r.line.Config.Product.Failure(err))
		return false
	}
	return v.Bool()
}

func (r *reckoning) text(path, figure string, e *catalog.Expr) (string, bool) {
	v, ok := r.value(path, figure, e)
	return v.Text(), ok
}

// length is a length formula that must come out above zero.
func (r *reckoning) length(path, figure string, e *catalog.Expr) (unit.Length, bool) {
	v, ok := r.value(path, figure, e)
	if !ok {
		return 0, false
	}
	if v.Length() <= 0 {
		r.refuseFormula("length.not-positive", path, figure, e, "comes to nothing or less")
		return 0, false
	}
	// Sums of a few such lengths stay far from overflow.
	if v.Length() > unit.MaxEntry {
		r.refuseFormula("size.too-large", path, figure, e, "is beyond anything that is made")
		return 0, false
	}
	return v.Length(), true
}

// count is a number formula that must come out whole and not below zero.
func (r *reckoning) count(path, figure string, e *catalog.Expr) (int, bool) {
	v, ok := r.value(path, figure, e)
	if !ok {
		return 0, false
	}
	n := v.Number()
	if n.Den() != 1 || n.Num() < 0 || n.Num() > maxPieces {
		r.refuseFormula("count.not-whole", path, figure, e, fmt.Sprintf("is not a whole number from 0 to %d", maxPieces))
		return 0, false
	}
	return int(n.Num()), true
}

// weigh keeps what one unit's row weighs.
func (r *reckoning) weigh(path string, mass unit.Mass) {
	r.weights = append(r.weights, weighed{path, mass})
}

// exact carries the first error of a run of exact arithmetic, so that a formula
// reads as the handbook writes it and is checked once at its end.
type exact struct{ err error }

func (x *exact) keep(err error) {
	if x.err == nil && err != nil {
		x.err = err
	}
}

func (x *exact) area(l, m unit.Length) unit.Area {
	a, err := l.Times(m)
	x.keep(err)
	return a
}

func (x *exact) volume(a unit.Area, l unit.Length) unit.Volume {
	v, err := a.Times(l)
	x.keep(err)
	return v
}

func (x *exact) times(n int64, by int) int64 {
	product, err := unit.MulDivRound(n, int64(by), 1, unit.Nearest)
	x.keep(err)
	return product
}

func (x *exact) plus(a, b int64) int64 {
	sum, err := unit.Area(a).Add(unit.Area(b))
	x.keep(err)
	return int64(sum)
}

// ratio is n*num/den rounded to the nearest grain.
func (x *exact) ratio(n, num, den int64) int64 {
	result, err := unit.MulDivRound(n, num, den, unit.Nearest)
	x.keep(err)
	return result
}

func (x *exact) round(by unit.Rounding, l unit.Length) unit.Length {
	rounded, err := by.Round(l)
	x.keep(err)
	return rounded
}

func (x *exact) float(nm float64) unit.Length {
	l, err := unit.LengthFromFloat(nm)
	x.keep(err)
	return l
}

func (x *exact) floatArea(um2 float64) unit.Area {
	a, err := unit.AreaFromFloat(um2)
	x.keep(err)
	return a
}

// settled reports an overflow or the like as a finding.
func (r *reckoning) settled(path string, x *exact) bool {
	if x.err == nil {
		return true
	}
	if errors.Is(x.err, unit.ErrOverflow) {
		r.refuse("size.too-large", path, "the size is beyond what can be reckoned")
	} else {
		r.refuse("formula.failed", path, "the arithmetic failed: %v", x.err)
	}
	return false
}
