package api

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/picture"
)

// exampleWith is an order of two lines, one of customer's own material.
func exampleWith(po, sidemark string) string {
	return fmt.Sprintf(`{"po":%q,"sidemark":%q,"ship_to":"Studio Tamsel, dock 2","lines":[
		{"product":"lodden-round","quantity":1,"configuration":{"diameter":"42 in","legs":"bent"}},
		{"product":"pell-stool","quantity":2,"configuration":{"height":"24 in","cloth":"own","own_width":"54 in","own_repeat":"13 1/2 in"}}]}`, po, sidemark)
}

func (r reply) is(t testing.TB, kind string) reply {
	t.Helper()
	r.want(t, 200)
	if got := r.header.Get("Content-Type"); got != kind {
		t.Fatalf("content type %q, want %q", got, kind)
	}
	begins := map[string]string{pdfType: "%PDF-1.", htmlType: "<!doctype html>", svgType: "<?xml"}[kind]
	if !strings.HasPrefix(string(r.body), begins) {
		t.Fatalf("it begins %q", r.body[:min(20, len(r.body))])
	}
	return r
}

// An order's papers: the list, each department's as PDF and HTML by parameter
// and by Accept, the packet, and what is not there.
func TestPapersOfAnOrder(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	dealer, shop := s.key("dealer studio-tamsel"), s.key("shop")
	number := s.placed(dealer, "1", exampleWith("A 1", "Ferncote"))
	at := "/v1/orders/" + number

	var list paperList
	s.ask(shop, "GET", at+"/papers", "").want(t, 200).read(t, &list)
	var bill bom.Bill
	text := s.ask(shop, "GET", at+"/bill", "").want(t, 200)
	text.read(t, &bill)
	all, err := bom.DocumentRows(text.body)
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for _, p := range list.Papers {
		rows += p.Rows
		html := s.ask(shop, "GET", p.Path, "", "Accept: text/html,application/pdf;q=0.5").is(t, htmlType)
		if !strings.Contains(string(html.body), "NOT RELEASED") || strings.Contains(string(html.body), "<i></i>") || !strings.Contains(string(html.body), "Ferncote") {
			t.Errorf("%s: a received order's paper does not say so, or has boxes", p.Department)
		}
		if html.header.Get("Content-Security-Policy") == "" || html.header.Get("Vary") != "Accept" {
			t.Errorf("%s: %v", p.Department, html.header)
		}
		pdf := s.ask(shop, "GET", p.Path, "").is(t, pdfType)
		again := s.ask(shop, "GET", p.Path+"?format=pdf", "", "Accept: text/html").is(t, pdfType)
		if !bytes.Equal(pdf.body, again.body) {
			t.Errorf("%s: printed again it is another file", p.Department)
		}
		if name := pdf.header.Get("Content-Disposition"); name != `inline; filename="`+number+"-v1-"+string(p.Department)+`.pdf"` {
			t.Errorf("%s", name)
		}
	}
	if rows != len(all) || len(list.Papers) < 6 || list.Superseded || list.Version != 1 || list.Cartons == 0 || list.Parts == 0 {
		t.Errorf("%d rows on papers, %d in the bill: %+v", rows, len(all), list)
	}
	packet := s.ask(shop, "GET", at+"/papers/all?size=a4", "").is(t, pdfType)
	if len(packet.body) < 20000 || bytes.Equal(packet.body, s.ask(shop, "GET", at+"/papers/all", "").is(t, pdfType).body) {
		t.Errorf("the packet of A4 has %d bytes, or is that of letter", len(packet.body))
	}
	s.ask(shop, "GET", at+"/papers/wood", "").problem(t, 404) // a glass top and stools
	s.ask(shop, "GET", at+"/papers/paint", "").problem(t, 422)
	s.ask(shop, "GET", at+"/papers/weld?version=2", "").problem(t, 404)
	s.ask(dealer, "GET", at+"/papers/all", "").problem(t, 403)
	s.ask(dealer, "GET", at+"/labels", "").problem(t, 403)
}

// A superseded version prints as it was, and says so; nothing of it is ticked.
func TestASupersededPaperSaysSo(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	rep := s.key("rep")
	number := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1", `,"sidemark":"before"`))
	at := "/v1/orders/" + number
	s.ask(rep, "POST", at+"/accept", `{}`, "Idempotency-Key: 1", `If-Match: "1"`).want(t, 200)
	s.ask(rep, "POST", at+"/release", `{}`, "Idempotency-Key: 2", `If-Match: "2"`).want(t, 200)
	now := string(s.ask(rep, "GET", at+"/papers/saw-and-forge?format=html", "").is(t, htmlType).body)
	if strings.Contains(now, "NOT RELEASED") || strings.Contains(now, "SUPERSEDED") || !strings.Contains(now, "<i></i>") || !strings.Contains(now, "Version 3,") {
		t.Error("a released order's paper is stopped, or has no boxes")
	}
	old := string(s.ask(rep, "GET", at+"/papers/saw-and-forge?format=html&version=2", "").is(t, htmlType).body)
	if !strings.Contains(old, "SUPERSEDED") || !strings.Contains(old, "version 3 stands") || strings.Contains(old, "<i></i>") || !strings.Contains(old, "Version 2,") {
		t.Error("version 2 does not say that it is superseded")
	}
	var list paperList
	s.ask(rep, "GET", at+"/papers?version=2", "").want(t, 200).read(t, &list)
	if !list.Superseded || !strings.HasSuffix(list.Papers[0].Path, "?version=2") {
		t.Errorf("%+v", list)
	}
}

