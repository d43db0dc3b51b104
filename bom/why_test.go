package bom_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
)

func traced(t fataler, cat *catalog.Catalog, lines ...bom.Line) *bom.Trace {
	t.Helper()
	bill, working, findings := bom.Explode(cat, lines, true)
	if len(findings) > 0 {
		t.Fatalf("findings: %+v", findings)
	}
	return &bom.Trace{Catalog: cat, Lines: lines, Bill: bill, Working: working}
}

// configured is a configuration of the demonstration or ends the test.
func configured(t *testing.T, cat *catalog.Catalog, product string, picks ...string) *catalog.Config {
	t.Helper()
	var list []catalog.Pick
	for i := 0; i < len(picks); i += 2 {
		list = append(list, catalog.Pick{Attribute: picks[i], Text: picks[i+1]})
	}
	config, findings := cat.Check(product, list, cat.Workshop.Effective)
	if config == nil {
		t.Fatal(findings)
	}
	return config
}

// Whatever is ordered, each row of the bill has its reasons, and every standard
// and source in them is cited with where it comes from.
func TestEveryRowAnswersWhy(t *testing.T) {
	for name, cat := range map[string]*catalog.Catalog{"demonstration": read(t), "metric": metricShop(t)} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				roll := func(n int) int { return rapid.IntRange(0, n-1).Draw(t, "roll") }
				config := anyConfig(cat, roll)
				if config == nil {
					return
				}
				line := bom.Line{Number: 3, Quantity: 1 + roll(4), Config: config}
				if bill, _, _ := bom.Explode(cat, []bom.Line{line}, false); bill == nil {
					return // refused by a limit of the material
				}
				trace := traced(t, cat, line)
				paths := rowPaths(t, document(t, trace.Bill))
				if len(paths) == 0 {
					t.Fatalf("no rows")
				}
				for _, path := range paths {
					why, err := trace.Why(bom.RowAddress(3, path))
					if err != nil {
						t.Fatalf("%s: %v", path, err)
					}
					hasReasons(t, why)
				}
			})
		})
	}
}

func hasReasons(t fataler, why *bom.Why) {
	t.Helper()
	if len(why.Figures) == 0 || len(why.Values) == 0 || why.Part == "" || !why.Effective.Valid() {
		t.Fatalf("%s: no reasons: %+v", why.Row, why)
	}
	for _, f := range why.Figures {
		if f.Text == "" || f.Figure == "" || f.Formula != "" && f.Text == f.Formula && len(f.Inputs) > 0 {
			t.Fatalf("%s: %+v", why.Row, f)
		}
		for _, in := range f.Inputs {
			if in.Name == "" || in.Value == "" || !strings.Contains(f.Formula, in.Name) {
				t.Fatalf("%s, %s: input %+v of %q", why.Row, f.Figure, in, f.Formula)
			}
		}
	}
	for _, s := range why.Standards {
		if s.Value == "" || s.Source == "" {
			t.Fatalf("%s: standard %+v", why.Row, s)
		}
	}
	for _, s := range why.Sources {
		if s.Of == "" || s.Source == "" {
			t.Fatalf("%s: source %+v", why.Row, s)
		}
	}
}

// rowPaths are the paths of a document's rows, read apart from the program: the
// members of a line's lists that have one.
func rowPaths(t fataler, document []byte) (paths []string) {
	t.Helper()
	var bill struct {
		Lines []map[string]json.RawMessage `json:"lines"`
	}
	if err := json.Unmarshal(document, &bill); err != nil {
		t.Fatalf("%v", err)
	}
	for _, line := range bill.Lines {
		for part, value := range line {
			var rows []struct{ Path string }
			if part == "cautions" || json.Unmarshal(value, &rows) != nil {
				continue
			}
			for _, row := range rows {
				paths = append(paths, row.Path)
			}
		}
	}
	return paths
}

