package bom_test

import (
	"encoding/json"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog/unit"
)

// sheetGoods are things that come in sheets, beyond the demonstration's.
const sheetGoods = `
glass:
  float: {name: Plain float, thickness: 1/4 in, safety: none, sheets: {sizes: [{length: 96 in, width: 60 in}], kerf: 0 in, trim: 1/2 in, oversize: 1/8 in}}
stone:
  lias: {name: Lias, thickness: 1 in, density: 150 lb/ft3, sheets: {sizes: [{length: 60 in, width: 40 in}], trim: 1 in}, source: Made for the tests}
species:
  ply: {name: Plywood, blanks: bought, density: 38 lb/ft3, movement: 0, source: Made for the tests, sheets: {sizes: [{length: 97 in, width: 49 in, thickness: 3/4 in, price: 61.50}], grain: yes, trim: 1/2 in}}
wood_finishes:
  plain: {name: Plain, clear: yes, on: [ply], steps: [{do: oil, minutes: 1}]}
products:
  sheeted:
    name: Sheeted
    lead_days: 1
    attributes:
      what: {name: What, choose: {values: {pane: Pane, drilled: Drilled by the vendor, stone: Stone, panel: Panel}}, default: pane}
      length: {name: Length, size: {from: 1 in, to: 200 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 36 in}
      width: {name: Width, size: {from: 1 in, to: 200 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 24 in}
      thickness: {name: Thickness, size: {from: 1/4 in, to: 2 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 3/4 in}
    parts:
      pane: {when: what == 'pane', pieces: 3, glass: {glass: "'float'", length: length, width: width, height: "len('50 in')", edge: "'ground'"}}
      drilled: {when: what == 'drilled', glass: {glass: "'float'", length: length, width: width, height: "len('50 in')", edge: "'ground'", work: [{do: drill, by: vendor}]}}
      stone: {when: what == 'stone', stone: {stone: "'lias'", shape: round, length: length, edge: "'eased'"}}
      panel: {when: what == 'panel', wood: {species: "'ply'", finish: "'plain'", length: length, width: width, thickness: thickness, edge: "'square'"}}
`

// Worked by hand: 3 panes of 24 x 36 in, ground off 1/8 in, are cut 24 1/8 x
// 36 1/8 in: 871 33/64 in2 each, 2614.546875 in2 in all, 18.16 ft2. A round of
// 36 in is cut from a square. A panel of 36 x 24 in has a blank of 37 x 24 1/2 in,
// of which the grain runs along 37 in. What no sheet gives, or not in that
// thickness, and what the vendor works on, is bought to size.
func TestSheetCutsByHand(t *testing.T) {
	cat := readWith(t, sheetGoods)
	for _, c := range []struct {
		with, kind, item string
		pieces           int
		length, width    unit.Length
		amount           string
	}{
		{"", bom.KindGlass, "float", 6, 36*unit.Inch + unit.Inch/8, 24*unit.Inch + unit.Inch/8, "36.31 ft2"},
		{"length=95 in; width=59 in", bom.KindGlass, "float rectangle 95 in x 59 in ground", 6, 0, 0, ""},
		{"length=58 in; width=94 in", bom.KindGlass, "float", 6, 58*unit.Inch + unit.Inch/8, 94*unit.Inch + unit.Inch/8, "227.96 ft2"},
		{"what=drilled", bom.KindGlass, "float rectangle 36 in x 24 in ground, drill", 2, 0, 0, ""},
		{"what=stone", bom.KindStone, "lias", 2, 36 * unit.Inch, 36 * unit.Inch, "18.00 ft2"},
		{"what=stone; length=38 1/2 in", bom.KindStone, "lias round 38 1/2 in eased", 2, 0, 0, ""},
		{"what=panel", bom.KindBlank, "ply 3/4 in", 2, 37 * unit.Inch, 24*unit.Inch + unit.Inch/2, "12.59 ft2"},
		{"what=panel; thickness=1/2 in", bom.KindBlank, "ply 37 in x 24 1/2 in x 1/2 in", 2, 0, 0, ""},
		{"what=panel; length=40 in; width=60 in", bom.KindBlank, "ply 41 in x 60 1/2 in x 3/4 in", 2, 0, 0, ""}, // along the grain it would be turned
	} {
		bill := explode(t, cat, 2, "sheeted", c.with)
		materials := bill.Materials()
		m := materials[0]
		if m.Kind != c.kind || m.Item != c.item || m.Pieces != c.pieces || m.PieceLength != c.length || m.PieceWidth != c.width {
			t.Errorf("%s: %+v", c.with, m)
			continue
		}
		document, err := bill.Document()
		if err != nil {
			t.Fatal(err)
		}
		var read bom.Bill
		if err := json.Unmarshal(document, &read); err != nil {
			t.Fatal(err)
		}
		if has := strings.Contains(string(document), `"sheet":{`); has != (c.width > 0) {
			t.Errorf("%s: the bill tells of a sheet: %v", c.with, has)
		}
		if c.width > 0 && (m.Measure != bom.Area || bom.Surface(m.Amount).In(bom.Inch) != c.amount) {
			t.Errorf("%s: %s of %s, want %s", c.with, bom.Surface(m.Amount).In(bom.Inch), m.Measure, c.amount)
		}
	}
	// 2 units of 3 panes: twice what is worked above.
	if got := explode(t, cat, 2, "sheeted", "").Materials()[0].Amount; got != 2*(2614*int64(unit.SquareInch)+int64(unit.SquareInch)*546875/1_000_000) {
		t.Errorf("%s", unit.Area(got))
	}
	stock, found := bom.SheetStockOf(cat, bom.KindBlank, "ply 3/4 in")
	if !found || stock.Name != "Plywood, 3/4 in" || len(stock.Sizes) != 1 {
		t.Errorf("%+v", stock)
	}
	if _, found := bom.SheetStockOf(cat, bom.KindBlank, "ply 1/2 in"); found {
		t.Error("there are sheets of 1/2 in")
	}
}

// The demonstration cuts its plain mirror, and no other, from sheets; the working
// tells how.
func TestThePlainMirrorIsCutFromSheets(t *testing.T) {
	cat := read(t)
	row := explode(t, cat, 1, "osmere-mirror", "").Lines[0].Glass[0]
	if row.Sheet == nil || row.Sheet.Item != "mirror-1-4" || row.Sheet.Length != row.Length+unit.Inch/8 || row.Sheet.Width != row.Width+unit.Inch/8 || !row.Sheet.Turn {
		t.Errorf("%+v", row.Sheet)
	}
	if row := explode(t, cat, 1, "osmere-mirror", "mirror=mirror-backed-1-4").Lines[0].Glass[0]; row.Sheet != nil {
		t.Errorf("the laminated one: %+v", row.Sheet)
	}
}
