package bom_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

func line(t testing.TB, cat *catalog.Catalog, quantity int, product, text string) *bom.LineBill {
	t.Helper()
	return &explode(t, cat, quantity, product, text).Lines[0]
}

// finding is the one finding of a line that cannot be made, whether the catalog
// tells it or the explosion.
func finding(t testing.TB, cat *catalog.Catalog, product, text string) catalog.Finding {
	t.Helper()
	config, findings := cat.Check(product, picks(text), cat.Workshop.Effective)
	if config != nil {
		_, _, findings = bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	}
	if len(findings) != 1 {
		t.Fatalf("%s with %s has the findings %v, want one", product, text, findings)
	}
	return findings[0]
}

// A metric workshop's document has no inch in it, and reads back to the same
// bytes.
func TestAMetricBillIsMetricThroughout(t *testing.T) {
	cat := metricShop(t)
	for _, c := range []struct{ product, text string }{
		{"orrin-table", "length=72 in"}, {"tove-bench", ""}, {"tove-bench", "cloth=bracken-check"}, {"tove-bench", "cloth=moss-velvet"},
		{"quill-screen", ""}, {"heron-stand", ""}, {"plover-rack", ""},
	} {
		bill := explode(t, cat, 3, c.product, c.text)
		text := string(document(t, bill))
		readsBack(t, []byte(text))
		if !strings.HasPrefix(text, `{"arithmetic":2,"revision":0,"units":"metric",`) {
			t.Errorf("%s begins %.60s", c.product, text)
		}
		for _, imperial := range []string{` in"`, ` in x`, ` lb`, ` bf"`, ` ft2"`, ` yd"`, ` gal"`} {
			if at := strings.Index(text, imperial); at >= 0 {
				t.Errorf("%s with %s: %q in %s", c.product, c.text, imperial, text[max(0, at-80):at+8])
			}
		}
		for _, m := range bill.Materials() {
			if strings.HasSuffix(m.Item, " in") || strings.Contains(m.Item, " in ") {
				t.Errorf("%s is bought as %q", m.Path, m.Item)
			}
		}
	}
	// 72 in is 1828.8 mm, and 11 m are what 35 ft of clearance comes to.
	table := string(document(t, explode(t, cat, 1, "orrin-table", "length=72 in")))
	for _, must := range []string{`"length":"1828.8 mm"`, `"radius":"60 mm"`, "within 11 m", ` kg."`[:3], ` kg/m3"`, ` m3"`, ` L"`} {
		if !strings.Contains(table, must) {
			t.Errorf("no %s in %s", must, table)
		}
	}
}

func TestAMetricWorkingIsMetric(t *testing.T) {
	cat := metricShop(t)
	for _, c := range []struct{ product, text string }{{"orrin-table", "length=72 in"}, {"tove-bench", ""}, {"tove-bench", "cloth=bracken-check"},
		{"quill-screen", ""}, {"heron-stand", ""}} {
		config, findings := cat.Check(c.product, picks(c.text), cat.Workshop.Effective)
		if config == nil {
			t.Fatal(findings)
		}
		_, working, _ := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: config}}, true)
		all := ""
		for _, w := range working {
			all += w.Path + ", " + w.Figure + ": " + w.Text + "\n"
			for _, imperial := range []string{" in ", " in·", " lb", " ft2", " yd", " bf"} {
				if strings.Contains(w.Text+" ", imperial) && !strings.Contains(w.Text, " in a row") {
					t.Errorf("%s, %s: %s", w.Path, w.Figure, w.Text)
				}
			}
		}
		for _, must := range map[string][]string{
			"orrin-table":  {"top, length: length = 1828.8 mm\n", "seasonal movement: 700 mm across the grain · 1/400 a percent · (3/25 - 3/50) = 10.5 mm, shown as 10.5 mm\n"},
			"quill-screen": {"base/hoop, developed length: 2·(606 mm - 6 mm + 406 mm - 6 mm) - 8·60 mm + 2·pi·60 mm = 1896.991", "base/scroll, developed length: scroll from radius 20 mm to 110 mm over 1.5 turns: "},
			"plover-rack": {"base/bracket, arc 2: (6 mm + 2/5·6 mm)·90°·pi/180 = 13.194689 mm\n", "base/bracket, bend deduction 2: 2·12 mm - 13.194689 mm = 10.805311 mm\n",
				"base/bracket, straight 3: 80 mm - 12 mm - 4.970563 mm = 63.029437 mm\n", "base/rod, arc 2: 60 mm·90°·pi/180 = 94.24778 mm\n", "base/spreader, parent length: 200 mm + 2·29.166667 mm = 258.333334 mm\n"},
			"heron-stand": {"base/post, parent length: 600 mm + 50 mm = 650 mm\n", "base/post, stock: 650 mm / (1 - 1/20 scale loss) = 684.21", "base/pin, parent length: 120 mm - 18 mm + 18 mm upset from 55.125 mm = 157.125 mm\n", "base/stay, bar before twisting: 490 mm / (1 - 1/50) = 500 mm\n"},
			"tove-bench":  {"seat, length: length = 1200 mm\n", "seat/cloth, "},
		}[c.product] {
			if !strings.Contains(all, must) {
				t.Errorf("no %q in\n%s", must, all)
			}
		}
	}
}

