package api

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"
	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/bom/order"
)

// living is an order in a sequence of acts that were drawn.
type living struct {
	number  string
	version int
	state   order.State
}

// sequence draws acts on a few orders of a shop and holds the ledgers against
// each other after every one.
type sequence struct {
	*shop
	rt     *rapid.T
	admin  *pgxpool.Pool
	once   string
	n      int
	orders []*living
	dealer string
	rep    string
	owner  string
	worker string
	buyer  string
	// pulled are the sums of all pulls, by row.
	pulled map[string]int64
	seen   map[int]bool
}

// Whatever is placed, changed, pulled, spoiled and cancelled in whatever order:
// after a pull the pulls add up to what is needed, no pull takes back more than
// was pulled, and the difference that was shown leads from the old needs and the
// old bill to the new ones.
func TestLedgersAddUpAfterAnything(t *testing.T) {
	s := openShop(t, shopSettings{})
	base := &sequence{shop: s, admin: s.db.AdminPool(t), dealer: s.key("dealer studio-tamsel"), rep: s.key("rep"), owner: s.key("owner"), worker: s.key("shop"), buyer: s.key("buyer")}
	check := 0
	rapid.Check(t, func(rt *rapid.T) {
		check++
		q := *base
		q.rt, q.once, q.pulled, q.seen = rt, fmt.Sprintf("%d-%d", check, rand.Uint32()), map[string]int64{}, map[int]bool{}
		q.place()
		for range rapid.IntRange(4, 10).Draw(rt, "acts") {
			q.act()
		}
		q.pull()
	})
	s.everyVersionAudited()
	s.booksReadd(s.key("buyer"))
}

func (q *sequence) key() string { q.n++; return fmt.Sprintf("%s-%d", q.once, q.n) }

// post acts on an order, which may be refused but never fail.
func (q *sequence) post(key string, o *living, act, body string) reply {
	r := q.ask(key, "POST", "/v1/orders/"+o.number+"/"+act, body, fmt.Sprintf(`If-Match: "%d"`, o.version), "Idempotency-Key: "+q.key())
	if r.status >= 500 || r.status == 400 || r.status == 412 || r.status == 428 || r.status == 404 {
		q.rt.Fatalf("%s of %+v with %s: %d %s", act, *o, body, r.status, r.body)
	}
	return r
}

// took reads what an act made of an order.
func (q *sequence) took(o *living, r reply) {
	if r.status != 200 {
		return
	}
	var d order.Document
	if err := json.Unmarshal(r.body, &d); err != nil {
		q.rt.Fatal(err)
	}
	if d.Version != o.version+1 {
		q.rt.Fatalf("version %d after %d", d.Version, o.version)
	}
	o.version, o.state = d.Version, d.State
}

var lengths = []string{"4 ft", "5 ft", "54 1/8 in"}

func (q *sequence) place() {
	length := rapid.SampledFrom(lengths).Draw(q.rt, "length")
	quantity := rapid.IntRange(1, 3).Draw(q.rt, "quantity")
	body := fmt.Sprintf(`{"po":"PO %s","lines":[{"product":"sallow-bench","quantity":%d,"configuration":{"length":%q}}]}`, q.key(), quantity, length)
	r := q.ask(q.dealer, "POST", "/v1/orders", body, "Idempotency-Key: "+q.key())
	if r.status != 201 {
		q.rt.Fatalf("%d %s", r.status, r.body)
	}
	var d order.Document
	if err := json.Unmarshal(r.body, &d); err != nil {
		q.rt.Fatal(err)
	}
	o := &living{d.Number, 1, d.State}
	q.orders = append(q.orders, o)
	q.took(o, q.post(q.rep, o, "accept", `{}`))
}

