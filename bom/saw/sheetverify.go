package saw

import (
	"errors"
	"fmt"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// Verify checks a plan from scratch: the engine's plan and its proof by
// cutting.VerifySheets, then what is shown of it against the list: every marked
// piece lies on the sheets exactly as often as it is asked for, within the trims
// and a kerf apart from every other, and the areas add up. It returns all it
// finds, or nil.
func (p *SheetPlan) Verify() error {
	v := sheetVerifying{plan: p, open: map[laidSize]int64{}}
	v.found = append(v.found, cutting.VerifySheets(&p.problem, p.solved))
	for i := range p.list.Pieces {
		piece := &p.list.Pieces[i]
		v.open[laidSize{piece.Mark, piece.Row, piece.Length, piece.Width}] += piece.Count
	}
	next := int64(1)
	for i := range p.SheetLayout {
		s := &p.SheetLayout[i]
		if s.Number != next {
			v.fault("sheet %d is numbered %d", next, s.Number)
		}
		next += s.Count
		v.sheet(s)
	}
	for m, n := range v.open {
		if n != 0 {
			v.fault("%q of %s x %s: %d of them are on no sheet", m.mark, m.length, m.width, n)
		}
	}
	if v.sheets != v.pieces+v.kept+unit.Area(p.Waste) || bom.Surface(v.kept) != p.Kept {
		v.fault("sheets of %s are not pieces of %s, %s kept and %s waste", v.sheets, v.pieces, v.kept, unit.Area(p.Waste))
	}
	return errors.Join(v.found...)
}

type laidSize struct {
	mark, row     string
	length, width unit.Length
}

type sheetVerifying struct {
	plan                 *SheetPlan
	open                 map[laidSize]int64
	sheets, pieces, kept unit.Area
	found                []error
}

func (v *sheetVerifying) fault(format string, args ...any) {
	v.found = append(v.found, fmt.Errorf(format, args...))
}

func (v *sheetVerifying) sheet(s *SheetLayout) {
	saw := &v.plan.list.Saw
	v.sheets += unit.Area(s.Count) * areaOf(s.Length, s.Width)
	places := make([]Place, 0, len(s.Pieces)+len(s.Leftovers))
	for i := range s.Pieces {
		one := &s.Pieces[i]
		of := laidSize{one.Mark, one.Row, one.Length, one.Width}
		if one.Turned {
			of.length, of.width = of.width, of.length
		}
		v.open[of] -= s.Count
		v.pieces += unit.Area(s.Count) * areaOf(one.Length, one.Width)
		places = append(places, one.Place)
	}
	for i := range s.Leftovers {
		one := &s.Leftovers[i]
		if one.Kept {
			v.kept += unit.Area(s.Count) * areaOf(one.Length, one.Width)
		}
		places = append(places, one.Place)
	}
	for i, a := range places {
		if a.X < saw.Trim || a.Y < saw.Trim || a.X+a.Length > s.Length-saw.Trim || a.Y+a.Width > s.Width-saw.Trim {
			v.fault("sheet %d: %s x %s at %s, %s reaches into the trim", s.Number, a.Length, a.Width, a.X, a.Y)
		}
		for _, b := range places[:i] {
			if a.X < b.X+b.Length+saw.Kerf && b.X < a.X+a.Length+saw.Kerf && a.Y < b.Y+b.Width+saw.Kerf && b.Y < a.Y+a.Width+saw.Kerf {
				v.fault("sheet %d: no kerf between %s x %s at %s, %s and %s x %s at %s, %s", s.Number, a.Length, a.Width, a.X, a.Y, b.Length, b.Width, b.X, b.Y)
			}
		}
	}
}
