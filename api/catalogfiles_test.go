package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// goldenBench is a golden order of a bench whose figures come out.
const goldenBench = `golden_orders:
  bench-in-stripe:
    product: sallow-bench
    quantity: 3
    configuration: {length: 4', height: 1 ft 6 1/2 in, cloth: sedge-stripe}
    dealer: studio-tamsel
    day: 2026-11-25
    expect:
      # list 1125 + 110 + 140 = 1375, less 50 and 10 %: 618.75; 3 of them
      net: 1856.25
      base/leg pieces: 12
      base/leg cut_length: 15 1/8 in
      base/slat cut_length: 400.05 mm
      holds: []
  bench-too-long:
    product: sallow-bench
    quantity: 1
    configuration: {length: 9 ft}
    dealer: studio-tamsel
    day: 2026-11-25
    expect: {findings: [length.long]}
`

func withGolden(files []source.File) []source.File {
	files = append(files, source.File{Path: "golden.yaml", Bytes: []byte(goldenBench)})
	slices.SortFunc(files, func(a, b source.File) int { return strings.Compare(a.Path, b.Path) })
	return files
}

// check posts the demonstration with changes for a check.
func (s *shop) checkCatalog(files []source.File) catalogCheckReply {
	s.t.Helper()
	var got catalogCheckReply
	s.ask(s.key("engineer"), "POST", "/v1/catalog/checks", s.revision(files)).want(s.t, 200).read(s.t, &got)
	return got
}

func (s *shop) revisions() (n int) {
	s.t.Helper()
	if err := s.db.AdminPool(s.t).QueryRow(s.t.Context(), `select count(*) from catalog_revision`).Scan(&n); err != nil {
		s.t.Fatal(err)
	}
	return n
}

func TestACatalogIsCheckedAndNotStored(t *testing.T) {
	s := openShop(t, shopSettings{})
	if got := s.checkCatalog(withGolden(demonstration.Files())); len(got.Faults) != 0 || len(got.GoldenChanges) != 0 {
		t.Errorf("%+v", got)
	}
	// Every fault at once, each with its place and what was meant.
	files := replaceText(t, demonstration.Files(), "terms: 50/10", "terms: fifty")
	files = replaceText(t, files, "form: boxed-welt", "form: boxed-wlet")
	files = replaceText(t, files, "    lead_days: 30\n\n    attributes:\n      length:\n        name: Length\n        size:\n          from: 36 in", "    lead_days: 30\n\n    attributes:\n      length:\n        name: Length\n        size:\n          from: 36")
	files = append(files, source.File{Path: "twice.yaml", Bytes: []byte("dealers:\n  studio-tamsel: {name: Again, terms: list}\n")})
	got := s.checkCatalog(files)
	var places []string
	for _, f := range got.Faults {
		places = append(places, f.File+" "+f.Where)
		if f.Line < 1 || f.Message == "" {
			t.Errorf("%+v", f)
		}
	}
	for _, want := range []string{"dealers.yaml dealers › studio-tamsel › terms", "products/sallow-bench.yaml products › sallow-bench › parts › cushion › cushion › form",
		"products/sallow-bench.yaml products › sallow-bench › attributes › length › size › from", "twice.yaml dealers"} {
		if !slices.ContainsFunc(places, func(place string) bool { return strings.HasPrefix(place, want) }) {
			t.Errorf("no fault at %s; there are %q", want, places)
		}
	}
	if i := slices.IndexFunc(got.Faults, func(f catalogFault) bool { return strings.HasSuffix(f.Where, "form") }); i < 0 || !strings.Contains(got.Faults[i].Hint, `"boxed-welt"`) {
		t.Errorf("no hint: %+v", got.Faults)
	}
	if len(got.GoldenChanges) != 0 || got.GoldenChanges == nil || got.Warnings == nil {
		t.Errorf("%+v", got)
	}
	if n := s.revisions(); n != 1 {
		t.Errorf("%d revisions: a check stored one", n)
	}
}

