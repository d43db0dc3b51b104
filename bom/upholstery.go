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
// on its side; else it needs a seam that nobody drew, which is a finding. Strips
// on the bias come from squares (goods.go); of leather they are cut straight and
// joined, since a hide has no thread (common practice). Pieces that the form cuts
// from the contrast are of the cushion's second fabric, where it has one.
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
	// Contrast is the second fabric, where the cushion has one.
	Contrast string `json:"contrast,omitempty"`
	// Shape is the outline, with its perimeter and area, of a cushion that is not
	// a rectangle; Length and Width are those of the rectangle around it.
	Shape     string      `json:"shape,omitempty"`
	Perimeter unit.Length `json:"perimeter,omitzero"`
	Area      Surface     `json:"area,omitzero"`
	// Trimmings are those of one cushion.
	Trimmings []TrimmingRow `json:"trimmings,omitempty"`
	// FoamSheet is there where the foam is cut from a sheet in the workshop.
	FoamSheet *SheetCut `json:"foam_sheet,omitempty"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`
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
	// Beside tells that pieces beside each other match across the goods.
	Beside bool `json:"match_across,omitzero"`
	// Bias tells that the piece is a strip on the bias, Along wide and Across long.
	Bias bool `json:"bias,omitzero"`
	// Contrast tells that it is cut from the second fabric.
	Contrast bool `json:"contrast,omitzero"`

	leather unit.Area     // of one piece with its joins
	square  unit.Rounding // of the side of a bias square
}

// FoamSize is the size that foam is cut to.
type FoamSize struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	Height unit.Length `json:"height"`
}

// sewn is what one cushion row takes of one fabric, waiting for the line's sum.
type sewn struct {
	path   string // of the cushion
	role   string // cloth or contrast
	fabric *catalog.Fabric
	goods  Goods
	form   *catalog.CushionForm
	cloth  string // its name on the papers
	panels []Panel
	laid   bool // summed already
}

func (r *reckoning) cushion(p *catalog.Part, each int) {
	c := p.Cushion
	size, okSize := r.seat(p)
	form, foundForm := r.cat.CushionForms.Get(c.Form)
	foam, foundFoam := r.cat.Foams.Get(c.Foam)
	if !foundForm || !foundFoam {
		r.refuse("cushion.unknown", p.Path, "form %q or foam %q is not in the catalog", c.Form, c.Foam)
		return
	}
	goods, okGoods := r.covers(p, form)
	if !okSize || !okGoods {
		return
	}
	row := CushionRow{
		Path: p.Path, Name: name(p), Form: form.Name, Cloth: goods[0].cloth, Each: each, Pieces: r.all(each),
		Length: size.Length, Width: size.Width, Height: size.Height, Foam: foam.Name,
		SubstitutedFor: r.inPlace(foam.InPlaceOf),
	}
	if len(goods) > 1 {
		row.Contrast = goods[1].cloth
	}
	if c.Shape != "" && c.Shape != "rectangle" {
		row.Shape, row.Perimeter, row.Area = c.Shape, size.Perimeter, Surface(size.Area)
	}
	env := form.Env(&size)
	if !r.panels(&row, form, env, goods) || !r.trimmings(&row, form, env) {
		return
	}
	r.foam(&row, foam)
	r.noteCushion(&row)
	r.bill.Cushions = append(r.bill.Cushions, row)
	r.sewing = append(r.sewing, goods...)
}

// covers gives what a cushion is cut from: its cloth, and where it has one of
// another fabric, its contrast.
func (r *reckoning) covers(p *catalog.Part, form *catalog.CushionForm) ([]sewn, bool) {
	cloth, ok := r.cover(p, form, catalog.FromCloth, &p.Cushion.Cloth)
	if p.Cushion.Contrast == nil {
		return []sewn{cloth}, ok
	}
	contrast, okContrast := r.cover(p, form, catalog.FromContrast, p.Cushion.Contrast)
	if !ok || !okContrast || contrast.fabric == cloth.fabric {
		return []sewn{cloth}, ok && okContrast
	}
	return []sewn{cloth, contrast}, true
}

func (r *reckoning) cover(p *catalog.Part, form *catalog.CushionForm, role string, e *catalog.Expr) (sewn, bool) {
	code, ok := r.text(p.Path, role, e)
	if !ok {
		return sewn{}, false
	}
	fabric, found := r.cat.Fabrics.Get(code)
	if !found {
		r.refuse("cushion.unknown", p.Path, "there is no fabric %q", code)
		return sewn{}, false
	}
	of := sewn{path: p.Path, role: role, fabric: fabric, form: form, cloth: r.said(e, fabric.Name)}
	of.goods = Goods{Usable: fabric.Usable, Repeat: fabric.Repeat, Across: fabric.Across, Seam: r.cat.Length("seam")}
	return of, !fabric.Own || fabric.Leather != nil || r.ownGoods(p, &of.goods)
}

