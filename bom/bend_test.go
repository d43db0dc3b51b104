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

const brake = `
standards:
  k_of_test: {ratio: 0.42, source: Made for the tests}
products:
  folded:
    name: Folded
    lead_days: 1
    attributes:
      leg: {name: Leg, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 3 in}
      second: {name: Second leg, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 3 in}
      inside: {name: Inside radius, size: {from: 1/64 in, to: 9 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 1/4 in}
      radius: {name: Radius, size: {from: 1/64 in, to: 90 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 2 in}
      tenths: {name: Tenths of K, count: {from: 0, to: 9}, default: 4}
    parts:
      bracket:
        steel:
          section: flat-bar-2
          bent:
            k_factor: standard.k_of_test
            runs: [{outside: leg}, {angle: 90, inside: inside}, {outside: second}]
      channel:
        steel:
          section: flat-bar-2
          bent:
            k_factor: tenths * frac('1/10')
            runs:
              - {outside: leg}
              - {angle: 45, inside: inside}
              - {outside: len('20 in')}
              - {angle: 135, inside: inside, turn: 180}
              - {outside: len('6 in')}
              - {angle: 22.5, inside: inside}
              - {straight: len('2 in')}
      hanger:
        steel:
          section: round-bar-1-2
          bent:
            runs:
              - {straight: len('2 in')}
              - {angle: 90, radius: radius}
              - {outside: len('10 in')}
              - {angle: 90, radius: radius, turn: 90}
              - {straight: len('2 in')}
              - {angle: 45, radius: radius, turn: 135}
              - {straight: len('1 in')}
              - {angle: 45, radius: radius, turn: -90}
`

func folded(t testing.TB, text string) map[string]bom.SteelRow {
	t.Helper()
	rows := make(map[string]bom.SteelRow)
	for _, row := range explode(t, readWith(t, brake), 1, "folded", text).Lines[0].Steel {
		rows[row.Path] = row
	}
	return rows
}

// Worked by hand. Bracket: handbook F-29, 5.5576 in. Channel, K 0.4, so that the
// neutral radius is 1/4 + 0.4 x 1/4 = 0.35 in, and the outside one 1/2 in: arcs of
// 0.274889, 0.824668 and 0.137445 in; setbacks of 1/2 x tan 22.5 = 0.207107, beyond
// 90 degrees 1/2, and 1/2 x tan 11.25 = 0.099456; straights 3 - 0.207107 = 2.792893,
// 20 - 0.207107 - 0.5 = 19.292893, 6 - 0.5 - 0.099456 = 5.400544 and 2: 30.723333
// in. Hanger: arcs of pi, pi, pi/2 and pi/2; the leg over the outside loses 2 1/4
// in twice: 2 + 5 1/2 + 2 + 1 + 3 pi = 19.924778 in.
func TestBendsByHand(t *testing.T) {
	rows := folded(t, "")
	for path, want := range map[string]string{
		"bracket": "5 9/16 in", "channel": "30 23/32 in", "hanger": "19 15/16 in",
	} {
		if row := rows[path]; row.Finished != mustLength(t, want) || row.Cut < row.Finished-unit.Inch/32 || row.Shape != "bent" {
			t.Errorf("%s: %s finished %s, cut %s; want %s", path, row.Shape, row.Finished, row.Cut, want)
		}
	}
	for _, c := range []struct{ path, schedule string }{
		{"bracket", "2 1/2 in to 3 1/16 in: 90° 3/8 in, inside 1/4 in K 0.42"},
		// 2.792893; 3.067782; 22.360675; 23.185343; 28.585887; 28.723332
		{"channel", "2 25/32 in to 3 1/16 in: 45° 3/8 in, inside 1/4 in K 0.4; 22 3/8 in to 23 3/16 in: 135° 3/8 in, turn 180 plane 180, inside 1/4 in K 0.4; 28 19/32 in to 28 23/32 in: 22.5° 3/8 in, plane 180, inside 1/4 in K 0.4"},
		// 2; 5.141593; 10.641593; 13.783185; 15.783185; 17.353982; 18.353982; 19.924778
		{"hanger", "2 in to 5 5/32 in: 90° 2 in; 10 21/32 in to 13 25/32 in: 90° 2 in, turn 90 plane 90; 15 25/32 in to 17 11/32 in: 45° 2 in, turn 135 plane -135; 18 11/32 in to 19 15/16 in: 45° 2 in, turn -90 plane 135"},
	} {
		if got := scheduleText(rows[c.path].Bends); got != c.schedule {
			t.Errorf("%s:\n%s\nwant\n%s", c.path, got, c.schedule)
		}
	}
}

