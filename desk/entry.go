package desk

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"

	"billwright/bom/order"
)

// said is what the page of an order's entry holds: all that was typed so far.
// The browser keeps it and sends it with each act, so that nothing is lost when
// the connection drops; the server keeps it as a draft as soon as it can.
type said struct {
	// Key is made up once for the page: its acts are done once by it.
	Key string `json:"key"`
	// Number and Version are those of the draft, "" and 0 before it is kept.
	Number  string `json:"number"`
	Version int    `json:"version"`
	// Line is the place of the line that is shown, Row the row that is open.
	Line int    `json:"line"`
	Row  string `json:"row"`
	// Under is the dealer's order that has the PO number already, "" where none has.
	Under string `json:"under,omitempty"`
	// Usual is where the dealer's newest order with a ship-to goes to, "" where none
	// has one.
	Usual string `json:"usual,omitempty"`
	Asked asked  `json:"asked"`
}

// asked is an order as it was typed.
type asked struct {
	Dealer       string      `json:"dealer,omitempty"`
	PO           string      `json:"po,omitempty"`
	Sidemark     string      `json:"sidemark,omitempty"`
	ShipTo       string      `json:"ship_to,omitempty"`
	Requested    string      `json:"requested,omitempty"`
	ShipComplete bool        `json:"ship_complete,omitempty"`
	Override     string      `json:"po_override_reason,omitempty"`
	Lines        []askedLine `json:"lines,omitempty"`
}

type askedLine struct {
	Product       string            `json:"product,omitempty"`
	Quantity      quantity          `json:"quantity,omitempty"`
	Configuration map[string]string `json:"configuration,omitempty"`
	Ways          map[string]string `json:"ways,omitempty"`
}

// quantity is a whole number where it can be read as one, else the text.
type quantity string

// MarshalJSON writes a number as one: a number in quotes is refused.
func (q quantity) MarshalJSON() ([]byte, error) {
	if n, err := strconv.ParseUint(strings.TrimSpace(string(q)), 10, 31); err == nil {
		return strconv.AppendUint(nil, n, 10), nil
	}
	return json.Marshal(string(q))
}

// UnmarshalJSON reads either.
func (q *quantity) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] == '"' {
		return json.Unmarshal(text, (*string)(q))
	}
	*q = quantity(text)
	return nil
}

// clone is a copy that may be changed.
func (a asked) clone() asked {
	a.Lines = slices.Clone(a.Lines)
	for i := range a.Lines {
		a.Lines[i].Configuration = maps.Clone(a.Lines[i].Configuration)
		a.Lines[i].Ways = maps.Clone(a.Lines[i].Ways)
	}
	return a
}

// body is the order as the interface reads it. Pieces left out are one, which
// the page shows as a default; a line without a product is not said yet.
func (a asked) body(intent string) []byte {
	a = a.clone()
	a.Lines = slices.DeleteFunc(a.Lines, func(l askedLine) bool { return l.Product == "" })
	for i := range a.Lines {
		if a.Lines[i].Quantity == "" {
			a.Lines[i].Quantity = "1"
		}
	}
	text, err := json.Marshal(struct {
		asked
		Intent string `json:"intent,omitempty"`
	}{a, intent})
	if err != nil { // plain fields
		panic(err)
	}
	return text
}

// Rows of the page beside a line's attributes and ways, which are known by the
// prefixes.
const (
	rowDealer    = "dealer"
	rowPO        = "po"
	rowOverride  = "po_override_reason"
	rowSidemark  = "sidemark"
	rowRequested = "requested"
	rowShipTo    = "ship_to"
	rowComplete  = "ship_complete"
	rowProduct   = "product"
	rowQuantity  = "quantity"
	rowAnother   = "another"
	attribute    = "a:"
	way          = "w:"
)

// set writes what was typed in a row; an empty text goes back to what it was
// before anything was said.
func (s *said) set(row, text string) {
	a := &s.Asked
	switch row {
	case rowDealer:
		a.Dealer = text
	case rowPO:
		a.PO = text
	case rowOverride:
		a.Override = text
	case rowSidemark:
		a.Sidemark = text
	case rowRequested:
		a.Requested = text
	case rowShipTo:
		a.ShipTo = text
	case rowComplete:
		a.ShipComplete = text == "yes"
	case rowAnother:
		if text != "" {
			a.Lines = append(a.Lines, askedLine{Product: text})
			s.Line = len(a.Lines) - 1
			s.Row = rowProduct
		}
	default:
		s.setOnLine(row, text)
	}
}

func (s *said) setOnLine(row, text string) {
	if len(s.Asked.Lines) == 0 {
		s.Asked.Lines = []askedLine{{}}
	}
	s.Line = max(0, min(s.Line, len(s.Asked.Lines)-1))
	l := &s.Asked.Lines[s.Line]
	switch {
	case row == rowProduct:
		if l.Product != text { // its attributes are another product's
			*l = askedLine{Product: text, Quantity: l.Quantity}
		}
	case row == rowQuantity:
		l.Quantity = quantity(strings.TrimSpace(text))
	case strings.HasPrefix(row, attribute):
		put(&l.Configuration, row[len(attribute):], text)
	case strings.HasPrefix(row, way):
		put(&l.Ways, row[len(way):], text)
	}
}

func put(into *map[string]string, name, text string) {
	if text == "" {
		delete(*into, name)
		return
	}
	if *into == nil {
		*into = map[string]string{}
	}
	(*into)[name] = text
}

// rowOf gives the line and the row that a finding's pointer is about; line -1 is
// the order. A place within a line that has no row of its own is the product's.
func rowOf(pointer string) (line int, row string) {
	parts := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	for i := range parts {
		parts[i] = strings.NewReplacer("~1", "/", "~0", "~").Replace(parts[i])
	}
	if parts[0] != "lines" {
		return -1, parts[0]
	}
	if len(parts) < 2 {
		return 0, rowProduct
	}
	line, err := strconv.Atoi(parts[1])
	switch {
	case err != nil:
		return 0, rowProduct
	case len(parts) == 4 && parts[2] == "configuration":
		return line, attribute + parts[3]
	case len(parts) == 4 && parts[2] == "ways":
		return line, way + parts[3]
	case len(parts) == 3 && parts[2] == "quantity":
		return line, rowQuantity
	}
	return line, rowProduct
}

// unitOf is the unit that a length of the catalog is written in.
func unitOf(length string) string {
	if i := strings.LastIndexByte(length, ' '); i >= 0 && !strings.ContainsAny(length[i+1:], "0123456789") {
		return length[i+1:]
	}
	return ""
}

// askedOf is what an order asks for, so that it can be asked for again: what was
// taken by default is left to today's.
func askedOf(o *order.Document) asked {
	a := asked{Dealer: o.Dealer, ShipTo: o.ShipTo, Sidemark: o.Sidemark, ShipComplete: o.ShipComplete}
	for i := range o.Lines {
		from := &o.Lines[i]
		l := askedLine{Product: from.Product, Quantity: quantity(strconv.Itoa(from.Quantity)), Ways: from.Ways}
		for _, s := range from.Configuration {
			if !s.Defaulted {
				text := s.Entered
				if text == "" {
					text = s.Value
				}
				put(&l.Configuration, s.Attribute, text)
			}
		}
		a.Lines = append(a.Lines, l)
	}
	return a
}
