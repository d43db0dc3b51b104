package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// Cushions and cloth.
//
// Cloth is reckoned by rows across the usable width for the whole line, never
// by area and never by cushion:
//
//	in a row  = usable width / size across, rounded down
//	rows      = pieces / in a row, rounded up
//	run       = size along; with a pattern to match, rounded up to whole repeats
//	cloth     = sum of rows·run over all kinds of pieces, then rounded by
//	            cloth_rounding, once for the line
//
// A piece that may be joined and is wider than the goods is cut as full widths
// and a remainder, each join taking a seam on both sides. A piece that may not
// be joined is turned when the cloth may be railroaded; else it needs a seam
// that nobody drew, which is a finding.
//
//	foam      = finished length and width + foam_oversize, by the height
//
// Worked: 4 plates 21 x 21 in from 54 in usable: 2 in a row, 2 rows, 42 in; in
// a 13-1/2 in repeat each run is 27 in, so 54 in.

// CushionRow is one kind of cushion of a line: what is cut and sewn.
type CushionRow struct {
	Path     string      `json:"path"`
	Name     string      `json:"name"`
	Form     string      `json:"form"`
	Cloth    string      `json:"cloth"`
	Each     int         `json:"each"`
	Pieces   int         `json:"pieces"`
	Length   unit.Length `json:"length"`
	Width    unit.Length `json:"width"`
	Height   unit.Length `json:"height"`
	Cut      []Panel     `json:"cut"`
	Foam     string      `json:"foam"`
	FoamSize FoamSize    `json:"foam_size"`
	Zip      unit.Length `json:"zip"`
	Cord     unit.Length `json:"welt_cord"`
}

// Panel is one kind of cloth piece, for all cushions of the row.
type Panel struct {
	Name   string      `json:"name"`
	Pieces int         `json:"pieces"`
	Along  unit.Length `json:"along"`
	Across unit.Length `json:"across"`
	Match  bool        `json:"match"`
	// Joined tells that pieces are sewn up from several widths.
	Joined bool `json:"joined"`
	// Railroaded tells that the piece lies turned on the cloth.
	Railroaded bool `json:"railroaded"`
}

// FoamSize is the size that foam is cut to.
type FoamSize struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	Height unit.Length `json:"height"`
}

// ClothRow is the cloth of one fabric for a whole line.
type ClothRow struct {
	Path   string      `json:"path"`
	Cloth  string      `json:"cloth"`
	Own    bool        `json:"own_material"`
	Usable unit.Length `json:"usable_width"`
	Repeat unit.Length `json:"repeat"`
	Rows   []CutRow    `json:"rows"`
	Net    unit.Length `json:"net_length"`
	Yards  Yards       `json:"length"`
}

// CutRow is a number of like rows across the goods.
type CutRow struct {
	Piece string      `json:"piece"`
	InRow int         `json:"in_row"`
	Rows  int         `json:"rows"`
	Run   unit.Length `json:"run"`
}

// sewn is the cloth of one cushion row, waiting for the line's sum.
type sewn struct {
	path   string
	fabric *catalog.Fabric
	usable unit.Length
	repeat unit.Length
	panels []Panel
}

func (r *reckoning) cushion(p *catalog.Part, each int) {
	c := p.Cushion
	length, okLength := r.length(p.Path, "length", &c.Length)
	width, okWidth := r.length(p.Path, "width", &c.Width)
	height, okHeight := r.length(p.Path, "height", &c.Height)
	code, okCloth := r.text(p.Path, "cloth", &c.Cloth)
	if !okLength || !okWidth || !okHeight || !okCloth {
		return
	}
	fabric, foundFabric := r.cat.Fabrics.Get(code)
	form, foundForm := r.cat.CushionForms.Get(c.Form)
	foam, foundFoam := r.cat.Foams.Get(c.Foam)
	if !foundFabric || !foundForm || !foundFoam {
		r.refuse("cushion.unknown", p.Path, "cloth %q, form %q or foam %q is not in the catalog", code, c.Form, c.Foam)
		return
	}
	goods, ok := r.goods(p, fabric)
	if !ok {
		return
	}
	row := CushionRow{
		Path: p.Path, Name: name(p), Form: form.Name, Cloth: fabric.Name, Each: each, Pieces: r.all(each),
		Length: length, Width: width, Height: height, Foam: foam.Name,
	}
	env := form.Env(length, width, height)
	if !r.panels(&row, form, env, &goods) || !r.trimmings(&row, form, env) {
		return
	}
	r.foam(&row, foam)
	r.bill.Cushions = append(r.bill.Cushions, row)
	r.sewing = append(r.sewing, goods)
}

