package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// What is bought in sheets and cut from them in the workshop, where the catalog
// says so of its item.
//
//	piece     = the rectangle around the row's size + oversize, in length and width
//	area      = length · width · pieces, of which an item's requirement is the sum
//
// A piece that no sheet gives, or of a thickness that comes in none, is bought to
// size. How many sheets the others take is planned from all pieces at hand
// (package saw). A tempered pane is never cut; its glass cannot come in sheets.
//
// Worked: 3 panes of a mirror, 24 x 36 in, 1/8 in oversize for grinding: pieces of
// 24 1/8 x 36 1/8 in, 871 33/64 in2 each, 18.16 ft2 for the three.

// SheetCut is what a piece of a row is cut to from a sheet.
type SheetCut struct {
	// Item is that of the row's requirement.
	Item   string      `json:"item"`
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	// Turn tells that it may lie either way on the sheet.
	Turn bool `json:"turn"`
}

// SheetStock is an item that is bought in sheets.
type SheetStock struct {
	Kind string
	// Item is as requirements name it.
	Item   string
	Name   string
	Sheets *catalog.Sheets
	Sizes  []catalog.SheetSize
	Buy    *catalog.Buying
}

// SheetStocks are all items of a catalog that are bought in sheets.
func SheetStocks(cat *catalog.Catalog) []SheetStock {
	var stocks []SheetStock
	units := unitsOf(cat)
	whole := func(kind, item, name string, sheets *catalog.Sheets, buy *catalog.Buying) {
		if sheets != nil {
			stocks = append(stocks, SheetStock{kind, item, name, sheets, sheets.Sizes, buy})
		}
	}
	thick := func(kind, code, name string, sheets *catalog.Sheets, buy *catalog.Buying) {
		seen := map[unit.Length]bool{}
		if sheets == nil {
			return
		}
		for _, size := range sheets.Sizes {
			if size.Thickness == nil || seen[*size.Thickness] {
				continue
			}
			seen[*size.Thickness] = true
			thickness := units.Length(*size.Thickness)
			stocks = append(stocks, SheetStock{kind, code + " " + thickness, name + ", " + thickness, sheets, sheets.Of(size.Thickness), buy})
		}
	}
	for code, g := range cat.Glass.All() {
		whole(KindGlass, code.Value, g.Name, g.Sheets, g.Buy)
	}
	for code, s := range cat.Stone.All() {
		whole(KindStone, code.Value, s.Name, s.Sheets, s.Buy)
	}
	for code, s := range cat.Species.All() {
		thick(KindBlank, code.Value, s.Name, s.Sheets, s.Buy)
	}
	for code, f := range cat.Foams.All() {
		thick(KindFoam, code.Value, f.Name, f.Sheets, f.Buy)
	}
	for code, b := range cat.Boards.All() {
		for i := range b.Grades {
			g := &b.Grades[i]
			whole(KindCarton, code.Value+" "+g.Grade, b.Name+", "+g.Grade, g.Sheets, b.Buy)
		}
	}
	return stocks
}

// SheetStockOf is the item of a requirement, and whether it is bought in sheets.
func SheetStockOf(cat *catalog.Catalog, kind, item string) (SheetStock, bool) {
	for _, stock := range SheetStocks(cat) {
		if stock.Kind == kind && stock.Item == item {
			return stock, true
		}
	}
	return SheetStock{}, false
}

// sheetPiece is what a row would be cut from, in the item's sheets.
type sheetPiece struct {
	path, kind, item string
	sheets           *catalog.Sheets
	thickness        *unit.Length // nil where the item tells it
	length, width    unit.Length
	pieces           int
}

// fromSheet asks for a piece cut from a sheet, in the place of one bought to size.
// It gives nil where it is bought to size after all: where its item comes in no
// sheets, or in none of its thickness, or in none that gives so large a piece.
func (r *reckoning) fromSheet(p sheetPiece) *SheetCut {
	s, sizes := p.sheets, p.sheets.Of(p.thickness)
	if len(sizes) == 0 || !s.Give(sizes, p.length+s.Oversize, p.width+s.Oversize) {
		return nil
	}
	cut := &SheetCut{Item: p.item, Length: p.length + s.Oversize, Width: p.width + s.Oversize, Turn: !s.Grain}
	if p.thickness != nil {
		cut.Item += " " + r.units.Length(*p.thickness)
	}
	var x exact
	amount := x.times(int64(x.area(cut.Length, cut.Width)), p.pieces)
	if !r.settled(p.path, &x) {
		return nil
	}
	r.note(p.path, "sheet", "%s + %s oversize by %s + %s = %s by %s, %d pieces = %s of %s", p.length, s.Oversize, p.width, s.Oversize, cut.Length, cut.Width, p.pieces, Surface(amount), cut.Item)
	r.bill.materials = append(r.bill.materials, Material{Line: r.line.Number, Path: p.path, Kind: p.kind, Item: cut.Item, Pieces: p.pieces,
		PieceLength: cut.Length, PieceWidth: cut.Width, Amount: amount, Measure: Area})
	return cut
}
