package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"billwright/api/authdb"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// revise posts the demonstration catalog with changes, as its engineer would.
func (s *shop) revise(change func([]source.File) []source.File) reply {
	s.t.Helper()
	return s.ask(s.key("engineer"), "POST", "/v1/catalog/revisions", s.revision(change(demonstration.Files())), fmt.Sprint("Idempotency-Key: ", time.Now().UnixNano()))
}

func (s *shop) revision(files []source.File) string {
	s.t.Helper()
	var body revisionRequest
	for _, file := range files {
		body.Files = append(body.Files, catalogFile{file.Path, string(file.Bytes)})
	}
	text, err := json.Marshal(body)
	if err != nil {
		s.t.Fatal(err)
	}
	return string(text)
}

// replaceText replaces a text that must be there.
func replaceText(t testing.TB, files []source.File, old, with string) []source.File {
	t.Helper()
	found := false
	for i := range files {
		found = found || bytes.Contains(files[i].Bytes, []byte(old))
		files[i].Bytes = bytes.ReplaceAll(files[i].Bytes, []byte(old), []byte(with))
	}
	if !found {
		t.Fatalf("no file has %q", old)
	}
	return files
}

func TestAStoredRevisionTakesEffectAtOnce(t *testing.T) {
	s := openShop(t, shopSettings{})
	worker, here, there := s.key("shop"), s.base, s.serve()
	name := func(base string) string {
		s.base = base
		return s.productName(worker)
	}
	if name(there) != "Sallow bench" || name(here) != "Sallow bench" {
		t.Fatal("not the demonstration")
	}
	for i := range 5 {
		want := fmt.Sprintf("Sallow bench %d", i)
		var stored revisionReply
		s.revise(func(files []source.File) []source.File {
			return replaceText(t, files, "name: Sallow bench", "name: "+want)
		}).want(t, 201).read(t, &stored)
		if stored.Revision != i+2 {
			t.Errorf("revision %d stored as %d", i+2, stored.Revision)
		}
		if got := name(here); got != want {
			t.Errorf("here it is %q, want %q", got, want)
		}
	}
	deadline := time.Now().Add(2 * standingsHeldFor)
	for name(there) != "Sallow bench 4" {
		if time.Now().After(deadline) {
			t.Fatal("the other instance has not seen it")
		}
		time.Sleep(20 * time.Millisecond)
	}
}

func (s *shop) productName(key string) string {
	s.t.Helper()
	var got productReply
	s.ask(key, "GET", "/v1/catalog/products/sallow-bench", "").want(s.t, 200).read(s.t, &got)
	return got.Name
}

func TestARevisionWaitsForItsDay(t *testing.T) {
	s := openShop(t, shopSettings{trial: true})
	worker, owner := s.key("shop"), s.key("owner")
	s.revise(func(files []source.File) []source.File {
		files = replaceText(t, files, "effective: 2026-11-02", "effective: 2026-12-01")
		return replaceText(t, files, "name: Sallow bench", "name: Later bench")
	}).want(t, 201)
	if got := s.productName(worker); got != "Sallow bench" {
		t.Errorf("in force too early: %q", got)
	}
	// Midnight of the plant in Chicago is 06:00 UTC.
	for _, c := range []struct{ now, want string }{{"2026-12-01T05:59:59Z", "Sallow bench"}, {"2026-12-01T06:00:00Z", "Later bench"}} {
		s.ask(owner, "PUT", "/v1/clock", `{"now":"`+c.now+`"}`).want(t, 200)
		if got := s.productName(worker); got != c.want {
			t.Errorf("at %s it is %q", c.now, got)
		}
	}
}

