package demand

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/calendar"
)

// Of the rows of an order that are added up together just one leads, whatever
// stands between them.
func TestOneRowLeads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		monday := calendar.Date{Year: 2026, Month: 11, Day: 23}
		rows := make([]Requirement, rapid.IntRange(0, 30).Draw(t, "rows"))
		for i := range rows {
			rows[i] = Requirement{
				Week:    monday.AddDays(7 * rapid.IntRange(0, 2).Draw(t, "week")),
				Kind:    rapid.SampledFrom([]string{bom.KindSteel, bom.KindCloth}).Draw(t, "kind"),
				Item:    rapid.SampledFrom([]string{"round-bar-1-2", "square-bar-1"}).Draw(t, "item"),
				Measure: rapid.SampledFrom([]bom.Measure{bom.Length, bom.Each}).Draw(t, "measure"),
				Surplus: rapid.Bool().Draw(t, "surplus"),
			}
		}
		leads, leaders := Leads(rows), map[string]int{}
		for i, r := range rows {
			of := fmt.Sprint(r.Week, r.Kind, r.Item, r.Measure)
			if _, before := leaders[of]; !before {
				leaders[of] = 0
			}
			if leads[i] {
				leaders[of]++
			}
		}
		for of, n := range leaders {
			if n != 1 {
				t.Errorf("%d rows lead of %s", n, of)
			}
		}
	})
}
