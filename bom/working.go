package bom

import (
	"fmt"
	"slices"

	"billwright/catalog"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// Working is how one figure of a bill row came about. Path is the row's
// position path within its line, empty for a figure of the product, which stands
// before the rows that read it. Line is 0 for cloth that several lines are cut
// from together.
type Working struct {
	Line   int    `json:"line"`
	Path   string `json:"path"`
	Figure string `json:"figure"`
	Text   string `json:"text"`
	// Formula is the catalog's formula, empty where the figure is of the
	// program's own arithmetic, whose formula stands in Text.
	Formula string `json:"formula,omitempty"`
	// Standards are the names of the workshop's standards that were read for it.
	Standards []string `json:"standards,omitempty"`

	expr *catalog.Expr
	env  []formula.Value
}

// piecesFigure is the name of the figure that says how many there are of a part.
const piecesFigure = "pieces"

// notePieces keeps how many of a part the whole line has.
func (r *reckoning) notePieces(p *catalog.Part, each int) {
	if r.trace && len(p.Parts.Keys()) == 0 {
		r.note(p.Path, "pieces in all", "%d a unit · %d units = %d", each, r.line.Quantity, r.all(each))
	}
}

// step is a figure of a recording: what its working is written from once
// somebody asks.
type step struct {
	line         int
	path, figure string
	standards    []string
	// Of the program's own arithmetic.
	format string
	args   []any
	// Of a formula of the catalog.
	expr *catalog.Expr
	env  []formula.Value
}

// Recording is how the figures of a bill came about, as it was recorded while
// they were reckoned: formulas, inputs and values between. Writing it out is
// left until somebody reads it, which is seldom and takes longer.
type Recording struct {
	units Units
	steps []step
}

// Working writes the recording out, in the order of reckoning.
func (rec *Recording) Working() []Working {
	if len(rec.steps) == 0 {
		return nil
	}
	working := make([]Working, len(rec.steps))
	for i := range rec.steps {
		working[i] = rec.steps[i].written(rec.units)
	}
	return working
}

// Len is how many figures were recorded.
func (rec *Recording) Len() int { return len(rec.steps) }

func (s *step) written(units Units) Working {
	w := Working{Line: s.line, Path: s.path, Figure: s.figure, Standards: s.standards}
	if s.expr != nil {
		w.Text, w.Formula, w.expr, w.env = units.workingOf(s.expr, s.env), s.expr.Value, s.expr, s.env
		return w
	}
	w.Text = fmt.Sprintf(s.format, units.written(s.args)...)
	return w
}

// workingOf is a formula's working in the units of the bill.
func (u Units) workingOf(e *catalog.Expr, env []formula.Value) string {
	if u == Metric {
		return e.MetricWorking(env)
	}
	return e.Working(env)
}

// together is written for one sentence, which names its lengths in one unit: an
// inch bill's in millimetres where one of them is no whole number of 1/64 in.
func (u Units) together(args []any) []any {
	lengths := u
	for _, arg := range args {
		if l, is := arg.(unit.Length); is && l%(unit.Inch/64) != 0 {
			lengths = Metric
		}
	}
	for i, arg := range args {
		if l, is := arg.(unit.Length); is {
			args[i] = lengths.Length(l)
		}
	}
	return u.written(args)
}

// written puts the texts of quantities, in the workshop's units, in their place.
func (u Units) written(args []any) []any {
	for i, arg := range args {
		switch quantity := arg.(type) {
		case unit.Length:
			args[i] = u.Length(quantity)
		case interface{ In(Units) string }:
			args[i] = quantity.In(u)
		}
	}
	return args
}

// note keeps the working of a figure of the program's own arithmetic.
func (r *reckoning) note(path, figure, format string, args ...any) {
	if r.trace {
		r.keep(step{path: path, figure: figure, format: format, args: args})
	}
}

// noteFormula keeps the working of a figure that a formula of the catalog gave.
func (r *reckoning) noteFormula(path, figure string, e *catalog.Expr) {
	if r.trace {
		r.keep(step{path: path, figure: figure, expr: e, env: r.env})
	}
}

func (r *reckoning) keep(s step) {
	s.line = r.line.Number
	s.standards, r.asked = r.asked, nil
	r.steps = append(r.steps, s)
}

// readsStandard is told of each standard as it is read.
func (r *reckoning) readsStandard(name string) {
	if !slices.Contains(r.asked, name) {
		r.asked = append(r.asked, name)
	}
}

// restsOn gives the standards that were read after a part's last figure to that
// figure, if the part has any from the given one on, so that they do not count
// for the next part.
func (r *reckoning) restsOn(from int) {
	if last := len(r.steps) - 1; last >= from && len(r.asked) > 0 {
		s := &r.steps[last]
		for _, name := range r.asked {
			if !slices.Contains(s.standards, name) {
				s.standards = append(s.standards, name)
			}
		}
	}
	r.asked = nil
}
