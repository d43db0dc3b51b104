package catalog_test

import (
	"slices"
	"testing"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// A substitute is of the same kind and, where it is steel, of the same form; what
// a customer chose is not substituted.
func TestSubstitutionsAreChecked(t *testing.T) {
	cat := read(t, small(t))
	day := cat.Workshop.Effective
	later := calendar.Date{Year: day.Year + 1, Month: day.Month, Day: day.Day}
	for _, c := range []struct {
		s    catalog.Substitution
		want []string
	}{
		{catalog.Substitution{Kind: "steel", Item: "bar-1", By: "bar-1", From: day, Until: later}, []string{"/by item.same"}},
		{catalog.Substitution{Kind: "steel", Item: "bar-1", By: "rod-1-2", From: day, Until: later}, []string{"/by item.unlike"}},
		{catalog.Substitution{Kind: "steel", Item: "bar-2", By: "rod-9", From: day, Until: later}, []string{"/item item.unknown", "/by item.unknown"}},
		{catalog.Substitution{Kind: "species", Item: "walnut", By: "white-oak", From: day, Until: later}, []string{"/kind kind.unknown"}},
		{catalog.Substitution{Kind: "steel", Item: "bar-1", By: "rod-1-2", From: later, Until: day}, []string{"/by item.unlike", "/until date.order"}},
	} {
		var got []string
		for _, f := range cat.CheckSubstitution(&c.s) {
			got = append(got, f.Pointer+" "+f.Code)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v, want %v", c.s, got, c.want)
		}
	}
}

// A substitute stands in the place of its item and nowhere else, and the catalog
// itself is left as it is.
func TestASubstituteTakesThePlace(t *testing.T) {
	cat := read(t, small(t))
	with := cat.Substituted([]catalog.Substitution{{Kind: "steel", Item: "bar-1", By: "rod-1-2"}, {Kind: "steel", Item: "gone", By: "rod-1-2"}})
	taken, _ := with.Sections.Get("bar-1")
	own, _ := with.Sections.Get("rod-1-2")
	before, _ := cat.Sections.Get("bar-1")
	if taken.Code != "rod-1-2" || taken.InPlaceOf != "bar-1" || own.InPlaceOf != "" || before.Code != "bar-1" || before.InPlaceOf != "" {
		t.Errorf("%+v\n%+v\n%+v", taken, own, before)
	}
	if with.Sections.Len() != cat.Sections.Len() || cat.Substituted(nil) != cat {
		t.Error("the catalog changed")
	}
	s := catalog.Substitution{From: calendar.Date{Year: 2026, Month: 12, Day: 1}, Until: calendar.Date{Year: 2026, Month: 12, Day: 3}}
	for day, holds := range map[int]bool{30: false, 1: true, 2: true, 3: true, 4: false} {
		date := calendar.Date{Year: 2026, Month: 12, Day: day}
		if day == 30 {
			date.Month = 11
		}
		if s.Holds(date) != holds {
			t.Errorf("%s: %v", date, !holds)
		}
	}
}
