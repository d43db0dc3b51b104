package order_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"billwright/bom/order"
	"billwright/catalog"
)

// typed is a draft of a rep whose first line has a typed price.
func typed(net, reason, role string, lines ...string) *order.Draft {
	d := draft(lines...)
	d.Role, d.Lines[0].Price = role, &order.PriceEntry{Net: net, Reason: reason}
	return d
}

// A typed price is what the dealer pays for each unit: three at 850.00 are
// 2550.00, whatever the list, his terms and the surcharges of the day come to.
// What the list says stays beside it.
func TestATypedPriceStandsInPlaceOfTheLists(t *testing.T) {
	cat := read(t)
	d := typed("850", " A mark on the frame of the sample ", "rep", "3 sallow-bench:", "1 sallow-bench:")
	o := reckoned(t, cat, d, noon)
	plain := reckoned(t, cat, draft("3 sallow-bench:", "1 sallow-bench:"), noon)
	document := o.Document([32]byte{})
	price := document.Lines[0].Price
	if price.Typed == nil || *price.Typed != (order.TypedPrice{Net: 85000, Reason: "A mark on the frame of the sample", By: "rep"}) || price.NetUnit.String() != "850.00" || price.Net.String() != "2550.00" || price.ToBeQuoted || len(price.Surcharges) > 0 {
		t.Errorf("%+v", price)
	}
	was := plain.Document([32]byte{})
	if *price.ListUnit != *was.Lines[0].Price.ListUnit || !slices.Equal(price.Lines, was.Lines[0].Price.Lines) || len(price.Lines) == 0 {
		t.Errorf("the list says %+v, and beside a typed price %+v", was.Lines[0].Price, price)
	}
	if want := 255000 + *was.Lines[1].Price.Net; *document.Net != want || document.Lines[1].Price.Typed != nil {
		t.Errorf("in all %s, want %s", document.Net, want)
	}
	if a := document.Acknowledgment(false); a.Lines[0].Price.Typed == nil || a.Lines[1].Price.Typed != nil {
		t.Error("the acknowledgment does not mark the typed price")
	}
	// What has no class in the price list is priced all the same.
	const unlisted = "1 brackwater-table: length=9 ft; stretcher=h-stretcher"
	if o := reckoned(t, cat, draft(unlisted), noon); o.Net != nil {
		t.Fatal("the table is not to be quoted, so that this shows nothing")
	}
	if d := reckoned(t, cat, typed("9000.00", "quoted by letter", "owner", unlisted), noon).Document([32]byte{}); d.Lines[0].Price.ToBeQuoted || d.Net.String() != "9000.00" {
		t.Errorf("%+v", d.Lines[0].Price)
	}
}

func TestTypedPricesAndAgreedDatesAreChecked(t *testing.T) {
	cat := read(t)
	for name, c := range map[string]struct {
		net, reason, role string
		want              []string
	}{
		"a dealer":     {"850.00", "so we said", "dealer", []string{"/lines/0/price price.right"}},
		"nobody":       {"850.00", "so we said", "", []string{"/lines/0/price price.right"}},
		"an engineer":  {"850.00", "so we said", "engineer", []string{"/lines/0/price price.right"}},
		"no reason":    {"850.00", " ", "rep", []string{"/lines/0/price/reason reason.missing"}},
		"a long one":   {"850.00", strings.Repeat("x", 301), "rep", []string{"/lines/0/price/reason text.long"}},
		"a line break": {"850.00", "a\nb", "rep", []string{"/lines/0/price/reason text.control-characters"}},
		"a word":       {"cheap", "so we said", "rep", []string{"/lines/0/price/net price.unreadable"}},
		"mills":        {"850.005", "so we said", "rep", []string{"/lines/0/price/net price.unreadable"}},
		"below zero":   {"-1.00", "so we said", "rep", []string{"/lines/0/price/net price.negative"}},
		"all at once":  {"", "", "dealer", []string{"/lines/0/price price.right", "/lines/0/price/reason reason.missing", "/lines/0/price/net price.unreadable"}},
		"too much":     {"90000000000000000.00", "so we said", "rep", []string{"/lines/0/quantity price.too-large"}},
		"free of cost": {"0.00", "made good", "rep", nil},
	} {
		_, findings := order.Reckon(cat, typed(c.net, c.reason, c.role, "2 sallow-bench:"), noon)
		if got := codes(findings); !slices.Equal(got, c.want) {
			t.Errorf("price of %s: %v, want %v", name, got, c.want)
		}
	}
	for name, c := range map[string]struct {
		date, reason, role string
		want               []string
	}{
		"a dealer":    {"2027-02-01", "so we said", "dealer", []string{"/agreed agreed.right"}},
		"no reason":   {"2027-02-01", "", "rep", []string{"/agreed/reason reason.missing"}},
		"no day":      {"2027-02-30", "so we said", "rep", []string{"/agreed/date date.unreadable"}},
		"past":        {"2026-10-30", "so we said", "rep", []string{"/agreed/date agreed.past"}},
		"a Sunday":    {"2027-01-31", "so we said", "rep", []string{"/agreed/date agreed.closed"}},
		"all at once": {"soon", "", "dealer", []string{"/agreed agreed.right", "/agreed/reason reason.missing", "/agreed/date date.unreadable"}},
		"today":       {"2026-11-02", "it stands there", "owner", nil},
	} {
		d := draft("1 sallow-bench:")
		d.Role, d.Agreed = c.role, &order.AgreedEntry{Date: c.date, Reason: c.reason}
		_, findings := order.Reckon(cat, d, noon)
		if got := codes(findings); !slices.Equal(got, c.want) {
			t.Errorf("date of %s: %v, want %v", name, got, c.want)
		}
	}
}

