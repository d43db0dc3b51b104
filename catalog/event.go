package catalog

import (
	"slices"
	"strings"

	"billwright/catalog/source"
)

// Event is something that the shop tells has happened to a line of an order, or
// to one row of its bill.
type Event struct {
	Code   string     `yaml:"-"`
	Says   string     `yaml:"says,required" doc:"What has happened, as the shop says it, such as steel is cut. A lock names its event by this or by the code."`
	Leads  string     `yaml:"leads" oneof:"in work|ready" doc:"Where it takes the line: in work; or ready, once it has happened to each unit. Without it the line stays where it is."`
	Scraps bool       `yaml:"scraps" doc:"yes when it tells that a piece is spoiled: it is needed once more, and nothing else of the order changes."`
	Pos    source.Pos `yaml:"-"`
}

// Where an event takes a line: the words of Event.Leads.
const (
	LeadsInWork = "in work"
	LeadsReady  = "ready"
)

// usualEvents are those of a catalog that names none: common practice of a shop
// that cuts, welds, finishes and boxes.
var usualEvents = []Event{
	{Code: "ordered", Says: "what it needs is ordered"},
	{Code: "received", Says: "what it needs is received"},
	{Code: "cut", Says: "steel is cut", Leads: LeadsInWork},
	{Code: "welded", Says: "the frame is welded", Leads: LeadsInWork},
	{Code: "powdered", Says: "the powder is cured", Leads: LeadsInWork},
	{Code: "stained", Says: "the stain is started", Leads: LeadsInWork},
	{Code: "boxed", Says: "the last carton is closed", Leads: LeadsReady},
	{Code: "scrapped", Says: "a piece is spoiled", Scraps: true},
}

// ShopEvents are the events that the shop may tell, in the catalog's order. A
// catalog that names none has the usual ones, and what its locks wait for
// besides.
func (c *Catalog) ShopEvents() []Event {
	var events []Event
	for _, e := range c.Events.All() {
		events = append(events, *e)
	}
	if len(events) > 0 {
		return events
	}
	events = slices.Clone(usualEvents)
	for _, l := range c.Locks.All() {
		if _, found := eventOf(events, l.Event); !found {
			events = append(events, Event{Code: strings.ReplaceAll(l.Event, " ", "-"), Says: l.Event, Leads: LeadsInWork})
		}
	}
	return events
}

// ShopEvent finds an event by its code or by what it says.
func (c *Catalog) ShopEvent(word string) (Event, bool) { return eventOf(c.ShopEvents(), word) }

func eventOf(events []Event, word string) (Event, bool) {
	i := slices.IndexFunc(events, func(e Event) bool { return e.Code == word || strings.EqualFold(e.Says, word) })
	if i < 0 {
		return Event{}, false
	}
	return events[i], true
}
