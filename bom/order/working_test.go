package order_test

import (
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"github.com/google/uuid"

	"billwright/bom"
	"billwright/bom/order"
)

// stored gives an order's document as read back from where it was stored, and
// the hash of its bill.
func stored(t *testing.T, o *order.Order) (*order.Document, [32]byte) {
	t.Helper()
	bill, err := o.Bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	hash := bom.Hash(bill)
	d := o.Document(hash)
	text, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	var back order.Document
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	return &back, hash
}

func TestTheWorkingOfAStoredOrder(t *testing.T) {
	cat := read(t)
	o, findings := order.New(cat, exampleDraft(t, false), order.Identity{ID: uuid.UUID{15: 1}}, noon)
	if o == nil {
		t.Fatal(findings)
	}
	d, hash := stored(t, o)
	working, err := order.Working(cat, d, hash)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []bom.Working{
		{Line: 1, Path: "", Figure: "leg_length", Text: "height - top_thickness - rail_depth - standard.glide_height = 29 in - 1 1/4 in - 2 in - 1/4 in = 25 1/2 in"},
		{Line: 1, Path: "base/leg", Figure: "length", Text: "leg_length = 25 1/2 in"},
		{Line: 1, Path: "base/tab", Figure: "slot", Text: "1/4 in shank + 15.241524 mm/2 movement + 1/16 in clearance, rounded = 5/8 in"},
		{Line: 2, Path: "base/ring", Figure: "developed length", Text: "pi·(12 in - 3/4 in) = 897.710101 mm"},
		{Line: 4, Path: "cushion/cloth", Figure: "cloth", Text: "101 in net, rounded = 3.00 yd"},
	} {
		if !slices.ContainsFunc(working, func(w bom.Working) bool {
			return w.Line == want.Line && w.Path == want.Path && w.Figure == want.Figure && w.Text == want.Text
		}) {
			t.Errorf("the working lacks %+v; of the same row it has %+v", want, ofRow(working, want))
		}
	}
	for _, w := range working {
		if w.Text == "" || w.Figure == "" || w.Line < 1 || w.Line > 4 {
			t.Errorf("working %+v", w)
		}
	}
}

func ofRow(all []bom.Working, like bom.Working) (list []bom.Working) {
	for _, w := range all {
		if w.Line == like.Line && w.Path == like.Path {
			list = append(list, w)
		}
	}
	return list
}

func TestNoWorkingOfAnotherBill(t *testing.T) {
	cat := read(t)
	d, hash := stored(t, reckoned(t, cat, draft("1 pell-stool:"), noon))
	if _, err := order.Working(cat, d, [32]byte{1}); !errors.Is(err, order.ErrOtherArithmetic) {
		t.Errorf("another hash: %v", err)
	}
	// A figure of the catalog that came later.
	if _, err := order.Working(read(t, "length: 12 in\n", "length: 10 in\n", "usable_width: 53 in", "usable_width: 52 in"), d, hash); !errors.Is(err, order.ErrOtherArithmetic) {
		t.Errorf("another catalog: %v", err)
	}
	d.Bill.Arithmetic++
	if _, err := order.Working(cat, d, hash); !errors.Is(err, order.ErrOtherArithmetic) {
		t.Errorf("another arithmetic: %v", err)
	}
	d.Bill.Arithmetic--
	d.Lines[0].Product = "sofa"
	if _, err := order.Working(cat, d, hash); err == nil || errors.Is(err, order.ErrOtherArithmetic) {
		t.Errorf("a product that the catalog has not: %v", err)
	}
}
