package bom_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

const sawn = `
climates:
  dry-house: {name: Dry house, dry: {moisture: 4 %}, damp: {moisture: 8 %}, source: Made for the tests}
  sea: {name: Sea, dry: {moisture: 4 %}, damp: {humidity: 80 %, fahrenheit: 70}, source: Made for the tests}
  middle: {name: Middle, dry: {moisture: 7 %}, damp: {humidity: 50 %, celsius: 21.1}, source: Made for the tests}
species:
  bare: {name: Bare, yield: 70 %, density: 40 lb/ft3, movement: 0.003, rough: [6/4], source: Made for the tests}
  board: {name: Board, blanks: bought, density: 45 lb/ft3, movement: 0, source: Made for the tests}
wood_finishes:
  plain: {name: Plain, on: [white-oak, bare, board], steps: [{do: sand}]}
products:
  sawn:
    name: Sawn
    lead_days: 1
    attributes:
      species: {name: Species, choose: {from: species, among: [white-oak, bare, board]}, default: white-oak}
      note: {name: Note, write: {longest: 10}, default: white-oak}
      finish: {name: Finish, choose: {from: wood_finishes, among: [plain]}, default: plain}
      climate: {name: Climate, choose: {values: {dry-house: Dry house, sea: Sea, middle: Middle}}, default: sea}
      how: {name: How, choose: {values: {flat: Flat, quarter: Quarter, standard: As the standards}}, default: flat}
    parts:
      flat: {when: how == 'flat', wood: {species: species, finish: finish, climate: climate, length: "len('60 in')", width: "len('40 in')", thickness: "len('1 in')", edge: "'eased'"}}
      quarter: {when: how == 'quarter', wood: {species: note, finish: finish, climate: climate, sawing: quarter, length: "len('60 in')", width: "len('40 in')", thickness: "len('1 in')", edge: "'eased'"}}
      standard: {when: how == 'standard', wood: {species: species, finish: finish, length: "len('60 in')", width: "len('40 in')", thickness: "len('1 in')", edge: "'eased'"}}
`

// Worked by hand: 40 in of white oak, S = 10.5 and 5.6 %. From 4 to 8 %: 40·4 /
// (285.714 - 30 + 4) = 0.61606 in, up to 1/64: 5/8 in; quarter-sawn 40·4 /
// (535.714 - 26) = 0.31390 in, 21/64 in. From 7 % to the 9.24 % of 50 % at 21.1
// degrees: 40·0.00365·2.24 = 0.32704 in, 21/64 in; quarter-sawn 40·0.0018·2.24 =
// 0.16128 in, 11/64 in.
func TestMovementByClimateAndSawing(t *testing.T) {
	cat := readWith(t, sawn)
	for _, c := range []struct{ text, moves, sawing, climate string }{
		{"climate=dry-house", "5/8 in", "", "Dry house"},
		{"climate=dry-house; how=quarter", "21/64 in", "quarter-sawn", "Dry house"},
		{"climate=middle", "21/64 in", "", "Middle"},
		{"climate=middle; how=quarter", "11/64 in", "quarter-sawn", "Middle"},
		{"climate=middle; species=bare", "9/32 in", "", "Middle"}, // 40·0.003·2.24 = 0.2688
		{"species=board", "0 in", "", "Sea"},                      // a board does not move, wherever
		{"how=standard", "57/64 in", "", ""},                      // 40·0.00365·6 = 0.876
	} {
		row := line(t, cat, 1, "sawn", c.text).Wood[0]
		if row.Movement.String() != c.moves || row.Sawing != c.sawing || row.Climate != c.climate {
			t.Errorf("%s: moves %s, %q, for %q; want %+v", c.text, row.Movement, row.Sawing, row.Climate, c)
		}
	}
	for _, c := range []struct{ text, code, says string }{
		{"species=bare", "wood.no-shrinkage", "Sea goes from 1/25 to "},
		{"how=quarter; climate=middle; note=bare", "wood.not-quartered", "how quarter-sawn Bare moves is not told: have it flat-sawn, or of another species"},
	} {
		if f := finding(t, cat, "sawn", c.text); f.Code != c.code || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %s: %s", c.text, f.Code, f.Message)
		}
	}
}

