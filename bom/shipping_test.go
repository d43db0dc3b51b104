package bom_test

import (
	"fmt"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// boxes is a product that packs panes of 20 x 14 x 1/2 in, of 12.64 lb each
// (20 · 14 · 1/2 / 1728 ft3 at 156 lb/ft3), with what a test writes for its
// carton. Of the board each panel takes 1/8 in, its thickness 1/8 in as well.
const boxes = `
boards:
  eighth:
    name: Eighth
    length_gain: 1/8 in
    depth_gain: 1/4 in
    joint: 1 in
    weight: 0.1 lb/ft2
    caliper: 1/8 in
    grades: [{grade: thin, gross: 50 lb, united: 60 in, ect: 32 lb/in}, {grade: thick, gross: 2000 lb, united: 300 in, ect: 60 lb/in}]
    source: Made for the tests
glass:
  half: {name: Half inch, thickness: 1/2 in, safety: tempered}
parcels:
  post:
    name: Post
    heaviest: 40 lb
    longest: 30 in
    length_and_girth: 80 in
    rules: [{from: 2020-01-01, divisor: 200 in3/lb, sides: {mode: up, to: 1 in}, weights_to: 1 lb, source: Made for the tests}]
    source: Made for the tests
pallets:
  deck: {name: Deck, length: 48 in, width: 40 in, height: 6 in, weight: 40 lb, highest: 60 in, load: 400 lb, source: Made for the tests}
  low: {name: Low deck, length: 48 in, width: 40 in, height: 6 in, weight: 40 lb, highest: 10 in, load: 400 lb, source: Made for the tests}
  made: {name: Made, height: 4 in, weight_by_area: 3 lb/ft2, highest: 90 in, load: 400 lb, source: Made for the tests}
lifts:
  easy: {name: easily, horizontal: 10 in, vertical: 30 in, travel: 10 in, coupling: good, frequency: 1, source: Made for the tests}
  far: {name: far out, horizontal: 25 in, vertical: 0 in, travel: 70 in, angle: 135, coupling: poor, frequency: 0.5, source: Made for the tests}
handling:
  way: {ship: SHIP}
products:
  panes:
    name: Panes
    lead_days: 1
    attributes:
      panes: {name: Panes, count: {from: 1, to: 60}, default: 2}
    parts:
      pane:
        pieces: panes
        glass: {glass: "'half'", length: "len('20 in')", width: "len('14 in')", height: "len('50 in')", edge: "'ground'"}
      pads:
        pieces: 2
        hardware: {item: glide}
      base:
        when: panes == 60
        parts:
          rod: {steel: {section: round-bar-1-2, straight: "len('30 in')"}}
    cartons:
      box: {packs: [pane, pads, base], board: eighth, envelope: {ENVELOPE}, handling: way, lift: easy}
`

const sized = "sizes: {base: {length: len('30 in'), width: len('5 in'), depth: len('2 in')}}"

// boxed explodes a line of panes, or gives the findings.
func boxed(t *testing.T, ship, envelope string, quantity, panes int) (*bom.LineBill, []bom.Working, []catalog.Finding) {
	t.Helper()
	text := strings.NewReplacer("SHIP", ship, "ENVELOPE", envelope+", "+sized).Replace(boxes)
	cat := readWith(t, text)
	config, findings := cat.Check("panes", picks(fmt.Sprintf("panes=%d", panes)), cat.Workshop.Effective)
	if config == nil {
		t.Fatal(findings)
	}
	bill, working, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: quantity, Config: config}}, true)
	if bill == nil {
		return nil, nil, findings
	}
	return &bill.Lines[0], working, nil
}

const (
	loose  = "freight, measured_to: 1 in"
	snug   = "cushioning: len('2 in')"
	apart  = "cushioning: len('2 in'), between: len('1/4 in')"
	beside = "lay: side by side, cushioning: len('1 in'), between: len('1/4 in')"
)

func TestTheInsideIsWhatIsPackedAndItsCushioning(t *testing.T) {
	for _, c := range []struct {
		envelope string
		panes    int
		want     string
	}{
		{snug, 1, "24 in x 18 in x 4 1/2 in"},
		{snug, 4, "24 in x 18 in x 6 in"},           // 4 · 1/2 + 4
		{apart, 4, "24 in x 18 in x 6 3/4 in"},      // and 3 pads
		{beside, 3, "22 in x 44 1/2 in x 2 1/2 in"}, // 3 · 14 + 2 · 1/4 + 2
		{snug, 60, "34 in x 18 in x 36 in"},         // 60 · 1/2 + 2 + 4, the base is longer
	} {
		line, _, findings := boxed(t, loose, c.envelope, 1, c.panes)
		if line == nil {
			t.Errorf("%s, %d panes: %+v", c.envelope, c.panes, findings)
			continue
		}
		r := line.Cartons[0]
		if got := bom.Inch.Sides(r.Length, r.Width, r.Depth); got != c.want {
			t.Errorf("%s, %d panes: inside %s, want %s", c.envelope, c.panes, got, c.want)
		}
		// 1/8 in of board: twice in length and width, four times in depth
		if o := r.Outside; o.Length != r.Length+unit.Inch/4 || o.Width != r.Width+unit.Inch/4 || o.Depth != r.Depth+unit.Inch/2 {
			t.Errorf("outside %+v of inside %s", o, c.want)
		}
	}
}