// ownGoods takes the width and repeats of customer's own material, which come
// with the order, or what came of it.
func (r *reckoning) ownGoods(p *catalog.Part, goods *Goods) bool {
	if r.came != nil && r.came.of[p.Path] {
		*goods = r.came.goods()
		return true
	}
	if p.Cushion.OwnUsable == nil && goods.Usable > 0 {
		return true // as the catalog says of it
	}
	if p.Cushion.OwnUsable == nil {
		r.refuse("cloth.width-unknown", p.Path, "customer's own material has no width here: the product must ask for it")
		return false
	}
	usable, ok := r.length(p.Path, "usable width of own material", p.Cushion.OwnUsable)
	if !ok {
		return false
	}
	goods.Usable = usable
	if r.line.Config.RepeatUnknown(p) {
		return true
	}
	for _, one := range []struct {
		figure string
		expr   *catalog.Expr
		into   *unit.Length
	}{{"repeat of own material", p.Cushion.OwnRepeat, &goods.Repeat}, {"repeat across own material", p.Cushion.OwnAcross, &goods.Across}} {
		if one.expr == nil {
			continue
		}
		repeat, ok := r.value(p.Path, one.figure, one.expr)
		if !ok {
			return false
		}
		*one.into = repeat.Length()
	}
	return true
}

// panels reckons the pieces of a cushion row and keeps them for the line's
// cloth.
func (r *reckoning) panels(row *CushionRow, form *catalog.CushionForm, env []formula.Value, goods []sewn) bool {
	ok := true
	for code, piece := range form.Pieces.All() {
		of := &goods[0]
		if piece.From == catalog.FromContrast && len(goods) > 1 {
			of = &goods[1]
		}
		panel, okPanel := r.panel(row, code.Value, piece, env, of)
		if !okPanel {
			ok = false
			continue
		}
		if panel.Pieces > 0 {
			panel.Contrast = of != &goods[0]
			row.Cut = append(row.Cut, panel)
			of.panels = append(of.panels, panel)
		}
	}
	return ok
}

func (r *reckoning) panel(row *CushionRow, code string, piece *catalog.CushionPiece, env []formula.Value, of *sewn) (Panel, bool) {
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
	panel := Panel{Name: code, Pieces: count * row.Pieces, Along: along, Across: across, Match: piece.Match, Beside: piece.Beside}
	if of.fabric.Leather != nil {
		return panel, r.fitsHide(path, &panel, piece.Join || piece.Bias != nil, of.fabric)
	}
	if piece.Bias != nil {
		return panel, r.onBias(path, &panel, piece, of)
	}
	return panel, across <= of.goods.Usable || r.tooWide(path, &panel, piece, of)
}

// onBias makes a piece a strip on the bias, or refuses goods that are too narrow
// for any square.
func (r *reckoning) onBias(path string, panel *Panel, piece *catalog.CushionPiece, of *sewn) bool {
	panel.Bias, panel.square = true, unit.Rounding{Mode: unit.Up, To: piece.Bias.To}
	strips, err := panel.strips()
	x := exact{err: err}
	if !r.settled(path, &x) {
		return false
	}
	if side, _ := of.goods.largest(panel); side <= 0 {
		r.refuse("cloth.too-narrow", path, "a strip of %s on the bias needs a square larger than the %s that %s gives: choose a wider cloth, or one for the strips alone",
			panel.Along, of.goods.Usable, of.fabric.Name)
		return false
	}
	if r.trace {
		r.note(path, "bias", "%d strips of %s x %s: %s of strips on the bias", panel.Pieces, panel.Along, panel.Across, Surface(strips))
	}
	return true
}

// tooWide joins or turns a piece that is wider than the goods, or refuses it
// with the ways out.
func (r *reckoning) tooWide(path string, panel *Panel, piece *catalog.CushionPiece, of *sewn) bool {
	across, fabric := panel.Across, of.fabric
	switch {
	case piece.Join && of.goods.gain(panel) > 0:
		panel.Joined = true
		return true
	case fabric.Railroad && !fabric.UpTheRoll() && panel.Along <= of.goods.Usable:
		panel.Along, panel.Across, panel.Railroaded = across, panel.Along, true
		return true
	}
	may := "one that may be railroaded"
	if fabric.Railroad && fabric.UpTheRoll() {
		may = "one whose pattern may lie on its side"
	}
	if piece.Join {
		may = "one with a smaller repeat across"
	}
	r.refuse("cloth.too-narrow", path, "it is %s across and %s gives %s: it needs a seam that the pattern does not have; choose a cloth with %s more of usable width, %s, or a size that makes it %s less",
		across, fabric.Name, of.goods.Usable, across-of.goods.Usable, may, across-of.goods.Usable)
	return false
}

func (r *reckoning) foam(row *CushionRow, foam *catalog.Foam) {
	over := r.cat.Length("foam_oversize")
	row.FoamSize = FoamSize{row.Length + over, row.Width + over, row.Height}
	var x exact
	volume := x.volume(x.area(row.FoamSize.Length, row.FoamSize.Width), row.FoamSize.Height)
	trimmed := volume
	if row.Shape != "" {
		trimmed = x.volume(unit.Area(row.Area)+x.area(row.Perimeter, over)/2, row.Height)
	}
	mass, err := foam.Density.Mass(trimmed)
	x.keep(err)
	all := x.times(int64(volume), row.Pieces)
	unitMass := x.times(int64(mass), row.Each)
	if !r.settled(row.Path, &x) {
		return
	}
	row.FoamSheet = r.fromSheet(sheetPiece{path: row.Path + "/foam", kind: KindFoam, item: foam.Code, sheets: foam.Sheets, thickness: &row.FoamSize.Height,
		length: row.FoamSize.Length, width: row.FoamSize.Width, pieces: row.Pieces})
	if row.FoamSheet == nil {
		r.need(row.Path+"/foam", KindFoam, foam.Code, row.Pieces, all, Volume)
	}
	r.weigh(row.Path, unit.Mass(unitMass))
}
