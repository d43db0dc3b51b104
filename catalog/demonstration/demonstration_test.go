package demonstration

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
)

// read gives the demonstration catalog, or ends the test with every fault.
func read(t *testing.T) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(Files())
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.Fatal("the demonstration catalog cannot be read")
	}
	return cat
}

func product(t *testing.T, cat *catalog.Catalog, code string) *catalog.Product {
	t.Helper()
	p, found := cat.Products.Get(code)
	if !found {
		t.Fatalf("no product %q", code)
	}
	return p
}

// picks reads "length=7 ft; species=white-ash".
func picks(text string) (list []catalog.Pick) {
	for _, item := range strings.Split(text, ";") {
		attribute, value, found := strings.Cut(strings.TrimSpace(item), "=")
		if found {
			list = append(list, catalog.Pick{Attribute: attribute, Text: value})
		}
	}
	return list
}

// check gives a buildable configuration, or ends the test with every finding.
func check(t *testing.T, cat *catalog.Catalog, code, text string) *catalog.Config {
	t.Helper()
	cfg, findings := cat.Check(code, picks(text), cat.Workshop.Effective)
	for _, f := range findings {
		t.Errorf("%s with %s: %s %s: %s", code, text, f.Pointer, f.Code, f.Message)
	}
	if cfg == nil {
		t.Fatalf("%s with %s is refused", code, text)
	}
	return cfg
}

func TestTheCatalogReadsWithoutFaults(t *testing.T) {
	cat := read(t)
	if !cat.Workshop.Demonstration || cat.Workshop.Code != "corrindale" {
		t.Errorf("workshop is %+v, want corrindale, marked as a demonstration", cat.Workshop)
	}
	for code, p := range cat.Products.All() {
		if _, priced := cat.Prices.Get(code.Value); priced == (p.Sample != nil && p.Sample.Free) {
			t.Errorf("%s has no price", code)
		}
	}
}

// The demonstration is as wide as a small workshop's catalog.
func TestTheCatalogIsWideEnough(t *testing.T) {
	cat := read(t)
	pairs, rules, cloths := 0, 0, 0
	for _, finish := range cat.WoodFinishes.All() {
		pairs += len(finish.On)
	}
	for _, p := range cat.Products.All() {
		rules += p.Rules.Len()
	}
	for _, fabric := range cat.Fabrics.All() {
		if !fabric.Own {
			cloths++
		}
	}
	for _, count := range []struct {
		of           string
		there, least int
	}{
		{"products", cat.Products.Len(), 12}, {"species", cat.Species.Len(), 5}, {"pairs of species and wood finish", pairs, 20},
		{"metal finishes", cat.MetalFinishes.Len(), 12}, {"fabrics and leathers", cloths, 40}, {"dealers", cat.Dealers.Len(), 6}, {"rules", rules, 30},
	} {
		if count.there < count.least {
			t.Errorf("%d %s, want at least %d", count.there, count.of, count.least)
		}
	}
	hands := map[int]int{}
	for _, finish := range cat.MetalFinishes.All() {
		hand := 0
		for _, step := range finish.Steps {
			if step.Hand {
				hand++
			}
		}
		hands[hand]++
	}
	for n := range 6 {
		if hands[n] == 0 {
			t.Errorf("no metal finish has %d hand steps: %v", n, hands)
		}
	}
	terms := map[string]bool{}
	for _, dealer := range cat.Dealers.All() {
		terms[dealer.Terms.String()] = true
	}
	if len(terms) != cat.Dealers.Len() {
		t.Errorf("%d dealers have %d different terms", cat.Dealers.Len(), len(terms))
	}
}

func TestFilesComeSortedAndApart(t *testing.T) {
	files := Files()
	if !slices.IsSortedFunc(files, func(a, b source.File) int { return strings.Compare(a.Path, b.Path) }) {
		t.Error("files are not sorted by path")
	}
	clear(files[0].Bytes)
	if bytes.Equal(files[0].Bytes, Files()[0].Bytes) {
		t.Error("changing a file changes the next caller's")
	}
}

