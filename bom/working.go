package bom

import (
	"fmt"
	"slices"

	"billwright/catalog"
	"billwright/catalog/formula"
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

// note keeps the working of a figure of the program's own arithmetic.
func (r *reckoning) note(path, figure, format string, args ...any) {
	if r.trace {
		r.keep(Working{Path: path, Figure: figure, Text: fmt.Sprintf(format, r.written(args)...)})
	}
}

// noteFormula keeps the working of a figure that a formula of the catalog gave.
func (r *reckoning) noteFormula(path, figure string, e *catalog.Expr) {
	if r.trace {
		r.keep(Working{Path: path, Figure: figure, Text: r.workingOf(e), Formula: e.Value, expr: e, env: r.env})
	}
}

func (r *reckoning) keep(w Working) {
	w.Line = r.line.Number
	w.Standards, r.asked = r.asked, nil
	r.working = append(r.working, w)
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
	if last := len(r.working) - 1; last >= from && len(r.asked) > 0 {
		w := &r.working[last]
		for _, name := range r.asked {
			if !slices.Contains(w.Standards, name) {
				w.Standards = append(w.Standards, name)
			}
		}
	}
	r.asked = nil
}
