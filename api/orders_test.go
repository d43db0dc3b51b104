package api

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/source"
)

func TestAnOrderFromPostToRequirements(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, buyer := s.key("dealer studio-tamsel"), s.key("buyer")
	placed := s.place(dealer, "first", s.order(nil)).want(t, 201)
	var doc order.Document
	placed.read(t, &doc)
	path := "/v1/orders/" + doc.Number
	if placed.header.Get("Location") != path || placed.header.Get("ETag") != `"1"` || placed.header.Get("Content-Type") != "application/json" {
		t.Errorf("headers %v", placed.header)
	}
	id, err := uuid.Parse(doc.ID)
	if err != nil || id.Version() != 7 || order.NumberOf(id) != doc.Number {
		t.Errorf("id %s and number %s: %v", doc.ID, doc.Number, err)
	}
	if doc.Dealer != "studio-tamsel" || doc.PO != "ST-2207" || doc.Test || !doc.ReceivedAt.Equal(noon) || doc.Revision != 1 || len(doc.Lines) != 4 {
		t.Errorf("document %s", placed.body)
	}

	// Read again: the same bytes, or 304 for whoever has them. A number is
	// found however it is written.
	for _, spelled := range []string{doc.Number, strings.ToLower(doc.Number), strings.ReplaceAll(doc.Number, "-", "%20")} {
		got := s.ask(dealer, "GET", "/v1/orders/"+spelled, "").want(t, 200)
		if string(got.body) != string(placed.body) || got.header.Get("ETag") != `"1"` {
			t.Errorf("%s: other bytes: %s", spelled, got.body)
		}
	}
	for tag, status := range map[string]int{`"1"`: 304, `W/"1"`: 304, `"7", "1"`: 304, `*`: 304, `"2"`: 200, `1`: 200} {
		if got := s.ask(dealer, "GET", path, "", "If-None-Match: "+tag); got.status != status || status == 304 && len(got.body) > 0 {
			t.Errorf("If-None-Match %s: %d %s", tag, got.status, got.body)
		}
	}

	bill := s.ask(dealer, "GET", path+"/bill", "").want(t, 200)
	hash := sha256.Sum256(bill.body)
	if hex.EncodeToString(hash[:]) != doc.Bill.SHA256 {
		t.Error("the bill served has another hash than the order tells")
	}
	if again := s.ask(dealer, "GET", path+"/bill?version=1", "").want(t, 200); string(again.body) != string(bill.body) {
		t.Error("version 1 has other bytes")
	}
	s.ask(dealer, "GET", path+"/bill?version=2", "").problem(t, 404)

	// The week of a requirement shows it with its amount. Line 4 waits for the
	// dealer's own cloth, so nothing of it is firm.
	needs := 0
	for week := doc.Promise.AddDays(-90).Week(); week.Monday().Before(doc.Promise); week = week.Next() {
		var got weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week.String(), "").want(t, 200).read(t, &got)
		for _, r := range got.Requirements {
			needs++
			if r.FirstNeedBy.Week() != week || r.Orders != 1 || r.Pieces < 1 || r.Amount.Text == "" || r.Amount.Exact == "" {
				t.Errorf("%s: %+v", week, r)
			}
			if r.Kind == bom.KindOwnMaterial && r.NotFirm != r.Amount {
				t.Errorf("own material is firm: %+v", r)
			}
		}
		var one weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week.String()+"?kind=own%20material", "").want(t, 200).read(t, &one)
		for _, r := range one.Requirements {
			if r.Kind != bom.KindOwnMaterial || r.Amount.Text != "3.00 yd" {
				t.Errorf("own material: %+v", r)
			}
		}
	}
	if needs < 20 {
		t.Errorf("only %d requirements of a whole order", needs)
	}
}

