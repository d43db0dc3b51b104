package order_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
)

// gone is an order of two benches, of which the first has left.
func gone(t *testing.T) *made {
	t.Helper()
	cat := read(t)
	d := lived(t, cat, "2 sallow-bench: length=4 ft; cloth=oat-weave")
	for _, err := range []error{d.Accept(cat, noon), d.Release(nil)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	m := &made{Document: d, t: t}
	if err := m.tell("boxed@1.1"); err != nil {
		t.Fatal(err)
	}
	if codes, err := m.ship(order.ShipAsked{Line: 1, Unit: 1}); err != nil || len(codes) > 0 {
		t.Fatal(codes, err)
	}
	return m
}

// Four legs at 8.10 are 32.40 and so 7.60 less than parts are charged at least;
// a base is more than that, and what was agreed stays as it is.
func TestPartsAreChargedUpToTheMinimum(t *testing.T) {
	m, cat := gone(t), read(t)
	for _, c := range []struct {
		path     string
		charge   order.Charging
		charges  string
		net      string
		quantity int
	}{
		{"base/leg", order.Charging{}, "7.60", "40.00", 4},
		{"base/leg", order.Charging{Word: "none"}, "", "0.00", 4},
		{"base/leg", order.Charging{Word: "amount", Amount: 500}, "", "20.00", 4},
		{"base", order.Charging{}, "", "288.00", 1}, // 640.00 less 50/10
		{"base/slat", order.Charging{}, "", "", 1},  // which has no price
	} {
		draft, findings, err := m.Parts(cat, []order.PartAsked{{1, c.path, c.quantity}}, nil, c.charge, "bent")
		if err != nil || len(findings) > 0 {
			t.Fatal(findings, err)
		}
		d := reckoned(t, cat, draft, noon).Document([32]byte{})
		charges, net := "", ""
		for _, charge := range d.Charges {
			charges += charge.Amount.String()
			if charge.Code != "parts.minimum" || charge.For != "Minimum charge for parts" {
				t.Errorf("%+v", charge)
			}
		}
		if d.Net != nil {
			net = d.Net.String()
		}
		if charges != c.charges || net != c.net {
			t.Errorf("%d of %s by %+v: charged %q, net %q; want %q, %q", c.quantity, c.path, c.charge, charges, net, c.charges, c.net)
		}
		if c.charges == "" {
			continue
		}
		// A leg fewer is 24.30 and 15.70 more; the order stays at the minimum.
		changed, findings, err := d.Change(cat, order.Change{Lines: []order.LineChange{{Line: 1, Quantity: "3"}}}, nil, "rep", noon)
		if err != nil || len(findings) > 0 || len(changed.After.Charges) != 1 || changed.After.Charges[0].Amount.String() != "15.70" || changed.After.Net.String() != "40.00" {
			t.Errorf("a leg fewer: %+v %v %v", changed, findings, err)
		}
	}
}

// Of the one bench that left, its frame or up to four of its legs may be had
// again, and no more than that; at 18.00 a leg less 50/10 it is 8.10 net.
func TestPartsOfWhatHasShipped(t *testing.T) {
	m, cat := gone(t), read(t)
	for _, c := range []struct {
		asked []order.PartAsked
		taken []order.Taken
		want  []string
	}{
		{[]order.PartAsked{{1, "base", 1}}, nil, nil},
		{[]order.PartAsked{{1, "base/leg", 4}}, nil, nil},
		{[]order.PartAsked{{1, "base", 2}}, nil, []string{"/parts/0/quantity quantity.too-many"}},
		{[]order.PartAsked{{1, "base/leg", 5}}, nil, []string{"/parts/0/quantity quantity.too-many"}},
		{[]order.PartAsked{{1, "base/leg", 2}, {1, "base/leg", 3}}, nil, []string{"/parts/1/quantity quantity.too-many"}},
		{[]order.PartAsked{{1, "base", 1}}, []order.Taken{{Line: 1, Path: "base", Quantity: 1}}, []string{"/parts/0/quantity quantity.too-many"}},
		{[]order.PartAsked{{1, "wing", 1}, {2, "base", 1}}, nil, []string{"/parts/0/path path.unknown", "/parts/1/line line.unknown"}},
		{nil, nil, []string{"/parts parts.missing"}},
	} {
		draft, findings, err := m.Parts(cat, c.asked, c.taken, order.Charging{}, "bent in a move")
		var got []string
		for _, f := range findings {
			got = append(got, f.Pointer+" "+f.Code)
		}
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v %v, want %v", c.asked, got, err, c.want)
		}
		if len(c.want) > 0 {
			continue
		}
		later := noon.AddDate(0, 8, 0)
		o := reckoned(t, cat, draft, later)
		if o.Of.Order != m.Number || o.Of.Relation != order.RelationParts || o.Revision != cat.Revision || *o.CheckedOn != cat.Calendar.DayOf(noon) || !o.ReceivedAt.Equal(later) {
			t.Errorf("%+v", o)
		}
		for _, row := range o.Bill.Materials() {
			if !strings.HasPrefix(row.Path, c.asked[0].Path) && !strings.HasPrefix(row.Path, "base/finish") && !strings.HasPrefix(row.Path, "carton/") {
				t.Errorf("%v asks for %s %s", c.asked, row.Kind, row.Path)
			}
			if row.Path == "base/leg" && row.Kind == bom.KindSteel && row.Pieces != 4 {
				t.Errorf("%v cuts %d legs", c.asked, row.Pieces)
			}
		}
		if c.asked[0].Path == "base/leg" && (o.Net == nil || o.Lines[0].Net.String() != "32.40" || o.Net.String() != "40.00") {
			t.Errorf("four legs cost %v", o.Net)
		}
		// What is stored of it can be reckoned again.
		document, err := o.Bill.Document()
		if err != nil {
			t.Fatal(err)
		}
		d := o.Document(bom.Hash(document))
		if _, err := order.Trace(cat, &d, bom.Hash(document)); err != nil {
			t.Errorf("%v: %v", c.asked, err)
		}
	}
	none := order.Charging{Word: "none"}
	draft, _, _ := m.Parts(cat, []order.PartAsked{{1, "base", 1}}, nil, none, "")
	if o := reckoned(t, cat, draft, noon); o.Net == nil || *o.Net != 0 {
		t.Errorf("not charged, and %v", o.Net)
	}
	if _, _, err := lived(t, cat, "1 sallow-bench:").Parts(cat, nil, nil, none, ""); !errors.As(err, new(*order.OutOfOrder)) {
		t.Errorf("parts of what never shipped: %v", err)
	}
}

