package bom_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/sampling"
	"billwright/catalog/unit"
)

// anyConfig draws a configuration of any product; it is nil when the catalog
// refuses it.
func anyConfig(cat *catalog.Catalog, roll sampling.Dice) *catalog.Config {
	return sampling.Config(cat, roll)
}

func anyConfigOf(cat *catalog.Catalog, product *catalog.Product, roll sampling.Dice) *catalog.Config {
	return sampling.ConfigOf(cat, product, roll)
}

// described is a configuration as its picks, for messages.
func described(c *catalog.Config) string {
	var b strings.Builder
	b.WriteString(c.Product.Code)
	for i := range c.Settings {
		fmt.Fprintf(&b, "; %s=%s", c.Settings[i].Attribute.Code, c.Settings[i].Value)
	}
	return b.String()
}

func TestEveryValidConfigurationMakesASoundBill(t *testing.T) {
	cat := read(t)
	for code, product := range cat.Products.All() {
		t.Run(code.Value, func(t *testing.T) { makesSoundBills(t, cat, product) })
	}
}

func makesSoundBills(t *testing.T, cat *catalog.Catalog, product *catalog.Product) {
	drawn, taken := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		drawn++
		roll := func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "roll") }
		config := anyConfigOf(cat, product, roll)
		if config == nil {
			return
		}
		taken++
		quantity := 1 + roll(12)
		bill, working, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: quantity, Config: config}}, true)
		if len(findings) > 0 {
			t.Fatalf("%s is valid and yet cannot be made: %+v", described(config), findings)
		}
		sound(t, cat, config, bill, quantity)
		twice, _, _ := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2 * quantity, Config: config}}, false)
		doubled(t, bill, twice)
		plain, none, _ := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: quantity, Config: config}}, false)
		if len(working) == 0 || len(none) != 0 || !bytes.Equal(document(t, bill), document(t, plain)) {
			t.Fatalf("%s: the bill depends on whether its working is wanted (%d and %d steps)", described(config), len(working), len(none))
		}
		readsBack(t, document(t, bill))
	})
	if 10*taken < drawn {
		t.Errorf("%d of %d drawn configurations are valid: too few to say anything", taken, drawn)
	}
}

type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
}

func document(t fataler, bill *bom.Bill) []byte {
	t.Helper()
	b, err := bill.Document()
	if err != nil {
		t.Fatalf("document: %v", err)
	}
	return b
}

// readsBack makes sure that a stored bill can be read: what is read is written
// with the same bytes.
func readsBack(t fataler, stored []byte) {
	t.Helper()
	var bill bom.Bill
	if err := json.Unmarshal(stored, &bill); err != nil {
		t.Fatalf("the bill does not read back: %v", err)
	}
	if again := document(t, &bill); !bytes.Equal(stored, again) {
		t.Fatalf("the bill reads back changed:\n%s\n%s", stored, again)
	}
}

// sound holds a bill against what is true of every bill.
func sound(t fataler, cat *catalog.Catalog, config *catalog.Config, bill *bom.Bill, quantity int) {
	t.Helper()
	line := &bill.Lines[0]
	fail := func(format string, args ...any) {
		t.Helper()
		t.Fatalf("%s: %s", described(config), fmt.Sprintf(format, args...))
	}
	pieces := map[string]int{} // by row
	row := func(path string, each, all int) {
		t.Helper()
		if _, twice := pieces[path]; twice {
			fail("%s stands in two rows", path)
		}
		if pieces[path] = all; each < 1 || all != each*quantity {
			fail("%s: %d pieces of %d each in %d", path, all, each, quantity)
		}
	}
	for i := range line.Steel {
		r := &line.Steel[i]
		row(r.Path, r.Each, r.Pieces)
		soundSteel(fail, cat, r)
	}
	soundWelds(fail, line, row)
	for i := range line.Wood {
		r := &line.Wood[i]
		row(r.Path, r.Each, r.Pieces)
		soundWood(fail, cat, r)
	}
	soundBought(fail, line, quantity, row)
	soundCloth(fail, cat, line)
	soundLayouts(fail, bill)
	soundCartons(fail, config, line, row)
	soundMaterials(fail, bill, pieces)
}

