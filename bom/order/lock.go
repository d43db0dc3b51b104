package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/source"
)

// ShopEvent is something that the shop told has happened to a line.
type ShopEvent struct {
	// Seq numbers an order's events from 1.
	Seq   int    `json:"seq"`
	Event string `json:"event"`
	Says  string `json:"says"`
	Line  int    `json:"line"`
	// Unit is 0 for every unit of the line.
	Unit int `json:"unit"`
	// Path is that of a row of the bill, or empty for the whole unit.
	Path string `json:"path,omitempty"`
	// Pieces are those spoiled, of an event that scraps.
	Pieces int       `json:"pieces,omitempty"`
	Note   string    `json:"note,omitempty"`
	At     time.Time `json:"at"`
	By     string    `json:"by"`
}

// TellEvent is the act of telling a shop event.
const TellEvent Act = "tell event"

// UnknownEvent tells that the catalog has no such event.
type UnknownEvent struct {
	Event string
	Known []string
}

func (e *UnknownEvent) Error() string {
	return fmt.Sprintf("there is no event %q; the catalog has %s", e.Event, strings.Join(e.Known, ", "))
}

// NoSuchUnit tells that an act names a unit that a line does not have.
type NoSuchUnit struct{ Line, Unit, Quantity int }

func (e *NoSuchUnit) Error() string {
	return fmt.Sprintf("line %d has no unit %d; its units are 1 to %d, and 0 is all of them", e.Line, e.Unit, e.Quantity)
}

// madeIn are the states of a line in which the shop works on it.
var madeIn = []State{Released, InWork, Ready, ShippedInPart}

// Tell does to the order what an event of the shop leads to and gives the event
// with its code and sentence; earlier are the events told before, oldest first.
// A line is in work from the first event that leads there, and ready once every
// unit of it is boxed. Errors: *OutOfOrder, *NoSuchLine, *NoSuchUnit,
// *UnknownEvent, *UnitLeft.
func (d *Document) Tell(cat *catalog.Catalog, e ShopEvent, earlier []ShopEvent) (ShopEvent, error) {
	if err := d.Allows(TellEvent); err != nil {
		return e, err
	}
	kind, found := cat.ShopEvent(e.Event)
	if !found {
		unknown := &UnknownEvent{Event: e.Event}
		for _, k := range cat.ShopEvents() {
			unknown.Known = append(unknown.Known, k.Code)
		}
		return e, unknown
	}
	line := d.line(e.Line)
	if line == nil {
		return e, &NoSuchLine{e.Line, d.lineNumbers()}
	}
	if e.Unit < 0 || e.Unit > line.Quantity {
		return e, &NoSuchUnit{e.Line, e.Unit, line.Quantity}
	}
	if kind.Leads != "" || kind.Scraps {
		if err := d.gone(&e); err != nil {
			return e, err
		}
	}
	if (kind.Leads != "" || kind.Scraps) && !slices.Contains(madeIn, line.State) {
		return e, &OutOfOrder{Act: TellEvent, State: line.State}
	}
	e.Event, e.Says = kind.Code, kind.Says
	switch {
	case line.State == ShippedInPart: // the cartons that left decide
	case kind.Leads == catalog.LeadsReady && boxed(cat, line, append(slices.Clone(earlier), e)):
		line.State = Ready
	case kind.Leads != "" && line.State == Released, kind.Scraps && line.State == Ready:
		line.State = InWork
	}
	d.State = d.Standing()
	return e, nil
}

// Locked is what may no longer be changed on a line, and why.
type Locked struct {
	Lock string `json:"lock"`
	Says string `json:"says"`
	Line int    `json:"line"`
	// Unit is 0 for every unit of the line.
	Unit int `json:"unit"`
	// Attributes are those locked, in the order of the product's.
	Attributes []string `json:"attributes"`
	// Whole tells that nothing of the line may be changed.
	Whole bool      `json:"whole,omitempty"`
	Event string    `json:"event"`
	Path  string    `json:"path,omitempty"`
	At    time.Time `json:"at"`
	By    string    `json:"by"`
}

// Locks tells what may no longer be changed, by the catalog that the order is
// pinned to and the events told so far, oldest first. The first event of a lock
// on a unit is the one that locked it.
func (d *Document) Locks(cat *catalog.Catalog, events []ShopEvent) []Locked {
	locked := []Locked{}
	for i := range d.Lines {
		line := &d.Lines[i]
		if line.State == Cancelled {
			continue
		}
		for _, l := range cat.Locks.All() {
			if isFor(l, line.Product) && reached(line.State, l.After) {
				locked = append(locked, line.lockedBy(cat, l, events)...)
			}
		}
	}
	return locked
}

func isFor(l *catalog.Lock, product string) bool {
	return len(l.Products) == 0 || slices.ContainsFunc(l.Products, func(p source.Text) bool { return p.Value == product })
}

// reached tells whether a state is at or past the one named; a word that names
// none keeps nothing off.
func reached(s State, named string) bool {
	return slices.Index(States, s) >= slices.Index(States, State(named))
}

// lockedBy are the places at which a lock holds on a line, one for each unit.
func (l *DocumentLine) lockedBy(cat *catalog.Catalog, lock *catalog.Lock, events []ShopEvent) (locked []Locked) {
	waits, found := cat.ShopEvent(lock.Event)
	if !found {
		return nil
	}
	whole := len(lock.Attributes) == 0
	attributes := []string{}
	for i := range l.Configuration {
		code := l.Configuration[i].Attribute
		if whole || slices.ContainsFunc(lock.Attributes, func(a source.Text) bool { return a.Value == code }) {
			attributes = append(attributes, code)
		}
	}
	if len(attributes) == 0 && !whole {
		return nil
	}
	for i := range events {
		e := &events[i]
		known := func(k Locked) bool { return k.Unit == 0 || k.Unit == e.Unit }
		if e.Line != l.Line || e.Event != waits.Code || slices.ContainsFunc(locked, known) {
			continue
		}
		locked = append(locked, Locked{Lock: lock.Code, Says: lock.Says, Line: l.Line, Unit: e.Unit, Attributes: attributes, Whole: whole,
			Event: e.Event, Path: e.Path, At: e.At, By: e.By})
	}
	return locked
}
