package difference_test

import (
	"bytes"
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/difference"
	"billwright/catalog/source"
)

// plain is the demonstration as it is; a catalog never changes.
var plain = sync.OnceValues(func() (*catalog.Catalog, []source.Fault) { return catalog.Read(demonstration.Files()) })

func read(t *testing.T, edits ...string) *catalog.Catalog {
	t.Helper()
	if cat, faults := plain(); len(edits) == 0 && faults == nil {
		return cat
	}
	files := demonstration.Files()
	for i := 0; i < len(edits); i += 2 {
		found := false
		for k := range files {
			if changed := bytes.Replace(files[k].Bytes, []byte(edits[i]), []byte(edits[i+1]), 1); !bytes.Equal(changed, files[k].Bytes) {
				files[k].Bytes, found = changed, true
				break
			}
		}
		if !found {
			t.Fatalf("no file of the demonstration has %q", edits[i])
		}
	}
	return readFiles(t, files)
}

func readFiles(t *testing.T, files []source.File) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(files)
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

func sentences(changes []difference.Change) []string {
	all := make([]string, len(changes))
	for i, c := range changes {
		all[i] = c.String()
	}
	return all
}

// Each edit of the demonstration is told in the trade's words, and nothing else
// is.
func TestChangesInTheTradesWords(t *testing.T) {
	for name, test := range map[string]struct {
		edits []string
		want  []string
	}{
		"nothing":                   {nil, nil},
		"written in another unit":   {[]string{"length: 1/8 in\n    source: \"Cold saw", "length: 3.175 mm\n    source: \"Cold saw"}, nil},
		"day":                       {[]string{"effective: 2026-11-02", "effective: 2026-12-01"}, []string{"workshop: effective: was 2026-11-02, becomes 2026-12-01"}},
		"standard's value":          {[]string{"length: 1/8 in\n    source: \"Cold saw", "length: 3/32 in\n    source: \"Cold saw"}, []string{"standard saw_kerf: length: was 1/8 in, becomes 3/32 in"}},
		"standard's source":         {[]string{"source: Common practice; the last piece", "source: Measured; the last piece"}, []string{"standard kerf_placement: source: was Common practice; the last piece of a bar ends at the trim, becomes Measured; the last piece of a bar ends at the trim"}},
		"standard's rounding":       {[]string{"steel_finished:\n    rounding: {mode: nearest, to: 1/32 in}", "steel_finished:\n    rounding: {mode: up, to: 1/32 in}"}, []string{"standard steel_finished: rounding › mode: was nearest, becomes up"}},
		"product's name":            {[]string{"name: Sallow bench", "name: Sallow settle"}, []string{"product sallow-bench (Sallow bench): name: was Sallow bench, becomes Sallow settle"}},
		"lead time":                 {[]string{"collection: Sallow\n    lead_days: 30", "collection: Sallow\n    lead_days: 35"}, []string{"product sallow-bench (Sallow bench): lead days: was 30, becomes 35"}},
		"price":                     {[]string{"list: 1125.00", "list: 1150"}, []string{"price of sallow-bench (Sallow bench): size class Up to 48 in long › list: was 1125.00, becomes 1150.00"}},
		"price's condition":         {[]string{"{for: Up to 60 in long, where: {length: over 48 in}", "{for: Up to 60 in long, where: {length: at least 49 in}"}, []string{"price of sallow-bench (Sallow bench): size class Up to 60 in long › where length: was over 48 in, becomes at least 49 in"}},
		"condition in another unit": {[]string{"{for: Up to 60 in long, where: {length: over 48 in}", "{for: Up to 60 in long, where: {length: over 4 ft}"}, nil},
		"addition removed":          {[]string{"      - {for: Grade C cloth, where: {cloth: sedge-stripe}, add: 110.00}\n", ""}, []string{"price of sallow-bench (Sallow bench): addition Grade C cloth removed"}},
		"terms":                     {[]string{"terms: 50/10", "terms: 50/5"}, []string{"dealer studio-tamsel (Studio Tamsel): terms: was 50/10, becomes 50/5"}},
		"rule's sentence": {[]string{"says: A bench lower than 17 in is made up to 48 in long, since its middle legs leave no room to get a broom under it; make it shorter or higher.", "says: Shorter, please."},
			[]string{"product sallow-bench (Sallow bench): rule low-bench-is-short › sentence: was A bench lower than 17 in is made up to 48 in long, since its middle legs leave no room to get a broom under it; make it shorter or higher., becomes Shorter, please."}},
		"rule's condition": {[]string{"where: {length: over 48 in}\n        need: height >= len('17 in')", "where: {length: over 54 in}\n        need: height >= len('17 in')"},
			[]string{`product sallow-bench (Sallow bench): rule "A bench lower than 17 in is made up to 48 in long, since its middle legs leave no room to get a broom under it; make it shorter or higher." › where length: was over 48 in, becomes over 54 in`}},
		"rule removed": {[]string{"      low-bench-is-short:\n        says: A bench lower than 17 in is made up to 48 in long, since its middle legs leave no room to get a broom under it; make it shorter or higher.\n        where: {length: over 48 in}\n        need: height >= len('17 in')\n", ""},
			[]string{`product sallow-bench (Sallow bench): rule "A bench lower than 17 in is made up to 48 in long, since its middle legs leave no room to get a broom under it; make it shorter or higher." removed`}},
		"figure": {[]string{"seat_depth: len('16 in')", "seat_depth: len('17 in')"}, []string{"product sallow-bench (Sallow bench): figure seat_depth: was len('16 in'), becomes len('17 in')"}},
		"part's formula": {[]string{"straight: seat_depth - len('1/4 in')\n", "straight: seat_depth - len('1/2 in')\n"},
			[]string{"product sallow-bench (Sallow bench): part base (Frame) › part slat (Slat) › steel › straight › length: was seat_depth - len('1/4 in'), becomes seat_depth - len('1/2 in')"}},
		"part added": {[]string{"      strap:\n        name: Cushion strap\n", "      tag:\n        name: Hang tag\n        hardware: {item: glide}\n      strap:\n        name: Cushion strap\n", "packs: [base, cushion, strap, label, glide]", "packs: [base, cushion, strap, label, glide, tag]"},
			[]string{"product pell-stool (Pell stool): part tag (Hang tag) added", "product pell-stool (Pell stool): carton whole › packs tag added"}},
		"packing": {[]string{"        packing: 6 lb\n", "        packing: 6.5 lb\n"}, []string{"product sallow-bench (Sallow bench): carton whole › packing: was 6 lb, becomes 6.5 lb"}},
		"largest size and standard size": {[]string{"          to: 60 in\n          step_inch: 1/8 in\n          step_metric: 1 mm\n          standard: [36 in, 48 in, 60 in]", "          to: 66 in\n          step_inch: 1/8 in\n          step_metric: 1 mm\n          standard: [48 in, 36 in, 60 in, 66 in]"},
			[]string{"product sallow-bench (Sallow bench): attribute length (Length) › size › to: was 60 in, becomes 66 in", "product sallow-bench (Sallow bench): attribute length (Length) › size › standard size 66 in added"}},
		"default": {[]string{"          standard: [36 in, 48 in, 60 in]\n        default: 48 in\n", "          standard: [36 in, 48 in, 60 in]\n        default: 36 in\n"}, []string{"product sallow-bench (Sallow bench): attribute length (Length) › default: was 48 in, becomes 36 in"}},
		"default gone": {[]string{"          standard: [36 in, 48 in, 60 in]\n        default: 48 in\n", "          standard: [36 in, 48 in, 60 in]\n"},
			[]string{"product sallow-bench (Sallow bench): attribute length (Length) › default: was 48 in, becomes nothing"}},
		"finish step": {[]string{"{do: rub wax along the edges, hand: yes, coating: rubbing-wax, minutes: 8,", "{do: rub wax along the edges, hand: yes, coating: rubbing-wax, minutes: 9.5,"},
			[]string{"metal finish reed-bronze (Reed bronze, powder with two hand-rubbed coats): step rub wax along the edges › minutes: was 8, becomes 9.5"}},
		"coverage of a data sheet": {[]string{"coverage: 600 ft2/gal", "coverage: 550 ft2/gal"}, []string{"coating harbour-glaze (Harbour glaze): coverage: was 600 ft2/gal, becomes 550 ft2/gal"}},
		"recoat window":            {[]string{"recoat: {from: 8, to: 72}", "recoat: {from: 8, to: 48}"}, []string{"wood finish quay-varnish (Quay stain and sealer under two-pack clear): step wipe on stain › recoat › to: was 72, becomes 48"}},
		"parts of a mix":           {[]string{"mix: {base: 4, hardener: 1}", "mix: {base: 3, hardener: 1}"}, []string{"coating two-pack-clear (Two-pack clear lacquer): mix base: was 4, becomes 3"}},
		"finish step removed":      {[]string{"      - {do: scuff by hand, hand: yes, minutes: 6, minutes_per_ft2: 1}\n", ""}, []string{"metal finish ember-mottle (Ember mottle, powder with five hand coats): step scuff by hand removed"}},
		"finish steps swapped": {[]string{"      - {do: scuff by hand, hand: yes, minutes: 6, minutes_per_ft2: 1}\n", "", "      - {do: rub edges back to the base colour,", "      - {do: scuff by hand, hand: yes, minutes: 6, minutes_per_ft2: 1}\n      - {do: rub edges back to the base colour,"},
			[]string{"metal finish ember-mottle (Ember mottle, powder with five hand coats): steps › order: was blast off mill scale, wash 1 of 5 clean, wash 2 of 5 rinse, wash 3 of 5 iron phosphate, wash 4 of 5 rinse, wash 5 of 5 seal, dry off, spray powder, cure 15 min at 400 F metal temperature, scuff by hand, dab on light glaze, dab on dark glaze, rub edges back to the base colour, rub on wax, spray protective clear coat, becomes blast off mill scale, wash 1 of 5 clean, wash 2 of 5 rinse, wash 3 of 5 iron phosphate, wash 4 of 5 rinse, wash 5 of 5 seal, dry off, spray powder, cure 15 min at 400 F metal temperature, dab on light glaze, dab on dark glaze, scuff by hand, rub edges back to the base colour, rub on wax, spray protective clear coat"}},
		"density":              {[]string{"density: 490 lb/ft3", "density: 7850 kg/m3"}, []string{"standard steel_density: density: was 490 lb/ft3, becomes 7850 kg/m3"}},
		"fabric added":         {[]string{"fabrics:\n", "fabrics:\n  loam-felt: {name: Loam felt, grade: A, goods_width: 54 in, usable_width: 53 in, lead_days: 10}\n"}, []string{"fabric loam-felt (Loam felt) added"}},
		"holiday":              {[]string{"    - {from: 2027-05-31, why: Memorial Day}\n", ""}, []string{"calendar: closure Memorial Day removed"}},
		"row of a table":       {[]string{"{below: 5, gives: 1/2 in}", "{below: 5, gives: 5/8 in}"}, []string{"table pane-interleaf: row below 5 › gives: was 1/2 in, becomes 5/8 in"}},
		"row of a table added": {[]string{"{below: 5, gives: 1/2 in}", "{below: 3, gives: 3/8 in}\n      - {below: 5, gives: 1/2 in}"}, []string{"table pane-interleaf: row below 3 added"}},
		"jig":                  {[]string{"radii: [2 in, 3 in]", "radii: [2 in, 2 1/2 in, 3 in]"}, []string{"jig hoop (Hoop jig for bar up to 3/4 in): radius 2 1/2 in added"}},
		"withdrawal":           {[]string{"  slate-twill:\n    name: Slate twill\n", "  slate-twill:\n    name: Slate twill\n    last_order: 2027-12-31\n    successor: oat-weave\n"}, []string{"fabric slate-twill (Slate twill): last order: was nothing, becomes 2027-12-31", "fabric slate-twill (Slate twill): successor: was nothing, becomes oat-weave"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := sentences(difference.Between(read(t), read(t, test.edits...)))
			if !slices.Equal(got, test.want) {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(test.want, "\n  "))
			}
		})
	}
}