type failing func(format string, args ...any)

// soundBought holds panes, hardware, cushions and finish steps against what is
// true of them all.
func soundBought(fail failing, line *bom.LineBill, quantity int, row func(string, int, int)) {
	for i := range line.Glass {
		r := &line.Glass[i]
		row(r.Path, r.Each, r.Pieces)
		if r.Length <= 0 || r.Width <= 0 || r.Thickness <= 0 || r.Weight <= 0 || r.Area <= 0 {
			fail("pane %+v", r)
		}
	}
	for i := range line.Stone {
		r := &line.Stone[i]
		row(r.Path, r.Each, r.Pieces)
		if r.Length <= 0 || r.Width <= 0 || r.Thickness <= 0 || r.Area <= 0 || r.EdgeRun <= 0 || r.Range == nil || r.Range.Least >= r.Weight || r.Range.Most <= r.Weight {
			fail("stone %+v", r)
		}
	}
	for i := range line.Hardware {
		r := &line.Hardware[i]
		row(r.Path, r.Each, r.Pieces)
		if r.Slot != nil && (*r.Slot <= 0 || *r.Slot > 2*unit.Inch) {
			fail("%s: a slot of %s", r.Path, r.Slot)
		}
	}
	for i := range line.Cushions {
		r := &line.Cushions[i]
		row(r.Path, r.Each, r.Pieces)
		if len(r.Cut) == 0 || r.FoamSize.Length <= r.Length || r.FoamSize.Width <= r.Width {
			fail("cushion %+v", r)
		}
	}
	for i := range line.Finish {
		r := &line.Finish[i]
		row(r.Path, r.Pieces/quantity, r.Pieces)
		if r.Area <= 0 || (r.Coating != "") != (r.Powder != nil && *r.Powder > 0 || r.Liquid != nil && *r.Liquid > 0) {
			fail("finish step %+v", r)
		}
	}
}

func soundSteel(fail failing, cat *catalog.Catalog, r *bom.SteelRow) {
	grain := cat.Rounding("steel_cut").To
	// A bar that is drawn out is shorter than the piece, and one that is upset
	// is longer: what is cut is then held against the bar before its loss.
	becomes := r.Finished
	if r.Forging != nil {
		becomes = r.Forging.Stock
	}
	if r.Finished <= 0 || r.Cut <= 0 || r.Cut%grain != 0 || r.Cut < becomes-grain || r.Weight <= 0 || r.Coated <= 0 {
		fail("%s: finished %s, cut %s, weight %s, coated %s", r.Path, r.Finished, r.Cut, r.Weight.In(bom.Inch), r.Coated.In(bom.Inch))
	}
	if r.ShortPoint != nil && (*r.ShortPoint <= 0 || *r.ShortPoint > r.Finished) {
		fail("%s: %s over the short points of %s", r.Path, r.ShortPoint, r.Finished)
	}
	at := unit.Length(0)
	for _, b := range r.Bends {
		if b.At < at || b.At >= r.Finished || b.Radius <= 0 {
			fail("%s: bend %+v in %s", r.Path, b, r.Finished)
		}
		at = b.At
	}
}

