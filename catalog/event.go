package catalog

import (
	"slices"
	"strings"

	"billwright/catalog/source"
)

// Event is something that the shop tells has happened to a line of an order, or
// to one row of its bill.
type Event struct {
	Code   string                        `yaml:"-"`
	Says   string                        `yaml:"says,required" doc:"What has happened, as the shop says it, such as steel is cut. A lock names its event by this or by the code."`
	Leads  string                        `yaml:"leads" oneof:"in work|ready" doc:"Where it takes the line: in work; or ready, once it has happened to each unit. Without it the line stays where it is."`
	Scraps bool                          `yaml:"scraps" doc:"yes when it tells that a piece is spoiled: it is needed once more, and nothing else of the order changes."`
	Uses   source.OneOrMany[source.Text] `yaml:"uses" doc:"Kinds of material that it uses up, such as steel when it is cut: what of them is not needed any more afterwards is surplus, and not given back."`
	Pos    source.Pos                    `yaml:"-"`
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
	{Code: "cut", Says: "steel is cut", Leads: LeadsInWork, Uses: kinds("steel")},
	{Code: "welded", Says: "the frame is welded", Leads: LeadsInWork, Uses: kinds("wire")},
	{Code: "powdered", Says: "the powder is cured", Leads: LeadsInWork, Uses: kinds("powder")},
	{Code: "stained", Says: "the stain is started", Leads: LeadsInWork, Uses: kinds("liquid")},
	{Code: "boxed", Says: "the last carton is closed", Leads: LeadsReady, Uses: kinds("hardware", "carton")},
	{Code: "scrapped", Says: "a piece is spoiled", Scraps: true},
}

func kinds(names ...string) (list source.OneOrMany[source.Text]) {
	for _, name := range names {
		list = append(list, source.Text{Value: name})
	}
	return list
}

// materialWords are the words of an event's sentence that tell which material it
// uses up, where the event is known from a lock only: common practice.
var materialWords = []struct{ word, kind string }{
	{"steel", "steel"}, {"tube", "steel"}, {"bar", "steel"}, {"glass", "glass"}, {"pane", "glass"}, {"stone", "stone"}, {"cloth", "cloth"}, {"leather", "leather"},
	{"blank", "blank"}, {"blank", "lumber"}, {"lumber", "lumber"}, {"powder", "powder"},
}

func usedBy(sentence string) (uses source.OneOrMany[source.Text]) {
	words := strings.FieldsFunc(strings.ToLower(sentence), func(c rune) bool { return c == ' ' || c == '-' })
	for _, m := range materialWords {
		use := source.Text{Value: m.kind}
		if slices.Contains(words, m.word) && !slices.Contains(uses, use) {
			uses = append(uses, use)
		}
	}
	return uses
}

// UsesUp tells whether an event uses up a kind of material.
func (e *Event) UsesUp(kind string) bool {
	return slices.ContainsFunc(e.Uses, func(t source.Text) bool { return t.Value == kind })
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
			events = append(events, Event{Code: strings.ReplaceAll(l.Event, " ", "-"), Says: l.Event, Leads: LeadsInWork, Uses: usedBy(l.Event)})
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