// A choice is told by its code and name; what follows from a whole table is told
// by the table alone.
func TestChoices(t *testing.T) {
	for name, test := range map[string]struct {
		edits []string
		want  []string
	}{
		"of a table's few removed": {[]string{"among: [oat-weave, slate-twill, sedge-stripe]", "among: [oat-weave, sedge-stripe]", "      - {for: Grade B cloth, where: {cloth: slate-twill}, add: 60.00}\n", ""},
			[]string{"product sallow-bench (Sallow bench): attribute cloth (Cloth) › choice slate-twill (Slate twill) removed", "price of sallow-bench (Sallow bench): addition Grade B cloth removed"}},
		"of a table's few added": {[]string{"among: [clear-3-8, clear-1-2]", "among: [clear-3-8, clear-1-2, bronze-1-2]", "glass:\n  clear-3-8:", "glass:\n  bronze-1-2: {name: Bronze tempered 1/2 in, thickness: 1/2 in, safety: tempered}\n  clear-3-8:"},
			[]string{"glass bronze-1-2 (Bronze tempered 1/2 in) added", "product lodden-round (Lodden round table): attribute glass (Glass) › choice bronze-1-2 (Bronze tempered 1/2 in) added"}},
		"of a whole table added": {[]string{"species:\n  white-oak:", "species:\n  grey-alder: {name: Grey alder, yield: 60 %, density: 30 lb/ft3, movement: 0.0025, rough: [4/4, 5/4, 6/4, 8/4], widest_strip: 5 in, source: from memory}\n  white-oak:",
			"    on: [white-oak,", "    on: [grey-alder, white-oak,"},
			[]string{"species grey-alder (Grey alder) added", "wood finish tanbark (Tanbark stain under two coats of varnish): goes on grey-alder added"}},
		"own value's name": {[]string{"bent: Bent, with", "bent: Bowed, with"},
			[]string{"product lodden-round (Lodden round table): attribute legs (Legs) › choice bent (Bent, with a hub ring) › name: was Bent, with a hub ring, becomes Bowed, with a hub ring"}},
		"own value removed": {[]string{"            bevel: Bevelled underneath\n", ""}, []string{"product brackwater-table (Brackwater dining table): attribute edge (Edge) › choice bevel (Bevelled underneath) removed"}},
	} {
		t.Run(name, func(t *testing.T) {
			got := sentences(difference.Between(read(t), read(t, test.edits...)))
			if !slices.Equal(got, test.want) {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(test.want, "\n  "))
			}
		})
	}
}

