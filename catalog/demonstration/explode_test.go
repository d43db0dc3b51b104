package demonstration_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/unit"
)

func read(t *testing.T) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(demonstration.Files())
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.Fatal("the demonstration catalog cannot be read")
	}
	return cat
}

// draw is a text for every attribute of a product, or none for its default.
func draw(p *catalog.Product, dice *rand.Rand) map[string]string {
	picks := map[string]string{}
	for code, a := range p.Attributes.All() {
		if a.Default == nil || dice.IntN(3) > 0 {
			picks[code.Value] = anyText(a, dice)
		}
	}
	return picks
}

func anyText(a *catalog.Attribute, dice *rand.Rand) string {
	switch {
	case a.Choose != nil:
		options := a.Options()
		return options[dice.IntN(len(options))].Code
	case a.Count != nil:
		return fmt.Sprint(a.Count.From + dice.IntN(a.Count.To-a.Count.From+1))
	case a.Write != nil:
		return "CMW"[:dice.IntN(4)]
	}
	step := a.Size.StepInch
	if dice.IntN(2) == 0 {
		step = a.Size.StepMM
	}
	first, last := (a.Size.From+step-1)/step, a.Size.To/step
	l := (first + unit.Length(dice.Int64N(int64(last-first+1)))) * step
	if step == a.Size.StepMM {
		return l.Millimetres() + " mm"
	}
	return l.String()
}

// picked reads "length=7 ft; species=white-ash".
func picked(text string) map[string]string {
	picks := map[string]string{}
	for item := range strings.SplitSeq(text, ";") {
		if attribute, value, found := strings.Cut(strings.TrimSpace(item), "="); found {
			picks[attribute] = value
		}
	}
	return picks
}

// settle checks picks, leaving out what is not asked after all. It is nil when
// the catalog refuses them.
func settle(cat *catalog.Catalog, product string, picks map[string]string) *catalog.Config {
	for {
		var list []catalog.Pick
		for attribute, text := range picks {
			list = append(list, catalog.Pick{Attribute: attribute, Text: text})
		}
		cfg, findings := cat.Check(product, list, cat.Workshop.Effective)
		before := len(picks)
		for _, f := range findings {
			if f.Code == "attribute.not-asked" {
				delete(picks, strings.TrimPrefix(f.Pointer, "/configuration/"))
			}
		}
		if cfg != nil || len(picks) == before {
			return cfg
		}
	}
}

func shown(cfg *catalog.Config) string {
	list := []string{cfg.Product.Code}
	for _, s := range cfg.Settings {
		list = append(list, s.Attribute.Code+"="+s.Value.String())
	}
	return strings.Join(list, " ")
}

// explodes makes sure of a bill: whatever would refuse one is a rule, so that it
// is told while something is being chosen.
func explodes(t *testing.T, cat *catalog.Catalog, cfg *catalog.Config) {
	t.Helper()
	bill, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 2, Config: cfg}}, false)
	for _, f := range findings {
		t.Errorf("%s is taken and cannot be made: %s: %s", shown(cfg), f.Code, f.Message)
	}
	if cfg.Product.Sample != nil { // nothing is made for a chip
		return
	}
	if bill != nil && (len(bill.Lines[0].Steel) == 0 || len(bill.Lines[0].Finish) == 0 || len(bill.Lines[0].Cartons) == 0) {
		t.Errorf("%s: the bill has no steel, finish or carton", shown(cfg))
	}
}

func TestWhatIsTakenCanBeMade(t *testing.T) {
	const wanted, most = 300, 6000
	cat := read(t)
	for code, p := range cat.Products.All() {
		t.Run(code.Value, func(t *testing.T) {
			dice := rand.New(rand.NewPCG(1, 2))
			taken, drawn := 0, 0
			for ; taken < wanted && drawn < most; drawn++ {
				if cfg := settle(cat, code.Value, draw(p, dice)); cfg != nil {
					taken++
					explodes(t, cat, cfg)
				}
				if t.Failed() {
					return
				}
			}
			t.Logf("%d of %d drawn are taken", taken, drawn)
			if taken < wanted {
				t.Errorf("only %d of %d drawn configurations are taken", taken, drawn)
			}
		})
	}
}

// A rule refuses these by themselves, so that its sentence is read instead of the
// range's.
var refusedAlone = map[string]string{"pell-stool own_repeat 60 in": "own-repeat-fits"}

// Every end of a range and every choice can be had, together with something.
func TestEveryEndAndEveryChoiceCanBeMade(t *testing.T) {
	const most = 2000
	cat := read(t)
	for code, p := range cat.Products.All() {
		dice := rand.New(rand.NewPCG(3, 4))
		for name, a := range p.Attributes.All() {
			for _, text := range ends(a) {
				made := false
				for i := 0; i < most && !made; i++ {
					picks := draw(p, dice)
					picks[name.Value] = text
					cfg := settle(cat, code.Value, picks)
					if _, asked := picks[name.Value]; cfg == nil || !asked {
						continue
					}
					explodes(t, cat, cfg)
					made = true
				}
				rule := refusedAlone[fmt.Sprintf("%s %s %s", code, name, text)]
				fabric, _ := cat.Fabrics.Get(text)
				withdrawn := fabric != nil && fabric.LastOrder != nil && fabric.LastOrder.Before(cat.Workshop.Effective)
				if made == (rule != "" || withdrawn) {
					t.Errorf("%s: something goes with %s %s: %v; a rule against it: %q; withdrawn: %v", code, name, text, made, rule, withdrawn)
				}
			}
		}
	}
}

func ends(a *catalog.Attribute) (texts []string) {
	switch {
	case a.Choose != nil:
		for _, o := range a.Options() {
			texts = append(texts, o.Code)
		}
	case a.Size != nil:
		texts = []string{a.Size.From.String(), a.Size.To.String()}
		for _, l := range a.Size.Standard {
			texts = append(texts, l.String())
		}
	case a.Count != nil:
		for n := a.Count.From; n <= a.Count.To; n++ {
			texts = append(texts, fmt.Sprint(n))
		}
	}
	return texts
}

// The defaults of every product are made and have a price.
func TestDefaultsAreMadeAndPriced(t *testing.T) {
	cat := read(t)
	for code := range cat.Products.All() {
		cfg, findings := cat.Check(code.Value, nil, cat.Workshop.Effective)
		if cfg == nil {
			t.Errorf("%s by its defaults: %+v", code, findings)
			continue
		}
		explodes(t, cat, cfg)
		quote, findings := cat.Price(cfg, demonstration.Dealer, cat.Workshop.Effective)
		if free := cfg.Product.Sample != nil && cfg.Product.Sample.Free; len(findings) > 0 || quote.ToBeQuoted || (quote.NetUnit > 0) == free {
			t.Errorf("%s by its defaults: %+v, %+v", code, quote, findings)
		}
	}
}
