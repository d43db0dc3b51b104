package orderfile

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// Fault is something wrong with a cell, or with a row where Column is empty.
type Fault struct {
	Row     int      `json:"row"`
	Column  string   `json:"column,omitempty"`
	Order   string   `json:"order,omitempty"`
	Code    string   `json:"code"`
	Message string   `json:"message"`
	Allowed []string `json:"allowed,omitempty"`
	Nearest string   `json:"nearest,omitempty"`
}

// Asked is an order of a file: rows with one dealer and key.
type Asked struct {
	// Key is as written first; keys differ by more than case and spaces.
	Key    string
	Dealer string
	Rows   []Row
	// Day is the day of the order, nil where the file does not say.
	Day    *calendar.Date
	Draft  order.Draft
	Faults []Fault

	table   *Table
	mapping *Mapping
}

// ID tells the orders of all files apart.
func (a *Asked) ID() string { return order.FoldPO(a.Key) }

// reader reads the cells of one row.
type reader struct {
	m      *Mapping
	column map[string]int
	row    Row
	faults []Fault
}

func (r *reader) fault(column, code, format string, args ...any) {
	r.faults = append(r.faults, Fault{Row: r.row.Number, Column: column, Code: code, Message: fmt.Sprintf(format, args...)})
}

func (r *reader) cell(column string) string {
	i := r.column[column]
	if i >= len(r.row.Cells) {
		return ""
	}
	return strings.TrimSpace(r.row.Cells[i])
}

// text is what a field says in the row; "" where it is not mapped or empty.
func (r *reader) text(s *Source) string {
	if s == nil {
		return ""
	}
	if s.Column == "" {
		return s.Value
	}
	cell := r.cell(s.Column)
	if len(cell) > MaxCell {
		r.fault(s.Column, "cell.long", "The cell has %d bytes; at most %d are read.", len(cell), MaxCell)
		return ""
	}
	return r.translated(s.Column, cell, s.Values)
}

func (r *reader) translated(column, cell string, values map[string]string) string {
	if len(values) == 0 || cell == "" {
		return cell
	}
	code, found := values[cell]
	if !found {
		known := slices.Sorted(maps.Keys(values))
		r.fault(column, "value.unknown", "%s is none of the values that the mapping knows for this column.", clip(cell))
		r.faults[len(r.faults)-1].Allowed = known
	}
	return code
}

// said is what is declared for the row.
func (r *reader) said(name string, own, file *Said, of []string) string {
	s := own
	if s == nil {
		s = file
	}
	if s == nil || s.Column == "" {
		if s == nil {
			return ""
		}
		return s.Value
	}
	value := r.translated(s.Column, r.cell(s.Column), s.Values)
	if value != "" && !slices.Contains(of, value) {
		r.fault(s.Column, name+".unknown", "%s is no %s.", clip(value), name)
		r.faults[len(r.faults)-1].Allowed = of
		return ""
	}
	return value
}

