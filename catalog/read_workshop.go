package catalog

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

func (r *reading) workshop() {
	s := r.spot("workshop").at(r.cat.Workshop.Pos)
	s.in("code").code("workshop", r.cat.Workshop.Code)
	if strings.TrimSpace(r.cat.Workshop.Name) == "" {
		s.in("name").fault("the workshop has no name", "write the name as printed on papers")
	}
	if currency := r.cat.Workshop.Currency; currency != "" && !currencyCode.MatchString(currency) {
		s.in("currency").fault(fmt.Sprintf("%q is not a currency", currency), "write its three capital letters (ISO 4217), such as USD, CAD or EUR")
	}
}

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

var weekDays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"} // by time.Weekday

// days makes the plant's calendar.
func (r *reading) days() {
	s := r.spot("calendar").at(r.cat.Days.Pos)
	before := len(r.faults)
	plant := calendar.Plant{
		Zone:            s.zone(r.cat.Days.Zone),
		WorkDays:        s.workDays(r.cat.Days.WorkDays),
		CutOff:          s.cutOff(r.cat.Days.CutOff),
		ClosedDayCounts: calendar.Next,
	}
	if r.cat.Days.ClosedDayCounts == "last" {
		plant.ClosedDayCounts = calendar.Last
	}
	for _, c := range r.cat.Days.Closures {
		if c.From == (calendar.Date{}) || c.To != nil && *c.To == (calendar.Date{}) {
			continue // the day that could not be read is told
		}
		plant.Closures = append(plant.Closures, c.closure())
	}
	if len(r.faults) > before {
		return
	}
	made, err := calendar.New(plant)
	for _, fault := range parted(err) {
		s.fault(fault.Error(), "")
	}
	r.cat.Calendar = made
}

func (c ClosureSource) closure() calendar.Closure {
	to := c.From
	if c.To != nil {
		to = *c.To
	}
	return calendar.Closure{From: c.From, To: to, Why: c.Why, Vendor: c.Vendor}
}

// parted gives joined errors one by one.
func parted(err error) []error {
	if err == nil {
		return nil
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		return joined.Unwrap()
	}
	return []error{err}
}

func (s spot) zone(name string) *time.Location {
	zone, err := time.LoadLocation(name)
	if err != nil || name == "" || name == "Local" {
		s.in("zone").fault(fmt.Sprintf("there is no time zone %q", name), "write an IANA name, such as America/Denver")
		return time.UTC
	}
	return zone
}

func (s spot) workDays(names []string) (days [7]bool) {
	s = s.in("work_days")
	s.twice(names)
	for _, name := range names {
		if s.known("day of the week", name, weekDays) {
			days[slices.Index(weekDays, name)] = true
		}
	}
	return days
}

func (s spot) cutOff(text string) *calendar.ClockTime {
	if text == "" {
		return nil
	}
	clock, err := calendar.ParseClockTime(text)
	if err != nil {
		s.in("cut_off").fault(err.Error(), "")
	}
	return &clock
}

// needKinds are the kinds of material that have a need-by day.
var needKinds = []string{"steel", "lumber", "blank", "glass", "stone", "cloth", "leather", "foam", "hardware", "powder", "liquid", "carton", "wire"}

// ownMaterialKind is the kind of what the customer sends, which has no need-by
// day of its own.
const ownMaterialKind = "own material"

// needBy checks the days by kind, and that none is missing that a product uses.
func (r *reading) needBy() {
	s := r.spot("need_by").at(first(r.cat.NeedBy))
	entries(s, r.cat.NeedBy, func(s spot, kind string, days int) {
		s.kindOfMaterial(kind)
		s.days(days)
	})
	for _, kind := range needKinds {
		if _, given := r.cat.NeedBy.Get(kind); !given && r.uses[kind] != "" {
			s.fault(fmt.Sprintf("%s is missing, which %s uses", kind, r.uses[kind]),
				"write how many working days before shipping it must be here")
		}
	}
}

// kindOfMaterial faults a kind that there is not, with all that there are, which
// are more than other lists name.
func (s spot) kindOfMaterial(kind string) {
	if slices.Contains(needKinds, kind) {
		return
	}
	hint := "there are " + strings.Join(needKinds, ", ")
	if near, found := source.Nearest(kind, needKinds); found {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	s.fault(fmt.Sprintf("there is no kind of material %q", kind), hint)
}

func (r *reading) dealers() {
	entries(r.spot("dealers"), r.cat.Dealers, func(s spot, code string, d *Dealer) {
		d.Code = code
		s.code("dealer", code)
		if d.CreditHold {
			s.at(d.Pos).in("credit_hold").needsHold(PlacedCredit, code+" is on credit hold")
		}
	})
}

// codes are the codes of a table, kept for faults.
func (r *reading) codes(table string) []string {
	if r.tables == nil {
		r.tables = map[string][]string{
			"sections": r.cat.Sections.Keys(), "rough_thicknesses": r.cat.Rough.Keys(),
			"species": r.cat.Species.Keys(), "glass": r.cat.Glass.Keys(), "stone": r.cat.Stone.Keys(), "climates": r.cat.Climates.Keys(), "coatings": r.cat.Coatings.Keys(),
			"metal_finishes": r.cat.MetalFinishes.Keys(), "wood_finishes": r.cat.WoodFinishes.Keys(),
			"fabrics": r.cat.Fabrics.Keys(), "foams": r.cat.Foams.Keys(), "cushion_forms": r.cat.CushionForms.Keys(),
			"hardware": r.cat.Hardware.Keys(), "wires": r.cat.Wires.Keys(), "processes": r.cat.Processes.Keys(), "boards": r.cat.Boards.Keys(), "products": r.cat.Products.Keys(),
			"handling": r.cat.Handling.Keys(), "parcels": r.cat.Parcels.Keys(), "pallets": r.cat.Pallets.Keys(), "lifts": r.cat.Lifts.Keys(),
		}
	}
	return r.tables[table]
}

// singular names one entry of a table.
var singular = map[string]string{
	"sections": "section", "rough_thicknesses": "rough thickness", "species": "species", "glass": "glass", "stone": "stone", "climates": "climate",
	"coatings": "coating", "metal_finishes": "metal finish", "wood_finishes": "wood finish", "fabrics": "fabric",
	"foams": "foam", "cushion_forms": "cushion form", "hardware": "hardware", "boards": "carton board", "wires": "filler wire", "processes": "welding process", "products": "product",
	"handling": "handling", "parcels": "parcel terms", "pallets": "pallet", "lifts": "lift",
}

// from faults a code that is not in a table of the catalog.
func (s spot) from(table, code string) bool {
	return s.known(singular[table], code, s.r.codes(table))
}

func values(texts []source.Text) []string {
	list := make([]string, len(texts))
	for i, t := range texts {
		list[i] = t.Value
	}
	return list
}
