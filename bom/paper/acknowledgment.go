package paper

import (
	"fmt"
	"slices"
	"strings"

	"billwright/bom/order"
	"billwright/bom/picture"
)

// Acknowledge makes the acknowledgment of an order as a paper: what was
// understood, to the last default, what each price is for, what holds keep from
// happening, and both dates. address is what its code leads to, seller the
// workshop's name.
func Acknowledge(a *order.Acknowledgment, currency, seller, address string) *Paper {
	w := &acknowledging{a: a, currency: currency, sheet: &Sheet{}}
	w.head(seller, address)
	w.dates()
	for i := range a.Lines {
		w.line(&a.Lines[i])
	}
	w.sum()
	w.holds()
	w.sheet.Foot = fmt.Sprintf("Version %d, revision %d, bill %d", a.Version, a.Revision, a.Bill.Version)
	return (&Paper{Title: fmt.Sprintf("Acknowledgment, order %s, version %d", a.Number, a.Version), Sheets: Sheets{w.sheet}}).tell()
}

type acknowledging struct {
	a        *order.Acknowledgment
	currency string
	sheet    *Sheet
}

func (w *acknowledging) head(seller, address string) {
	a := w.a
	h := Head{Title: "Acknowledgment", Part: seller, Over: "order", Number: a.Number, Under: "the order is " + string(a.State), Code: Code{address}}
	h.Facts = []Fact{{"Sidemark", orDash(a.Sidemark)}, {"PO number", orDash(a.PO)}, {"Dealer", a.DealerName}, {"Received", dayOf(a.ReceivedAt)}, {"Ships", shipDay(a.Promise)}}
	switch {
	case a.Superseded:
		h.Stops = []Stop{{Word: "SUPERSEDED", Says: "a later version stands in its place."}}
	case a.State == order.Cancelled:
		h.Stops = []Stop{{Word: "CANCELLED", Says: "nothing more is made of it."}}
	case len(a.Holds) > 0:
		h.Stops = []Stop{{Word: "HELD", Says: fmt.Sprintf("%d standing, told below.", len(a.Holds))}}
	}
	w.sheet.Head = h
}

func (w *acknowledging) add(b Block)        { w.sheet.Blocks = append(w.sheet.Blocks, b) }
func (w *acknowledging) note(text string)   { w.add(Block{Kind: Note, Text: text}) }
func (w *acknowledging) headed(text string) { w.add(Block{Kind: Heading, Text: text}) }

// dates tells every date and where it goes.
func (w *acknowledging) dates() {
	a := w.a
	w.headed("Ship to")
	w.note(orDash(a.ShipTo))
	if a.ShipComplete {
		w.note("Ship complete: nothing leaves before all of it is ready.")
	}
	w.headed("Dates")
	w.note("We promise to ship on " + shipDay(a.Promise) + ".")
	if a.Agreed != nil {
		w.note("This day was agreed: " + a.Agreed.Reason + ". By our lead times it would be " + Day(a.Agreed.Reckoned) + ".")
	}
	if a.Requested != nil {
		w.note("You asked for " + Day(*a.Requested) + ".")
	}
	if a.FirstPromise != nil && *a.FirstPromise != a.Promise {
		w.note("First promised: " + Day(*a.FirstPromise) + ".")
	}
	if a.AcceptedAt != nil {
		w.note("Accepted on " + dayOf(*a.AcceptedAt) + ".")
	} else {
		w.note("Not accepted yet: the price and the date hold from the acceptance on.")
	}
	if a.ValidUntil != nil {
		w.note("The quote holds until " + Day(*a.ValidUntil) + ".")
	}
}

// line tells a line's choices and its price.
func (w *acknowledging) line(l *order.AcknowledgmentLine) {
	w.add(Block{Kind: Heading, Text: fmt.Sprintf("Line %d: %d × %s", l.Line, l.Quantity, l.Name), Small: "the line is " + string(l.State)})
	columns := []Column{{Title: "Choice", Width: 170 * picture.Pt}, {Title: "As understood", Width: 250 * picture.Pt}, {Title: "Where from", Width: Width - 420*picture.Pt - 2*gutter}}
	var rows []Row
	for i := range l.Choices {
		c := &l.Choices[i]
		from := "■ chosen"
		switch {
		case c.Open:
			from = "○ open: still to be settled"
		case c.Defaulted:
			from = "□ default"
		}
		rows = append(rows, Row{Cells: []Cell{{plain(c.Name)}, {strong(c.Value)}, {plain(from)}}})
	}
	for _, path := range sortedKeys(l.Ways) {
		rows = append(rows, Row{Cells: []Cell{{plain("Way of " + path)}, {strong(l.Ways[path])}, {plain("■ chosen")}}})
	}
	if len(rows) > 0 {
		w.add(Block{Kind: Rows, Columns: columns, Lines: rows})
	}
	w.price(l)
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (w *acknowledging) price(l *order.AcknowledgmentLine) {
	p := l.Price
	if p == nil || p.ToBeQuoted {
		w.note("Price: to be quoted.")
		return
	}
	columns := []Column{{Title: "Price for", Width: 400 * picture.Pt}, {Title: w.currency, Width: Width - 400*picture.Pt - gutter, Right: true}}
	var rows []Row
	add := func(what Text, amount Text) { rows = append(rows, Row{Cells: []Cell{{what}, {amount}}}) }
	for i := range p.Lines {
		add(plain(p.Lines[i].For), plain(p.Lines[i].List.String()))
	}
	if p.ListUnit != nil {
		add(plain("List price of one"), plain(p.ListUnit.String()))
	}
	switch {
	case p.Typed != nil:
		add(strong("Net of one as agreed: "+p.Typed.Reason), strong(p.Typed.Net.String()))
	case p.NetUnit != nil:
		add(plain("Net of one"+after(", terms ", p.Terms)), plain(p.NetUnit.String()))
	}
	for i := range p.Surcharges {
		s := &p.Surcharges[i]
		add(plain(fmt.Sprintf("%s, %s %% of %s", s.For, strings.TrimSuffix(s.Percent, " %"), s.Of)), plain(s.Amount.String()))
	}
	if p.Net != nil {
		add(strong(fmt.Sprintf("Net of line %d, %d of them", l.Line, l.Quantity)), strong(p.Net.String()))
	}
	w.add(Block{Kind: Rows, Columns: columns, Lines: rows})
}

func (w *acknowledging) sum() {
	w.headed("The order")
	if w.a.Net == nil {
		w.note("Net of the order: to be quoted.")
		return
	}
	w.note("Net of the order: " + w.currency + " " + w.a.Net.String() + ".")
}

func (w *acknowledging) holds() {
	if len(w.a.Holds) == 0 {
		return
	}
	w.headed("Holds")
	for i := range w.a.Holds {
		h := &w.a.Holds[i]
		of := "the whole order"
		if h.Line > 0 {
			of = fmt.Sprintf("line %d", h.Line)
		}
		w.note(fmt.Sprintf("%s, %s, keeps from: %s. %s", h.Kind, of, strings.Join(h.Blocks, ", "), h.Reason))
	}
}