// The leg of a table 28 in high, worked by hand from the catalog: the top of
// 1 1/4 in, the rail of 2 in and the glide of 1/4 in come off the height.
func TestWhyALegIsAsLongAsItIs(t *testing.T) {
	cat := read(t)
	config := configured(t, cat, "brackwater-table", "height", "28 in", "length", "72 in", "width", "36 in")
	trace := traced(t, cat, bom.Line{Number: 2, Quantity: 3, Config: config})
	why, err := trace.Why("2/base/leg")
	if err != nil {
		t.Fatal(err)
	}
	want := `2/base/leg: line 2, brackwater-table, a row of steel
catalog revision 0 in force from 2026-11-02, arithmetic ` + fmt.Sprint(bom.Arithmetic) + `
  top_thickness = 1 1/4 in
  rail_depth = 2 in
  leg_length = height - top_thickness - rail_depth - standard.glide_height = 28 in - 1 1/4 in - 2 in - 1/4 in = 24 1/2 in
      height = 28 in, chosen: "28 in"
      top_thickness = 1 1/4 in, a figure of the product, above
      rail_depth = 2 in, a figure of the product, above
      standard.glide_height = 1/4 in, a standard, below
  base › leg, pieces = 4
  base › leg, pieces in all = 4 a unit · 3 units = 12
  base › leg, length = leg_length = 24 1/2 in
      leg_length = 24 1/2 in, a figure of the product, above
  base › leg, cut length = 24 1/2 in + 0 in allowance, rounded = 24 1/2 in
      by the standards steel_finished, steel_cut
  base › leg, longest cut from the rack = 2 in square tube, 1/8 in wall = 239 in
      by the standards bar_trim_ends, bar_trim, kerf_placement
  base › leg, finished length = 24 1/2 in developed, rounded = 24 1/2 in
  base › leg, weight of a piece = 24 1/2 in of 2 in square tube, 1/8 in wall, by its geometry and the steel's density = 6.23 lb
  base › leg, coated area of a piece = 192.298227 mm around · 24 1/2 in + both ends = 1.30 ft2
  base › leg, minutes to weld in glide plug = 12 pieces · 4 min = 48.0 min
  base › leg, minutes to level = 12 pieces · 3 min = 36.0 min
  base › leg, weight = 12 pieces · 6.23 lb each = 74.80 lb
  base › leg, coated area = 12 pieces · 1.30 ft2 each = 15.61 ft2
standards
  glide_height = 1/4 in (Height of this shop's glide over the floor; the shop's own choice)
  steel_finished = nearest to 1/32 in (Common practice: the saw stop is read to 1/32 in)
  steel_cut = up to 1/32 in (Common practice: a short piece is scrap, a long one is dressed)
  bar_trim_ends = both (Common practice)
  bar_trim = 1/2 in (Common practice: the sheared end of a mill bar is cut away)
  kerf_placement = between pieces (Common practice; the last piece of a bar ends at the trim)
`
	if text := why.Text(); text != want {
		t.Errorf("%s\nwant\n%s", text, want)
	}
	if string(why.Values) == "" || why.Part != "steel" {
		t.Errorf("%+v", why)
	}
}

func TestWhyOfNoRow(t *testing.T) {
	cat := read(t)
	trace := traced(t, cat, bom.Line{Number: 1, Quantity: 1, Config: configured(t, cat, "brackwater-table")})
	for address, says := range map[string]string{
		"":               "no such row: an address is LINE/PATH, such as 1/",
		"2/base/leg":     "no such row: an address is LINE/PATH, such as 1/",
		"1":              "no such row: an address is LINE/PATH, such as 1/",
		"1/base/stretch": "no such row: line 1 has base/leg, base/long-rail",
		"1/base/":        "no such row: line 1 has base/leg, base/long-rail",
	} {
		_, err := trace.Why(address)
		if !errors.Is(err, bom.ErrNoRow) || !strings.HasPrefix(err.Error(), says) {
			t.Errorf("%q: %v, want %s", address, err, says)
		}
	}
}
