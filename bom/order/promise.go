package order

import (
	"fmt"
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// promise sets the earliest ship date: the longest lead time of the lines in
// working days after the day that the order counts for, or later where
// something that is ordered for a line comes too late for that: its need-by day
// cannot lie before the day on which it is here.
func (o *Order) promise(cat *catalog.Catalog, now time.Time) *catalog.Finding {
	lead := 0
	for i := range o.Lines {
		lead = max(lead, o.Lines[i].Config.Product.LeadDays)
	}
	promise, err := cat.Calendar.Promise(now, lead)
	if err == nil {
		promise, err = o.afterMaterials(cat, cat.Calendar.DayOf(now), promise)
	}
	if err != nil {
		return &catalog.Finding{Pointer: "", Code: "promise.none", Message: fmt.Sprintf("No ship date can be promised: %v.", err)}
	}
	o.Promise = promise
	return nil
}

// afterMaterials moves a ship date behind what is ordered on a day.
func (o *Order) afterMaterials(cat *catalog.Catalog, day, ship calendar.Date) (calendar.Date, error) {
	for _, m := range o.Bill.Materials() {
		if m.LeadDays == 0 {
			continue
		}
		here, err := cat.Calendar.Arrival(day, m.LeadDays, m.Vendor)
		if err != nil {
			return ship, err
		}
		offset, _ := cat.NeedBy.Get(m.Kind)
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