var (
	bench = difference.Line{Dealer: "studio-tamsel", Product: "sallow-bench", Configuration: map[string]string{"length": "48 in", "height": "18 1/2 in", "metal_finish": "soot", "cloth": "sedge-stripe"}}
	glass = difference.Line{Dealer: "studio-tamsel", Product: "lodden-round", Configuration: map[string]string{"diameter": "42 in", "height": "29 in", "top": "glass", "glass": "clear-1-2", "glass_edge": "flat-polish", "legs": "bent", "metal_finish": "reed-bronze"}}
	wood  = difference.Line{Dealer: "quillane-rooms", Product: "lodden-round", Configuration: map[string]string{"diameter": "42 in", "height": "29 in", "top": "wood", "species": "white-oak", "wood_finish": "tanbark", "edge": "eased", "legs": "straight", "metal_finish": "soot"}}
	// As ordered under an earlier revision that made it longer.
	longer = difference.Line{Dealer: "studio-tamsel", Product: "sallow-bench", Configuration: map[string]string{"length": "90 in", "height": "18 1/2 in", "metal_finish": "soot", "cloth": "oat-weave"}}
)

// A line is told what it uses of the change, and nothing else.
func TestLinesThatUseWhatChanged(t *testing.T) {
	for name, test := range map[string]struct {
		edits                      []string
		bench, glass, wood, longer []string
	}{
		"product": {edits: []string{"collection: Sallow\n    lead_days: 30", "collection: Sallow\n    lead_days: 35", "seat_depth: len('16 in')", "seat_depth: len('17 in')"},
			bench: []string{"product sallow-bench (Sallow bench) changed in 2 points"}, longer: []string{"product sallow-bench (Sallow bench) changed in 2 points"}},
		"price": {edits: []string{"list: 1125.00", "list: 1150"}, bench: []string{"price of sallow-bench (Sallow bench) changed"}, longer: []string{"price of sallow-bench (Sallow bench) changed"}},
		"choice": {edits: []string{"among: [oat-weave, slate-twill, sedge-stripe]", "among: [oat-weave, slate-twill]", "      - {for: Grade C cloth, where: {cloth: sedge-stripe}, add: 110.00}\n", "", "      stripe-without-seam:\n        says: The sedge stripe runs up the roll and cannot be turned, so that a cushion longer than the goods are wide would need a seam; choose a shorter bench, or a plain cloth.\n        where: {cloth: sedge-stripe}\n        need: length + 2 * standard.seam <= cloth.usable_width\n", ""},
			bench:  []string{"product sallow-bench (Sallow bench): attribute cloth (Cloth) › choice sedge-stripe (Sedge stripe) removed", "product sallow-bench (Sallow bench) changed", "price of sallow-bench (Sallow bench) changed"},
			longer: []string{"product sallow-bench (Sallow bench) changed", "price of sallow-bench (Sallow bench) changed"}},
		"fabric":                     {edits: []string{"name: Oat plain weave", "name: Oat weave"}, longer: []string{"fabric oat-weave (Oat plain weave) changed"}},
		"fabric added":               {edits: []string{"fabrics:\n", "fabrics:\n  loam-felt: {name: Loam felt, grade: A, goods_width: 54 in, usable_width: 53 in, lead_days: 10}\n"}},
		"finish of wood tops":        {edits: []string{"tanbark:\n    name: Tanbark stain under two coats", "tanbark:\n    name: Tanbark under two coats"}, wood: []string{"wood finish tanbark (Tanbark stain under two coats of varnish) changed"}},
		"coating of a finish":        {edits: []string{"metal-lacquer:\n    name: ", "metal-lacquer:\n    name: Thin "}, glass: []string{"coating metal-lacquer (Clear lacquer for metal) changed"}},
		"standard of cushions":       {edits: []string{"seam:\n    length: 1/2 in", "seam:\n    length: 5/8 in"}, bench: []string{"standard seam changed"}, longer: []string{"standard seam changed"}},
		"standard of wood":           {edits: []string{"blank_width_allowance:\n    length: 1/2 in", "blank_width_allowance:\n    length: 5/8 in"}, wood: []string{"standard blank_width_allowance changed"}},
		"workshop's own standard":    {edits: []string{"bumper_height:\n    length: 1/8 in", "bumper_height:\n    length: 3/16 in"}, glass: []string{"standard bumper_height changed"}, wood: []string{"standard bumper_height changed"}},
		"dealer":                     {edits: []string{"terms: 40/5", "terms: 40/10"}, wood: []string{"dealer quillane-rooms (Quillane Rooms) changed"}},
		"calendar touches no order":  {edits: []string{"    - {from: 2027-05-31, why: Memorial Day}\n", ""}},
		"section of one part":        {edits: []string{"flat-bar-1:\n    name: 1 x 1/4 in flat bar", "flat-bar-1:\n    name: Flat bar"}, bench: []string{"section flat-bar-1 (1 x 1/4 in flat bar) changed"}, longer: []string{"section flat-bar-1 (1 x 1/4 in flat bar) changed"}},
		"glass that is not for wood": {edits: []string{"clear-1-2:\n    name: ", "clear-1-2:\n    name: Very "}, glass: []string{"glass clear-1-2 (1/2 in clear tempered glass) changed"}},
	} {
		t.Run(name, func(t *testing.T) {
			from := read(t)
			use := difference.Touched(from, difference.Between(from, read(t, test.edits...)))
			for _, one := range []struct {
				name string
				line difference.Line
				want []string
			}{{"bench", bench, test.bench}, {"glass", glass, test.glass}, {"wood", wood, test.wood}, {"longer", longer, test.longer}} {
				if got := use.Of(one.line); !slices.Equal(got, one.want) {
					t.Errorf("%s: got\n  %s\nwant\n  %s", one.name, strings.Join(got, "\n  "), strings.Join(one.want, "\n  "))
				}
			}
		})
	}
}

