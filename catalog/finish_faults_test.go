package catalog_test

import "testing"

// brokenFinishes are changes to the wide catalog's coatings, finishes and match
// sets, each with every fault that Read must then find, word for word.
var brokenFinishes = []struct {
	old, new string
	faults   []string
}{
	{varnish, `varnish: {name: Varnish, kind: liquid, coverage: 10 m2/l, transfer_efficiency: 80 %`, []string{
		`materials.yaml:22:52: coatings › varnish › coverage: "10 m2/l" is not a coverage: write a number, a space and one of ft2/gal, m2/L for a liquid, or ft2/lb, m2/kg, lb/ft2, g/m2 for a powder`,
	}},
	{varnish, `varnish: {name: Varnish, kind: liquid, coverage: 0 m2/L, transfer_efficiency: 80 %`, []string{
		`materials.yaml:22:52: coatings › varnish › coverage: "0 m2/L": a coverage is more than zero`,
	}},
	{varnish, `varnish: {name: Varnish, kind: liquid, coverage: 60 ft2/lb, transfer_efficiency: 80 %`, []string{
		`materials.yaml:22:12: coatings › varnish › coverage: 60 ft2/lb is not the coverage of a liquid; write ft2/gal or m2/L of a liquid, ft2/lb, m2/kg, lb/ft2 or g/m2 of a powder`,
	}},
	{varnish, `varnish: {name: Varnish, kind: liquid, volume_solids: 40 %, dry_film: 0.04 mm, coverage: 12 m2/L, transfer_efficiency: 80 %`, []string{
		`materials.yaml:22:12: coatings › varnish › coverage: 12 m2/L is more than its own film of 0.04 mm can give, which is 10 m2/L at best; leave the coverage out and let it be reckoned from the film, or leave the film out if the sheet's coverage is known to be right`,
	}},
	{`kind: powder, specific_gravity: 1.5, dry_film: 0.06 mm,`, `kind: powder, specific_gravity: 1.5, dry_film: 0.06 mm, coverage: 80 g/m2,`, []string{
		`materials.yaml:20:11: coatings › powder › coverage: 80 g/m2 is more than its own film of 0.06 mm can give, which is 90 g/m2 at best; leave the coverage out and let it be reckoned from the film, or leave the film out if the sheet's coverage is known to be right`,
	}},
	{varnish, `varnish: {name: Varnish, kind: liquid, volume_solids: 40 %, transfer_efficiency: 80 %`, []string{
		`materials.yaml:22:12: coatings › varnish: neither dry_film nor coverage is given; write the dry film of one coat, or the coverage of the data sheet`,
	}},
	{varnish, `varnish: {name: Varnish, kind: liquid, dry_film: 0.04 mm, transfer_efficiency: 80 %, combustible_dust: yes, mix: {base: 0}`, []string{
		`materials.yaml:22:12: coatings › varnish: a liquid needs "volume_solids"; take it from the data sheet`,
		`materials.yaml:22:12: coatings › varnish › combustible_dust: a liquid makes no dust; write dust: sanding on the step that sands it`,
		`materials.yaml:22:12: coatings › varnish › mix: one component is no mix; write each with its parts, such as {base: 4, hardener: 1}`,
		`materials.yaml:22:117: coatings › varnish › mix › base: 0 parts; write more than 0 and up to 1000`,
	}},
	{`kind: powder, specific_gravity: 1.5,`, `kind: powder, isocyanate: yes, mix: {a: 1, b: 1001}, specific_gravity: 1.5,`, []string{
		`materials.yaml:20:11: coatings › powder › isocyanate: a powder has no isocyanate to breathe in before it is cured; leave it out`,
		`materials.yaml:20:11: coatings › powder › mix: a powder is not mixed; leave it out`,
		`materials.yaml:20:75: coatings › powder › mix › b: 1001 parts; write more than 0 and up to 1000`,
	}},
	{black, `{do: powder, coating: powder, coats: 21, minutes_per_ft2: 1, minutes_per_m2: 1, flash_minutes: -1}`, []string{
		`materials.yaml:25:32: metal_finishes › black › steps › 1 › coats: 21 coats; write 1 to 20`,
		`materials.yaml:25:32: metal_finishes › black › steps › 1 › flash_minutes: -1 is less than zero`,
		`materials.yaml:25:32: metal_finishes › black › steps › 1 › minutes_per_m2: minutes_per_ft2 is given too; leave one of the two out`,
	}},
	{black, `{do: powder, coating: powder, recoat: {from: 2, to: 2}}, {do: bake, coats: 2, flash_minutes: 1, recoat: {from: 1, overrun: refuse}, cure: {minutes: 0, at: 700 C}}`, []string{
		`materials.yaml:25:70: metal_finishes › black › steps › 1 › recoat › to: the window closes 2 h after the coat and opens 2 h after it; write more hours than under from, or leave it out where the window does not close`,
		`materials.yaml:25:89: metal_finishes › black › steps › 2 › coats: the step puts nothing on; name its coating, or leave this out`,
		`materials.yaml:25:89: metal_finishes › black › steps › 2 › cure › at: no finish is cured at that temperature; write more than 0 C and up to 600 C, such as 400 F`,
		`materials.yaml:25:89: metal_finishes › black › steps › 2 › cure › minutes: 0 is not more than zero`,
		`materials.yaml:25:89: metal_finishes › black › steps › 2 › flash_minutes: the step puts nothing on; name its coating, or leave this out`,
		`materials.yaml:25:89: metal_finishes › black › steps › 2 › recoat: the step puts nothing on; name its coating, or leave this out`,
		`materials.yaml:25:136: metal_finishes › black › steps › 2 › recoat › overrun: a window that does not close is never overrun; write under to when it closes, or leave this out`,
	}},
	{black, `{do: powder, coating: powder, handle_hours: 1}, {do: bake, dust: soot, cure: {minutes: 5, at: 400 K}}`, []string{
		`materials.yaml:25:32: metal_finishes › black › steps › 1 › handle_hours: another step follows, which waits for the coat and not for its handling; write wait_hours or recoat here, and handle_hours on the last step`,
		`materials.yaml:25:97: metal_finishes › black › steps › 2 › dust: expected one of blasting, sanding, found "soot"`,
		`materials.yaml:25:126: metal_finishes › black › steps › 2 › cure › at: "400 K" is not a temperature: write a number, a space and its scale, such as 1200 C or 2192 F`,
	}},
	{black, `{do: powder, coating: powder, minutes: 100001, wait_hours: 100000, recoat: {from: 1, to: 999999}}, {do: bake, cure: {minutes: -5, at: 400 F}}`, []string{
		`materials.yaml:25:32: metal_finishes › black › steps › 1 › minutes: 100001 is beyond anything that is worked or waited for; write up to 100000`,
		`materials.yaml:25:107: metal_finishes › black › steps › 1 › recoat › to: 999999 is beyond anything that is worked or waited for; write up to 100000`,
		`materials.yaml:25:131: metal_finishes › black › steps › 2 › cure › minutes: -5 is less than zero`,
	}},
	{`      pad: {name: Pad, cushion`, `      pad: {name: Pad, match: "'set'", cushion`, []string{
		`products.yaml:41:12: products › kell-bench › parts › pad › match: the part is not finished; write it on a wood part, or on the group that has a metal_finish`,
	}},
	{`      seat: {name: Seat, wood`, `      seat: {name: Seat, match: length, wood`, []string{
		`products.yaml:39:33: products › kell-bench › parts › seat › match: in the formula, at its column 1: the formula gives a length, and text is needed here; if a text is meant, write "'length'"`,
	}},
}

const (
	varnish = `varnish: {name: Varnish, kind: liquid, volume_solids: 40 %, dry_film: 0.04 mm, transfer_efficiency: 80 %`
	black   = `{do: powder, coating: powder}`
)

func TestEachFaultOfAFinishIsFound(t *testing.T) {
	for _, b := range brokenFinishes {
		checkFaultsOf(t, wide(t), b.faults, change{b.old, b.new})
	}
}
