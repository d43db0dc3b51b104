package bom_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/unit"
)

func anyLength(t *rapid.T, name string, least, most unit.Length) unit.Length {
	return unit.Length(rapid.Int64Range(int64(least), int64(most)).Draw(t, name))
}

func TestStripsMakeTheBlank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blank := anyLength(t, "blank", 1, 5*unit.Metre)
		widest := anyLength(t, "widest", unit.Inch, 12*unit.Inch)
		fraction := unit.Inch / unit.Length(rapid.SampledFrom([]int{1, 2, 4, 8, 16, 32, 64}).Draw(t, "fraction"))
		widest = widest / fraction * fraction
		strips := bom.Strips(blank, widest, fraction)
		if n := int((blank + widest - 1) / widest); len(strips) != n {
			t.Fatalf("%d strips of at most %s make %s; %d would do", len(strips), widest, blank, n)
		}
		sum, least, most := unit.Length(0), strips[0], strips[0]
		for i, s := range strips {
			sum += s
			least, most = min(least, s), max(most, s)
			if s <= 0 || s > widest || i < len(strips)-1 && s%fraction != 0 {
				t.Fatalf("strip %d of %v is %s, in fractions of %s", i+1, strips, s, fraction)
			}
		}
		if sum != blank || most-least > 2*fraction && len(strips) > 1 {
			t.Fatalf("%v sum to %s of %s and differ by %s", strips, sum, blank, most-least)
		}
	})
}

// Worked by hand: 85 in in strips of at most 5 is 17 of 5; one nanometre more
// takes 18, and 85/18 = 4.722 in is no whole nanometre (U-23), so that they
// differ: 11 of 4-3/4 are 52-1/4 and leave 32-3/4 for 7; 6 of 4-11/16 are
// 28-1/8 and leave 4-5/8 in and the nanometre.
func TestStripsByHand(t *testing.T) {
	if got := bom.Strips(85*unit.Inch, 5*unit.Inch, unit.Inch/16); len(got) != 17 || got[16] != 5*unit.Inch {
		t.Errorf("85 in: %v", got)
	}
	got := bom.Strips(85*unit.Inch+1, 5*unit.Inch, unit.Inch/16)
	if len(got) != 18 || got[0] != mustLength(t, "4 3/4 in") || got[11] != mustLength(t, "4 11/16 in") || got[17] != mustLength(t, "4 5/8 in")+1 {
		t.Errorf("85 in and 1 nm: %v", got)
	}
	for _, bad := range [][3]unit.Length{{0, 1, 1}, {1, 0, 1}, {1, 1, 0}, {-1, 1, 1}} {
		if got := bom.Strips(bad[0], bad[1], bad[2]); got != nil {
			t.Errorf("Strips(%v) = %v, want none", bad, got)
		}
	}
	// The widest is no multiple of the fraction: it is not passed for that.
	for _, s := range bom.Strips(10*unit.Inch, mustLength(t, "3 3/8 in"), unit.Inch/2) {
		if s > mustLength(t, "3 3/8 in") {
			t.Errorf("a strip of %s", s)
		}
	}
}

func TestCutRowsHoldEveryPiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seam := anyLength(t, "seam", 0, unit.Inch)
		usable := anyLength(t, "usable", 3*unit.Inch, 120*unit.Inch)
		repeat := anyLength(t, "repeat", 0, 36*unit.Inch)
		panel := bom.Panel{
			Name: "boxing", Pieces: rapid.IntRange(1, 500).Draw(t, "pieces"), Match: rapid.Bool().Draw(t, "match"),
			Along: anyLength(t, "along", 1, 100*unit.Inch), Across: anyLength(t, "across", 1, 400*unit.Inch),
		}
		panel.Joined = panel.Across > usable
		rows := bom.CutRows(&panel, bom.Goods{Usable: usable, Repeat: repeat, Seam: seam}, bom.Inch)
		for _, r := range rows {
			if r.InRow < 1 || r.Rows < 1 || r.Run < panel.Along {
				t.Fatalf("row %+v of %+v", r, panel)
			}
			if panel.Match && repeat > 0 && (r.Run%repeat != 0 || r.Run-panel.Along >= repeat) {
				t.Fatalf("run %s of %s in a repeat of %s", r.Run, panel.Along, repeat)
			}
			if (!panel.Match || repeat == 0) && r.Run != panel.Along {
				t.Fatalf("run %s of %s that need not match", r.Run, panel.Along)
			}
		}
		first := rows[0]
		if !panel.Joined {
			if len(rows) != 1 || unit.Length(first.InRow)*panel.Across > usable || unit.Length(first.InRow+1)*panel.Across <= usable {
				t.Fatalf("%d of %s across %s", first.InRow, panel.Across, usable)
			}
			if first.InRow*first.Rows < panel.Pieces || first.InRow*(first.Rows-1) >= panel.Pieces {
				t.Fatalf("%d rows of %d for %d pieces", first.Rows, first.InRow, panel.Pieces)
			}
			return
		}
		// Full widths and the rest, less a seam on both sides of every join, come
		// to the piece.
		full := unit.Length(first.Rows / panel.Pieces)
		sewn := full*usable - (full-1)*2*seam
		if first.Rows%panel.Pieces != 0 || first.InRow != 1 || sewn > panel.Across {
			t.Fatalf("%d full widths for %d pieces sew up to %s of %s", first.Rows, panel.Pieces, sewn, panel.Across)
		}
		if left := panel.Across - sewn; (left > 0) != (len(rows) == 2) || left+2*seam >= usable+1 {
			t.Fatalf("%s left of %s, rows %+v", left, panel.Across, rows)
		}
	})
}

