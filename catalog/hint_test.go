package catalog_test

import (
	"testing"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// A size within the stated hair of a standard one, and none itself, is hinted at
// and made as entered.
func TestASizeNextToAStandardOneIsHintedAt(t *testing.T) {
	const anchor = "  saw_kerf: {length: 1/8 in"
	c := read(t, edit(t, small(t), change{anchor, "  near_standard_size: {length: 1/4 in, source: made up}\n" + anchor}))
	plain := read(t, small(t))
	for entered, want := range map[string]string{
		"":                  "", // 60 in and, by default, 36 in are standard
		"length=60 1/4 in":  "/configuration/length size.near-standard: Length 60 1/4 in is 1/4 in longer than the standard 60 in. It is made as entered, for which Custom size is charged; order the standard size if that is meant. -> 60 in",
		"length=59 7/8 in":  "/configuration/length size.near-standard: Length 59 7/8 in is 1/8 in shorter than the standard 60 in. It is made as entered, for which Custom size is charged; order the standard size if that is meant. -> 60 in",
		"length=60 5/16 in": "", // beyond the hair
		"length=1830.5 mm":  "/configuration/length size.near-standard: Length 1830.5 mm is 1.7 mm longer than the standard 1828.8 mm. It is made as entered, for which Custom size is charged; order the standard size if that is meant. -> 1828.8 mm",
	} {
		cfg, findings := c.Check("tarn-table", with(entered), today)
		if len(findings) > 0 {
			t.Fatalf("%s: %v", entered, findings)
		}
		hints := c.Hints(cfg)
		got := ""
		if len(hints) > 0 {
			got = shown(hints[0])
		}
		if got != want || len(hints) > 1 {
			t.Errorf("%s:\ngot  %s\nwant %s", entered, got, want)
		}
		if hints := plain.Hints(cfg); len(hints) > 0 {
			t.Errorf("%s: hinted at without the standard: %v", entered, hints)
		}
	}
	// Both sizes at once, each with its own hint.
	cfg, _ := c.Check("tarn-table", with("length=60 1/8 in; width=35 7/8 in"), today)
	if hints := c.Hints(cfg); len(hints) != 2 || hints[1].Pointer != "/configuration/width" || hints[1].Nearest != "36 in" {
		t.Errorf("%v", hints)
	}
}

// Parts are charged up to their minimum, and nothing where they reach it.
func TestPartsHaveAMinimum(t *testing.T) {
	c := read(t, edit(t, small(t), change{"dealers:\n", "parts: {minimum: 40.00}\ndealers:\n"}))
	for net, want := range map[unit.Money]unit.Money{0: 4000, 1250: 2750, 3999: 1, 4000: 0, 4001: 0} {
		line, charged := c.PartsCharge(net)
		if line.List != want || charged != (want > 0) || charged && line.For != "minimum charge for parts" {
			t.Errorf("parts of %s are charged %+v besides, want %s", net, line, want)
		}
	}
	if line, charged := read(t, small(t)).PartsCharge(0); charged {
		t.Errorf("charged %+v without a minimum", line)
	}
	named := read(t, edit(t, small(t), change{"dealers:\n", "parts: {minimum: 40.00, for: Small parts}\ndealers:\n"}))
	if line, _ := named.PartsCharge(3000); line != (catalog.PriceLine{For: "Small parts", List: 1000}) {
		t.Errorf("%+v", line)
	}
	for _, broken := range []struct{ text, fault string }{
		{"parts: {minimum: -1.00}\n", "workshop.yaml:63:8: parts › minimum: -1.00 is less than zero; leave it out, or write the least that parts are charged"},
		{"parts: {for: Small parts}\n", "workshop.yaml:63:8: parts › for: there is no minimum that it could be for; write the minimum besides"},
	} {
		checkFaultsOf(t, small(t), []string{broken.fault}, change{"dealers:\n", broken.text + "dealers:\n"})
	}
}
