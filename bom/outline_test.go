package bom_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

// seats are cushions of every outline, whose foam weighs by its outline.
const seats = `
cushion_forms:
  cover:
    name: Cover
    pieces:
      plate: {pieces: 1, along: width, across: length}
      edge: {pieces: 1, along: "up(area / length, len('1/8 in'))", across: "up(perimeter, len('1/8 in'))", may_join: yes}
products:
  seats:
    name: Seats
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 50 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 22 in}
      width: {name: Width, size: {from: 1 in, to: 50 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 20 in}
      rear: {name: Rear, size: {from: 1 in, to: 60 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 16 in}
      ears: {name: Ears, size: {from: 1 in, to: 60 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 6 in}
      right: {name: Right, size: {from: 0 in, to: 60 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 11 in}
      back: {name: Back, size: {from: 0 in, to: 60 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 10 in}
      shape: {name: Shape, choose: {values: {rectangle: R, round: O, trapezoid: A, t-shape: T, polygon: P}}, default: rectangle}
    parts:
      rectangle:
        when: shape == 'rectangle'
        cushion: {form: cover, cloth: "'oat-weave'", foam: seat-foam, length: length, width: width, height: len('1 in')}
      round:
        when: shape == 'round'
        cushion: {form: cover, cloth: "'oat-weave'", foam: seat-foam, shape: round, length: length, height: len('1 in')}
      trapezoid:
        when: shape == 'trapezoid'
        cushion: {form: cover, cloth: "'oat-weave'", foam: seat-foam, shape: trapezoid, length: length, width: width, rear_length: rear, height: len('1 in')}
      t-shape:
        when: shape == 't-shape'
        cushion: {form: cover, cloth: "'oat-weave'", foam: seat-foam, shape: t-shape, length: length, width: width, rear_length: rear, ears: ears, height: len('1 in')}
      polygon:
        when: shape == 'polygon'
        cushion:
          form: cover
          cloth: "'oat-weave'"
          foam: seat-foam
          shape: polygon
          length: length
          width: width
          height: len('1 in')
          corners:
            - {right: len('0 in'), back: len('0 in')}
            - {right: length, back: len('0 in')}
            - {right: length, back: width}
            - {right: right, back: back}
            - {right: len('0 in'), back: width}
`

// Perimeter and area of each outline, worked by hand to the digits shown, and the
// weight of foam 1 in high at 2.8 lb/ft3 with 1/2 in around: A + P/4.
func TestOutlinesByHand(t *testing.T) {
	cat := readWith(t, seats)
	for _, c := range []struct {
		with            string
		perimeter, area float64 // in and in2
	}{
		{"shape=round; length=16 in", 50.26548, 201.06193},
		{"shape=trapezoid", 78.44750, 380}, // 22 + 16 + 2 sqrt(400 + 9); 19 x 20
		{"shape=trapezoid; rear=22 in", 84, 440},
		{"shape=t-shape", 84, 356}, // 22 x 6 + 16 x 14
		// 22 + 20 + 2 sqrt(121 + 100) + 20; 440 less a triangle of 22 x 10 / 2
		{"shape=polygon", 91.73214, 330},
	} {
		row := explode(t, cat, 1, "seats", c.with).Lines[0].Cushions[0]
		if off := math.Abs(inches(row.Perimeter) - c.perimeter); off > 1e-5 {
			t.Errorf("%s: perimeter %s, want %v in", c.with, row.Perimeter, c.perimeter)
		}
		if off := math.Abs(float64(row.Area)/float64(unit.SquareInch) - c.area); off > 1e-5 {
			t.Errorf("%s: area %s, want %v in2", c.with, row.Area.In(bom.Inch), c.area)
		}
		want := (c.area + c.perimeter/4) / 1728 * 2.8
		if got := float64(explode(t, cat, 1, "seats", c.with).Lines[0].UnitWeight) / float64(unit.Pound); math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: foam weighs %v lb, want %v", c.with, got, want)
		}
	}
	// A rectangle is as it always was: no outline on its bill, 22 1/2 x 20 1/2 of foam.
	row := explode(t, cat, 1, "seats", "").Lines[0]
	if row.Cushions[0].Shape != "" || row.Cushions[0].Perimeter != 0 || row.UnitWeight.In(bom.Inch) != "0.75 lb" {
		t.Errorf("rectangle %+v weighs %s", row.Cushions[0], row.UnitWeight.In(bom.Inch))
	}
	// The edge is cut up(84) x 20 in: the form reads perimeter and area of a rectangle too.
	if edge := row.Cushions[0].Cut[1]; edge.Across != 84*unit.Inch || edge.Along != 20*unit.Inch {
		t.Errorf("edge %+v", edge)
	}
}

