package bom_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

const smithy = `
products:
  smithy:
    name: Smithy
    lead_days: 1
    attributes:
      hoop_length: {name: Length of the hoop, size: {from: 4 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 20 in}
      radius: {name: Radius, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 2 in}
      last: {name: Last radius, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 9 in}
      head: {name: Head, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 1/2 in}
      straight: {name: Straight, size: {from: 0 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 4 in}
    parts:
      hoop: {steel: {section: rect-tube-2-1, hoop: {length: hoop_length, width: len('10 in'), radius: radius}}}
      scroll: {steel: {section: round-bar-3-4, scroll: {first: last, last: radius, turns: 2.5}}}
      bolt:
        steel:
          section: square-bar-1
          upset: {length: len('8 in'), head: head, size: 2 in}
          forging: {scale_loss: 4 %, hot_cut: 1/8 in, heats: 3}
      spike:
        steel:
          section: square-bar-1
          drawn: {straight: straight - len('1 in'), taper: len('6 in'), end: 1/2}
          forging: {scale_loss: 0, heats: 1}
      twist: {steel: {section: square-bar-1, twisted: {length: len('20 in'), turns: 7/3, shortening: 0}}}
`

// Worked by hand: a 2 x 1 in tube is bent over its 1 in, so that the hoop is
// 19 by 9 in on the centre line: 2·28 - 8·2 + 2·pi·2 = 52.566371 in. The taper
// is 6·(1 + 1/2 + 1/4)/3 = 3.5 in of bar. A head of 1/2 in of 2 in square
// is 2 in of bar: 9.5 in, and /0.96 + 1/8 is 10.020833 in.
func TestForgedShapesByHand(t *testing.T) {
	rows := steelOf(t, "")
	for _, c := range []struct {
		path, shape, finished, cut, form string
	}{
		{"hoop", "hoop", "52.566371 in", "52.566371 in", ""},
		{"bolt", "upset", "8 in", "10.020833 in", "upset to 2 in over 1/2 in"},
		{"spike", "drawn", "9 in", "6 1/2 in", "drawn to 1/2 of the bar over 6 in"},
		{"twist", "twisted", "20 in", "20 in", "7/3 turns"},
	} {
		row := rows[c.path]
		near := func(got unit.Length, want string) bool {
			off := got - unit.Length(math.Round(asNumber(t, decimal(want))*float64(unit.Inch)))
			return off > -unit.Inch/16 && off < unit.Inch/16
		}
		if row.Shape != c.shape || row.Form != c.form || !near(row.Finished, c.finished) || !near(row.Cut, c.cut) {
			t.Errorf("%s: %s of %s cut %s, %q; want %+v", c.path, row.Shape, row.Finished, row.Cut, row.Form, c)
		}
	}
	if bends := rows["hoop"].Bends; len(bends) != 4 || rows["hoop"].Ends != "closed" {
		t.Errorf("the hoop's ends are %s, its bends %+v", rows["hoop"].Ends, bends)
	}
	for path, note := range map[string]bool{"bolt": false, "spike": false} {
		if f := rows[path].Forging; f == nil || (f.Note != "") != note {
			t.Errorf("%s: forging %+v", path, f)
		}
	}
	// 49/64 in of head take 3-1/16 in of a 1 in bar, over three times it; 3/4 in
	// take 3 in, which may be upset.
	if f := steelOf(t, "head=49/64 in")["bolt"].Forging; !strings.Contains(f.Note, "apt to fold") {
		t.Errorf("a long upset has the note %q", f.Note)
	}
	if f := steelOf(t, "head=3/4 in")["bolt"].Forging; f.Note != "" {
		t.Errorf("a short upset has the note %q", f.Note)
	}
}

// decimal turns "6 1/2 in" into "6.5", and "8 in" into "8".
func decimal(text string) string {
	number := strings.TrimSuffix(text, " in")
	if r, err := unit.ParseRatio(number); err == nil {
		if d, ok := r.Decimal(); ok {
			return d
		}
	}
	return number
}

func steelOf(t *testing.T, text string) map[string]bom.SteelRow {
	t.Helper()
	rows := make(map[string]bom.SteelRow)
	for _, row := range explode(t, readWith(t, smithy), 1, "smithy", text).Lines[0].Steel {
		rows[row.Path] = row
	}
	return rows
}

