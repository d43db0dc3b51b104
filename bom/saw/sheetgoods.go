package saw

import (
	"slices"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// SheetListOf is the list of an item's pieces, cut as its catalog says. Offcuts
// are taken first; they are trimmed as sheets are.
func SheetListOf(cat *catalog.Catalog, stock *bom.SheetStock, pieces []SheetPiece, offcuts []SheetOffcut) *SheetList {
	s := stock.Sheets
	l := &SheetList{Kind: stock.Kind, Item: stock.Item, Name: stock.Name, Pieces: slices.Clone(pieces), Saw: SheetSaw{Kerf: s.KerfOf(cat), Trim: s.Trim, Stages: s.Stages, Keep: s.Keep}}
	for i := range l.Pieces {
		l.Pieces[i].Turn = !s.Grain
	}
	for _, size := range stock.Sizes {
		one := StockSheet{Length: size.Length, Width: size.Width, Price: size.Price, Limit: cutting.Unlimited}
		if size.Limit > 0 {
			one.Limit = size.Limit
		}
		l.Stock = append(l.Stock, one)
	}
	for _, o := range offcuts {
		l.Stock = append(l.Stock, StockSheet{Length: o.Length, Width: o.Width, Limit: o.Count, Offcut: true})
	}
	return l
}

// SheetsOfBill are the pieces of an order's bill that are cut from sheets, by
// item, in the order in which the bill first names them.
func SheetsOfBill(number string, bill *bom.Bill) []SheetNeed {
	var needs []SheetNeed
	for i := range bill.Lines {
		line := &bill.Lines[i]
		add := func(kind, path string, cut *bom.SheetCut, pieces int) {
			if cut != nil {
				needs = AddSheetTo(needs, kind, cut.Item, SheetMarkOf(number, line.Line, 0, path, cut.Length, cut.Width, int64(pieces)))
			}
		}
		for j := range line.Wood {
			row := &line.Wood[j]
			add(bom.KindBlank, row.Path, row.Sheet, row.Pieces)
		}
		for j := range line.Glass {
			row := &line.Glass[j]
			add(bom.KindGlass, row.Path, row.Sheet, row.Pieces)
		}
		for j := range line.Stone {
			row := &line.Stone[j]
			add(bom.KindStone, row.Path, row.Sheet, row.Pieces)
		}
		for j := range line.Cushions {
			row := &line.Cushions[j]
			add(bom.KindFoam, row.Path+"/foam", row.FoamSheet, row.Pieces)
		}
		for j := range line.Cartons {
			row := &line.Cartons[j]
			add(bom.KindCarton, row.Path, row.Sheet, row.Pieces)
		}
	}
	return needs
}

// AddSheetTo puts a piece with those of its item.
func AddSheetTo(needs []SheetNeed, kind, item string, piece SheetPiece) []SheetNeed {
	at := slices.IndexFunc(needs, func(n SheetNeed) bool { return n.Kind == kind && n.Item == item })
	if at < 0 {
		at, needs = len(needs), append(needs, SheetNeed{Kind: kind, Item: item})
	}
	needs[at].Pieces = append(needs[at].Pieces, piece)
	return needs
}

// SheetMarkOf is the pieces of a bill's row with their mark, as MarkOf gives it.
func SheetMarkOf(number string, line, ofUnit int, path string, length, width unit.Length, count int64) SheetPiece {
	marked := MarkOf(number, line, ofUnit, path, length, count)
	return SheetPiece{Mark: marked.Mark, Order: number, Row: marked.Row, Length: length, Width: width, Count: count}
}
