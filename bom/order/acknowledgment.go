package order

import (
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Acknowledgment is what the dealer is told was understood: every choice, the
// defaulted ones among them and marked, what each price is for, what holds keep
// from happening, and both dates.
type Acknowledgment struct {
	Number  string `json:"number"`
	Version int    `json:"version"`
	// Superseded tells that a later version stands.
	Superseded   bool                 `json:"superseded"`
	State        State                `json:"state"`
	Dealer       string               `json:"dealer"`
	DealerName   string               `json:"dealer_name"`
	PO           string               `json:"po"`
	Sidemark     string               `json:"sidemark"`
	ShipTo       string               `json:"ship_to"`
	ShipComplete bool                 `json:"ship_complete"`
	ReceivedAt   time.Time            `json:"received_at"`
	AcceptedAt   *time.Time           `json:"accepted_at,omitempty"`
	ValidUntil   *calendar.Date       `json:"valid_until,omitempty"`
	Requested    *calendar.Date       `json:"requested,omitempty"`
	FirstPromise *calendar.Date       `json:"first_promise,omitempty"`
	Promise      calendar.Date        `json:"promise"`
	Agreed       *Agreed              `json:"agreed,omitempty"`
	Holds        []Hold               `json:"holds"`
	Lines        []AcknowledgmentLine `json:"lines"`
	// Charges are what is charged beside the lines, and part of Net.
	Charges   []Charge      `json:"charges,omitempty"`
	Net       *unit.Money   `json:"net,omitempty"`
	Shipments []Shipment    `json:"shipments,omitempty"`
	Cancelled *Cancellation `json:"cancelled,omitempty"`
	Of        *Origin       `json:"of,omitempty"`
	// Substitutions are those whose material it is made of.
	Substitutions []catalog.Substitution `json:"substitutions,omitempty"`
	Revision      int                    `json:"catalog_revision"`
	Bill          BillReference          `json:"bill"`
}

// AcknowledgmentLine is a line as understood.
type AcknowledgmentLine struct {
	Line     int                    `json:"line"`
	State    State                  `json:"state"`
	Product  string                 `json:"product"`
	Name     string                 `json:"name"`
	Quantity int                    `json:"quantity"`
	Choices  []AcknowledgmentChoice `json:"choices"`
	// Ways are the ways chosen for pieces longer than the bars on the rack, by
	// the path of the part.
	Ways map[string]string `json:"ways,omitempty"`
	// Part is the path of the part that the line is of, where it is not the whole.
	Part  string         `json:"part,omitempty"`
	Of    *LineOrigin    `json:"of,omitempty"`
	Price *DocumentPrice `json:"price"`
}

// AcknowledgmentChoice is one choice in words.
type AcknowledgmentChoice struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	// Defaulted tells that nobody chose it.
	Defaulted bool `json:"defaulted"`
	// Open tells that it is not listed and still to be settled.
	Open bool `json:"open,omitzero"`
}

// Acknowledgment makes the acknowledgment of the order as it stands in d.
func (d *Document) Acknowledgment(superseded bool) Acknowledgment {
	a := Acknowledgment{
		Number: d.Number, Version: d.Version, Superseded: superseded, State: d.State, Dealer: d.Dealer, DealerName: d.DealerName, PO: d.PO,
		Sidemark: d.Sidemark, ShipTo: d.ShipTo, ShipComplete: d.ShipComplete, ReceivedAt: d.ReceivedAt, AcceptedAt: d.AcceptedAt,
		ValidUntil: d.ValidUntil, Requested: d.Requested, FirstPromise: d.FirstPromise, Promise: d.Promise, Agreed: d.Agreed, Holds: d.Holds, Net: d.Net, Charges: d.Charges, Shipments: d.Shipments, Cancelled: d.Cancelled, Of: d.Of, Substitutions: d.Substitutions,
		Revision: d.Revision, Bill: d.Bill, Lines: make([]AcknowledgmentLine, len(d.Lines)),
	}
	for i := range d.Lines {
		l := &d.Lines[i]
		line := AcknowledgmentLine{Line: l.Line, State: l.State, Product: l.Product, Name: l.Name, Quantity: l.Quantity, Ways: l.Ways, Part: l.Part, Of: l.Of, Price: l.Price, Choices: make([]AcknowledgmentChoice, len(l.Configuration))}
		for k := range l.Configuration {
			c := &l.Configuration[k]
			line.Choices[k] = AcknowledgmentChoice{Name: c.Name, Value: c.ValueName, Defaulted: c.Defaulted, Open: c.Open}
		}
		a.Lines[i] = line
	}
	return a
}
