package calendar

import (
	"fmt"
	"maps"
	"slices"
)

// Closure is a run of days, both ends included, on which the plant, or a
// vendor when Vendor is not empty, is closed.
type Closure struct {
	From, To Date
	Why      string
	Vendor   string
}

// String gives "Stocktaking (2026-12-24 to 2026-12-31)".
func (c Closure) String() string {
	why := c.Why
	if c.Vendor != "" {
		why = c.Vendor + ": " + why
	}
	if c.From == c.To {
		return fmt.Sprintf("%s (%v)", why, c.From)
	}
	return fmt.Sprintf("%s (%v to %v)", why, c.From, c.To)
}

// check gives the faults of one closure by itself.
func (c Closure) check() (faults []error) {
	if c.Why == "" {
		faults = append(faults, fmt.Errorf("closure %v to %v has no reason: say why, it is shown to people", c.From, c.To))
	}
	for _, d := range []Date{c.From, c.To} {
		if !d.Valid() {
			faults = append(faults, fmt.Errorf("closure %v: there is no day %v", c, d))
		}
	}
	if c.To.Before(c.From) {
		faults = append(faults, fmt.Errorf("closure %v ends before it begins: swap its days", c))
	}
	return faults
}

// byVendor sorts closures by their first day for each vendor, "" being the
// plant, and gives the faults of overlapping ones.
func byVendor(all []Closure) (map[string][]Closure, []error) {
	sorted := make(map[string][]Closure)
	for _, c := range all {
		sorted[c.Vendor] = append(sorted[c.Vendor], c)
	}
	var faults []error
	for _, vendor := range slices.Sorted(maps.Keys(sorted)) {
		of := sorted[vendor]
		slices.SortStableFunc(of, func(a, b Closure) int { return a.From.Compare(b.From) })
		for i := 1; i < len(of); i++ {
			if !of[i].From.After(of[i-1].To) {
				faults = append(faults, fmt.Errorf("closures %v and %v overlap: shorten one or write one closure", of[i-1], of[i]))
			}
		}
	}
	return sorted, faults
}

// covering finds the closure a day lies in, among closures sorted by day that
// do not overlap.
func covering(of []Closure, d Date) (Closure, bool) {
	after, _ := slices.BinarySearchFunc(of, d, func(c Closure, d Date) int {
		if c.From.After(d) {
			return 1
		}
		return -1
	})
	if after == 0 || of[after-1].To.Before(d) {
		return Closure{}, false
	}
	return of[after-1], true
}