func TestADraftHasNoPapers(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	var draft struct{ Number string }
	s.ask(rep, "POST", "/v1/orders", `{"intent":"draft","dealer":"studio-tamsel","po":"A 1","lines":[{"product":"sallow-bench","quantity":1,"configuration":{}}]}`, "Idempotency-Key: 1").want(t, 201).read(t, &draft)
	for _, path := range []string{"/papers", "/papers/all", "/labels", "/acknowledgment?format=pdf"} {
		s.ask(rep, "GET", "/v1/orders/"+draft.Number+path, "").problem(t, 409)
	}
}

// Labels come one a carton or one a piece; the acknowledgment is a paper for the
// dealer too, and stays JSON unless it is asked for otherwise.
func TestLabelsAndTheAcknowledgmentAsPapers(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	dealer, shop := s.key("dealer studio-tamsel"), s.key("shop")
	number := s.placed(dealer, "1", exampleWith("A 1", "<b>שלום & Ferncote"))
	at := "/v1/orders/" + number
	var list paperList
	s.ask(shop, "GET", at+"/papers", "").want(t, 200).read(t, &list)
	for kind, want := range map[string]int{"carton": list.Cartons, "part": list.Parts} {
		html := string(s.ask(shop, "GET", at+"/labels?format=html&kind="+kind, "").is(t, htmlType).body)
		if got := strings.Count(html, `<article class="lb"`); got != want || want == 0 {
			t.Errorf("%d %s labels, want %d", got, kind, want)
		}
		if strings.Contains(html, "<b>שלום") || !strings.Contains(html, "שלום") {
			t.Errorf("the sidemark is not shown as it was entered")
		}
		s.ask(shop, "GET", at+"/labels?kind="+kind, "").is(t, pdfType)
	}
	for header, kind := range map[string]string{"": "application/json", "Accept: */*": "application/json", "Accept: application/json, text/html": "application/json",
		"Accept: text/html,application/xhtml+xml": htmlType, "Accept: application/pdf": pdfType} {
		headers := []string{}
		if header != "" {
			headers = []string{header}
		}
		r := s.ask(dealer, "GET", at+"/acknowledgment", "", headers...).want(t, 200)
		if got := r.header.Get("Content-Type"); got != kind {
			t.Errorf("%q: %s, want %s", header, got, kind)
		}
	}
	html := string(s.ask(dealer, "GET", at+"/acknowledgment?format=html&size=a4", "").is(t, htmlType).body)
	for _, want := range []string{"□ default", "■ chosen", "Net of line 1", "HELD", "own-material", "A 1", "&lt;b&gt;שלום &amp; Ferncote"} {
		if !strings.Contains(html, want) {
			t.Errorf("the acknowledgment lacks %q", want)
		}
	}
	s.ask(s.key("dealer hobb-and-farrow"), "GET", at+"/acknowledgment?format=pdf", "").problem(t, 404)
}

// The code of a paper leads to the address that was asked, or to the settings'.
func TestCodesLeadToTheAddressOfTheService(t *testing.T) {
	s := openShop(t, shopSettings{})
	shop := s.key("shop")
	number := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	asked := string(s.ask(shop, "GET", "/v1/orders/"+number+"/papers/boxing?format=html", "").is(t, htmlType).body)
	if want := s.base + "/orders/" + number; !strings.Contains(asked, want) {
		t.Errorf("the code does not lead to %s", want)
	}
	s.server.set.Address = "https://desk.corrindale.example/"
	told := string(s.ask(shop, "GET", "/v1/orders/"+number+"/papers/boxing?format=html", "").is(t, htmlType).body)
	if want := "https://desk.corrindale.example/orders/" + number; !strings.Contains(told, want) || strings.Contains(told, s.base) {
		t.Errorf("the code does not lead to %s", want)
	}
}

