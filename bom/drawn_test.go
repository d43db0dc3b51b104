package bom_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

const anvil = `
products:
  anvil:
    name: Anvil
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 12 in}
      taper: {name: Taper, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 3 in}
      share: {name: Share in hundredths, count: {from: 0, to: 200}, default: 84}
    parts:
      down:
        steel: {section: round-bar-1, drawn: {bar: {length: length, size: 1/2 in}}, forging: {scale_loss: 0, heats: 1}}
      round:
        steel:
          section: square-bar-1-2
          drawn: {straight: len('1 in'), taper: taper, square_first: frac('5/6'), end: 1/2}
          forging: {scale_loss: 4 %, heats: 1, temperature: 1200 C}
      picked:
        steel:
          section: square-bar-1-2
          drawn: {taper: len('3 in'), square_first: share * frac('1/100')}
          forging: {scale_loss: 0, heats: 1}
      stay:
        steel:
          section: square-bar-1
          drawn: {straight: len('4 in'), taper: taper, bar: {length: len('2 in'), size: 1/2 in}, both_ends: yes}
          forging: {scale_loss: 4 %, hot_cut: 1/8 in, heats: 2, temperature: 2192 F}
      leaf:
        steel:
          section: flat-bar-1
          drawn: {taper: taper, ways: width}
          forging: {scale_loss: 0, heats: 1}
      spread:
        steel:
          section: square-bar-1-2
          drawn: {bar: {length: length, shape: flat, width: 3/4 in, thickness: 1/8 in}}
          forging: {scale_loss: 0, heats: 1}
`

// Worked by hand: 12 in of 1/2 in round from 1 in round are 12/4 = 3 in. Round: 3 in
// are first forged square over 5/6, 2 1/2 in (handbook F-07), which take 2 1/2 x
// (1 + 1/2 + 1/4)/3 = 1.458333 in, and 1 in: 2.458333 in, / 0.96 = 2.560764 in.
// Stay: at each end 3 x 7/12 + 2/4 = 2 1/4 in: 8 1/2 in, / 0.96 + 1/8 = 8.979167 in.
// Leaf: a point in the width alone takes half, 1 1/2 in. Spread: 12 x 3/32 / (1/4)
// = 4 1/2 in.
func TestDrawnPiecesByHand(t *testing.T) {
	rows := rowsOf(t, anvil, "anvil", "")
	for _, c := range []struct{ path, finished, stock, cut, form, ends, heat string }{
		{"down", "12 in", "3 in", "3 in", "drawn to 1/2 in round for 12 in", "square, drawn", ""},
		{"round", "4 in", "2 15/32 in", "2 9/16 in", "forged square over 2 1/2 in, then round, drawn to 1/2 of the bar over 3 in", "square, drawn", "2192 F"},
		{"stay", "14 in", "8 1/2 in", "9 in", "drawn to 1/2 in square over 3 in and on as 1/2 in square for 2 in, both ends", "drawn, drawn", "2192 F"},
		{"leaf", "3 in", "1 1/2 in", "1 1/2 in", "drawn to an edge over 3 in", "square, drawn", ""},
		{"spread", "12 in", "4 1/2 in", "4 1/2 in", "drawn to 3/4 in x 1/8 in flat for 12 in", "square, drawn", ""},
	} {
		row := rows[c.path]
		if row.Finished.String() != c.finished || row.Forging.Stock.String() != c.stock || row.Cut.String() != c.cut || row.Form != c.form || row.Ends != c.ends || row.Forging.Temperature != c.heat {
			t.Errorf("%s: finished %s, stock %s, cut %s, %q, %q at %q; want %+v", c.path, row.Finished, row.Forging.Stock, row.Cut, row.Form, row.Ends, row.Forging.Temperature, c)
		}
	}
	// Coated, by hand: 12 in of 1/2 in round and the faces of 1/2 in, and of the 1 in
	// bar that the shoulder and the end make together: 6 pi + 2 x pi/4 = 20.420352 in2.
	if got := float64(rows["down"].Coated) / float64(unit.SquareInch); math.Abs(got-20.420352) > 1e-5 {
		t.Errorf("down is coated over %v in2", got)
	}
	// Stay: 4 x 4 in of bar; at each end four sides 3 in long, 3/4 in wide in the
	// middle, on a slant of root(9 + 1/16), 2 x 2 in of 1/2 in square and its face.
	want := 16 + 2*(4*0.75*math.Sqrt(9.0625)+4+0.25)
	if got := float64(rows["stay"].Coated) / float64(unit.SquareInch); math.Abs(got-want) > 1e-5 {
		t.Errorf("stay is coated over %v in2, want %v", got, want)
	}
}

func rowsOf(t testing.TB, text, product, picked string) map[string]bom.SteelRow {
	t.Helper()
	rows := make(map[string]bom.SteelRow)
	for _, row := range explode(t, readWith(t, text), 1, product, picked).Lines[0].Steel {
		rows[row.Path] = row
	}
	return rows
}

