package catalog

import (
	"fmt"

	"billwright/catalog/formula"
)

// cushionForms compiles the formulas of every form.
func (r *reading) cushionForms() {
	entries(r.spot("cushion_forms"), r.cat.CushionForms, func(s spot, code string, x *CushionForm) {
		x.Code = code
		s.at(x.Pos).cushionForm(x)
	})
}

func (s spot) cushionForm(x *CushionForm) {
	known := s.r.formNames(x)
	s.pattern(x.Pattern)
	s.in("flaws").addition(x.Flaws)
	if x.Rounding != nil {
		s.in("rounding").in("to").above(x.Rounding.To)
	}
	if x.Pieces.Len() == 0 {
		s.in("pieces").fault("the form has no pieces", "write at least one")
	}
	entries(s.in("pieces"), x.Pieces, func(s spot, name string, piece *CushionPiece) {
		s.code("piece", name)
		known.compile(s.in("pieces"), &piece.Count, formula.Number)
		known.compile(s.in("along"), &piece.Along, formula.Length)
		known.compile(s.in("across"), &piece.Across, formula.Length)
		s.bias(piece)
	})
	known.compile(s.in("zip"), x.Zip, formula.Length)
	known.compile(s.in("cord"), x.Cord, formula.Length)
	entries(s.in("trimmings"), x.Trimmings, func(s spot, name string, trimming *Trimming) {
		s.code("trimming", name)
		if name == "cloth" || name == "contrast" || name == "foam" || name == "zip" || name == "welt-cord" {
			s.fault(fmt.Sprintf("%s is what a row of every cushion is called", name), "give the trimming another name, such as zip-chain")
		}
		s.at(trimming.Pos).trimming(known, trimming)
	})
}

// bias checks that nothing is said of a strip on the bias that goes by the
// thread of the goods.
func (s spot) bias(piece *CushionPiece) {
	if piece.Bias == nil {
		return
	}
	s.in("bias").in("to").above(piece.Bias.To)
	if mode := s.in("bias").in("mode"); piece.Bias.Mode != "up" && !mode.unread() && piece.Bias.Mode != "" {
		mode.fault(fmt.Sprintf("a square rounded %s may be too small for its strips", piece.Bias.Mode), "write up")
	}
	for _, one := range []struct {
		name string
		is   bool
	}{{"match", piece.Match}, {"match_across", piece.Beside}, {"may_join", piece.Join}} {
		if one.is {
			s.in(one.name).fault("a strip on the bias runs across the pattern and is always joined", "leave it out")
		}
	}
}

func (s spot) trimming(known *names, x *Trimming) {
	s.r.use("hardware", x.Item)
	s.in("item").from("hardware", x.Item)
	known.compile(s.in("pieces"), x.Pieces, formula.Number)
	known.compile(s.in("length"), x.Length, formula.Length)
	known.compile(s.in("width"), x.Width, formula.Length)
	switch {
	case (x.Pieces == nil) == (x.Length == nil):
		var given []string
		if x.Pieces != nil {
			given = []string{"pieces", "length"}
		}
		s.exactly(given, []string{"pieces", "length"})
	case x.Width != nil && x.Length == nil:
		s.in("width").fault("a width without a length", "write both, for what is bought by area")
	}
}

// pattern checks that a table gives a share for a length of repeats.
func (s spot) pattern(p *Pattern) {
	if p == nil {
		return
	}
	s = s.in("pattern")
	if p.By == WholeRepeats {
		if p.Table != "" {
			s.in("table").fault("whole repeats are reckoned without a table", "leave it out, or write by: table")
		}
		if p.Narrow != nil {
			s.in("narrow").fault("whole repeats are reckoned without a table", "leave it out, or write by: table")
		}
		return
	}
	if p.Table == "" {
		s.fault("no table is named", "write which under \"table\"")
	} else {
		s.shares(p.Table)
	}
	if p.Narrow != nil {
		s := s.in("narrow")
		s.in("below").above(p.Narrow.Below)
		if p.Narrow.Table != "" {
			s.shares(p.Narrow.Table)
		}
	}
}

// shares checks a table that gives the share for a pattern.
func (s spot) shares(name string) {
	switch table, found := s.r.cat.Tables.Get(name); {
	case !found:
		s.in("table").known("table", name, s.r.cat.Tables.Keys())
	case len(table.rows) == 0: // told already
	case table.By != "length" || table.rows[0].Gives.Kind() != formula.Number:
		s.in("table").fault(fmt.Sprintf("the table %s is looked up by %s and gives a %s", name, table.By, table.rows[0].Gives.Kind()),
			"a pattern needs one that is looked up by length, the repeats along and across added up, and gives a number, the share to add")
	default:
		s.r.use("tables", name)
		for i, row := range table.rows {
			s.r.spot("tables").in(name).at(table.Rows[i].Pos).in("rows").item(i).in("gives").addition(row.Gives.Number())
		}
	}
}

