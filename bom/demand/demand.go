// Package demand turns bills into dated requirements: what must be here by when.
// Weeks are ISO weeks, named by their Monday.
package demand

import (
	"fmt"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Requirement is one thing to buy for one order line, dated. Firm is false as
// long as a hold stands on the line.
type Requirement struct {
	// Week is the Monday of the ISO week of NeedBy.
	Week   calendar.Date
	NeedBy calendar.Date
	Line   int
	// Seq numbers an order's requirements from 1.
	Seq    int
	Unit   int
	Path   string
	Kind   string
	Item   string
	Pieces int
	// Length is that of each piece where it is cut from bars or sheets, else 0.
	Length unit.Length
	// Width is that of each piece where it is cut from sheets, else 0.
	Width unit.Length
	// Amount is in the grain of Measure.
	Amount  int64
	Measure bom.Measure
	Firm    bool
	// Surplus tells that it was used up and is not needed any more: it was bought
	// and cannot be given back. What is surplus is never firm and keeps its day.
	Surplus bool
}

// Firm tells whether what a line needs of a kind of material may be bought.
type Firm func(line int, kind string) bool

// Redate dates requirements anew for another ship date, and asks again which of
// them are firm. Nothing else of them changes. Errors as of Requirements.
func Redate(cat *catalog.Catalog, requirements []Requirement, ship calendar.Date, firm Firm) error {
	days := map[string]calendar.Date{}
	for i := range requirements {
		r := &requirements[i]
		if r.Surplus {
			continue
		}
		day, found := days[r.Kind]
		if !found {
			var err error
			if day, err = needBy(cat, r.Kind, ship); err != nil {
				return err
			}
			days[r.Kind] = day
		}
		r.NeedBy, r.Week, r.Firm = day, day.Week().Monday(), firm(r.Line, r.Kind)
	}
	return nil
}

// NoOffset tells that a catalog has no need-by offset for a kind of material.
type NoOffset struct{ Kind string }

func (e *NoOffset) Error() string {
	return fmt.Sprintf("the catalog has no need_by offset for %q: it cannot be dated", e.Kind)
}

// Requirements dates the materials of a bill that ships on a day. A need-by day
// is the ship date less the catalog's offset for the kind, in working days. The
// firm function tells whether a line's demand for a kind is firm. Errors: *NoOffset, or
// the calendar's when a day lies beyond its horizon.
func Requirements(cat *catalog.Catalog, bill *bom.Bill, ship calendar.Date, firm Firm) ([]Requirement, error) {
	materials := bill.Materials()
	days := map[string]calendar.Date{}
	requirements := make([]Requirement, len(materials))
	for i := range materials {
		m := &materials[i]
		day, found := days[m.Kind]
		if !found {
			var err error
			if day, err = needBy(cat, m.Kind, ship); err != nil {
				return nil, err
			}
			days[m.Kind] = day
		}
		requirements[i] = Requirement{
			Week: day.Week().Monday(), NeedBy: day, Line: m.Line, Seq: i + 1, Unit: m.Unit, Path: m.Path, Kind: m.Kind, Item: m.Item,
			Pieces: m.Pieces, Length: m.PieceLength, Width: m.PieceWidth, Amount: m.Amount, Measure: m.Measure, Firm: firm(m.Line, m.Kind),
		}
	}
	return requirements, nil
}

// Leads tells for each of an order's requirements whether it is the first of its
// week, kind, item and measure: so many lead as orders need the item in the week.
func Leads(requirements []Requirement) []bool {
	type key struct {
		week       calendar.Date
		kind, item string
		measure    bom.Measure
	}
	leads := make([]bool, len(requirements))
	seen := make(map[key]struct{}, len(requirements))
	for i := range requirements {
		r := &requirements[i]
		before := len(seen)
		seen[key{r.Week, r.Kind, r.Item, r.Measure}] = struct{}{}
		leads[i] = len(seen) > before
	}
	return leads
}

func needBy(cat *catalog.Catalog, kind string, ship calendar.Date) (calendar.Date, error) {
	offset, found := cat.NeedBy.Get(kind)
	if kind == bom.KindOwnMaterial {
		// Own material is needed when bought cloth would be.
		offset, found = cat.NeedBy.Get(bom.KindCloth)
	}
	if !found {
		return calendar.Date{}, &NoOffset{Kind: kind}
	}
	return cat.Calendar.NeedBy(ship, offset)
}
