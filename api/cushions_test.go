package api

import (
	"strings"
	"testing"

	"billwright/bom"
)

const (
	plaidSettee = `{"product":"orrest-settee","quantity":1,"configuration":{"cloth":"linden-linen","piped":"contrast"}}`
	linenStool  = `{"product":"mallin-stool","quantity":2,"configuration":{"cloth":"linden-linen"}}`
	ownStools   = `{"product":"pell-stool","quantity":4,"configuration":{"height":"24 in","footrest":"bars","cloth":"own","own_width":"54 in","own_repeat":"13 1/2 in"}}`
)

func seatsOrder(po string, lines ...string) string {
	return `{"po":"` + po + `","ship_to":"12 Quay Lane\nHarrowgate","lines":[` + strings.Join(lines, ",") + `]}`
}

// The layouts of a stored order are those of its bill: each ends at its net, and
// what is of one dye lot is laid out once for its lines.
func TestLayoutsOfAStoredOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", seatsOrder("PO seats", plaidSettee, linenStool))
	var got struct {
		Order   string
		Units   string
		Layouts []bom.Layout
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/layouts", "").want(t, 200).read(t, &got)
	var bill bom.Bill
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill", "").want(t, 200).read(t, &bill)
	if len(bill.Pooled) != 1 || len(got.Layouts) != 2 || got.Order != number || got.Units != "inch" {
		t.Fatalf("%d pools, layouts %+v", len(bill.Pooled), got.Layouts)
	}
	pool := got.Layouts[1]
	lines := map[int]bool{}
	for _, p := range pool.Pieces {
		lines[p.Line] = true
	}
	if pool.Path != "dye-lot/linden-linen" || pool.Net != bill.Pooled[0].Net || !lines[1] || !lines[2] {
		t.Errorf("pool laid out as %+v, on the bill %+v", pool, bill.Pooled[0])
	}
	// The shares of the lines are what is asked for, once.
	var shares bom.Cloth
	for _, of := range bill.Pooled[0].Of {
		shares += of.Share
	}
	if off := shares - bill.Pooled[0].Length; off < -18_288_000 || off > 18_288_000 { // 0.02 yd, written to 0.01 each
		t.Errorf("shares of %s of %s", shares.In(bom.Inch), bill.Pooled[0].Length.In(bom.Inch))
	}
	s.ask(s.key("dealer hobb-and-farrow"), "GET", "/v1/orders/"+number+"/bill/layouts", "").problem(t, 404)
}

func TestWhatCameOfOwnMaterialIsChecked(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", seatsOrder("PO own", ownStools))
	at := "/v1/orders/" + number + "/own-material/checks"
	var got struct {
		Verdict     string
		Short, Send string
		Needed      string
		Says        []string
		Came        bom.ClothRow
	}
	s.ask(s.key("shop"), "POST", at, `{"line":1,"path":"cushion/cloth","received":"3 yd","usable_width":"48 in","flaws":"12 in"}`).want(t, 200).read(t, &got)
	if got.Verdict != "short" || got.Short != "36 in" || got.Send != "1.00 yd" || got.Needed != "132 in" || got.Came.Net.String() != "132 in" || len(got.Says) != 3 {
		t.Errorf("narrower: %+v", got)
	}
	s.ask(dealer, "POST", at, `{"line":1,"path":"cushion/cloth","received":"74 in","repeat":"9 in"}`).want(t, 200).read(t, &got)
	if got.Verdict != "enough" {
		t.Errorf("another repeat: %+v", got)
	}
	for body, want := range map[string]string{
		`{"line":1,"path":"cushion","received":"3 yd"}`:                                "/path own-material.none",
		`{"line":2,"path":"cushion/cloth","received":"3 yd"}`:                          "/path own-material.none",
		`{"line":1,"path":"cushion/cloth","received":"three yards"}`:                   "/received entry.unreadable",
		`{"line":1,"path":"cushion/cloth","received":"50 ft2"}`:                        "/received own-material.measure",
		`{"line":1,"path":"cushion/cloth","received":"3 yd","usable_width":"0 in"}`:    "/usable_width entry.unreadable",
		`{"line":1,"path":"cushion/cloth","received":"3 yd","repeat":"a third of it"}`: "/repeat entry.unreadable",
	} {
		problem := s.ask(dealer, "POST", at, body).problem(t, 422)
		if len(problem.Errors) != 1 || problem.Errors[0].Pointer+" "+problem.Errors[0].Code != want {
			t.Errorf("%s: %+v, want %s", body, problem.Errors, want)
		}
	}
	s.ask(s.key("dealer hobb-and-farrow"), "POST", at, `{"line":1,"path":"cushion/cloth","received":"3 yd"}`).problem(t, 404)
}