func (q *sequence) act() {
	o := rapid.SampledFrom(q.orders).Draw(q.rt, "order")
	unit := rapid.IntRange(0, 2).Draw(q.rt, "unit")
	switch rapid.SampledFrom([]string{"place", "change", "change", "change", "pull", "pull", "cancel", "release", "cut", "spoil", "hold", "lift"}).Draw(q.rt, "act") {
	case "place":
		if len(q.orders) < 3 {
			q.place()
		}
	case "change":
		q.change(o)
	case "pull":
		q.pull()
	case "cancel":
		q.took(o, q.post(q.rep, o, "cancel", `{"reason":"drawn"}`))
	case "release":
		q.took(o, q.post(q.rep, o, "release", `{}`))
	case "cut":
		q.took(o, q.post(q.worker, o, "events", fmt.Sprintf(`{"event":"steel-cut","line":1,"unit":%d}`, unit)))
	case "spoil":
		path := rapid.SampledFrom([]string{"base/leg", "base/slat"}).Draw(q.rt, "path")
		q.took(o, q.post(q.worker, o, "events", fmt.Sprintf(`{"event":"scrapped","line":1,"unit":%d,"path":%q,"note":"drawn"}`, unit, path)))
	case "hold":
		q.took(o, q.post(q.rep, o, "holds", `{"kind":"deposit"}`))
	case "lift":
		q.took(o, q.post(q.rep, o, "holds/1/lift", `{"reason":"drawn"}`))
	}
}

// change proposes and approves, and holds what was shown against what came of it.
func (q *sequence) change(o *living) {
	line := rapid.SampledFrom([]string{`{"line":1,"quantity":%d}`, `{"line":1,"configuration":{"length":"5 ft"}}`, `{"line":1,"configuration":{"length":"4 ft","height":"17 in"}}`,
		`{"line":1,"configuration":{"cloth":"slate-twill"}}`, `{"product":"sallow-bench","quantity":%d}`}).Draw(q.rt, "line")
	if strings.Contains(line, "%d") {
		line = fmt.Sprintf(line, rapid.IntRange(1, 4).Draw(q.rt, "quantity"))
	}
	disposition := rapid.SampledFrom(order.Dispositions[:4]).Draw(q.rt, "disposition")
	body := fmt.Sprintf(`{"reason":"drawn","lines":[%s],"overrides":[{"lock":"steel-cut","reason":"drawn","disposition":%q}]}`, line, disposition)
	r := q.post(q.owner, o, "changes", body)
	if r.status != 201 {
		return
	}
	var c changeReply
	if err := json.Unmarshal(r.body, &c); err != nil {
		q.rt.Fatal(err)
	}
	needs, bill := q.needs(o), q.bill(o)
	if rapid.IntRange(0, 3).Draw(q.rt, "decline") == 0 {
		q.post(q.owner, o, fmt.Sprintf("changes/%d/decline", c.Change), `{}`)
		if !maps.Equal(needs, q.needs(o)) {
			q.rt.Fatalf("a declined change touched what %s needs", o.number)
		}
		return
	}
	approved := q.post(q.owner, o, fmt.Sprintf("changes/%d/approve", c.Change), `{}`)
	if approved.status != 200 {
		q.rt.Fatalf("proposed and then refused: %d %s", approved.status, approved.body)
	}
	q.took(o, approved)
	for _, n := range c.Difference.Requirements {
		at := fmt.Sprint(n.Week, " ", n.Kind, " ", n.Line, " ", n.Unit, " ", n.Path, " ", n.Item, " ", n.Length)
		if needs[at] += int64(n.Pieces); needs[at] == 0 {
			delete(needs, at)
		}
	}
	if now := q.needs(o); !maps.Equal(needs, now) {
		q.rt.Fatalf("the difference of %s leads to %v and not to %v", body, needs, now)
	}
	for _, row := range c.Difference.Bill {
		at := fmt.Sprint(row.Line, " ", row.Part, " ", row.Path, " ", row.Unit)
		delete(bill, at)
		if row.Is != nil {
			bill[at] = string(row.Is)
		}
	}
	if now := q.bill(o); !maps.Equal(bill, now) {
		q.rt.Fatalf("the difference of %s leads to another bill", body)
	}
}