func TestAFaultyCatalogIsRefusedWhole(t *testing.T) {
	s := openShop(t, shopSettings{})
	p := s.revise(func(files []source.File) []source.File {
		files = replaceText(t, files, "terms: 50/10", "terms: fifty")
		return replaceText(t, files, "zone: America/Chicago", "zone: America/Chicagoo")
	}).problem(t, 422)
	if len(p.Errors) != 2 {
		t.Fatalf("%+v", p.Errors)
	}
	files := demonstration.Files()
	for _, f := range p.Errors {
		var i int
		if _, err := fmt.Sscanf(f.Pointer, "/files/%d/text", &i); err != nil || !strings.Contains(f.Message, files[i].Path+":") {
			t.Errorf("%s: %s", f.Pointer, f.Message)
		}
	}
	engineer := s.key("engineer")
	for body, want := range map[string][]string{
		`{"files":[]}`: {"/files too-few"},
		`{"files":[{"path":"../a.yaml","text":""}]}`:                        {"/files/0/path file.path"},
		`{"files":[{"path":"a.txt","text":""},{"path":"a.txt","text":""}]}`: {"/files/0/path file.path", "/files/1/path file.twice", "/files/1/path file.path"},
		`{"files":[{"path":"/a.yaml","text":""}]}`:                          {"/files/0/path file.path"},
	} {
		if got := s.ask(engineer, "POST", "/v1/catalog/revisions", body, "Idempotency-Key: k").faults(t, 422); !slices.Equal(got, want) {
			t.Errorf("%s: %v", body, got)
		}
	}
	var n int
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select max(revision) from catalog_revision`).Scan(&n); err != nil || n != 1 {
		t.Errorf("revision %d: %v", n, err)
	}
}

func TestARevisionIsStoredOncePerKey(t *testing.T) {
	s := openShop(t, shopSettings{bare: true})
	engineer, shop := s.key("engineer"), s.key("shop")
	s.ask(shop, "GET", "/v1/catalog", "").problem(t, 409)
	body := s.revision(demonstration.Files())
	first := s.ask(engineer, "POST", "/v1/catalog/revisions", body, "Idempotency-Key: k").want(t, 201)
	again := s.ask(engineer, "POST", "/v1/catalog/revisions", body, "Idempotency-Key: k").want(t, 201)
	if !bytes.Equal(first.body, again.body) || again.header.Get("Idempotent-Replayed") != "true" {
		t.Errorf("%s %s", first.body, again.body)
	}
	if got := s.ask(engineer, "POST", "/v1/catalog/revisions", strings.Replace(body, "Sallow", "Willow", 1), "Idempotency-Key: k").faults(t, 422); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key.reused"}) {
		t.Errorf("%v", got)
	}
	var cat catalogReply
	s.ask(shop, "GET", "/v1/catalog", "").want(t, 200).read(t, &cat)
	if cat.Revision != 1 || cat.Workshop != "corrindale" || !cat.Demonstration || len(cat.Products) < 12 || cat.Dealers < 6 || cat.Effective.String() != "2026-11-02" {
		t.Errorf("%+v", cat)
	}
}

func TestCatalogListsCanBeNarrowed(t *testing.T) {
	s := openShop(t, shopSettings{})
	shop := s.key("shop")
	for _, c := range []struct{ list, filter string }{
		{"products", "collection=Sallow"}, {"species", "finish=hand-oiled"}, {"finishes", "kind=wood"}, {"finishes", "kind=wood&species=white-ash"},
		{"fabrics", "own_material=true"}, {"fabrics", "grade=C"}, {"sections", "shape=square"}, {"rules", "product=pell-stool"}, {"standards", ""},
	} {
		all, some := s.rows(shop, c.list), s.rows(shop, c.list+"?"+c.filter)
		if len(all) == 0 || len(some) > len(all) || c.filter != "" && c.list != "products" && (len(some) == 0 || len(some) == len(all)) {
			t.Errorf("%s: %d rows, %d with %s", c.list, len(all), len(some), c.filter)
		}
		for _, row := range some {
			if !slices.ContainsFunc(all, func(one map[string]any) bool { return fmt.Sprint(one) == fmt.Sprint(row) }) {
				t.Errorf("%s: %v is only there when narrowed", c.list, row)
			}
		}
	}
	for path, status := range map[string]int{"fabrics?own_material=maybe": 422, "sections?shape=blob": 422, "species?grade=C": 400, "products/salow-bench": 404} {
		p := s.ask(shop, "GET", "/v1/catalog/"+path, "").problem(t, status)
		if status == 404 && !strings.Contains(p.Detail, `"sallow-bench"`) {
			t.Errorf("%s", p.Detail)
		}
	}
	var bench productReply
	s.ask(shop, "GET", "/v1/catalog/products/sallow-bench", "").want(t, 200).read(t, &bench)
	if bench.Product != "sallow-bench" || bench.Attributes[0].Length == nil || bench.Attributes[0].Length.StepInch <= 0 || len(bench.Attributes) != 4 {
		t.Errorf("%+v", bench)
	}
}

func (s *shop) rows(key, list string) []map[string]any {
	s.t.Helper()
	var got struct{ Rows []map[string]any }
	s.ask(key, "GET", "/v1/catalog/"+list, "").want(s.t, 200).read(s.t, &got)
	return got.Rows
}

// Many requests that find nothing read are answered by one reading.
func TestOneReadingServesAllWhoWait(t *testing.T) {
	s := openShop(t, shopSettings{})
	const waiting = 50
	got := make([]*standing, waiting)
	start := make(chan struct{})
	var done sync.WaitGroup
	for i := range waiting {
		done.Go(func() {
			<-start
			st, err := s.server.standings.of(t.Context(), s.workshop)
			if err != nil {
				t.Error(err)
			}
			got[i] = st
		})
	}
	close(start)
	done.Wait()
	for _, st := range got {
		if st != got[0] || st.catalog == nil || st.day.String() != "2026-11-25" {
			t.Fatal("read more than once, or not whole")
		}
	}
	// The catalog is parsed again for a new revision only.
	s.server.standings.changed(s.workshop)
	st, err := s.server.standings.of(t.Context(), s.workshop)
	if err != nil || st == got[0] || st.catalog != got[0].catalog {
		t.Errorf("%v: another standing %t, another catalog %t", err, st != got[0], st.catalog != got[0].catalog)
	}
	// A client that goes away does not take the reading with it, only its own
	// answer; and one workshop's failure is none of another's.
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	s.server.standings.changed(s.workshop)
	if _, err := s.server.standings.of(gone, s.workshop); err != nil && !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if _, err := s.server.standings.of(t.Context(), uuid.New()); !errors.Is(err, authdb.ErrNoWorkshop) {
		t.Errorf("a workshop that is not there: %v", err)
	}
	if _, err := s.server.standings.of(t.Context(), s.workshop); err != nil {
		t.Error(err)
	}
}

// Between midnight UTC and the plant's own, the plant's day counts, at the
// first request already.
func TestTheFirstReadingGoesByThePlantsDay(t *testing.T) {
	s := openShop(t, shopSettings{files: func(files []source.File) []source.File {
		return replaceText(t, files, "name: Sallow bench", "name: Early bench")
	}})
	s.store(replaceText(t, demonstration.Files(), "effective: 2026-11-02", "effective: 2026-11-26"))
	worker := s.key("shop")
	for _, c := range []struct {
		at   time.Duration // after noon, which is 18:00 UTC
		want string
	}{{7 * time.Hour, "Early bench"}, {13 * time.Hour, "Sallow bench"}} {
		s.now = noon.Add(c.at)
		s.serve() // an instance that has read nothing yet
		if got := s.productName(worker); got != c.want {
			t.Errorf("at %v it is %q", s.now, got)
		}
	}
}
