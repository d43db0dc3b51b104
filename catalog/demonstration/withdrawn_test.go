package demonstration_test

import (
	"testing"

	"billwright/bom/golden"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// What its golden orders expect is worked by hand beside them.
func TestTheGoldenOrdersComeOut(t *testing.T) {
	cat := read(t)
	for _, change := range golden.Run(cat) {
		t.Error(change)
	}
	products := map[string]bool{}
	for _, order := range cat.GoldenOrders.All() {
		products[order.Product.Value] = true
	}
	if len(products) < 4 {
		t.Errorf("golden orders are of %d products, want at least 4", len(products))
	}
}

func TestNothingIsWarnedOf(t *testing.T) {
	for _, warning := range read(t).Warnings() {
		t.Error(warning)
	}
}

// On its last day a thing can be had, and on the next its successor is named.
func TestWhatIsWithdrawnNamesItsSuccessor(t *testing.T) {
	cat := read(t)
	for _, w := range []struct{ product, with, last, successor string }{
		{"tarrend-footstool", "", "2027-06-30", "pell-stool"},
		{"tarrend-chair", "cloth=barley-canvas", "2027-03-31", "flax-hopsack"},
		{"tarrend-chair", "cloth=fog-basket", "2026-10-30", "oat-weave"},
		{"tarrend-chair", "metal_finish=ash-silver", "2027-05-28", "kiln-drift"},
		{"wenlow-coffee", "top=glass; glass=frost-3-8", "2027-06-30", "clear-3-8"},
		{"wenlow-console", "edge=knife", "2027-08-31", "bevel"},
		{"wenlow-console", "foot=felt-glide", "2027-09-30", "glide"},
		{"tarrend-stool", "seat=wood; species=beech; wood_finish=hedge-green", "2028-12-29", "white-ash"},
	} {
		last, err := calendar.ParseDate(w.last)
		if err != nil {
			t.Fatal(err)
		}
		if cfg, findings := cat.Check(w.product, list(w.with), last); cfg == nil {
			t.Errorf("%s with %s on its last day: %+v", w.product, w.with, findings)
		}
		_, findings := cat.Check(w.product, list(w.with), last.AddDays(1))
		if len(findings) != 1 || findings[0].Nearest != w.successor {
			t.Errorf("%s with %s on the day after: %+v, want %s named", w.product, w.with, findings, w.successor)
		}
	}
}

func list(text string) (picks []catalog.Pick) {
	for attribute, value := range picked(text) {
		picks = append(picks, catalog.Pick{Attribute: attribute, Text: value})
	}
	return picks
}

// A species that is not listed is taken as written, held and quoted, and refused
// with what it does not go with.
func TestAnotherSpeciesIsHeld(t *testing.T) {
	cat := read(t)
	cfg, findings := cat.Check("wenlow-console", list("species=Wych elm, from the yard"), cat.Workshop.Effective)
	if cfg == nil {
		t.Fatal(findings)
	}
	if len(cfg.Holds) != 1 || cfg.Holds[0].Kind.Code != "engineering" || cfg.Holds[0].Entered != "Wych elm, from the yard" {
		t.Errorf("holds are %+v", cfg.Holds)
	}
	if quote, _ := cat.Price(cfg, "walk-in", cat.Workshop.Effective); !quote.ToBeQuoted {
		t.Errorf("it is priced at %s", quote.NetUnit)
	}
	if _, findings := cat.Check("wenlow-console", list("species=Wych elm; wood_finish=limed-grain"), cat.Workshop.Effective); len(findings) != 1 {
		t.Errorf("limed, it has the findings %+v, want one", findings)
	}
}
