package api

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"billwright/bom"
)

// accepted places an order and accepts it.
func (s *shop) accepted(key, once, body string) string {
	s.t.Helper()
	number := s.placed(key, once, body)
	s.done(s.key("rep"), number, "accept", 1, `{}`).want(s.t, 200)
	return number
}

// steelWeek is the week in which an order's steel must be here.
func (s *shop) steelWeek(key, number string) string {
	s.t.Helper()
	var needs orderNeeds
	s.ask(key, "GET", "/v1/orders/"+number+"/requirements", "").want(s.t, 200).read(s.t, &needs)
	for _, n := range needs.Requirements {
		if n.Kind == bom.KindSteel {
			return n.Week
		}
	}
	s.t.Fatalf("order %s needs no steel", number)
	return ""
}

func (s *shop) pulled(key, once, week, kind string, status int) pullReply {
	s.t.Helper()
	var p pullReply
	s.ask(key, "POST", "/v1/pulls", fmt.Sprintf(`{"week":%q,"kind":%q}`, week, kind), "Idempotency-Key: "+once).want(s.t, status).read(s.t, &p)
	return p
}

// What was pulled once is not pulled again; what came later is, and marked so;
// what is not needed any more comes as a row below nothing.
func TestAPullTakesTheDifferences(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep, buyer := s.key("dealer studio-tamsel"), s.key("rep"), s.key("buyer")
	first := s.accepted(dealer, "first", bench("PO 1"))
	held := s.placed(dealer, "held", bench("PO 2"))
	week := s.steelWeek(buyer, first)
	one := s.pulled(buyer, "pull1", week, "steel", 201)
	if !one.New || one.Pull != 1 || one.Seq != 1 || len(one.Rows) == 0 || len(one.Items) == 0 {
		t.Fatalf("%+v", one)
	}
	for _, r := range one.Rows {
		if r.Order != first || r.Mark != "first" || r.Pieces < 1 || r.Length == "" {
			t.Errorf("%+v", r)
		}
	}
	again := s.pulled(buyer, "pull2", week, "steel", 200)
	if again.New || again.Pull != 1 || len(again.Rows) != len(one.Rows) {
		t.Errorf("nothing new is %+v", again)
	}
	// An order that is accepted now is a late add.
	s.done(rep, held, "accept", 1, `{}`).want(t, 200)
	two := s.pulled(buyer, "pull3", week, "steel", 201)
	if two.Pull != 2 || two.Seq != 2 || len(two.Rows) != len(one.Rows) {
		t.Fatalf("%+v", two)
	}
	for _, r := range two.Rows {
		if r.Order != held || r.Mark != "late add" {
			t.Errorf("%+v", r)
		}
	}
	// A hold does not give back what was pulled.
	s.done(rep, held, "holds", 2, `{"kind":"deposit"}`).want(t, 200)
	if p := s.pulled(buyer, "pull4", week, "steel", 200); p.New {
		t.Errorf("a hold makes the pull %+v", p)
	}
	// What an order does not need any more comes back.
	if _, err := s.db.AdminPool(t).Exec(t.Context(), `delete from requirement using dealer_order o where o.order_id = requirement.order_id and o.number = $1`, held); err != nil {
		t.Fatal(err)
	}
	three := s.pulled(buyer, "pull5", week, "steel", 201)
	if three.Pull != 3 || len(three.Rows) != len(two.Rows) {
		t.Fatalf("%+v", three)
	}
	for i, r := range three.Rows {
		if r.Mark != "cancelled" || r.Pieces != -two.Rows[i].Pieces || r.Path != two.Rows[i].Path {
			t.Errorf("%+v takes back %+v", r, two.Rows[i])
		}
	}
	// All pulls together are what is needed now, and each reads as it was made.
	var reply weekReply
	s.ask(buyer, "GET", "/v1/requirements/"+week+"?kind=steel", "").want(t, 200).read(t, &reply)
	for _, r := range reply.Requirements {
		if r.Pulled != r.Amount || !strings.HasPrefix(r.ToPull.Text, "0") {
			t.Errorf("%+v", r)
		}
	}
	var read pullReply
	s.ask(buyer, "GET", "/v1/pulls/2", "").want(t, 200).read(t, &read)
	if fmt.Sprintf("%+v", read.Rows) != fmt.Sprintf("%+v", two.Rows) {
		t.Errorf("pull 2 reads %+v", read.Rows)
	}
	sheet := s.ask(buyer, "GET", "/v1/pulls/3?format=csv", "").want(t, 200)
	rows, err := csv.NewReader(strings.NewReader(string(sheet.body))).ReadAll()
	if err != nil || len(rows) != len(three.Rows)+1 {
		t.Fatalf("%d rows: %v", len(rows), err)
	}
	for _, cell := range rows[1] {
		if strings.HasPrefix(cell, "-") || strings.HasPrefix(cell, "'") {
			t.Errorf("a cell reads %q", cell)
		}
	}
	var list pullList
	s.ask(buyer, "GET", "/v1/pulls", "").want(t, 200).read(t, &list)
	if len(list.Pulls) != 3 || list.Pulls[0].Pull != 3 {
		t.Errorf("%+v", list)
	}
	s.ask(buyer, "GET", "/v1/pulls/9", "").problem(t, 404)
}

