package bom_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

func coverageOf(t testing.TB, text string) catalog.Coverage {
	t.Helper()
	var c catalog.Coverage
	if err := c.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCoverageByTheDataSheet(t *testing.T) {
	for _, c := range []struct {
		coverage string
		area     unit.Area
		transfer string
		want     int64 // ug or nl
	}{
		{"400 ft2/gal", 100 * unit.SquareFoot, "1", int64(unit.Gallon) / 4},
		{"400 ft2/gal", 100 * unit.SquareFoot, "80 %", int64(unit.Gallon) * 5 / 16},
		{"10 m2/L", 25 * unit.SquareMetre, "50 %", 5 * int64(unit.Litre)},
		{"60 ft2/lb", 30 * unit.SquareFoot, "60 %", int64(unit.Pound) * 5 / 6},
		{"1/60 lb/ft2", 30 * unit.SquareFoot, "60 %", int64(unit.Pound) * 5 / 6},
		{"12 m2/kg", 6 * unit.SquareMetre, "1", int64(unit.Kilogram) / 2},
		{"90 g/m2", 10 * unit.SquareMetre, "60 %", int64(unit.Kilogram) * 3 / 2},
	} {
		got, err := bom.Covered(c.area, coverageOf(t, c.coverage), mustRatio(t, c.transfer))
		if err != nil || got < c.want || got > c.want+1 {
			t.Errorf("%s at %s: %d, want %d (%v)", c.coverage, c.transfer, got, c.want, err)
		}
	}
}

// A sheet that covers just what its film and solids give takes just as much.
func TestCoverageAndFilmAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gravity := unit.RatioOf(rapid.Int64Range(1, 4).Draw(t, "gravity"))
		film := unit.Length(rapid.Int64Range(5, 200).Draw(t, "film")) * unit.Micrometre
		area := unit.Area(rapid.Int64Range(1, 400).Draw(t, "area")) * unit.SquareMetre
		transfer, err := unit.NewRatio(rapid.Int64Range(1, 10).Draw(t, "transfer"), 10)
		if err != nil {
			t.Fatal(err)
		}
		by, err := bom.PowderMass(area, film, gravity, transfer)
		if err != nil {
			t.Fatal(err)
		}
		var sheet catalog.Coverage
		// 1 m2 of 1 µm at 1 g/cm3 is 1 g.
		grams := int64(film/unit.Micrometre) * gravity.Num()
		if err := sheet.UnmarshalText([]byte(unit.RatioOf(grams).String() + " g/m2")); err != nil {
			t.Fatal(err)
		}
		got, err := bom.Covered(area, sheet, transfer)
		if err != nil || unit.Mass(got) != by {
			t.Fatalf("%d by the sheet, %d by the film (%v)", got, by, err)
		}
	})
}

// set is a product whose finish steps a test writes.
func set(t *testing.T, coating, steps string) *catalog.Catalog {
	t.Helper()
	return readWith(t, strings.NewReplacer("COATING", coating, "STEPS", steps).Replace(`
coatings:
  trial: {name: Trial, transfer_efficiency: 50 %, source: Made for the test, COATING}
metal_finishes:
  trial-finish:
    name: Trial finish
    timed: yes
    then: assembly
    steps:
STEPS
products:
  trial-bar:
    name: Trial bar
    lead_days: 1
    attributes:
      each: {name: Each, count: {from: 1, to: 50}, default: 1}
      set: {name: Set, write: {longest: 20}, default: ""}
    parts:
      base:
        pieces: each
        match: set
        metal_finish: "'trial-finish'"
        parts:
          bar: {steel: {section: square-bar-1, straight: len('36 in')}}
`))
}

// 1 in square bar of 36 in has 4·36 + 2 = 146 in2.
const barFeet = 146.0 / 144