// The plant is closed from 2026-12-24 to 2027-01-01, a Friday: Christmas Day lies
// two days after the last working day and ten before the next.
func TestAClosedDayNamesTheNearestWorkingDays(t *testing.T) {
	for day, want := range map[string]string{"2026-12-25": "2026-12-23", "2026-12-31": "2027-01-04", "2026-11-28": "2026-11-30", "2027-01-31": "2027-02-01", "2027-01-30": "2027-01-29"} {
		d := draft("1 sallow-bench:")
		d.Role, d.Agreed = "rep", &order.AgreedEntry{Date: day, Reason: "x"}
		_, findings := order.Reckon(read(t), d, noon)
		if len(findings) != 1 || findings[0].Nearest != want || len(findings[0].Allowed) != 2 || !strings.Contains(findings[0].Message, strings.Join(findings[0].Allowed, " and ")) {
			t.Errorf("%s: %+v, want %s", day, findings, want)
		}
	}
}

func codes(findings []catalog.Finding) (all []string) {
	for _, f := range findings {
		all = append(all, fmt.Sprint(f.Pointer, " ", f.Code))
	}
	return all
}

// agreed is an order for which a rep agreed a ship date.
func agreed(t *testing.T, cat *catalog.Catalog, date string) *order.Document {
	t.Helper()
	d := draft("1 sallow-bench:")
	d.Role, d.Agreed = "rep", &order.AgreedEntry{Date: date, Reason: "the floor is laid that week"}
	document := reckoned(t, cat, d, noon).Document([32]byte{})
	return &document
}

// An agreed date is promised, at acceptance too, and what lead times come to is
// kept beside it; a date sooner than they allow is warned of.
func TestAnAgreedDateIsPromised(t *testing.T) {
	cat := read(t)
	byLead := lived(t, cat, "1 sallow-bench:").Promise
	for date, early := range map[string]bool{"2026-11-20": true, "2027-03-12": false} {
		d := agreed(t, cat, date)
		if d.Promise.String() != date || d.Agreed.Reckoned != byLead || warned(d, order.WarnAgreedEarly) != early {
			t.Errorf("received as %s, %+v, %+v", d.Promise, d.Agreed, d.Warnings)
		}
		if err := d.Accept(cat, noon.AddDate(0, 0, 7)); err != nil {
			t.Fatal(err)
		}
		if d.Promise.String() != date || d.FirstPromise.String() != date || !d.Agreed.Reckoned.After(byLead) || warned(d, order.WarnAgreedEarly) != early {
			t.Errorf("accepted as %s, first %s, %+v, %+v", d.Promise, d.FirstPromise, d.Agreed, d.Warnings)
		}
		if a := d.Acknowledgment(false); a.Agreed == nil || a.Agreed.Reason != "the floor is laid that week" {
			t.Errorf("acknowledged as %+v", a.Agreed)
		}
	}
	// A day that is past cannot be promised any more; the order stays as it is.
	d := agreed(t, cat, "2026-11-20")
	before := bytesOfDocument(t, d)
	var passed *order.AgreedPassed
	if err := d.Accept(cat, time.Date(2026, 11, 23, 18, 0, 0, 0, time.UTC)); !errors.As(err, &passed) || bytesOfDocument(t, d) != before {
		t.Errorf("accepted after the agreed day: %v", err)
	}
	if err := d.Accept(cat, time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)); err != nil {
		t.Errorf("not accepted on the agreed day: %v", err)
	}
}