func TestChangedGoldenOrdersAreRefusedUnlessAccepted(t *testing.T) {
	s := openShop(t, shopSettings{})
	engineer := s.key("engineer")
	files := replaceText(t, withGolden(demonstration.Files()), "list: 1125.00", "list: 1130.00")
	got := s.checkCatalog(files)
	want := []goldenChanged{{Order: "bench-in-stripe", File: "golden.yaml", Line: 10, Figure: "net", Was: "1856.25", Becomes: "1863.00"}}
	if len(got.Faults) != 0 || !slices.Equal(got.GoldenChanges, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	body := s.revision(files)
	p := s.ask(engineer, "POST", "/v1/catalog/revisions", body, "Idempotency-Key: a").problem(t, 422)
	if len(p.Errors) != 1 || p.Errors[0].Code != "golden-order.changed" || !strings.Contains(p.Errors[0].Message, "1863.00") || !strings.Contains(p.Detail, "accept_changes") {
		t.Errorf("%+v", p)
	}
	var at int
	if _, err := fmt.Sscanf(p.Errors[0].Pointer, "/files/%d/text", &at); err != nil || files[at].Path != "golden.yaml" {
		t.Errorf("it points at %s", p.Errors[0].Pointer)
	}
	if n := s.revisions(); n != 1 {
		t.Fatalf("%d revisions: what was refused is stored", n)
	}
	accepting := strings.TrimSuffix(body, "}") + `,"accept_changes":true}`
	s.ask(engineer, "POST", "/v1/catalog/revisions", accepting, "Idempotency-Key: a").want(t, 201) // the refusal took no key
	if got := s.ask(engineer, "POST", "/v1/catalog/revisions", body, "Idempotency-Key: a").faults(t, 422); !slices.Equal(got, []string{"header.Idempotency-Key idempotency-key.reused"}) {
		t.Errorf("the same key for a body that accepts nothing: %v", got)
	}
	if n := s.revisions(); n != 2 {
		t.Errorf("%d revisions", n)
	}
	// Unchanged ones need no acceptance.
	s.ask(engineer, "POST", "/v1/catalog/revisions", s.revision(withGolden(demonstration.Files())), "Idempotency-Key: b").want(t, 201)
}

// What was uploaded comes back byte for byte, each file under the path it was
// given and nothing beside it.
func TestRevisionsAreReadBackByteForByte(t *testing.T) {
	s := openShop(t, shopSettings{})
	engineer := s.key("engineer")
	files := append(withGolden(demonstration.Files()), source.File{Path: "zettel/maße und gewichte.yaml", Bytes: []byte("# gek\u00fcrzt, geku\u0308rzt  \r\n\n# 'end'")})
	s.ask(engineer, "POST", "/v1/catalog/revisions", s.revision(files), "Idempotency-Key: a").want(t, 201)
	var list revisionFiles
	s.ask(engineer, "GET", "/v1/catalog/revisions/2/files", "").want(t, 200).read(t, &list)
	if list.Revision != 2 || len(list.Files) != len(files) {
		t.Fatalf("%+v", list)
	}
	for i, file := range files {
		hash := sha256.Sum256(file.Bytes)
		if want := (revisionFile{file.Path, len(file.Bytes), hex.EncodeToString(hash[:])}); list.Files[i] != want {
			t.Errorf("%+v, want %+v", list.Files[i], want)
		}
		got := s.ask(engineer, "GET", "/v1/catalog/revisions/2/file?path="+url.QueryEscape(file.Path), "").want(t, 200)
		if !bytes.Equal(got.body, file.Bytes) || got.header.Get("Content-Type") != yamlType || got.header.Get("X-Content-Type-Options") != "nosniff" || !strings.HasPrefix(got.header.Get("Content-Disposition"), "attachment; ") {
			t.Errorf("%s came back as %v %q", file.Path, got.header, got.body)
		}
	}
	var all struct{ Revisions []listedRevision }
	s.ask(engineer, "GET", "/v1/catalog/revisions", "").want(t, 200).read(t, &all)
	if len(all.Revisions) != 2 || all.Revisions[0].Revision != 2 || !all.Revisions[0].InForce || all.Revisions[1].InForce || all.Revisions[1].StoredBy != "test" ||
		all.Revisions[0].Effective.String() != "2026-11-02" || !strings.HasPrefix(all.Revisions[0].StoredBy, "key ") || !all.Revisions[0].StoredAt.Equal(noon) {
		t.Errorf("%+v", all)
	}
	for path, status := range map[string]int{
		"/v1/catalog/revisions/3/files": 404, "/v1/catalog/revisions/0/files": 422, "/v1/catalog/revisions/two/files": 422, "/v1/catalog/revisions/2147483648/files": 422,
		"/v1/catalog/revisions/2/file": 422, "/v1/catalog/revisions/2/file?path=": 422, "/v1/catalog/revisions/2/file?path=nowhere.yaml": 404,
		"/v1/catalog/revisions/2/file?path=..%2F..%2Fetc%2Fpasswd": 404, "/v1/catalog/revisions/2/file?path=%00.yaml": 404, "/v1/catalog/revisions/2/file?path=%ff.yaml": 404,
		"/v1/catalog/revisions/2/file?path=" + letters(201): 422, "/v1/catalog/revisions/1/file?path=golden.yaml": 404,
		"/v1/catalog/differences?from=1": 422, "/v1/catalog/differences?from=1&to=9": 404, "/v1/catalog/differences?from=9&to=1": 404, "/v1/catalog/differences?from=0&to=1": 422,
	} {
		s.ask(engineer, "GET", path, "").problem(t, status)
	}
}

// Paths that would leave the folder, or mean another file on another system.
func TestPathTricksAreRefused(t *testing.T) {
	s := openShop(t, shopSettings{})
	engineer := s.key("engineer")
	for _, path := range []string{"../a.yaml", "a/../../b.yaml", "/etc/a.yaml", "./a.yaml", "a//b.yaml", "a/./b.yaml", `..\a.yaml`, `C:\a.yaml`, "c:a.yaml", "a.yaml/", "a.yaml.", "a.yaml ",
		".hidden.yaml", "a/.git/config.yaml", "...yaml/a.yaml", "a.json", "yaml", "a\u202e.yaml", "a\n.yaml", "a\u0000.yaml", "\ufeffa.yaml", "con /a.yaml", "a.yaml\u2028"} {
		for _, route := range []string{"/v1/catalog/checks", "/v1/catalog/revisions"} {
			file, err := json.Marshal(catalogFile{path, "# nothing\n"})
			if err != nil {
				t.Fatal(err)
			}
			r := s.ask(engineer, "POST", route, `{"files":[`+string(file)+`]}`, "Idempotency-Key: k")
			if strings.Contains(path, "\x00") {
				r.problem(t, 400)
			} else if got := r.faults(t, 422); !slices.Equal(got, []string{"/files/0/path file.path"}) {
				t.Errorf("%q by %s: %v", path, route, got)
			}
		}
	}
	if n := s.revisions(); n != 1 {
		t.Errorf("%d revisions", n)
	}
}

// A body of 100 MB is refused before it is read, and text that is not UTF-8
// before it is looked at.
func TestUploadsThatCannotBeTaken(t *testing.T) {
	s := openShop(t, shopSettings{})
	engineer := s.key("engineer")
	for _, route := range []string{"/v1/catalog/checks", "/v1/catalog/revisions"} {
		huge := `{"files":[{"path":"a.yaml","text":"` + strings.Repeat("#", 100<<20) + `"}]}`
		s.ask(engineer, "POST", route, huge, "Idempotency-Key: k").problem(t, 413)
		latin := "{\"files\":[{\"path\":\"a.yaml\",\"text\":\"# gek\xfcrzt\"}]}"
		s.ask(engineer, "POST", route, latin, "Idempotency-Key: k").problem(t, 400)
		lone := `{"files":[{"path":"a.yaml","text":"\ud800"}]}`
		s.ask(engineer, "POST", route, lone, "Idempotency-Key: k").problem(t, 400)
		s.ask(engineer, "POST", route, `{"files":[]}`, "Idempotency-Key: k").problem(t, 422)
		s.ask(engineer, "POST", route, `{"files":[{"path":"a.yaml","text":""}],"accept":true}`, "Idempotency-Key: k").problem(t, 400)
	}
	// UTF-16 that came as text, and a byte order mark, are faults of the file.
	for _, text := range []string{"\ufeff# a\n", "w\x7fo"} {
		got := s.checkCatalog([]source.File{{Path: "a.yaml", Bytes: []byte(text)}})
		if !slices.ContainsFunc(got.Faults, func(f catalogFault) bool { return f.File == "a.yaml" }) {
			t.Errorf("%q: %+v", text, got.Faults)
		}
	}
	if n := s.revisions(); n != 1 {
		t.Errorf("%d revisions", n)
	}
}

// The difference of two revisions names what changed and the open orders that
// use it, and no others.
func TestDifferencesNameTheOpenOrders(t *testing.T) {
	s := openShop(t, shopSettings{})
	engineer := s.key("engineer")
	stripe := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	oat := s.placed(s.key("dealer hobb-and-farrow"), "1", strings.Replace(bench("B 1"), "sedge-stripe", "oat-weave", 1))
	shipped := s.placed(s.key("dealer studio-tamsel"), "2", bench("A 2"))
	both := s.placed(s.key("dealer studio-tamsel"), "3", s.order(map[string]any{"po": "A 3"}))
	if err := pgx.BeginFunc(t.Context(), s.db.AdminPool(t), func(tx pgx.Tx) error {
		_, err := tx.Exec(t.Context(), `update dealer_order set state = 'shipped' where number = $1`, shipped)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	s.revise(func(files []source.File) []source.File {
		files = replaceText(t, files, "among: [oat-weave, slate-twill, sedge-stripe]", "among: [oat-weave, slate-twill]")
		files = replaceText(t, files, "        where: {cloth: sedge-stripe}\n", "        where: {cloth: slate-twill}\n")
		return replaceText(t, files, "      - {for: Grade C cloth, where: {cloth: sedge-stripe}, add: 110.00}\n", "")
	}).want(t, 201)
	var got differencesReply
	s.ask(engineer, "GET", "/v1/catalog/differences?from=1&to=2", "").want(t, 200).read(t, &got)
	removed := catalogChange{Sort: "product", Code: "sallow-bench", Name: "Sallow bench", Part: "attribute cloth (Cloth) › choice sedge-stripe (Sedge stripe)", Act: "removed",
		Says: "product sallow-bench (Sallow bench): attribute cloth (Cloth) › choice sedge-stripe (Sedge stripe) removed"}
	if got.From != 1 || got.To != 2 || len(got.Changes) != 3 || got.Changes[0] != removed {
		t.Errorf("%+v", got)
	}
	uses := map[string][]string{}
	for _, o := range got.Orders {
		for _, line := range o.Lines {
			if line.Product != "sallow-bench" || line.Revision != 1 || o.State != "received" || o.Dealer == "" {
				t.Errorf("%+v of %+v", line, o)
			}
			uses[fmt.Sprint(o.Number, " ", line.Line)] = line.What
		}
	}
	choice := "product sallow-bench (Sallow bench): attribute cloth (Cloth) › choice sedge-stripe (Sedge stripe) removed"
	for where, chosen := range map[string]bool{stripe + " 1": true, both + " 3": true, oat + " 1": false} {
		if what, found := uses[where]; !found || slices.Contains(what, choice) != chosen {
			t.Errorf("%s: %q", where, what)
		}
		delete(uses, where)
	}
	if len(uses) > 0 {
		t.Errorf("also told: %v", uses)
	}
	var none differencesReply
	s.ask(engineer, "GET", "/v1/catalog/differences?from=2&to=2", "").want(t, 200).read(t, &none)
	if none.Changes == nil || len(none.Changes) != 0 || none.Orders == nil || len(none.Orders) != 0 {
		t.Errorf("%+v", none)
	}
}

// A closure that a later revision adds lists the orders that were promised over
// it, of the plant and of a vendor, and moves no promise.
func TestAddedClosuresNameTheOrdersInTheirWay(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, engineer := s.key("dealer studio-tamsel"), s.key("engineer")
	stands := s.accepted(dealer, "1", bench("A 1"))
	waits := s.placed(dealer, "2", rail("A 2", "150 in", `{"base/rail":"stock to order"}`))
	draft := s.placed(dealer, "3", `{"intent":"draft","po":"A 3","lines":[{"product":"sallow-bench"}]}`)
	before := s.ask(dealer, "GET", "/v1/orders/"+stands, "").want(t, 200)
	s.store(replaceText(t, demonstration.Files(), "    - {from: 2027-05-31, why: Memorial Day}\n", "    - {from: 2027-05-31, why: Memorial Day}\n    - {from: 2026-12-07, to: 2026-12-08, why: Furnace}\n    - {from: 2026-12-10, why: Mill, vendor: Harlaw Tube}\n"))
	var got differencesReply
	s.ask(engineer, "GET", "/v1/catalog/differences?from=1&to=2", "").want(t, 200).read(t, &got)
	what := map[string]string{}
	for _, o := range got.Orders {
		for _, line := range o.Lines {
			what[o.Number] += strings.Join(line.What, "; ")
		}
	}
	promised := func(number string) string { return s.got(dealer, number).Promise.String() }
	want := map[string]string{
		stands: "closure Furnace (2026-12-07 to 2026-12-08): the promise of " + promised(stands) + " was counted without it",
		waits:  "closure Furnace (2026-12-07 to 2026-12-08): the promise of " + promised(waits) + " was counted without it; closure Harlaw Tube: Mill (2026-12-10): the promise of " + promised(waits) + " was counted without it",
	}
	if !maps.Equal(what, want) || what[draft] != "" {
		t.Errorf("got  %q\nwant %q", what, want)
	}
	if after := s.ask(dealer, "GET", "/v1/orders/"+stands, "").want(t, 200); string(after.body) != string(before.body) {
		t.Errorf("a closure changed the order: %s", after.body)
	}
	s.ask(engineer, "GET", "/v1/catalog/differences?from=2&to=1", "").want(t, 200).read(t, &got)
	if len(got.Orders) != 0 {
		t.Errorf("days that are opened: %+v", got.Orders)
	}
}