const shelf = `products:
  plain-shelf:
    name: Plain shelf
    lead_days: 10
    attributes:
      metal_finish: {name: Metal finish, choose: {from: metal_finishes}, default: soot}
    parts:
      base:
        metal_finish: metal_finish
        parts:
          bar: {name: Bar, steel: {section: flat-bar-1, straight: "len('30 in')"}}
prices:
  plain-shelf:
    sizes: [{for: Each, list: 100.00}]
`

// What is named inside formulas and bends is used as well.
func TestJigsAndTablesAreUsed(t *testing.T) {
	from := read(t)
	for name, test := range map[string]struct{ edits, users []string }{
		"jig hoop (Hoop jig for bar up to 3/4 in) changed":              {[]string{"radii: [2 in, 3 in]", "radii: [2 in, 2 1/2 in, 3 in]"}, []string{"lodden-nest"}},
		"table pane-interleaf changed":                                  {[]string{"{below: 5, gives: 1/2 in}", "{below: 5, gives: 5/8 in}"}, []string{"osmere-etagere"}},
		"hardware zip-slider (Locking slider for size 5 chain) changed": {[]string{"size 5 chain\n    weight: 0.01 lb", "size 5 chain\n    weight: 0.02 lb"}, []string{"mallin-stool", "orrest-settee"}},
		"table repeat-share-narrow changed":                             {[]string{"{below: 3 in, gives: 10 %}", "{below: 3 in, gives: 11 %}"}, []string{"orrest-armchair", "orrest-settee"}},
		"table repeat-share changed":                                    {[]string{"{below: 3 in, gives: 0 %}", "{below: 3 in, gives: 1 %}"}, nil},
	} {
		use := difference.Touched(from, difference.Between(from, read(t, test.edits...)))
		var users []string
		for _, product := range from.Products.Keys() {
			what := use.Of(difference.Line{Product: product})
			if len(what) > 1 || len(what) == 1 && what[0] != name {
				t.Errorf("%s: %q", product, what)
			}
			if len(what) == 1 {
				users = append(users, product)
			}
		}
		for _, user := range test.users {
			if !slices.Contains(users, user) {
				t.Errorf("%s: it touches %q, and not %s", name, users, user)
			}
		}
		if len(users) == 0 || len(users) == from.Products.Len() {
			t.Errorf("%s touches %q", name, users)
		}
	}
}

