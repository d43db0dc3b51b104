package bom_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
)

// benches explodes lines of one product, each by its picks.
func benches(t *testing.T, cat *catalog.Catalog, product string, lines ...string) (*bom.Bill, []bom.Working, []catalog.Finding) {
	t.Helper()
	var list []bom.Line
	for i, text := range lines {
		config, findings := cat.Check(product, picks(text), cat.Workshop.Effective)
		if config == nil {
			t.Fatalf("%s: %+v", text, findings)
		}
		list = append(list, bom.Line{Number: i + 1, Quantity: i + 1, Config: config})
	}
	return bom.Explode(cat, list, true)
}

func TestMatchSetsMakeOneBatch(t *testing.T) {
	bill, working, findings := benches(t, read(t), "hollin-bench",
		"match_set=Hall A", "match_set= hall-a", "match_set=hall b", "", "match_set=HALL A; metal_finish=harbour")
	if bill == nil {
		t.Fatal(findings)
	}
	got := map[string]string{}
	for _, b := range bill.Batches {
		got[b.Path] = strings.Join(b.Parts, " ")
	}
	want := map[string]string{
		"batch/hall-a/quay-varnish": "1/seat 2/seat 5/seat", "batch/hall-a/dusk": "1/base 2/base", "batch/hall-a/harbour": "5/base",
		"batch/hall-b/quay-varnish": "3/seat", "batch/hall-b/dusk": "3/base",
	}
	for path, parts := range want {
		if got[path] != parts {
			t.Errorf("%s has %q, want %q", path, got[path], parts)
		}
	}
	if len(got) != len(want) || len(bill.Batches) != len(want) {
		t.Errorf("batches %v", got)
	}
	for i := range bill.Batches {
		addsUp(t, bill, &bill.Batches[i])
		told := slices.ContainsFunc(working, func(w bom.Working) bool { return w.Path == bill.Batches[i].Path && w.Line == 0 })
		if !told {
			t.Errorf("nothing tells how %s came about", bill.Batches[i].Path)
		}
	}
	for _, line := range bill.Lines {
		for _, route := range line.Routes {
			if (route.Batch == "") != (line.Line == 4) || route.Batch != "" && !strings.Contains(want[route.Batch], strings.TrimSuffix(route.Path, "/finish")) {
				t.Errorf("line %d: %s is in %q", line.Line, route.Path, route.Batch)
			}
		}
	}
}

// addsUp makes sure that a batch is the sum of its parts' rows.
func addsUp(t *testing.T, bill *bom.Bill, b *bom.BatchRow) {
	t.Helper()
	pieces, area, work := 0, bom.Surface(0), bom.Minutes(0)
	var powder bom.Weight
	var liquid bom.Liquid
	for _, line := range bill.Lines {
		for _, row := range line.Finish {
			at := row.Path[:strings.LastIndex(row.Path, "/finish/")]
			if !slices.Contains(b.Parts, count(line.Line)+"/"+at) {
				continue
			}
			if row.Step == 1 {
				pieces, area = pieces+row.Pieces, area+row.Area
			}
			work += row.Minutes
			if row.Powder != nil {
				powder += *row.Powder
			}
			if row.Liquid != nil {
				liquid += *row.Liquid
			}
		}
	}
	for _, c := range b.Coatings {
		if c.Powder != nil {
			powder -= *c.Powder
		}
		if c.Liquid != nil {
			liquid -= *c.Liquid
		}
	}
	if b.Pieces != pieces || b.Area != area || b.Minutes != work || powder != 0 || liquid != 0 {
		t.Errorf("%s: %d pieces, %s, %s; its parts have %d, %s, %s, and %d, %d more of the coatings",
			b.Path, b.Pieces, b.Area.In(bom.Inch), b.Minutes, pieces, area.In(bom.Inch), work, powder, liquid)
	}
}

func TestABatchAnswersWhy(t *testing.T) {
	cat := read(t)
	config := configured(t, cat, "hollin-bench", "match_set", "Hall A")
	trace := traced(t, cat, bom.Line{Number: 1, Quantity: 2, Config: config}, bom.Line{Number: 2, Quantity: 1, Config: config})
	why, err := trace.Why("0/batch/hall-a/dusk")
	if err != nil {
		t.Fatal(err)
	}
	hasReasons(t, why)
	if text := why.Text(); !strings.HasPrefix(text, "0/batch/hall-a/dusk: the whole order, a row of batches\n") || !strings.Contains(text, "pieces = of 1/base + 2/base = 3\n") {
		t.Errorf("it answers\n%s", text)
	}
	if _, err := trace.Why("0/batch/hall-b/dusk"); !errors.Is(err, bom.ErrNoRow) || !strings.Contains(err.Error(), "batch/hall-a/quay-varnish, batch/hall-a/dusk") {
		t.Errorf("another batch: %v", err)
	}
}

// Each line alone keeps the window that both together overrun.
func TestABatchIsHeldAgainstItsWindow(t *testing.T) {
	cat := windowed(t, "refuse") // 6 pieces keep it
	_, _, findings := benches(t, cat, "trial-bar", "each=4", "each=2")
	if len(findings) != 0 {
		t.Errorf("4 and 4 pieces apart: %+v", findings)
	}
	_, _, findings = benches(t, cat, "trial-bar", "each=4; set=x", "each=2; set=X")
	if len(findings) != 1 || findings[0].Code != "recoat.overrun" || !strings.Contains(findings[0].Message, "8 pieces take 2.30 h") {
		t.Errorf("8 pieces together: %+v", findings)
	}
}

func TestAMatchSetHasAName(t *testing.T) {
	cat := windowed(t, "caution")
	_, _, findings := benches(t, cat, "trial-bar", "set=--")
	if len(findings) != 1 || findings[0].Code != "match.unreadable" {
		t.Errorf("a set of hyphens: %+v", findings)
	}
	bill, _, _ := benches(t, cat, "trial-bar", "set=Зал 1", "set=зал-1")
	if bill == nil || len(bill.Batches) != 1 || bill.Batches[0].Path != "batch/зал-1/trial-finish" || bill.Batches[0].Pieces != 3 {
		t.Errorf("a set in another script: %+v", bill)
	}
}
