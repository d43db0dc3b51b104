package api

import (
	"fmt"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/saw"
	"billwright/catalog/unit"
)

// mirrors are wall mirrors of 30 x 40 in: their panes are 29 5/8 x 39 5/8 in and
// are cut 29 3/4 x 39 3/4 in.
func mirrors(po string, quantity int) string {
	return fmt.Sprintf(`{"po":%q,"lines":[{"product":"osmere-mirror","quantity":%d,"configuration":{}}]}`, po, quantity)
}

// weekOf is the week in which an order's material of a kind must be here.
func (s *shop) weekOf(number, kind string) string {
	s.t.Helper()
	var needs orderNeeds
	s.ask(s.key("buyer"), "GET", "/v1/orders/"+number+"/requirements", "").want(s.t, 200).read(s.t, &needs)
	for _, n := range needs.Requirements {
		if n.Kind == kind {
			return n.Week
		}
	}
	s.t.Fatalf("order %s needs no %s", number, kind)
	return ""
}

// laid gives the pieces of plans by mark, and checks that none lies on another or
// in the trim of 1/2 in, and that the sheets bought are those that are laid out.
func laid(t *testing.T, plans []*saw.SheetPlan) map[string]int64 {
	t.Helper()
	pieces := map[string]int64{}
	for _, plan := range plans {
		bought := int64(0)
		for _, s := range plan.SheetLayout {
			if !s.Offcut {
				bought += s.Count
			}
			for i, a := range s.Pieces {
				pieces[plan.Item+" "+a.Mark] += s.Count
				if a.Mark != a.Order+" "+a.Row || a.X < unit.Inch/2 || a.Y < unit.Inch/2 || a.X+a.Length > s.Length-unit.Inch/2 || a.Y+a.Width > s.Width-unit.Inch/2 {
					t.Errorf("%+v", a)
				}
				for _, b := range s.Pieces[:i] {
					if a.X < b.X+b.Length && b.X < a.X+a.Length && a.Y < b.Y+b.Width && b.Y < a.Y+a.Width {
						t.Errorf("%+v lies on %+v", a, b)
					}
				}
			}
		}
		if bought != plan.Bought {
			t.Errorf("%d sheets, %d said", bought, plan.Bought)
		}
	}
	return pieces
}

