package order

import (
	"fmt"
	"slices"
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// promise sets the earliest ship date: the longest lead time of the lines in
// working days after the day that the order counts for, or later where
// something that is ordered for a line comes too late for that: its need-by day
// cannot lie before the day on which it is here.
func (o *Order) promise(cat *catalog.Catalog, now time.Time) *catalog.Finding {
	for i := range o.Lines {
		o.LeadDays = max(o.LeadDays, o.Lines[i].Config.Product.LeadDays)
	}
	for _, m := range o.Bill.Materials() {
		arrival := Arrival{m.Kind, m.LeadDays, m.Vendor}
		if m.LeadDays > 0 && !slices.Contains(o.WaitsFor, arrival) {
			o.WaitsFor = append(o.WaitsFor, arrival)
		}
	}
	promise, err := promiseFrom(cat, now, o.LeadDays, o.WaitsFor)
	if err != nil {
		return &catalog.Finding{Pointer: "", Code: "promise.none", Message: fmt.Sprintf("No ship date can be promised: %v.", err)}
	}
	o.Agreed, o.Promise, o.Warnings = agree(o.Agreed, promise, o.Warnings)
	return nil
}

// Arrival is something ordered for an order whose coming its promise waits for.
type Arrival struct {
	Kind     string `json:"kind"`
	LeadDays int    `json:"lead_days"`
	Vendor   string `json:"vendor,omitempty"`
}

// promiseFrom is the earliest ship date counted from an instant.
func promiseFrom(cat *catalog.Catalog, now time.Time, leadDays int, waitsFor []Arrival) (calendar.Date, error) {
	ship, err := cat.Calendar.Promise(now, leadDays)
	if err != nil {
		return ship, err
	}
	for _, a := range waitsFor {
		here, err := cat.Calendar.Arrival(cat.Calendar.DayOf(now), a.LeadDays, a.Vendor)
		if err != nil {
			return ship, err
		}
		offset, _ := cat.NeedBy.Get(a.Kind)
		soonest, err := cat.Calendar.AddWorkingDays(here, offset)
		if err != nil {
			return ship, err
		}
		if soonest.After(ship) {
			ship = soonest
		}
	}
	return ship, nil
}
