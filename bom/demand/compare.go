package demand

import (
	"cmp"
	"slices"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Difference is what is needed more, or below nothing less, of an item at one
// place of a bill by one day: what the next pull of its week would take.
type Difference struct {
	NeedBy calendar.Date
	Line   int
	Unit   int
	Path   string
	Kind   string
	Item   string
	// Length is that of each piece where it is cut from bars or sheets, else 0,
	// and Width where it is cut from sheets.
	Length unit.Length
	Width  unit.Length
	Pieces int
	// Amount is in the grain of Measure.
	Amount  int64
	Measure bom.Measure
}

// Compare tells what is needed otherwise than before. What is needed alike is
// not listed.
func Compare(was, is []Requirement) []Difference {
	sums := map[Difference]*Difference{}
	add := func(rows []Requirement, sign int) {
		for i := range rows {
			r := &rows[i]
			at := Difference{NeedBy: r.NeedBy, Line: r.Line, Unit: r.Unit, Path: r.Path, Kind: r.Kind, Item: r.Item, Length: r.Length, Width: r.Width, Measure: r.Measure}
			sum := sums[at]
			if sum == nil {
				fresh := at
				sum = &fresh
				sums[at] = sum
			}
			sum.Pieces += sign * r.Pieces
			sum.Amount += int64(sign) * r.Amount
		}
	}
	add(was, -1)
	add(is, 1)
	var differences []Difference
	for _, sum := range sums {
		if sum.Pieces != 0 || sum.Amount != 0 {
			differences = append(differences, *sum)
		}
	}
	slices.SortFunc(differences, func(a, b Difference) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Path, b.Path), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Unit, b.Unit),
			cmp.Compare(a.Pieces, b.Pieces), cmp.Compare(a.Length, b.Length), cmp.Compare(a.Width, b.Width), cmp.Compare(a.NeedBy.String(), b.NeedBy.String()))
	})
	return differences
}