func TestOutlinesThatCannotBe(t *testing.T) {
	cat := readWith(t, seats)
	for _, c := range []struct{ with, says string }{
		{"shape=trapezoid; rear=23 in", "the rear length of 23 in is more than the length of 22 in: make it 22 in or less"},
		{"shape=t-shape; rear=23 in", "the rear length of 23 in is more than the length of 22 in"},
		{"shape=t-shape; ears=21 in", "the ears of 21 in is more than the width of 20 in"},
		{"shape=polygon; right=23 in", "the corners reach from 0 in to 23 in along the front"},
		{"shape=polygon; right=11 in; back=0 in", "the side after corner 1 meets the side after corner 3"},
		{"shape=polygon; right=22 in; back=20 in", "the side after corner 2 meets the side after corner 4"},
		{"shape=polygon; right=22 in; back=10 in", "the side after corner 2 meets the side after corner 3"},
	} {
		f := finding(t, cat, "seats", c.with)
		if f.Code != "cushion.outline" || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want %q", c.with, f, c.says)
		}
	}
}

// A polygon whose fifth corner lies on its back edge is a rectangle.
func TestAPolygonMayBeARectangle(t *testing.T) {
	row := explode(t, readWith(t, seats), 1, "seats", "shape=polygon; right=9 3/16 in; back=20 in").Lines[0].Cushions[0]
	if row.Perimeter != 84*unit.Inch || row.Area != bom.Surface(440*unit.SquareInch) {
		t.Errorf("%s around %s", row.Perimeter, row.Area.In(bom.Inch))
	}
}

// Of any outline: no more area than its rectangle, no shorter a perimeter than a
// circle of its area has.
func TestOutlinesHoldWhatTheirPerimeterCan(t *testing.T) {
	cat := readWith(t, seats)
	rapid.Check(t, func(t *rapid.T) {
		with := fmt.Sprintf("length=%d in; width=%d in; rear=%d in; ears=%d in; right=%d in; back=%d in; shape=%s",
			rapid.IntRange(10, 50).Draw(t, "length"), rapid.IntRange(10, 50).Draw(t, "width"), rapid.IntRange(1, 10).Draw(t, "rear"), rapid.IntRange(1, 10).Draw(t, "ears"),
			rapid.IntRange(1, 9).Draw(t, "right"), rapid.IntRange(1, 9).Draw(t, "back"), rapid.SampledFrom([]string{"round", "trapezoid", "t-shape", "polygon"}).Draw(t, "shape"))
		config, findings := cat.Check("seats", picks(with), cat.Workshop.Effective)
		if config == nil {
			t.Fatal(findings)
		}
		bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		if bill == nil {
			t.Fatal(findings)
		}
		row := bill.Lines[0].Cushions[0]
		area, perimeter := float64(row.Area), float64(row.Perimeter)/1000
		if around := float64(row.Length) / 1000 * float64(row.Width) / 1000; area > around*(1+1e-12) || area <= 0 {
			t.Fatalf("%s: area %v of %v", with, area, around)
		}
		if 4*math.Pi*area > perimeter*perimeter*(1+1e-9) {
			t.Fatalf("%s: area %v within %v", with, area, perimeter)
		}
	})
}