// However many pull at once, a week's steel is pulled once.
func TestPullsAtOnceMakeOne(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	week := s.steelWeek(buyer, s.accepted(s.key("dealer studio-tamsel"), "first", bench("PO 1")))
	const buyers = 8
	var all sync.WaitGroup
	replies := make([]pullReply, buyers)
	for i := range buyers {
		all.Go(func() {
			r := s.ask(buyer, "POST", "/v1/pulls", fmt.Sprintf(`{"week":%q,"kind":"steel"}`, week), fmt.Sprintf("Idempotency-Key: at-once-%d", i))
			if r.status != 200 && r.status != 201 {
				t.Errorf("status %d: %s", r.status, r.body)
				return
			}
			r.read(t, &replies[i])
		})
	}
	all.Wait()
	made := 0
	for _, r := range replies {
		if r.New {
			made++
		}
		if r.Pull != 1 || len(r.Rows) == 0 {
			t.Errorf("one was told of %+v", r)
		}
	}
	if made != 1 {
		t.Errorf("%d pulls were made", made)
	}
}

func TestPullsThatCannotBe(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	for body, want := range map[string]string{
		`{"week":"2026-W54","kind":"steel"}`:  "/week week",
		`{"week":"2025-W53","kind":"steel"}`:  "/week week",
		`{"week":"next week","kind":"steel"}`: "/week week",
		`{"week":"2026-W53","kind":"ice"}`:    "/kind kind.unknown",
	} {
		if got := s.ask(buyer, "POST", "/v1/pulls", body, "Idempotency-Key: x").faults(t, 422); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %q, want %q", body, got, want)
		}
	}
	if p := s.pulled(buyer, "none", "2026-W53", "steel", 200); p.New || p.Pull != 0 || len(p.Rows) != 0 {
		t.Errorf("an empty week gives %+v", p)
	}
	s.ask(buyer, "POST", "/v1/pulls", `{"week":"2026-W53","kind":"steel"}`).problem(t, 400)
}