func warned(d *order.Document, code string) bool {
	return slices.ContainsFunc(d.Warnings, func(w order.Warning) bool { return w.Code == code })
}

// A change keeps a typed price while only the quantity is otherwise, and drops it
// with another configuration; it may type another. An agreed date stays until
// another is agreed or it is taken back.
func TestChangesOfTypedPricesAndAgreedDates(t *testing.T) {
	cat := read(t)
	d := typed("850.00", "a mark", "rep", "2 sallow-bench:", "1 sallow-bench:")
	d.Agreed = &order.AgreedEntry{Date: "2027-03-12", Reason: "the floor"}
	made := reckoned(t, cat, d, noon).Document([32]byte{})
	if err := made.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	longer := []catalog.Pick{{Attribute: "length", Text: "60 in"}}
	for name, c := range map[string]struct {
		change order.Change
		role   string
		price  string // of line 1, empty for none typed
		agreed string
		fields string
	}{
		"a line more":       {order.Change{Lines: []order.LineChange{{Product: "sallow-bench"}}}, "engineer", "850.00", "2027-03-12", "3 product"},
		"more of it":        {order.Change{Lines: []order.LineChange{{Line: 1, Quantity: "4"}}}, "engineer", "850.00", "2027-03-12", "1 quantity"},
		"longer":            {order.Change{Lines: []order.LineChange{{Line: 1, Picks: longer}}}, "rep", "", "2027-03-12", "1 price"},
		"longer and priced": {order.Change{Lines: []order.LineChange{{Line: 1, Picks: longer, Price: &order.PriceEntry{Net: "900", Reason: "longer"}}}}, "rep", "900.00", "2027-03-12", "1 price"},
		"another price":     {order.Change{Lines: []order.LineChange{{Line: 1, Price: &order.PriceEntry{Net: "800", Reason: "two marks"}}}}, "owner", "800.00", "2027-03-12", "1 price"},
		"another date":      {order.Change{Agreed: &order.AgreedEntry{Date: "2027-03-15", Reason: "the floor is late"}}, "rep", "850.00", "2027-03-15", "0 agreed"},
		"no date":           {order.Change{Agreed: &order.AgreedEntry{}}, "rep", "850.00", "", "0 agreed"},
	} {
		changed, findings, err := made.Change(cat, c.change, nil, c.role, noon)
		if err != nil || len(findings) > 0 {
			t.Errorf("%s: %v %+v", name, err, findings)
			continue
		}
		after := changed.After
		price, date := "", ""
		if p := after.Lines[0].Price; p.Typed != nil {
			price = p.Typed.Net.String()
			if net, err := p.Typed.Net.Mul(int64(after.Lines[0].Quantity)); err != nil || *p.Net != net {
				t.Errorf("%s: %d at %s are %s", name, after.Lines[0].Quantity, price, p.Net)
			}
		}
		if after.Agreed != nil {
			date = after.Agreed.Date.String()
			if after.Promise != after.Agreed.Date {
				t.Errorf("%s: agreed %s and promised %s", name, after.Agreed.Date, after.Promise)
			}
		} else if want, _ := cat.Calendar.Promise(noon, after.LeadDays); after.Promise != want {
			t.Errorf("%s: promised %s, want %s", name, after.Promise, want)
		}
		var fields []string
		for _, f := range changed.Fields {
			fields = append(fields, fmt.Sprint(f.Line, " ", f.Field))
		}
		if price != c.price || date != c.agreed || !slices.Contains(fields, c.fields) {
			t.Errorf("%s: price %q, agreed %q, fields %v; want %q, %q, %s", name, price, date, fields, c.price, c.agreed, c.fields)
		}
	}
	_, findings, err := made.Change(cat, order.Change{Agreed: &order.AgreedEntry{Date: "2027-03-15", Reason: "x"}, Lines: []order.LineChange{{Line: 2, Price: &order.PriceEntry{Net: "1", Reason: "x"}}}}, nil, "engineer", noon)
	if got := codes(findings); err != nil || !slices.Equal(got, []string{"/lines/1/price price.right", "/agreed agreed.right"}) {
		t.Errorf("an engineer: %v %v", got, err)
	}
}