func TestWorkingTellsOfEveryPath(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", s.order(nil))
	var got workingReply
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200).read(t, &got)
	if got.Order != number || got.Version != 1 || len(got.Working) < 50 {
		t.Fatalf("%s has %d figures of version %d", got.Order, len(got.Working), got.Version)
	}
	// It is that of the catalog the order is pinned to, whatever is in force.
	first := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200)
	s.revise(func(files []source.File) []source.File {
		return replaceText(t, files, "sallow-bench", "sallow-seat")
	}).want(t, 201)
	s.ask(dealer, "GET", "/v1/catalog/products/sallow-seat", "").want(t, 200)
	if again := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/working", "").want(t, 200); string(again.body) != string(first.body) {
		t.Error("another working under another catalog")
	}
	// A bill of another arithmetic keeps its figures and loses their working.
	_, err := s.db.AdminPool(t).Exec(t.Context(), `update bill set sha256 = sha256('other')`)
	if err != nil {
		t.Fatal(err)
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/working", "").problem(t, 409)
	var bill bom.Bill
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill", "").read(t, &bill)
	known := map[string]bool{}
	for _, w := range got.Working {
		known[fmt.Sprint(w.Line, w.Path)] = true
		if w.Text == "" || w.Figure == "" {
			t.Errorf("empty: %+v", w)
		}
	}
	for _, line := range bill.Lines {
		for _, row := range line.Steel {
			if !known[fmt.Sprint(line.Line, row.Path)] {
				t.Errorf("line %d: nothing tells how %s came about", line.Line, row.Path)
			}
		}
	}
}