// A second fabric is used by the lines that are piped in it, and by no others.
func TestAContrastIsUsedWhereItIsPiped(t *testing.T) {
	from := read(t)
	use := difference.Touched(from, difference.Between(from, read(t, "ink-twill: {name: Ink twill", "ink-twill: {name: Inky twill")))
	for with, want := range map[string]int{"contrast": 1, "same": 0} {
		line := difference.Line{Product: "mallin-stool", Configuration: map[string]string{
			"height": "18 in", "diameter": "16 in", "metal_finish": "soot", "cloth": "marram", "piped": with}}
		if with == "contrast" {
			line.Configuration["piping"] = "ink-twill"
		}
		if got := use.Of(line); len(got) != want {
			t.Errorf("piping %s: %q", with, got)
		}
	}
}

// A product that is gone touches its lines, one that is new touches none, and a
// line of one that neither catalog has is no fault.
func TestProductsRemovedAndAdded(t *testing.T) {
	without := read(t)
	with := readFiles(t, append(demonstration.Files(), source.File{Path: "shelf.yaml", Bytes: []byte(shelf)}))
	removed := difference.Between(with, without)
	want := []string{"product plain-shelf (Plain shelf) removed", "price of plain-shelf (Plain shelf) removed"}
	if got := sentences(removed); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	use := difference.Touched(with, removed)
	if got := use.Of(difference.Line{Product: "plain-shelf"}); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if got := use.Of(difference.Line{Product: "gone-before"}); got != nil {
		t.Errorf("%q", got)
	}
	added := difference.Between(without, with)
	if got := sentences(added); !slices.Equal(got, []string{"product plain-shelf (Plain shelf) added", "price of plain-shelf (Plain shelf) added"}) {
		t.Errorf("%q", got)
	}
	if got := difference.Touched(without, added).Of(difference.Line{Product: "plain-shelf"}); got != nil {
		t.Errorf("%q", got)
	}
}

