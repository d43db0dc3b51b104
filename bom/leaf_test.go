package bom_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

// Worked by hand: an ellipse of 72 x 40 in in two halves of 36 x 40 in, and two
// leaves of 16 in. Grain along the length: blanks 37 x 40 1/2 and 17 x 40 1/2
// in, of 9 strips of up to 5 in. Leaf: 16·40 in2 1 in thick at 47 lb/ft3, 17.407
// lb each. Movement of 40 in: 40·0.00365·6 = 0.876 in, half of it and 1/4 and
// 1/16 in, up to 1/16: 13/16 in of slot.
func TestLeavesByHand(t *testing.T) {
	bill := topOf(t, "leaves=2")
	top, leaf := bill.Wood[0], bill.Wood[1]
	if top.Shape != "half ellipse" || top.Each != 2 || top.Length != 36*unit.Inch || top.Width != 40*unit.Inch || top.Mating != 40*unit.Inch ||
		top.Blank != (bom.BlankSize{Length: 37 * unit.Inch, Width: 81 * unit.Inch / 2}) || top.MatchSet != "ellipse" {
		t.Errorf("half %+v", top)
	}
	if leaf.Path != "leaf" || leaf.Each != 2 || leaf.Length != 16*unit.Inch || leaf.Width != 40*unit.Inch || leaf.EdgeRun != 32*unit.Inch || leaf.Mating != 80*unit.Inch ||
		leaf.Blank != (bom.BlankSize{Length: 17 * unit.Inch, Width: 81 * unit.Inch / 2}) || leaf.MatchSet != "ellipse" || leaf.Species != top.Species || leaf.Finish != top.Finish || leaf.Thickness != top.Thickness {
		t.Errorf("leaf %+v", leaf)
	}
	if !slices.Equal(top.Strips, leaf.Strips) || len(leaf.Strips) != 9 {
		t.Errorf("strips of the top %v, of the leaf %v: their joints must meet", top.Strips, leaf.Strips)
	}
	if got := leaf.Weight.In(bom.Inch); got != "34.81 lb" {
		t.Errorf("two leaves weigh %s", got)
	}
	if slot := bill.Hardware[0].Slot; slot == nil || *slot != 13*unit.Inch/16 {
		t.Errorf("slot under the leaf %v", slot)
	}
	if none := topOf(t, "leaves=0"); len(none.Wood) != 1 || none.Wood[0].MatchSet != "" {
		t.Errorf("without leaves: %+v", none.Wood)
	}
	front := topOf(t, "shape=rectangle; leaves=1").Wood[1]
	if len(front.Edges) != 2 || front.Edges[0] != (bom.SideEdge{Profile: "waterfall", Length: 16 * unit.Inch}) || front.Edges[1].Profile != "square" {
		t.Errorf("a leaf follows its top's profiles: %v", front.Edges)
	}
}

// Mass of the halves and leaves is that of the open table; strips sum; nothing
// of the outer edge is lost in halving.
func TestHalvesAndLeavesAreTheWholeTable(t *testing.T) {
	cat := topCatalog(t)
	rapid.Check(t, func(rt *rapid.T) {
		size := func(name string, low, high int) string {
			return (unit.Length(rapid.IntRange(64*low, 64*high).Draw(rt, name)) * unit.Inch / 64).String()
		}
		species := rapid.SampledFrom([]string{"white-oak; coat=tanbark", "beech; coat=coal-black", "black-cherry; coat=tanbark"}).Draw(rt, "species")
		length, width := size("length", 40, 80), size("width", 40, 80)
		bill := line(t, cat, 3, "tops", "base=80 in; length="+length+"; width="+width+"; leaf="+size("leaf", 8, 24)+"; leaves=2; species="+species)
		half, leaf := bill.Wood[0], bill.Wood[1]
		whole := bom.EllipsePerimeter(mustLength(t, length), mustLength(t, width))
		if off := float64(2*half.EdgeRun) - whole; off < -2 || off > 2 {
			rt.Fatalf("two halves have %s of edge, the whole %v nm", 2*half.EdgeRun, whole)
		}
		if got, want := bill.UnitWeight, (half.Weight+leaf.Weight)/3+bom.Weight(bill.Hardware[0].Weight)/3; got-want > 6 || want-got > 6 {
			rt.Fatalf("one table weighs %d ug, its pieces %d", got, want)
		}
		for _, row := range bill.Wood {
			sum := unit.Length(0)
			for _, s := range row.Strips {
				sum += s
			}
			if !row.Bought && sum != row.Blank.Width {
				rt.Fatalf("%s: strips sum to %s of %s", row.Path, sum, row.Blank.Width)
			}
		}
		if !slices.Equal(half.Strips, leaf.Strips) {
			rt.Fatalf("the joints of top and leaf do not meet: %v, %v", half.Strips, leaf.Strips)
		}
	})
}