// The cut list of a week has the pieces of all orders, each with its mark, as
// often as the requirements have them.
func TestTheCutListOfAWeek(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	rep, buyer, shop := s.key("rep"), s.key("buyer"), s.key("shop")
	one := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	two := s.placed(s.key("dealer hobb-and-farrow"), "1", bench("A 1"))
	for i, number := range []string{one, two} {
		s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, fmt.Sprint("Idempotency-Key: ", i), `If-Match: "1"`).want(t, 200)
	}
	var needs struct {
		Requirements []struct {
			Week string
			Kind string
		}
	}
	s.ask(buyer, "GET", "/v1/orders/"+one+"/requirements", "").want(t, 200).read(t, &needs)
	week := ""
	for _, n := range needs.Requirements {
		if n.Kind == bom.KindSteel {
			week = n.Week
		}
	}
	if week == "" {
		t.Fatalf("no week of steel: %+v", needs)
	}
	html := string(s.ask(shop, "GET", "/v1/requirements/"+week+"/cut-list?format=html", "").is(t, htmlType).body)
	for _, number := range []string{one, two} {
		if !strings.Contains(html, number+" 1/base/leg") {
			t.Errorf("the legs of %s are not listed", number)
		}
	}
	if !strings.Contains(html, week) || !strings.Contains(html, "<i></i>") || !strings.Contains(html, "Bar 1") {
		t.Error("it lacks its week, its boxes or its bars")
	}
	pdf := s.ask(shop, "GET", "/v1/requirements/"+week+"/cut-list", "").is(t, pdfType)
	if !bytes.Equal(pdf.body, s.ask(shop, "GET", "/v1/requirements/"+week+"/cut-list", "").body) {
		t.Error("printed again it is another file")
	}
	empty := string(s.ask(shop, "GET", "/v1/requirements/2031-W01/cut-list?format=html", "").is(t, htmlType).body)
	if !strings.Contains(empty, "Nothing is to be cut") {
		t.Error("an empty week does not say so")
	}
	s.ask(shop, "GET", "/v1/requirements/2026-W54/cut-list", "").problem(t, 400)
	s.ask(shop, "GET", "/v1/requirements/"+week+"/cut-list?section=gold", "").problem(t, 400)
	s.ask(s.key("dealer studio-tamsel"), "GET", "/v1/requirements/"+week+"/cut-list", "").problem(t, 403)
}

// Pictures of rows and of the goods come as drawings.
func TestPicturesOfRows(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	number := s.placed(s.key("dealer studio-tamsel"), "1", `{"po":"A 1","lines":[{"product":"brackwater-table","quantity":1,"configuration":{}},{"product":"lodden-round","quantity":1,"configuration":{"legs":"bent"}},{"product":"sallow-bench","quantity":1,"configuration":{}}]}`)
	at := "/v1/orders/" + number + "/bill"
	for row, want := range map[string]string{"1/top": "Blank of Top", "2/base/bent-leg": "Bend schedule of Bent leg", "2/base/ring": "12 in", "3/cushion/cloth": "usable width"} {
		svg := string(s.ask(rep, "GET", at+"/rows/"+row+"/why?format=svg", "").is(t, svgType).body)
		if !strings.Contains(svg, want) || !strings.Contains(svg, "<desc") {
			t.Errorf("%s lacks %q: %s", row, want, svg)
		}
	}
	s.ask(rep, "GET", at+"/rows/1/base/leg/why?format=svg", "").problem(t, 404)
	layouts := string(s.ask(rep, "GET", at+"/layouts?format=svg", "").is(t, svgType).body)
	if !strings.Contains(layouts, "Order "+number+": cloth on the goods") || !strings.Contains(layouts, "plate") {
		t.Errorf("layouts: %s", layouts)
	}
	if r := s.ask(rep, "GET", at+"/layouts", "").want(t, 200); r.header.Get("Content-Type") != "application/json" {
		t.Errorf("without a format: %v", r.header)
	}
}

// The load of departments as a chart says what the JSON says.
func TestTheLoadAsAChart(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	rep := s.key("rep")
	number := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	s.ask(rep, "POST", "/v1/orders/"+number+"/accept", `{}`, "Idempotency-Key: 1", `If-Match: "1"`).want(t, 200)
	var load loadReply
	s.ask(rep, "GET", "/v1/load?weeks=12", "").want(t, 200).read(t, &load)
	svg := string(s.ask(rep, "GET", "/v1/load?weeks=12&format=svg", "").is(t, svgType).body)
	busy := 0
	for _, week := range load.Weeks {
		for _, d := range week.Departments {
			if !strings.Contains(svg, d.Name) || !strings.Contains(svg, week.Week) {
				t.Errorf("the chart lacks %s or %s", d.Name, week.Week)
			}
			if d.Planned != "0.0 min" {
				busy++
				var planned, capacity bom.Minutes
				if planned.UnmarshalText([]byte(d.Planned)) != nil || capacity.UnmarshalText([]byte(d.Capacity)) != nil {
					t.Fatalf("%+v", d)
				}
				if want := week.Week + " " + picture.Hours(planned) + " of " + picture.Hours(capacity); !strings.Contains(svg, want) {
					t.Errorf("the chart does not say %q", want)
				}
			}
		}
	}
	if busy == 0 {
		t.Error("an accepted order takes nothing of any department")
	}
}