// A unit that left is made again as it was, whatever has been withdrawn since;
// one still here is not.
func TestAReMakeIsMadeAsItWas(t *testing.T) {
	m := gone(t)
	// The same revision now says that the cloth could be ordered until today.
	cat := read(t, "oat-weave:\n", "oat-weave:\n    last_order: 2026-11-02\n    successor: slate-twill\n")
	later := noon.AddDate(0, 3, 0)
	if _, findings := order.Reckon(cat, draft("1 sallow-bench: cloth=oat-weave"), later); len(findings) != 1 || findings[0].Code != "choice.withdrawn" {
		t.Fatalf("%+v", findings)
	}
	full, err := order.ParseCharging("full")
	if err != nil {
		t.Fatal(err)
	}
	asked, findings, err := m.RemakeOf(cat, 1, 1, nil, full, "split seat")
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	o := reckoned(t, cat, asked, later)
	if o.Lines[0].Quantity != 1 || *o.Net != *m.Lines[0].Price.NetUnit || o.Of.Reason != "split seat" || o.Lines[0].Of.Unit != 1 {
		t.Errorf("%+v", o)
	}
	for _, c := range []struct {
		line, unit int
		taken      []order.Taken
		code       string
		as         any
	}{
		{1, 2, nil, "unit.not-shipped", nil},
		{1, 1, []order.Taken{{Line: 1, Unit: 1, Quantity: 1}}, "unit.twice", nil},
		{1, 3, nil, "", new(*order.NoSuchUnit)},
		{1, 0, nil, "", new(*order.NoSuchUnit)},
		{2, 1, nil, "", new(*order.NoSuchLine)},
	} {
		_, findings, err := m.RemakeOf(cat, c.line, c.unit, c.taken, full, "x")
		if c.as != nil && (err == nil || !errors.As(err, c.as)) || c.as == nil && (len(findings) != 1 || findings[0].Code != c.code) {
			t.Errorf("%d.%d: %+v %v", c.line, c.unit, findings, err)
		}
	}
	for _, text := range []string{"plenty", "-5.00"} {
		if _, err := order.ParseCharging(text); err == nil {
			t.Errorf("%q is a charge", text)
		}
	}
}

