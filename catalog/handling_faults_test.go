package catalog_test

import (
	"slices"
	"testing"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// travels is added to the small catalog, with the change of each case.
const travels = `
boards:
  measured:
    name: Measured
    length_gain: 1/8 in
    depth_gain: 1/4 in
    joint: 1 in
    weight: 0.1 lb/ft2
    caliper: 3 mm
    grades: [{grade: G, gross: 500 lb, united: 300 in, ect: 32 lb/in}]
    source: made up
parcels:
  post:
    name: Post
    heaviest: 70 lb
    longest: 60 in
    length_and_girth: 108 in
    rules:
      - {from: 2020-01-01, divisor: 166 in3/lb, sides: {mode: nearest, to: 1 in}, weights_to: 1 lb, source: made up}
      - {from: 2025-08-18, divisor: 139 in3/lb, sides: {mode: up, to: 1 in}, weights_to: 1 lb, source: made up}
    source: made up
pallets:
  deck: {name: Deck, length: 48 in, width: 40 in, height: 5 in, weight: 40 lb, highest: 60 in, load: 900 lb, source: made up}
handling:
  any: {ship: by limits, parcel: post, pallets: [deck], measured_to: 1 in, stacking: {formula: simplified, safety_factor: 4, source: made up}}
lifts:
  up: {name: upwards, horizontal: 15 in, vertical: 20 in, travel: 20 in, angle: 30, coupling: fair, frequency: 0.94, source: made up}
`

func withTravels(t testing.TB, changes ...change) []source.File {
	t.Helper()
	return append(small(t), edit(t, []source.File{{Path: "travels.yaml", Bytes: []byte(travels)}}, changes...)...)
}

// Each has every fault that Read must find.
var brokenTravels = []struct {
	old, new string
	faults   []string
}{
	{"divisor: 139 in3/lb", "divisor: 0 in3/lb", []string{`travels.yaml:20:37: parcels › post › rules › 2 › divisor: "0 in3/lb": a divisor is more than zero`}},
	{"divisor: 139 in3/lb", "divisor: 139", []string{`travels.yaml:20:37: parcels › post › rules › 2 › divisor: "139" is not a divisor: write a number, a space and one of in3/lb or cm3/kg`}},
	{"from: 2025-08-18", "from: 2019-08-18", []string{`travels.yaml:14:5: parcels › post › rules › 2 › from: 2019-08-18 is not after 2020-01-01 of the rule before it; write the rules from the oldest`}},
	{"sides: {mode: up, to: 1 in}", "sides: {mode: up, to: 0 in}", []string{`travels.yaml:14:5: parcels › post › rules › 2 › sides › to: 0 in is not more than zero`}},
	{"heaviest: 70 lb", "heaviest: 0 lb", []string{`travels.yaml:14:5: parcels › post › heaviest: the weight 0 g is not more than zero`}},
	{"length_and_girth: 108 in", "length_and_girth: 50 in", []string{`travels.yaml:14:5: parcels › post › length_and_girth: length and girth of 50 in are less than the longest side of 60 in; write the longest side and twice the two others together`}},
	{"length: 48 in, width: 40 in,", "length: 48 in,", []string{`travels.yaml:23:9: pallets › deck: only one side of the deck is given; write length and width, or neither for a skid that is made to size`}},
	{"weight: 40 lb", "weight: 40 lb, weight_by_area: 3 lb/ft2", []string{`travels.yaml:23:9: pallets › deck: weight and weight_by_area are given together; write exactly one of weight, weight_by_area`}},
	{"weight: 40 lb, ", "", []string{`travels.yaml:23:9: pallets › deck: none of weight, weight_by_area is given; write exactly one of weight, weight_by_area`}},
	{"highest: 60 in", "highest: 5 in", []string{`travels.yaml:23:9: pallets › deck › highest: 5 in leaves no room over a pallet of 5 in; write the height of the loaded pallet, the pallet included`}},
	{"parcel: post, ", "", []string{`travels.yaml:25:8: handling › any: no parcel terms are named; write which under "parcel", or ship by freight`}},
	{"ship: by limits", "ship: freight", []string{`travels.yaml:25:8: handling › any › parcel: nothing goes as a parcel by freight; leave it out, or ship by limits`}},
	{"ship: by limits", "ship: parcel", []string{`travels.yaml:25:8: handling › any › pallets: parcels stand on no pallet; leave it out, or ship by limits`}},
	{"pallets: [deck]", "pallets: [dek]", []string{`travels.yaml:25:50: handling › any › pallets: there is no pallet "dek"; did you mean "deck"?`}},
	{"parcel: post", "parcel: pots", []string{`travels.yaml:25:8: handling › any › parcel: there is no parcel terms "pots"; did you mean "post"?`}},
	{"safety_factor: 4", "safety_factor: 1/2", []string{`travels.yaml:25:8: handling › any › stacking › safety_factor: a factor of 1/2 lets more stand on a carton than it bears; write 1 or more, such as 4`}},
	{", safety_factor: 4", "", []string{`travels.yaml:25:8: handling › any › stacking: the strength is divided by nothing; write a safety_factor of 1 or more, such as 4`}},
	{"safety_factor: 4", "safety_factor: 4, layers: 3", []string{`travels.yaml:25:8: handling › any › stacking › layers: how many stand on one another follows from the strength; leave it out, or write formula: contents`}},
	{"formula: simplified, safety_factor: 4", "formula: contents, layers: 0", []string{`travels.yaml:25:8: handling › any › stacking › layers: 0 layers; write 1 to 100`}},
	{"formula: simplified", "formula: contents, layers: 3", []string{`travels.yaml:25:8: handling › any › stacking › safety_factor: no strength is reckoned where the contents bear the load; write layers instead`}},
	{"    caliper: 3 mm\n", "", []string{`travels.yaml:4:5: boards › measured: grades have an edge crush strength and the board no thickness, so that no stack can be reckoned; write the board's caliper`}},
	{"ect: 32 lb/in", "ect: 32", []string{`travels.yaml:10:61: boards › measured › grades › 1 › ect: "32" is not a strength by length: write a number, a space and one of lb/in or kN/m`}},
	{"horizontal: 15 in", "horizontal: 26 in", []string{`travels.yaml:27:7: lifts › up › horizontal: nothing may be lifted by hand at 26 in; the lifting equation ends at 25 in`}},
	{"vertical: 20 in", "vertical: 71 in", []string{`travels.yaml:27:7: lifts › up › vertical: nothing may be lifted by hand at 71 in; the lifting equation ends at 70 in`}},
	{"angle: 30", "angle: 136", []string{`travels.yaml:27:7: lifts › up › angle: nothing may be lifted turned by 136 degrees; write 0 to 135`}},
	{"frequency: 0.94", "frequency: 0", []string{`travels.yaml:27:7: lifts › up › frequency: 0 is not a share; write more than 0 and up to 1, such as 0.70 or 70 %`}},
	{"coupling: fair", "coupling: firm", []string{`travels.yaml:27:95: lifts › up › coupling: expected one of good, fair, poor, found "firm"`}},
}

func TestFaultsOfHandling(t *testing.T) {
	read(t, withTravels(t))
	for _, b := range brokenTravels {
		c := change{b.old, b.new}
		_, faults := catalog.Read(withTravels(t, c))
		if got := sentences(faults); !slices.Equal(got, b.faults) {
			t.Errorf("%q for %q:\ngot  %q\nwant %q", b.new, b.old, got, b.faults)
		}
	}
}

// A carton has three formulas or an envelope, and what it names is there.
func TestFaultsOfEnvelopes(t *testing.T) {
	const soft, all = "packs: cushion, board: single-c, length: frame_length, width: frame_width, depth: len('4 in')", "packs: [base, top, pane, tab, glide], board: single-c, length: length + len('4 in'), width: width + len('4 in'), depth: len('33 in')"
	const sized = "sizes: {base: {length: length, width: width, depth: len('27 in')}}"
	read(t, edit(t, small(t), change{soft, "packs: cushion, board: single-c, envelope: {cushioning: len('1 in')}"},
		change{all, "packs: [base, top, pane, tab, glide], board: single-c, envelope: {lay: stacked, cushioning: len('1 in'), between: len('1/4 in'), " + sized + "}"}))
	for _, c := range []struct {
		old, new string
		faults   []string
	}{
		{soft, "packs: cushion, board: single-c, length: frame_length, envelope: {cushioning: len('1 in')}", []string{
			`products/table.yaml:59:13: products › tarn-table › cartons › soft › length: the envelope gives the length already; leave it out, or write length, width and depth and no envelope`}},
		{soft, "packs: cushion, board: single-c, length: frame_length, depth: len('4 in')", []string{
			`products/table.yaml:59:13: products › tarn-table › cartons › soft: the key "width" is missing; write length, width and depth of the inside, or an envelope`}},
		{soft, "packs: cushion, board: single-c, envelope: {lay: stacked}", []string{
			`products/table.yaml:59:83: products › tarn-table › cartons › soft › envelope: the key "cushioning" is missing; Left on each of the six sides, a length formula.`}},
		{soft, "packs: glide, board: single-c, envelope: {cushioning: len('1 in')}", []string{
			`products/table.yaml:59:81: products › tarn-table › cartons › soft › envelope: nothing that is packed has a size; write under sizes what room it takes`}},
		{soft, "packs: cushion, board: single-c, envelope: {cushioning: len('0 in')}", []string{
			`products/table.yaml:59:96: products › tarn-table › cartons › soft › envelope › cushioning: the formula comes to 0 in whatever is picked; a length is more than zero`}},
		{soft, "packs: cushion, board: single-c, envelope: {cushioning: len('1 in'), sizes: {cushon: {length: length, width: width, depth: width}}}", []string{
			`products/table.yaml:59:125: products › tarn-table › cartons › soft › envelope › sizes › cushon: there is no part "cushon"; did you mean "cushion"?`}},
		{soft, "packs: cushion, board: single-c, envelope: {cushioning: len('1 in'), sizes: {top: {length: length, width: width, depth: width}}}", []string{
			`products/table.yaml:59:122: products › tarn-table › cartons › soft › envelope › sizes › top: the carton does not pack top; name it under packs, or leave its size out`}},
		{soft, "packs: base/leg, board: single-c, envelope: {cushioning: len('1 in')}", []string{
			`products/table.yaml:59:47: products › tarn-table › cartons › soft › envelope: base/leg is of steel, and no row of the bill tells what room it takes; write under sizes how large it, or the group that it is welded into, is over all`}},
		{soft, "packs: cushion, board: single-c, envelope: {cushioning: len('1 in')}, handling: ani, lift: down", []string{
			`products/table.yaml:59:13: products › tarn-table › cartons › soft › handling: there is no handling "ani"; the catalog has none`,
			`products/table.yaml:59:13: products › tarn-table › cartons › soft › lift: there is no lift "down"; the catalog has none`}},
		{"top: {when: top == 'wood', wood", "top: {lift: high, when: top == 'wood', wood", []string{
			`products/table.yaml:52:12: products › tarn-table › parts › top › lift: there is no lift "high"; the catalog has none`}},
	} {
		_, faults := catalog.Read(edit(t, small(t), change{c.old, c.new}))
		if got := sentences(faults); !slices.Equal(got, c.faults) {
			t.Errorf("%q:\ngot  %q\nwant %q", c.new, got, c.faults)
		}
	}
}

// Scales of freight: each rises, and no two begin on one day.
func TestFaultsOfFurtherScales(t *testing.T) {
	const old = `{class: "50"}` + "\n"
	for scales, want := range map[string][]string{
		`{from: 2015-01-01, source: made up, classes: [{below: 6 lb/ft3, class: "150"}, {class: "85"}]}`: nil,
		`{from: 2025-07-19, source: made up, classes: [{class: "85"}]}`:                                  {`materials.yaml:69:3: freight › scales › 1 › from: two scales begin on 2025-07-19; give each its own first day`},
		`{from: 2015-01-01, source: made up, classes: []}`:                                               {`materials.yaml:69:3: freight › scales › 1 › classes: the scale has no classes; write its steps`},
		`{from: 2015-01-01, source: made up, classes: [{below: 6 lb/ft3, class: "150"}, {below: 5 lb/ft3, class: "85"}, {class: "50"}]}`: {
			`materials.yaml:69:3: freight › scales › 1 › classes › 2 › below: the limit of class 85 is not above that of class 150 before it; write the steps from the lightest`},
	} {
		cat, faults := catalog.Read(edit(t, small(t), change{old, old + "  scales:\n    - " + scales + "\n"}))
		if got := sentences(faults); !slices.Equal(got, want) {
			t.Errorf("%s:\ngot  %q\nwant %q", scales, got, want)
		}
		if cat == nil {
			continue
		}
		for day, class := range map[string]string{"2010-01-01": "85", "2025-07-18": "85", "2025-07-19": "50", "2027-01-01": "50"} {
			scale := cat.Freight.On(dayOf(t, day))
			if got := scale.Classes[len(scale.Classes)-1].Class; got != class {
				t.Errorf("on %s the last class is %s of the scale from %s, want %s", day, got, scale.From, class)
			}
		}
	}
}

// The scale and the rule of a day.
func TestTheDayPicksScaleAndRule(t *testing.T) {
	cat := read(t, withTravels(t))
	post, _ := cat.Parcels.Get("post")
	for day, want := range map[string]string{"2019-12-31": "166 in3/lb", "2020-01-01": "166 in3/lb", "2025-08-17": "166 in3/lb", "2025-08-18": "139 in3/lb", "2030-01-01": "139 in3/lb"} {
		if got := post.On(dayOf(t, day)).Divisor.String(); got != want {
			t.Errorf("on %s the divisor is %s, want %s", day, got, want)
		}
	}
}

func dayOf(t *testing.T, text string) (d calendar.Date) {
	t.Helper()
	if err := d.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestWeightsOfDivisorsAndEdges(t *testing.T) {
	for text, want := range map[string]string{"139 in3/lb": "139 in3/lb", "5000 cm3/kg": "5000 cm3/kg"} {
		var d catalog.Divisor
		if err := d.UnmarshalText([]byte(text)); err != nil || d.String() != want {
			t.Errorf("%s reads as %s, %v", text, d, err)
		}
	}
	var d catalog.Divisor
	if err := d.UnmarshalText([]byte("5000 cm3/kg")); err != nil {
		t.Fatal(err)
	}
	if m, err := d.Mass(10 * unit.Litre); m != 2*unit.Kilogram || err != nil {
		t.Errorf("10 L count for %s, %v", m, err)
	}
	var pounds, kilonewtons catalog.EdgeCrush
	if err := pounds.UnmarshalText([]byte("44 lb/in")); err != nil || pounds.String() != "44 lb/in" {
		t.Errorf("%s, %v", pounds, err)
	}
	if err := kilonewtons.UnmarshalText([]byte("7.7 kN/m")); err != nil || kilonewtons.String() != "7.7 kN/m" {
		t.Errorf("%s, %v", kilonewtons, err)
	}
}