func TestEveryFigureNamesItsSource(t *testing.T) {
	cat := read(t)
	named := func(what, source string) {
		if len(strings.TrimSpace(source)) < len("Common practice") {
			t.Errorf("%s: %q is no source", what, source)
		}
	}
	for name, s := range cat.Standards.All() {
		named("standard "+name.Value, s.Source)
	}
	for code, s := range cat.Sections.All() {
		if s.MillWeight != nil {
			named("section "+code.Value, s.Source)
		}
	}
	for code, s := range cat.Species.All() {
		named("species "+code.Value, s.Source)
	}
	for code, c := range cat.Coatings.All() {
		named("coating "+code.Value, c.Source)
	}
	for code, c := range cat.Climates.All() {
		named("climate "+code.Value, c.Source)
	}
	for code, s := range cat.Stone.All() {
		named("stone "+code.Value, s.Source)
	}
	for code, b := range cat.Boards.All() {
		named("board "+code.Value, b.Source)
	}
	for code, f := range cat.Foams.All() {
		named("foam "+code.Value, f.Source)
	}
	named("freight", cat.Freight.Source)
}

// Common practice: scale off before the wash, the wash in five stages before
// powder, powder before its cure, at most five hand steps after it, and a clear
// coat over them (rows P-17 and P-16 of testdata/handbook for wash and cure).
func TestMetalIsFinishedInOrder(t *testing.T) {
	cat := read(t)
	base := []string{"blast", "wash 1 of 5", "wash 2 of 5", "wash 3 of 5", "wash 4 of 5", "wash 5 of 5", "dry", "spray powder", "cure"}
	for code, finish := range cat.MetalFinishes.All() {
		for i, want := range base {
			if i >= len(finish.Steps) || !strings.HasPrefix(finish.Steps[i].Work, want) {
				t.Fatalf("%s: step %d is not %s", code, i+1, want)
			}
		}
		after := finish.Steps[len(base):]
		if len(after) == 0 {
			continue
		}
		byHand := after[:len(after)-1]
		if len(byHand) < 1 || len(byHand) > 5 {
			t.Errorf("%s: %d hand steps, want 1 to 5", code, len(byHand))
		}
		for _, step := range byHand {
			if !step.Hand {
				t.Errorf("%s: %q is no hand step", code, step.Work)
			}
		}
		last := after[len(after)-1]
		if coating, found := cat.Coatings.Get(last.Coating); !found || !coating.Clear {
			t.Errorf("%s ends with %q, want a clear coat", code, last.Work)
		}
	}
}

// line is one line of the example order.
type line struct {
	Product       string            `json:"product"`
	Quantity      int               `json:"quantity"`
	Configuration map[string]string `json:"configuration"`
}

func orderLines(t *testing.T) []line {
	t.Helper()
	var body struct {
		PO           string `json:"po"`
		Sidemark     string `json:"sidemark"`
		ShipTo       string `json:"ship_to"`
		Requested    string `json:"requested"`
		ShipComplete bool   `json:"ship_complete"`
		Lines        []line `json:"lines"`
	}
	decoder := json.NewDecoder(bytes.NewReader(Order()))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&body); err != nil {
		t.Fatal(err)
	}
	if body.PO == "" || body.Sidemark == "" || body.ShipTo == "" || body.Requested != "2027-02-12" || !body.ShipComplete {
		t.Errorf("the order's head is %+v", body)
	}
	return body.Lines
}

func (l line) picks() (list []catalog.Pick) {
	for attribute, text := range l.Configuration {
		list = append(list, catalog.Pick{Attribute: attribute, Text: text})
	}
	slices.SortFunc(list, func(a, b catalog.Pick) int { return strings.Compare(a.Attribute, b.Attribute) })
	return list
}