func TestOutsideSidesAreWhatATapeShows(t *testing.T) {
	thin := 3 * unit.Millimetre
	board := &catalog.Board{Caliper: &thin}
	inside := [3]unit.Length{20 * unit.Inch, 10 * unit.Inch, 5 * unit.Inch}
	// 20.2362, 10.2362 and 5.4724 in, up to 1/64 in
	got, err := bom.CartonOutside(inside, inside, board, unit.Rounding{Mode: unit.Up, To: unit.Inch / 64})
	if err != nil || bom.Inch.Sides(got[:]...) != "20 1/4 in x 10 1/4 in x 5 31/64 in" {
		t.Errorf("outside %v, %v", got, err)
	}
}

// Two panes take 24 1/4 x 18 1/4 x 5 1/2 in outside: 25 x 19 x 6 = 2850, / 200 = 14.25,
// up to 15 lb; 25.28 lb of panes, 0.1 lb of pads and 1.39 lb of board are more: 27 lb.
func TestAParcelIsBilledByTheGreater(t *testing.T) {
	line, _, findings := boxed(t, "parcel, parcel: post, measured_to: 1 in", snug, 3, 2)
	if line == nil {
		t.Fatal(findings)
	}
	r := line.Cartons[0]
	p := r.Parcel
	if r.Ship != "parcel" || r.Class != "" || len(line.Units) != 0 || bom.Inch.Sides(p.Length, p.Width, p.Height) != "25 in x 19 in x 6 in" || p.Girth != 75*unit.Inch ||
		p.Dimensional != bom.Weight(15*unit.Pound) || p.Billed != bom.Weight(27*unit.Pound) || p.RuleFrom != "2020-01-01" {
		t.Errorf("%s, %+v of %s gross", r.Ship, p, r.Gross.In(bom.Inch))
	}
}

func TestOverALimitItGoesByFreightOrIsRefused(t *testing.T) {
	for _, c := range []struct {
		envelope string
		panes    int
		says     string
	}{
		{snug, 4, "gross is over the 40.00 lb of a parcel"},
		{"cushioning: len('5 in')", 1, "31 in is over the 30 in of a parcel's longest side"},
		{"cushioning: len('3 1/2 in')", 1, "length and girth of 88 in are over the 80 in of a parcel"},
	} {
		line, _, findings := boxed(t, "parcel, parcel: post, measured_to: 1 in", c.envelope, 1, c.panes)
		if line != nil || len(findings) != 1 || findings[0].Code != "carton.over-parcel" || !strings.Contains(findings[0].Message, c.says) || !strings.Contains(findings[0].Message, "by limits or by freight") {
			t.Errorf("%s, %d panes by parcel: %+v", c.envelope, c.panes, findings)
		}
		line, working, findings := boxed(t, "by limits, parcel: post, measured_to: 1 in", c.envelope, 2, c.panes)
		if line == nil || line.Cartons[0].Ship != "freight" || len(line.Units) != 1 || line.Units[0].Units != 2 {
			t.Errorf("%s, %d panes by limits: %+v, %+v", c.envelope, c.panes, line, findings)
			continue
		}
		told := false
		for _, w := range working {
			told = told || w.Figure == "ship" && strings.Contains(w.Text, c.says)
		}
		if !told {
			t.Errorf("%s: the working does not tell why it goes by freight: %v", c.envelope, working)
		}
	}
}

