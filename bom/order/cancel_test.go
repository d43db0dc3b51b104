package order_test

import (
	"errors"
	"testing"

	"billwright/bom/order"
)

// The demonstration charges nothing before release, 15 % before the steel is
// cut, 60 % until the line is ready and then all: line by line, half up to the
// cent.
func TestACancelledOrderIsChargedByStage(t *testing.T) {
	cat := read(t)
	for _, c := range []struct {
		name    string
		until   func(d *order.Document) []order.ShopEvent
		percent string
		share   int64 // of a hundred
	}{
		{"received", func(*order.Document) []order.ShopEvent { return nil }, "", 0},
		{"accepted", func(d *order.Document) []order.ShopEvent { d.Accept(cat, noon); return nil }, "0 %", 0},
		{"released", func(d *order.Document) []order.ShopEvent { d.Accept(cat, noon); d.Release(nil); return nil }, "15 %", 15},
		{"welded, the cut untold", func(d *order.Document) []order.ShopEvent {
			return told(t, d, order.ShopEvent{Event: "welded", Line: 1})
		}, "15 %", 15},
		{"cut", func(d *order.Document) []order.ShopEvent {
			return told(t, d, order.ShopEvent{Event: "steel-cut", Line: 1})
		}, "60 %", 60},
		{"boxed", func(d *order.Document) []order.ShopEvent {
			return told(t, d, order.ShopEvent{Event: "steel-cut", Line: 1}, order.ShopEvent{Event: "boxed", Line: 1})
		}, "100 %", 100},
	} {
		d := lived(t, cat, "3 sallow-bench:")
		events := c.until(d)
		net := int64(*d.Lines[0].Price.Net)
		if err := d.Cancel(cat, "moved away", events, noon, "rep"); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		want := (net*c.share + 50) / 100
		got := d.Cancelled
		if d.State != order.Cancelled || d.Lines[0].State != order.Cancelled || got.Charge == nil || int64(*got.Charge) != want || got.Lines[0].Percent != c.percent || got.Lines[0].Says == "" {
			t.Errorf("%s: %+v of %d, want %d", c.name, got.Lines, net, want)
		}
		if d.Firm(cat, 1, "steel") {
			t.Errorf("%s: firm though cancelled", c.name)
		}
		if err := d.Cancel(cat, "again", events, noon, "rep"); !errors.As(err, new(*order.OutOfOrder)) {
			t.Errorf("%s: cancelled twice: %v", c.name, err)
		}
	}
}

// told accepts and releases an order and tells events of it.
func told(t *testing.T, d *order.Document, events ...order.ShopEvent) (all []order.ShopEvent) {
	t.Helper()
	cat := read(t)
	for _, err := range []error{d.Accept(cat, noon), d.Release(nil)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, e := range events {
		e.At = noon
		made, err := d.Tell(cat, e, all)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, made)
	}
	return all
}

// A line whose price is to be quoted leaves the charge to be settled, and the sum
// with it.
func TestACancelledQuoteOfNoPriceIsToBeSettled(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "1 sallow-bench:", "1 sallow-bench:")
	events := told(t, d, order.ShopEvent{Event: "steel-cut", Line: 1})
	d.Lines[1].Price.Net = nil
	if err := d.Cancel(cat, "x", events, noon, "rep"); err != nil {
		t.Fatal(err)
	}
	if c := d.Cancelled; c.Charge != nil || c.Lines[0].Charge == nil || c.Lines[1].Charge != nil || c.Lines[1].Percent != "15 %" {
		t.Errorf("%+v", c)
	}
}
