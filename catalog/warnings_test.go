package catalog_test

import (
	"slices"
	"strings"
	"testing"

	"billwright/catalog/source"
)

// warned are changes to the wide catalog, each with what is then warned of
// besides what always is.
var warned = []struct {
	changes  []change
	warnings []string
}{
	{nil, nil},
	// hand finishes: the dye is wiped on by hand, and varnish protects it
	{[]change{{"{do: wipe on, hand: yes, coating: dye}, {do: spray, coating: varnish}]", "{do: wipe on, hand: yes, coating: dye}, {do: dry}]"}}, []string{
		`materials.yaml:28:9: wood_finishes › dyed: a hand finish that ends without a clear coat over it; end its steps with a coating that is marked clear: yes, or the hand work is left bare`,
	}},
	{[]change{{"{do: wipe on, hand: yes, coating: dye}, {do: spray, coating: varnish}]", "{do: spray, coating: varnish}, {do: wipe on, hand: yes, coating: dye}]"}}, []string{
		`materials.yaml:28:9: wood_finishes › dyed: a hand finish that ends without a clear coat over it; end its steps with a coating that is marked clear: yes, or the hand work is left bare`,
	}},
	{[]change{{"{do: wipe on, hand: yes, coating: dye}, {do: spray, coating: varnish}]", "{do: wipe on, hand: yes, coating: dye}, {do: spray, coating: varnish}, {do: cure}]"}}, nil},
	// values and attributes that nobody can come to
	{[]change{{"    rules:\n", "    rules:\n      no-elm: {says: Elm is gone., forbid: {top: slab-elm}}\n"}}, []string{
		`products.yaml:8:12: products › kell-bench › attributes › top › slab-elm: it can never be ordered: the rule no-elm keeps it out whatever else is picked`,
	}},
	{[]change{{"    rules:\n", "    rules:\n      ash-only: {says: Only ash is dyed., allow: {top: [ash, ply]}}\n"}}, []string{
		`products.yaml:8:12: products › kell-bench › attributes › top › cherry: it can never be ordered: the rule ash-only keeps it out whatever else is picked`,
		`products.yaml:8:12: products › kell-bench › attributes › top › pear: it can never be ordered: the rule ash-only keeps it out whatever else is picked`,
		`products.yaml:8:12: products › kell-bench › attributes › top › slab-elm: it can never be ordered: the rule ash-only keeps it out whatever else is picked`,
	}},
	{[]change{{"    rules:\n", "    rules:\n      wool-ash: {says: Wool is for ash., where: {cloth: wool}, allow: {top: ash}}\n"}}, nil},
	{[]change{{"asked_when: repeat_known == 'yes'", "asked_when: repeat_known == 'yes' && cloth == 'wool' && cloth == 'own'"}}, []string{
		`products.yaml:25:19: products › kell-bench › attributes › own_repeat › asked_when: no choice fulfils the condition, so that it is never asked`,
	}},
	{[]change{{"on: [ash, slab-elm, pear, cherry], steps", "on: ash, steps"}, {"choose: {from: species}", "choose: {from: species, among: [ply, pear, cherry]}"}, {"default: ash}", "default: ply}"}, {"where: {top: ash, length", "where: {top: ply, length"}}, []string{
		`materials.yaml:10:3: species › ash: nothing uses it; leave it out, or look where its code is misspelled`,
		`materials.yaml:11:3: species › slab-elm: nothing uses it; leave it out, or look where its code is misspelled`,
		`products.yaml:10:9: products › kell-bench › attributes › finish › dyed: it can never be ordered: the wood finishes and the species offered here never go together with it`,
	}},
	// what nothing uses
	{[]change{{"radius: bend, jig: small-wheel", "radius: bend"}, {"rail: band('rail', length)", "rail: len('40 mm')"}}, []string{
		`workshop.yaml:47:3: tables › rail: nothing uses it; leave it out, or look where its code is misspelled`,
		`workshop.yaml:50:3: jigs › small-wheel: nothing uses it; leave it out, or look where its code is misspelled`,
	}},
	{[]change{{"board: [light, heavy]", "board: heavy"}, {"pattern: {by: table, table: repeat_share}", "pattern: whole repeats"}}, []string{
		`materials.yaml:51:3: boards › light: nothing uses it; leave it out, or look where its code is misspelled`,
		`workshop.yaml:40:3: tables › repeat_share: nothing uses it; leave it out, or look where its code is misspelled`,
	}},
	// vendors
	{[]change{{"vendor: Brenn Glass, lead_days: 7", "vendor: Brenn-Glass, lead_days: 7"}}, []string{
		`workshop.yaml:12:7: calendar › closures › 2 › vendor: nothing is bought from "Brenn Glass", so that this closure moves no date; did you mean "Brenn-Glass"?`,
	}},
	// surcharges: overlapping days of one name on one product
	{[]change{{"from: 2027-01-01, percent: 4 %", "from: 2026-12-31, percent: 4 %"}}, []string{
		`workshop.yaml:72:15: surcharges › steel-2027: it is charged on days on which steel-2026 is charged as well, for the same: Steel surcharge; end one the day before the other begins, or name them differently if both are meant`,
	}},
	{[]change{{"from: 2027-01-01, percent: 4 %", "from: 2026-12-31, percent: 4 %"}, {"where: {products: [kell-bench]}", "where: {products: [kell-hook]}"}}, nil},
	{[]change{{"percent: 6.5", "percent: 0.065"}}, []string{
		`workshop.yaml:71:15: surcharges › steel-2026 › percent: only 0.065 % is charged; a surcharge is in percent: write 6.5 for six and a half of a hundred`,
	}},
	{[]change{{"percent: 6.5", "percent: 0.1"}, {"percent: -2.5", "percent: -0.5 %"}}, nil},
	// cartons: a group of which nothing is packed is told once, one that is in
	// part by its parts; the hook is not boxed at all
	{[]change{{"packs: [frame, seat, shelf, pad, glide]", "packs: [seat, shelf, pad]"}}, []string{
		`products.yaml:35:9: products › kell-bench › parts › frame: no carton packs frame, so that it is neither weighed nor shipped with the rest; name it under packs of the carton that it goes in`,
		`products.yaml:42:14: products › kell-bench › parts › glide: no carton packs glide, so that it is neither weighed nor shipped with the rest; name it under packs of the carton that it goes in`,
	}},
	{[]change{{"packs: [frame, seat, shelf, pad, glide]", "packs: [frame/ring, seat, shelf, pad, glide]"}}, []string{
		`products.yaml:37:16: products › kell-bench › parts › frame › parts › leg: no carton packs frame/leg, so that it is neither weighed nor shipped with the rest; name it under packs of the carton that it goes in`,
	}},
	{[]change{{"to: 2026-12-31, percent: 6.5", "percent: 6.5"}}, []string{
		`workshop.yaml:72:15: surcharges › steel-2027: it is charged on days on which steel-2026 is charged as well, for the same: Steel surcharge; end one the day before the other begins, or name them differently if both are meant`,
	}},
}

