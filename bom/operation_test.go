package bom_test

import (
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/unit"

	"fmt"
	"strings"
)

const bench3 = `
products:
  worked:
    name: Worked
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1/64 in, to: 300 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 30 in}
    parts:
      bar:
        pieces: 2
        steel:
          section: square-bar-1
          straight: length
          work:
            - {do: dress, minutes: 2, minutes_per_ft: 1}
            - {do: wax, minutes_per_m: 10}
            - {do: look at it}
      leg:
        pieces: 2
        steel:
          section: round-bar-1-2
          bent: {runs: [{straight: len('4 in')}, {angle: 90, radius: len('2 in')}, {straight: len('4 in')}, {angle: 90, radius: len('2 in')}]}
          work: [{do: bend, minutes: 1, minutes_per_bend: 3/2}]
      hoop:
        steel:
          section: round-bar-1-2
          hoop: {length: len('20 in'), width: len('10 in'), radius: len('2 in')}
          work: [{do: bend, minutes_per_bend: 2}]
      spike:
        steel:
          section: square-bar-1
          drawn: {taper: len('6 in')}
          forging: {scale_loss: 4 %, heats: 3}
          work: [{do: forge, minutes: 2, minutes_per_heat: 5}]
`

// Worked by hand, for two units: 4 bars of 30 in at 2 + 30/12 min = 18.0; 4 of
// 0.762 m at 10 min = 30.48, 30.5; 4 legs at 1 + 2 x 1 1/2 = 16.0; 2 hoops of four
// corners at 8 = 16.0; 2 spikes at 2 + 3 x 5 = 34.0.
func TestMinutesGoByPieceLengthBendAndHeat(t *testing.T) {
	var got []string
	for _, row := range explode(t, readWith(t, bench3), 2, "worked", "").Lines[0].Steel {
		for _, work := range row.Work {
			got = append(got, fmt.Sprintf("%s %s %s", row.Path, work.Work, work.Minutes))
		}
	}
	want := "bar dress 18.0 min; bar wax 30.5 min; bar look at it 0.0 min; leg bend 16.0 min; hoop bend 16.0 min; spike forge 34.0 min"
	if text := strings.Join(got, "; "); text != want {
		t.Errorf("%s\nwant %s", text, want)
	}
}

// The saw's stop: finished and cut lengths are multiples of their fractions and
// lie where their modes say.
func TestRoundingsOfFinishedAndCutLengths(t *testing.T) {
	const finished, cut = "steel_finished:\n    rounding: {mode: nearest, to: 1/32 in}", "steel_cut:\n    rounding: {mode: up, to: 1/32 in}"
	for _, mode := range []string{"up", "nearest", "down"} {
		cat := edited(t, bench3, finished, strings.ReplaceAll(strings.Replace(finished, "nearest", mode, 1), "1/32", "1/16"),
			cut, strings.ReplaceAll(strings.Replace(cut, "up", mode, 1), "1/32", "1/8"))
		rapid.Check(t, func(t *rapid.T) {
			length := unit.Length(rapid.Int64Range(64, 200*64).Draw(t, "length")) * unit.Inch / 64
			row := explodeRapid(t, cat, "worked", "length="+length.String())["bar"]
			for name, rounded := range map[string]struct{ got, to unit.Length }{"finished": {row.Finished, unit.Inch / 16}, "cut": {row.Cut, unit.Inch / 8}} {
				over := rounded.got - length
				within := map[string]bool{"up": over >= 0 && over < rounded.to, "down": over <= 0 && over > -rounded.to, "nearest": 2*over <= rounded.to && 2*over > -rounded.to}
				if rounded.got%rounded.to != 0 || !within[mode] {
					t.Fatalf("%s %s to %s of %s is %s", name, mode, rounded.to, length, rounded.got)
				}
			}
		})
	}
}

// The straight ends that the rolls leave are cut with the ring and trimmed off.
func TestARingIsTrimmedOnceItIsRolled(t *testing.T) {
	row := explode(t, readWith(t, handbookProducts), 1, "smithing", "").Lines[0].Steel[2]
	if row.Trim == nil || *row.Trim != 12*unit.Inch || row.Finished >= row.Cut || row.Cut-row.Finished-*row.Trim > unit.Inch/16 {
		t.Errorf("finished %s, cut %s, trim %v", row.Finished, row.Cut, row.Trim)
	}
	for _, other := range explode(t, readWith(t, bench3), 1, "worked", "").Lines[0].Steel {
		if other.Trim != nil {
			t.Errorf("%s is trimmed by %s", other.Path, other.Trim)
		}
	}
}