func TestBoughtBlanksHaveNoLumber(t *testing.T) {
	cat := metricShop(t)
	bill := explode(t, cat, 3, "orrin-table", "")
	top := bill.Lines[0].Wood[0]
	if !top.Bought || top.Rough != "" || top.Strips != nil || top.RipWidth != 0 || top.Net != 0 || top.Gross != 0 {
		t.Errorf("a bought top is %+v", top)
	}
	if text := string(document(t, bill)); !strings.Contains(text, `"blank":{"length":"1620 mm","width":"710 mm"},"blank_bought":true,"edge"`) {
		t.Errorf("the bought blank is written as %s", text)
	}
	bought := 0
	for _, m := range bill.Materials() {
		if m.Kind == bom.KindBlank {
			bought++
			if m.Path != "top" || m.Item != "elm-panel 1620 mm x 710 mm x 24 mm" || m.Pieces != 3 || m.Amount != 3 || m.Measure != bom.Each {
				t.Errorf("blanks bought as %+v", m)
			}
		}
		if m.Kind == bom.KindLumber && m.Path == "top" {
			t.Errorf("lumber for a bought blank: %+v", m)
		}
	}
	if bought != 1 {
		t.Errorf("%d kinds of blank, want 1", bought)
	}
	// One piece: 1220 x 260 mm of 32 mm larch, 0.01015 m3, at 60 % 0.01692 m3.
	shelf := bill.Lines[0].Wood[1]
	if shelf.Bought || len(shelf.Strips) != 0 || shelf.RipWidth != shelf.Blank.Width || shelf.Rough != "32-mm" || shelf.Net.In(bom.Metric) != "0.0305 m3" || shelf.Gross.In(bom.Metric) != "0.0508 m3" {
		t.Errorf("a one-piece shelf is %+v", shelf)
	}
}

func TestAnOpenWoodIsNamedAsEntered(t *testing.T) {
	cat := metricShop(t)
	open := line(t, cat, 1, "orrin-table", "top=smoked walnut")
	listed := line(t, cat, 1, "orrin-table", "top=elm-panel")
	if got := open.Wood[0].Species; got != "smoked walnut (reckoned as Elm panel)" {
		t.Errorf("the top is of %q", got)
	}
	if open.Wood[1].Species != "Larch" || listed.Wood[0].Species != "Elm panel" {
		t.Errorf("shelf of %q, listed top of %q", open.Wood[1].Species, listed.Wood[0].Species)
	}
	if open.UnitWeight != listed.UnitWeight || open.Wood[0].Blank != listed.Wood[0].Blank {
		t.Errorf("an open wood is reckoned otherwise than the one it is reckoned as")
	}
}

func TestABendNeedsItsJig(t *testing.T) {
	cat := metricShop(t)
	for _, radius := range []string{"40 mm", "60 mm", "90 mm"} {
		if bends := line(t, cat, 1, "orrin-table", "foot_radius="+radius).Steel[1].Bends; len(bends) != 2 || bom.Metric.Length(bends[0].Radius) != radius {
			t.Errorf("bends on %s: %+v", radius, bends)
		}
	}
	f := finding(t, cat, "orrin-table", "foot_radius=61 mm")
	if f.Code != "bend.no-jig" || f.Pointer != "/configuration/foot_radius" || !strings.Contains(f.Message, "61 mm, and the hearth jig bends to 40 mm, 60 mm, 90 mm only") {
		t.Errorf("61 mm: %+v", f)
	}
}

