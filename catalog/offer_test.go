package catalog_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/sampling"
)

func offered(t *testing.T, c *catalog.Catalog, product, entered string) *catalog.Offer {
	t.Helper()
	o, findings, err := c.Offer(product, picks(entered), today)
	if err != nil || len(findings) > 0 {
		t.Fatalf("%s: %v %v", entered, err, findings)
	}
	return o
}

// told writes an attribute of an offer as a line.
func told(o *catalog.Offer, attribute string) string {
	for _, a := range o.Attributes {
		if a.Attribute.Code != attribute {
			continue
		}
		var words []string
		if !a.Asked {
			words = append(words, "not asked")
		}
		if a.NotAsked && a.Asked {
			words = append(words, "may not be asked")
		}
		if a.NotAskedBecause != nil {
			words = append(words, "because "+reason(a.NotAskedBecause))
		}
		for _, v := range a.Values {
			if v.Left {
				words = append(words, v.Code)
			} else {
				words = append(words, "no "+v.Code+" because "+reason(v.Because))
			}
		}
		for _, i := range a.Left {
			words = append(words, i.From+" to "+i.To)
		}
		for _, g := range a.Gaps {
			words = append(words, "not "+g.From+" to "+g.To+" because "+reason(g.Because))
		}
		if a.Default != "" && a.DefaultFits {
			words = append(words, "default "+a.Default)
		}
		if a.Default != "" && !a.DefaultFits {
			words = append(words, "no default "+a.Default)
		}
		return strings.Join(words, "; ")
	}
	return "there is none"
}

func reason(r *catalog.Reason) string {
	if r == nil {
		return "untold"
	}
	var says []string
	for _, rule := range r.Rules {
		says = append(says, rule.Says)
	}
	return fmt.Sprintf("%v: %s", r.Attributes, strings.Join(says, " "))
}

func TestWhatMayStillBeChosenAndWhyNot(t *testing.T) {
	c := read(t, small(t))
	for _, one := range []struct{ entered, attribute, want string }{
		{"", "top", "wood; glass; default wood"},
		{"top=wood", "glass", "not asked; because [top]: Glass is asked only when Top is Glass (glass)."},
		{"top=glass", "glass", "clear-3-8; clear-1-2"},
		{"top=glass; length=80 in", "glass", "no clear-3-8 because [length]: Glass is asked only when Top is Glass (glass). A glass top longer than 72 in is made 1/2 in thick.; clear-1-2"},
		{"glass=clear-3-8", "length", "48 in to 72 in; not 72 1/16 in to 96 in because [glass]: Glass is asked only when Top is Glass (glass). A glass top longer than 72 in is made 1/2 in thick."},
		{"width=50 in", "length", "50 in to 96 in; not 48 in to 49 15/16 in because [width]: A table is not wider than long."},
		{"length=90 in", "metal_finish", "black; no waxed because [length]: A large frame is too heavy for the waxing bench."},
		{"top=glass", "shelves", "0 to 0; not 1 to 3 because [top]: Shelves are not seen well under glass and are left out there.; default 0"},
		{"species=walnut", "wood_finish", "oiled; no limed because [species]: Species is asked only when Top is Wood (wood). A wood finish goes only on the species it is made for.; default oiled"},
		{"cushion=loose", "cloth", "twill; stripe; own"},
		{"", "cloth", "may not be asked; twill; stripe; own"},
	} {
		if got := told(offered(t, c, "tarn-table", one.entered), one.attribute); got != one.want {
			t.Errorf("beside %q, of %s:\ngot  %s\nwant %s", one.entered, one.attribute, got, one.want)
		}
	}
}

func TestPicksThatContradictSayWhyAndWhatIsNearest(t *testing.T) {
	c := read(t, small(t))
	for _, one := range []struct{ entered, because, nearest string }{
		{"length=1300 mm; width=1400 mm; species=walnut", "[length width]: A table is not wider than long.", "Width 1300 mm instead of 1400 mm; Metal finish Black (black)"},
		{"length=80 in; top=glass; glass=clear-3-8; metal_finish=black", "[length glass]: Glass is asked only when Top is Glass (glass). A glass top longer than 72 in is made 1/2 in thick.", "Glass 1/2 in clear (clear-1-2) instead of 3/8 in clear (clear-3-8)"},
		{"length=60 in; top=wood; glass=clear-1-2; species=walnut; metal_finish=waxed", "[top glass]: Glass is asked only when Top is Glass (glass).", "Glass left out instead of 1/2 in clear (clear-1-2)"},
	} {
		o := offered(t, c, "tarn-table", one.entered)
		if o.Contradiction == nil {
			t.Errorf("%s: no contradiction", one.entered)
			continue
		}
		var says []string
		for _, change := range o.Nearest {
			says = append(says, change.Says)
		}
		if got := reason(o.Contradiction); got != one.because {
			t.Errorf("%s: got %s\nwant %s", one.entered, got, one.because)
		}
		if got := strings.Join(says, "; "); got != one.nearest || !o.Proven {
			t.Errorf("%s: nearest %s (proven %v)\nwant %s", one.entered, got, o.Proven, one.nearest)
		}
	}
}

