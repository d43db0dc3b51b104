package difference

import (
	"fmt"
	"reflect"
	"slices"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// closing is a closure of the later catalog with days on which the earlier one
// worked.
type closing struct {
	closure calendar.Closure
	days    []calendar.Date
}

// Closing tells of closures, too: those of the catalog to that close days on
// which the catalog before was open touch the lines whose promise was counted
// over them, a vendor's only lines that use what is bought from him. It gives u.
func (u *Use) Closing(to *catalog.Catalog) *Use {
	for _, source := range to.Days.Closures {
		c := calendar.Closure{From: source.From, To: source.From, Why: source.Why, Vendor: source.Vendor}
		if source.To != nil {
			c.To = *source.To
		}
		if days := u.newlyClosed(c); len(days) > 0 {
			u.closings = append(u.closings, closing{c, days})
		}
	}
	return u
}

// ClosesVendors tells that some closure is a vendor's, so that Line.WaitsFor is
// asked for.
func (u *Use) ClosesVendors() bool {
	return slices.ContainsFunc(u.closings, func(c closing) bool { return c.closure.Vendor != "" })
}

func (u *Use) newlyClosed(c calendar.Closure) (days []calendar.Date) {
	for day := c.From; !day.After(c.To); day = day.AddDays(1) {
		_, closed := u.cat.Calendar.VendorClosed(c.Vendor, day)
		// A vendor's days count only where the plant works as well.
		if !closed && u.cat.Calendar.Working(day) {
			days = append(days, day)
		}
	}
	return days
}

// closed lists the closures that touch a line.
func (u *Use) closed(line Line) (says []string) {
	if len(u.closings) == 0 || !line.Promise.Valid() {
		return nil
	}
	received := u.cat.Calendar.DayOf(line.ReceivedAt)
	var vendors map[string]bool
	for _, c := range u.closings {
		within := slices.ContainsFunc(c.days, func(day calendar.Date) bool { return day.After(received) && !day.After(line.Promise) })
		if !within {
			continue
		}
		if c.closure.Vendor != "" {
			if vendors == nil {
				vendors = u.vendors(line)
			}
			if !vendors[c.closure.Vendor] {
				continue
			}
		}
		says = append(says, fmt.Sprintf("closure %v: the promise of %s was counted without it", c.closure, line.Promise))
	}
	return says
}

// vendors are those from whom something is bought that a line uses.
func (u *Use) vendors(line Line) map[string]bool {
	all, sure := u.exactly(line)
	if !sure {
		all = u.everything(line)
	}
	vendors := map[string]bool{}
	for _, vendor := range line.WaitsFor {
		vendors[vendor] = true
	}
	plan := reflect.ValueOf(&u.cat.Plan).Elem()
	for i := range plan.NumField() {
		key := yamlKey(plan.Type().Field(i))
		table, isMap := mapOf(plan.Field(i))
		if key == "" || !isMap {
			continue
		}
		for thing := range all {
			if thing.Table != key {
				continue
			}
			if entry, found := table.lookup(thing.Code); found {
				vendors[textField(entry, "Vendor")] = true
			}
		}
	}
	delete(vendors, "")
	return vendors
}