// The parts of a bill put together again are the bill, byte for byte.
func TestBillPartsAddUpToTheBill(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", s.order(nil))
	var whole struct {
		Lines []map[string]json.RawMessage `json:"lines"`
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill", "").want(t, 200).read(t, &whole)
	left := 0
	for _, line := range whole.Lines {
		for _, field := range []string{"product", "name", "quantity", "unit_weight"} {
			delete(line, field)
		}
		left += len(line) - 1
	}
	for name := range partSheets {
		var part billPart
		s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/"+name, "").want(t, 200).read(t, &part)
		if part.Order != number || part.Version != 1 || part.Part != name {
			t.Errorf("head of %s: %+v", name, part)
		}
		rows := 0
		for _, line := range part.Lines {
			stored := whole.Lines[line.Line-1]
			if compact(t, stored[name]) != compact(t, line.Rows) {
				t.Errorf("line %d %s:\n%s\nis stored as\n%s", line.Line, name, line.Rows, stored[name])
			}
			var all []json.RawMessage
			if err := json.Unmarshal(line.Rows, &all); err != nil {
				t.Fatal(err)
			}
			rows += len(all)
			delete(stored, name)
			left--
		}
		sheet := readSheet(t, s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/"+name+"?format=csv", ""))
		if len(sheet) != rows+1 {
			t.Errorf("the sheet of %s has %d rows for %d", name, len(sheet)-1, rows)
		}
	}
	if left != 0 {
		t.Errorf("%d parts of lines are in no part of the bill: %v", left, whole.Lines)
	}
	if got := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/paint", ""); !slices.Equal(got.faults(t, 422), []string{"path.part bad-parameter"}) {
		t.Errorf("%s", got.body)
	}
}

func TestACheckKeepsNothing(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, engineer := s.key("dealer studio-tamsel"), s.key("engineer")
	for key, body := range map[string]string{dealer: s.order(map[string]any{"po": nil}), engineer: s.order(map[string]any{"dealer": "studio-tamsel"})} {
		var got struct {
			Order order.Document
			Bill  bom.Bill
		}
		s.ask(key, "POST", "/v1/checks", body).want(t, 200).read(t, &got)
		if got.Order.Number != "" || got.Order.ID != "" || got.Order.Net == nil || got.Order.Net.String() != "8732.25" || len(got.Bill.Lines) != 4 {
			t.Errorf("%+v", got.Order)
		}
		if (got.Order.PO == "") != (key == dealer) {
			t.Errorf("purchase order number %q", got.Order.PO)
		}
	}
	if got := s.ask(engineer, "POST", "/v1/checks", bench("A 1")).faults(t, 422); !slices.Equal(got, []string{"/dealer missing"}) {
		t.Errorf("without a dealer: %v", got)
	}
	var page orderPage
	s.ask(dealer, "GET", "/v1/orders", "").want(t, 200).read(t, &page)
	if len(page.Orders) != 0 || page.Next != "" {
		t.Errorf("a check left %+v", page)
	}
}

func TestTheSamePurchaseOrderIsTakenOnce(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	number := s.placed(dealer, "1", bench("PO 7-a"))
	for i, po := range []string{"PO 7-a", "po 7-A", " P O7-A ", "po\u00a07-a"} {
		r := s.place(dealer, fmt.Sprint("again", i), bench(po))
		p := r.problem(t, 409)
		if p.Existing != "/v1/orders/"+number || r.header.Get("Link") != "</v1/orders/"+number+`>; rel="related"` || !strings.Contains(p.Detail, number) {
			t.Errorf("%q: %s %v", po, r.body, r.header)
		}
	}
	s.place(rep, "rep", bench("PO 7-a", `,"dealer":"studio-tamsel"`)).problem(t, 409)
	s.placed(other, "1", bench("PO 7-a"))
	s.placed(s.key("dealer studio-tamsel test"), "1", bench("PO 7-a"))
	if got := s.place(dealer, "2", bench("PO 7-a", `,"po_override_reason":"second room"`)).faults(t, 422); !slices.Equal(got, []string{"/po_override_reason po.override"}) {
		t.Errorf("a dealer's own override: %v", got)
	}
	for _, reason := range []string{`""`, `"  "`, `null`, `7`, `"` + strings.Repeat("x", 301) + `"`} {
		if got := s.place(rep, "x", bench("PO 7-a", `,"dealer":"studio-tamsel","po_override_reason":`+reason)).faults(t, 422); len(got) != 1 || !strings.HasPrefix(got[0], "/po_override_reason ") {
			t.Errorf("reason %s: %v", reason, got)
		}
	}
	second := s.placed(rep, "3", bench("PO 7-a", `,"dealer":"studio-tamsel","po_override_reason":"second room"`))
	if second == number {
		t.Error("the second order has the first one's number")
	}
	var reason string
	err := s.db.AdminPool(t).QueryRow(t.Context(), `select reason from audit where subject = $1 and act = 'order received'`, second).Scan(&reason)
	if err != nil || reason != "second room" {
		t.Errorf("the trail says %q: %v", reason, err)
	}
}

func TestTestOrdersAskForNothing(t *testing.T) {
	s := openShop(t, shopSettings{})
	r := s.place(s.key("dealer studio-tamsel test"), "1", s.order(nil)).want(t, 201)
	var doc order.Document
	r.read(t, &doc)
	if !doc.Test {
		t.Error("not marked")
	}
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from requirement`).Scan(&n); err != nil || n != 0 {
		t.Errorf("%d requirements: %v", n, err)
	}
	// The dealer's live key stands apart from its test key, retries too.
	if again := s.place(s.key("dealer studio-tamsel"), "1", s.order(nil)).want(t, 201); again.header.Get("Idempotent-Replayed") != "" {
		t.Error("a live order was answered with a test order")
	}
}

// readSheet reads a CSV reply and checks what holds of every one.
func readSheet(t testing.TB, r reply) [][]string {
	t.Helper()
	r.want(t, 200)
	if ct := r.header.Get("Content-Type"); ct != csvType {
		t.Errorf("content type %q", ct)
	}
	return parseSheet(t, r.body)
}

// An order of the most lines and the largest quantities is taken like any
// other, and one line more is a finding.
func TestTheLargestOrder(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	var body struct {
		PO    string           `json:"po"`
		Lines []map[string]any `json:"lines"`
	}
	if err := json.Unmarshal([]byte(s.order(nil)), &body); err != nil {
		t.Fatal(err)
	}
	for i := range body.Lines {
		body.Lines[i]["quantity"] = order.MaxQuantity
	}
	for len(body.Lines) < order.MaxLines {
		body.Lines = append(body.Lines, body.Lines[len(body.Lines)-4])
	}
	text, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	number := s.placed(dealer, "1", string(text))
	var bill bom.Bill
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill", "").want(t, 200).read(t, &bill)
	if len(bill.Lines) != order.MaxLines || bill.Lines[199].Quantity != order.MaxQuantity {
		t.Errorf("%d lines", len(bill.Lines))
	}
	body.Lines = append(body.Lines, body.Lines[0])
	if text, err = json.Marshal(body); err != nil {
		t.Fatal(err)
	}
	if got := s.place(dealer, "2", string(text)).faults(t, 422); !slices.Equal(got, []string{"/lines too-many"}) {
		t.Errorf("%v", got)
	}
}