// What moves keeps promise, price and holds; what stays keeps its numbers.
func TestAnOrderIsSplit(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "3 sallow-bench: cloth=oat-weave", "1 lodden-round:", "1 sallow-bench: length=5 ft")
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	if _, err := d.PlaceHold(cat, "deposit", 0, "half of it", "rep"); err != nil {
		t.Fatal(err)
	}
	if _, err := d.PlaceHold(cat, "approval", 2, "", "rep"); err != nil {
		t.Fatal(err)
	}
	if err := d.Release([]int{3}); err == nil {
		t.Fatal("released under a hold")
	}
	asked, change, findings, err := d.SplitOff(cat, []order.SplitLine{{Line: 1, Quantity: 2}, {Line: 2}}, nil)
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	later := noon.AddDate(0, 0, 9)
	o := reckoned(t, cat, asked, d.ReceivedAt)
	document, err := o.Bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	moved, err := d.SplitTo(o, bom.Hash(document))
	if err != nil {
		t.Fatal(err)
	}
	stays, findings, err := d.Change(cat, change, nil, "rep", later)
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	after := stays.After
	if len(after.Lines) != 2 || after.Lines[0].Quantity != 1 || after.Lines[1].Line != 3 || len(moved.Lines) != 2 || moved.Lines[0].Quantity != 2 || moved.Lines[1].Line != 2 {
		t.Fatalf("stays %+v\nmoved %+v", after.Lines, moved.Lines)
	}
	if moved.Promise != d.Promise || after.Promise != d.Promise || moved.State != order.Accepted || *moved.FirstPromise != *d.FirstPromise || len(moved.Holds) != 2 {
		t.Errorf("%+v", moved)
	}
	if sum, err := moved.Net.Add(*after.Net); err != nil || sum != *d.Net {
		t.Errorf("%s and %s are not %s", moved.Net, after.Net, d.Net)
	}
	if o.State != order.Accepted || *o.Net != *moved.Net {
		t.Errorf("stored as %+v", o)
	}
	cut := []order.ShopEvent{{Seq: 1, Event: "pane-ordered", Line: 2}}
	for _, c := range []struct {
		lines []order.SplitLine
		want  string
	}{
		{nil, "/lines lines.missing"}, {[]order.SplitLine{{Line: 9}}, "/lines/0/line line.unknown"}, {[]order.SplitLine{{Line: 1, Quantity: 4}}, "/lines/0/quantity quantity.too-many"},
		{[]order.SplitLine{{Line: 1}, {Line: 1}}, "/lines/1/line line.twice"}, {[]order.SplitLine{{Line: 2}}, "/lines/0/line line.told"},
	} {
		_, _, findings, err := d.SplitOff(cat, c.lines, cut)
		if err != nil || len(findings) != 1 || findings[0].Pointer+" "+findings[0].Code != c.want {
			t.Errorf("%+v: %+v %v", c.lines, findings, err)
		}
	}
	if _, _, findings, _ := d.SplitOff(cat, []order.SplitLine{{Line: 1}, {Line: 2}, {Line: 3, Quantity: 1}}, nil); len(findings) != 1 || findings[0].Code != "split.all" {
		t.Errorf("%+v", findings)
	}
}

// Pinned anew, an order takes everything from the new catalog: its prices and a
// leg that is now longer; left alone it takes none of it.
func TestPinningAnewDragsEverythingAlong(t *testing.T) {
	cat := read(t)
	cat.Revision = 1
	next := read(t, "leg_length: height - cushion_height - len('1/8 in') - standard.glide_height", "leg_length: height - cushion_height - standard.glide_height")
	next.Revision = 2
	d := lived(t, cat, "1 sallow-bench:", "1 lodden-round:")
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	later := noon.AddDate(0, 0, 9)
	c, findings, err := d.Change(cat, order.Change{Repin: next}, nil, "rep", later)
	if err != nil || len(findings) > 0 {
		t.Fatal(findings, err)
	}
	if c.After.Revision != 2 || c.Catalog != next || !c.NewBill || len(c.Fields) != 1 || c.Fields[0].Field != "catalog_revision" || c.Fields[0].Was != "1" || c.Fields[0].Is != "2" {
		t.Errorf("%+v %+v", c.After, c.Fields)
	}
	hash := bom.Hash(c.BillDocument)
	if _, err := order.Trace(next, c.After, hash); err != nil {
		t.Error(err)
	}
	left, findings, err := d.Change(cat, order.Change{Sidemark: ptr("Alcove")}, nil, "rep", later)
	if err != nil || len(findings) > 0 || left.NewBill || left.After.Revision != 1 {
		t.Errorf("%+v %v", findings, err)
	}
	if _, findings, _ := c.After.Change(next, order.Change{Repin: next}, nil, "rep", later); len(findings) != 1 || findings[0].Code != "repin.nothing" {
		t.Errorf("%+v", findings)
	}
	// What is cut is locked against it.
	events := []order.ShopEvent{{Seq: 1, Event: "steel-cut", Line: 1, At: noon}}
	d.Lines[0].State = order.InWork
	if _, _, err := d.Change(cat, order.Change{Repin: next}, events, "rep", later); !errors.As(err, new(*order.LockedChange)) {
		t.Errorf("pinned anew after the cut: %v", err)
	}
}

func ptr(text string) *string { return &text }