// Squares for strips on the bias, by hand: one stool takes 2 strips of 52 3/8 in
// by 1 1/2: 13 1/2 in square, as worked in cloth/seats.yaml. 40 take 80: 6285 in2
// of strips; from 54 in a square of 54 in gives 53 1/2 x 53 1/2 = 2862 1/4 in2, so
// two of them and a rest of 560 1/2 in2: 23.675 + 1/2, cut 24 1/2 in.
func TestBiasSquaresByHand(t *testing.T) {
	cat := read(t)
	for quantity, want := range map[int]string{
		1:  `[{"piece":"piping, bias square of 13 1/2 in","in_row":1,"rows":1,"run":"13 1/2 in"}]`,
		40: `[{"piece":"piping, bias square of 54 in","in_row":1,"rows":2,"run":"54 in"},{"piece":"piping, bias square of 24 1/2 in","in_row":1,"rows":1,"run":"24 1/2 in"}]`,
	} {
		bill := explode(t, cat, quantity, "mallin-stool", "piped=contrast; piping=ink-twill")
		row := bill.Lines[0].Cloth[1]
		if row.Path != "cushion/contrast" || row.Cloth != "Ink twill" || !strings.Contains(string(document(t, bill)), want) {
			t.Errorf("%d stools: %+v, want %s", quantity, row.Rows, want)
		}
	}
}

// Goods that come to nothing: a strip wider than any square, a repeat or a piece
// longer than the bolt, a join that no repeat across leaves room for.
func TestGoodsThatCannotBeCut(t *testing.T) {
	const forms = `
fabrics:
  ribbon: {name: Ribbon, goods_width: 2 in, usable_width: 2 in}
  remnant: {name: Remnant, goods_width: 54 in, usable_width: 53 in, bolt: 2 ft}
  banner: {name: Banner, goods_width: 54 in, usable_width: 53 in, repeat: 3 ft, bolt: 2 ft}
  mural: {name: Mural, goods_width: 54 in, usable_width: 53 in, repeat_across: 53 in}
cushion_forms:
  slip:
    name: Slip
    pieces:
      strip: {pieces: 1, along: width, across: length, bias: {mode: up, to: 1/2 in}}
  sheet:
    name: Sheet
    pieces:
      sheet: {pieces: 1, along: width, across: length, match_across: yes, may_join: yes}
products:
  goods:
    name: Goods
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}}
      width: {name: Width, size: {from: 1 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}}
      cloth: {name: Cloth, choose: {from: fabrics, among: [ribbon, remnant, banner, mural]}}
      form: {name: Form, choose: {values: {slip: Slip, sheet: Sheet}}}
    parts:
      slip:
        when: form == 'slip'
        cushion: {form: slip, cloth: cloth, foam: seat-foam, length: length, width: width, height: len('1 in')}
      sheet:
        when: form == 'sheet'
        cushion: {form: sheet, cloth: cloth, foam: seat-foam, length: length, width: width, height: len('1 in')}
`
	cat := readWith(t, forms)
	for _, c := range []struct{ with, code, says string }{
		{"form=slip; cloth=ribbon; length=20 in; width=1 1/2 in", "cloth.too-narrow", "a strip of 1 1/2 in on the bias needs a square larger than the 2 in that Ribbon gives"},
		{"form=sheet; cloth=remnant; length=50 in; width=24 1/64 in", "cloth.bolt-too-short", "sheet needs 24 1/64 in along the roll in one piece, and Remnant comes in bolts of 24 in"},
		{"form=sheet; cloth=banner; length=50 in; width=20 in", "cloth.repeat-too-long", "the repeat of 36 in is longer than the bolt of 24 in that Banner comes in"},
		{"form=sheet; cloth=mural; length=54 in; width=20 in", "cloth.too-narrow", "one with a smaller repeat across"},
	} {
		if f := finding(t, cat, "goods", c.with); f.Code != c.code || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want %s: %q", c.with, f, c.code, c.says)
		}
	}
	for _, with := range []string{"form=slip; cloth=ribbon; length=20 in; width=1 in", "form=sheet; cloth=remnant; length=50 in; width=24 in", "form=sheet; cloth=mural; length=53 in; width=20 in"} {
		explode(t, cat, 1, "goods", with)
	}
}
