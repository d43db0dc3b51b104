package saw

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// The columns of a list of pieces that people bring. Only length is required: a
// piece without count is one, one without group is of the group "".
const (
	columnLength = "length"
	columnCount  = "count"
	columnMark   = "mark"
	columnGroup  = "group"
	columnWidth  = "width" // of sheets only
	columnGrain  = "grain" // of sheets only: yes where the piece may not be turned
)

var (
	columns      = []string{columnLength, columnCount, columnMark, columnGroup}
	sheetColumns = []string{columnLength, columnWidth, columnCount, columnMark, columnGroup, columnGrain}
)

const (
	// maxRows and maxFaults bound a list of pieces and what is told of it.
	maxRows   = 1_000_000
	maxFaults = 1000
	// maxMark bounds a mark and a group, in bytes.
	maxMark = 200
)

// ReadPieces reads a list of pieces by group: CSV in UTF-8 whose first row names
// the columns length, count, mark and group, in any order. A length is written
// with its unit. Faults tell everything that is wrong; their Line is the row of
// the file, from 1, their Field the column.
func ReadPieces(from io.Reader) ([]Need, []Fault) {
	r := csv.NewReader(from)
	r.FieldsPerRecord = -1
	r.LazyQuotes = true // 57" is a length as people write it
	p := &pieceReader{list: list{csv: r, columns: columns, needed: columns[:1]}, group: map[string]int{}}
	p.read(p.row)
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.needs, nil
}

type pieceReader struct {
	list
	group map[string]int // index into needs
	needs []Need
}

// list reads the rows of a list of pieces, whatever they are pieces of.
type list struct {
	csv     *csv.Reader
	columns []string
	needed  []string       // those that must be there
	at      map[string]int // field of a column
	faults  []Fault
	rowNo   int
}

// read reads the heads and gives each row that has anything in it.
func (p *list) read(row func(row []string, line int)) {
	if p.heads() {
		p.rows(row)
	}
}

func (p *list) fault(row int, column, format string, args ...any) {
	if len(p.faults) < maxFaults {
		p.faults = append(p.faults, Fault{Of: OfPieces, Line: row, Field: column, Said: sprintf(format, args...)})
	}
}

// next reads a row; none at the end of the file and where its form is broken,
// which is told.
func (p *list) next() (row []string, line int, more bool) {
	row, err := p.csv.Read()
	var broken *csv.ParseError
	switch {
	case err == nil:
		line, _ = p.csv.FieldPos(0)
		return row, line, true
	case errors.Is(err, io.EOF):
	case errors.As(err, &broken):
		p.fault(broken.Line, "", "%v; a field with a comma or a quote in it stands in double quotes, with each quote in it twice", broken.Err)
	default:
		p.fault(0, "", "the list cannot be read: %v", err)
	}
	return nil, 0, false
}

func (p *list) heads() bool {
	heads, line, more := p.next()
	if !more {
		if len(p.faults) == 0 {
			p.fault(0, "", "the list is empty; its first row names the columns: %s", strings.Join(p.columns, ","))
		}
		return false
	}
	p.at = map[string]int{}
	for i, head := range heads {
		name := strings.ToLower(strings.TrimSpace(strings.TrimPrefix(head, "\ufeff")))
		_, twice := p.at[name]
		switch {
		case !slices.Contains(p.columns, name):
			p.fault(line, strconv.Quote(cutText(name)), "there is no such column; the columns are %s", strings.Join(p.columns, ", "))
		case twice:
			p.fault(line, name, "the column is named twice")
		}
		p.at[name] = i
	}
	for _, column := range p.needed {
		if _, found := p.at[column]; !found {
			p.fault(line, column, "the column is missing; the first row names the columns: %s", strings.Join(p.columns, ","))
		}
	}
	return len(p.faults) == 0
}

func (p *list) rows(give func(row []string, line int)) {
	given := false
	for {
		row, line, more := p.next()
		if !more {
			break
		}
		if p.rowNo++; p.rowNo > maxRows {
			p.fault(line, "", "a list has at most %d rows", maxRows)
			return
		}
		if blank(row) {
			continue
		}
		given = true
		give(row, line)
	}
	if !given && len(p.faults) == 0 {
		p.fault(0, "", "the list has no pieces")
	}
}

func blank(row []string) bool {
	return !slices.ContainsFunc(row, func(field string) bool { return strings.TrimSpace(field) != "" })
}

// fields gives the fields of a row by column; a row of too many is told.
func (p *list) fields(row []string, line int) func(column string) string {
	if len(row) > len(p.at) {
		p.fault(line, "", "the row has %d fields, the first row %d; a field with a comma in it stands in double quotes", len(row), len(p.at))
	}
	return func(column string) string {
		i, found := p.at[column]
		if !found || i >= len(row) {
			return ""
		}
		if strings.ContainsAny(row[i], "\r\n") { // what a quote that is never closed swallows
			p.fault(line, column, "the field goes over several lines; is a quote missing at its end?")
			return ""
		}
		return strings.TrimSpace(row[i])
	}
}

// length reads a side of a piece.
func (p *list) length(text, column string, line int) unit.Length {
	before := len(p.faults)
	length, err := unit.ParseLength(text)
	switch {
	case len(p.faults) > before:
	case err != nil:
		p.fault(line, column, "%v", err)
	case length <= 0:
		p.fault(line, column, "a piece of %s is none", length)
	}
	return length
}

func (p *pieceReader) row(row []string, line int) {
	before := len(p.faults)
	field := p.fields(row, line)
	length := p.length(field(columnLength), columnLength, line)
	count := p.count(field(columnCount), line)
	mark, group := p.label(field(columnMark), columnMark, line), p.label(field(columnGroup), columnGroup, line)
	if len(p.faults) > before {
		return
	}
	at, found := p.group[group]
	if !found {
		at = len(p.needs)
		p.group[group] = at
		p.needs = append(p.needs, Need{Section: group})
	}
	p.needs[at].Pieces = append(p.needs[at].Pieces, Piece{Mark: mark, Length: length, Count: count, line: line})
}

func (p *list) count(text string, line int) int64 {
	if text == "" {
		return 1
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 || n > cutting.MaxCount {
		p.fault(line, columnCount, "%q is not a whole number from 1 to %d", cutText(text), cutting.MaxCount)
	}
	return n
}

func (p *list) label(text, column string, line int) string {
	switch {
	case !utf8.ValidString(text):
		p.fault(line, column, "the text is not UTF-8; save the list as UTF-8")
	case len(text) > maxMark:
		p.fault(line, column, "the text has %d bytes; at most %d are taken", len(text), maxMark)
	}
	return text
}

// cutText keeps what is echoed short.
func cutText(text string) string {
	const most = 64
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "…"
	}
	return text
}