// always is warned of in the wide catalog as it stands.
var always = []string{
	`materials.yaml:4:3: sections › angle-30: nothing uses it; leave it out, or look where its code is misspelled`,
	`workshop.yaml:51:3: jigs › old-wheel: nothing uses it; leave it out, or look where its code is misspelled`,
}

func TestWarnings(t *testing.T) {
	for _, w := range warned {
		c := read(t, edit(t, wide(t), w.changes...))
		warnings := c.Warnings()
		if !slices.IsSortedFunc(warnings, func(a, b source.Fault) int { return strings.Compare(a.Pos.File, b.Pos.File) }) {
			t.Errorf("changed %q: warnings are not in the order of the files", w.changes)
		}
		got := slices.DeleteFunc(sentences(warnings), func(s string) bool { return slices.Contains(always, s) })
		if !slices.Equal(got, w.warnings) || len(warnings) != len(got)+len(always) {
			t.Errorf("changed %q:\ngot\n  %s\nwant\n  %s", w.changes, strings.Join(got, "\n  "), strings.Join(w.warnings, "\n  "))
		}
	}
}

func TestWarningsBelongToTheCaller(t *testing.T) {
	c := read(t, wide(t))
	c.Warnings()[0].Message = "changed"
	if got := c.Warnings()[0].Message; got != "nothing uses it" {
		t.Errorf("a caller changed a warning to %q", got)
	}
}
