package catalog_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/sampling"
)

// The rule base of a product and its formulas, reckoned one by one, say the same
// of any configuration.
func TestTheRuleBaseAgreesWithTheFormulas(t *testing.T) {
	for name, c := range catalogs(t) {
		for code, p := range c.Products.All() {
			began := time.Now()
			made, err := c.Choosing(p, today)
			if err != nil {
				t.Errorf("%s %s: %v", name, code.Value, err)
				continue
			}
			rules, formulas := made.BaseSize()
			size, over, _ := made.Rules.Size()
			t.Logf("%s %s: %d rules, %d left formulas, ready in %v; %d nodes, %d over; may still refuse %+v", name, code.Value, rules, formulas, time.Since(began).Round(time.Millisecond), size.Nodes, over, made.Refuses)
			asked, broken := agree(t, c, p)
			if asked == 0 || broken == 0 && p.Rules.Len() > 0 {
				t.Errorf("%s %s: of the configurations drawn %d could be asked and %d were broken: too few to tell", name, code.Value, asked, broken)
			}
		}
	}
}

func agree(t *testing.T, c *catalog.Catalog, p *catalog.Product) (asked, broken int) {
	t.Helper()
	dice := rand.New(rand.NewPCG(5, 7))
	for range 400 {
		picks := sampling.Asked(c, p, dice.IntN)
		byFormula, byBase, can, err := c.Verdicts(p, picks, today)
		if err != nil {
			t.Fatal(err)
		}
		if !can {
			continue
		}
		asked++
		if byFormula != "" {
			broken++
		}
		if byFormula != byBase {
			t.Errorf("%s %v: formulas break %q, the rule base %q", p.Code, picks, byFormula, byBase)
			return asked, broken
		}
	}
	return asked, broken
}

func catalogs(t *testing.T) map[string]*catalog.Catalog {
	t.Helper()
	demo, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	return map[string]*catalog.Catalog{"demonstration": demo, "small": read(t, small(t)), "hard": hard(t), "wide": read(t, wide(t))}
}

// hard has rules of every kind that is not a plain comparison: sums and products
// of two sizes, a formula that fails, figures that jump, a choice's property.
func hard(t *testing.T) *catalog.Catalog {
	t.Helper()
	const fine, coarse = "step_inch: 1/16 in, step_metric: 0.5 mm", "step_inch: 1/2 in, step_metric: 10 mm"
	return read(t, edit(t, small(t),
		change{"96 in, " + fine, "96 in, " + coarse}, change{"60 in, " + fine, "60 in, " + coarse},
		change{"      is_large: length", "      by_shelf: length / shelves\n      bays: ceil(length / len('20 in'))\n      is_large: length"},
		change{"    rules:\n      narrower-than-long:", `    rules:
      round-the-edge:
        says: The edging comes in rolls that go round 60 by 60 in.
        need: length + width <= len('120 in')
      one-sheet:
        says: A glass top is cut from a sheet of 20 square feet.
        where: {top: glass}
        need: length * width <= 20 * len('12 in') * len('12 in')
      shelf-for-each-bay:
        says: There are no more shelves than bays.
        where: {length: over 50 in under 80 in, width: ["36 in", "40 in", "910 mm"]}
        need: shelves < bays - 1
      thick-glass:
        says: Thin glass stays under 60 in, or narrow.
        need: glass.thickness > len('3/8 in') || length < len('60 in') || width <= len('30 in')
      slender:
        says: A long table is at most three times as long as it is wide.
        need: "length > len('72 in') ? length <= 3 * width : true"
      narrower-than-long:`}))
}
