package order

import (
	"encoding/json"
	"fmt"
	"slices"

	"billwright/catalog/calendar"
)

// What may have happened to an order, as its dealer is told.
const (
	NewsVersion    = "version"
	NewsState      = "state"
	NewsPromise    = "promise"
	NewsHold       = "hold"
	NewsShipment   = "shipment"
	NewsNote       = "note"
	NewsAttachment = "attachment"
)

// News is one thing that happened to an order.
type News struct {
	Version int
	Act     Act
	What    []string
	State   State
	Promise *calendar.Date
	// Holds are the kinds of those that stand.
	Holds []string
	// Seq is the number of a note or an attachment.
	Seq int
}

// standing is as much of an order or a draft as is told to whoever follows it.
type standing struct {
	State   State          `json:"state"`
	Promise *calendar.Date `json:"promise"`
	Holds   []Hold         `json:"holds"`
}

// NewsOf tells what an act made otherwise. before is the order's document, or
// nil for an order that is new.
func NewsOf(before []byte, after *Document, act Act) (News, error) {
	var was standing
	if before != nil {
		if err := json.Unmarshal(before, &was); err != nil {
			return News{}, fmt.Errorf("read a stored order: %w", err)
		}
	}
	n := News{Version: after.Version, Act: act, What: []string{NewsVersion}, State: after.State, Holds: kinds(after.Holds)}
	if after.Promise.Valid() {
		n.Promise = &after.Promise
	}
	if was.State != after.State || !slices.EqualFunc(lineStates(before), after.Lines, func(s State, l DocumentLine) bool { return s == l.State }) {
		n.What = append(n.What, NewsState)
	}
	if n.Promise != nil && (was.Promise == nil || *was.Promise != *n.Promise) {
		n.What = append(n.What, NewsPromise)
	}
	if !slices.EqualFunc(was.Holds, after.Holds, func(a, b Hold) bool { return a.Seq == b.Seq && a.Reason == b.Reason }) {
		n.What = append(n.What, NewsHold)
	}
	if act == Ship {
		n.What = append(n.What, NewsShipment)
	}
	return n, nil
}

func kinds(holds []Hold) []string {
	list := make([]string, len(holds))
	for i := range holds {
		list[i] = holds[i].Kind
	}
	return list
}

func lineStates(document []byte) (states []State) {
	var d struct {
		Lines []struct {
			State State `json:"state"`
		} `json:"lines"`
	}
	if json.Unmarshal(document, &d) == nil {
		for _, l := range d.Lines {
			states = append(states, l.State)
		}
	}
	return states
}
