package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/catalog"
)

// Ship is the act of sending cartons of an order.
const Ship Act = "ship"

// Shipment is what left at once.
type Shipment struct {
	// Shipment numbers an order's shipments from 1.
	Shipment int       `json:"shipment"`
	At       time.Time `json:"at"`
	By       string    `json:"by"`
	Carrier  string    `json:"carrier,omitempty"`
	Tracking string    `json:"tracking,omitempty"`
	Cartons  []Carton  `json:"cartons"`
}

// ShipAsked names cartons that are to leave: with no carton all of the unit, with
// unit 0 every unit of the line.
type ShipAsked struct {
	Line, Unit int
	Carton     string
}

// Ship sends cartons: each must be there, boxed and not gone before. An order
// that must ship complete leaves whole. Findings tell all that keeps the cartons
// from leaving. Errors: *OutOfOrder, *Blocked by each hold that blocks shipping.
func (d *Document) Ship(cat *catalog.Catalog, asked []ShipAsked, s Shipment, events []ShopEvent) (*Shipment, []catalog.Finding, error) {
	if err := d.Allows(Ship); err != nil {
		return nil, nil, err
	}
	standings := d.Standings(cat, events)
	s.Cartons, s.Shipment = nil, len(d.Shipments)+1
	var findings []catalog.Finding
	if len(asked) == 0 {
		findings = append(findings, catalog.Finding{Pointer: "/cartons", Code: "cartons.missing", Message: "Say which cartons leave."})
	}
	for i, a := range asked {
		cartons, finding := d.pick(standings, a, s.Cartons)
		if finding != nil {
			finding.Pointer = fmt.Sprintf("/cartons/%d%s", i, finding.Pointer)
			findings = append(findings, *finding)
		}
		s.Cartons = append(s.Cartons, cartons...)
	}
	if len(findings) > 0 {
		return nil, findings, nil
	}
	if finding := d.incomplete(standings, s.Cartons); finding != nil {
		return nil, []catalog.Finding{*finding}, nil
	}
	var lines []int
	for _, c := range s.Cartons {
		if !slices.Contains(lines, c.Line) {
			lines = append(lines, c.Line)
		}
	}
	if holds := d.blocking(blocksShipping, lines); len(holds) > 0 {
		return nil, nil, &Blocked{Ship, holds}
	}
	d.Shipments = append(slices.Clone(d.Shipments), s)
	d.shipLines(lines)
	return &s, nil, nil
}

// pick finds the cartons that are asked for; taken are those asked for before.
func (d *Document) pick(standings []CartonStanding, a ShipAsked, taken []Carton) (cartons []Carton, finding *catalog.Finding) {
	refuse := func(pointer, code, format string, args ...any) ([]Carton, *catalog.Finding) {
		return nil, &catalog.Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)}
	}
	line := d.line(a.Line)
	switch {
	case line == nil:
		return refuse("/line", "line.unknown", "%s.", (&NoSuchLine{a.Line, d.lineNumbers()}).Error())
	case a.Unit < 0 || a.Unit > line.Quantity:
		return refuse("/unit", "unit.unknown", "%s.", (&NoSuchUnit{a.Line, a.Unit, line.Quantity}).Error())
	case a.Carton != "" && !slices.Contains(line.Cartons, a.Carton):
		_, finding := refuse("/carton", "carton.unknown", "A unit of line %d has no carton %s.", a.Line, clip(a.Carton))
		finding.Allowed = line.Cartons
		return nil, finding
	}
	for _, s := range standings {
		if s.Line != a.Line || a.Unit != 0 && s.Unit != a.Unit || a.Carton != "" && s.Carton.Carton != a.Carton {
			continue
		}
		switch {
		case slices.Contains(taken, s.Carton):
			return refuse("", "carton.twice", "%s is named twice.", sentenceStart(s.Carton.String()))
		case s.State == CartonShipped:
			return refuse("", "carton.shipped", "%s left with shipment %d.", sentenceStart(s.Carton.String()), s.Shipment)
		case s.State == CartonOpen:
			return refuse("", "carton.open", "%s is not boxed yet.", sentenceStart(s.Carton.String()))
		}
		cartons = append(cartons, s.Carton)
	}
	return cartons, nil
}

func sentenceStart(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// incomplete is the finding that an order that must ship complete would not.
func (d *Document) incomplete(standings []CartonStanding, leave []Carton) *catalog.Finding {
	if !d.ShipComplete {
		return nil
	}
	var missing []string
	for _, s := range standings {
		if s.State != CartonShipped && !slices.Contains(leave, s.Carton) {
			missing = append(missing, s.Carton.String())
		}
	}
	if len(missing) == 0 {
		return nil
	}
	const most = 12
	more := ""
	if len(missing) > most {
		more = fmt.Sprintf(" and %d more", len(missing)-most)
		missing = missing[:most]
	}
	return &catalog.Finding{Pointer: "/cartons", Code: "ship-complete", Message: "The order must ship complete; without " + strings.Join(missing, ", ") + more +
		" it does not. Take ship_complete off by a change, or send all of it."}
}

// shipLines takes lines to where their cartons have come.
func (d *Document) shipLines(numbers []int) {
	left := d.left()
	for _, n := range numbers {
		line := d.line(n)
		line.State = Shipped
		for unit := 1; unit <= line.Quantity; unit++ {
			for _, code := range line.cartonCodes() {
				if left[Carton{n, unit, code}] == 0 {
					line.State = ShippedInPart
				}
			}
		}
	}
	d.State = d.Standing()
}

// ShippedUnits tells how many units of a line have begun to leave; they are the
// shipped ones whatever their numbers.
func (d *Document) ShippedUnits(number int) (units []int) {
	for c := range d.left() {
		if c.Line == number && !slices.Contains(units, c.Unit) {
			units = append(units, c.Unit)
		}
	}
	slices.Sort(units)
	return units
}

// UnitLeft tells that something is said of a unit that has left the shop.
type UnitLeft struct{ Line, Unit int }

func (e *UnitLeft) Error() string {
	return fmt.Sprintf("unit %d of line %d has left the shop: ask for a re-make or for a part of it", e.Unit, e.Line)
}

// gone tells whether an event speaks of a unit of which every carton has left.
func (d *Document) gone(e *ShopEvent) error {
	line, left := d.line(e.Line), d.left()
	for _, unit := range d.ShippedUnits(e.Line) {
		here := func(code string) bool { return left[Carton{e.Line, unit, code}] == 0 }
		if (e.Unit == unit || e.Unit == 0) && !slices.ContainsFunc(line.cartonCodes(), here) {
			return &UnitLeft{e.Line, unit}
		}
	}
	return nil
}
