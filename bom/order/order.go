// Package order is a dealer's order: what was asked for, checked, priced,
// exploded and promised. New does all of that at once and either gives a whole
// order or every finding. The package is pure; identity and time are
// parameters.
package order

import (
	"cmp"
	"fmt"
	"time"

	"github.com/google/uuid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Identity is what the service gives a new order.
type Identity struct {
	ID uuid.UUID
	// Test marks an order posted with a test key: it never becomes
	// requirements.
	Test bool
}

// Order is a whole, valid order.
type Order struct {
	ID         uuid.UUID
	Number     string
	Version    int
	State      State
	Test       bool
	Dealer     string
	DealerName string
	PO         string
	Sidemark   string
	ShipTo     string
	Requested  *calendar.Date
	// ValidUntil is the last day of a quote.
	ValidUntil *calendar.Date
	// CheckedOn is the day by which options and prices are judged, where it is not
	// that of ReceivedAt.
	CheckedOn *calendar.Date
	// Of is the order that it is linked to.
	Of *Origin
	// Substitutions are those whose material is on the bill.
	Substitutions []catalog.Substitution
	ShipComplete  bool
	ReceivedAt    time.Time
	Revision      int
	Lines         []Line
	Holds         []Hold
	// Promise is the earliest ship date; while an own material hold stands it
	// counts as if the material came today.
	Promise calendar.Date
	// LeadDays are the working days from acceptance to shipping.
	LeadDays int
	// WaitsFor is what is ordered for it and may come later than that.
	WaitsFor []Arrival
	// Net is the sum of the lines, or nil while one of them is to be quoted.
	Net         *unit.Money
	BillVersion int
	Bill        *bom.Bill
	// Agreed is a ship date that was agreed with the dealer; it is then promised.
	Agreed   *Agreed
	Warnings []Warning
	// Charges are what is charged beside the lines, and part of Net.
	Charges []Charge
}

// Line is one checked and priced line. Its units are numbered from 1 to
// Quantity.
type Line struct {
	Number   int
	Quantity int
	Config   *catalog.Config
	// Ways are the ways chosen for pieces longer than the bars on the rack, by
	// the path of the part; they go with the configuration wherever it goes.
	Ways  map[string]string
	Quote *catalog.Quote
	// Net is the net price of the whole line with its surcharges, or nil when it
	// is to be quoted.
	Net        *unit.Money
	Surcharges []catalog.SurchargeLine
	// Part is the path of the part that the line is of, or empty; Of is the line
	// that it was taken from.
	Part string
	Of   *LineOrigin
	// Typed is a price that was agreed in place of Quote's.
	Typed *TypedPrice
}

// Reckon checks, prices, explodes and promises a draft without giving it an
// identity. Every finding of the draft, its lines and their explosion comes
// back at once; with any of them there is no order.
func Reckon(cat *catalog.Catalog, draft *Draft, now time.Time) (*Order, []catalog.Finding) {
	findings := draft.check(cat)
	o := &Order{
		Version: 1, State: Received, Dealer: draft.Dealer, PO: draft.PO, Sidemark: draft.Sidemark, ShipTo: draft.ShipTo,
		ShipComplete: draft.ShipComplete, ReceivedAt: now, Revision: cat.Revision, BillVersion: 1,
	}
	if dealer, found := cat.Dealers.Get(draft.Dealer); found {
		o.DealerName = dealer.Name
	}
	findings = append(findings, draft.checkSamples(cat)...)
	findings = append(findings, draft.checkQuote(cat.Calendar.DayOf(now))...)
	findings = append(findings, draft.checkAgreed(cat.Calendar, cat.Calendar.DayOf(now))...)
	o.Requested, o.ValidUntil, o.CheckedOn, o.Of, o.Agreed = draft.requested, draft.validUntil, draft.CheckedOn, draft.Of, draft.agreed
	day := cat.Calendar.DayOf(now)
	if draft.CheckedOn != nil {
		day = *draft.CheckedOn
	}
	if draft.Quote {
		o.State = Quoted
	}
	var exploded []bom.Line
	for i := range draft.Lines {
		line, config, more := reckonLine(cat, draft, i, day)
		findings = append(findings, more...)
		if config == nil {
			continue
		}
		o.Lines = append(o.Lines, line)
		for _, hint := range line.hints(cat) {
			o.Warnings = append(o.Warnings, Warning{Pointer: fmt.Sprintf("/lines/%d%s", i, hint.Pointer), Code: hint.Code, Message: hint.Message})
		}
		exploded = append(exploded, bom.Line{Number: line.Number, Quantity: max(line.Quantity, 1), Config: config, Ways: line.Ways, Part: line.Part})
	}
	// A line that can be exploded is, though another line is at fault, so that
	// all findings come at once.
	substitutions := draft.Substitutions
	if substitutions == nil {
		substitutions = cat.Substitutions()
	}
	bill, _, more := bom.Explode(cat.Substituted(substitutions), exploded, false)
	findings = append(findings, more...)
	if len(findings) > 0 {
		return nil, findings
	}
	o.Bill = bill
	for _, item := range bill.Substituted() {
		for _, s := range substitutions {
			if s.Item == item {
				o.Substitutions = append(o.Substitutions, s)
			}
		}
	}
	for _, finding := range []*catalog.Finding{o.total(), o.promise(cat, now)} {
		if finding != nil {
			findings = append(findings, *finding)
		}
	}
	if len(findings) > 0 {
		return nil, findings
	}
	o.partsCharge(cat, draft)
	o.placeHolds(cat)
	return o, nil
}

// New is Reckon for an order that is to be stored.
func New(cat *catalog.Catalog, draft *Draft, id Identity, now time.Time) (*Order, []catalog.Finding) {
	o, findings := Reckon(cat, draft, now)
	if o != nil {
		o.ID, o.Number, o.Test = id.ID, NumberOf(id.ID), id.Test
	}
	return o, findings
}

func reckonLine(cat *catalog.Catalog, draft *Draft, i int, day calendar.Date) (Line, *catalog.Config, []catalog.Finding) {
	asked := &draft.Lines[i]
	at := fmt.Sprintf("/lines/%d", i)
	config, findings := cat.Check(asked.Product, asked.Picks, day)
	for k := range findings {
		findings[k].Pointer = at + findings[k].Pointer
	}
	if config == nil {
		return Line{}, nil, findings
	}
	line := Line{Number: cmp.Or(asked.Number, i+1), Quantity: asked.quantity, Config: config, Ways: asked.Ways, Part: asked.Part, Of: asked.Of}
	if draft.dealerKnown(cat) {
		quote, more := asked.price(cat, config, draft.Dealer, day)
		for k := range more {
			more[k].Pointer = at + more[k].Pointer
		}
		findings = append(findings, more...)
		line.Quote = quote
	}
	if err := line.price(asked.typed); err != nil {
		findings = append(findings, catalog.Finding{Pointer: at + "/quantity", Code: "price.too-large", Message: "The price of the line is beyond what can be reckoned; order less."})
	}
	return line, config, findings
}

// hints are those about the sizes of a line that was not made before.
func (l *Line) hints(cat *catalog.Catalog) []catalog.Finding {
	if l.Of != nil {
		return nil
	}
	return cat.Hints(l.Config)
}

// price is that of the price list for the product or its part, or what was agreed.
func (l *DraftLine) price(cat *catalog.Catalog, config *catalog.Config, dealer string, day calendar.Date) (*catalog.Quote, []catalog.Finding) {
	switch {
	case l.Agreed != nil && l.Agreed.Unit == nil:
		return &catalog.Quote{Terms: l.Agreed.For, ToBeQuoted: true}, nil
	case l.Agreed != nil:
		price := *l.Agreed.Unit
		return &catalog.Quote{Lines: []catalog.PriceLine{{For: l.Agreed.For, List: price}}, ListUnit: price, Terms: "net", NetUnit: price}, nil
	case l.Part != "":
		return cat.PricePart(config, l.Part, dealer)
	}
	return cat.Price(config, dealer, day)
}

// total sums the lines; while one is to be quoted there is no sum.
func (o *Order) total() *catalog.Finding {
	var sum unit.Money
	for i := range o.Lines {
		net := o.Lines[i].Net
		if net == nil {
			return nil
		}
		var err error
		if sum, err = sum.Add(*net); err != nil {
			return &catalog.Finding{Pointer: "/lines", Code: "price.too-large", Message: "The price of the order is beyond what can be reckoned; split it."}
		}
	}
	o.Net = &sum
	return nil
}
