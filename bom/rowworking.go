package bom

import (
	"fmt"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// How the figures of whole rows came about, beside those that their formulas
// note: every quantity of a row is told here or there.

// noteSteel tells of a row of steel whose pieces weigh mass and are coated over
// an area each.
func (r *reckoning) noteSteel(row *SteelRow, mass unit.Mass, coated unit.Area) {
	if !r.trace {
		return
	}
	r.note(row.Path, "weight", "%d pieces · %s each = %s", row.Pieces, Weight(mass), row.Weight)
	r.note(row.Path, "coated area", "%d pieces · %s each = %s", row.Pieces, Surface(coated), row.Coated)
	for i := range row.Bends {
		b := &row.Bends[i]
		text := r.says("from %s at a centre-line radius of %s", b.At, b.Radius)
		if b.Inside != nil {
			text += r.says(", inside radius %s, K %s", *b.Inside, b.KFactor)
		}
		if b.Until != nil {
			text += r.says(", to %s", *b.Until)
		}
		r.note(row.Path, fmt.Sprintf("bend %d", i+1), "%s", text)
	}
	if f := row.Forging; f != nil {
		r.note(row.Path, "stock length", "rounded = %s", f.Stock)
	}
}

// notePiece tells of one piece of a section before it is counted.
func (r *reckoning) notePiece(path string, section *catalog.Section, shape *shaped, finished unit.Length, mass unit.Mass, coated unit.Area) {
	if !r.trace {
		return
	}
	parent, _ := shape.bars()
	r.note(path, "finished length", "%s developed, rounded = %s", shape.developed, finished)
	r.note(path, "weight of a piece", "%s of %s, %s = %s", parent, section.Name, massBy(section), Weight(mass))
	switch around, err := section.Perimeter(); {
	case shape.surface != nil || err != nil:
		r.note(path, "coated area of a piece", "of what it was drawn or upset to = %s", Surface(coated))
	case shape.closed:
		r.note(path, "coated area of a piece", "%s around · %s, closed = %s", around, parent, Surface(coated))
	default:
		r.note(path, "coated area of a piece", "%s around · %s + both ends = %s", around, parent, Surface(coated))
	}
}

func massBy(section *catalog.Section) string {
	if section.MillWeight != nil {
		return "by the mill's weight"
	}
	return "by its geometry and the steel's density"
}

// noteWork tells what the minutes of operations come to.
func (r *reckoning) noteWork(path string, work []catalog.Operation, rows []OperationRow, pieces int, by worked) {
	if !r.trace {
		return
	}
	for i := range rows {
		of := "as the joint says"
		if i < len(work) {
			of = r.minutesSaid(&work[i], by)
		}
		r.note(path, "minutes to "+rows[i].Work, "%d pieces · %s = %s", pieces, of, rows[i].Minutes)
	}
}

// minutesSaid is what an operation on one piece takes, in words.
func (r *reckoning) minutesSaid(op *catalog.Operation, by worked) string {
	parts := []string{op.Minutes.String() + " min"}
	for _, further := range []struct {
		minutes unit.Ratio
		text    string
	}{{op.PerFoot, r.says("a foot of %s", by.length)}, {op.PerMetre, r.says("a metre of %s", by.length)},
		{op.PerBend, fmt.Sprintf("a bend of %d", by.bends)}, {op.PerHeat, fmt.Sprintf("a heat of %d", by.heats)}} {
		if further.minutes.Sign() != 0 {
			parts = append(parts, further.minutes.String()+" min "+further.text)
		}
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return "(" + strings.Join(parts, " + ") + ")"
}

// noteWeld tells of a joint's length in all.
func (r *reckoning) noteWeld(row *WeldRow) {
	if r.trace {
		r.note(row.Path, "size", "%s %s", row.SizeOf, row.Size)
		r.note(row.Path, "weld length in all", "%s · %d sides · %d joints = %s", row.Length, row.Sides, row.Pieces, row.TotalLength)
	}
}

// noteCushion tells of what a cushion is cut and made from.
func (r *reckoning) noteCushion(row *CushionRow) {
	if !r.trace {
		return
	}
	for i := range row.Cut {
		c := &row.Cut[i]
		r.note(row.Path, "cut "+c.Name, "%d pieces, %s along the roll, %s across", c.Pieces, c.Along, c.Across)
	}
	r.note(row.Path, "foam", "%s x %s x %s, oversize included", row.FoamSize.Length, row.FoamSize.Width, row.FoamSize.Height)
	for i := range row.Trimmings {
		t := &row.Trimmings[i]
		switch {
		case t.Area > 0:
			r.note(row.Path, t.Item, "%s long, %s wide = %s, weighs %s", t.Length, t.Width, t.Area, t.Weight)
		case t.Length > 0:
			r.note(row.Path, t.Item, "%s, weighs %s", t.Length, t.Weight)
		default:
			r.note(row.Path, t.Item, "%d in a cushion, weighs %s", t.Pieces, t.Weight)
		}
	}
}

// noteStep tells what a finish step is done to and what it waits for.
func (r *reckoning) noteStep(row *FinishRow) {
	if !r.trace {
		return
	}
	r.note(row.Path, "area", "all that is finished on %d pieces = %s", row.Pieces, row.Area)
	if row.Flash != nil {
		r.note(row.Path, "flash", "the coating's = %s", *row.Flash)
	}
	if row.Cure != nil {
		r.note(row.Path, "cure", "the coating's = %s at %s", row.Cure.Minutes, row.Cure.At)
	}
	if row.Wait != "" {
		r.note(row.Path, "wait", "the step's = %s h", row.Wait)
	}
}

// noteCarton tells of a carton's blank, and how it is stacked and measured as a
// parcel.
func (r *reckoning) noteCarton(row *CartonRow) {
	if !r.trace {
		return
	}
	r.note(row.Path, "blank", "of %s x %s x %s inside, with the board's folds, flaps and joint = %s x %s",
		row.Length, row.Width, row.Depth, row.Blank.Length, row.Blank.Width)
	if s := row.Stack; s != nil && s.Height > 0 {
		r.note(row.Path, "stack height", "that many high = %s", s.Height)
	}
	if p := row.Parcel; p != nil {
		r.note(row.Path, "length and girth", "the longest side and twice the other two = %s", p.Girth)
	}
}