// soundWelds holds the joints against their wholes, which they add up to.
func soundWelds(fail failing, line *bom.LineBill, row func(string, int, int)) {
	sums := map[string]bom.WeldedRow{}
	for i := range line.Welds {
		r := &line.Welds[i]
		row(r.Path, r.Each, r.Pieces)
		if r.Deposit <= 0 || r.WireWeight <= r.Deposit || r.Size <= 0 || r.Wire == "" || len(r.Joins) == 0 ||
			r.TotalLength != r.Length*unit.Length(r.Sides*r.Pieces) || (r.Length == 0) != (r.Kind == catalog.Plug) {
			fail("weld %+v", r)
		}
		whole, _, _ := strings.Cut(r.Path, "/weld/")
		sum := sums[whole]
		sum.TotalLength, sum.Deposit = sum.TotalLength+r.TotalLength, sum.Deposit+r.Deposit
		sum.WireWeight, sum.Arc = sum.WireWeight+r.WireWeight, sum.Arc+r.Arc
		sums[whole] = sum
	}
	for i := range line.Welded {
		r := &line.Welded[i]
		row(r.Path, r.Each, r.Pieces)
		sum := sums[r.Path]
		if sum.TotalLength != r.TotalLength || sum.Deposit != r.Deposit || sum.WireWeight != r.WireWeight || sum.Arc != r.Arc {
			fail("the joints of %s come to %+v, the whole is %+v", r.Path, sum, r)
		}
		delete(sums, r.Path)
	}
	if len(sums) > 0 {
		fail("joints of nothing: %v", sums)
	}
}

func soundWood(fail failing, cat *catalog.Catalog, r *bom.WoodRow) {
	along, across := r.Length, r.Width
	if r.Grain == "along the width" {
		along, across = across, along
	}
	edges := unit.Length(0)
	for _, e := range r.Edges {
		edges += e.Length
	}
	if len(r.Edges) > 0 && edges != r.EdgeRun {
		fail("%s: profiles of %s add up to %s of %s", r.Path, bom.Inch.Sides(r.Length, r.Width), edges, r.EdgeRun)
	}
	if r.Blank.Length <= along || r.Blank.Width <= across {
		fail("wood larger than its blank: %+v", r)
	}
	if r.Bought {
		if r.Rough != "" || len(r.Strips) > 0 || r.Net != 0 || r.Gross != 0 || r.Weight <= 0 {
			fail("bought wood %+v", r)
		}
		return
	}
	sum := unit.Length(0)
	for _, strip := range r.Strips {
		if strip <= 0 || strip > 6*unit.Inch {
			fail("%s: a strip of %s", r.Path, strip)
		}
		sum += strip
	}
	if sum != r.Blank.Width || r.RipWidth <= r.Blank.Width {
		fail("%s: strips sum to %s of a blank %s wide, ripped from %s", r.Path, sum, r.Blank.Width, r.RipWidth)
	}
	if r.Net <= 0 || r.Net > r.Gross || r.Movement <= 0 || r.Weight <= 0 {
		fail("wood %+v", r)
	}
	rough, found := cat.Rough.Get(r.Rough)
	if !found || rough.Surfaced < r.Thickness {
		fail("%s: %s of %s", r.Path, r.Thickness, r.Rough)
	}
}

func soundCloth(fail failing, cat *catalog.Catalog, line *bom.LineBill) {
	for i := range line.Cloth {
		r := &line.Cloth[i]
		if r.Hides > 0 {
			if r.Area <= 0 || r.Length != 0 || len(r.Rows) > 0 {
				fail("leather %+v", r)
			}
			continue
		}
		net := unit.Length(0)
		for _, c := range r.Rows {
			if c.InRow < 1 || c.Rows < 1 || c.Run <= 0 {
				fail("cloth row %+v", c)
			}
			net += unit.Length(c.Rows) * c.Run
		}
		bought, needed, to := unit.Length(r.Length), net+r.Pattern+r.Flaws, unit.Length(0)
		for k := range line.Cushions {
			if strings.HasPrefix(r.Path, line.Cushions[k].Path+"/") {
				to = roundedTo(cat, line.Cushions[k].Form)
			}
		}
		if net != r.Net || bought < needed || bought-needed >= to || bought%to != 0 {
			fail("cloth: rows sum to %s, net %s, needed %s, bought %s", net, r.Net, needed, bought)
		}
	}
}