// goods is the cloth's usable width and repeat; those of customer's own
// material come with the order.
func (r *reckoning) goods(p *catalog.Part, fabric *catalog.Fabric) (sewn, bool) {
	goods := sewn{path: p.Path, fabric: fabric, usable: fabric.Usable, repeat: fabric.Repeat}
	if !fabric.Own {
		return goods, true
	}
	if p.Cushion.OwnUsable == nil {
		r.refuse("cloth.width-unknown", p.Path, "customer's own material has no width here: the product must ask for it")
		return goods, false
	}
	usable, ok := r.length(p.Path, "usable width of own material", p.Cushion.OwnUsable)
	if !ok {
		return goods, false
	}
	goods.usable = usable
	if p.Cushion.OwnRepeat != nil {
		repeat, ok := r.value(p.Path, "repeat of own material", p.Cushion.OwnRepeat)
		if !ok {
			return goods, false
		}
		goods.repeat = repeat.Length()
	}
	return goods, true
}

// panels reckons the cloth pieces of a cushion row and keeps them for the
// line's cloth.
func (r *reckoning) panels(row *CushionRow, form *catalog.CushionForm, env []formula.Value, goods *sewn) bool {
	ok := true
	for code, piece := range form.Pieces.All() {
		panel, okPanel := r.panel(row, code.Value, piece, env, goods)
		if !okPanel {
			ok = false
			continue
		}
		if panel.Pieces > 0 {
			row.Cut = append(row.Cut, panel)
			goods.panels = append(goods.panels, panel)
		}
	}
	return ok
}

func (r *reckoning) panel(row *CushionRow, code string, piece *catalog.CushionPiece, env []formula.Value, goods *sewn) (Panel, bool) {
	outer := r.env
	r.env = env
	defer func() { r.env = outer }()
	path := row.Path + "/" + code
	count, okCount := r.count(path, "pieces", &piece.Count)
	along, okAlong := r.length(path, "size along", &piece.Along)
	across, okAcross := r.length(path, "size across", &piece.Across)
	if !okCount || !okAlong || !okAcross {
		return Panel{}, false
	}
	panel := Panel{Name: code, Pieces: count * row.Pieces, Along: along, Across: across, Match: piece.Match}
	if across <= goods.usable {
		return panel, true
	}
	switch {
	case piece.Join && goods.usable > 2*r.cat.Length("seam"):
		panel.Joined = true
	case goods.fabric.Railroad && along <= goods.usable:
		panel.Along, panel.Across, panel.Railroaded = across, along, true
	default:
		r.refuse("cloth.too-narrow", path, "it is %s across and %s gives %s: it needs a seam that the pattern does not have; choose a wider cloth, one that may be railroaded, or a smaller size",
			across, goods.fabric.Name, goods.usable)
		return Panel{}, false
	}
	return panel, true
}

func (r *reckoning) trimmings(row *CushionRow, form *catalog.CushionForm, env []formula.Value) bool {
	outer := r.env
	r.env = env
	defer func() { r.env = outer }()
	for _, trim := range []struct {
		figure string
		expr   *catalog.Expr
		into   *unit.Length
	}{{"zip", form.Zip, &row.Zip}, {"welt-cord", form.Cord, &row.Cord}} {
		if trim.expr == nil {
			continue
		}
		length, ok := r.length(row.Path, trim.figure, trim.expr)
		if !ok {
			return false
		}
		*trim.into = length
		var x exact
		r.need(row.Path+"/"+trim.figure, KindHardware, trim.figure, row.Pieces, x.times(int64(length), row.Pieces), Length)
		if !r.settled(row.Path, &x) {
			return false
		}
	}
	return true
}

