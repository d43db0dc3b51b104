package picture

import (
	"strings"
	"testing"

	"billwright/bom"
)

// hours are minutes as bills keep them, in tenths.
func hours(n int) bom.Minutes { return bom.Minutes(n * 600) }

func forge() []LoadStrip {
	return []LoadStrip{{"Forge", []LoadWeek{{"2026-W49", hours(32), hours(40), hours(30)}, {"2026-W50", hours(32), hours(20), hours(20)}, {"2026-W51", hours(24), hours(28), 0}, {"2026-W52", hours(0), hours(0), 0}}},
		{"Finish", []LoadWeek{{"2026-W49", hours(16), hours(8), hours(8)}, {"2026-W50", hours(16), 0, 0}, {"2026-W51", hours(16), hours(16), hours(4)}, {"2026-W52", hours(8), hours(1), hours(1)}}}}
}

// Columns are to one scale by department: 40 h, the most, are the whole height;
// the line of what there is stands at 32/40 of it.
func TestALoadIsToScale(t *testing.T) {
	p := Load("Load", forge()[:1])
	base := loadTop + 18*Pt + loadTall
	var boxes [][2]Dot // top and bottom
	var lines []Dot
	for i := range p.Items {
		item := &p.Items[i]
		switch {
		case item.Kind == Shape:
			boxes = append(boxes, [2]Dot{item.Points[0].Y, item.Points[2].Y})
		case item.Pen == Heavy:
			lines = append(lines, item.Points[0].Y)
		}
	}
	want := [][2]float64{{30, 0}, {40, 30}, {20, 0}, {28, 0}}
	if len(boxes) != len(want) || len(lines) != 4 {
		t.Fatalf("%d columns and %d lines", len(boxes), len(lines))
	}
	for i, b := range boxes {
		if !near(b[0], float64(base)-want[i][0]/40*float64(loadTall)) || !near(b[1], float64(base)-want[i][1]/40*float64(loadTall)) {
			t.Errorf("column %d from %v to %v, want %v of 40 h", i, b[0], b[1], want[i])
		}
	}
	for i, capacity := range []float64{32, 32, 24, 0} {
		if !near(lines[i], float64(base)-capacity/40*float64(loadTall)) {
			t.Errorf("week %d: what there is at %v", i, lines[i])
		}
	}
	if n := strings.Count(p.Says, "FULL"); n != 2 {
		t.Errorf("%d weeks are full: %s", n, p.Says)
	}
}

// 8 h behind, then none, then 4 h, which the closed week leaves as they are.
func TestWhatIsBehindIsCarriedOn(t *testing.T) {
	says := Load("Load", forge()).Says
	for _, want := range []string{"2026-W49 40 h of 32 h, accepted 30 h, FULL, behind 8 h", "2026-W50 20 h of 32 h, accepted 20 h, behind 0 h", "2026-W51 28 h of 24 h, accepted 0 h, FULL, behind 4 h",
		"2026-W52 0 h of 0 h, accepted 0 h, behind 4 h.", "Finish: 2026-W49 8 h of 16 h"} {
		if !strings.Contains(says, want) {
			t.Errorf("the words lack %q: %s", want, says)
		}
	}
	if says := Load("Load", nil).Says; says != "The catalog has no departments." {
		t.Errorf("none: %s", says)
	}
	for m, want := range map[bom.Minutes]string{0: "0 h", 600: "1 h", 900: "1.5 h", 29: "0 h", 30: "0.1 h", 38400: "64 h"} {
		if got := Hours(m); got != want {
			t.Errorf("%d: %s, want %s", m, got, want)
		}
	}
}