func scheduleText(bends []bom.Bend) string {
	var lines []string
	for _, b := range bends {
		line := b.At.String()
		if b.Until != nil {
			line += " to " + b.Until.String()
		}
		line += fmt.Sprintf(": %v° %s", b.Angle, b.Radius)
		if b.Turn != 0 {
			line += fmt.Sprintf(", turn %v", b.Turn)
		}
		if b.Plane != 0 {
			sep := ", "
			if b.Turn != 0 {
				sep = " "
			}
			line += fmt.Sprintf("%splane %v", sep, b.Plane)
		}
		if b.Inside != nil {
			line += fmt.Sprintf(", inside %s K %s", b.Inside, b.KFactor)
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "; ")
}

// A flat that is bent weighs what its blank does, and no more.
func TestABentFlatWeighsWhatItsBlankDoes(t *testing.T) {
	cat := readWith(t, brake)
	row := folded(t, "")["bracket"]
	section, _ := cat.Sections.Get("flat-bar-2")
	blank, err := section.Mass(mustLength(t, "141.163871 mm")) // 5.557633 in
	if err != nil || math.Abs(float64(row.Weight)-float64(blank)) > 10 {
		t.Errorf("the bracket weighs %d ug, its blank %d ug: %v", row.Weight, blank, err)
	}
}

func TestBendsThatCannotBeMadeAreRefused(t *testing.T) {
	cat := readWith(t, brake)
	for _, c := range []struct{ picks, code, says string }{
		{"second=1/2 in", "length.not-positive", "the bends beside leg 3 take 1/2 in, which leaves nothing of 1/2 in over the outside; it must be longer than that"},
		{"tenths=0", "bend.k-factor", "is not more than 0 and up to 1/2, between the inside of the bend and its middle; the formula is Tenths of K"},
		{"tenths=6", "bend.k-factor", "= 3/5"},
		{"radius=15/64 in", "bend.too-tight", "a bar 1/2 in deep does not bend to a centre-line radius of 15/64 in; 1/4 in is the least"},
	} {
		if f := finding(t, cat, "folded", c.picks); f.Code != c.code || !strings.Contains(f.Message, c.says) {
			t.Errorf("%s: %+v, want %s %q", c.picks, f, c.code, c.says)
		}
	}
	for _, fits := range []string{"second=33/64 in", "tenths=5", "tenths=1", "radius=1/4 in"} {
		folded(t, fits)
	}
}

// However the legs are measured, the blank is the same: over the outside less
// the deductions, or the straights and the arcs.
func TestLegsOverTheOutsideLessDeductionsAreTheBlank(t *testing.T) {
	cat := readWith(t, brake)
	rapid.Check(t, func(t *rapid.T) {
		leg := rapid.Int64Range(64, 90*64).Draw(t, "leg")
		second := rapid.Int64Range(64, 90*64).Draw(t, "second leg")
		inside := rapid.Int64Range(1, 47).Draw(t, "inside radius")
		text := fmt.Sprintf("leg=%d/64 in; second=%d/64 in; inside=%d/64 in", leg, second, inside)
		row := explodeRapid(t, cat, "folded", text)["bracket"]
		r := float64(inside) / 64
		arc := (r + 0.42*0.25) * math.Pi / 2
		want := float64(leg+second)/64 - 2*(r+0.25) + arc
		if got := inches(row.Finished); math.Abs(got-want) > 1.0/64+1e-9 || row.Cut < row.Finished-unit.Inch/32 {
			t.Fatalf("%s: %v in, want %v", text, got, want)
		}
		bend := row.Bends[0]
		if off := inches(*bend.Until-bend.At) - arc; math.Abs(off) > 1.0/32+1e-6 {
			t.Fatalf("%s: the bend runs from %s to %s, its arc is %v in", text, bend.At, bend.Until, arc)
		}
	})
}

// A bend measured over the outside is where a rule says it is: up to a right
// angle at the corner of the outsides, beyond it where the rule stops.
func TestSetback(t *testing.T) {
	for _, c := range []struct{ outside, degrees, want float64 }{
		{1, 90, 1}, {1, 135, 1}, {1, 180, 1}, {2, 60, 2 * math.Tan(math.Pi/6)}, {0.5, 45, 0.20710678},
	} {
		if got := bom.Setback(c.outside, c.degrees); math.Abs(got-c.want) > 1e-7 {
			t.Errorf("%v° on %v: %v, want %v", c.degrees, c.outside, got, c.want)
		}
	}
}

// A flat bent with K = 1/2 keeps its length on the centre line, as bar does.
func TestKOfAHalfIsTheCentreLine(t *testing.T) {
	half := mustRatio(t, "1/2")
	for _, degrees := range []float64{22.5, 90, 180} {
		k := bom.BendAllowance(unit.Inch, unit.Inch/4, half, degrees)
		if arc := bom.ArcLength(unit.Inch*9/8, degrees); math.Abs(k-arc) > 1e-3 {
			t.Errorf("%v°: %v by K, %v on the centre line", degrees, k, arc)
		}
	}
}
