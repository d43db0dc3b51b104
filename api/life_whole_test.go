package api

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// Every product of three workshops, by its defaults, goes through a whole life:
// pulled, boxed, shipped in part, a part of it replaced and a unit made again; a
// second order of it is pulled and cancelled, and the pulls of its weeks then hold
// nothing of it.
func TestEveryProductLivesAndDies(t *testing.T) {
	for name, files := range map[string][]source.File{"corrindale": demonstration.Files(), "metric": folderFiles(t, "../testdata/workshop-metric"), "smithy": folderFiles(t, "../testdata/workshop-smithy")} {
		t.Run(name, func(t *testing.T) {
			cat, faults := catalog.Read(files)
			if faults != nil {
				t.Fatal(faults)
			}
			s := openShop(t, shopSettings{files: func([]source.File) []source.File { return files }})
			l := lives{shop: s, admin: s.db.AdminPool(t), cat: cat, rep: s.key("rep"), worker: s.key("shop"), buyer: s.key("buyer"), owner: s.key("owner")}
			n := 0
			for code, p := range cat.Products.All() {
				if n++; testing.Short() && name == "corrindale" && n%4 != 1 {
					continue
				}
				config, findings := cat.Check(code.Value, nil, cat.Calendar.DayOf(noon))
				if config == nil || len(findings) > 0 {
					continue // no order by its defaults
				}
				l.live(p, config)
			}
			if l.lived == 0 {
				t.Error("no product lived")
			}
			s.everyVersionAudited()
			s.booksReadd(s.key("buyer"))
		})
	}
}

func folderFiles(t *testing.T, folder string) []source.File {
	t.Helper()
	files, faults := source.ReadDir(os.DirFS(folder))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return files
}

type lives struct {
	*shop
	admin                     *pgxpool.Pool
	cat                       *catalog.Catalog
	rep, worker, buyer, owner string
	lived                     int
}

// done acts on an order at its version, lifting what holds it first.
func (l *lives) acts(key string, d *order.Document, act, body string, status int) reply {
	l.t.Helper()
	r := l.ask(key, "POST", "/v1/orders/"+d.Number+"/"+act, body, fmt.Sprintf(`If-Match: "%d"`, d.Version), fmt.Sprintf("Idempotency-Key: %s-%d-%s", d.Number, d.Version, act)).want(l.t, status)
	if status == 200 {
		*d = order.Document{}
		r.read(l.t, d)
	}
	return r
}

func (l *lives) placedAs(product, once string) *order.Document {
	l.t.Helper()
	dealer := l.cat.Dealers.Keys()[0]
	r := l.place(l.rep, once, fmt.Sprintf(`{"dealer":%q,"po":%q,"lines":[{"product":%q,"quantity":2}]}`, dealer, once, product)).want(l.t, 201)
	var d order.Document
	r.read(l.t, &d)
	for len(d.Holds) > 0 {
		l.acts(l.owner, &d, fmt.Sprintf("holds/%d/lift", d.Holds[0].Seq), `{"reason":"told"}`, 200)
	}
	l.acts(l.rep, &d, "accept", `{}`, 200)
	return &d
}

func (l *lives) live(p *catalog.Product, config *catalog.Config) {
	l.t.Helper()
	d, gone := l.placedAs(p.Code, p.Code+"-1"), l.placedAs(p.Code, p.Code+"-2")
	l.pullAll(d, "a"+p.Code)
	l.acts(l.rep, gone, "cancel", `{"reason":"told"}`, 200)
	l.pullAll(d, "b"+p.Code)
	l.acts(l.rep, d, "release", `{}`, 200)
	boxes := slices.IndexFunc(l.cat.ShopEvents(), func(e catalog.Event) bool { return e.Leads == catalog.LeadsReady })
	event := l.cat.ShopEvents()[boxes].Code
	l.acts(l.worker, d, "events", fmt.Sprintf(`{"event":%q,"line":1}`, event), 200)
	if d.State != order.Ready {
		l.t.Errorf("%s is boxed and %s", p.Code, d.State)
	}
	l.acts(l.worker, d, "shipments", `{"cartons":[{"line":1,"unit":1}]}`, 200)
	for i, part := range bom.Parts(l.cat, config) {
		if i%3 == 0 {
			l.acts(l.rep, d, "parts", fmt.Sprintf(`{"parts":[{"line":1,"path":%q}],"reason":%q}`, part.Path, part.Path), 201)
			break
		}
	}
	var again order.Document
	l.acts(l.rep, d, "remakes", `{"line":1,"unit":1,"reason":"broken","charge":"none"}`, 201).read(l.t, &again)
	if again.Lines[0].Quantity != 1 || again.Revision != d.Revision {
		l.t.Errorf("%s is made again as %+v", p.Code, again)
	}
	l.acts(l.worker, d, "shipments", `{"cartons":[{"line":1,"unit":2}]}`, 200)
	l.acts(l.rep, d, "close", `{}`, 200)
	var net int
	if err := l.admin.QueryRow(l.t.Context(), `
select count(*) from (select 1 from pull_row r join dealer_order o using (workshop_id, order_id) where o.number = $1
    group by r.week, r.kind, line, unit, path, item, length_nm having sum(pieces) <> 0 or sum(amount) <> 0) as left_over`, gone.Number).Scan(&net); err != nil || net != 0 {
		l.t.Errorf("%s is cancelled, and %d of its rows are still pulled: %v", p.Code, net, err)
	}
	l.lived++
}

// pullAll pulls every kind of every week that an order needs something in.
func (l *lives) pullAll(d *order.Document, once string) {
	l.t.Helper()
	var needs orderNeeds
	l.ask(l.buyer, "GET", "/v1/orders/"+d.Number+"/requirements", "").want(l.t, 200).read(l.t, &needs)
	var pulled []string
	for _, n := range needs.Requirements {
		at := n.Week + " " + n.Kind
		if slices.Contains(pulled, at) {
			continue
		}
		pulled = append(pulled, at)
		body, err := json.Marshal(map[string]string{"week": n.Week, "kind": n.Kind})
		if err != nil {
			l.t.Fatal(err)
		}
		if r := l.ask(l.buyer, "POST", "/v1/pulls", string(body), fmt.Sprintf("Idempotency-Key: %s-%d", once, len(pulled))); r.status != 201 && r.status != 200 {
			l.t.Fatalf("%s: %d %s", at, r.status, r.body)
		}
	}
}
