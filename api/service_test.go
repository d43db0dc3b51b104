package api

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"billwright/migrations/tenancy"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The document of the interface is held as a file, so that no change of it goes
// unseen.
func TestTheDocumentIsTheGoldenOne(t *testing.T) {
	s := openShop(t, shopSettings{bare: true})
	got := s.ask("", "GET", "/v1/openapi.json", "").want(t, 200)
	var any any
	got.read(t, &any)
	text, err := json.MarshalIndent(any, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	text = append(text, '\n')
	golden := filepath.Join("testdata", "openapi.json")
	if *update {
		if err := os.WriteFile(golden, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != string(text) {
		t.Errorf("the document is not that of %s; if the change is meant, run go test ./api -run Golden -update and read the difference", golden)
	}
}

// Every operation tells what it does and how it refuses, and every reference
// leads somewhere.
func TestTheDocumentIsWhole(t *testing.T) {
	s := openShop(t, shopSettings{bare: true})
	got := s.ask("", "GET", "/v1/openapi.json", "").want(t, 200)
	var doc struct {
		Paths map[string]map[string]struct {
			OperationID, Summary, Description string
			Parameters                        []struct {
				Name, Description string
				Required          bool
			}
			Security  []map[string][]string
			Responses map[string]struct {
				Description string
				Content     map[string]struct{ Schema json.RawMessage }
			}
		}
		Components struct{ Schemas map[string]json.RawMessage }
	}
	got.read(t, &doc)
	ids := map[string]bool{}
	for path, item := range doc.Paths {
		for method, op := range item {
			where := strings.ToUpper(method) + " " + path
			if op.Summary == "" || op.OperationID == "" || ids[op.OperationID] {
				t.Errorf("%s: summary %q, id %q", where, op.Summary, op.OperationID)
			}
			ids[op.OperationID] = true
			for _, p := range op.Parameters {
				if p.Description == "" {
					t.Errorf("%s: parameter %s is not described", where, p.Name)
				}
				if p.Name == "Idempotency-Key" && !p.Required {
					t.Errorf("%s: the Idempotency-Key is not told to be needed", where)
				}
			}
			if slices.Contains(public, where) {
				continue
			}
			if len(op.Security) != 1 || op.Description == "" {
				t.Errorf("%s: security %v, description %q", where, op.Security, op.Description)
			}
			for _, status := range []string{"401", "403", "500", "503", "default"} {
				if _, found := op.Responses[status].Content[problemType]; !found {
					t.Errorf("%s: no problem under %s", where, status)
				}
			}
			if strings.HasPrefix(method, "post") && !strings.HasSuffix(path, "/checks") && path != "/v1/choices" && !slices.ContainsFunc(op.Parameters, func(p struct {
				Name, Description string
				Required          bool
			}) bool {
				return p.Name == "Idempotency-Key"
			}) {
				t.Errorf("%s acts without an Idempotency-Key", where)
			}
		}
	}
	for _, ref := range regexp.MustCompile(`"#/components/schemas/(\w+)"`).FindAllStringSubmatch(string(got.body), -1) {
		if _, found := doc.Components.Schemas[ref[1]]; !found {
			t.Errorf("there is no schema %s", ref[1])
		}
	}
}

func TestPagesShowEachOrderOnce(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	var placed []string
	for i := range 23 {
		placed = append([]string{s.placed(dealer, fmt.Sprint(i), bench(fmt.Sprint("A ", i)))}, placed...)
	}
	for _, limit := range []int{1, 5, 22, 23, 24, 100} {
		var seen []string
		cursor, pages := "", 0
		for pages == 0 || cursor != "" {
			var page orderPage
			s.ask(dealer, "GET", fmt.Sprintf("/v1/orders?limit=%d&cursor=%s", limit, cursor), "").want(t, 200).read(t, &page)
			for _, o := range page.Orders {
				seen = append(seen, o.Number)
			}
			cursor = page.Next
			if pages++; pages == 2 && limit == 5 { // what comes meanwhile moves nothing
				s.placed(dealer, "meanwhile", bench("meanwhile"))
			}
		}
		if limit > 5 { // the later walks see the newcomer too
			seen = seen[1:]
		}
		if !slices.Equal(seen, placed) {
			t.Errorf("by %d: %v, want %v", limit, seen, placed)
		}
	}
	for query, status := range map[string]int{"limit=0": 422, "limit=101": 422, "limit=x": 422, "limit=-1": 422, "page=2": 400, "text=" + letters(20_001): 422} {
		s.ask(dealer, "GET", "/v1/orders?"+query, "").problem(t, status)
	}
}

func TestCursorsCannotBeMadeUp(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for i := range 3 {
		s.placed(dealer, fmt.Sprint(i), bench(fmt.Sprint("A ", i)))
	}
	var page orderPage
	s.ask(dealer, "GET", "/v1/orders?limit=1", "").want(t, 200).read(t, &page)
	good := page.Next
	s.ask(dealer, "GET", "/v1/orders?cursor="+good, "").want(t, 200)
	raw, err := base64.RawURLEncoding.DecodeString(good)
	if err != nil {
		t.Fatal(err)
	}
	bad := []string{"x", good[1:], good + "A", good[:len(good)-1], strings.Repeat("A", len(good)), "%00", uuid.New().String(), "0"}
	for i := range raw {
		other := slices.Clone(raw)
		other[i] ^= 1
		bad = append(bad, base64.RawURLEncoding.EncodeToString(other))
	}
	for _, cursor := range bad {
		if got := s.ask(dealer, "GET", "/v1/orders?cursor="+cursor, "").faults(t, 400); !slices.Equal(got, []string{"query.cursor cursor"}) {
			t.Errorf("%s: %v", cursor, got)
		}
	}
	s.ask(dealer, "GET", "/v1/orders?text=a&cursor="+good, "").problem(t, 400) // of another list
}

func TestCursorsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := uuid.UUID(rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "id"))
		secret := [32]byte(rapid.SliceOfN(rapid.Byte(), 32, 32).Draw(t, "secret"))
		list := listing(rapid.SliceOfN(rapid.String(), 1, 4).Draw(t, "list"))
		cursor := list.cursor(secret, id)
		if got, err := list.after(secret, cursor); err != nil || got != id {
			t.Errorf("%v %v", got, err)
		}
		other := secret
		other[0] ^= 1
		if _, err := list.after(other, cursor); err == nil {
			t.Error("read under another secret")
		}
		if _, err := append(slices.Clone(list), "").after(secret, cursor); err == nil {
			t.Error("read for another list")
		}
	})
}