// needs are the pieces that an order needs, by row.
func (q *sequence) needs(o *living) map[string]int64 {
	r := q.ask(q.buyer, "GET", "/v1/orders/"+o.number+"/requirements", "")
	var list orderNeeds
	if err := json.Unmarshal(r.body, &list); err != nil || r.status != 200 {
		q.rt.Fatalf("%d %v", r.status, err)
	}
	needs := map[string]int64{}
	for _, n := range list.Requirements {
		needs[fmt.Sprint(n.Week, " ", n.Kind, " ", n.Line, " ", n.Unit, " ", n.Path, " ", n.Item, " ", n.Length)] += int64(n.Pieces)
	}
	return needs
}

func (q *sequence) bill(o *living) map[string]string {
	r := q.ask(q.rep, "GET", "/v1/orders/"+o.number+"/bill", "")
	rows, err := bom.DocumentRows(r.body)
	if err != nil || r.status != 200 {
		q.rt.Fatalf("%d %v", r.status, err)
	}
	bill := map[string]string{}
	for _, row := range rows {
		bill[fmt.Sprint(row.Line, " ", row.Part, " ", row.Path, " ", row.Unit)] = string(row.Values)
	}
	return bill
}

// pull takes all steel of the weeks of the orders and then holds the pulls
// against the needs.
func (q *sequence) pull() {
	weeks := map[string]bool{}
	for _, o := range q.orders {
		for at := range q.needs(o) {
			week, rest, _ := strings.Cut(at, " ")
			if strings.HasPrefix(rest, bom.KindSteel+" ") {
				weeks[week] = true
			}
		}
	}
	for at := range q.pulled { // also where nothing is needed any more
		week, _, _ := strings.Cut(at, " ")
		weeks[week] = true
	}
	for _, week := range slices.Sorted(maps.Keys(weeks)) {
		r := q.ask(q.buyer, "POST", "/v1/pulls", fmt.Sprintf(`{"week":%q,"kind":"steel"}`, week), "Idempotency-Key: "+q.key())
		var p pullReply
		if err := json.Unmarshal(r.body, &p); err != nil || r.status != 200 && r.status != 201 {
			q.rt.Fatalf("%d %s", r.status, r.body)
		}
		if !p.New || q.seen[p.Pull] {
			continue
		}
		q.seen[p.Pull] = true
		for _, row := range p.Rows {
			at := fmt.Sprint(p.Week, " ", row.Order, " ", row.Line, " ", row.Unit, " ", row.Path, " ", row.Item, " ", row.Length)
			if q.pulled[at] += row.Pieces; q.pulled[at] < 0 {
				q.rt.Fatalf("pull %d takes back more of %s than was pulled", p.Pull, at)
			}
		}
	}
	for _, o := range q.orders {
		var d order.Document
		if err := json.Unmarshal(q.ask(q.rep, "GET", "/v1/orders/"+o.number, "").body, &d); err != nil {
			q.rt.Fatal(err)
		}
		if len(d.Holds) > 0 || d.State == order.Cancelled { // what is held or used up may be needed and not pulled
			continue
		}
		q.pulledIsNeeded(o)
	}
}

func (q *sequence) pulledIsNeeded(o *living) {
	var surplus int
	if err := q.admin.QueryRow(q.t.Context(), `select count(*) from requirement r join dealer_order o using (workshop_id, order_id) where o.number = $1 and r.surplus`, o.number).Scan(&surplus); err != nil {
		q.rt.Fatal(err)
	}
	needs := map[string]int64{}
	for at, pieces := range q.needs(o) {
		week, rest, _ := strings.Cut(at, " ")
		if where, steel := strings.CutPrefix(rest, bom.KindSteel+" "); steel {
			needs[week+" "+o.number+" "+where] = pieces
		}
	}
	for at, pieces := range q.pulled {
		// What was used up unpulled is needed and never pulled.
		if strings.Contains(at, " "+o.number+" ") && pieces != needs[at] && (surplus == 0 || pieces > needs[at]) {
			q.rt.Fatalf("%d of %s are pulled and %d needed", pieces, at, needs[at])
		}
	}
	for at, pieces := range needs {
		if surplus == 0 && q.pulled[at] != pieces {
			q.rt.Fatalf("%d of %s are needed and %d pulled", pieces, at, q.pulled[at])
		}
	}
}
