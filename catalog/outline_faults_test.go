package catalog_test

import (
	"strings"
	"testing"

	"billwright/catalog"
)

// Parts of the small catalog that shaped ones take the place of.
const (
	plainTop  = `length: length, width: width, thickness: top_thickness, edge: "'eased'"}}`
	plainPane = `length: length, width: width, height: len('29 in'), edge: "'polished'"}}`
	plainTab  = `tab: {when: top == 'wood', pieces: "8"`
	plainGlue = `clear-1-2: {name: 1/2 in clear, thickness: 1/2 in, safety: tempered}`
)

// brokenTops are changes of a part, each with every fault that Read must then
// find, without the file and the place of the product.
var brokenTops = []struct {
	old, fresh string
	faults     []string
}{
	{plainTop, `shape: boat, length: length, width: width, thickness: top_thickness, edge: "'eased'"}}`, []string{
		`top › wood: a boat needs "end_width"; write the width of its straight ends`,
	}},
	{plainTop, `shape: ellipse, length: length, thickness: top_thickness, edge: "'eased'", edges: {front: "'bullnose'"}}}`, []string{
		`top › wood: an ellipse needs "width"; write its size across the length`,
		`top › wood › edges: an ellipse has one edge and no sides; write its profile under edge alone`,
	}},
	{plainTop, `shape: racetrack, length: length, width: width, end_width: width, thickness: top_thickness, edge: "'eased'", edges: {}}}`, []string{
		`top › wood › edges: no side is named; write front, back or ends, or leave edges out`,
		`top › wood › end_width: a racetrack has no straight ends; leave it out, or write shape: boat`,
	}},
	{plainTop, `shape: oval, length: length, width: width, thickness: top_thickness, edge: "'eased'"}}`, []string{
		`top › wood › shape: expected one of rectangle, round, ellipse, racetrack, boat, found "oval"`,
	}},
	{plainTop, `length: length, width: width, thickness: top_thickness, edge: "'eased'", support: {length: len('0 in'), most: 3}, tip: {base: width, feet: frac('5/2')}}}`, []string{
		`top › wood › support › length: the formula comes to 0 in whatever is picked; a length is more than zero`,
		`top › wood › support › most: in the formula, at its column 1: the formula gives a number, and a length is needed here; multiply it by a length, as in n * len('1 in')`,
		`top › wood › tip › feet: the formula comes to 5/2 pieces whatever is picked; pieces are a whole number; round it by ceil() or floor()`,
	}},
	{plainPane, `length: length, width: width, height: len('29 in'), edge: "'polished'", work: [{do: drill, by: vendor}, {do: cut, by: workshop}, {do: trim, by: vendor}]}}`, []string{
		`pane › glass › work › 2: a tempered pane is never cut in the workshop; write by: vendor, who does it before tempering`,
		`pane › glass › work › 3 › do: expected one of drill, notch, cut, edge, found "trim"`,
	}},
	{plainTab, `leaf: {when: top == 'wood', leaf: {of: pane, width: len('12 in')}}` + "\n      " + plainTab, []string{
		`leaf › leaf › of: there is no wood part above "pane"; there are top`,
	}},
	{plainTab, `leaf: {leaf: {of: top}}` + "\n      " + plainTab, []string{
		`leaf › leaf: the key "width" is missing; Width of one leaf, by which it makes the table longer, a length formula.`,
	}},
	{plainTop, `shape: ellipse, length: length, width: width, thickness: top_thickness, edge: "'eased'"}}` + "\n      leaf: {when: top == 'wood', leaf: {of: top, width: len('12 in')}}", []string{
		`leaf › leaf › of: top is of the shape ellipse in one piece, which a leaf cannot be joined to; make the top of two halves that part for the leaves, halves: yes`,
	}},
}

func TestEachFaultOfATopIsFound(t *testing.T) {
	for _, b := range brokenTops {
		found := faultsOf(t, change{b.old, b.fresh})
		if len(found) != len(b.faults) {
			t.Errorf("%s:\n  %s\nwant\n  %s", b.fresh, strings.Join(found, "\n  "), strings.Join(b.faults, "\n  "))
			continue
		}
		for i, want := range b.faults {
			if !strings.Contains(strings.Join(found, "\n"), "products › tarn-table › parts › "+want) {
				t.Errorf("fault %d of %s:\n  %s\nwant\n  %s", i+1, b.fresh, strings.Join(found, "\n  "), want)
			}
		}
	}
}

// A slab and a sheet with every fault that their entries can have.
func TestEachFaultOfASlabIsFound(t *testing.T) {
	for _, c := range []struct{ fresh, want string }{
		{"weight_within: 5 %", "glass › clear-1-2 › weight_within: the weight of glass is not known within 1/20"},
		{"weight_within: 100 %", "glass › clear-1-2 › weight_within: 1 more or less is no weight; write 0 or more and less than 1, such as 5 %"},
		{"billed_by: weight", `glass › clear-1-2 › billed_by: expected one of outline, bounding rectangle, found "weight"`},
	} {
		found := faultsOf(t, change{plainGlue, strings.TrimSuffix(plainGlue, "}") + ", " + c.fresh + "}"})
		if len(found) != 1 || !strings.Contains(found[0], c.want) {
			t.Errorf("%s: %v", c.fresh, found)
		}
	}
	slab := func(more string) change {
		return change{"\ncoatings:\n", "\nstone:\n  slab: {name: Slab, thickness: 1 in, density: 160 lb/ft3, source: made up" + more + "}\n\ncoatings:\n"}
	}
	for more, want := range map[string]string{
		", weight_within: -5 %":                       "stone › slab › weight_within: -1/20 more or less is no weight",
		", largest: {length: 20 in, width: 30 in}":    "stone › slab › largest: width is 30 in, more than the length of 20 in",
		", last_order: 2027-01-31, successor: granit": `stone › slab › successor: there is no stone "granit"`,
		", lead_days: 1001":                           "stone › slab › lead_days: 1001 working days",
	} {
		found := faultsOf(t, slab(more))
		if len(found) != 1 || !strings.Contains(found[0], want) {
			t.Errorf("%s: %v", more, found)
		}
	}
	// A part of stone needs its need-by days.
	found := faultsOf(t, slab(""), change{plainTab, `plinth: {stone: {stone: "'slab'", length: width, width: width, edge: "'eased'"}}` + "\n      " + plainTab})
	if len(found) != 1 || !strings.Contains(found[0], "need_by: stone is missing, which tarn-table uses") {
		t.Errorf("without need_by: %v", found)
	}
}

// faultsOf are the faults of the small catalog with changes.
func faultsOf(t *testing.T, changes ...change) []string {
	t.Helper()
	_, faults := catalog.Read(edit(t, small(t), changes...))
	return sentences(faults)
}
