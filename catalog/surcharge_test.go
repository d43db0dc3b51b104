package catalog_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// By hand. The bench costs 333.33 list, 343.34 with its round edge; hall has
// 40 % off: 333.33 x 0.6 = 199.998 -> 200.00, 343.34 x 0.6 = 206.004 -> 206.00.
//
//	steel 2026   6.5 % of list    999.99 -> 64.99935 -> 65.00
//	                            1030.02 -> 66.9513 -> 66.95
//	                           17167.00 -> 1115.855 -> 1115.86, half a cent going
//	                                       up; by the unit it were 50 x 22.32
//	winter      -2.5 % of net    343.34 -> -8.5835 -> -8.58
//	steel 2027     4 % of net    300.00 -> 12.00
var surcharged = []struct {
	day, dealer, picks string
	quantity           int
	price              string
}{
	// one day before, the first, the last day, one day after
	{"2026-11-01", "hall", "edge=eased", 3, "600.00 = 600.00"},
	{"2026-11-02", "hall", "edge=eased", 3, "600.00 + Steel surcharge 6.5 % of 999.99 65.00 = 665.00"},
	{"2026-12-31", "hall", "edge=eased; length=1600 mm", 1, "300.00 + Steel surcharge 6.5 % of 500.00 32.50 + Winter rebate -2.5 % of 300.00 -7.50 = 325.00"},
	{"2027-01-01", "hall", "edge=eased; length=1600 mm", 1, "300.00 + Steel surcharge 4 % of 300.00 12.00 + Winter rebate -2.5 % of 300.00 -7.50 = 304.50"},
	{"2027-03-01", "hall", "edge=eased; length=1600 mm", 1, "300.00 + Steel surcharge 4 % of 300.00 12.00 = 312.00"},
	// rounded once for the line
	{"2026-11-25", "hall", "", 3, "618.00 + Steel surcharge 6.5 % of 1030.02 66.95 = 684.95"},
	{"2026-11-25", "hall", "", 50, "10300.00 + Steel surcharge 6.5 % of 17167.00 1115.86 = 11415.86"},
	{"2026-12-01", "late", "", 1, "343.34 + Steel surcharge 6.5 % of 343.34 22.32 + Winter rebate -2.5 % of 343.34 -8.58 = 357.08"},
}

func TestSurcharges(t *testing.T) {
	c := read(t, wide(t))
	for _, s := range surcharged {
		cfg, findings := c.Check("kell-bench", picks("cloth=wool; "+s.picks), today)
		if cfg == nil {
			t.Errorf("%s: %+v", s.picks, findings)
			continue
		}
		quote, findings := c.Price(cfg, s.dealer, on(t, s.day))
		whole, err := quote.Whole(s.quantity)
		if err != nil || len(findings) > 0 {
			t.Errorf("%s: %v, %+v", s.day, err, findings)
			continue
		}
		if got := priced(whole); got != s.price {
			t.Errorf("%d on %s for %s:\ngot  %s\nwant %s", s.quantity, s.day, s.dealer, got, s.price)
		}
	}
}

func priced(p *catalog.LinePrice) string {
	terms := []string{p.Goods.String()}
	for _, s := range p.Surcharges {
		terms = append(terms, fmt.Sprintf("%s %s of %s %s", s.For, s.Percent, s.Of, s.Amount))
	}
	return strings.Join(terms, " + ") + " = " + p.Net.String()
}

// A surcharge limited to products or collections is on no other.
func TestWhatASurchargeIsOn(t *testing.T) {
	prices := change{"prices:\n", "prices:\n  kell-hook: {sizes: [{for: Hook, list: 10.00}]}\n"}
	c := read(t, edit(t, wide(t), prices))
	cfg, findings := c.Check("kell-hook", nil, today)
	if cfg == nil {
		t.Fatal(findings)
	}
	for day, want := range map[string]string{"2026-11-25": "10.00 = 10.00", "2027-01-05": "10.00 + Winter rebate -2.5 % of 10.00 -0.25 = 9.75"} {
		quote, _ := c.Price(cfg, "late", on(t, day))
		if whole, err := quote.Whole(1); err != nil || priced(whole) != want {
			t.Errorf("on %s: %s, %v, want %s", day, priced(whole), err, want)
		}
	}
}

func TestALinePriceTooLarge(t *testing.T) {
	c := read(t, edit(t, wide(t), change{"list: 333.33", "list: 90000000000000000.00"}))
	cfg, _ := c.Check("kell-bench", picks("cloth=wool"), today)
	quote, findings := c.Price(cfg, "hall", today)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	if whole, err := quote.Whole(2); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("got %+v, %v, want overflow", whole, err)
	}
}

// However it is ordered, the net is the goods and the surcharges, and each of
// these is within half a cent of its percentage, half a cent itself going up.
func TestSurchargesOfAnything(t *testing.T) {
	c := read(t, wide(t))
	cfg, findings := c.Check("kell-bench", picks("cloth=wool"), today)
	if cfg == nil {
		t.Fatal(findings)
	}
	rapid.Check(t, func(t *rapid.T) {
		quote, _ := c.Price(cfg, rapid.SampledFrom([]string{"hall", "late"}).Draw(t, "dealer"), today.AddDays(rapid.IntRange(-60, 200).Draw(t, "days")))
		whole, err := quote.Whole(rapid.IntRange(1, 10_000).Draw(t, "quantity"))
		if err != nil {
			t.Fatal(err)
		}
		sum := whole.Goods
		for _, s := range whole.Surcharges {
			sum += s.Amount
			var percent catalog.Percent
			if err := percent.UnmarshalText([]byte(s.Percent)); err != nil {
				t.Fatal(err)
			}
			// |amount - of·share| <= 1/2 cent, in cents times the denominator
			share := percent.Share()
			off := 2 * (int64(s.Amount)*share.Den() - int64(s.Of)*share.Num())
			if off > share.Den() || off < -share.Den() || off == -share.Den() && share.Sign() > 0 {
				t.Fatalf("%s of %s is %s", s.Percent, s.Of, s.Amount)
			}
		}
		if sum != whole.Net {
			t.Fatalf("%s is not the sum of %s", whole.Net, priced(whole))
		}
	})
}

func TestPercent(t *testing.T) {
	for text, want := range map[string]string{"6.5": "13/200 6.5 %", "6.5 %": "13/200 6.5 %", "6.5%": "13/200 6.5 %", "-2 1/2": "-1/40 -2.5 %", "100": "1 100 %", "1/3": "1/300 1/3 %"} {
		var p catalog.Percent
		if err := p.UnmarshalText([]byte(text)); err != nil || p.Share().String()+" "+p.String() != want {
			t.Errorf("%q is %s %s, %v, want %s", text, p.Share(), p, err, want)
		}
	}
	for _, text := range []string{"", "%", "six", "6,5", "6.5 lb", "6.5 % %"} {
		var p catalog.Percent
		if err := p.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is taken as %s", text, p)
		}
	}
}
