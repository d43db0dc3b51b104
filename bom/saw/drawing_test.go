package saw

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

var update = flag.Bool("update", false, "rewrite the drawings and texts of testdata")

func drawn(t *testing.T, title string, units bom.Units, plans ...*Plan) string {
	t.Helper()
	var b strings.Builder
	if err := Draw(&b, title, plans, units); err != nil {
		t.Fatal(err)
	}
	wellFormed(t, b.String())
	return b.String()
}

// wellFormed reads a drawing as XML to its end.
func wellFormed(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("%v\n%s", err, svg)
		}
	}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := "testdata/" + name
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s comes out otherwise; if that is meant, run with -update:\n%s", name, got)
	}
}

// withOffcuts is the week with an offcut on the rack and a bar to order.
func withOffcuts() *List {
	return &List{Section: "square-bar-1", Name: "1 in square bar", Saw: shopSaw,
		Pieces: append(week(), piece("2B8T-44ZP", "3/arch", "250", 1)),
		Stock:  []Stock{bar("240", 7900), {Length: inches("288"), Price: 9600, Limit: 1, LeadDays: 3}, {Length: inches("70"), Limit: 2, Offcut: true}}}
}

func TestDrawingsAndTexts(t *testing.T) {
	plan := reckoned(t, withOffcuts())
	golden(t, "week.svg", drawn(t, "Week 2026-W52", bom.Inch, plan))
	golden(t, "week.txt", plan.Text(bom.Inch))
	metric := reckoned(t, &List{Section: "tube-40", Pieces: []Piece{{Mark: "leg", Length: 730 * unit.Millimetre, Count: 20}},
		Stock: []Stock{{Length: 6 * unit.Metre, Limit: cutting.Unlimited}}, Saw: Saw{Kerf: 3 * unit.Millimetre, AfterEvery: true, TrimStart: 10 * unit.Millimetre, Keep: 500 * unit.Millimetre}})
	golden(t, "metric.txt", metric.Text(bom.Metric))
}

// The drawing is to scale: along each bar the trims, pieces, kerfs and what is
// left are as wide together as the bar, but for the rounding of each to 1/100.
func TestADrawingIsToScale(t *testing.T) {
	plan := reckoned(t, withOffcuts())
	svg := drawn(t, "", bom.Inch, plan)
	rect := regexp.MustCompile(`<rect x="([0-9.]+)" y="(\d+)" width="([0-9.]+)" height="34" (fill="none")?`)
	sums, outlines, parts := map[string]float64{}, map[string]float64{}, map[string]int{}
	for _, m := range regexp.MustCompile(`<rect [^>]*>`).FindAllString(svg, -1) {
		found := rect.FindStringSubmatch(strings.Replace(m, "/>", " />", 1))
		if found == nil {
			continue
		}
		width, err := strconv.ParseFloat(found[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		if found[4] != "" {
			outlines[found[2]] = width
			continue
		}
		sums[found[2]] += width
		parts[found[2]]++
	}
	if len(outlines) != len(plan.Bars) {
		t.Fatalf("%d bars are drawn of %d", len(outlines), len(plan.Bars))
	}
	for y, width := range outlines {
		if off := sums[y] - width; off > 0.005*float64(parts[y]+1) || off < -0.005*float64(parts[y]+1) {
			t.Errorf("the bar at %s is %.2f wide and its %d parts %.2f", y, width, parts[y], sums[y])
		}
	}
	for _, words := range []string{`<desc id="drawing-says">`, "trim 1/2 in; ", "2B8T-44ZP 3/arch", "to order", "from the rack", "url(#waste)"} {
		if !strings.Contains(svg, words) {
			t.Errorf("the drawing does not have %q", words)
		}
	}
}

// Marks are people's text and stay text.
func TestHostileMarksAreOnlyDrawn(t *testing.T) {
	for _, mark := range []string{`</text><script>alert(1)</script>`, `"&<>'`, "\x00\x1b[2J\ufffe", "]]>", `{{.Title}}`} {
		plan := reckoned(t, &List{Section: mark, Pieces: []Piece{{Mark: mark, Length: 100 * unit.Inch, Count: 2}}, Stock: []Stock{bar("240", 0)}, Saw: shopSaw})
		svg := drawn(t, mark, bom.Inch, plan)
		if strings.Contains(svg, "<script") || strings.Contains(svg, "\x1b") {
			t.Errorf("%q is in the drawing as it is", mark)
		}
		if text := plan.Text(bom.Inch); strings.ContainsAny(strings.ReplaceAll(text, mark, ""), "\x00\x1b") && !strings.Contains(mark, "\x1b") {
			t.Errorf("%q reaches the terminal: %q", mark, text)
		}
	}
}

// A run of a great many pieces is drawn as one.
func TestALongRunIsDrawnAsOne(t *testing.T) {
	plan := reckoned(t, &List{Pieces: []Piece{{Mark: "pin", Length: unit.Millimetre, Count: 1_000_000}}, Stock: []Stock{{Length: 6 * unit.Metre, Limit: cutting.Unlimited}}})
	svg := drawn(t, "", bom.Metric, plan)
	if len(svg) > 10_000 || !strings.Contains(svg, "6000 x 1 mm") {
		t.Errorf("%d bytes", len(svg))
	}
}

func TestNothingToCutIsDrawn(t *testing.T) {
	if svg := drawn(t, "Week 2026-W01", bom.Inch); !strings.Contains(svg, "Nothing is to be cut.") {
		t.Error(svg)
	}
}
