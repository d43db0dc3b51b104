package calendar

import (
	"errors"
	"fmt"
	"time"
)

// HorizonDays is how far, in calendar days, any reckoning looks from its
// starting day: ten years.
const HorizonDays = 3653

// longestRest is the longest run of days without work a plant may have. It
// bounds every search for a working day.
const longestRest = 366

// ErrHorizon: the day asked for lies more than HorizonDays away.
var ErrHorizon = errors.New("beyond the calendar's horizon of ten years")

// Plant is what the catalog says of the plant's days.
type Plant struct {
	// Zone is the plant's own time zone. The machine's local zone is refused:
	// the same order would get another promise on another machine.
	Zone *time.Location
	// WorkDays by time.Weekday: index 0 is Sunday.
	WorkDays [7]bool
	// CutOff is the last time of day that counts for a working day; nil means
	// that the day counts until midnight.
	CutOff *ClockTime
	// ClosedDayCounts says which working day an act on a closed day counts for.
	ClosedDayCounts Direction
	Closures        []Closure
}

// Calendar answers questions about one plant's days. It never changes once
// made, and any number of goroutines may use it.
type Calendar struct {
	zone      *time.Location
	workDays  [7]bool
	cutOff    *ClockTime
	closedDay Direction
	closures  map[string][]Closure
}