// What is bought is written down beside what is needed, in the unit it is needed
// in, and what is on hand is netted with the gross still shown.
func TestWhatIsBoughtStandsBesideWhatIsNeeded(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.accepted(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	week := s.steelWeek(buyer, number)
	var reply weekReply
	read := func() requirement {
		t.Helper()
		reply = weekReply{}
		s.ask(buyer, "GET", "/v1/requirements/"+week+"?kind=steel", "").want(t, 200).read(t, &reply)
		return reply.Requirements[0]
	}
	item := read().Item
	buy := func(once, act, amount string) answered {
		return answered{s.ask(buyer, "POST", "/v1/purchases", fmt.Sprintf(`{"week":%q,"kind":"steel","item":%q,"act":%q,"amount":%q}`, week, item, act, amount), "Idempotency-Key: "+once)}
	}
	buy("a", "ordered", "20 ft").want(t, 201)
	buy("b", "received", "10 ft").want(t, 201)
	buy("c", "short", "120 in").want(t, 201)
	r := read()
	if r.Ordered.Exact != "240 in" || r.Received.Exact != "120 in" || r.Short.Exact != "120 in" || r.OnHand != nil {
		t.Errorf("%+v", r)
	}
	list := func(query string) (told []string, next string) {
		t.Helper()
		var page purchaseList
		s.ask(buyer, "GET", "/v1/purchases?week="+week+query, "").want(t, 200).read(t, &page)
		for _, p := range page.Purchases {
			told = append(told, strings.Join([]string{p.Kind, p.Item, p.Act, p.Amount.Exact, p.Entered}, " "))
		}
		return told, page.Next
	}
	one := func(act, exact, entered string) string {
		return strings.Join([]string{"steel", item, act, exact, entered}, " ")
	}
	if got, next := list(""); !slices.Equal(got, []string{one("short", "120 in", "120 in"), one("received", "120 in", "10 ft"), one("ordered", "240 in", "20 ft")}) || next != "" {
		t.Errorf("listed: %q, %s", got, next)
	}
	got, next := list("&limit=2&kind=steel&item=" + item)
	if len(got) != 2 || next == "" {
		t.Errorf("a page: %q, next %q", got, next)
	}
	if got, next := list("&limit=2&before=" + next); !slices.Equal(got, []string{one("ordered", "240 in", "20 ft")}) || next != "" {
		t.Errorf("the last page: %q, next %q", got, next)
	}
	if got, _ := list("&kind=lumber"); len(got) > 0 {
		t.Errorf("of lumber: %q", got)
	}
	for query, want := range map[string]string{"?week=2026-W54": "query.week week", "?week=2026-W52&before=x": "query.before cursor"} {
		if got := s.ask(buyer, "GET", "/v1/purchases"+query, "").faults(t, 400); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: %q", query, got)
		}
	}
	for once, c := range map[string][2]string{"d": {"received", "-3 ft"}, "e": {"received", "12 lb"}, "f": {"received", "12"}, "g": {"received", "0 in"}} {
		if got := buy(once, c[0], c[1]).faults(t, 422); len(got) != 1 || got[0] != "/amount amount" {
			t.Errorf("%v: %q", c, got)
		}
	}
	if got := s.ask(buyer, "POST", "/v1/purchases", fmt.Sprintf(`{"week":%q,"kind":"steel","item":"round-gold","act":"ordered","amount":"1 in"}`, week), "Idempotency-Key: h").faults(t, 422); got[0] != "/item requirement.none" {
		t.Errorf("%q", got)
	}
	s.ask(buyer, "PUT", "/v1/stock/steel/"+item, `{"counted":[{"length":"20 ft","pieces":2},{"length":"31 1/2 in","pieces":1}]}`).want(t, 200)
	if r = read(); r.OnHand == nil || r.OnHand.Exact != "511 1/2 in" || !strings.HasPrefix(r.ToBuy.Text, "0") || r.Amount.Exact == "0 in" {
		t.Errorf("%+v", r)
	}
	var stock stockReply
	s.ask(buyer, "GET", "/v1/stock/steel/"+item, "").want(t, 200).read(t, &stock)
	if len(stock.Counted) != 2 || stock.Counted[0].Length != "31 1/2 in" || stock.Counted[1].Pieces != 2 {
		t.Errorf("%+v", stock)
	}
	for body, want := range map[string]string{`{"counted":[{"length":"two","pieces":1}]}`: "/counted/0/length amount", `{"counted":[{"amount":"12 stone"}]}`: "/counted/0/amount amount",
		`{"counted":[{"length":"20 ft","pieces":1},{"length":"240 in","pieces":1}]}`: "/counted/1 twice"} {
		if got := s.ask(buyer, "PUT", "/v1/stock/steel/"+item, body).faults(t, 422); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %q, want %q", body, got, want)
		}
	}
	var pegs pegsReply
	s.ask(buyer, "GET", "/v1/requirements/"+week+"/pegs?kind=steel&item="+item, "").want(t, 200).read(t, &pegs)
	if len(pegs.Pegs) == 0 || pegs.Pegs[0].Order != number || !pegs.Pegs[0].Firm {
		t.Errorf("%+v", pegs)
	}
}

type answered struct{ reply }

// What is past its day stands under now, marked late.
func TestWhatIsLate(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	buyer := s.key("buyer")
	number := s.accepted(s.key("dealer studio-tamsel"), "first", bench("PO 1"))
	week := s.steelWeek(buyer, number)
	var late lateReply
	s.ask(buyer, "GET", "/v1/requirements/now", "").want(t, 200).read(t, &late)
	if len(late.Requirements) != 0 {
		t.Errorf("at first %+v", late)
	}
	s.ask(s.key("owner"), "PUT", "/v1/clock", `{"now":"2027-03-01T18:00:00Z"}`).want(t, 200)
	s.ask(buyer, "GET", "/v1/requirements/now?kind=steel", "").want(t, 200).read(t, &late)
	if len(late.Requirements) == 0 || late.Requirements[0].Week != week || !late.Requirements[0].Late {
		t.Errorf("then %+v", late)
	}
	var reply weekReply
	s.ask(buyer, "GET", "/v1/requirements/"+week+"?kind=steel", "").want(t, 200).read(t, &reply)
	if !reply.Requirements[0].Late {
		t.Errorf("%+v", reply.Requirements[0])
	}
}
