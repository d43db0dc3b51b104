package catalog

import (
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Seats that are not rectangles, what else a cushion is sewn with, and what the
// formulas of a cushion form read.

// The outlines of a cushion, as CushionPart.Shape is written.
const (
	ShapeRound     = "round"
	ShapeTrapezoid = "trapezoid"
	ShapeT         = "t-shape"
	ShapePolygon   = "polygon"
)

// Corner is a corner of a polygon, measured from the front left corner of the
// rectangle around it.
type Corner struct {
	Right Expr `yaml:"right,required" doc:"Distance to the right along the front, a length formula; 0 in is the left edge."`
	Back  Expr `yaml:"back,required" doc:"Distance towards the back, a length formula; 0 in is the front edge."`
}

// Trimming is something bought that is sewn into a cushion or put around its
// foam. How it is bought follows from what is written: pieces alone are counted,
// a length alone is by length, a length with a width is by area.
type Trimming struct {
	Item   string     `yaml:"item,required" doc:"Code of the hardware."`
	Pieces *Expr      `yaml:"pieces" doc:"How many in one cushion, a number formula; 0 is none. Not with a length."`
	Length *Expr      `yaml:"length" doc:"Length in one cushion, a length formula: a cord, a thread, the chain of a zip."`
	Width  *Expr      `yaml:"width" doc:"Width of what the length is of, a length formula: a wrap is bought by area."`
	Pos    source.Pos `yaml:"-"`
}

// NarrowGoods is the table of a pattern for goods that are narrower than its own
// table is made for.
type NarrowGoods struct {
	Below unit.Length `yaml:"below,required" doc:"Usable width under which this table is taken, such as 52 in for what goods of 54 in still have."`
	Table string      `yaml:"table,required" doc:"Table by length as under the pattern itself; it is asked for plain cloth too, since narrow goods take more of that as well."`
}

// The words of CushionPiece.From.
const (
	FromCloth    = "cloth"
	FromContrast = "contrast"
)

// Finished is the finished size of a cushion, as the formulas of its form read
// it. Length and Width are those of the rectangle around its outline.
type Finished struct {
	Length, Width, Height unit.Length
	// Perimeter is that of the outline, and Area what it encloses.
	Perimeter unit.Length
	Area      unit.Area
}

// formScope is where the formulas of a cushion form find their names.
type formScope struct{ template []formula.Value }

// The slots of a cushion's finished size.
const (
	formLength = iota
	formWidth
	formHeight
	formPerimeter
	formArea
)

// formNames makes the scope of a form's formulas.
func (r *reading) formNames(f *CushionForm) *names {
	scope := formula.NewScope()
	for _, name := range []string{"length", "width", "height", "perimeter"} {
		mustDeclare(scope, name, formula.Length)
	}
	mustDeclare(scope, "area", formula.Area)
	f.scope = &formScope{template: declareStandards(scope, r.own)}
	known := r.names(scope)
	r.declareTables(known)
	return known
}

// Env is the environment that the form's formulas are evaluated over, for a
// cushion of the given finished size.
func (f *CushionForm) Env(size *Finished) []formula.Value {
	env := slices.Clone(f.scope.template)
	env[formLength], env[formWidth], env[formHeight] = formula.LengthOf(size.Length), formula.LengthOf(size.Width), formula.LengthOf(size.Height)
	env[formPerimeter], env[formArea] = formula.LengthOf(size.Perimeter), formula.AreaOf(size.Area)
	return env
}