// roundedTo is the fraction that the cloth of a cushion form is bought in.
func roundedTo(cat *catalog.Catalog, name string) unit.Length {
	for _, form := range cat.CushionForms.All() {
		if form.Name == name && form.Rounding != nil {
			return form.Rounding.To
		}
	}
	return cat.Rounding("cloth_rounding").To
}

// The demonstration packs every part that weighs anything in exactly one
// carton, so that the contents of all cartons come to the unit's weight.
func soundCartons(fail failing, config *catalog.Config, line *bom.LineBill, row func(string, int, int)) {
	contents := unit.Mass(0)
	for i := range line.Cartons {
		r := &line.Cartons[i]
		row(r.Path, 1, r.Pieces)
		carton, found := config.Product.Cartons.Get(strings.TrimPrefix(r.Path, "carton/"))
		if !found || r.Grade == "" || (r.Class == "") != (r.Ship != "") || r.Tare <= 0 {
			fail("carton %+v", r)
		}
		soundShipping(fail, line, r)
		contents += unit.Mass(r.Gross-r.Tare) - carton.Packing
	}
	if contents != unit.Mass(line.UnitWeight) {
		fail("the cartons hold %s of %s", bom.Weight(contents).In(bom.Inch), line.UnitWeight.In(bom.Inch))
	}
}

func soundMaterials(fail failing, bill *bom.Bill, pieces map[string]int) {
	cut := make(map[string]unit.Length)
	for i := range bill.Lines[0].Steel {
		cut[bill.Lines[0].Steel[i].Path] = bill.Lines[0].Steel[i].Cut
	}
	for _, m := range bill.Materials() {
		path := m.Path
		for _, part := range []string{"/zip", "/welt-cord", "/foam", "/zip-chain", "/cord", "/thread", "/wrap"} {
			path = strings.TrimSuffix(path, part)
		}
		want, found := pieces[path]
		if cushion, is := strings.CutSuffix(path, "/zip-slider"); is {
			want, found = sliders(bill, cushion)*pieces[cushion], true
		}
		if cloth := clothAt(bill, path); cloth != nil {
			want, found = max(cloth.Hides, 1), true
		}
		if !found || m.Pieces != want || m.Amount <= 0 {
			fail("material %+v: its row has %d pieces", m, want)
		}
		if m.Kind == bom.KindSteel && (m.PieceLength != cut[path] || m.Amount != int64(m.PieceLength)*int64(m.Pieces)) {
			fail("steel %+v, cut %s", m, cut[path])
		}
		delete(cut, path)
	}
	if len(cut) > 0 {
		fail("no material for %v", cut)
	}
}

func clothAt(bill *bom.Bill, path string) *bom.ClothRow {
	for i := range bill.Lines[0].Cloth {
		if row := &bill.Lines[0].Cloth[i]; row.Path == path {
			return row
		}
	}
	return nil
}

// sliders is how many zip sliders one cushion has.
func sliders(bill *bom.Bill, path string) int {
	for i := range bill.Lines[0].Cushions {
		for _, t := range bill.Lines[0].Cushions[i].Trimmings {
			if t.Path == path+"/zip-slider" {
				return t.Pieces
			}
		}
	}
	return 0
}