func TestWeeksAreWrittenOneWay(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	for week, teach := range map[string]string{
		"2026-W54": "2026-W53", "2025-W53": "2025-W52", "next%20week": "2026-W48", "2026-48": "2026-W48", "2026-W00": "2026-W01", "2026W48": "2026-W48", "2026-w48": "2026-W48",
	} {
		p := s.ask(buyer, "GET", "/v1/requirements/"+week, "").problem(t, 400)
		if len(p.Errors) != 1 || p.Errors[0].Parameter != "path.week" || !strings.Contains(p.Errors[0].Message, teach) {
			t.Errorf("%s: %+v", week, p.Errors)
		}
	}
	var got weekReply
	s.ask(buyer, "GET", "/v1/requirements/2026-W53", "").want(t, 200).read(t, &got)
	if got.Week != "2026-W53" || got.Monday.String() != "2026-12-28" || got.Requirements == nil {
		t.Errorf("%+v", got)
	}
}

// The sum of a week over two orders is twice that of one, in JSON and in the
// sheet, to the last nanometre.
func TestWeeksAddUp(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, buyer := s.key("dealer studio-tamsel"), s.key("buyer")
	s.placed(dealer, "1", bench("A 1"))
	once := map[string]requirement{}
	weeks := []string{}
	for week := 48; week <= 53; week++ {
		weeks = append(weeks, fmt.Sprintf("2026-W%d", week))
	}
	for week := 1; week <= 9; week++ {
		weeks = append(weeks, fmt.Sprintf("2027-W%02d", week))
	}
	for _, week := range weeks {
		var got weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week, "").want(t, 200).read(t, &got)
		for _, r := range got.Requirements {
			once[week+r.Kind+r.Item] = r
		}
	}
	s.placed(s.key("dealer hobb-and-farrow"), "1", bench("A 1"))
	if len(once) < 5 {
		t.Fatalf("a bench needs only %v", once)
	}
	seen := 0
	for _, week := range weeks {
		var got weekReply
		s.ask(buyer, "GET", "/v1/requirements/"+week, "").want(t, 200).read(t, &got)
		sheet := readSheet(t, s.ask(buyer, "GET", "/v1/requirements/"+week, "", "Accept: text/csv"))
		if len(sheet) != len(got.Requirements)+1 {
			t.Errorf("%s: %d rows for %d", week, len(sheet)-1, len(got.Requirements))
		}
		for i, r := range got.Requirements {
			seen++
			before := once[week+r.Kind+r.Item]
			if r.Orders != 2 || r.Pieces != 2*before.Pieces || magnitude(t, r.Amount.Exact) != 2*magnitude(t, before.Amount.Exact) {
				t.Errorf("%s: %+v, of one order %+v", week, r, before)
			}
			row := sheet[i+1]
			if row[0] != r.Kind || row[1] != r.Item || row[2] != fmt.Sprint(r.Pieces) || !strings.HasPrefix(r.Amount.Text, row[3]) {
				t.Errorf("%s: %v for %+v", week, row, r)
			}
		}
	}
	if seen != len(once) {
		t.Errorf("%d requirements, of one order %d", seen, len(once))
	}
}