// By hand, of sheets trimmed by 1/2 in at each edge, scored without a kerf: one of
// 96 x 60 in for 168.00 gives 95 x 59 in and 3 panes (3 x 29 3/4 = 89 1/4 in), one
// of 72 x 48 in for 104.00 gives 71 x 47 in and 2 (59 1/2 in). One pane and two
// panes by themselves take 104.00 each; the three together 168.00. One
// pane takes a whole sheet, of which the cheapest is 104.00, and so do two: both are
// the least possible. In parts of sheets a pane takes 104/2 = 52.00 at the least, and
// sums of both prices are multiples of 8.00: the bound of three is 160.00.
func TestTheSheetsOfAWeek(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep, buyer := s.key("rep"), s.key("buyer")
	first := s.placed(s.key("dealer studio-tamsel"), "1", mirrors("A 1", 1))
	second := s.placed(s.key("dealer hobb-and-farrow"), "1", mirrors("A 1", 2))
	s.done(rep, first, "accept", 1, `{}`).want(t, 200)
	week := s.weekOf(second, bom.KindGlass)
	if got := s.weekOf(first, bom.KindGlass); got != week {
		t.Fatalf("the panes are needed in %s and %s", got, week)
	}
	path := "/v1/requirements/" + week + "/sheets"
	var firm, all weekSheets
	s.ask(buyer, "GET", path, "").want(t, 200).read(t, &firm)
	s.ask(buyer, "GET", path+"?held=yes", "").want(t, 200).read(t, &all)
	mark := func(number string) string { return "mirror-1-4 " + number + " 1/pane" }
	if got := laid(t, firm.Items); !same(got, map[string]int64{mark(first): 1}) || firm.Held {
		t.Errorf("firm: %v", got)
	}
	if got := laid(t, all.Items); !same(got, map[string]int64{mark(first): 1, mark(second): 2}) || !all.Held || all.Week != week {
		t.Errorf("all: %v", got)
	}
	var one, other orderSheets
	s.ask(buyer, "GET", "/v1/orders/"+first+"/sheets", "").want(t, 200).read(t, &one)
	s.ask(buyer, "GET", "/v1/orders/"+second+"/sheets", "").want(t, 200).read(t, &other)
	for _, c := range []struct {
		plan        *saw.SheetPlan
		cost, bound unit.Money
	}{{one.Items[0], 10400, 10400}, {other.Items[0], 10400, 10400}, {all.Items[0], 16800, 16000}} {
		if *c.plan.Cost.Price != c.cost || *c.plan.Bound.Price != c.bound || c.plan.Bought != 1 || (c.plan.Status == "proved by bound") != (c.cost == c.bound) {
			t.Errorf("%s", c.plan.Text(bom.Inch))
		}
	}
	// The requirements tell the same sheets, by the square foot: 3 x 29 3/4 x
	// 39 3/4 in are 24.64 ft2.
	requirement := func() requirement {
		t.Helper()
		var sums weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week+"?kind=glass", "").want(t, 200).read(t, &sums)
		if len(sums.Requirements) != 1 {
			t.Fatalf("%+v", sums)
		}
		return sums.Requirements[0]
	}
	r := requirement()
	if r.Item != "mirror-1-4" || r.Pieces != 3 || r.Amount.Text != "24.64 ft2" || r.Sheets == nil || *r.Sheets.Cost.Price != 16800 || *r.FirmSheets.Cost.Price != 10400 || r.NetSheets != nil || r.Bars != nil {
		t.Errorf("%+v", r)
	}
	// A sheet on the rack takes what it gives, and the gross stays as it was.
	s.ask(buyer, "PUT", "/v1/stock/glass/mirror-1-4", `{"counted":[{"length":"96 in","width":"60 in","pieces":1}]}`).want(t, 200)
	r = requirement()
	if r.NetSheets == nil || r.NetSheets.Sheets != 0 || len(r.NetSheets.Offcuts) != 1 || *r.Sheets.Cost.Price != 16800 || r.OnHand.Text != "40.00 ft2" {
		t.Errorf("%+v", r.NetSheets)
	}
	var net weekSheets
	s.ask(buyer, "GET", path+"?held=yes&on_hand=yes", "").want(t, 200).read(t, &net)
	if net.Items[0].Bought != 0 || *net.Items[0].Cost.Price != 0 {
		t.Errorf("%s", net.Items[0].Text(bom.Inch))
	}
	var stock stockReply
	s.ask(buyer, "GET", "/v1/stock/glass/mirror-1-4", "").want(t, 200).read(t, &stock)
	if len(stock.Counted) != 1 || stock.Counted[0].Length != "96 in" || stock.Counted[0].Width != "60 in" {
		t.Errorf("%+v", stock)
	}
	for body, want := range map[string]string{`{"counted":[{"width":"60 in","pieces":1}]}`: "/counted/0/length amount", `{"counted":[{"length":"96 in","width":"wide","pieces":1}]}`: "/counted/0/width amount",
		`{"counted":[{"length":"96 in","width":"60 in","pieces":1},{"length":"8 ft","width":"5 ft","pieces":1}]}`: "/counted/1 twice"} {
		if got := s.ask(buyer, "PUT", "/v1/stock/glass/mirror-1-4", body).faults(t, 422); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %q, want %q", body, got, want)
		}
	}
}

