package saw

import (
	"math"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

type sheetChecking struct {
	list   *SheetList
	faults []Fault
}

func (c *sheetChecking) add(of string, line int, field, format string, args ...any) {
	c.faults = append(c.faults, Fault{Of: of, Line: line, Field: field, Said: sprintf(format, args...)})
}

// check finds every fault that can be told in lengths.
func (l *SheetList) check() []Fault {
	c := &sheetChecking{list: l}
	c.saw()
	c.stock()
	whole := len(c.faults) == 0
	c.pieces(whole)
	return c.faults
}

func (c *sheetChecking) saw() {
	s := &c.list.Saw
	if s.Stages < 0 || s.Stages == 1 {
		c.add(OfSaw, 0, "stages", "%d stages of cuts are none; write 2 or more, or 0 for no limit", s.Stages)
	}
	for _, one := range []struct {
		name   string
		length unit.Length
	}{{"kerf", s.Kerf}, {"trim", s.Trim}, {"least leftover kept", s.Keep}} {
		if one.length < 0 {
			c.add(OfSaw, 0, one.name, "the %s %s is less than nothing; write 0 in for none", one.name, one.length)
		}
	}
}

func (c *sheetChecking) stock() {
	if len(c.list.Stock) == 0 {
		c.add(OfStock, 0, "", "there are no sheets to cut from; name at least one size")
	}
	s := &c.list.Saw
	for i := range c.list.Stock {
		stock := &c.list.Stock[i]
		least := min(stock.Length, stock.Width)
		switch {
		case least <= 0:
			c.add(OfStock, i+1, "size", "a sheet of %s x %s is none", stock.Length, stock.Width)
		case max(stock.Length, stock.Width) > unit.Length(cutting.MaxSide):
			c.add(OfStock, i+1, "size", "a sheet of %s x %s is longer than the %s that are reckoned", stock.Length, stock.Width, unit.Length(cutting.MaxSide))
		case s.Kerf >= least:
			c.add(OfStock, i+1, "size", "the kerf of %s is as wide as the sheet of %s x %s", s.Kerf, stock.Length, stock.Width)
		case least <= 2*s.Trim:
			c.add(OfStock, i+1, "size", "trims of %s at each edge leave nothing of a sheet of %s x %s", s.Trim, stock.Length, stock.Width)
		}
		if stock.Price < 0 {
			c.add(OfStock, i+1, "price", "the price %s is less than nothing", stock.Price)
		}
		if stock.Limit != cutting.Unlimited && stock.Limit < 0 {
			c.add(OfStock, i+1, "count", "%d sheets are less than none", stock.Limit)
		}
	}
}

func (c *sheetChecking) pieces(stockHolds bool) {
	count := int64(0)
	for i := range c.list.Pieces {
		piece := &c.list.Pieces[i]
		line := c.list.lineAt(i)
		switch {
		case min(piece.Length, piece.Width) <= 0:
			c.add(OfPieces, line, "length", "a piece of %s x %s is none", piece.Length, piece.Width)
		case stockHolds && !c.list.fits(piece):
			c.add(OfPieces, line, "length", "%s x %s%s is larger than any sheet gives: the largest gives %s", piece.Length, piece.Width, piece.grained(), c.list.largest())
			c.faults[len(c.faults)-1].NoRoom = true
		}
		if piece.Count <= 0 || piece.Count > cutting.MaxCount {
			c.add(OfPieces, line, "count", "a count of %d is not from 1 to %d", piece.Count, cutting.MaxCount)
			continue
		}
		count = min(count+piece.Count, cutting.MaxCount+1)
	}
	c.sums(count)
}

func (p *SheetPiece) grained() string {
	if p.Turn {
		return ""
	}
	return ", which may not be turned,"
}

// fits tells that some sheet gives the piece.
func (l *SheetList) fits(piece *SheetPiece) bool {
	for i := range l.Stock {
		stock := &l.Stock[i]
		length, width := stock.Length-2*l.Saw.Trim, stock.Width-2*l.Saw.Trim
		if stock.Limit != 0 && (piece.Length <= length && piece.Width <= width || piece.Turn && piece.Width <= length && piece.Length <= width) {
			return true
		}
	}
	return false
}

// largest is what the largest sheet gives.
func (l *SheetList) largest() string {
	var best *StockSheet
	for i := range l.Stock {
		if stock := &l.Stock[i]; stock.Limit != 0 && (best == nil || areaOf(stock.Length, stock.Width) > areaOf(best.Length, best.Width)) {
			best = stock
		}
	}
	if best == nil {
		return "nothing"
	}
	return sprintf("%s x %s", best.Length-2*l.Saw.Trim, best.Width-2*l.Saw.Trim)
}

// sums keeps every sum of areas within an int64: no plan has more sheets than
// pieces.
func (c *sheetChecking) sums(count int64) {
	var largest unit.Area
	for i := range c.list.Stock {
		if stock := &c.list.Stock[i]; stock.Length > 0 && stock.Width > 0 {
			largest = max(largest, areaOf(stock.Length, stock.Width))
		}
	}
	if largest > 0 && count > math.MaxInt64/2/int64(largest) {
		c.add(OfPieces, 0, "count", "%d pieces from sheets of %s are more than can be added up", count, largest)
	}
}

func (l *SheetList) lineAt(i int) int {
	if line := l.Pieces[i].line; line > 0 {
		return line
	}
	return i + 1
}