func TestSeveralCoatsTakeSeveralTimes(t *testing.T) {
	cat := set(t, "kind: liquid, coverage: 400 ft2/gal, mix: {base: 4, hardener: 1}",
		"      - {do: spray, coating: trial, coats: 3, minutes: 2, minutes_per_ft2: 6}\n      - {do: rub, minutes_per_m2: 10}")
	row := explode(t, cat, 2, "trial-bar", "each=5").Lines[0].Finish[0]
	// 10 pieces of 2 min and 10.139 ft2 of 6 min, three times over.
	if want := bom.Minutes(math.Round(10 * 3 * (10*2 + 10*barFeet*6))); row.Minutes != want || row.Coats != 3 {
		t.Errorf("%s for %d coats, want %s", row.Minutes, row.Coats, want)
	}
	gallons := 10 * barFeet * 3 / 400 / 0.5
	if got := float64(*row.Liquid) / float64(unit.Gallon); math.Abs(got-gallons) > 1e-9 {
		t.Errorf("%v gal, want %v", got, gallons)
	}
	if len(row.Mix) != 2 || row.Mix[0].Component != "base" || row.Mix[0].Liquid+row.Mix[1].Liquid != *row.Liquid {
		t.Errorf("mixed of %+v, in all %d", row.Mix, *row.Liquid)
	}
	if got := float64(row.Mix[1].Liquid) / float64(*row.Liquid); math.Abs(got-0.2) > 1e-9 {
		t.Errorf("the hardener is %v of it, want a fifth", got)
	}
	// 10.139 ft2 are 0.94193 m2: 9.4 min.
	if rub := explode(t, cat, 2, "trial-bar", "each=5").Lines[0].Finish[1]; rub.Minutes != 94 {
		t.Errorf("%s by the square metre, want 9.4 min", rub.Minutes)
	}
}

// A liquid of components is bought by component, all of it.
func TestMixedLiquidIsBoughtWhole(t *testing.T) {
	cat := set(t, "kind: liquid, coverage: 333 ft2/gal, mix: {base: 7, hardener: 3, reducer: 1/3}", "      - {do: spray, coating: trial}")
	rapid.Check(t, func(rt *rapid.T) {
		each := rapid.IntRange(1, 50).Draw(rt, "each")
		bill := explode(t, cat, rapid.IntRange(1, 999).Draw(rt, "quantity"), "trial-bar", "each="+count(each))
		row, sum := bill.Lines[0].Finish[0], int64(0)
		for _, m := range bill.Materials() {
			if m.Kind == bom.KindLiquid {
				sum += m.Amount
				if !strings.HasPrefix(m.Item, "trial ") {
					rt.Errorf("%s is bought", m.Item)
				}
			}
		}
		if sum != int64(*row.Liquid) || len(row.Mix) != 3 {
			rt.Errorf("%d nl bought of %d: %+v", sum, *row.Liquid, row.Mix)
		}
	})
}

func TestTimesByHand(t *testing.T) {
	steps := `      - {do: blast, station: blast room, minutes: 6}
      - {do: bake off, station: oven, wait_hours: 1/2}
      - {do: spray, station: booth, coating: trial, coats: 2, minutes: 3, flash_minutes: 20, recoat: {from: 1/4}, cure: {minutes: 12, at: 180 C}, wait_hours: 2}
      - {do: look over, station: booth, minutes: 1}
      - {do: spray the last coat, station: booth, coating: trial, minutes: 3, flash_minutes: 90, handle_hours: 1, wait_hours: 1/4}`
	cat := set(t, "kind: liquid, coverage: 10 m2/L", steps)
	line := explode(t, cat, 2, "trial-bar", "each=2").Lines[0]
	// 4 pieces. 24 min; + 30; + 2·12 work, 2·12 cure, 20 between (the flash is
	// longer than 1/4 h), 120 after; + 4; + 12 and the flash of 90, the longest.
	want := []float64{24, 54, 54 + 24 + 24 + 20 + 120, 246, 246 + 12 + 90}
	for i, minutes := range want {
		if got := line.Finish[i].Ready; got == nil || float64(*got) != minutes*60 {
			t.Errorf("step %d is ready after %v, want %v h", i+1, got, minutes/60)
		}
	}
	route := line.Routes[0]
	if !slices.Equal(route.Stations, []string{"blast room", "oven", "booth"}) || route.Then != "assembly" || route.Hand || route.Path != "base/finish" {
		t.Errorf("route %+v", route)
	}
	if *route.Ready != *line.Finish[4].Ready || *line.Finished != *route.Ready {
		t.Errorf("the finish is done after %s, the line after %s", route.Ready, line.Finished)
	}
	if cure := line.Finish[2].Cure; cure.At != "356 F" || cure.Minutes != 120 {
		t.Errorf("cure %+v: 180 C are 356 F", cure)
	}
	for i, wait := range []string{"", "1/2", "2", "", "3/2"} {
		if line.Finish[i].Wait != wait {
			t.Errorf("step %d waits %q h, want %q", i+1, line.Finish[i].Wait, wait)
		}
	}
}

// A line with a finish that is not timed has no earliest completion: the other
// may take longer.
func TestALineIsTimedWholeOrNotAtAll(t *testing.T) {
	cat := read(t)
	if line := explode(t, cat, 1, "hollin-bench", "wood_finish=weathered-grey").Lines[0]; line.Finished != nil || len(line.Routes) != 1 || line.Routes[0].Ready == nil {
		t.Errorf("finished %v, routes %+v", line.Finished, line.Routes)
	}
	if line := explode(t, cat, 1, "pell-stool", "").Lines[0]; line.Finished != nil || len(line.Routes) != 0 || line.Finish[0].Ready != nil {
		t.Errorf("what is not timed has %v, %+v", line.Finished, line.Routes)
	}
}

