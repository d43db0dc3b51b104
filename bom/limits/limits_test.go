package limits_test

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/limits"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/sampling"
	"billwright/catalog/unit"
)

// read is the demonstration with something in it written otherwise.
func read(t *testing.T, edits ...string) *catalog.Catalog {
	t.Helper()
	files := demonstration.Files()
	for i := 0; i < len(edits); i += 2 {
		found := 0
		for at := range files {
			found += bytes.Count(files[at].Bytes, []byte(edits[i]))
			files[at].Bytes = bytes.Replace(files[at].Bytes, []byte(edits[i]), []byte(edits[i+1]), 1)
		}
		if found != 1 {
			t.Fatalf("%q stands %d times in the demonstration", edits[i], found)
		}
	}
	c, faults := catalog.Read(files)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return c
}

// left tells which lengths of a bench in sedge stripe are left, and why no more.
func left(t *testing.T, c *catalog.Catalog, product string, picks ...catalog.Pick) (text, because string) {
	t.Helper()
	offer, findings, err := c.Offer(product, picks, c.Workshop.Effective)
	if err != nil || len(findings) > 0 {
		t.Fatal(err, findings)
	}
	for _, a := range offer.Attributes {
		if a.Attribute.Code != "length" {
			continue
		}
		for _, i := range a.Left {
			text += i.From + " to " + i.To + "; "
		}
		for _, g := range a.Gaps {
			because += g.Because.Rules[0].Says
		}
	}
	return text, because
}

// clothRule is the own rule of the bench on the width of its cloth.
const clothRule = "need: length + 2 * standard.seam <= cloth.usable_width"

// By hand: sedge stripe has 53 in of usable width, of which a seam of 1/2 in goes
// off each side, so that the cushion may be 53 - 2 x 1/2 = 52 in long. The
// catalog has a rule of its own that says so; without it the bill still refuses
// what is longer, and that is now told beforehand.
func TestAClothTooNarrowIsToldWhileSomebodyPicks(t *testing.T) {
	c := read(t, clothRule, "need: length > len('1 in')")
	stripe := catalog.Pick{Attribute: "cloth", Text: "sedge-stripe"}
	if text, _ := left(t, c, "sallow-bench", stripe); text != "36 in to 60 in; " {
		t.Errorf("without limits of the bill, lengths of %s are left", text)
	}
	text, because := left(t, limits.Limited(c), "sallow-bench", stripe)
	if text != "36 in to 52 in; " {
		t.Errorf("in sedge stripe lengths of %s are left, want up to 52 in", text)
	}
	if !strings.HasPrefix(because, "The bill refuses it.") || !strings.Contains(because, "Sedge stripe gives 53 in") {
		t.Errorf("why no longer: %s", because)
	}
}

// The rules of the bill say of every size what the explosion says of it: tried on
// each step, and not only where it was halved.
func TestLimitsAgreeWithTheExplosionStepByStep(t *testing.T) {
	c := read(t, clothRule, "need: length > len('1 in')")
	limited := limits.Limited(c)
	for _, cloth := range []string{"sedge-stripe", "oat-weave"} {
		var may, refused int
		for sixteenth := range 24 * 8 {
			length := 36*unit.Inch + unit.Length(sixteenth)*unit.Inch/8
			picks := []catalog.Pick{{Attribute: "cloth", Text: cloth}, {Attribute: "length", Text: length.String()}}
			config, findings := c.Check("sallow-bench", picks, c.Workshop.Effective)
			if config == nil {
				t.Fatalf("%v: %v", picks, findings)
			}
			_, _, findings = bom.Explode(c, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
			offer, _, err := limited.Offer("sallow-bench", picks, c.Workshop.Effective)
			if err != nil {
				t.Fatal(err)
			}
			if (len(findings) > 0) != (offer.Contradiction != nil) {
				t.Errorf("%s %s: the bill says %v, the choices %+v", cloth, length, findings, offer.Contradiction)
			}
			may++
			if len(findings) > 0 {
				refused++
			}
		}
		if cloth == "sedge-stripe" && refused != 8*8-1 { // 52 1/8 in to 59 7/8 in
			t.Errorf("%d of %d lengths are refused in sedge stripe", refused, may)
		}
	}
}

var placed = regexp.MustCompile(`^line 1 › ([^:]*): `)

// Whatever the bill refuses of what keeps all rules was told: by a rule of its own
// or as what it may still refuse. The demonstration is drawn from with its own
// rules on goods and glass struck out, so that the bill has something to refuse.
func TestNothingIsRefusedWithoutWarning(t *testing.T) {
	c := read(t, clothRule, "need: length > len('1 in')",
		"need: hung_at >= len('44 in') || mirror == 'mirror-backed-1-4'", "need: hung_at > len('0 in')")
	dice := rand.New(rand.NewPCG(7, 9))
	exploded, refused := 0, 0
	for code, p := range c.Products.All() {
		found := limits.Of(c, p)
		told := map[string]bool{}
		for _, r := range found.Refuses {
			told[r.What] = true
		}
		made, err := c.Limited(func(*catalog.Product) catalog.Limits { return found }).Choosing(p, c.Workshop.Effective)
		if err != nil {
			t.Fatal(err)
		}
		for range 60 {
			picks := sampling.Asked(c, p, dice.IntN)
			config, _ := c.Check(code.Value, picks, c.Workshop.Effective)
			if config == nil {
				continue
			}
			exploded++
			_, _, findings := bom.Explode(c, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
			if len(findings) == 0 {
				if broken, _ := made.Broken(picks, c.Workshop.Effective); len(broken) > 0 {
					t.Errorf("%s %v can be made, and %v forbids it", code.Value, picks, broken)
				}
				continue
			}
			refused++
			broken, err := made.Broken(picks, c.Workshop.Effective)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range findings {
				path := strings.ReplaceAll(placed.FindStringSubmatch(f.Message)[1], " › ", "/")
				if len(broken) == 0 && !told[path] {
					t.Errorf("%s %v is refused without warning: %s", code.Value, picks, f.Message)
				}
			}
		}
	}
	if exploded < 300 || refused < 3 {
		t.Errorf("of %d configurations %d were refused: too few to tell", exploded, refused)
	}
}