// Worked by hand, from 54 in with a seam of 1/2 in.
func TestCutRowsByHand(t *testing.T) {
	for _, c := range []struct {
		pieces        int
		along, across string
		match, joined bool
		repeat        string
		want          string
	}{
		{4, "21 in", "21 in", true, false, "0 in", "2 a row, 2 rows of 21 in; "},
		{4, "21 in", "21 in", true, false, "13 1/2 in", "2 a row, 2 rows of 27 in; "}, // two whole repeats
		{5, "21 in", "21 in", false, false, "13 1/2 in", "2 a row, 3 rows of 21 in; "},
		{1, "27 in", "54 in", true, false, "13 1/2 in", "1 a row, 1 rows of 27 in; "}, // a whole number of repeats stays
		{3, "4 in", "107 in", false, true, "0 in", "1 a row, 6 rows of 4 in; "},       // 54 + 54 - 1, no rest
		{3, "4 in", "108 in", false, true, "0 in", "1 a row, 6 rows of 4 in; 27 a row, 1 rows of 4 in; "},
	} {
		panel := bom.Panel{Name: "p", Pieces: c.pieces, Along: mustLength(t, c.along), Across: mustLength(t, c.across), Match: c.match, Joined: c.joined}
		got := ""
		for _, r := range bom.CutRows(&panel, bom.Goods{Usable: 54 * unit.Inch, Repeat: mustLength(t, c.repeat), Seam: unit.Inch / 2}, bom.Inch) {
			got += fmt.Sprintf("%d a row, %d rows of %s; ", r.InRow, r.Rows, r.Run)
		}
		if got != c.want {
			t.Errorf("%d of %s x %s: %s; want %s", c.pieces, c.along, c.across, got, c.want)
		}
	}
}

func TestAmountsThatDoNotFitAreErrors(t *testing.T) {
	one, nought := mustRatio(t, "1"), unit.Ratio{}
	if _, err := bom.PowderMass(math.MaxInt64, 2*unit.Metre, one, one); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("powder on the largest area: %v", err)
	}
	if _, err := bom.PowderMass(unit.SquareFoot, unit.Millimetre, one, nought); !errors.Is(err, unit.ErrDivideByZero) {
		t.Errorf("powder of which none sticks: %v", err)
	}
	if _, err := bom.LiquidVolume(math.MaxInt64, 2*unit.Metre, one, one); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("liquid on the largest area: %v", err)
	}
	if _, err := bom.LiquidVolume(unit.SquareFoot, unit.Millimetre, nought, one); !errors.Is(err, unit.ErrDivideByZero) {
		t.Errorf("liquid without solids: %v", err)
	}
	huge, err := unit.NewRatio(math.MaxInt64, 1)
	if err != nil {
		t.Fatal(err)
	}
	for name, moved := range map[string]func() (unit.Length, error){
		"moisture": func() (unit.Length, error) {
			low, err := huge.Neg()
			if err != nil {
				return 0, err
			}
			return bom.Movement(unit.Inch, one, low, huge)
		},
		"percent":     func() (unit.Length, error) { return bom.Movement(unit.Inch, one, nought, huge) },
		"coefficient": func() (unit.Length, error) { return bom.Movement(unit.Inch, huge, nought, one) },
		"width":       func() (unit.Length, error) { return bom.Movement(math.MaxInt64, one, nought, one) },
	} {
		if l, err := moved(); !errors.Is(err, unit.ErrOverflow) {
			t.Errorf("movement with too large a %s: %s, %v", name, l, err)
		}
	}
	// Beyond what a mass by cubic foot can be, the papers show no density.
	class, density := bom.FreightClass(math.MaxInt64, 1, read(t).Freight.Classes), bom.Inch.Density(math.MaxInt64, 1)
	if class != "50" || density != "" {
		t.Errorf("the densest carton: %s, %q", class, density)
	}
}