// date reads a date in the declared form into the form of the program.
func (r *reader) date(s *Source) string {
	text := r.text(s)
	if text == "" {
		return ""
	}
	layout := map[string]string{"year-month-day": "2006-1-2", "day.month.year": "2.1.2006", "day/month/year": "2/1/2006", "month/day/year": "1/2/2006"}[r.m.Dates]
	if layout == "" { // a cell of a sheet: days since the last one of 1899
		days, err := strconv.Atoi(strings.TrimSuffix(text, ".0"))
		if err != nil || days < 1 || days > 200_000 {
			r.fault(s.Column, "date.unreadable", "%s is no date of a sheet. A date written as text needs its form declared under dates.", clip(text))
			return ""
		}
		return time.Date(1899, 12, 30+days, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
	}
	day, err := time.Parse(layout, text)
	if err != nil {
		r.fault(s.Column, "date.unreadable", "%s is no day in the form %s.", clip(text), r.m.Dates)
		return ""
	}
	return day.Format(time.DateOnly)
}

// Orders groups the rows of a table into orders, in the order in which they
// begin. Rows that belong to no order come back as faults.
func Orders(m *Mapping, t *Table) (asked []*Asked, lost []Fault) {
	r := reader{m: m, column: map[string]int{}}
	for i, head := range t.Heads {
		r.column[head] = i
	}
	known := map[string]*Asked{}
	for _, row := range t.Rows {
		r.row, r.faults = row, nil
		if len(row.Cells) > len(t.Heads) && strings.TrimSpace(strings.Join(row.Cells[len(t.Heads):], "")) != "" {
			r.fault("", "row.long", "The row has %d cells and the head %d: a cell with the delimiter in it must be written in quotes.", len(row.Cells), len(t.Heads))
		}
		dealer := r.text(m.Order.Dealer)
		keyed := m.Order.Key
		if keyed == nil {
			keyed = m.Order.PO
		}
		key := r.text(keyed)
		if key == "" || dealer == "" {
			if len(r.faults) == 0 {
				r.fault(keyed.Column, "row.no-order", "The row names no order: its dealer or its key is empty.")
			}
			lost = append(lost, r.faults...)
			continue
		}
		a := known[dealer+"\n"+order.FoldPO(key)]
		if a == nil {
			a = &Asked{Key: key, Dealer: dealer, table: t, mapping: m}
			known[dealer+"\n"+order.FoldPO(key)] = a
			asked = append(asked, a)
		}
		a.Rows = append(a.Rows, row)
		a.take(&r)
	}
	twice(asked)
	return asked, lost
}

// take reads the fields of the order out of one more of its rows.
func (a *Asked) take(r *reader) {
	o := &r.m.Order
	d := &a.Draft
	d.Dealer = a.Dealer
	for _, f := range []struct {
		source *Source
		into   *string
		dated  bool
	}{{o.PO, &d.PO, false}, {o.Sidemark, &d.Sidemark, false}, {o.ShipTo, &d.ShipTo, false}, {o.Requested, &d.Requested, true}} {
		text := ""
		if f.dated {
			text = r.date(f.source)
		} else {
			text = r.text(f.source)
		}
		same := text == *f.into || f.into == &d.PO && order.FoldPO(text) == order.FoldPO(d.PO)
		if text != "" && *f.into != "" && !same {
			r.fault(f.source.Column, "order.differs", "%s here and %s in row %d: the rows of one order must agree.", clip(text), clip(*f.into), a.Rows[0].Number)
		}
		if *f.into == "" {
			*f.into = text
		}
	}
	if day := r.date(o.Ordered); day != "" {
		date, err := calendar.ParseDate(day)
		switch {
		case err != nil:
			r.fault(o.Ordered.Column, "date.unreadable", "%s is no day.", clip(day))
		case a.Day != nil && *a.Day != date:
			r.fault(o.Ordered.Column, "order.differs", "%s here and %s in row %d: the rows of one order must agree.", date, *a.Day, a.Rows[0].Number)
		default:
			a.Day = &date
		}
	}
	switch yes := r.text(o.ShipComplete); yes {
	case "", "no":
	case "yes":
		d.ShipComplete = true
	default:
		r.fault(o.ShipComplete.Column, "value.unknown", "%s is neither yes nor no; give its meaning under values.", clip(yes))
	}
	for i := range r.faults {
		r.faults[i].Order = a.Key
	}
	a.Faults = append(a.Faults, r.faults...)
}

// twice finds orders of one dealer under one purchase order number.
func twice(asked []*Asked) {
	first := map[string]*Asked{}
	for _, a := range asked {
		id := a.Dealer + "\n" + order.FoldPO(a.Draft.PO)
		if was := first[id]; was != nil && a.Draft.PO != "" {
			a.Faults = append(a.Faults, Fault{Row: a.Rows[0].Number, Column: a.mapping.Order.PO.Column, Order: a.Key, Code: "po.twice",
				Message: fmt.Sprintf("Order %s, which begins in row %d, has the same purchase order number.", clip(was.Key), was.Rows[0].Number)})
			continue
		}
		first[id] = a
	}
}

// Lines reads the lines of an order by a catalog, which knows what is a size, and
// gives what is wrong with them.
func (a *Asked) Lines(cat *catalog.Catalog) []Fault {
	r := reader{m: a.mapping, column: map[string]int{}}
	for i, head := range a.table.Heads {
		r.column[head] = i
	}
	a.Draft.Lines = a.Draft.Lines[:0]
	attributes := slices.Sorted(maps.Keys(a.mapping.Configuration))
	for _, row := range a.Rows {
		r.row = row
		line := order.DraftLine{Product: r.text(r.m.Line.Product), Quantity: r.text(r.m.Line.Quantity)}
		product, _ := cat.Products.Get(line.Product)
		for _, code := range attributes {
			source := r.m.Configuration[code]
			text := r.text(source)
			if text == "" {
				continue
			}
			if product != nil {
				attribute, has := product.Attributes.Get(code)
				if has && attribute.Size != nil {
					text = r.size(source, text)
				}
				if !has && source.Column == "" { // one value for all products that have it
					continue
				}
			}
			line.Picks = append(line.Picks, catalog.Pick{Attribute: code, Text: text})
		}
		a.Draft.Lines = append(a.Draft.Lines, line)
	}
	for i := range r.faults {
		r.faults[i].Order = a.Key
	}
	return r.faults
}

// size writes a size as the catalog reads it: with its unit, and a point for the
// decimal mark. What does not fit what was declared is a fault, never guessed.
func (r *reader) size(s *Source, text string) string {
	told := len(r.faults)
	mark := r.said("decimal", s.Decimal, r.m.Decimal, Decimals)
	other := map[string]string{".": ",", ",": "."}[mark]
	switch {
	case len(r.faults) > told:
		return text
	case mark == "":
		r.fault(s.Column, "decimal.none", "No decimal mark is declared for this row.")
		return text
	case strings.Contains(text, other):
		r.fault(s.Column, "decimal.other", "%s holds %q, and the decimal mark is declared to be %q.", clip(text), other, mark)
		return text
	}
	text = strings.ReplaceAll(text, mark, ".")
	if strings.ContainsFunc(text, func(c rune) bool { return unicode.IsLetter(c) || c == '\'' || c == '"' || c == '′' || c == '″' }) {
		return text
	}
	before := len(r.faults)
	unit := r.said("unit", s.Unit, r.m.Unit, Units)
	switch {
	case len(r.faults) > before:
		return text
	case unit == "":
		r.fault(s.Column, "length.no-unit", "%s has no unit and none is declared: write it with the size, or declare unit for the file or by a column.", clip(text))
		return text
	}
	return text + " " + unit
}

// Located turns the findings about the order's draft into faults of its rows and
// columns.
func (a *Asked) Located(findings []catalog.Finding) []Fault {
	faults := make([]Fault, 0, len(findings))
	for _, f := range findings {
		row, column := a.where(f.Pointer)
		faults = append(faults, Fault{Row: row, Column: column, Order: a.Key, Code: f.Code, Message: f.Message, Allowed: f.Allowed, Nearest: f.Nearest})
	}
	return faults
}

// where is the row and the column of a place in the draft.
func (a *Asked) where(pointer string) (int, string) {
	fields := a.mapping.fields()
	column := func(name string) string {
		if s := fields[name]; s != nil {
			return s.Column
		}
		return ""
	}
	rest, isLine := strings.CutPrefix(pointer, "/lines/")
	if !isLine {
		return a.Rows[0].Number, column("order." + strings.TrimPrefix(pointer, "/"))
	}
	number, field, _ := strings.Cut(rest, "/")
	n, err := strconv.Atoi(number)
	if err != nil || n < 0 || n >= len(a.Rows) {
		return a.Rows[0].Number, ""
	}
	kind, name, _ := strings.Cut(field, "/")
	if kind == "configuration" {
		name = strings.NewReplacer("~1", "/", "~0", "~").Replace(name)
		return a.Rows[n].Number, column("configuration." + name)
	}
	return a.Rows[n].Number, column("line." + kind)
}

// DayColumn is the column of the order's day, "" where there is none.
func (a *Asked) DayColumn() string {
	if s := a.mapping.Order.Ordered; s != nil {
		return s.Column
	}
	return ""
}

// UnknownAttributes tells of attributes that no product of a catalog has.
func (m *Mapping) UnknownAttributes(cat *catalog.Catalog) (faults []string) {
next:
	for _, code := range slices.Sorted(maps.Keys(m.Configuration)) {
		for _, product := range cat.Products.All() {
			if _, has := product.Attributes.Get(code); has {
				continue next
			}
		}
		faults = append(faults, fmt.Sprintf("configuration.%s: no product of the catalog has an attribute %s.", code, code))
	}
	return faults
}
