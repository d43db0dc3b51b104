package bom_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"math/big"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

var update = flag.Bool("update", false, "rewrite the machine-made files of testdata/golden")

const (
	goldenFolder = "../testdata/golden"
	byHand       = "Worked apart from the program, step by step below: never rewritten by -update."
	byMachine    = "Machine-made: rewritten by go test ./bom -update."
)

// read gives the demonstration catalog, or ends the test with every fault.
func read(t testing.TB) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(demonstration.Files())
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

func metricFiles() fs.FS { return os.DirFS("testdata/metric") }

// metricShop gives the metric workshop of testdata/metric, which has what the
// demonstration lacks.
func metricShop(t testing.TB, extra ...source.File) *catalog.Catalog {
	t.Helper()
	files, faults := source.ReadDir(metricFiles())
	cat, more := catalog.Read(append(files, extra...))
	for _, fault := range append(faults, more...) {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

// asked is one JSON line of a golden order: the first tells from which catalog
// (the demonstration if it says nothing), when, by whom and for when it is
// ordered, each further one is a line of the order.
type asked struct {
	Catalog       string            `json:"catalog"`
	Clock         time.Time         `json:"clock"`
	Dealer        string            `json:"dealer"`
	Requested     string            `json:"requested"`
	Product       string            `json:"product"`
	Quantity      int               `json:"quantity"`
	Configuration map[string]string `json:"configuration"`
	Ways          map[string]string `json:"ways"`
}

func (a *asked) picks() []catalog.Pick {
	var picks []catalog.Pick
	for attribute, text := range a.Configuration {
		picks = append(picks, catalog.Pick{Attribute: attribute, Text: text})
	}
	slices.SortFunc(picks, func(a, b catalog.Pick) int { return strings.Compare(a.Attribute, b.Attribute) })
	return picks
}

func readOrder(t *testing.T, text []byte) (draft *order.Draft, shop string, clock time.Time) {
	t.Helper()
	draft = &order.Draft{PO: "golden"}
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		var a asked
		decoder := json.NewDecoder(strings.NewReader(line))
		decoder.DisallowUnknownFields()
		if err := decoder.Decode(&a); err != nil {
			t.Fatalf("order line %d: %v", i+1, err)
		}
		if i == 0 {
			shop, clock, draft.Dealer, draft.Requested = a.Catalog, a.Clock, a.Dealer, a.Requested
			continue
		}
		draft.Lines = append(draft.Lines, order.DraftLine{Product: a.Product, Quantity: fmt.Sprint(a.Quantity), Picks: a.picks(), Ways: a.Ways})
	}
	return draft, shop, clock
}

func TestGoldenBills(t *testing.T) {
	shops := map[string]*catalog.Catalog{"": read(t), "metric": metricShop(t)}
	paths, err := filepath.Glob(filepath.Join(goldenFolder, "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	if len(paths) < 12 {
		t.Errorf("%d golden bills in %s, want at least 12", len(paths), goldenFolder)
	}
	hand := 0
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			if golden(t, shops, path) {
				hand++
			}
		})
	}
	if 3*hand < len(paths) {
		t.Errorf("%d of %d bills are worked apart from the program, want a third", hand, len(paths))
	}
}

// golden compares a file with the bill that its order gives, and tells whether
// it was worked apart from the program.
func golden(t *testing.T, shops map[string]*catalog.Catalog, path string) (hand bool) {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	archive := txtar.Parse(data)
	want := make(map[string]string)
	for _, file := range archive.Files {
		want[file.Name] = string(file.Data)
	}
	_, hand = want["working"]
	if first, _, _ := strings.Cut(string(archive.Comment), "\n"); hand != (first == byHand) || !hand && first != byMachine {
		t.Errorf("the first line is %q, and working is there: %v", first, hand)
	}
	draft, shop, clock := readOrder(t, []byte(want["order.jsonl"]))
	if shops[shop] == nil {
		t.Fatalf("there is no workshop %q", shop)
	}
	o, findings := order.Reckon(shops[shop], draft, clock)
	got := &paper{}
	if o != nil {
		got = paperOf(o)
		readsBack(t, document(t, o.Bill))
	}
	for _, f := range findings {
		got.add("findings", fmt.Sprintf("%s  %s  %q\n", f.Pointer, f.Code, f.Message))
	}
	if *update && !hand {
		rewrite(t, path, archive, got)
		return hand
	}
	delete(want, "order.jsonl")
	delete(want, "working")
	for section, text := range want {
		compare(t, section, text, got.texts[section], hand)
	}
	for _, section := range got.sections {
		if _, found := want[section]; !found {
			t.Errorf("section %s is missing:\n%s", section, got.texts[section])
		}
	}
	return hand
}

func rewrite(t *testing.T, path string, old *txtar.Archive, got *paper) {
	t.Helper()
	fresh := &txtar.Archive{Comment: old.Comment, Files: old.Files[:1]}
	if fresh.Files[0].Name != "order.jsonl" {
		t.Fatalf("the first section is %s, want order.jsonl", fresh.Files[0].Name)
	}
	for _, section := range got.sections {
		fresh.Files = append(fresh.Files, txtar.File{Name: section, Data: []byte(got.texts[section])})
	}
	if err := os.WriteFile(path, txtar.Format(fresh), 0o644); err != nil {
		t.Fatal(err)
	}
}

func compare(t *testing.T, section, want, got string, hand bool) {
	t.Helper()
	wantLines, gotLines := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range max(len(wantLines), len(gotLines)) {
		w, g := at(wantLines, i), at(gotLines, i)
		if w != g && !(hand && sameByHand(w, g)) {
			t.Errorf("%s, line %d:\nwant %s\ngot  %s", section, i+1, w, g)
		}
	}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(nothing)"
}

var decimals = regexp.MustCompile(`^\d+\.(\d+)$`)

// sameByHand compares a line worked by hand with a bill's: columns need not be
// aligned, and a decimal is compared to as many places as were worked out.
func sameByHand(want, got string) bool {
	w, g := strings.Fields(want), strings.Fields(got)
	return slices.EqualFunc(w, g, func(w, g string) bool {
		if w == g {
			return true
		}
		wantPlaces, gotPlaces := decimals.FindStringSubmatch(w), decimals.FindStringSubmatch(g)
		if wantPlaces == nil || gotPlaces == nil || len(gotPlaces[1]) < len(wantPlaces[1]) {
			return false
		}
		exact, ok := new(big.Rat).SetString(g)
		return ok && exact.FloatString(len(wantPlaces[1])) == w
	})
}

// The comparison itself must be able to fail.
func TestAHandFigureOneOffIsFound(t *testing.T) {
	for _, c := range []struct {
		want, got string
		same      bool
	}{
		{"net  3351.451 mm", "net 3351.451034 mm", true},
		{"net 3351.452 mm", "net 3351.451034 mm", false},
		{"net 12.93 lb", "net 12.94 lb", false},
		{"net 12.930 lb", "net 12.93 lb", false},
		{"net 25 1/2 in", "net 25 1/4 in", false},
		{"net 25 1/2 in", "net 25 1/2 in more", false},
	} {
		if sameByHand(c.want, c.got) != c.same {
			t.Errorf("%q against %q: same is %v", c.want, c.got, !c.same)
		}
	}
}
