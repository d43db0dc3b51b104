package golden_test

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"slices"
	"strings"
	"testing"

	"billwright/bom/golden"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

var update = flag.Bool("update", false, "write the golden files anew")

// read is the demonstration with these golden orders in place of its own, and
// edits of what is written in it.
func read(t *testing.T, orders string, edits ...string) *catalog.Catalog {
	t.Helper()
	files := slices.DeleteFunc(demonstration.Files(), func(f source.File) bool { return bytes.Contains(f.Bytes, []byte("golden_orders:")) })
	files = append(files, source.File{Path: "golden.yaml", Bytes: []byte(orders)})
	for i := 0; i < len(edits); i += 2 {
		found := false
		for k := range files {
			changed := bytes.ReplaceAll(files[k].Bytes, []byte(edits[i]), []byte(edits[i+1]))
			found = found || !bytes.Equal(changed, files[k].Bytes)
			files[k].Bytes = changed
		}
		if !found {
			t.Fatalf("no file has %q", edits[i])
		}
	}
	cat, faults := catalog.Read(files)
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

func run(cat *catalog.Catalog) (lines []string) {
	for _, c := range golden.Run(cat) {
		lines = append(lines, c.String())
	}
	return lines
}

// The figures by hand, from products/sallow-bench.yaml and the price list: legs
// 18 1/2 - 3 - 1/8 - 1/4 = 15 1/8 in, 4 of them to 48 in; slats 48/8 - 1 = 5 of
// 16 - 1/4 in; list 1125 + 110 grade C + 140 custom height = 1375, at 50/10
// 618.75, three of them. Promised 30 working days after Wednesday 25 November,
// with Thanksgiving, the day after, and 24 December to 1 January closed:
// 30 November is the 1st, 23 December the 18th, 4 January the 19th, 15 January
// the 28th and Tuesday 19 January the 30th.
const bench = `golden_orders:
  bench-in-stripe:
    product: sallow-bench
    quantity: 3
    configuration: {length: 4', height: 1 ft 6 1/2 in, cloth: sedge-stripe}
    dealer: studio-tamsel
    day: 2026-11-25
    expect:
      net: 1856.25
      promise: 2027-01-19
      base/leg pieces: 12
      base/leg cut_length: 15 1/8 in
      base/leg work.1.do: tap for glide
      base/slat pieces: 15
      base/slat cut_length: 400.05 mm
      base/finish/1 hand: no
      cushion/cloth rows.1.piece: plate
      holds: []
  bench-too-long:
    product: sallow-bench
    quantity: 1
    configuration: {length: 9 ft, cloth: oat-wave}
    dealer: studio-tamsel
    day: 2026-11-25
    expect: {findings: [choice.unknown, length.long]}
`

func TestUnchangedGoldenOrders(t *testing.T) {
	if got := run(read(t, bench)); got != nil {
		t.Errorf("%s", strings.Join(got, "\n"))
	}
}

func TestChangedFiguresAreTold(t *testing.T) {
	for name, test := range map[string]struct{ edits, want []string }{
		"price": {[]string{"list: 1125.00", "list: 1130.00"}, []string{"golden.yaml:9:7: golden order bench-in-stripe: net: was 1856.25, becomes 1863.00"}},
		"formula": {[]string{"seat_depth: len('16 in')", "seat_depth: len('17 in')"},
			[]string{"golden.yaml:15:7: golden order bench-in-stripe: base/slat cut_length: was 400.05 mm, becomes 16 3/4 in"}},
		"holiday":   {[]string{"    - {from: 2027-05-31, why: Memorial Day}", "    - {from: 2027-01-11, why: Snow}\n    - {from: 2027-05-31, why: Memorial Day}"}, []string{"golden.yaml:10:7: golden order bench-in-stripe: promise: was 2027-01-19, becomes 2027-01-20"}},
		"operation": {[]string{"{do: tap for glide", "{do: tap and plug"}, []string{"golden.yaml:13:7: golden order bench-in-stripe: base/leg work.1.do: was tap for glide, becomes tap and plug"}},
		"a part is gone": {[]string{"          slat:\n", "          lath:\n"},
			[]string{"golden.yaml:14:7: golden order bench-in-stripe: base/slat pieces: was 15, becomes nothing; the bill has no such figure; did you mean \"base/lath pieces\"?",
				"golden.yaml:15:7: golden order bench-in-stripe: base/slat cut_length: was 400.05 mm, becomes nothing; the bill has no such figure; did you mean \"base/lath cut_length\"?"}},
		"a row that never was": {[]string{"base/slat pieces", "arms/scroll pieces"}, []string{"golden.yaml:14:7: golden order bench-in-stripe: arms/scroll pieces: was 15, becomes nothing; the bill has no such row"}},
		"refused":              {[]string{"height: 1 ft 6 1/2 in", "height: 1 in"}, []string{"golden.yaml:2:3: golden order bench-in-stripe: findings: was none, becomes length.short (Seat height 1 in is too short: it may be 16 in to 20 in, in steps of 1/8 in.)"}},
		"no longer refused for one reason": {[]string{"to: 60 in\n          step_inch: 1/8 in\n          step_metric: 1 mm\n          standard: [36 in, 48 in, 60 in]\n        default: 48 in", "to: 120 in\n          step_inch: 1/8 in\n          step_metric: 1 mm\n          standard: [36 in, 48 in, 60 in]\n        default: 48 in"},
			[]string{"golden.yaml:25:14: golden order bench-too-long: findings: was choice.unknown, length.long, becomes choice.unknown (Cloth cannot be \"oat-wave\": it is one of Oat plain weave (oat-weave), Slate twill (slate-twill), Sedge stripe (sedge-stripe).)"}},
		"taken at last": {[]string{"length: 9 ft, cloth: oat-wave", "length: 4 ft"}, []string{"golden.yaml:25:14: golden order bench-too-long: findings: was choice.unknown, length.long, becomes none"}},
		"a slip in the field": {[]string{"base/leg cut_length", "base/leg cut_lenght"},
			[]string{`golden.yaml:12:7: golden order bench-in-stripe: base/leg cut_lenght: was 15 1/8 in, becomes nothing; the bill has no such figure; did you mean "base/leg cut_length"?`}},
		"a field that the row has not": {[]string{"base/leg cut_length", "base/leg colour"},
			[]string{"golden.yaml:12:7: golden order bench-in-stripe: base/leg colour: was 15 1/8 in, becomes nothing; the row base/leg has "}},
	} {
		t.Run(name, func(t *testing.T) {
			got := run(read(t, bench, test.edits...))
			if !slices.EqualFunc(got, test.want, func(got, want string) bool {
				return got == want || strings.HasSuffix(want, " has ") && strings.HasPrefix(got, want)
			}) {
				t.Errorf("got\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(test.want, "\n  "))
			}
		})
	}
}

// What is printed for pasting holds, whatever was expected before.
func TestExpectedBlocksHold(t *testing.T) {
	for name, orders := range map[string]string{
		"what is listed":      strings.ReplaceAll(bench, "1856.25", "1"),
		"nothing was listed":  bench[:strings.Index(bench, "    expect:")] + bench[strings.Index(bench, "  bench-too-long"):],
		"refused all at once": strings.Replace(bench, "1 ft 6 1/2 in", "7 in", 1),
	} {
		t.Run(name, func(t *testing.T) {
			block, err := golden.Expected(read(t, orders), "bench-in-stripe")
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(block, "expect:\n  ") {
				t.Fatalf("%s", block)
			}
			before, rest, found := strings.Cut(orders, "    expect:")
			if !found || name == "nothing was listed" {
				before, rest, _ = strings.Cut(orders, "  bench-too-long:")
			}
			after := rest[strings.Index(rest, "    product: sallow-bench"):]
			pasted := before + "    " + strings.ReplaceAll(strings.TrimSpace(block), "\n", "\n    ") + "\n  bench-too-long:\n" + after
			if got := run(read(t, pasted)); got != nil {
				t.Errorf("%s\n%s", strings.Join(got, "\n"), pasted)
			}
		})
	}
}

// The whole block of the example's bench is reviewed as a file.
func TestEveryFigureHasAnAddress(t *testing.T) {
	orders := bench[:strings.Index(bench, "    expect:")]
	block, err := golden.Expected(read(t, orders), "bench-in-stripe")
	if err != nil {
		t.Fatal(err)
	}
	const file = "testdata/bench-in-stripe.yaml"
	if *update {
		if err := os.WriteFile(file, []byte(block), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if block != string(want) {
		t.Errorf("the figures are not those of %s; if that is meant, run with -update\n%s", file, block)
	}
	seen := map[string]bool{}
	for line := range strings.Lines(block) {
		address, _, _ := strings.Cut(line, ": ")
		if seen[address] {
			t.Errorf("two figures are addressed by %q", address)
		}
		seen[address] = true
	}
}

func TestNoSuchGoldenOrder(t *testing.T) {
	if _, err := golden.Expected(read(t, bench), "bench-in-strip"); !errors.Is(err, golden.ErrNoOrder) {
		t.Error(err)
	}
}

// A product that cannot be made as its defaults say is told without any order.
func TestDefaultsThatCannotBeMade(t *testing.T) {
	if warnings := golden.Defaults(read(t, "golden_orders: {}\n")); len(warnings) > 0 {
		t.Errorf("the demonstration's defaults cannot be made: %v", warnings)
	}
	cat := read(t, "golden_orders: {}\n", "leg_length: height - cushion_height - len('1/8 in') - standard.glide_height", "leg_length: len('30 ft')")
	warnings := golden.Defaults(cat)
	if len(warnings) != 1 || !strings.Contains(warnings[0].Message, "Sallow bench cannot be made as its defaults say") || !strings.Contains(warnings[0].Message, "360 in") ||
		!strings.HasSuffix(warnings[0].Pos.File, "sallow-bench.yaml") {
		t.Errorf("warned of %v", warnings)
	}
}

func TestMoneyWithoutItsLastNought(t *testing.T) {
	const order = "golden_orders:\n  bench:\n    product: sallow-bench\n    quantity: 3\n    configuration: {length: 48 in, height: 18 1/2 in, cloth: sedge-stripe}\n    dealer: studio-tamsel\n    day: 2026-11-25\n    expect: {net: %s}\n"
	// 3 x 618.75, as worked above.
	for text, changes := range map[string]int{"1856.25": 0, "1856.250": 1, "1856.2": 1} {
		if got := run(read(t, strings.Replace(order, "%s", text, 1))); len(got) != changes {
			t.Errorf("net %s: %v", text, got)
		}
	}
}