func TestBendsStartAtTheShopsFraction(t *testing.T) {
	bends := line(t, metricShop(t), 1, "orrin-table", "").Steel[1].Bends
	// The second starts at 150 + 60·pi/2 + 300 = 544.2478 mm, to 0.5 mm.
	if bends[0].At != 150*unit.Millimetre || bends[1].At != 544*unit.Millimetre {
		t.Errorf("bends at %s and %s", bends[0].At, bends[1].At)
	}
}

func TestAGroupCountsAtAnyDepth(t *testing.T) {
	cat := metricShop(t)
	pieces := make(map[string]string)
	for _, text := range []string{"length=1600 mm", "length=1900 mm"} {
		bill := line(t, cat, 5, "orrin-table", text)
		for _, r := range bill.Steel {
			pieces[text+" "+r.Path] = fmt.Sprint(r.Each, " of ", r.Pieces)
		}
		for _, f := range bill.Finish {
			if strings.HasPrefix(f.Path, "base/") && f.Pieces != 5 {
				t.Errorf("%s: %d bases finished, want 5", f.Path, f.Pieces)
			}
		}
	}
	want := map[string]string{ // 2 trestles of 2 sides each
		"length=1600 mm base/trestle/side/leg": "4 of 20", "length=1600 mm base/trestle/foot": "2 of 10",
		"length=1900 mm base/trestle/side/leg": "4 of 20", "length=1900 mm base/trestle/foot": "2 of 10", "length=1900 mm base/trestle/side/brace": "4 of 20",
	}
	if fmt.Sprint(pieces) != fmt.Sprint(want) {
		t.Errorf("steel is %v, want %v", pieces, want)
	}
}

// Several wood, glass and cushion parts stand in one product, each with its own
// rows, finish, weight and requirements.
func TestSeveralPartsOfAKindStandInOneProduct(t *testing.T) {
	cat := metricShop(t)
	table := line(t, cat, 2, "orrin-table", "length=1900 mm")
	paths := ""
	for _, r := range table.Wood {
		paths += r.Path + " "
	}
	for _, r := range table.Glass {
		paths += r.Path + " "
	}
	for _, f := range table.Finish {
		paths += f.Path + " "
	}
	if want := "top shelf pane strip-pane base/finish/1 base/finish/2 base/finish/3 top/finish/1 top/finish/2 shelf/finish/1 shelf/finish/2 "; paths != want {
		t.Errorf("rows are %s, want %s", paths, want)
	}
	if packs := table.Cartons[0].Packs; fmt.Sprint(packs) != "[base top shelf pane strip-pane foot]" {
		t.Errorf("packs %v", packs)
	}
	sum := bom.Weight(0)
	for _, r := range table.Steel {
		sum += r.Weight
	}
	for _, r := range table.Wood {
		sum += r.Weight
	}
	for _, r := range table.Glass {
		sum += r.Weight
	}
	for _, r := range table.Hardware {
		sum += r.Weight
	}
	if sum != 2*table.UnitWeight {
		t.Errorf("two weigh %s by their rows, one weighs %s", sum.In(bom.Metric), table.UnitWeight.In(bom.Metric))
	}
}

func TestGroupsFinishedTwiceAreRefused(t *testing.T) {
	const nested = `
products:
  twice:
    name: Twice
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 10 mm, to: 20 mm, step_inch: 1/64 in, step_metric: 1 mm}, default: 10 mm}
    parts:
      outer:
        metal_finish: "'slate'"
        parts:
          inner:
            metal_finish: "'slate'"
            parts:
              bar: {steel: {section: square-20, straight: length}}
`
	files, _ := source.ReadDir(metricFiles())
	_, faults := catalog.Read(append(files, source.File{Path: "extra.yaml", Bytes: []byte(nested)}))
	if len(faults) != 1 || !strings.Contains(faults[0].Error(), "outer around it is finished as one already") {
		t.Errorf("faults %v", faults)
	}
}