// A carton of 4 panes is 24 1/4 x 18 1/4 x 6 1/2 in and weighs 50.56 lb of glass,
// 0.1 lb of pads and 1.45 lb of board. Two lie on a deck of 48 x 40 in: 1 x 2, or
// turned 2 x 1.
func TestCartonsStandOnPallets(t *testing.T) {
	const stacked = "stacking: {formula: contents, layers: 5, source: Made for the tests}"
	for _, c := range []struct {
		ship     string
		quantity int
		want     string
	}{
		// by itself: up to 25 x 19 x 7 in
		{loose, 3, "3 of 1 in 1: 25 in x 19 in x 7 in, "},
		// 2 in a layer; without stacking one layer
		{"freight, pallets: deck, measured_to: 1 in", 5, "2 of 2 in 1: 48 in x 40 in x 13 in, Deck; 1 of 1 in 1: 48 in x 40 in x 13 in, Deck"},
		// the load of 400 lb bears 7, where 5 layers would be 10
		{"freight, pallets: deck, measured_to: 1 in, " + stacked, 20, "2 of 7 in 4: 48 in x 40 in x 32 in, Deck; 1 of 6 in 3: 48 in x 40 in x 26 in, Deck"},
		// the low deck leaves 4 in, so that it is taken second; one stack on a skid
		{"freight, pallets: [low, made], measured_to: 1 in, " + stacked, 7, "1 of 5 in 5: 25 in x 19 in x 37 in, Made; 1 of 2 in 2: 25 in x 19 in x 17 in, Made"},
	} {
		line, _, findings := boxed(t, c.ship, snug, c.quantity, 4)
		if line == nil {
			t.Errorf("%s: %+v", c.ship, findings)
			continue
		}
		var rows []string
		for i, u := range line.Units {
			rows = append(rows, fmt.Sprintf("%d of %d in %d: %s, %s", u.Units, u.Cartons, u.Layers, bom.Inch.Sides(u.Length, u.Width, u.Height), u.Pallet))
			if u.Path != fmt.Sprintf("carton/box/unit/%d", i+1) || u.Class == "" {
				t.Errorf("%+v", u)
			}
		}
		if got := strings.Join(rows, "; "); got != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.ship, got, c.want)
		}
	}
}

// A skid of 24 1/4 x 18 1/4 in at 3 lb/ft2 weighs 9.22 lb.
func TestASkidIsAsLargeAsItsCarton(t *testing.T) {
	line, _, _ := boxed(t, "freight, pallets: made, measured_to: 1 in", snug, 1, 4)
	u, r := line.Units[0], line.Cartons[0]
	if got := (u.Weight - r.Gross).In(bom.Inch); got != "9.22 lb" {
		t.Errorf("the skid weighs %s", got)
	}
}

func TestWhatNoPalletTakesIsRefused(t *testing.T) {
	for _, c := range []struct {
		ship, envelope string
		panes          int
		says           string
	}{
		{"freight, pallets: low, measured_to: 1 in", snug, 4, "Low deck goes up to 10 in with its 6 in of height, and the carton is 6 1/2 in"},
		{"freight, pallets: deck, measured_to: 1 in", "cushioning: len('15 in')", 4, "Deck has a deck of 48 in x 40 in, and the carton is 50 1/4 in x 44 1/4 in"},
		{"freight, pallets: deck, measured_to: 1 in", snug, 50, "Deck bears 400.00 lb, and the carton weighs "},
	} {
		line, _, findings := boxed(t, c.ship, c.envelope, 1, c.panes)
		if line != nil || len(findings) != 1 || findings[0].Code != "carton.no-pallet" || !strings.Contains(findings[0].Message, c.says) {
			t.Errorf("%s, %d panes: %+v", c.ship, c.panes, findings)
		}
	}
}

// 60 panes and the base: panels 34 1/8 + 18 1/8 in, perimeter 104 1/2 in of 1/8 in
// board of 60 lb/in: 5.87 · 60 · root(13.0625) = 1272.92 lb, / 2 = 636.46 lb, less
// than the 763 lb of one. 20 panes: 24 1/8 + 18 1/8, 84 1/2 in and 14 1/4 in deep:
// root(10.5625) = 3.25, 1144.65 lb, / 2 = 572.32, over 254.80 lb twice: three.
func TestStacksByTheStrengthOfTheBoard(t *testing.T) {
	const halved = ", stacking: {formula: simplified, safety_factor: 2, source: Made for the tests}"
	for _, c := range []struct {
		panes          int
		strength, safe string
		layers         int
	}{
		{60, "1272.92 lb", "636.46 lb", 1},
		{20, "1144.65 lb", "572.32 lb", 3},
		{4, "0.00 lb", "0.00 lb", 1}, // 84 1/2 in around and 6 1/4 in deep: no figure
	} {
		line, _, findings := boxed(t, loose+halved, snug, 1, c.panes)
		if line == nil {
			t.Errorf("%d panes: %+v", c.panes, findings)
			continue
		}
		s := line.Cartons[0].Stack
		if s.Strength.In(bom.Inch) != c.strength || s.SafeLoad.In(bom.Inch) != c.safe || s.Layers != c.layers || (s.Reason != "") != (s.Strength == 0) {
			t.Errorf("%d panes of %s: bears %s, safely %s, %+v", c.panes, line.Cartons[0].Gross.In(bom.Inch), s.Strength.In(bom.Inch), s.SafeLoad.In(bom.Inch), s)
		}
	}
	// The metric form is the same: 1 kN/m is 5.710147 lb/in.
	metric, err := bom.Compression(crush(t, "10 kN/m"), 4*unit.Millimetre, 2*unit.Metre, false)
	// 5.87 · 10 kN/m · root(0.008 m2) = 5.25029 kN = 535.38 kg
	if err != nil || metric.In(bom.Metric) != "535.38 kg" {
		t.Errorf("10 kN/m bear %s, %v", metric.In(bom.Metric), err)
	}
}
