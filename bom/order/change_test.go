package order_test

import (
	"errors"
	"testing"

	"billwright/bom/order"
	"billwright/catalog"
)

// Of three benches the first was cut: a cloth not cut is free, a size is not,
// and of the units only those not cut may be given up.
func TestWhatAChangeMayTouch(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "3 sallow-bench: cloth=oat-weave")
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	if err := d.Release(nil); err != nil {
		t.Fatal(err)
	}
	cut, err := d.Tell(cat, order.ShopEvent{Seq: 1, Event: "steel-cut", Line: 1, Unit: 1, At: noon, By: "shop"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	over := []order.Override{{Lock: "steel-cut", Reason: "paid", Disposition: "stock"}}
	longer := order.LineChange{Line: 1, Picks: []catalog.Pick{{Attribute: "length", Text: "5 ft"}}}
	for name, c := range map[string]struct {
		line      order.LineChange
		overrides []order.Override
		role      string
		want      any // nil where it passes
	}{
		"the cloth":               {order.LineChange{Line: 1, Picks: []catalog.Pick{{Attribute: "cloth", Text: "slate-twill"}}}, nil, "rep", nil},
		"the length":              {longer, nil, "rep", new(*order.LockedChange)},
		"overridden by a rep":     {longer, over, "rep", new(*order.NotTheirOverride)},
		"overridden by the owner": {longer, over, "owner", nil},
		"two units":               {order.LineChange{Line: 1, Quantity: "2"}, nil, "rep", nil},
		"more units":              {order.LineChange{Line: 1, Quantity: "5"}, nil, "rep", nil},
		"a line more":             {order.LineChange{Product: "sallow-bench", Quantity: "1"}, nil, "rep", nil},
		"no such line":            {order.LineChange{Line: 2, Quantity: "1"}, nil, "rep", new(*order.NoSuchLine)},
	} {
		before := *d
		changed, findings, err := d.Change(cat, order.Change{Lines: []order.LineChange{c.line}, Overrides: c.overrides}, []order.ShopEvent{cut}, c.role, noon)
		switch {
		case c.want == nil && (err != nil || len(findings) > 0 || changed.After.Lines[0].State != order.InWork):
			t.Errorf("%s: %v %+v", name, err, findings)
		case c.want != nil && (err == nil || !errors.As(err, c.want)):
			t.Errorf("%s: %v, want %T", name, err, c.want)
		case c.want == nil && changed.After.Promise.Before(d.Promise):
			t.Errorf("%s: promised %s, sooner than %s", name, changed.After.Promise, d.Promise)
		}
		if was, is := bytesOfDocument(t, &before), bytesOfDocument(t, d); was != is {
			t.Fatalf("%s changed the order it was asked of", name)
		}
	}
}

func bytesOfDocument(t *testing.T, d *order.Document) string {
	t.Helper()
	text, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