func (r *reckoning) foam(row *CushionRow, foam *catalog.Foam) {
	over := r.cat.Length("foam_oversize")
	row.FoamSize = FoamSize{row.Length + over, row.Width + over, row.Height}
	var x exact
	volume := x.volume(x.area(row.FoamSize.Length, row.FoamSize.Width), row.FoamSize.Height)
	mass, err := foam.Density.Mass(volume)
	x.keep(err)
	all := x.times(int64(volume), row.Pieces)
	unitMass := x.times(int64(mass), row.Each)
	if !r.settled(row.Path, &x) {
		return
	}
	r.need(row.Path+"/foam", KindFoam, foam.Code, row.Pieces, all, Volume)
	r.weigh(row.Path, unit.Mass(unitMass))
}

// cloth sums the line's cloth, fabric by fabric, in the order of first use.
func (r *reckoning) cloth() {
	for i := range r.sewing {
		first := &r.sewing[i]
		if first.fabric == nil {
			continue
		}
		row := ClothRow{Path: first.path + "/cloth", Cloth: first.fabric.Name, Own: first.fabric.Own, Usable: first.usable, Repeat: first.repeat}
		for j := i; j < len(r.sewing); j++ {
			other := &r.sewing[j]
			if other.fabric != first.fabric || other.usable != first.usable || other.repeat != first.repeat {
				continue
			}
			for k := range other.panels {
				row.Rows = append(row.Rows, CutRows(&other.panels[k], first.usable, first.repeat, r.cat.Length("seam"))...)
			}
			if j > i {
				other.fabric = nil
			}
		}
		r.finishCloth(&row, first.fabric)
	}
}

func (r *reckoning) finishCloth(row *ClothRow, fabric *catalog.Fabric) {
	var x exact
	for _, rows := range row.Rows {
		row.Net += unit.Length(x.times(int64(rows.Run), rows.Rows))
		r.note(row.Path, "rows of "+rows.Piece, "%d in a row, %d rows · %s", rows.InRow, rows.Rows, rows.Run)
	}
	cloth := x.round(r.cat.Rounding("cloth_rounding"), row.Net)
	if !r.settled(row.Path, &x) {
		return
	}
	row.Yards = Yards(cloth)
	r.note(row.Path, "cloth", "%s net, rounded = %s", row.Net, row.Yards)
	r.bill.Cloth = append(r.bill.Cloth, *row)
	kind := KindCloth
	if fabric.Own {
		kind = KindOwnMaterial
	}
	r.need(row.Path, kind, fabric.Code, 1, int64(cloth), Length)
}

// CutRows lays one kind of piece in rows across the usable width. A joined
// piece gives its full widths and its remainder. The panel must fit (see
// reckoning.panel).
func CutRows(p *Panel, usable, repeat, seam unit.Length) []CutRow {
	run := p.Along
	if p.Match && repeat > 0 {
		run = (run + repeat - 1) / repeat * repeat
	}
	if !p.Joined {
		inRow := int(usable / p.Across)
		return []CutRow{{Piece: p.Name, InRow: inRow, Rows: (p.Pieces + inRow - 1) / inRow, Run: run}}
	}
	// k widths joined measure k·usable - (k-1)·2·seam.
	gain := usable - 2*seam
	full := int((p.Across - 2*seam) / gain)
	rest := p.Across - unit.Length(full)*gain
	rows := []CutRow{{Piece: p.Name, InRow: 1, Rows: full * p.Pieces, Run: run}}
	if rest > 2*seam {
		inRow := int(usable / rest)
		rows = append(rows, CutRow{Piece: fmt.Sprintf("%s, rest of %s", p.Name, rest), InRow: inRow, Rows: (p.Pieces + inRow - 1) / inRow, Run: run})
	}
	return rows
}
