package order_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
)

// released is an order in the shop.
func released(t *testing.T, quantity string) *order.Document {
	t.Helper()
	cat := read(t)
	d := lived(t, cat, quantity+" sallow-bench:", "1 lodden-round:")
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	if err := d.Release([]int{1}); err != nil {
		t.Fatal(err)
	}
	return d
}

func TestEventsLeadALineOn(t *testing.T) {
	cat := read(t)
	for _, c := range []struct {
		events string // event@line.unit
		first  order.State
		whole  order.State
	}{
		{"pane-ordered@2.0", order.Released, order.Released},
		{"steel-cut@1.1", order.InWork, order.InWork},
		{"steel is cut@1.1", order.InWork, order.InWork},
		{"boxed@1.1", order.InWork, order.InWork},
		{"boxed@1.1 boxed@1.2", order.Ready, order.InWork},
		{"boxed@1.0", order.Ready, order.InWork},
		{"boxed@1.0 scrapped@1.2", order.InWork, order.InWork},
		{"boxed@1.0 scrapped@1.2 boxed@1.2", order.Ready, order.InWork},
		{"boxed@1.1 scrapped@1.1 boxed@1.2", order.InWork, order.InWork},
	} {
		d := released(t, "2")
		var told []order.ShopEvent
		for _, text := range strings.Split(strings.ReplaceAll(c.events, " is ", "_is_"), " ") {
			text = strings.ReplaceAll(text, "_is_", " is ")
			word, at, _ := strings.Cut(text, "@")
			e := order.ShopEvent{Event: word, At: noon}
			fmt.Sscanf(at, "%d.%d", &e.Line, &e.Unit)
			made, err := d.Tell(cat, e, told)
			if err != nil {
				t.Fatalf("%s: %v", c.events, err)
			}
			told = append(told, made)
		}
		if d.Lines[0].State != c.first || d.State != c.whole {
			t.Errorf("%s: line 1 is %s and the order %s, want %s and %s", c.events, d.Lines[0].State, d.State, c.first, c.whole)
		}
	}
}

func TestEventsThatCannotBe(t *testing.T) {
	cat := read(t)
	d := released(t, "2")
	var outOfOrder *order.OutOfOrder
	var line *order.NoSuchLine
	var unit *order.NoSuchUnit
	var unknown *order.UnknownEvent
	for _, c := range []struct {
		event order.ShopEvent
		as    any
	}{
		{order.ShopEvent{Event: "steel-cut", Line: 2}, &outOfOrder}, // not released
		{order.ShopEvent{Event: "steel-cut", Line: 3}, &line},
		{order.ShopEvent{Event: "steel-cut", Line: 1, Unit: 3}, &unit},
		{order.ShopEvent{Event: "steel-cut", Line: 1, Unit: -1}, &unit},
		{order.ShopEvent{Event: "polished", Line: 1}, &unknown},
	} {
		if _, err := d.Tell(cat, c.event, nil); err == nil || !errors.As(err, c.as) {
			t.Errorf("%+v: %v", c.event, err)
		}
	}
	if d.State != order.Released {
		t.Errorf("refused events left the order %s", d.State)
	}
	if !slices.Contains(unknown.Known, "boxed") {
		t.Errorf("%v", unknown)
	}
}

// Of the table of locks: size by the cut steel, the pane by its order, and all
// by the last carton; another line and another unit stay as free as they were.
func TestLocksFollowTheEvents(t *testing.T) {
	cat := read(t)
	d := released(t, "2")
	if got := d.Locks(cat, nil); len(got) != 0 {
		t.Errorf("locked before anything happened: %+v", got)
	}
	told := []order.ShopEvent{{Seq: 1, Event: "steel-cut", Line: 1, Unit: 1, Path: "base/leg", At: noon, By: "shop"}}
	if err := d.Release([]int{2}); err != nil {
		t.Fatal(err)
	}
	made, err := d.Tell(cat, told[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	told[0] = made
	locks := d.Locks(cat, told)
	if len(locks) != 1 {
		t.Fatalf("%+v", locks)
	}
	if l := locks[0]; l.Lock != "steel-cut" || l.Line != 1 || l.Unit != 1 || l.By != "shop" || !l.At.Equal(noon) || l.Whole ||
		!slices.Contains(l.Attributes, "length") || slices.Contains(l.Attributes, "cloth") {
		t.Errorf("%+v", l)
	}
	// A second cut of the same unit locks nothing more; that of the pane does.
	told = append(told, told[0], order.ShopEvent{Seq: 3, Event: "pane-ordered", Line: 2, At: noon})
	locks = d.Locks(cat, told)
	if len(locks) != 2 || locks[1].Lock != "glass-ordered" || locks[1].Line != 2 || !slices.Contains(locks[1].Attributes, "glass") {
		t.Errorf("%+v", locks)
	}
	// The carton's lock waits for the last one: the line is not ready before.
	box := order.ShopEvent{Event: "boxed", Line: 1, Unit: 1, At: noon}
	if _, err := d.Tell(cat, box, told); err != nil {
		t.Fatal(err)
	}
	told = append(told, box)
	if got := d.Locks(cat, told); len(got) != 2 {
		t.Errorf("boxed in part: %+v", got)
	}
	box.Unit = 2
	if _, err := d.Tell(cat, box, told); err != nil {
		t.Fatal(err)
	}
	if got := d.Locks(cat, append(told, box)); len(got) != 4 || !got[1].Whole || got[1].Lock != "boxed" {
		t.Errorf("boxed whole: %+v", got)
	}
}
