package golden_test

import (
	"cmp"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// naming holds what findings say against the names of a catalog.
type naming struct {
	t        *testing.T
	cat      *catalog.Catalog
	names    map[string][]string // by code
	own      []string            // sentences that stand in the catalog
	seen     map[string]bool
	byLength []string
	units    int // sentences that name a length
}

// trade are words of sentences that are also codes of the catalogs at hand.
var trade = []string{"length", "width", "height", "depth", "diameter", "thickness", "species", "glass", "cloth", "steel", "wood", "top", "edge", "quantity", "own", "no", "none", "reach", "one", "in", "leaf", "leaves", "carton", "whole", "skid"}

func newNaming(t *testing.T, cat *catalog.Catalog) *naming {
	n := &naming{t: t, cat: cat, names: map[string][]string{}, seen: map[string]bool{}}
	for code, p := range cat.Products.All() {
		n.name(code.Value, p.Name)
		for attribute, a := range p.Attributes.All() {
			n.name(attribute.Value, a.Name)
			for _, o := range a.Options() {
				n.name(o.Code, o.Name)
			}
			if a.Choose != nil && a.Choose.Open != nil {
				n.own = append(n.own, a.Choose.Open.Says)
			}
		}
		for _, r := range p.Rules.All() {
			n.own = append(n.own, r.Says)
		}
	}
	for code, d := range cat.Dealers.All() {
		n.name(code.Value, d.Name)
	}
	for code, f := range cat.WoodFinishes.All() {
		n.name(code.Value, f.Name)
		if f.Says != "" {
			n.own = append(n.own, f.Says)
		}
	}
	return n
}

func (n *naming) name(code, name string) {
	if code != name && !slices.Contains(n.names[code], name) {
		n.names[code] = append(n.names[code], name)
	}
}

var (
	entered = regexp.MustCompile(`"(\\.|[^"\\])*"`)
	words   = regexp.MustCompile(`[\pL\pN][\pL\pN_-]*`)
	place   = regexp.MustCompile(`^line \d+ › [^:]*: `)
	inches  = regexp.MustCompile(`\d (in|ft)\b`)
	metric  = regexp.MustCompile(`\d mm\b`)
)

// holds one sentence against the names: no code stands in it but in brackets
// behind its name, none twice, and lengths are in one system of units.
func (n *naming) holds(where, says string) {
	n.seen[says] = true
	rest := place.ReplaceAllString(entered.ReplaceAllString(says, ""), "")
	for _, own := range n.own {
		rest = strings.ReplaceAll(rest, own, "")
	}
	for code, names := range n.names {
		for _, name := range names {
			behind := name + " (" + code + ")"
			if strings.Count(rest, behind) > 1 {
				n.t.Errorf("%s: %s stands twice: %s", where, behind, says)
			}
			rest = strings.ReplaceAll(rest, behind, "")
		}
	}
	for _, name := range n.longest() {
		rest = strings.ReplaceAll(rest, name, "")
	}
	for _, word := range words.FindAllString(rest, -1) {
		if _, err := strconv.Atoi(word); err == nil || slices.Contains(trade, word) {
			continue
		}
		if names, is := n.names[word]; is {
			n.t.Errorf("%s: the code %s of %v stands bare: %s", where, word, names, says)
		}
	}
	if inches.MatchString(rest) || metric.MatchString(rest) {
		n.units++
	}
	// Who left the unit out is shown both.
	if inches.MatchString(rest) && metric.MatchString(rest) && !strings.Contains(rest, "no unit: ") {
		n.t.Errorf("%s: two systems of units: %s", where, says)
	}
}

// longest are all names, of which one within another comes after it.
func (n *naming) longest() []string {
	if n.byLength == nil {
		for _, names := range n.names {
			n.byLength = append(n.byLength, names...)
		}
		slices.SortFunc(n.byLength, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	}
	return n.byLength
}

func (n *naming) reckon(where string, draft *order.Draft, at time.Time) {
	o, findings := order.Reckon(n.cat, draft, at)
	for _, f := range findings {
		n.holds(where+" "+f.Pointer+" "+f.Code, f.Message)
		for _, w := range f.Ways {
			n.holds(where+" a way out", w.Says)
		}
	}
	if o != nil {
		for _, w := range o.Warnings {
			n.holds(where+" "+w.Code, w.Message)
		}
	}
}

func (n *naming) offer(where, product string, picks []catalog.Pick) {
	offer, _, err := n.cat.Offer(product, picks, n.cat.Workshop.Effective)
	if err != nil || offer == nil {
		return
	}
	reason := func(r *catalog.Reason) {
		if r != nil {
			for _, rule := range r.Rules {
				n.holds(where+" why not", rule.Says)
			}
		}
	}
	reason(offer.Contradiction)
	for _, c := range offer.Nearest {
		n.holds(where+" nearest", c.Says)
	}
	for _, a := range offer.Attributes {
		reason(a.NotAskedBecause)
		for _, v := range a.Values {
			reason(v.Because)
		}
		for _, g := range a.Gaps {
			reason(g.Because)
			n.holds(where+" gap", g.From+" to "+g.To)
		}
	}
}

// bad are entries of an attribute of which most are wrong, alone or beside
// the rest.
func bad(a *catalog.Attribute) (texts []string) {
	switch {
	case a.Choose != nil:
		texts = append(texts, "zzz")
		for i, o := range a.Options() {
			if i < 6 {
				texts = append(texts, o.Code, o.Name)
			}
		}
	case a.Size != nil:
		step := a.Size.StepInch + a.Size.From - a.Size.From%a.Size.StepInch
		texts = append(texts, "1/16 in", "1 mm", "90 m", "7", (step + unit.Inch/64).String(), step.Millimetres()+"1 mm", "1300 mm", a.Size.From.String(), a.Size.To.String())
		for _, standard := range a.Size.Standard {
			texts = append(texts, (standard + unit.Inch/16).String(), ((standard + unit.Inch/8) / (unit.Inch / 4) * (unit.Inch / 4)).String(), strings.Split((standard + unit.Millimetre).Millimetres(), ".")[0]+" mm")
		}
	case a.Count != nil:
		texts = append(texts, "-1", "999", "two", strconv.Itoa(a.Count.From), strconv.Itoa(a.Count.To))
	default:
		texts = append(texts, "", strings.Repeat("long ", 60))
	}
	return texts
}

// Whatever is wrong with an order of either workshop is told by the names that
// people read, and in one system of units: the golden orders that are refused,
// and each attribute of each product entered in many wrong ways.
func TestFindingsNameThingsAsPeopleReadThem(t *testing.T) {
	metric, faults := source.ReadDir(os.DirFS("../../testdata/workshop-metric"))
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	for where, files := range map[string][]source.File{"inches": demonstration.Files(), "metric": metric} {
		cat, faults := catalog.Read(files)
		if len(faults) > 0 {
			t.Fatal(faults[0])
		}
		n := newNaming(t, cat)
		n.goldenOrders(where)
		n.everyAttribute(where)
		if len(n.seen) < 100 || n.units < 50 {
			t.Errorf("%s: %d sentences were looked at, %d of them with lengths: too few to tell", where, len(n.seen), n.units)
		}
	}
}

func (n *naming) goldenOrders(where string) {
	refused := 0
	for name, g := range n.cat.GoldenOrders.All() {
		if _, bad := g.Expect.Get("findings"); !bad {
			continue
		}
		refused++
		line := order.DraftLine{Product: g.Product.Value, Quantity: strconv.Itoa(g.Quantity)}
		for attribute, text := range g.Configuration.All() {
			line.Picks = append(line.Picks, catalog.Pick{Attribute: attribute.Value, Text: text.Value})
		}
		at := time.Date(g.Day.Year, g.Day.Month, g.Day.Day, 18, 0, 0, 0, time.UTC)
		n.reckon(where+" "+name.Value, &order.Draft{Dealer: g.Dealer.Value, PO: "golden", Lines: []order.DraftLine{line}}, at)
		n.offer(where+" "+name.Value, line.Product, line.Picks)
	}
	if refused == 0 {
		n.t.Errorf("%s: no golden order is refused", where)
	}
}

func (n *naming) everyAttribute(where string) {
	day := n.cat.Workshop.Effective
	at := time.Date(day.Year, day.Month, day.Day, 18, 0, 0, 0, time.UTC)
	dealer := n.cat.Dealers.Keys()[0]
	draft := func(product, dealer string, picks ...catalog.Pick) *order.Draft {
		return &order.Draft{Dealer: dealer, PO: "A", Lines: []order.DraftLine{{Product: product, Quantity: "1", Picks: picks}}}
	}
	n.reckon(where, draft(n.cat.Products.Keys()[0]+"x", dealer+"x"), at)
	for code, p := range n.cat.Products.All() {
		whole, err := n.cat.Completed(code.Value, nil, day)
		if err != nil {
			n.t.Fatal(code.Value, err)
		}
		for attribute, a := range p.Attributes.All() {
			here := where + " " + code.Value + " " + attribute.Value
			others := slices.DeleteFunc(slices.Clone(whole), func(p catalog.Pick) bool { return p.Attribute == attribute.Value })
			n.reckon(here+" missing", draft(code.Value, dealer, others...), at)
			n.reckon(here+" misspelt", draft(code.Value, dealer, append(others, catalog.Pick{Attribute: attribute.Value + "s", Text: "a"})...), at)
			for _, text := range bad(a) {
				entered := append(slices.Clone(others), catalog.Pick{Attribute: attribute.Value, Text: text})
				n.reckon(here+"="+text, draft(code.Value, dealer, entered...), at)
				n.offer(here+"="+text, code.Value, entered)
			}
		}
	}
}