// A scroll is as long whichever of its ends is named first.
func TestAScrollHasTwoEnds(t *testing.T) {
	if in, out := bom.ScrollLength(unit.Inch, 5*unit.Inch, 2), bom.ScrollLength(5*unit.Inch, unit.Inch, 2); in != out {
		t.Errorf("%v and %v", in, out)
	}
}

func TestShapesThatCannotBeMadeAreRefused(t *testing.T) {
	cat := readWith(t, smithy)
	for _, c := range []struct{ picks, code, says string }{
		{"hoop_length=4 in", "hoop.too-tight", "corners of radius 2 in, from a bar 1 in deep, do not fit a hoop of 4 in by 10 in outside"},
		{"radius=31/64 in", "hoop.too-tight", "radius 31/64 in"},
		{"radius=4 1/2 in; last=20 in; hoop_length=9 63/64 in", "hoop.too-tight", "radius 4 1/2 in"},
		{"radius=3/8 in; last=23/64 in", "scroll.too-tight", "a bar 3/4 in deep does not bend to a centre-line radius of 23/64 in"},
		{"radius=1/2 in", "", ""},
		{"radius=2 in; last=3 7/8 in", "", ""},
		{"radius=2 in; last=3 55/64 in", "scroll.turns-touch", "2.5 turns between radii of 3 55/64 in and 2 in leave no room for a bar 3/4 in deep"},
		{"head=8 1/64 in", "upset.head-too-long", "a head of 8 1/64 in is longer than the whole piece, 8 in"},
		{"straight=1 in", "length.not-positive", "straight comes to nothing or less"},
	} {
		config, findings := cat.Check("smithy", picks(c.picks), cat.Workshop.Effective)
		if config == nil {
			t.Fatalf("%s: %+v", c.picks, findings)
		}
		_, _, findings = bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, true)
		if c.code == "" {
			if len(findings) > 0 {
				t.Errorf("%s: %+v", c.picks, findings)
			}
			continue
		}
		if !slices.ContainsFunc(findings, func(f catalog.Finding) bool { return f.Code == c.code && strings.Contains(f.Message, c.says) }) {
			t.Errorf("%s: want %s %q, got %+v", c.picks, c.code, c.says, findings)
		}
	}
}

// A hoop's corners are bent on the jig, whose radii are all that it bends to.
func TestAHoopIsBentOnItsJig(t *testing.T) {
	f := finding(t, metricShop(t), "quill-screen", "corner=61 mm")
	if f.Code != "bend.no-jig" || !strings.Contains(f.Message, "40 mm, 60 mm, 90 mm") {
		t.Errorf("a corner of 61 mm: %+v", f)
	}
}

// What a forged piece weighs and loses is what its stock weighs.
func TestMassInIsMassOutAndScale(t *testing.T) {
	cat := metricShop(t)
	bill := explode(t, cat, 1000, "heron-stand", "").Lines[0]
	for i, loss := range []float64{0.05, 0.04, 0.04} {
		row := &bill.Steel[i]
		section, _ := cat.Sections.Get(row.Section)
		in, err := section.Mass(unit.Length(float64(row.Forging.Stock) / (1 - loss)))
		if err != nil {
			t.Fatal(err)
		}
		out, scale := float64(row.Weight)/float64(row.Pieces), float64(in)*loss
		// The stock on the papers is to half a millimetre.
		if off := math.Abs(float64(in)-scale-out) / out; off > 0.002 || row.Cut <= row.Forging.Stock {
			t.Errorf("%s: %v in, %v out and %v of scale; stock %s, cut %s", row.Path, in, out, scale, row.Forging.Stock, row.Cut)
		}
	}
}

// Forging is hot work, welded or not.
func TestForgingIsHotWork(t *testing.T) {
	if strings.Contains(smithy, "welded") {
		t.Fatal("the smithy welds, so the test could not fail")
	}
	for _, c := range explode(t, readWith(t, smithy), 1, "smithy", "").Lines[0].Cautions {
		if c.Code == "hot-work" {
			return
		}
	}
	t.Error("no hot-work caution on forged pieces")
}