// The three forms, offcuts of one request, and what is asked wrongly.
func TestSheetsOfOneOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.placed(s.key("dealer studio-tamsel"), "1", mirrors("A 1", 2))
	path := "/v1/orders/" + number + "/sheets?item=mirror-1-4"
	sheet := readSheet(t, s.ask(buyer, "GET", path+"&format=csv", ""))
	if len(sheet) != 3 || sheet[0][3] != "sheet length in" || sheet[1][0] != "mirror-1-4" || sheet[1][12] != number+" 1/pane" {
		t.Errorf("%v", sheet)
	}
	svg := s.ask(buyer, "GET", path+"&format=svg", "").want(t, 200)
	if svg.header.Get("Content-Type") != svgType || !strings.Contains(string(svg.body), number+" 1/pane") || !strings.Contains(string(svg.body), "<desc") {
		t.Errorf("%s: %s", svg.header.Get("Content-Type"), svg.body)
	}
	var cheaper orderSheets
	s.ask(buyer, "GET", path+"&offcuts=62%20in%20x%2042%20in", "").want(t, 200).read(t, &cheaper)
	if len(cheaper.Items) != 1 || cheaper.Items[0].Bought != 0 || len(cheaper.Items[0].Offcuts) != 1 {
		t.Errorf("%+v", cheaper)
	}
	for query, want := range map[string]string{
		"?item=mirror-9":                    "query.item item.unknown",
		"?offcuts=70%20in%20x%2030%20in":    "query.offcuts offcut.item",
		"?offcuts=70&item=mirror-1-4":       "query.offcuts offcut",
		"?offcuts=7%20in,x&item=mirror-1-4": "query.offcuts offcut|query.offcuts offcut",
	} {
		if got := s.ask(buyer, "GET", "/v1/orders/"+number+"/sheets"+query, "").faults(t, 400); strings.Join(got, "|") != want {
			t.Errorf("%s: %v, want %s", query, got, want)
		}
	}
	s.ask(buyer, "GET", "/v1/orders/0000-0000/sheets", "").problem(t, 404)
	s.ask(buyer, "GET", "/v1/requirements/2026-W54/sheets", "").problem(t, 400)
	var none weekSheets
	s.ask(buyer, "GET", "/v1/requirements/2026-W01/sheets", "").want(t, 200).read(t, &none)
	if none.Items == nil || len(none.Items) != 0 {
		t.Errorf("a week without pieces: %+v", none)
	}
	// What no catalog has sheets of is told in every form.
	if _, err := s.db.AdminPool(t).Exec(t.Context(), `update requirement set item = 'no-such-sheet' where item = 'mirror-1-4'`); err != nil {
		t.Fatal(err)
	}
	weekly := "/v1/requirements/" + s.weekOf(number, bom.KindGlass) + "/sheets?held=yes"
	var after weekSheets
	s.ask(buyer, "GET", weekly, "").want(t, 200).read(t, &after)
	if len(after.Items) != 0 || len(after.NotPlanned) != 1 || after.NotPlanned[0].Pieces != 2 || len(after.NotPlanned[0].Why) != 1 {
		t.Errorf("%+v", after)
	}
	if svg := string(s.ask(buyer, "GET", weekly+"&format=svg", "").want(t, 200).body); !strings.Contains(svg, "NOT PLANNED: no-such-sheet") {
		t.Error("the drawing looks whole")
	}
}

// Purchase units by hand: of the demonstration's glides, in boxes of 100, and of
// its black powder, in boxes of 25 lb and no less than 50 lb. What is on hand is
// netted, and the gross is always shown.
func TestWhatIsBoughtInUnits(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.accepted(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	read := func(kind, item string) *requirement {
		t.Helper()
		var reply weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+s.weekOf(number, kind)+"?kind="+kind, "").want(t, 200).read(t, &reply)
		for i := range reply.Requirements {
			if reply.Requirements[i].Item == item {
				return &reply.Requirements[i]
			}
		}
		t.Fatalf("no %s in %+v", item, reply)
		return nil
	}
	glides := read(bom.KindHardware, "glide")
	if glides.Amount.Exact != "4" || glides.Purchase == nil || glides.Purchase.Unit != "box of 100" || glides.Purchase.All.Units != 1 || glides.Purchase.All.Amount.Exact != "100" || glides.Purchase.ToBuy.Units != 1 {
		t.Errorf("%+v %+v", glides, glides.Purchase)
	}
	s.ask(buyer, "PUT", "/v1/stock/hardware/glide", `{"counted":[{"pieces":4}]}`).want(t, 200)
	if glides = read(bom.KindHardware, "glide"); glides.Purchase.All.Units != 1 || glides.Purchase.ToBuy.Units != 0 || glides.Purchase.ToBuy.Amount.Exact != "0" || glides.OnHand.Exact != "4" {
		t.Errorf("%+v", glides.Purchase)
	}
	powder := read(bom.KindPowder, "powder-soot")
	if powder.Purchase == nil || powder.Purchase.All.Units != 2 || powder.Purchase.All.Amount.Text != "50.00 lb" || !powder.Purchase.All.Least {
		t.Errorf("%+v %+v", powder, powder.Purchase)
	}
	sheet := readSheet(t, s.ask(buyer, "GET", "/v1/requirements/"+s.weekOf(number, bom.KindPowder)+"?kind=powder&format=csv", ""))
	at := map[string]int{}
	for i, head := range sheet[0] {
		at[head] = i
	}
	if row := sheet[1]; row[at["bought by"]] != "box of 25 lb" || row[at["units of all"]] != "2" || row[at["units to buy"]] != "2" {
		t.Errorf("%v", sheet)
	}
}
