package saw

import (
	"fmt"
	"math"
	"strings"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

var sprintf = fmt.Sprintf

// What a fault is of.
const (
	OfPieces = "pieces"
	OfStock  = "stock"
	OfSaw    = "saw"
)

// Fault is one thing that keeps a list from being planned.
type Fault struct {
	Of string
	// Line is that of the pieces or of the stock, from 1; 0 is the whole.
	Line int
	// Field is the column at fault, or "".
	Field string
	// NoRoom: all is understood, but the piece is longer than the bars, or they
	// are too few.
	NoRoom bool
	Said   string
}

// Refused holds every fault of a list.
type Refused struct{ Faults []Fault }

// NoRoom tells that nothing is wrong but that pieces find no room.
func (r *Refused) NoRoom() bool {
	for i := range r.Faults {
		if !r.Faults[i].NoRoom {
			return false
		}
	}
	return true
}

func (r *Refused) Error() string {
	said := make([]string, len(r.Faults))
	for i := range r.Faults {
		f := &r.Faults[i]
		said[i] = f.Said
		if f.Line > 0 {
			said[i] = sprintf("%s, line %d: %s", f.Of, f.Line, f.Said)
		}
	}
	return strings.Join(said, "; ")
}

type checking struct {
	list   *List
	faults []Fault
}

func (c *checking) add(of string, line int, field, format string, args ...any) {
	c.faults = append(c.faults, Fault{Of: of, Line: line, Field: field, Said: sprintf(format, args...)})
}

// check finds every fault that can be told in lengths.
func (l *List) check() []Fault {
	c := &checking{list: l}
	c.saw()
	room := c.stock()
	c.pieces(room)
	return c.faults
}

func (c *checking) saw() {
	s := &c.list.Saw
	if s.Lengths < 0 {
		c.add(OfSaw, 0, "lengths on a bar", "no more than %d lengths on a bar is none; write 0 for no limit", s.Lengths)
	}
	for _, one := range []struct {
		name   string
		length unit.Length
	}{{"kerf", s.Kerf}, {"trim", min(s.TrimStart, s.TrimEnd)}, {"least leftover kept", s.Keep}} {
		if one.length < 0 {
			c.add(OfSaw, 0, one.name, "the %s %s is less than nothing; write 0 in for none", one.name, one.length)
		}
	}
}

// stock is the longest piece that any bar gives.
func (c *checking) stock() (room unit.Length) {
	if len(c.list.Stock) == 0 {
		c.add(OfStock, 0, "", "there are no bars to cut from; name at least one length")
	}
	s := &c.list.Saw
	trims := s.TrimStart + s.TrimEnd
	for i := range c.list.Stock {
		stock := &c.list.Stock[i]
		switch gives := stock.Length - trims; {
		case stock.Length <= 0:
			c.add(OfStock, i+1, "length", "a bar of %s is none", stock.Length)
		case s.Kerf >= stock.Length:
			c.add(OfStock, i+1, "length", "the kerf of %s is as wide as the bar of %s is long", s.Kerf, stock.Length)
		case gives <= 0:
			c.add(OfStock, i+1, "length", "trims of %s leave nothing of a bar of %s", trims, stock.Length)
		case stock.Limit != 0:
			room = max(room, gives)
		}
		if stock.Price < 0 {
			c.add(OfStock, i+1, "price", "the price %s is less than nothing", stock.Price)
		}
		if stock.Limit != cutting.Unlimited && stock.Limit < 0 {
			c.add(OfStock, i+1, "count", "%d bars are less than none", stock.Limit)
		}
	}
	if s.AfterEvery {
		room -= s.Kerf
	}
	return room
}

func (c *checking) pieces(room unit.Length) {
	stockHolds := len(c.faults) == 0
	count := int64(0)
	for i := range c.list.Pieces {
		piece := &c.list.Pieces[i]
		switch {
		case piece.Length <= 0:
			c.add(OfPieces, c.list.lineAt(i), "length", "a piece of %s is none", piece.Length)
		case piece.Length > room && stockHolds:
			c.add(OfPieces, c.list.lineAt(i), "length", "%s is longer than the %s that the longest bar gives", piece.Length, max(room, 0))
			c.faults[len(c.faults)-1].NoRoom = true
		}
		if piece.Count <= 0 || piece.Count > cutting.MaxCount {
			c.add(OfPieces, c.list.lineAt(i), "count", "a count of %d is not from 1 to %d", piece.Count, cutting.MaxCount)
			continue
		}
		count = min(count+piece.Count, cutting.MaxCount+1)
	}
	c.sums(count)
}

// sums keeps every sum of lengths within an int64: no plan has more bars than
// pieces.
func (c *checking) sums(count int64) {
	var longest unit.Length
	for i := range c.list.Stock {
		longest = max(longest, c.list.Stock[i].Length)
	}
	if longest > 0 && count > math.MaxInt64/2/int64(longest) {
		c.add(OfPieces, 0, "count", "%d pieces from bars of %s are more than can be added up", count, longest)
	}
}

// lineAt is the line of a piece: of the file it was read from, else of the list.
func (l *List) lineAt(i int) int {
	if line := l.Pieces[i].line; line > 0 {
		return line
	}
	return i + 1
}