// What is offered can be had: with any value that is left, the rest can be filled
// in so that Check takes it; a value that is not left cannot, whatever is drawn.
func TestEveryValueOfferedCanBeCompleted(t *testing.T) {
	for name, c := range catalogs(t) {
		dice := rand.New(rand.NewPCG(11, 13))
		tried := 0
		for code, p := range c.Products.All() {
			for range 12 {
				entered := some(sampling.Picks(p, dice.IntN), dice)
				o, findings, err := c.Offer(code.Value, entered, today)
				if err != nil {
					t.Fatal(err)
				}
				if len(findings) > 0 || o.Contradiction != nil {
					continue
				}
				for _, a := range o.Attributes {
					if with, drawn := draw(&a, dice); drawn {
						tried++
						completes(t, c, name+" "+code.Value, code.Value, without(entered, a.Attribute.Code), catalog.Pick{Attribute: a.Attribute.Code, Text: with})
					}
				}
			}
		}
		if tried == 0 {
			t.Errorf("%s: nothing was offered", name)
		}
	}
}

func some(list []catalog.Pick, dice *rand.Rand) []catalog.Pick {
	return slices.DeleteFunc(list, func(catalog.Pick) bool { return dice.IntN(3) > 0 })
}

func without(list []catalog.Pick, attribute string) []catalog.Pick {
	return slices.DeleteFunc(slices.Clone(list), func(p catalog.Pick) bool { return p.Attribute == attribute })
}

func draw(a *catalog.Offered, dice *rand.Rand) (string, bool) {
	if len(a.Left) > 0 {
		i := a.Left[dice.IntN(len(a.Left))]
		return []string{i.From, i.To}[dice.IntN(2)], true
	}
	var left []string
	for _, v := range a.Values {
		if v.Left {
			left = append(left, v.Code)
		}
	}
	if len(left) == 0 {
		return "", false
	}
	return left[dice.IntN(len(left))], true
}

// completes fills in the rest as the nearest that can be built, which may change
// nothing that was picked, and has it checked.
func completes(t *testing.T, c *catalog.Catalog, where, product string, entered []catalog.Pick, with catalog.Pick) {
	t.Helper()
	all := append(entered, with)
	whole, err := c.Completed(product, all, today)
	if err != nil {
		t.Errorf("%s: %v cannot be completed though %v is offered: %v", where, entered, with, err)
		return
	}
	config, findings := c.Check(product, whole, today)
	if config == nil {
		t.Errorf("%s: %v with %v is offered and then refused as %v: %v", where, entered, with, whole, findings)
		return
	}
	for _, p := range all {
		if !slices.Contains(whole, p) {
			t.Errorf("%s: the completion of %v changed %v", where, all, p)
		}
	}
}

// Reasons are as short as they can be: without any one pick or rule of them the
// value can be had.
func TestReasonsSurviveTheRemovalTest(t *testing.T) {
	reasons := 0
	for name, c := range catalogs(t) {
		dice := rand.New(rand.NewPCG(3, 4))
		for code, p := range c.Products.All() {
			made, err := c.Choosing(p, today)
			if err != nil {
				t.Fatal(err)
			}
			for range 6 {
				entered := some(sampling.Picks(p, dice.IntN), dice)
				n, needless, err := made.Removals(entered, today, 20)
				if err != nil {
					t.Fatalf("%s %s %v: %v", name, code.Value, entered, err)
				}
				reasons += n
				if len(needless) > 0 {
					t.Errorf("%s %s %v: not needed: %v", name, code.Value, entered, needless)
				}
			}
		}
	}
	if reasons < 200 {
		t.Errorf("only %d reasons were looked at", reasons)
	}
}

func TestOffersOfWhatIsWrongByItself(t *testing.T) {
	c := read(t, small(t))
	o, findings, err := c.Offer("tarn-table", picks("length=60 1/32 in; colour=red; top=wod; species=walnut"), today)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range findings {
		got = append(got, f.Pointer+" "+f.Code)
	}
	want := []string{"/configuration/colour attribute.unknown", "/configuration/length length.off-step", "/configuration/top choice.unknown"}
	if !slices.Equal(got, want) {
		t.Errorf("findings %q, want %q", got, want)
	}
	if o == nil || told(o, "wood_finish") == "there is none" {
		t.Error("what is in order was not looked at")
	}
	if _, findings, _ := c.Offer("tarn-tabel", nil, today); len(findings) != 1 || findings[0].Code != "product.unknown" {
		t.Errorf("an unknown product: %v", findings)
	}
}