// doubled holds a bill against that of twice the quantity. Steel, lumber,
// hardware and cartons double; a coating doubles but for the grain of its
// rounding; cloth is laid together and never takes more than twice as much.
func doubled(t fataler, once, twice *bom.Bill) {
	t.Helper()
	if once.Lines[0].UnitWeight != twice.Lines[0].UnitWeight {
		t.Fatalf("one weighs %s, of twice as many %s", once.Lines[0].UnitWeight.In(bom.Inch), twice.Lines[0].UnitWeight.In(bom.Inch))
	}
	a, b := once.Materials(), twice.Materials()
	if len(a) != len(b) {
		t.Fatalf("%d materials, of twice the quantity %d", len(a), len(b))
	}
	for i := range a {
		off := b[i].Amount - 2*a[i].Amount
		switch a[i].Kind {
		case bom.KindCloth, bom.KindOwnMaterial:
			if off > 0 || b[i].Pieces != a[i].Pieces {
				t.Fatalf("%+v, of twice the quantity %+v", a[i], b[i])
			}
			continue
		case bom.KindLeather: // whole hides
			if off < -100 || off > 100 || b[i].Pieces > 2*a[i].Pieces {
				t.Fatalf("%+v, of twice the quantity %+v", a[i], b[i])
			}
			continue
		case bom.KindSteel, bom.KindHardware, bom.KindGlass, bom.KindStone, bom.KindCarton, bom.KindFoam:
			if off != 0 {
				t.Fatalf("%+v, of twice the quantity %+v", a[i], b[i])
			}
		default: // one grain of rounding at each of a few steps, by an efficiency down to 1/10
			if off < -100 || off > 100 {
				t.Fatalf("%+v, of twice the quantity %+v", a[i], b[i])
			}
		}
		if b[i].Pieces != 2*a[i].Pieces || b[i].PieceLength != a[i].PieceLength {
			t.Fatalf("%+v, of twice the quantity %+v", a[i], b[i])
		}
	}
}

// randomLines draws as many valid lines as asked, always the same for a seed.
func randomLines(t testing.TB, cat *catalog.Catalog, seed uint64, n int) []bom.Line {
	t.Helper()
	source := rand.New(rand.NewPCG(seed, 0))
	var lines []bom.Line
	for tries := 0; len(lines) < n; tries++ {
		if tries > 100*n {
			t.Fatalf("%d valid lines in %d tries", len(lines), tries)
		}
		if config := anyConfig(cat, source.IntN); config != nil {
			lines = append(lines, bom.Line{Number: len(lines) + 1, Quantity: 1 + source.IntN(20), Config: config})
		}
	}
	return lines
}

func TestTheSameOrderGivesTheSameBytes(t *testing.T) {
	cat := read(t)
	const orders = 200
	explodeAll := func(processors int) [][]byte {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		documents := make([][]byte, orders)
		done := make(chan int)
		for i := range orders {
			lines := randomLines(t, cat, uint64(i), 1+i%5)
			go func() {
				defer func() { done <- i }()
				if bill, _, findings := bom.Explode(cat, lines, i%2 == 0); len(findings) == 0 {
					documents[i], _ = bill.Document() // an error leaves it empty, which is found below
				}
			}()
		}
		for range orders {
			<-done
		}
		return documents
	}
	first := explodeAll(1)
	for _, other := range [][][]byte{explodeAll(1), explodeAll(2)} {
		for i := range first {
			if len(first[i]) == 0 || !bytes.Equal(first[i], other[i]) || bom.Hash(first[i]) != bom.Hash(other[i]) {
				t.Fatalf("order %d differs:\n%s\n%s", i, first[i], other[i])
			}
		}
	}
	if bytes.Equal(first[0], first[1]) {
		t.Error("different orders give the same bytes")
	}
}

func BenchmarkExplode(b *testing.B) {
	cat := read(b)
	lines := randomLines(b, cat, 1, 1000)
	explode := func(line bom.Line) bool { bill, _, _ := bom.Explode(cat, []bom.Line{line}, false); return bill != nil }
	record := func(line bom.Line) bool { bill, _, _ := bom.Record(cat, []bom.Line{line}); return bill != nil }
	write := func(line bom.Line) bool { bill, _, _ := bom.Explode(cat, []bom.Line{line}, true); return bill != nil }
	for _, c := range []struct {
		name    string
		explode func(bom.Line) bool
	}{{"bill", explode}, {"bill and recording", record}, {"bill and working", write}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				line := lines[n%len(lines)]
				line.Number = 1
				if !c.explode(line) {
					b.Fatal("refused")
				}
				n++
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "lines/s")
		})
	}
}
