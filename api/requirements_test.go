package api

import (
	"testing"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/catalog/unit"
)

// What is bought is written as a workshop of either kind buys it.
func TestAmountsAsTheyAreBought(t *testing.T) {
	for _, c := range []struct {
		kind         string
		measure      bom.Measure
		amount       int64
		inch, metric string
	}{
		{bom.KindSteel, bom.Length, int64(100 * unit.Inch), "100 in", "2540 mm"},
		{bom.KindCloth, bom.Length, int64(2 * unit.Yard), "2.00 yd", "1.83 m"},
		{bom.KindLumber, bom.Volume, int64(10 * unit.BoardFoot), "10.00 bf", "0.0236 m3"},
		{bom.KindFoam, bom.Volume, int64(2 * unit.CubicFoot), "2.00 ft3", "0.0566 m3"},
		{bom.KindLiquid, bom.Volume, int64(unit.Gallon), "1.00 gal", "3.79 L"},
		{bom.KindPowder, bom.Mass, int64(10 * unit.Pound), "10.00 lb", "4.54 kg"},
		{bom.KindCarton, bom.Area, int64(10 * unit.SquareFoot), "10.00 ft2", "0.93 m2"},
		{bom.KindHardware, bom.Each, 8, "8", "8"},
	} {
		need := &demanddb.Need{Kind: c.kind, Measure: c.measure}
		if got := quantityOf(need, c.amount, bom.Inch).Text; got != c.inch {
			t.Errorf("%s in inch units is %q, want %q", c.kind, got, c.inch)
		}
		if got := quantityOf(need, c.amount, bom.Metric).Text; got != c.metric {
			t.Errorf("%s in metric units is %q, want %q", c.kind, got, c.metric)
		}
	}
}

// The weeks ahead tell what waits, and which days the plant is closed; a week's
// pulls are listed without the others.
func TestTheWeeksAhead(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	buyer := s.key("buyer")
	number := s.accepted(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	week := s.steelWeek(buyer, number)
	var ahead weeksReply
	read := func() weekWaiting {
		t.Helper()
		ahead = weeksReply{}
		s.ask(buyer, "GET", "/v1/requirements?from="+week+"&weeks=2", "").want(t, 200).read(t, &ahead)
		if len(ahead.Weeks) != 2 || ahead.Weeks[0].Week != week || ahead.Weeks[1].Monday != ahead.Weeks[0].Monday.AddDays(7) {
			t.Fatalf("%+v", ahead)
		}
		return ahead.Weeks[0]
	}
	if w := read(); w.Items < 1 || w.ToPull != w.Items || w.Surplus+w.NotFirm+w.Late != 0 {
		t.Errorf("%+v", w)
	}
	before := read().ToPull
	pull := s.pulled(buyer, "pull1", week, "steel", 201)
	if w := read(); w.ToPull != before-len(pull.Items) {
		t.Errorf("%+v after a pull of %d items", w, len(pull.Items))
	}
	for query, pulls := range map[string]int{"?week=" + week: 1, "?week=2026-W50": 0} {
		var list pullList
		if s.ask(buyer, "GET", "/v1/pulls"+query, "").want(t, 200).read(t, &list); len(list.Pulls) != pulls {
			t.Errorf("%s: %+v", query, list)
		}
	}
	s.ask(buyer, "GET", "/v1/requirements?from=2026-W52&weeks=2", "").want(t, 200).read(t, &ahead)
	if closed := ahead.Weeks[0].Closed; len(closed) != 2 || closed[0].Day.String() != "2026-12-24" || closed[0].Why != "Year end" {
		t.Errorf("the week of Christmas is closed on %+v", closed)
	}
	s.ask(buyer, "GET", "/v1/requirements?from=2026-W54", "").problem(t, 400)
	s.ask(buyer, "GET", "/v1/pulls?week=2026-54", "").problem(t, 400)
}