// What each line of the example order settles to: as picked, or (in brackets)
// as defaulted. An attribute that is not asked is not there.
var settled = map[string]string{
	"brackwater-table": "length=84 in width=36 1/2 in (height=29 in) species=white-ash wood_finish=bare-clear (edge=eased) metal_finish=reed-bronze (stretcher=none)",
	"lodden-round":     "diameter=42 in (height=29 in) (top=glass) (glass=clear-1-2) (glass_edge=flat-polish) legs=bent metal_finish=ember-mottle",
	"sallow-bench":     "length=48 in height=18 1/2 in (metal_finish=soot) cloth=sedge-stripe",
	"pell-stool":       "height=24 in (side=16 in) footrest=bars (metal_finish=soot) cloth=own own_width=54 in own_repeat=13 1/2 in",
}

func TestTheExampleOrderChecks(t *testing.T) {
	cat := read(t)
	lines := orderLines(t)
	if len(lines) != len(settled) {
		t.Fatalf("%d lines, want %d", len(lines), len(settled))
	}
	for i, line := range lines {
		cfg, findings := cat.Check(line.Product, line.picks(), cat.Workshop.Effective)
		for _, f := range findings {
			t.Errorf("line %d: %s %s: %s", i+1, f.Pointer, f.Code, f.Message)
		}
		if cfg == nil {
			continue
		}
		if got := shown(cfg); got != settled[line.Product] {
			t.Errorf("line %d settles to\n  %s\nwant\n  %s", i+1, got, settled[line.Product])
		}
	}
}

func shown(cfg *catalog.Config) string {
	var list []string
	for _, s := range cfg.Settings {
		text := s.Attribute.Code + "=" + s.Value.String()
		if s.Defaulted {
			text = "(" + text + ")"
		}
		list = append(list, text)
	}
	return strings.Join(list, " ")
}

// Worked by hand from prices/dining.yaml for studio-tamsel, whose 50/10 leaves 0.45.
var prices = map[string]struct{ list, net string }{
	// 3920 for 84 in, 285 clear coat, 395 reed bronze, 350 custom width
	"brackwater-table": {"4950.00", "2227.50"},
	// 1860 for 42 in, 180 glass of 1/2 in, 150 bent legs, 410 ember mottle
	"lodden-round": {"2600.00", "1170.00"},
	// 1125 for 48 in, 110 cloth, 140 custom height
	"sallow-bench": {"1375.00", "618.75"},
	// 665 for 24 in, 30 own material
	"pell-stool": {"695.00", "312.75"},
}

func TestTheExampleOrderIsPriced(t *testing.T) {
	cat := read(t)
	for i, line := range orderLines(t) {
		cfg, findings := cat.Check(line.Product, line.picks(), cat.Workshop.Effective)
		if cfg == nil {
			t.Fatalf("line %d: %+v", i+1, findings)
		}
		quote, findings := cat.Price(cfg, "studio-tamsel", cat.Workshop.Effective)
		if quote == nil {
			t.Fatalf("line %d: %+v", i+1, findings)
		}
		want := prices[line.Product]
		if quote.ListUnit.String() != want.list || quote.NetUnit.String() != want.net || quote.ToBeQuoted {
			t.Errorf("line %d: list %s, net %s, to be quoted %v; want list %s, net %s",
				i+1, quote.ListUnit, quote.NetUnit, quote.ToBeQuoted, want.list, want.net)
		}
	}
}

func TestALongTableIsToBeQuoted(t *testing.T) {
	cat := read(t)
	cfg := check(t, cat, "brackwater-table", "length=9 ft; stretcher=h-stretcher")
	quote, findings := cat.Price(cfg, "studio-tamsel", cat.Workshop.Effective)
	if quote == nil {
		t.Fatal(findings)
	}
	if !quote.ToBeQuoted {
		t.Errorf("a table of 108 in is priced at %s, want it to be quoted", quote.NetUnit)
	}
}
