package catalog_test

import (
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
)

// A chip is of no steel, has a limit, and is either free or priced.
func TestSamplesAreChecked(t *testing.T) {
	const chip = "products:\n  chip:\n    name: Chip\n    lead_days: 3\n    sample: {%}\n    parts: {chip: {#}}\n"
	for _, c := range []struct{ sample, part, more, want string }{
		{"limit: 8, free: yes", "hardware: {item: blank}", "", ""},
		{"limit: 8", "hardware: {item: blank}", "prices: {chip: {sizes: [{for: Chip, list: 3.00}]}}\n", ""},
		{"limit: 0", "hardware: {item: blank}", "", "an order takes at least one chip"},
		{"limit: 8", "steel: {section: bar-1, straight: len('2 in')}", "", "chip is of steel"},
		{"limit: 8, free: yes", "hardware: {item: blank}", "prices: {chip: {sizes: [{for: Chip, list: 3.00}]}}\n", "it is free and has a price list"},
	} {
		text := strings.NewReplacer("%", c.sample, "#", c.part).Replace(chip) + c.more + "hardware: {blank: {name: Chip, weight: 0.1 lb}}\n"
		files := small(t)
		cat, faults := catalog.Read(append(files, source.File{Path: "chip.yaml", Bytes: []byte(text)}))
		if (c.want == "") != (len(faults) == 0) || c.want != "" && !strings.Contains(faults[0].Error(), c.want) {
			t.Errorf("%s: %v", text, faults)
			continue
		}
		if cat == nil {
			continue
		}
		cfg, findings := cat.Check("chip", nil, cat.Workshop.Effective)
		if len(findings) > 0 {
			t.Fatal(findings)
		}
		want := map[bool]string{true: "0.00", false: "3.00"}[strings.Contains(c.sample, "free")]
		if q, findings := cat.Price(cfg, "friend", cat.Workshop.Effective); len(findings) > 0 || q.ToBeQuoted || q.NetUnit.String() != want {
			t.Errorf("%s: %+v %v", text, q, findings)
		}
	}
}