func windowed(t *testing.T, overrun string) *catalog.Catalog {
	return set(t, "kind: liquid, coverage: 10 m2/L", `      - {do: first coat, coating: trial, minutes: 6, recoat: {from: 1, to: 2, overrun: `+overrun+`}}
      - {do: scuff, minutes: 1}
      - {do: second coat, coating: trial, minutes: 10}`)
}

// longest = 60 + n·1 + (n - 1)·10 min: 6 pieces wait 116 min, 7 wait 127.
func TestAnOverrunWindowIsACautionOrARefusal(t *testing.T) {
	cat := windowed(t, "caution")
	for n, want := range map[int]float64{1: 61, 2: 72, 6: 116, 7: 127} {
		line := explode(t, cat, n, "trial-bar", "").Lines[0]
		if got := line.Finish[0].Recoat.Longest; got == nil || float64(*got) != want*60 {
			t.Errorf("%d pieces: one waits %v, want %v min", n, got, want)
		}
		told := slices.IndexFunc(line.Cautions, func(c bom.Caution) bool { return c.Code == "recoat-overrun" })
		if (told >= 0) != (n == 7) {
			t.Errorf("%d pieces: cautions %+v", n, line.Cautions)
		}
		if told >= 0 && !strings.Contains(line.Cautions[told].Says, "closes after 2.00 h, and of 7 pieces worked in turn one waits 2.12 h for its next coat: at most 6 pieces at a time keep it;") {
			t.Errorf("it says: %s", line.Cautions[told].Says)
		}
	}
	cat = windowed(t, "refuse")
	explode(t, cat, 6, "trial-bar", "")
	config, _ := cat.Check("trial-bar", picks(""), cat.Workshop.Effective)
	_, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 7, Config: config}}, false)
	const says = "line 1 › base › finish › 1: 7 pieces take 2.12 h from one coat to the next, and the window of Trial finish closes after 2.00 h; at most 6 pieces at a time keep it: order fewer, or choose another finish."
	if len(findings) != 1 || findings[0].Code != "recoat.overrun" || findings[0].Message != says || findings[0].Pointer != "/lines/0" {
		t.Errorf("findings %+v", findings)
	}
}

// However many pieces are said to keep a window, they do, and one more does not.
func TestAsManyAsKeepTheWindow(t *testing.T) {
	for _, minutes := range [][3]string{{"0", "0", "1"}, {"30", "0", "1"}, {"1", "9", "30"}, {"7", "3", "11"}, {"13/7", "1/3", "5/3"}, {"90", "1", "100"}} {
		cat := set(t, "kind: liquid, coverage: 10 m2/L", `      - {do: first, coating: trial, minutes: `+minutes[0]+`, recoat: {from: 1, to: 3, overrun: refuse}}
      - {do: scuff, minutes: `+minutes[1]+`, wait_hours: 1/2}
      - {do: second, coating: trial, minutes: `+minutes[2]+`}`)
		config, _ := cat.Check("trial-bar", picks(""), cat.Workshop.Effective)
		keeps := func(n int) bool {
			bill, _, _ := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: n, Config: config}}, false)
			return bill != nil
		}
		_, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 400, Config: config}}, false)
		_, after, found := strings.Cut(findings[0].Message, "at most ")
		if !found {
			t.Fatal(findings)
		}
		most := int(asNumber(t, after[:strings.IndexByte(after, ' ')]))
		if most < 1 || !keeps(most) || keeps(most+1) {
			t.Errorf("%v: %d pieces: kept %v, one more: %v; %s", minutes, most, keeps(most), keeps(most+1), findings[0].Message)
		}
	}
}

func TestNotEvenOnePieceKeepsTheWindow(t *testing.T) {
	cat := set(t, "kind: liquid, coverage: 10 m2/L", `      - {do: first, coating: trial, minutes: 5, recoat: {from: 1, to: 2, overrun: refuse}}
      - {do: bake, wait_hours: 3}
      - {do: second, coating: trial, minutes: 5}`)
	config, _ := cat.Check("trial-bar", picks(""), cat.Workshop.Effective)
	_, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	if len(findings) != 1 || !strings.Contains(findings[0].Message, "1 pieces take 4.00 h from one coat to the next") || !strings.Contains(findings[0].Message, "not even one piece keeps it") {
		t.Errorf("findings %+v", findings)
	}
}
