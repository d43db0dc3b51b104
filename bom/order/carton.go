package order

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog"
)

// Carton names one carton of a unit of a line. Where a line's bill has no
// cartons, each unit is one by itself, whose code is empty.
type Carton struct {
	Line   int    `json:"line"`
	Unit   int    `json:"unit"`
	Carton string `json:"carton"`
}

// String names the carton for people.
func (c Carton) String() string {
	if c.Carton == "" {
		return fmt.Sprintf("unit %d of line %d", c.Unit, c.Line)
	}
	return fmt.Sprintf("carton %s of unit %d of line %d", c.Carton, c.Unit, c.Line)
}

// CartonPath is the path before the code of a carton on a bill.
const CartonPath = "carton/"

// CartonStanding tells how far a carton has come: open, boxed or shipped.
type CartonStanding struct {
	Carton
	State string `json:"state"`
	// Shipment is that which it left with, from 1.
	Shipment int `json:"shipment,omitempty"`
}

// How far a carton has come.
const (
	CartonOpen    = "open"
	CartonBoxed   = "boxed"
	CartonShipped = "shipped"
)

// cartonCodes are the codes of the cartons of each unit of a line.
func (l *DocumentLine) cartonCodes() []string {
	if len(l.Cartons) == 0 {
		return []string{""}
	}
	return l.Cartons
}

// Standings tell of every carton of the order how far it has come, by the events
// told so far, oldest first.
func (d *Document) Standings(cat *catalog.Catalog, events []ShopEvent) []CartonStanding {
	standings := []CartonStanding{}
	left := d.left()
	for i := range d.Lines {
		line := &d.Lines[i]
		if line.State == Cancelled {
			continue
		}
		closed := boxes(cat, line, events)
		for unit := 1; unit <= line.Quantity; unit++ {
			for k, code := range line.cartonCodes() {
				s := CartonStanding{Carton: Carton{line.Line, unit, code}, State: CartonOpen}
				if closed[unit-1][k] {
					s.State = CartonBoxed
				}
				if n := left[s.Carton]; n > 0 {
					s.State, s.Shipment = CartonShipped, n
				}
				standings = append(standings, s)
			}
		}
	}
	return standings
}

// left are the cartons that have left, each with its shipment.
func (d *Document) left() map[Carton]int {
	left := map[Carton]int{}
	for i := range d.Shipments {
		for _, c := range d.Shipments[i].Cartons {
			left[c] = d.Shipments[i].Shipment
		}
	}
	return left
}

// boxes tells by unit and carton of a line what is boxed: an event that leads to
// ready closes the carton it names, or all of the unit; one that spoils a piece
// opens all of the unit again. A catalog without such an event boxes nothing,
// and everything may go.
func boxes(cat *catalog.Catalog, line *DocumentLine, events []ShopEvent) [][]bool {
	codes := line.cartonCodes()
	closes := closable(cat)
	closed := make([][]bool, line.Quantity)
	for u := range closed {
		closed[u] = make([]bool, len(codes))
		for k := range closed[u] {
			closed[u][k] = !closes
		}
	}
	for i := range events {
		e := &events[i]
		kind, found := cat.ShopEvent(e.Event)
		if !found || e.Line != line.Line || kind.Leads != catalog.LeadsReady && !kind.Scraps {
			continue
		}
		only, named := strings.CutPrefix(e.Path, CartonPath)
		for u := range closed {
			for k := range closed[u] {
				if (e.Unit == 0 || e.Unit == u+1) && (kind.Scraps || !named || codes[k] == only) {
					closed[u][k] = !kind.Scraps
				}
			}
		}
	}
	return closed
}

// closable tells whether the catalog has an event that boxes.
func closable(cat *catalog.Catalog) bool {
	return slices.ContainsFunc(cat.ShopEvents(), func(e catalog.Event) bool { return e.Leads == catalog.LeadsReady })
}

// boxed tells whether every carton of every unit of a line is closed.
func boxed(cat *catalog.Catalog, line *DocumentLine, events []ShopEvent) bool {
	return !slices.ContainsFunc(boxes(cat, line, events), func(unit []bool) bool { return slices.Contains(unit, false) })
}
