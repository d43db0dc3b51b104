package order

import (
	"encoding/hex"

	"fmt"
	"strings"
	"time"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Document is an order as the interface shows it.
type Document struct {
	ID           string         `json:"id"`
	Number       string         `json:"number"`
	Version      int            `json:"version"`
	State        State          `json:"state"`
	Test         bool           `json:"test"`
	Dealer       string         `json:"dealer"`
	DealerName   string         `json:"dealer_name"`
	PO           string         `json:"po"`
	Sidemark     string         `json:"sidemark"`
	ShipTo       string         `json:"ship_to"`
	Requested    *calendar.Date `json:"requested,omitempty"`
	ShipComplete bool           `json:"ship_complete"`
	ReceivedAt   time.Time      `json:"received_at"`
	Revision     int            `json:"catalog_revision"`
	// CheckedOn is the day by which options and prices are judged, where it is not
	// that on which the order came.
	CheckedOn *calendar.Date `json:"checked_on,omitempty"`
	// Of is the order that it is linked to.
	Of *Origin `json:"of,omitempty"`
	// Substitutions are those whose material is on the bill.
	Substitutions []catalog.Substitution `json:"substitutions,omitempty"`
	// ValidUntil is the last day on which a quote may be placed as it is.
	ValidUntil *calendar.Date `json:"valid_until,omitempty"`
	// LeadDays are the working days from acceptance to shipping.
	LeadDays int `json:"lead_days"`
	// WaitsFor is what is ordered for it and may come later than that.
	WaitsFor []Arrival     `json:"waits_for,omitempty"`
	Promise  calendar.Date `json:"promise"`
	// Agreed is a ship date that was agreed with the dealer, which is promised.
	Agreed *Agreed `json:"agreed,omitempty"`
	// FirstPromise is what was promised at acceptance; it stays though the
	// promise counts again from a hold's clearing.
	FirstPromise *calendar.Date `json:"first_promise,omitempty"`
	AcceptedAt   *time.Time     `json:"accepted_at,omitempty"`
	// Holds are those that stand, Lifted those that did.
	Holds  []Hold `json:"holds"`
	Lifted []Hold `json:"lifted_holds,omitempty"`
	// Net is absent while a line is to be quoted.
	Net *unit.Money `json:"net,omitempty"`
	// LastLine is the highest number that a line of a changed order ever had;
	// numbers are not used again.
	LastLine int            `json:"last_line,omitempty"`
	Lines    []DocumentLine `json:"lines"`
	// Charges are what is charged beside the lines, and part of Net.
	Charges   []Charge      `json:"charges,omitempty"`
	Shipments []Shipment    `json:"shipments,omitempty"`
	Cancelled *Cancellation `json:"cancelled,omitempty"`
	// Warnings are what people should know of, and keep nobody from anything.
	Warnings []Warning     `json:"warnings,omitempty"`
	Bill     BillReference `json:"bill"`
}

// Charge is charged beside the lines of an order.
type Charge struct {
	// Code is of what the program reckons itself: parts.minimum.
	Code   string     `json:"code,omitempty"`
	For    string     `json:"for"`
	Amount unit.Money `json:"amount"`
}

// DocumentLine is a line of an order document.
type DocumentLine struct {
	Line  int   `json:"line"`
	State State `json:"state"`
	// StartFrame tells that the frame may be bought and made though the
	// customer's own material is not here.
	StartFrame    bool              `json:"start_frame,omitzero"`
	Product       string            `json:"product"`
	Name          string            `json:"name"`
	Quantity      int               `json:"quantity"`
	Configuration []DocumentSetting `json:"configuration"`
	// Ways are the ways chosen for pieces longer than the bars on the rack.
	Ways  map[string]string `json:"ways,omitempty"`
	Price *DocumentPrice    `json:"price"`
	// Part is the path of the part that the line is of, where it is not the whole
	// product; Of is the line that it was taken from.
	Part string      `json:"part,omitempty"`
	Of   *LineOrigin `json:"of,omitempty"`
	// Cartons are the codes of the cartons of each unit.
	Cartons []string `json:"cartons,omitempty"`
}

// DocumentSetting is one settled attribute. Defaulted values are shown as such,
// never silently.
type DocumentSetting struct {
	Attribute string `json:"attribute"`
	Name      string `json:"name"`
	Value     string `json:"value"`
	ValueName string `json:"value_name"`
	Entered   string `json:"entered,omitempty"`
	Defaulted bool   `json:"defaulted"`
	// Open tells that something unlisted was asked for: it is in Entered, and
	// Value is what it is reckoned as until it is settled.
	Open bool `json:"open,omitzero"`
}

// DocumentPrice is a line's price. ToBeQuoted prices have no sums.
type DocumentPrice struct {
	ToBeQuoted bool                `json:"to_be_quoted"`
	Lines      []catalog.PriceLine `json:"lines"`
	ListUnit   *unit.Money         `json:"list_unit,omitempty"`
	// Typed is a price that was agreed in place of what Lines and Terms come to;
	// NetUnit and Net then are by it.
	Typed   *TypedPrice `json:"typed,omitempty"`
	Terms   string      `json:"terms"`
	NetUnit *unit.Money `json:"net_unit,omitempty"`
	// Surcharges are on the whole line, and Net is with them.
	Surcharges []catalog.SurchargeLine `json:"surcharges,omitempty"`
	Net        *unit.Money             `json:"net,omitempty"`
}

// DraftDocument is a draft as the interface shows it: what was asked for, as it
// was asked for, and all that it lacks to be an order.
type DraftDocument struct {
	ID         string         `json:"id"`
	Number     string         `json:"number"`
	Version    int            `json:"version"`
	State      State          `json:"state"`
	Test       bool           `json:"test"`
	Dealer     string         `json:"dealer"`
	PO         string         `json:"po"`
	Sidemark   string         `json:"sidemark"`
	ReceivedAt time.Time      `json:"received_at"`
	Revision   int            `json:"catalog_revision"`
	Request    jsontext.Value `json:"request"`
	// Missing are the findings under the catalog revision named.
	Missing []Lacking `json:"missing"`
	// Of is the order that it was copied from.
	Of        *Origin       `json:"of,omitempty"`
	Cancelled *Cancellation `json:"cancelled,omitempty"`
}

// Lacking is a finding that keeps a draft from being an order.
type Lacking catalog.Finding

// LackingOf makes what a draft lacks of the findings about it.
func LackingOf(findings []catalog.Finding) []Lacking {
	lacking := make([]Lacking, len(findings))
	for i, f := range findings {
		lacking[i] = Lacking(f)
	}
	return lacking
}

// Findings are what the draft lacks.
func (d *DraftDocument) Findings() []catalog.Finding {
	findings := make([]catalog.Finding, len(d.Missing))
	for i, l := range d.Missing {
		findings[i] = catalog.Finding(l)
	}
	return findings
}

// Bytes is the document as JSON.
func (d *DraftDocument) Bytes() ([]byte, error) {
	document, err := json.Marshal(d, json.Deterministic(true))
	if err != nil {
		return nil, fmt.Errorf("write the draft: %w", err)
	}
	return document, nil
}

// BillReference names the stored bill of an order.
type BillReference struct {
	Version    int    `json:"version"`
	Arithmetic int    `json:"arithmetic"`
	SHA256     string `json:"sha256"`
}

// Document writes the order as the interface shows it; hash is that of its
// bill's document.
func (o *Order) Document(hash [32]byte) Document {
	d := Document{
		Number: o.Number, Version: o.Version, State: o.State, Test: o.Test, Dealer: o.Dealer, DealerName: o.DealerName,
		PO: o.PO, Sidemark: o.Sidemark, ShipTo: o.ShipTo, Requested: o.Requested, ShipComplete: o.ShipComplete,
		ReceivedAt: o.ReceivedAt.UTC(), Revision: o.Revision, ValidUntil: o.ValidUntil, CheckedOn: o.CheckedOn, Of: o.Of, Substitutions: o.Substitutions, LeadDays: o.LeadDays, WaitsFor: o.WaitsFor, Promise: o.Promise, Holds: o.Holds, Net: o.Net, Agreed: o.Agreed, Warnings: o.Warnings, Charges: o.Charges,
		Bill: BillReference{Version: o.BillVersion, Arithmetic: bom.Arithmetic, SHA256: hex.EncodeToString(hash[:])},
	}
	if o.Number != "" {
		d.ID = o.ID.String()
	}
	if d.Holds == nil {
		d.Holds = []Hold{}
	}
	d.Lines = make([]DocumentLine, len(o.Lines))
	for i := range o.Lines {
		d.Lines[i] = o.Lines[i].document()
		d.Lines[i].State = o.State
		for _, c := range o.Bill.Lines[i].Cartons {
			d.Lines[i].Cartons = append(d.Lines[i].Cartons, strings.TrimPrefix(c.Path, CartonPath))
		}
	}
	return d
}

func (l *Line) document() DocumentLine {
	d := DocumentLine{Line: l.Number, Product: l.Config.Product.Code, Name: l.Config.Product.Name, Quantity: l.Quantity, Ways: l.Ways, Part: l.Part, Of: l.Of}
	d.Configuration = make([]DocumentSetting, len(l.Config.Settings))
	for i := range l.Config.Settings {
		s := &l.Config.Settings[i]
		d.Configuration[i] = DocumentSetting{Attribute: s.Attribute.Code, Name: s.Attribute.Name, Value: s.Value.String(), ValueName: s.Name, Entered: s.Entered, Defaulted: s.Defaulted, Open: s.Open}
	}
	if q := l.Quote; q != nil {
		d.Price = &DocumentPrice{ToBeQuoted: q.ToBeQuoted, Lines: q.Lines, Terms: q.Terms, Surcharges: l.Surcharges, Net: l.Net}
		if !q.ToBeQuoted {
			d.Price.ListUnit, d.Price.NetUnit = &q.ListUnit, &q.NetUnit
		}
		if l.Typed != nil {
			d.Price.ToBeQuoted, d.Price.Typed, d.Price.NetUnit = false, l.Typed, &l.Typed.Net
		}
	}
	return d
}

// Bytes is the document as JSON; equal orders give equal bytes.
func (d *Document) Bytes() ([]byte, error) {
	document, err := json.Marshal(d, json.Deterministic(true))
	if err != nil {
		return nil, fmt.Errorf("write the order: %w", err)
	}
	return document, nil
}