func (r *productReading) cushion(b branch, part *Part) {
	s, p := b.s, part.Cushion
	r.r.use("cushion_forms", p.Form)
	r.r.use("foams", p.Foam)
	if s.in("form").from("cushion_forms", p.Form) {
		r.sewnIn(b, part, p.Form)
		r.contrasting(s, p)
	}
	s.in("foam").from("foams", p.Foam)
	r.seat(s, p)
	r.lengths(s, namedExpr{"own_usable_width", p.OwnUsable})
	r.known.compile(s.in("own_repeat"), p.OwnRepeat, formula.Length) // 0 in for a plain cloth
	r.known.compile(s.in("own_repeat_across"), p.OwnAcross, formula.Length)
	cloths := r.covers(s.in("cloth"), b, part, &p.Cloth)
	contrasts := r.covers(s.in("contrast"), b, part, p.Contrast)
	if r.mayBeOwn(cloths) || p.Contrast != nil && r.mayBeOwn(contrasts) {
		own := ownCloth{part: part, whens: b.whens}
		if p.OwnRepeat != nil && p.OwnRepeat.compiled != nil {
			own.asks = r.reads(p.OwnRepeat.compiled)
		}
		r.scope.ownCloths = append(r.scope.ownCloths, own)
	}
	for _, code := range append(cloths, contrasts...) {
		if fabric, found := r.r.cat.Fabrics.Get(code); found && fabric.Own && fabric.Leather == nil && fabric.Usable == 0 && p.OwnUsable == nil {
			s.fault(fmt.Sprintf("the cloth may be %s, whose width is not known before it is ordered", code), "write own_usable_width, a formula over what the order says of it")
			return
		}
	}
}

// covers gives the fabrics that a cushion's cloth or contrast may be; none
// where the formula cannot be read.
func (r *productReading) covers(s spot, b branch, part *Part, e *Expr) []string {
	if e == nil || !r.known.compile(s, e, formula.Text) {
		return []string{}
	}
	codes := r.made(s, b, part, e, "fabrics")
	r.clothUses(codes)
	return codes
}

// contrasting checks that a cushion has a contrast exactly where its form cuts
// pieces from one: else they are of the cloth, which is no fault, but a contrast
// that nothing is cut from is.
func (r *productReading) contrasting(s spot, p *CushionPart) {
	form, _ := r.r.cat.CushionForms.Get(p.Form)
	for _, piece := range form.Pieces.All() {
		if piece.From == FromContrast {
			return
		}
	}
	if p.Contrast != nil {
		s.in("contrast").fault(fmt.Sprintf("the form %s cuts nothing from a contrast", p.Form), "leave it out, or write from: contrast at a piece of the form")
	}
}

// mostCorners bounds a polygon.
const mostCorners = 40

// seat checks a cushion's outline and size.
func (r *productReading) seat(s spot, p *CushionPart) {
	r.lengths(s, namedExpr{"length", &p.Length}, namedExpr{"width", p.Width}, namedExpr{"height", &p.Height},
		namedExpr{"rear_length", p.Rear}, namedExpr{"ears", p.Ears})
	for i := range p.Corners {
		s := s.in("corners").item(i)
		r.known.compile(s.in("right"), &p.Corners[i].Right, formula.Length) // 0 in at the left edge
		r.known.compile(s.in("back"), &p.Corners[i].Back, formula.Length)
	}
	shape := p.Shape
	if shape == "" {
		shape = "rectangle"
	}
	for _, one := range []struct {
		key    string
		is     bool
		shapes []string
		hint   string
	}{
		{"width", p.Width != nil, []string{"rectangle", ShapeTrapezoid, ShapeT, ShapePolygon}, "its length is its diameter"},
		{"rear_length", p.Rear != nil, []string{ShapeTrapezoid, ShapeT}, ""},
		{"ears", p.Ears != nil, []string{ShapeT}, ""},
		{"corners", len(p.Corners) > 0, []string{ShapePolygon}, ""},
	} {
		s.belongs(one.key, one.is, shape, one.shapes, one.hint)
	}
	if n := len(p.Corners); p.Shape == ShapePolygon && n > 0 && (n < 3 || n > mostCorners) {
		s.in("corners").fault(fmt.Sprintf("it has %d of them", n), fmt.Sprintf("a polygon has 3 to %d", mostCorners))
	}
}

// belongs faults a key that a shape has no use for, and one that it lacks.
func (s spot) belongs(key string, given bool, shape string, shapes []string, hint string) {
	has := false
	for _, one := range shapes {
		has = has || one == shape
	}
	switch {
	case given && !has:
		if hint == "" || shape != ShapeRound {
			hint = "leave it out, or write the shape that has it: " + listed(shapes)
		}
		s.in(key).fault(fmt.Sprintf("a %s has no %q", shape, key), hint)
	case !given && has && !s.in(key).unread():
		s.fault(fmt.Sprintf("a %s needs %q", shape, key), "write it, or another shape")
	}
}