// The two forms agree near 10 %, where the coefficients were taken from the
// shrinkage (row D-26), and both grow with the range.
func TestTheTwoFormsOfMovementAgreeInTheMiddle(t *testing.T) {
	cat := read(t)
	rapid.Check(t, func(t *rapid.T) {
		code := rapid.SampledFrom([]string{"white-oak", "white-ash", "black-cherry", "black-walnut", "beech"}).Draw(t, "species")
		s, _ := cat.Species.Get(code)
		percent := func(n int) unit.Ratio {
			r, err := unit.NewRatio(int64(n), 1000)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		low := rapid.IntRange(60, 139).Draw(t, "low")
		high := rapid.IntRange(low+1, 140).Draw(t, "high")
		near, err := bom.Movement(unit.Metre, s.Movement, percent(low), percent(high))
		wide, err2 := bom.WideMovement(unit.Metre, s.Shrinks.Flat, percent(low), percent(high))
		if err != nil || err2 != nil || math.Abs(float64(near)/float64(wide)-1) > 0.05 {
			t.Fatalf("%s from %d to %d per mille: %s and %s (%v, %v)", code, low, high, near, wide, err, err2)
		}
	})
}

func TestFaultsOfClimatesAndSawing(t *testing.T) {
	for change, want := range map[[2]string]string{
		{"dry: {moisture: 7 %}", "dry: {moisture: 11 %}"}:                              "wood has 11/100 of moisture in the dry air and",
		{"dry: {moisture: 7 %}", "dry: {moisture: 7 %, humidity: 30 %}"}:               "moisture is given together with humidity or temperature",
		{"dry: {moisture: 7 %}", "dry: {humidity: 30 %}"}:                              "neither moisture nor humidity with a temperature is given",
		{"dry: {moisture: 7 %}", "dry: {humidity: 30 %, celsius: 20, fahrenheit: 68}"}: "the temperature is given twice",
		{"humidity: 50 %, celsius: 21.1", "humidity: 100 %, celsius: 21.1"}:            "1 is no humidity of air",
		{"humidity: 50 %, celsius: 21.1", "humidity: 50 %, celsius: 71"}:               "71 degrees is no room that furniture stands in",
		{"dry: {moisture: 7 %}", "dry: {moisture: 0 %}"}:                               "wood has 0 of moisture in it",
		{"choose: {values: {dry-house:", "choose: {values: {attic: Attic, dry-house:"}: `the formula may come to "attic", and there is no climate of that code`,
	} {
		_, faults := catalog.Read(with(sawn, change[0], change[1]))
		if len(faults) == 0 || !strings.Contains(faults[0].Error(), want) {
			t.Errorf("%s: %v, want %s", change[1], faults, want)
		}
	}
}

// Where the standards go beyond 6 to 14 %, a species without shrinkage still
// moves by the percent, and the catalog is warned of it; one with it does not.
func TestStandardsBeyondTheLinearRangeAreWarnedOf(t *testing.T) {
	files := with(sawn, "", "")
	for i := range files {
		files[i].Bytes = []byte(strings.Replace(string(files[i].Bytes), "    ratio: 12 %\n", "    ratio: 16 %\n", 1))
	}
	cat, faults := catalog.Read(files)
	if cat == nil {
		t.Fatal(faults)
	}
	warned := ""
	for _, w := range cat.Warnings() {
		if strings.Contains(w.Message, "by the percent from 3/50 to 4/25") {
			warned += w.Where + "; "
		}
	}
	if warned != "species › bare; " {
		t.Errorf("warned of %q", warned)
	}
	// 40 in from 6 to 16 %: by the percent 40·0.003·10 = 1.2 in; white oak by its
	// shrinkage 40·10 / (285.714 - 30 + 6) = 1.5284 in and not 1.46.
	for text, want := range map[string]string{"species=bare": "1 13/64 in", "": "1 17/32 in"} {
		if row := line(t, cat, 1, "sawn", "how=standard; "+text).Wood[0]; row.Movement.String() != want {
			t.Errorf("%s moves by %s, want %s", text, row.Movement, want)
		}
	}
}
