package api

import (
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/api/authdb"
	"billwright/bom/order/orderdb"
	"billwright/migrations/tenancy"
)

// A person of the matrix and what each route answers him: the routes of the
// table are those of the router, so that a new route fails until it has a row.
type person struct{ name, key string }

// matrix is, by route, the request and the status for each who may take it;
// everybody else with a valid key is answered 403. The order in the path is the
// own dealer's; other is the status for another dealer, who must see nothing of
// it.
var matrix = map[string]struct {
	body    string
	status  int
	admits  role
	other   int // for the other dealer
	headers []string
	query   string
}{
	"POST /v1/checks":                                   {body: "BENCH", status: 200, admits: checkers, other: 200},
	"POST /v1/orders":                                   {body: "BENCH", status: 201, admits: takers, other: 201, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/orders":                                    {status: 200, admits: anyRole, other: 200},
	"GET /v1/orders/{number}":                           {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/bill":                      {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/bill/working":              {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/bill/{part}":               {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/bill/rows/{path}/why":      {status: 200, admits: anyRole, other: 404},
	"PUT /v1/orders/{number}":                           {body: "BENCH", status: 409, admits: takers, other: 404, headers: []string{`If-Match: "1"`}},
	"POST /v1/orders/{number}/place":                    {body: `{}`, status: 409, admits: takers, other: 404, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/accept":                   {body: `{}`, status: 428, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/orders/{number}/release":                  {body: `{}`, status: 409, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/lines/{line}/start-frame": {body: `{}`, status: 428, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/orders/{number}/holds":                    {body: `{"kind":"deposit"}`, status: 428, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/orders/{number}/holds/{seq}/lift":         {body: `{"reason":"x"}`, status: 422, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/close":                    {body: `{}`, status: 409, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/events":                   {body: `{"event":"cut","line":1}`, status: 428, admits: roleShop | roleBuyer | roleEngineer | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/orders/{number}/cancel":                   {body: `{"reason":"x"}`, status: 412, admits: takers, other: 404, headers: []string{"Idempotency-Key: NEW", `If-Match: "9"`}},
	"POST /v1/orders/{number}/shipments":                {body: `{"cartons":[{"line":1}]}`, status: 409, admits: roleShop | roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/copies":                   {body: `{}`, status: 201, admits: takers, other: 404, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/orders/{number}/splits":                   {body: `{"lines":[{"line":1}]}`, status: 422, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/parts":                    {body: `{"parts":[{"line":1,"path":"base"}]}`, status: 409, admits: takers, other: 404, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/remakes":                  {body: `{"line":1,"unit":1,"reason":"x","charge":"none"}`, status: 409, admits: roleRep | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"GET /v1/orders/{number}/links":                     {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/cartons":                   {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/locks":                     {status: 200, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner},
	"POST /v1/orders/{number}/changes":                  {body: `{"reason":"x","sidemark":"y"}`, status: 428, admits: roleRep | roleEngineer | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/orders/{number}/changes":                   {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/changes/{change}":          {status: 404, admits: anyRole, other: 404},
	"POST /v1/orders/{number}/changes/{change}/approve": {body: `{}`, status: 404, admits: roleRep | roleEngineer | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"POST /v1/orders/{number}/changes/{change}/decline": {body: `{}`, status: 404, admits: roleRep | roleEngineer | roleOwner, headers: []string{"Idempotency-Key: NEW", `If-Match: "1"`}},
	"GET /v1/orders/{number}/versions":                  {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/acknowledgment":            {status: 200, admits: anyRole, other: 404},
	"GET /v1/orders/{number}/papers":                    {status: 200, admits: workshopRoles},
	"GET /v1/orders/{number}/papers/{department}":       {status: 200, admits: workshopRoles},
	"GET /v1/orders/{number}/labels":                    {status: 200, admits: workshopRoles},
	"GET /v1/requirements/{week}/cut-list":              {status: 200, admits: planners | roleShop},
	"GET /v1/requirements":                              {status: 200, admits: planners},
	"GET /v1/requirements/{week}":                       {status: 200, admits: planners},
	"GET /v1/requirements/now":                          {status: 200, admits: planners},
	"GET /v1/requirements/{week}/pegs":                  {status: 200, admits: planners, query: "?kind=steel&item=x"},
	"GET /v1/orders/{number}/requirements":              {status: 200, admits: planners},
	"GET /v1/load":                                      {status: 200, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner, query: "?from=2026-W52&weeks=2"},
	"POST /v1/pulls":                                    {body: `{"week":"2026-W52","kind":"steel"}`, status: 200, admits: roleBuyer | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/pulls":                                     {status: 200, admits: planners},
	"GET /v1/pulls/{pull}":                              {status: 404, admits: planners},
	"GET /v1/pulls/{pull}/bars":                         {status: 404, admits: planners},
	"GET /v1/pulls/{pull}/sheets":                       {status: 404, admits: planners},
	"POST /v1/purchases":                                {body: `{"week":"2026-W52","kind":"steel","item":"x","act":"ordered","amount":"1 in"}`, status: 422, admits: roleBuyer | roleShop | roleOwner, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/purchases":                                 {status: 200, admits: planners, query: "?week=2026-W52"},
	"PUT /v1/stock/{kind}/{item}":                       {body: `{"counted":[]}`, status: 200, admits: roleBuyer | roleShop | roleOwner},
	"GET /v1/stock/{kind}/{item}":                       {status: 200, admits: planners},
	"GET /v1/requirements/{week}/bars":                  {status: 200, admits: planners},
	"GET /v1/orders/{number}/bars":                      {status: 200, admits: planners},
	"GET /v1/requirements/{week}/sheets":                {status: 200, admits: planners},
	"GET /v1/orders/{number}/sheets":                    {status: 200, admits: planners},
	"POST /v1/substitutions":                            {body: `{"kind":"steel","item":"x","by":"y","until":"2027-01-01","reason":"z"}`, status: 422, admits: engineers, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/substitutions":                             {status: 200, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner},
	"POST /v1/substitutions/{substitution}/end":         {body: `{"reason":"x"}`, status: 404, admits: engineers, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/catalog":                                   {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/dealers":                           {status: 200, admits: roleRep | roleBuyer | roleEngineer | roleShop | roleOwner},
	"GET /v1/catalog/products":                          {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/products/{code}":                   {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/species":                           {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/finishes":                          {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/fabrics":                           {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/sections":                          {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/standards":                         {status: 200, admits: anyRole, other: 200},
	"GET /v1/catalog/rules":                             {status: 200, admits: anyRole, other: 200},
	"POST /v1/catalog/revisions":                        {body: `{"files":[{"path":"x.yaml","text":"a: b"}]}`, status: 422, admits: engineers, headers: []string{"Idempotency-Key: NEW"}},
	"POST /v1/choices":                                  {body: `{"lines":[{"product":"sallow-bench"}]}`, status: 200, admits: checkers, other: 200},
	"GET /v1/catalog/lint":                              {status: 200, admits: engineers, query: "?product=sallow-bench"},
	"GET /v1/catalog/where-used":                        {status: 200, admits: engineers, query: "?option=bare-clear"},
	"POST /v1/catalog/checks":                           {body: `{"files":[{"path":"x.yaml","text":"a: b"}]}`, status: 200, admits: engineers},
	"GET /v1/catalog/revisions":                         {status: 200, admits: engineers},
	"GET /v1/catalog/revisions/{revision}/files":        {status: 200, admits: engineers},
	"GET /v1/catalog/revisions/{revision}/file":         {status: 200, admits: engineers, query: "?path=products/sallow-bench.yaml"},
	"GET /v1/catalog/differences":                       {status: 200, admits: engineers, query: "?from=1&to=1"},
	"GET /v1/clock":                                     {status: 200, admits: owners},
	"PUT /v1/clock":                                     {body: `{"now":"2026-11-25T18:00:00Z"}`, status: 200, admits: owners},
	"POST /v1/keys":                                     {body: `{"name":"x","role":"shop"}`, status: 201, admits: owners, headers: []string{"Idempotency-Key: NEW"}},
	"GET /v1/keys":                                      {status: 200, admits: owners},
	"DELETE /v1/keys/{id}":                              {status: 404, admits: owners},
	"GET /v1/orders/{number}/bill/layouts":              {status: 200, admits: anyRole, other: 404},
	"POST /v1/orders/{number}/own-material/checks":      {body: `{"line":1,"path":"cushion/cloth","received":"6 yd"}`, status: 422, admits: anyRole, other: 404},
}

// workshopRoles are all but the dealer's.
const workshopRoles = roleRep | roleBuyer | roleEngineer | roleShop | roleOwner

// public are the routes that ask for no key.
var public = []string{"GET /healthz", "GET /readyz", "GET /v1/openapi.json"}

const canary = "zq7-canary-of-studio-tamsel"

func TestEveryRouteForEveryone(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	owner := s.key("owner")
	own := s.key("dealer studio-tamsel")
	number := s.placed(own, "canary", bench(canary, `,"sidemark":"`+canary+`"`))
	revoked := s.key("dealer studio-tamsel")
	parsed, err := parseKey(revoked)
	if err != nil {
		t.Fatal(err)
	}
	s.ask(owner, "DELETE", "/v1/keys/"+parsed.key.String(), "").want(t, 204)
	forged := parsed
	forged.secret[0] ^= 1
	elsewhere := openShop(t, shopSettings{}).key("owner") // of another database
	unknown, _, err := NewKey(s.workshop, "owner", "", "never stored", false, noon)
	if err != nil {
		t.Fatal(err)
	}
	strangers := []person{{"nobody", ""}, {"a revoked key", revoked}, {"another secret", forged.String()}, {"another workshop", elsewhere},
		{"an unknown key", unknown}, {"no key at all", "bw1_abc"}, {"a slip", strings.Replace(own, own[20:21], map[bool]string{true: "b", false: "a"}[own[20] == 'a'], 1)}}
	people := []person{{"own dealer", own}, {"own dealer test", s.key("dealer studio-tamsel test")}, {"other dealer", s.key("dealer hobb-and-farrow")}, {"other dealer test", s.key("dealer hobb-and-farrow test")}}
	for _, role := range slices.DeleteFunc(slices.Clone(roleNames[1:]), func(role string) bool { return role == "admin" }) { // which no key has
		people = append(people, person{role, s.key(role)})
	}
	people = append(people, person{"rep test", s.key("rep test")})

	asked := map[string]bool{}
	n := 0
	for _, r := range s.server.echo.Routes() {
		name := r.Method + " " + regexp.MustCompile(`:(\w+)`).ReplaceAllString(r.Path, "{$1}")
		if slices.Contains(public, name) {
			continue
		}
		row, found := matrix[name]
		if !found {
			t.Errorf("%s is in the router and not in the matrix", name)
			continue
		}
		asked[name] = true
		path := strings.NewReplacer("{number}", number, "{part}", "steel", "{department}", "saw-and-forge", "{path}", "1/base/leg", "{line}", "1", "{seq}", "9", "{substitution}", "9", "{change}", "9", "{pull}", "9", "{audience}", "dealer", "{attachment}", "9", "{kind}", "steel", "{item}", "x", "{week}", "2026-W52", "{code}", "sallow-bench", "{revision}", "1", "{id}", "0197a1b2-0000-7000-8000-000000000001").Replace(name[strings.Index(name, " ")+1:]) + row.query
		ask := func(p person) reply {
			n++
			body := row.body
			if body == "BENCH" {
				body = bench(fmt.Sprint("PO ", n))
				if !strings.HasPrefix(p.name, "own ") && !strings.HasPrefix(p.name, "other ") {
					body = bench(fmt.Sprint("PO ", n), `,"dealer":"quillane-rooms"`)
				}
			}
			headers := slices.Clone(row.headers)
			for i := range headers {
				headers[i] = strings.Replace(headers[i], "NEW", fmt.Sprint("n", n), 1)
			}
			return s.ask(p.key, r.Method, path, body, headers...)
		}
		for _, p := range people {
			role := parseRole(strings.Fields(p.name)[0])
			want := row.status
			switch {
			case role == 0 && row.admits&roleDealer == 0, role != 0 && row.admits&role == 0:
				want = 403
			case strings.HasPrefix(p.name, "other "):
				want = row.other
			}
			got := ask(p)
			if got.status != want {
				t.Errorf("%s for %s: %d, want %d: %s", name, p.name, got.status, want, got.body)
			}
			if strings.HasPrefix(p.name, "other ") && (strings.Contains(string(got.body), canary) || strings.Contains(string(got.body), "studio-tamsel")) {
				t.Errorf("%s shows %s the order of another dealer: %s", name, p.name, got.body)
			}
			if got.status >= 400 && (got.header.Get("ETag") != "" || got.header.Get("Location") != "") {
				t.Errorf("%s for %s: a refusal with headers of the thing: %v", name, p.name, got.header)
			}
		}
		for _, p := range strangers {
			got := ask(p)
			got.problem(t, 401)
			if got.header.Get("WWW-Authenticate") != "Bearer" || strings.Contains(string(got.body), canary) {
				t.Errorf("%s for %s: %v %s", name, p.name, got.header, got.body)
			}
		}
	}
	for name := range matrix {
		if !asked[name] {
			t.Errorf("%s is in the matrix and not in the router", name)
		}
	}
	for _, name := range public {
		method, path, _ := strings.Cut(name, " ")
		s.ask("", method, path, "").want(t, 200)
	}
	for _, secret := range []string{own[20:], owner[20:], revoked[20:]} {
		if strings.Contains(s.logged.String(), secret) {
			t.Error("a key is in the log")
		}
	}
}

// The other dealer finds nothing of an order by any word of it, nor by its
// purchase order number, nor with a cursor of its owner's list.
func TestForeignOrdersAreNotFound(t *testing.T) {
	s := openShop(t, shopSettings{})
	own, other, rep := s.key("dealer studio-tamsel"), s.key("dealer hobb-and-farrow"), s.key("rep")
	number := s.placed(own, "1", bench(canary+" 1"))
	s.placed(own, "2", bench(canary+" 2"))
	theirs := s.placed(other, "1", bench("theirs"))
	list := func(key, query string) (numbers []string, next string) {
		var page orderPage
		s.ask(key, "GET", "/v1/orders"+query, "").want(t, 200).read(t, &page)
		for _, o := range page.Orders {
			numbers = append(numbers, o.Number)
		}
		return numbers, page.Next
	}
	for _, text := range []string{"", number, "canary", "studio", "sallow"} {
		if got, _ := list(other, "?text="+text); slices.Contains(got, number) || len(got) > 1 || len(got) == 1 && got[0] != theirs {
			t.Errorf("%q finds %v", text, got)
		}
		if got, _ := list(own, "?text="+text); !slices.Contains(got, number) || slices.Contains(got, theirs) {
			t.Errorf("its owner finds %v by %q", got, text)
		}
	}
	if got, _ := list(rep, ""); len(got) != 3 {
		t.Errorf("the rep sees %v", got)
	}
	_, next := list(own, "?limit=1")
	for _, key := range []string{other, rep} {
		if got := s.ask(key, "GET", "/v1/orders?limit=1&cursor="+next, "").faults(t, 400); !slices.Equal(got, []string{"query.cursor cursor"}) {
			t.Errorf("a foreign cursor: %v", got)
		}
	}
	// Row-level security alone, without any filter of the program's.
	err := tenancy.Transact(t.Context(), s.pool, tenancy.Scope{Workshop: s.workshop, Dealer: "hobb-and-farrow"}, func(tx pgx.Tx) error {
		if _, err := orderdb.Find(t.Context(), tx, s.workshop, number); err != orderdb.ErrNoOrder {
			t.Errorf("order: %v", err)
		}
		if _, err := orderdb.Bill(t.Context(), tx, s.workshop, number, 0); err != orderdb.ErrNoOrder {
			t.Errorf("bill: %v", err)
		}
		if page, err := orderdb.Page(t.Context(), tx, s.workshop, orderdb.Filter{Limit: 100}); err != nil || len(page) != 1 {
			t.Errorf("page: %d %v", len(page), err)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

func TestARevokedKeyIsRefusedEverywhereWithinASecond(t *testing.T) {
	s := openShop(t, shopSettings{})
	owner, shop := s.key("owner"), s.key("shop")
	here, there := s.base, s.serve()
	for _, base := range []string{here, there} {
		s.ask(shop, "GET", base+"/v1/catalog", "").want(t, 200)
	}
	parsed, err := parseKey(shop)
	if err != nil {
		t.Fatal(err)
	}
	s.ask(owner, "DELETE", here+"/v1/keys/"+parsed.key.String(), "").want(t, 204)
	gone := time.Now()
	s.ask(shop, "GET", here+"/v1/catalog", "").problem(t, 401)
	for s.ask(shop, "GET", there+"/v1/catalog", "").status == 200 {
		if time.Since(gone) > time.Second {
			t.Fatal("still let in after a second")
		}
		time.Sleep(10 * time.Millisecond)
	}
	s.ask(owner, "DELETE", here+"/v1/keys/"+parsed.key.String(), "").want(t, 204) // and stays so
	var list struct{ Keys []keyShown }
	s.ask(owner, "GET", "/v1/keys", "").want(t, 200).read(t, &list)
	for _, key := range list.Keys {
		if (key.ID == parsed.key) != (key.Revoked != nil) {
			t.Errorf("%+v", key)
		}
	}
}

func TestMadeKeysWork(t *testing.T) {
	s := openShop(t, shopSettings{})
	owner := s.key("owner")
	make := func(once, body string) reply {
		return s.ask(owner, "POST", "/v1/keys", body, "Idempotency-Key: "+once)
	}
	const dealer = `{"name":"Tamsel's till","role":"dealer","dealer":"studio-tamsel"}`
	first := make("1", dealer).want(t, 201)
	var made keyShown
	first.read(t, &made)
	if first.header.Get("Cache-Control") != "no-store" || first.header.Get("Location") != "/v1/keys/"+made.ID.String() || made.Name != "Tamsel's till" || made.Test {
		t.Errorf("%v %s", first.header, first.body)
	}
	number := s.placed(made.Text, "1", bench("A 1"))
	s.ask(made.Text, "GET", "/v1/orders/"+number, "").want(t, 200)
	// A replay tells of the key without its text, which is kept nowhere.
	again := make("1", dealer).want(t, 201)
	var replayed keyShown
	again.read(t, &replayed)
	if replayed.ID != made.ID || replayed.Text != "" || again.header.Get("Idempotent-Replayed") != "true" {
		t.Errorf("%s", again.body)
	}
	for body, want := range map[string][]string{
		`{"name":"x","role":"dealer"}`:                          {"/dealer missing"},
		`{"name":"x","role":"dealer","dealer":"studio-tamsle"}`: {"/dealer dealer.unknown"},
		`{"name":"x","role":"shop","dealer":"studio-tamsel"}`:   {"/dealer dealer.other"},
		`{"name":"a\tb","role":"owner","test":true}`:            {"/name text.control-characters", "/test key.test"},
		`{"name":"","role":"boss"}`:                             {"/name too-short", "/role not-allowed"},
		`{"role":"shop"}`:                                       {"/name missing"},
	} {
		if got := make("2", body).faults(t, 422); !slices.Equal(got, want) {
			t.Errorf("%s: %v", body, got)
		}
	}
	s.ask(owner, "DELETE", "/v1/keys/"+s.workshop.String(), "").problem(t, 404)
	if r := s.ask(owner, "DELETE", "/v1/keys/7", ""); r.status != 422 {
		t.Errorf("%d %s", r.status, r.body)
	}
	if strings.Contains(s.logged.String(), made.Text[20:]) {
		t.Error("the key is in the log")
	}
}

func TestKeysAreRememberedInBounds(t *testing.T) {
	r := newKeyring(nil)
	for range keysHeld + 10 {
		text, err := newKeyText([16]byte{1}, [16]byte{byte(len(r.held)), byte(len(r.held) >> 8), byte(len(r.held) >> 16)})
		if err != nil {
			t.Fatal(err)
		}
		r.keep(keyID{text.workshop, text.key}, heldKey{authdb.Key{ID: text.key}, time.Now()})
	}
	if len(r.held) > keysHeld || len(r.held) == 0 {
		t.Errorf("%d keys held", len(r.held))
	}
	if _, err := r.find(t.Context(), [16]byte{1}, [16]byte{1}); err != nil {
		t.Errorf("a held key is asked for again: %v", err)
	}
}

func TestAuthorizationHeaders(t *testing.T) {
	s := openShop(t, shopSettings{})
	key := s.key("shop")
	for header, status := range map[string]int{
		"Bearer " + key: 200, "bearer " + key: 200, "BEARER  " + key: 200,
		key: 401, "Basic " + key: 401, "Bearer" + key: 401, "Bearer " + strings.ToUpper(key): 401, "Bearer " + key + "a": 401, "Bearer": 401, "": 401,
	} {
		if got := s.ask("", "GET", "/v1/catalog", "", "Authorization: "+header); got.status != status {
			t.Errorf("%q: %d %s", header[:min(len(header), 12)], got.status, got.body)
		}
	}
	if got := s.ask(key, "TRACE", "/v1/catalog", ""); got.status != http.StatusMethodNotAllowed {
		t.Errorf("TRACE: %d", got.status)
	}
}
