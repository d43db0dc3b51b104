package catalog_test

import (
	"fmt"
	"strings"
	"testing"

	"billwright/catalog"
)

func quoted(q *catalog.Quote) string {
	var lines []string
	for _, l := range q.Lines {
		lines = append(lines, fmt.Sprintf("%s %s", l.For, l.List))
	}
	if q.ToBeQuoted {
		lines = append(lines, "to be quoted")
	}
	return fmt.Sprintf("%s = %s at %s: %s", strings.Join(lines, " + "), q.ListUnit, q.Terms, q.NetUnit)
}

// By hand. 50/10 leaves 0.5 x 0.9 = 0.45:
//
//	1999.99 x 0.45 =  899.9955 ->  900.00
//	2249.99 x 0.45 = 1012.4955 -> 1012.50
//	3110.50 x 0.45 = 1399.7250 -> 1399.73, half a cent going up
var prices = []struct{ dealer, with, quote string }{
	{"corner-shop", "length=72 in", "Up to 72 in 1999.99 = 1999.99 at 50/10: 900.00"},
	{"friend", "length=72 in", "Up to 72 in 1999.99 = 1999.99 at list: 1999.99"},
	{"corner-shop", "length=6 ft", "Up to 72 in 1999.99 = 1999.99 at 50/10: 900.00"},
	{"corner-shop", "length=71 in", "Up to 72 in 1999.99 + Custom size 250.00 = 2249.99 at 50/10: 1012.50"},
	{"corner-shop", "length=71 in; width=35 in", "Up to 72 in 1999.99 + Custom size 250.00 = 2249.99 at 50/10: 1012.50"},
	{"corner-shop", "length=72 in; width=914.5 mm", "Up to 72 in 1999.99 + Custom size 250.00 = 2249.99 at 50/10: 1012.50"},
	{"corner-shop", "length=80 in; width=36 in; shelves=3; cushion=loose; cloth=twill",
		"Over 72 in 2600.00 + Loose cushion 420.50 + Shelf 90.00 + Custom size 250.00 = 3360.50 at 50/10: 1512.23"},
	{"corner-shop", "length=60 in; species=walnut", "Up to 72 in 1999.99 + Walnut 350.00 = 2349.99 at 50/10: 1057.50"},
	{"corner-shop", "length=90 1/16 in", "to be quoted = 0.00 at 50/10: 0.00"},
}

func TestPrice(t *testing.T) {
	c := read(t, small(t))
	for _, p := range prices {
		cfg, findings := c.Check("tarn-table", with(p.with), today)
		if cfg == nil {
			t.Errorf("%s: %+v", p.with, findings)
			continue
		}
		quote, findings := c.Price(cfg, p.dealer, today)
		if len(findings) > 0 || quoted(quote) != p.quote {
			t.Errorf("%s for %s:\ngot  %s %+v\nwant %s", p.with, p.dealer, quoted(quote), findings, p.quote)
		}
	}
}

func TestPriceOfAProductWithoutAPriceList(t *testing.T) {
	c := read(t, small(t))
	cfg, _ := c.Check("tarn-stool", nil, today)
	quote, findings := c.Price(cfg, "corner-shop", today)
	if !quote.ToBeQuoted || len(quote.Lines) > 0 || len(findings) > 0 {
		t.Errorf("got %s, %+v, want to be quoted", quoted(quote), findings)
	}
}

func TestPriceForAnUnknownDealer(t *testing.T) {
	c := read(t, small(t))
	cfg, _ := c.Check("tarn-table", with("length=72 in"), today)
	quote, findings := c.Price(cfg, "corner-shp", today)
	want := `/dealer dealer.unknown: There is no dealer "corner-shp", so that no terms are known and there is no net price. Did you mean Corner Shop (corner-shop)? -> corner-shop`
	if len(findings) != 1 || shown(findings[0]) != want {
		t.Errorf("got %+v, want %s", findings, want)
	}
	if quote == nil || quote.ListUnit != 199999 || quote.NetUnit != 0 {
		t.Errorf("got %+v, want the list price and no net price", quote)
	}
}

func TestAPriceTooLargeIsAFinding(t *testing.T) {
	c := read(t, edit(t, small(t), change{"list: 1999.99", "list: 92233720368547758.07"}))
	cfg, _ := c.Check("tarn-table", with("length=72 in; species=walnut"), today)
	quote, findings := c.Price(cfg, "corner-shop", today)
	if len(findings) != 1 || findings[0].Code != "price.too-large" || quote == nil {
		t.Errorf("got %+v, %+v, want price.too-large", quote, findings)
	}
}

// A part is priced by its path, less the dealer's chain, once: 333.33 less 50/10
// is 149.9985, half up 150.00. One without a price is to be quoted, and one that
// the product does not have is a fault.
func TestPartsArePricedByPath(t *testing.T) {
	const prices = "prices:\n  tarn-table:\n"
	cat := read(t, edit(t, small(t), change{prices, prices + "    parts: {base: 333.33, base/leg: 20.00}\n"}))
	cfg := &catalog.Config{}
	cfg.Product, _ = cat.Products.Get("tarn-table")
	for path, want := range map[string]string{"base": "150.00", "base/leg": "9.00", "top": "to be quoted"} {
		q, findings := cat.PricePart(cfg, path, "corner-shop")
		got := q.NetUnit.String()
		if q.ToBeQuoted {
			got = "to be quoted"
		}
		if len(findings) > 0 || got != want {
			t.Errorf("%s: %s %v, want %s", path, got, findings, want)
		}
	}
	if _, findings := cat.PricePart(cfg, "base", "nobody"); len(findings) != 1 || findings[0].Code != "dealer.unknown" {
		t.Errorf("%v", findings)
	}
	_, faults := catalog.Read(edit(t, small(t), change{prices, prices + "    parts: {base/wing: 20.00, base: 0.00}\n"}))
	if len(faults) != 2 || !strings.Contains(faults[0].Error()+faults[1].Error(), `there is no part "base/wing"`) {
		t.Errorf("%v", faults)
	}
}
