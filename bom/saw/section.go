package saw

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Of is how a catalog's workshop saws.
func Of(cat *catalog.Catalog) Saw {
	trim := cat.Length("bar_trim")
	s := Saw{Kerf: cat.Length("saw_kerf"), AfterEvery: cat.Choice("kerf_placement") == "after every piece"}
	switch cat.Choice("bar_trim_ends") {
	case "both":
		s.TrimStart, s.TrimEnd = trim, trim
	case "one":
		s.TrimStart = trim
	}
	if keep, given := cat.MaybeLength("least_offcut"); given {
		s.Keep = keep
	}
	if most, given := cat.MaybeRatio("lengths_on_a_bar"); given {
		s.Lengths = int(most.Num() / most.Den()) // Read made sure that it is whole
	}
	return s
}

// ListOf is the list of a section's pieces: cut from the bars on the rack, and
// from bars to order as many as there are pieces that need one at the most. What
// such a bar leaves may hold shorter pieces. Offcuts are taken first; they are
// trimmed as bars are.
func ListOf(cat *catalog.Catalog, section *catalog.Section, pieces []Piece, offcuts []Offcut) *List {
	l := &List{Section: section.Code, Name: section.Name, Pieces: pieces, Saw: Of(cat)}
	var rack unit.Length
	for i := range section.Stock {
		if bar := &section.Stock[i]; bar.LeadDays == 0 {
			l.Stock = append(l.Stock, Stock{Length: bar.Length, Price: bar.Price, Limit: cutting.Unlimited})
			rack = max(rack, bar.Length)
		}
	}
	wanted := map[*catalog.StockBar]int64{}
	for i := range pieces {
		if pieces[i].Length <= l.Saw.gives(rack) {
			continue
		}
		if bar := l.Saw.toOrder(section, pieces[i].Length); bar != nil {
			wanted[bar] += pieces[i].Count
		}
	}
	for i := range section.Stock {
		bar := &section.Stock[i]
		if n := wanted[bar]; n > 0 {
			l.Stock = append(l.Stock, Stock{Length: bar.Length, Price: bar.Price, Limit: n, LeadDays: bar.LeadDays})
		}
	}
	for _, o := range offcuts {
		l.Stock = append(l.Stock, Stock{Length: o.Length, Limit: o.Count, Offcut: true})
	}
	return l
}

// gives is the longest piece that a bar gives.
func (s *Saw) gives(bar unit.Length) unit.Length {
	bar -= s.TrimStart + s.TrimEnd
	if s.AfterEvery {
		bar -= s.Kerf
	}
	return bar
}

// toOrder is the bar that is here soonest, of those the shortest, as package bom
// chooses it for the order; nil where none is long enough.
func (s *Saw) toOrder(section *catalog.Section, piece unit.Length) *catalog.StockBar {
	var best *catalog.StockBar
	for i := range section.Stock {
		bar := &section.Stock[i]
		if bar.LeadDays == 0 || piece > s.gives(bar.Length) {
			continue
		}
		if best == nil || cmp.Or(cmp.Compare(bar.LeadDays, best.LeadDays), cmp.Compare(bar.Length, best.Length)) < 0 {
			best = bar
		}
	}
	return best
}

// Need is the pieces of one section.
type Need struct {
	Section string
	Pieces  []Piece
}

// OfBill are the pieces of an order's bill by section, in the order in which the
// bill first names them.
func OfBill(number string, bill *bom.Bill) []Need {
	var needs []Need
	for i := range bill.Lines {
		line := &bill.Lines[i]
		for j := range line.Steel {
			row := &line.Steel[j]
			needs = AddTo(needs, row.Section, MarkOf(number, line.Line, 0, row.Path, row.Cut, int64(row.Pieces)))
		}
	}
	return needs
}

// AddTo puts a piece with those of its section.
func AddTo(needs []Need, section string, piece Piece) []Need {
	at := slices.IndexFunc(needs, func(n Need) bool { return n.Section == section })
	if at < 0 {
		at, needs = len(needs), append(needs, Need{Section: section})
	}
	needs[at].Pieces = append(needs[at].Pieces, piece)
	return needs
}

// MarkOf is the pieces of a bill's row with their mark: the order's number and
// the row's address, and the unit of the line where its units differ.
func MarkOf(number string, line, ofUnit int, path string, length unit.Length, count int64) Piece {
	row := strconv.Itoa(line) + "/" + path
	mark := number + " " + row
	if ofUnit > 0 {
		mark += fmt.Sprintf(" unit %d", ofUnit)
	}
	return Piece{Mark: mark, Order: number, Row: row, Length: length, Count: count}
}

// Offcut is pieces of bar on the rack.
type Offcut struct {
	Length unit.Length
	Count  int64
}

// maxOffcuts is how many lines of offcuts are read.
const maxOffcuts = 10_000

// ParseOffcuts reads "70 in, 48 1/2 in x 3". Every fault is told, each with its
// place in the list from 1.
func ParseOffcuts(text string) ([]Offcut, []Fault) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var offcuts []Offcut
	var faults []Fault
	line := 0
	for one := range strings.SplitSeq(text, ",") {
		if line++; line > maxOffcuts {
			return nil, []Fault{{Of: OfStock, Field: "offcuts", Said: sprintf("more than %d offcuts are listed", maxOffcuts)}}
		}
		length, count, err := parseCounted(one)
		if err != nil {
			faults = append(faults, Fault{Of: OfStock, Line: line, Field: "offcuts", Said: err.Error()})
			continue
		}
		if count == cutting.Unlimited {
			count = 1
		}
		offcuts = append(offcuts, Offcut{length, count})
	}
	return offcuts, faults
}

// parseCounted reads "48 1/2 in x 3"; without a count it is cutting.Unlimited.
func parseCounted(text string) (unit.Length, int64, error) {
	count := int64(cutting.Unlimited)
	length, times, found := strings.Cut(text, " x ")
	if found {
		n, err := strconv.ParseInt(strings.TrimSpace(times), 10, 64)
		if err != nil || n < 1 || n > cutting.MaxCount {
			return 0, 0, fmt.Errorf("%q is not how many there are; write a whole number from 1, such as %s x 3", strings.TrimSpace(times), strings.TrimSpace(length))
		}
		count = n
	}
	l, err := unit.ParseLength(strings.TrimSpace(length))
	if err == nil && l <= 0 {
		err = fmt.Errorf("%q: a bar of no length", strings.TrimSpace(length))
	}
	return l, count, err
}

// ParseStock reads "20 ft @ 41.20", "20 ft" or "20 ft @ 41.20 x 3", a bar with
// its price and with how many there are; without a count any number is bought.
func ParseStock(text string) (Stock, error) {
	s := Stock{Limit: cutting.Unlimited}
	bar, price, priced := strings.Cut(text, "@")
	if priced {
		before, times, counted := strings.Cut(price, " x ")
		p, err := unit.ParseMoney(strings.TrimSpace(before))
		if err != nil {
			return s, err
		}
		if p <= 0 {
			return s, fmt.Errorf("%q: a price is more than nothing; leave out what is after the length for a bar without one", strings.TrimSpace(before))
		}
		s.Price = p
		if counted {
			bar = strings.TrimRight(bar, " ") + " x " + times
		}
	}
	var err error
	s.Length, s.Limit, err = parseCounted(bar)
	return s, err
}
