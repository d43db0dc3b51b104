package saw

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// SheetNeed is the pieces of one item in sheets.
type SheetNeed struct {
	Kind   string
	Item   string
	Pieces []SheetPiece
}

// ReadSheetPieces reads a list of rectangles by group: CSV in UTF-8 whose first
// row names the columns length, width, count, mark, group and grain, in any
// order; length and width are required. A piece with yes under grain is never
// turned, one with no may be, and one without either as grain says.
func ReadSheetPieces(from io.Reader, grain bool) ([]SheetNeed, []Fault) {
	r := csv.NewReader(from)
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	p := &sheetPieceReader{list: list{csv: r, columns: sheetColumns, needed: sheetColumns[:2]}, group: map[string]int{}, grain: grain}
	p.read(p.row)
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.needs, nil
}

type sheetPieceReader struct {
	list
	group map[string]int // index into needs
	needs []SheetNeed
	grain bool
}

func (p *sheetPieceReader) row(row []string, line int) {
	before := len(p.faults)
	field := p.fields(row, line)
	length, width := p.length(field(columnLength), columnLength, line), p.length(field(columnWidth), columnWidth, line)
	count := p.count(field(columnCount), line)
	mark, group := p.label(field(columnMark), columnMark, line), p.label(field(columnGroup), columnGroup, line)
	grain := p.grain
	switch text := strings.ToLower(field(columnGrain)); text {
	case "":
	case "yes":
		grain = true
	case "no":
		grain = false
	default:
		p.fault(line, columnGrain, "%q is neither yes nor no", cutText(text))
	}
	if len(p.faults) > before {
		return
	}
	at, found := p.group[group]
	if !found {
		at = len(p.needs)
		p.group[group] = at
		p.needs = append(p.needs, SheetNeed{Item: group})
	}
	p.needs[at].Pieces = append(p.needs[at].Pieces, SheetPiece{Mark: mark, Length: length, Width: width, Count: count, Turn: !grain, line: line})
}

// ParseSheet reads "96 in x 48 in @ 61.50", "96 in x 48 in" or, with how many
// there are, "96 in x 48 in @ 61.50 x 3" and "96 in x 48 in x 3"; without a count
// any number is bought.
func ParseSheet(text string) (StockSheet, error) {
	s := StockSheet{Limit: cutting.Unlimited}
	size, price, priced := strings.Cut(text, "@")
	sides := strings.Split(size, " x ")
	if len(sides) < 2 || len(sides) > 3 {
		return s, fmt.Errorf("%q is no size of a sheet; write its length and width, such as 96 in x 48 in", strings.TrimSpace(size))
	}
	count, counted := "", len(sides) == 3
	if counted {
		count = sides[2]
	}
	if priced {
		before, times, more := strings.Cut(price, " x ")
		p, err := unit.ParseMoney(strings.TrimSpace(before))
		if err != nil {
			return s, err
		}
		if p <= 0 {
			return s, fmt.Errorf("%q: a price is more than nothing; leave out what is after the size for a sheet without one", strings.TrimSpace(before))
		}
		if more && counted {
			return s, fmt.Errorf("%q says twice how many there are", strings.TrimSpace(text))
		}
		s.Price = p
		if more {
			count, counted = times, true
		}
	}
	if counted {
		var err error
		if _, s.Limit, err = parseCounted("1 in x " + count); err != nil {
			return s, fmt.Errorf("%q is not how many there are; write a whole number from 1", strings.TrimSpace(count))
		}
	}
	for i, into := range []*unit.Length{&s.Length, &s.Width} {
		side, err := unit.ParseLength(strings.TrimSpace(sides[i]))
		if err != nil {
			return s, err
		}
		if side <= 0 {
			return s, fmt.Errorf("%q: a sheet without a side", strings.TrimSpace(size))
		}
		*into = side
	}
	return s, nil
}

// SheetOffcut is offcuts of a sheet on the rack.
type SheetOffcut struct {
	Length, Width unit.Length
	Count         int64
}

// ParseSheetOffcuts reads "30 in x 20 in, 48 in x 24 in x 3". Every fault is
// told, each with its place in the list from 1.
func ParseSheetOffcuts(text string) ([]SheetOffcut, []Fault) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var offcuts []SheetOffcut
	var faults []Fault
	line := 0
	for one := range strings.SplitSeq(text, ",") {
		if line++; line > maxOffcuts {
			return nil, []Fault{{Of: OfStock, Field: "offcuts", Said: sprintf("more than %d offcuts are listed", maxOffcuts)}}
		}
		sheet, err := ParseSheet(strings.TrimSpace(one))
		if err == nil && sheet.Price > 0 {
			err = fmt.Errorf("%q: an offcut has no price", strings.TrimSpace(one))
		}
		if err != nil {
			faults = append(faults, Fault{Of: OfStock, Line: line, Field: "offcuts", Said: err.Error()})
			continue
		}
		if sheet.Limit == cutting.Unlimited {
			sheet.Limit = 1
		}
		offcuts = append(offcuts, SheetOffcut{sheet.Length, sheet.Width, sheet.Limit})
	}
	return offcuts, faults
}