func TestLeatherIsReckonedByArea(t *testing.T) {
	cat := metricShop(t)
	bill := explode(t, cat, 2, "tove-bench", "")
	if len(bill.Lines[0].Cloth) != 1 {
		t.Fatalf("one leather for both cushions, not %+v", bill.Lines[0].Cloth)
	}
	// Two benches: 4 plates of 474 x 1224 mm, 2 boxings of 104 mm by 3324 and two
	// joins of 24 mm, 8 plates of 324 x 524 mm: 2.320704 + 0.701376 + 1.358208 =
	// 4.380288 m2, times 1.5 is 6.570432 m2; of hides of 4.5 m2, two.
	hide := bill.Lines[0].Cloth[0]
	if hide.Area != bom.Surface(6_570_432*unit.SquareMillimetre) || hide.Hides != 2 || hide.Length != 0 || hide.Net != 0 || hide.Usable != 0 || len(hide.Rows) != 0 {
		t.Errorf("leather is %+v", hide)
	}
	if hide.Needed(bom.Metric) != "6.57 m2 in 2 hides" {
		t.Errorf("needed: %s", hide.Needed(bom.Metric))
	}
	if text := string(document(t, bill)); !strings.Contains(text, `"cloth":[{"path":"seat/cloth","cloth":"Tan hide","own_material":false,"repeat":"0 mm","rows":[],"area":"6.57 m2","hides":2}]`) {
		t.Errorf("leather is written as %s", text)
	}
	for _, m := range bill.Materials() {
		if m.Path == "seat/cloth" && (m.Kind != bom.KindLeather || m.Item != "tan-hide" || m.Pieces != 2 || m.Amount != int64(hide.Area) || m.Measure != bom.Area) {
			t.Errorf("leather is bought as %+v", m)
		}
	}
	boxing := bill.Lines[0].Cushions[0].Cut[1]
	if !boxing.Joined || boxing.Across != 3324*unit.Millimetre {
		t.Errorf("boxing %+v", boxing)
	}
	if one := line(t, cat, 1, "tove-bench", "").Cloth[0]; one.Needed(bom.Metric) != "3.29 m2 in 1 hide" {
		t.Errorf("one bench needs %s", one.Needed(bom.Metric))
	}
}

func TestAPieceLargerThanTheHideIsRefused(t *testing.T) {
	cat := metricShop(t)
	// A seat of 1270 mm makes plates of 1294 mm, which fit; one of 1280 mm, of
	// 1304 mm, not.
	line(t, cat, 1, "tove-bench", "length=1270 mm")
	f := finding(t, cat, "tove-bench", "length=1280 mm")
	if f.Code != "leather.too-small" || !strings.Contains(f.Message, "a piece of 474 mm x 1304 mm is larger than the clear part of a hide of Tan hide, which is 1300 mm x 700 mm") {
		t.Errorf("1280 mm: %+v", f)
	}
}

func TestPatternedClothByTheTable(t *testing.T) {
	cloth := line(t, metricShop(t), 3, "tove-bench", "cloth=bracken-check").Cloth
	if len(cloth) != 2 || cloth[0].Path != "seat/cloth" || cloth[1].Path != "bolster/cloth" {
		t.Fatalf("cloths %+v", cloth)
	}
	// Seats, by the table: 6 plates 474 along, one in a row: 2844 mm; 3 boxings of
	// 3324 from 1400, 2 full widths and a rest of 3324 - 2·1376 = 572, two in a
	// row: 6 + 2 rows of 104: 832 mm. 3676 mm; 320 + 280 mm is 15 %: 551.4 mm;
	// flaws 2 % and 3 % of 4227.4 mm: 211.37 mm; 4438.77 mm is 4.5 m.
	seat := cloth[0]
	for _, c := range []struct {
		got  unit.Length
		want string
	}{{seat.Net, "3676 mm"}, {seat.Pattern, "551.4 mm"}, {seat.Flaws, "211.37 mm"}, {unit.Length(seat.Length), "4500 mm"}} {
		if bom.Metric.Length(c.got) != c.want {
			t.Errorf("seat cloth %s, want %s", bom.Metric.Length(c.got), c.want)
		}
	}
	// Bolsters, by whole repeats: 12 plates of 524 mm, two in a row: 6 rows of
	// 324, cut as 640 mm: 3840 mm; flaws 2 %: 76.8; 3916.8 is 4.0 m by 100 mm.
	bolster := cloth[1]
	if bolster.Rows[0].Run != 640*unit.Millimetre || bolster.Pattern != 0 || bom.Metric.Length(bolster.Flaws) != "76.8 mm" || bolster.Length != bom.Cloth(4*unit.Metre) {
		t.Errorf("bolster cloth %+v", bolster)
	}
}