// New checks a plant and makes its calendar. It refuses, all faults joined: no
// zone or the machine's; no working day in the week; a cut-off that is no time
// of day; no direction for closed days; closures without a reason, with days
// that do not exist, that end before they begin, or that overlap another of
// the same vendor; closures that leave no working day for more than 366 days.
func New(p Plant) (*Calendar, error) {
	closures, overlaps := byVendor(p.Closures)
	c := &Calendar{p.Zone, p.WorkDays, nil, p.ClosedDayCounts, closures}
	if p.CutOff != nil {
		cutOff := *p.CutOff
		c.cutOff = &cutOff
	}
	faults := c.checkPlant()
	for _, closure := range p.Closures {
		faults = append(faults, closure.check()...)
	}
	faults = append(faults, overlaps...)
	if len(faults) == 0 {
		faults = c.checkRests()
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return c, nil
}

func (c *Calendar) checkPlant() (faults []error) {
	switch {
	case c.zone == nil:
		faults = append(faults, errors.New("no time zone: name the plant's, such as America/Chicago"))
	case c.zone == time.Local || c.zone.String() == "Local":
		faults = append(faults, errors.New("the machine's local time zone: name the plant's, such as America/Chicago"))
	}
	if c.workDays == ([7]bool{}) {
		faults = append(faults, errors.New("no working day in the week: mark at least one"))
	}
	if c.cutOff != nil && !c.cutOff.Valid() {
		faults = append(faults, fmt.Errorf("cut-off %v is no time of day: use 00:00 to 23:59, or none", c.cutOff))
	}
	if c.closedDay != Last && c.closedDay != Next {
		faults = append(faults, errors.New("nothing says which day an act on a closed day counts for: say last or next"))
	}
	return faults
}

// checkRests gives a fault for each closure from whose first day on nothing is
// worked for more than longestRest days.
func (c *Calendar) checkRests() (faults []error) {
	for _, closure := range c.closures[""] {
		if _, err := c.find(closure.From, 1, longestRest); err != nil {
			faults = append(faults, fmt.Errorf("closure %v: no working day for more than %d days", closure, longestRest))
		}
	}
	return faults
}

// Working reports whether the plant works on d.
func (c *Calendar) Working(d Date) bool {
	_, closed := covering(c.closures[""], d)
	return !closed && c.workDays[d.Weekday()]
}

// Closed reports whether the plant is closed on d and why: the closure's
// reason, or "not worked on Saturdays".
func (c *Calendar) Closed(d Date) (why string, closed bool) {
	if closure, ok := covering(c.closures[""], d); ok {
		return closure.Why, true
	}
	if day := d.Weekday(); !c.workDays[day] {
		return fmt.Sprintf("not worked on %vs", day), true
	}
	return "", false
}

// Shut reports whether a closure keeps the plant from working on a day of the
// week on which it works else, and why.
func (c *Calendar) Shut(d Date) (why string, shut bool) {
	closure, covered := covering(c.closures[""], d)
	return closure.Why, covered && c.workDays[d.Weekday()]
}

// VendorClosed reports whether a closure of the vendor covers d and why. The
// plant's own days off say nothing about a vendor.
func (c *Calendar) VendorClosed(vendor string, d Date) (why string, closed bool) {
	if vendor == "" {
		return c.Closed(d)
	}
	closure, ok := covering(c.closures[vendor], d)
	return closure.Why, ok
}

// AddWorkingDays gives the n-th working day after d, or before it when n is
// negative; for 0 it gives d itself, worked or not. ErrHorizon when that day
// is more than HorizonDays away.
func (c *Calendar) AddWorkingDays(d Date, n int) (Date, error) {
	step := 1
	if n < 0 {
		step = -1
	}
	if n > HorizonDays || n < -HorizonDays {
		return Date{}, fmt.Errorf("%d working days from %v: %w", n, d, ErrHorizon)
	}
	day := d
	for left, walked := n*step, 0; left > 0; walked++ {
		if walked == HorizonDays {
			return Date{}, fmt.Errorf("%d working days from %v: %w", n, d, ErrHorizon)
		}
		if day = day.AddDays(step); c.Working(day) {
			left--
		}
	}
	return day, nil
}

// Arrival is the day on which something comes that is ordered of a vendor on d:
// the n-th day after d on which both the plant and the vendor work. ErrHorizon
// as for AddWorkingDays.
func (c *Calendar) Arrival(d Date, n int, vendor string) (Date, error) {
	day := d
	for left, walked := n, 0; left > 0; walked++ {
		if walked == HorizonDays {
			return Date{}, fmt.Errorf("%d working days of %s from %v: %w", n, vendor, d, ErrHorizon)
		}
		day = day.AddDays(1)
		if _, closed := c.VendorClosed(vendor, day); !closed && c.Working(day) {
			left--
		}
	}
	return day, nil
}

// find gives the first working day from d on, d included, in steps of one day
// forward or back, at most limit steps away.
func (c *Calendar) find(d Date, step, limit int) (Date, error) {
	day := d
	for range limit + 1 {
		if c.Working(day) {
			return day, nil
		}
		day = day.AddDays(step)
	}
	return Date{}, fmt.Errorf("no working day within %d days of %v: %w", limit, d, ErrHorizon)
}

// DayOf gives the working day for which an act at t counts. t is read on the
// plant's wall clock. On a working day it counts for that day until the cut-off
// (that very minute included), afterwards for the next working day; without a
// cut-off the day counts until midnight. On a closed day it counts for the last
// or the next working day, as the plant says, whatever the hour.
func (c *Calendar) DayOf(t time.Time) Date {
	local := t.In(c.zone)
	day := DateOf(local)
	step := 1
	switch worked := c.Working(day); {
	case worked && (c.cutOff == nil || !c.cutOff.past(local)):
		return day
	case worked:
		day = day.AddDays(1)
	case c.closedDay == Last:
		step = -1
	}
	// New made sure that no rest is longer than longestRest, so a day is found.
	found, _ := c.find(day, step, 2*longestRest)
	return found
}

// Promise gives the ship date of an order accepted at the given moment: the
// leadDays-th working day after the day the acceptance counts for; 0 is that
// day. Errors: a negative lead time, ErrHorizon.
func (c *Calendar) Promise(accepted time.Time, leadDays int) (Date, error) {
	if leadDays < 0 {
		return Date{}, fmt.Errorf("lead time of %d working days: use 0 or more", leadDays)
	}
	return c.AddWorkingDays(c.DayOf(accepted), leadDays)
}

// NeedBy gives the day by which something must be there to ship on the given
// day: offset working days before it. From a ship day that is not worked the
// reckoning starts at the last working day before, so that the goods are never
// late. Errors: a negative offset, ErrHorizon.
func (c *Calendar) NeedBy(ship Date, offset int) (Date, error) {
	if offset < 0 {
		return Date{}, fmt.Errorf("need-by offset of %d working days: use 0 or more", offset)
	}
	last, err := c.find(ship, -1, HorizonDays)
	if err != nil {
		return Date{}, err
	}
	return c.AddWorkingDays(last, -offset)
}

// WorkedDays is on how many days of a week the plant works, and on how many it
// would without closures: 1 to 7.
func (c *Calendar) WorkedDays(w Week) (worked, usual int) {
	for i := range 7 {
		day := w.Monday().AddDays(i)
		if c.Working(day) {
			worked++
		}
		if c.workDays[day.Weekday()] {
			usual++
		}
	}
	return worked, usual
}