// explodeRapid gives the rows of steel by path, or ends the draw.
func explodeRapid(t *rapid.T, cat *catalog.Catalog, product, text string) map[string]bom.SteelRow {
	config, findings := cat.Check(product, picks(text), cat.Workshop.Effective)
	if config == nil {
		t.Fatalf("%s: %+v", text, findings)
	}
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	if bill == nil {
		t.Fatalf("%s: %+v", text, findings)
	}
	rows := make(map[string]bom.SteelRow)
	for _, row := range bill.Lines[0].Steel {
		rows[row.Path] = row
	}
	return rows
}

// By volume a square grows by 27.3 % when it is forged round (surprise 12 of the
// handbook); the lesson's 20 % is the shop's figure, and a share that would make
// steel out of nothing is refused.
func TestARoundTaperIsTheShopsFigure(t *testing.T) {
	cat := readWith(t, anvil)
	for _, share := range []string{"share=0", "share=78", "share=101"} {
		if f := finding(t, cat, "anvil", share); f.Code != "drawn.square-first" || !strings.Contains(f.Message, "is not from 0.7854 (a quarter of pi, which the volume takes) to 1") {
			t.Errorf("%s: %+v", share, f)
		}
	}
	for share, want := range map[string]string{"share=79": "2.37 in", "share=83": "2.49 in", "share=100": "3 in"} {
		row := rowsOf(t, anvil, "anvil", share)["picked"]
		if want := mustLength(t, want) / 3; row.Forging.Stock < want-unit.Inch/64 || row.Forging.Stock > want+unit.Inch/64 {
			t.Errorf("%s: %s of stock, want %s", share, row.Forging.Stock, want)
		}
	}
	if grows := 4/math.Pi - 1; math.Abs(grows-0.273) > 0.0005 {
		t.Errorf("by volume it grows by %v", grows)
	}
}

// Steel is neither made nor lost but as scale: what is cut, less the hot cut and
// the scale, weighs what the piece does, to the rounding of the cut.
func TestEveryShapeKeepsItsSteel(t *testing.T) {
	cat := readWith(t, anvil+shapes)
	losses := map[string]float64{"round": 0.04, "stay": 0.04, "bolt": 0.04, "twist": 0}
	hotCuts := map[string]unit.Length{"stay": unit.Inch / 8}
	rapid.Check(t, func(t *rapid.T) {
		text := fmt.Sprintf("length=%d/64 in; taper=%d/64 in", rapid.Int64Range(16*64, 44*64).Draw(t, "length"), rapid.Int64Range(16, 40*64).Draw(t, "taper"))
		rows := explodeRapid(t, cat, "anvil", text)
		for path, row := range explodeRapid(t, cat, "shapes", text) {
			rows[path] = row
		}
		if len(rows) < 13 {
			t.Fatalf("%d rows", len(rows))
		}
		for path, row := range rows {
			section, _ := cat.Sections.Get(row.Section)
			took := row.Cut - hotCuts[path]
			if row.Trim != nil {
				took -= *row.Trim
			}
			if row.ShortPoint != nil { // what the mitres leave of a symmetric section
				took -= (row.Finished - *row.ShortPoint) / 2
			}
			in, err := section.Mass(took)
			most, merr := section.Mass(unit.Inch/32 + unit.Micrometre)
			if err != nil || merr != nil {
				t.Fatal(err, merr)
			}
			left := float64(in)*(1-losses[path]) - float64(row.Weight)
			if left < -1000 || left > float64(most) {
				t.Fatalf("%s of %s: %s cut, %s after allowances weighs %v ug before %v of scale; the piece weighs %v ug: %v ug left", path, text, row.Cut, took, in, losses[path], row.Weight, left)
			}
		}
	})
}

const shapes = `
  shapes:
    name: Shapes
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}}
      taper: {name: Taper, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}}
    parts:
      straight: {steel: {section: rect-tube-2-1, straight: length}}
      mitred: {steel: {section: flat-bar-2, mitred: {long_point: length, across: 2 in, first: 22.5, second: 45}}}
      ring: {steel: {section: round-bar-1-2, ring: {outside: length}}}
      bent:
        steel:
          section: flat-bar-2
          bent: {k_factor: frac('0.42'), runs: [{outside: length}, {angle: 90, inside: len('1/4 in')}, {outside: length}]}
      hoop: {steel: {section: round-bar-1-2, hoop: {length: length, width: len('12 in'), radius: len('3 in')}}}
      scroll: {steel: {section: round-bar-1-2, scroll: {first: len('1 in'), last: length, turns: 1.5}}}
      bolt: {steel: {section: square-bar-1, upset: {length: length, head: len('1 in'), size: 1 1/2 in}, forging: {scale_loss: 4 %, heats: 2}}}
      twist: {steel: {section: square-bar-1, twisted: {length: length, turns: 4, shortening: 3 %}}}
`