func TestARepeatBeyondTheTableIsRefused(t *testing.T) {
	cat := metricShop(t, source.File{Path: "wide.yaml", Bytes: []byte(`
fabrics:
  wide-check: {name: Wide check, goods_width: 1420 mm, usable_width: 1400 mm, repeat: 400 mm, repeat_across: 300 mm}
`)})
	f := finding(t, cat, "tove-bench", "cloth=wide-check")
	if f.Code != "formula.failed" || !strings.Contains(f.Message, "pattern-share") {
		t.Errorf("a repeat of 700 mm: %+v", f)
	}
}

// Velvet runs up the roll: it may be railroaded and yet is never turned.
func TestClothUpTheRollIsNeverTurned(t *testing.T) {
	cat := metricShop(t)
	turned := line(t, cat, 1, "tove-bench", "length=1400 mm; cloth=bracken-check").Cushions[0].Cut[0]
	if !turned.Railroaded {
		t.Errorf("a plate of 1424 mm from 1400 mm: %+v", turned)
	}
	f := finding(t, cat, "tove-bench", "length=1400 mm; cloth=moss-velvet")
	if f.Code != "cloth.too-narrow" || !strings.Contains(f.Message, "one whose pattern may lie on its side") {
		t.Errorf("velvet: %+v", f)
	}
}

// What takes less than a twentieth of a minute still takes time.
func TestAShortStepTakesTime(t *testing.T) {
	for _, f := range line(t, metricShop(t), 1, "orrin-table", "").Finish {
		if f.Path == "top/finish/2" && f.Minutes != 1 {
			t.Errorf("a step of 1/100 min takes %s", f.Minutes)
		}
		if f.Path == "base/finish/3" && f.Minutes != 0 {
			t.Errorf("a wait takes %s", f.Minutes)
		}
	}
}

// The catalog dates the very kinds that bills ask for, own material as cloth.
func TestTheCatalogDatesEveryKind(t *testing.T) {
	shop := metricShop(t) // whose need_by has each kind
	var want []string
	for _, kind := range bom.Kinds {
		if kind.Name != bom.KindOwnMaterial {
			want = append(want, kind.Name)
		}
	}
	got := shop.NeedBy.Keys()
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("need_by is of %v, bills ask for %v", got, want)
	}
	files, _ := source.ReadDir(metricFiles())
	_, faults := catalog.Read(append(files, source.File{Path: "extra.yaml", Bytes: []byte("need_by: {zzzz: 3}\n")}))
	if len(faults) != 1 {
		t.Fatalf("faults %v", faults)
	}
	for _, kind := range want {
		if !strings.Contains(faults[0].Error(), kind) {
			t.Errorf("the catalog does not know of %s: %v", kind, faults[0])
		}
	}
	if listed := strings.Count(faults[0].Error(), ",") + 1; listed != len(want) {
		t.Errorf("the catalog knows of %d kinds, bills of %d: %v", listed, len(want), faults[0])
	}
}

// Every material of the bills above is of a kind that the reference lists.
func TestKindsAreThoseOfBills(t *testing.T) {
	names := make(map[string]bool)
	for _, kind := range bom.Kinds {
		if names[kind.Name] || !strings.HasSuffix(kind.Doc, ".") {
			t.Errorf("kind %q: %q", kind.Name, kind.Doc)
		}
		names[kind.Name] = true
	}
	used := make(map[string]bool)
	shop, demo := metricShop(t), read(t)
	bills := []*bom.Bill{explode(t, shop, 1, "orrin-table", ""), explode(t, shop, 1, "tove-bench", ""), explode(t, shop, 1, "tove-bench", "cloth=moss-velvet"),
		explode(t, demo, 1, "sallow-bench", ""), explode(t, demo, 1, "marrick-trestle", ""), explode(t, demo, 1, "hesselow-pedestal", ""), explode(t, demo, 1, "pell-stool", "cloth=own; own_width=54 in; own_repeat=0 in")}
	for _, bill := range bills {
		for _, m := range bill.Materials() {
			used[m.Kind] = true
		}
	}
	if len(used) != len(names) {
		t.Errorf("used %v, listed %v", used, names)
	}
	for kind := range used {
		if !names[kind] {
			t.Errorf("kind %q is not listed", kind)
		}
	}
}
