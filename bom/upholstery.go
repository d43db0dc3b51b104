package bom

import (
	"billwright/catalog"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// Cushions: the pieces that are cut for them, and their foam. The cloth of a
// line is summed in cloth.go, its leather in leather.go.
//
// A piece that may be joined and is wider than the goods is cut as full widths
// and a remainder, each join taking a seam on both sides. A piece that may not
// be joined is turned when the cloth may be railroaded and its pattern may lie
// on its side; else it needs a seam that nobody drew, which is a finding.
//
//	foam      = finished length and width + foam_oversize, by the height
//
// Worked: a cushion 48 x 16 x 3 in with foam 1/2 in oversize: foam 48-1/2 x
// 16-1/2 x 3 in.

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
	// Joined tells that pieces are sewn up from several widths, or from several
	// pieces of leather.
	Joined bool `json:"joined"`
	// Railroaded tells that the piece lies turned on the cloth.
	Railroaded bool `json:"railroaded"`

	leather unit.Area // of one piece with its joins
}

// FoamSize is the size that foam is cut to.
type FoamSize struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	Height unit.Length `json:"height"`
}

// sewn is the cloth of one cushion row, waiting for the line's sum.
type sewn struct {
	path   string
	fabric *catalog.Fabric
	usable unit.Length
	repeat unit.Length
	form   *catalog.CushionForm
	cloth  string // its name on the papers
	panels []Panel
	laid   bool // summed already
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
	goods, ok := r.goods(p, fabric, form)
	if !ok {
		return
	}
	row := CushionRow{
		Path: p.Path, Name: name(p), Form: form.Name, Cloth: r.said(&c.Cloth, fabric.Name), Each: each, Pieces: r.all(each),
		Length: length, Width: width, Height: height, Foam: foam.Name,
	}
	goods.cloth = row.Cloth
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
func (r *reckoning) goods(p *catalog.Part, fabric *catalog.Fabric, form *catalog.CushionForm) (sewn, bool) {
	goods := sewn{path: p.Path, fabric: fabric, form: form, usable: fabric.Usable, repeat: fabric.Repeat}
	if !fabric.Own || fabric.Leather != nil {
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
	if p.Cushion.OwnRepeat != nil && !r.line.Config.RepeatUnknown(p) {
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
	if goods.fabric.Leather != nil {
		return panel, r.fitsHide(path, &panel, piece.Join, goods.fabric)
	}
	if across <= goods.usable {
		return panel, true
	}
	switch {
	case piece.Join && goods.usable > 2*r.cat.Length("seam"):
		panel.Joined = true
	case goods.fabric.Railroad && !goods.fabric.UpTheRoll() && along <= goods.usable:
		panel.Along, panel.Across, panel.Railroaded = across, along, true
	default:
		may := "one that may be railroaded"
		if goods.fabric.Railroad && goods.fabric.UpTheRoll() {
			may = "one whose pattern may lie on its side"
		}
		r.refuse("cloth.too-narrow", path, "it is %s across and %s gives %s: it needs a seam that the pattern does not have; choose a wider cloth, %s, or a smaller size",
			across, goods.fabric.Name, goods.usable, may)
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