// edited is the demonstration with texts replaced in its files, each of which
// must be there.
func edited(t *testing.T, extra string, pairs ...string) *catalog.Catalog {
	t.Helper()
	files := demonstration.Files()
	for i := 0; i < len(pairs); i += 2 {
		found := false
		for k := range files {
			if bytes.Contains(files[k].Bytes, []byte(pairs[i])) {
				found = true
				files[k].Bytes = bytes.ReplaceAll(files[k].Bytes, []byte(pairs[i]), []byte(pairs[i+1]))
			}
		}
		if !found {
			t.Fatalf("no file has %q", pairs[i])
		}
	}
	if extra != "" {
		files = append(files, files[0])
		files[len(files)-1].Path, files[len(files)-1].Bytes = "extra.yaml", []byte(extra)
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

const bars = `
products:
  bars:
    name: Bars
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 300 in, step_inch: 1/64 in, step_metric: 1 mm}}
    parts:
      bar:
        steel: {section: flat-bar-2, straight: length}
      one-end:
        steel: {section: flat-bar-2, mitred: {long_point: length, across: 2 in, first: 30, second: 0}}
      flat-ring:
        steel: {section: flat-bar-2, ring: {outside: len('20 in')}}
      tube-ring:
        steel: {section: rect-tube-2-1, ring: {outside: len('20 in')}}
`

// A bar of 240 in gives 240, 239 1/2 or 239 in, by the ends that are trimmed.
func TestTrimmedEndsShortenABar(t *testing.T) {
	const both = "bar_trim_ends:\n    choice: both"
	for ends, longest := range map[string]string{"both": "239 in", "one": "239 1/2 in", "none": "240 in"} {
		cat := edited(t, bars, both, strings.Replace(both, "both", ends, 1))
		explode(t, cat, 1, "bars", "length="+longest)
		config, _ := cat.Check("bars", picks("length="+(mustLength(t, longest)+unit.Inch/64).String()), cat.Workshop.Effective)
		bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		if bill != nil || len(findings) != 2 || findings[0].Code != "steel.too-long" {
			t.Errorf("%s trimmed: 1/64 in more than %s gives %+v", ends, longest, findings)
		}
	}
}

// A saw that cuts after every piece takes its kerf of 1/8 in off the last one of a
// bar too: 240 in less 2 x 1/2 in and 1/8 in are 238 7/8 in.
func TestACutAfterEveryPieceShortensABar(t *testing.T) {
	cat := edited(t, bars, "choice: between pieces", "choice: after every piece")
	explode(t, cat, 1, "bars", "length=238 7/8 in")
	config, _ := cat.Check("bars", picks("length=238 57/64 in"), cat.Workshop.Effective)
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	if bill != nil || len(findings) != 2 || findings[0].Code != "steel.too-long" || !strings.Contains(findings[0].Message, "238 7/8 in") {
		t.Errorf("1/64 in more than 238 7/8 in gives %+v", findings)
	}
}

// Worked by hand: tan 30° = 0.577350, so that 2 in across takes 1.154701 in off
// 30 in: 28.845299 in, 732.670606 mm. A 2 x 1/4 in flat is rolled over its
// 1/4 in: pi·(20 - 1/4) = 62.046 in; a 2 x 1 in tube over its 1 in: pi·19 =
// 59.690 in. A closed ring has no ends to coat: 62.046·4-1/2 = 279.21 in2.
func TestShapesByHand(t *testing.T) {
	steel := explode(t, readWith(t, bars), 1, "bars", "length=30 in").Lines[0].Steel
	oneEnd, flat, tube := steel[1], steel[2], steel[3]
	if off := *oneEnd.ShortPoint - mustLength(t, "732.670606 mm"); off < -1 || off > 1 || oneEnd.Ends != "30° off square, square" {
		t.Errorf("short point %s, ends %s", oneEnd.ShortPoint, oneEnd.Ends)
	}
	for _, c := range []struct {
		row           bom.SteelRow
		finished, cut string
		coated        float64
	}{{flat, "62 3/64 in", "74 1/16 in", 279.21}, {tube, "59 11/16 in", "71 11/16 in", 358.14}} {
		if off := c.row.Finished - mustLength(t, c.finished); off < -unit.Inch/32 || off > unit.Inch/32 || c.row.Shape != "rolled ring" {
			t.Errorf("%s: finished %s, want %s to 1/32 in", c.row.Path, c.row.Finished, c.finished)
		}
		if off := c.row.Cut - mustLength(t, c.cut); off < -unit.Inch/32 || off > unit.Inch/32 {
			t.Errorf("%s: cut %s, want %s to 1/32 in", c.row.Path, c.row.Cut, c.cut)
		}
		if got := float64(c.row.Coated) / float64(unit.SquareInch); math.Abs(got-c.coated) > 0.01 {
			t.Errorf("%s: coated %v in2, want %v", c.row.Path, got, c.coated)
		}
	}
}

const settee = `
products:
  settee:
    name: Settee
    lead_days: 1
    attributes:
      seat: {name: Seat cloth, choose: {from: fabrics, among: [oat-weave, slate-twill]}, default: oat-weave}
      back: {name: Back cloth, choose: {from: fabrics, among: [oat-weave, slate-twill]}, default: oat-weave}
    parts:
      frame:
        pieces: 2
        metal_finish: "'soot'"
        parts:
          inner:
            pieces: 2
            parts:
              bar:
                steel: {section: square-bar-1, straight: len('10 in')}
          outer:
            steel: {section: square-bar-1, straight: len('20 in')}
      foot:
        metal_finish: "'reed-bronze'"
        parts:
          bar:
            steel: {section: square-bar-1, straight: len('10 in')}
      loose:
        steel: {section: square-bar-1, straight: len('10 in')}
      seat-cushion:
        cushion: {form: boxed-plain, cloth: seat, foam: seat-foam, length: len('20 in'), width: len('20 in'), height: len('3 in')}
      back-cushion:
        cushion: {form: boxed-plain, cloth: back, foam: seat-foam, length: len('20 in'), width: len('16 in'), height: len('3 in')}
`

// Cloth is laid out for the whole line: one row of the bill for one cloth,
// whatever cushions it goes on, and two rows for two.
func TestClothIsSummedByFabric(t *testing.T) {
	cat := readWith(t, settee)
	one := explode(t, cat, 1, "settee", "").Lines[0].Cloth
	two := explode(t, cat, 1, "settee", "back=slate-twill").Lines[0].Cloth
	if len(one) != 1 || len(two) != 2 || one[0].Path != "seat-cushion/cloth" || two[1].Path != "back-cushion/cloth" {
		t.Fatalf("one cloth %+v, two %+v", one, two)
	}
	// 21 + 2·4 in for the seat, 17 + 2·4 in for the back (two plates of 21 in
	// lie across 53 in): 54 in together is 1 1/2 yd; apart 29 in is 1 yd and
	// 25 in is 3/4 yd.
	if one[0].Length.In(bom.Inch) != "1.50 yd" || two[0].Length.In(bom.Inch) != "1.00 yd" || two[1].Length.In(bom.Inch) != "0.75 yd" {
		t.Errorf("together %s, apart %s and %s", one[0].Length.In(bom.Inch), two[0].Length.In(bom.Inch), two[1].Length.In(bom.Inch))
	}
}

// Steel is finished with the group around it, once for each such group, and
// steel in no such group not at all.
func TestSteelIsFinishedWithItsGroup(t *testing.T) {
	areas := make(map[string]string)
	pieces := make(map[string]int)
	for _, row := range explode(t, readWith(t, settee), 3, "settee", "").Lines[0].Finish {
		areas[row.Path[:5]], pieces[row.Path[:5]] = row.Area.In(bom.Inch), row.Pieces
	}
	// 3 settees of 2 frames, in each 2 bars of 4·10 + 2 = 42 in2 and one of
	// 4·20 + 2 = 82: 6·166/144 = 6.92 ft2. 3 feet of 42 in2: 126/144 = 0.875.
	if areas["frame"] != "6.92 ft2" || areas["foot/"] != "0.88 ft2" || len(areas) != 2 {
		t.Errorf("finished areas %v", areas)
	}
	if pieces["frame"] != 6 || pieces["foot/"] != 3 {
		t.Errorf("finished pieces %v", pieces)
	}
}

// A flammable coating is known by itself, not by a name it may share.
func TestFlammableCoatingsAreKnownByThemselves(t *testing.T) {
	cat := edited(t, "", "name: Rubbing wax", "name: Rubbing glaze")
	var flammable []string
	for _, c := range explode(t, cat, 1, "pell-stool", "metal_finish=reed-bronze").Lines[0].Cautions {
		if c.Code == "flammable-finish" {
			flammable = append(flammable, c.Path)
		}
	}
	if got := strings.Join(flammable, " "); got != "base/finish/10 base/finish/12" {
		t.Errorf("flammable steps %s: the glaze and the lacquer are, the wax is not", got)
	}
}