func TestTheClockOfATrial(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	owner, dealer := s.key("owner"), s.key("dealer studio-tamsel")
	var clock clockReply
	s.ask(owner, "GET", "/v1/clock", "").want(t, 200).read(t, &clock)
	if !clock.Now.Equal(noon) {
		t.Errorf("it stands at %v", clock.Now)
	}
	to := noon.Add(26*time.Hour + 30*time.Minute)
	s.ask(owner, "PUT", "/v1/clock", `{"now":"`+to.Format(time.RFC3339)+`"}`).want(t, 200).read(t, &clock)
	if !clock.Now.Equal(to) {
		t.Errorf("moved to %v", clock.Now)
	}
	var doc struct {
		Number  string
		At      time.Time `json:"received_at"`
		Promise string
	}
	s.place(dealer, "1", bench("A 1")).want(t, 201).read(t, &doc)
	if !doc.At.Equal(to) {
		t.Errorf("the order was received at %v", doc.At)
	}
	if got := s.ask(owner, "PUT", "/v1/clock", `{"now":"2026-11-25T18:00:00Z"}`).faults(t, 422); !slices.Equal(got, []string{"/now clock.backward"}) {
		t.Errorf("backward: %v", got)
	}
	if got := s.ask(owner, "PUT", "/v1/clock", `{"now":"tomorrow"}`).faults(t, 422); !slices.Equal(got, []string{"/now bad-form"}) {
		t.Errorf("no time: %v", got)
	}
	s.ask(owner, "PUT", "/v1/clock", `{"now":"`+to.Format(time.RFC3339)+`"}`).want(t, 200) // where it stands
	var acts int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select count(*) from audit where act = 'clock moved'`).Scan(&acts); err != nil || acts != 2 {
		t.Errorf("%d acts in the trail: %v", acts, err)
	}
}

func TestALiveWorkshopHasNoClock(t *testing.T) {
	s := openShop(t, shopSettings{})
	owner := s.key("owner")
	s.ask(owner, "GET", "/v1/clock", "").problem(t, 409)
	s.ask(owner, "PUT", "/v1/clock", `{"now":"2030-01-01T00:00:00Z"}`).problem(t, 409)
	s.now = noon.Add(time.Hour)
	var doc struct {
		At time.Time `json:"received_at"`
	}
	s.place(s.key("dealer studio-tamsel"), "1", bench("A 1")).want(t, 201).read(t, &doc)
	if !doc.At.Equal(noon.Add(time.Hour)) {
		t.Errorf("received at %v", doc.At)
	}
}

// With every connection in use a request is answered within two seconds, and
// the order is taken once there is one.
func TestAnExhaustedPoolIsAnAnswer(t *testing.T) {
	s := openShop(t, shopSettings{poolSize: 2})
	dealer := s.key("dealer studio-tamsel")
	s.placed(dealer, "warm", bench("warm"))
	s.serve() // an instance that has read nothing yet
	for range 2 {
		conn, err := s.pool.Acquire(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Release()
	}
	var done sync.WaitGroup
	for _, path := range []string{"GET /v1/orders", "GET /v1/catalog/species", "POST /v1/orders", "GET /readyz"} {
		done.Go(func() {
			method, path, _ := strings.Cut(path, " ")
			body := ""
			if method == "POST" {
				body = bench("A 1")
			}
			began := time.Now()
			r, err := s.try(dealer, method, path, body, "Idempotency-Key: 1")
			if took := time.Since(began); err != nil || r.status != 503 || r.header.Get("Retry-After") == "" || took > 2*time.Second {
				t.Errorf("%s %s: %d after %v: %v %s", method, path, r.status, took, err, r.body)
			}
		})
	}
	done.Wait()
	began := time.Now()
	var waits sync.WaitGroup
	for range 20 { // whoever waits for one reading waits for one failure
		waits.Go(func() {
			if _, err := s.server.standings.of(t.Context(), s.workshop); !tenancy.Unavailable(err) {
				t.Errorf("%v", err)
			}
		})
	}
	if waits.Wait(); time.Since(began) > 2*time.Second {
		t.Errorf("waited %v in turn", time.Since(began))
	}
	s.ask("", "GET", "/healthz", "").want(t, 200)
}

// A database that ends every connection, and one that is gone, are 503 and
// never 500.
func TestALostDatabaseIsAnAnswer(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	s.placed(dealer, "warm", bench("warm"))
	admin := s.db.AdminPool(t)
	stop := make(chan struct{})
	var done sync.WaitGroup
	done.Go(func() {
		for {
			select {
			case <-stop:
				return
			case <-time.After(20 * time.Millisecond):
				_, _ = admin.Exec(context.Background(), `select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and usename = 'billwright_app' order by random() limit 1`)
			}
		}
	})
	seen := map[int]int{}
	for i := range 60 {
		for range 500 { // a slow machine loses many connections before one answers
			r, err := s.try(dealer, "POST", "/v1/orders", bench(fmt.Sprint("A ", i)), fmt.Sprint("Idempotency-Key: ", i))
			if err != nil {
				t.Fatal(err)
			}
			if seen[r.status]++; r.status == 201 {
				break
			}
			if r.status != 503 && r.status != 409 || r.status == 503 && r.header.Get("Retry-After") == "" {
				t.Errorf("order %d: %d %s", i, r.status, r.body)
			}
			time.Sleep(10 * time.Millisecond)
		}
	}
	close(stop)
	done.Wait()
	t.Logf("replies: %v", seen)
	var orders, taken int
	if err := admin.QueryRow(t.Context(), `select count(*), count(distinct po) from dealer_order`).Scan(&orders, &taken); err != nil || orders != 61 || taken != 61 {
		t.Errorf("%d orders under %d purchase order numbers: %v", orders, taken, err)
	}
	if seen[503] == 0 && seen[201] == 60 {
		t.Log("no connection was hit at a bad moment this time")
	}
	s.pool.Close()
	r := s.ask(dealer, "GET", "/v1/orders", "")
	if r.status != 503 {
		t.Errorf("without a database: %d %s", r.status, r.body)
	}
}

func TestKeyTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(n int, name string) []byte { return rapid.SliceOfN(rapid.Byte(), n, n).Draw(t, name) }
		k := keyText{uuid.UUID(draw(16, "workshop")), uuid.UUID(draw(16, "key")), [secretBytes]byte(draw(secretBytes, "secret"))}
		text := k.String()
		if len(text) != keyTextSize || !regexp.MustCompile(`^bw1_[a-z2-7]+$`).MatchString(text) {
			t.Errorf("%q", text)
		}
		if got, err := parseKey(text); err != nil || got != k {
			t.Errorf("%v %v", got, err)
		}
		at := rapid.IntRange(0, len(text)-1).Draw(t, "slip")
		with := rapid.SampledFrom([]byte("abcxyz237A =\x00_")).Draw(t, "with")
		if slip := text[:at] + string(with) + text[at+1:]; slip != text {
			if _, err := parseKey(slip); err == nil {
				t.Errorf("the slip %q is taken for a key", slip)
			}
		}
		if _, err := parseKey(text[1:] + text[:1]); err == nil {
			t.Error("turned round, still a key")
		}
	})
	for _, text := range []string{"", "bw1_", "bw1_" + letters(86), letters(90)} {
		if _, err := parseKey(text); err == nil {
			t.Errorf("%q is a key", text)
		}
	}
}

func FuzzParseKey(f *testing.F) {
	f.Add(keyText{}.String())
	f.Add("bw1_")
	f.Fuzz(func(t *testing.T, text string) {
		if k, err := parseKey(text); err == nil && k.String() != text {
			t.Errorf("%q and %q are the same key", text, k)
		}
	})
}