// Whatever is written as one text has a text of its own again, so that no change
// is told as a Go value.
func TestEveryValueHasItsText(t *testing.T) {
	seen := map[reflect.Type]bool{}
	var walk func(reflect.Type)
	walk = func(typ reflect.Type) {
		if seen[typ] {
			return
		}
		seen[typ] = true
		switch {
		case reflect.PointerTo(typ).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()):
			if !typ.Implements(reflect.TypeFor[fmt.Stringer]()) {
				t.Errorf("%s has no String", typ)
			}
		case typ.Kind() == reflect.Pointer, typ.Kind() == reflect.Slice:
			walk(typ.Elem())
		case typ.Kind() == reflect.Struct:
			if get, found := typ.MethodByName("Get"); found {
				walk(get.Type.Out(0))
			}
			for i := range typ.NumField() {
				if typ.Field(i).IsExported() {
					walk(typ.Field(i).Type)
				}
			}
		}
	}
	walk(reflect.TypeFor[catalog.Plan]())
	if len(seen) < 40 {
		t.Errorf("only %d types were seen", len(seen))
	}
}

// Every table of a catalog has a noun of the trade.
func TestEveryTableHasItsNoun(t *testing.T) {
	plan := reflect.TypeFor[catalog.Plan]()
	for i := range plan.NumField() {
		key, _, _ := strings.Cut(plan.Field(i).Tag.Get("yaml"), ",")
		if !difference.HasNoun(key) {
			t.Errorf("the top-level key %s has no noun in words.go", key)
		}
	}
}
