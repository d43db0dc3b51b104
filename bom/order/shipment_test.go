package order_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
)

// made is an order in the shop, of a glass-topped table in two units of two
// cartons each and of a bench, with what the shop told of it so far.
type made struct {
	*order.Document
	t      *testing.T
	events []order.ShopEvent
}

func inWork(t *testing.T, complete bool) *made {
	t.Helper()
	cat := read(t)
	d := lived(t, cat, "2 wenlow-coffee: top=glass", "1 sallow-bench:")
	d.ShipComplete = complete
	if len(d.Lines[0].Cartons) != 2 || !slices.Contains(d.Lines[0].Cartons, "glass") {
		t.Fatalf("the table's cartons are %v", d.Lines[0].Cartons)
	}
	for _, err := range []error{d.Accept(cat, noon), d.Release(nil)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return &made{Document: d, t: t}
}

// box tells events "boxed@LINE.UNIT" or "boxed@LINE.UNIT.CARTON".
func (m *made) tell(text string) error {
	m.t.Helper()
	word, at, _ := strings.Cut(text, "@")
	e := order.ShopEvent{Event: word, At: noon}
	place := strings.SplitN(at, ".", 3)
	fmt.Sscan(place[0], &e.Line)
	fmt.Sscan(place[1], &e.Unit)
	if len(place) == 3 {
		e.Path = order.CartonPath + place[2]
	}
	told, err := m.Tell(read(m.t), e, m.events)
	if err == nil {
		m.events = append(m.events, told)
	}
	return err
}

func (m *made) ship(cartons ...order.ShipAsked) ([]string, error) {
	m.t.Helper()
	_, findings, err := m.Ship(read(m.t), cartons, order.Shipment{At: noon, By: "shop", Carrier: "Larkin Haulage"}, m.events)
	var codes []string
	for _, f := range findings {
		codes = append(codes, f.Pointer+" "+f.Code)
	}
	return codes, err
}

// A line is ready once every carton of every unit is closed, and not before; a
// spoiled piece opens all of its unit again.
func TestALineIsReadyByItsCartons(t *testing.T) {
	m := inWork(t, false)
	codes := m.Lines[0].Cartons
	for _, c := range []struct {
		tell string
		want order.State
	}{
		{"boxed@1.1." + codes[0], order.InWork}, {"boxed@1.1." + codes[1], order.InWork}, {"boxed@1.2." + codes[0], order.InWork},
		{"boxed@1.2." + codes[1], order.Ready}, {"scrapped@1.2", order.InWork}, {"boxed@1.2." + codes[0], order.InWork}, {"boxed@1.2", order.Ready},
	} {
		if err := m.tell(c.tell); err != nil {
			t.Fatal(err)
		}
		if got := m.Lines[0].State; got != c.want {
			t.Errorf("after %s line 1 is %s, want %s", c.tell, got, c.want)
		}
	}
	open := 0
	for _, s := range m.Standings(read(t), m.events) {
		if s.State == order.CartonOpen {
			open++
		}
	}
	if open != len(m.Lines[1].Cartons) {
		t.Errorf("%d cartons are open", open)
	}
}

// The first unit leaves, then the pane of the second, then the rest: each carton
// once, and only what is boxed.
func TestCartonsLeaveInPart(t *testing.T) {
	m := inWork(t, false)
	if _, err := m.ship(order.ShipAsked{Line: 1}); !errors.As(err, new(*order.OutOfOrder)) {
		t.Fatalf("shipped out of the shop's hands: %v", err)
	}
	for _, tell := range []string{"boxed@1.1", "boxed@1.2.glass"} {
		if err := m.tell(tell); err != nil {
			t.Fatal(err)
		}
	}
	other := m.Lines[0].Cartons[0]
	if other == "glass" {
		other = m.Lines[0].Cartons[1]
	}
	for _, c := range []struct {
		asked []order.ShipAsked
		want  []string
	}{
		{nil, []string{"/cartons cartons.missing"}},
		{[]order.ShipAsked{{Line: 3}}, []string{"/cartons/0/line line.unknown"}},
		{[]order.ShipAsked{{Line: 1, Unit: 3}}, []string{"/cartons/0/unit unit.unknown"}},
		{[]order.ShipAsked{{Line: 1, Unit: 1, Carton: "crate"}}, []string{"/cartons/0/carton carton.unknown"}},
		{[]order.ShipAsked{{Line: 1}}, []string{"/cartons/0 carton.open"}},
		{[]order.ShipAsked{{Line: 1, Unit: 1}, {Line: 1, Unit: 1, Carton: "glass"}, {Line: 2}}, []string{"/cartons/1 carton.twice", "/cartons/2 carton.open"}},
	} {
		if got, err := m.ship(c.asked...); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v %v, want %v", c.asked, got, err, c.want)
		}
	}
	if len(m.Shipments) != 0 || m.State != order.InWork {
		t.Fatalf("refused shipments left %+v", m.Shipments)
	}
	for _, c := range []struct {
		box   string
		asked order.ShipAsked
		line  order.State
		whole order.State
	}{
		{"", order.ShipAsked{Line: 1, Unit: 1}, order.ShippedInPart, order.ShippedInPart},
		{"", order.ShipAsked{Line: 1, Unit: 2, Carton: "glass"}, order.ShippedInPart, order.ShippedInPart},
		{"boxed@1.2." + other, order.ShipAsked{Line: 1, Unit: 2, Carton: other}, order.Shipped, order.ShippedInPart},
		{"boxed@2.0", order.ShipAsked{Line: 2}, order.Shipped, order.Shipped},
	} {
		if c.box != "" {
			if err := m.tell(c.box); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := m.ship(c.asked); err != nil || len(got) > 0 {
			t.Fatalf("%+v: %v %v", c.asked, got, err)
		}
		if line := m.Lines[c.asked.Line-1].State; line != c.line || m.State != c.whole {
			t.Errorf("%+v: line %s, order %s; want %s, %s", c.asked, line, m.State, c.line, c.whole)
		}
		if c.whole == order.Shipped {
			break
		}
		if got, _ := m.ship(c.asked); !slices.Equal(got, []string{"/cartons/0 carton.shipped"}) {
			t.Errorf("%+v again: %v", c.asked, got)
		}
		// What has left is out of the shop's hands.
		if err := m.tell("scrapped@1.1"); !errors.As(err, new(*order.UnitLeft)) {
			t.Errorf("a unit that left was spoiled: %v", err)
		}
	}
	if len(m.Shipments) != 4 || m.Shipments[3].Shipment != 4 || m.Shipments[0].Carrier != "Larkin Haulage" {
		t.Errorf("%+v", m.Shipments)
	}
	if err := m.Close(); err != nil {
		t.Error(err)
	}
}

func TestAnOrderShipsComplete(t *testing.T) {
	m := inWork(t, true)
	for _, tell := range []string{"boxed@1.0", "boxed@2.0"} {
		if err := m.tell(tell); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := m.ship(order.ShipAsked{Line: 1}); err != nil || !slices.Equal(got, []string{"/cartons ship-complete"}) {
		t.Errorf("%v %v", got, err)
	}
	if _, err := m.PlaceHold(read(t), "ship", 2, "the lift is out", "rep"); err != nil {
		t.Fatal(err)
	}
	var blocked *order.Blocked
	if _, err := m.ship(order.ShipAsked{Line: 1}, order.ShipAsked{Line: 2}); !errors.As(err, &blocked) || blocked.Holds[0].Reason != "the lift is out" {
		t.Errorf("shipped under a hold: %v", err)
	}
	if _, err := m.LiftHold(read(t), 1, "it runs", "rep", noon); err != nil {
		t.Fatal(err)
	}
	if got, err := m.ship(order.ShipAsked{Line: 1}, order.ShipAsked{Line: 2}); err != nil || len(got) > 0 || m.State != order.Shipped {
		t.Errorf("%v %v %s", got, err, m.State)
	}
}

// Of a line of which a unit has left neither the making nor that unit changes;
// more of it may be ordered, and then it has left in part.
func TestWhatHasLeftStays(t *testing.T) {
	m := inWork(t, false)
	if err := m.tell("boxed@1.0"); err != nil {
		t.Fatal(err)
	}
	if got, err := m.ship(order.ShipAsked{Line: 1}); err != nil || len(got) > 0 {
		t.Fatal(got, err)
	}
	over := []order.Override{{Lock: "boxed", Reason: "x", Disposition: "stock"}}
	for quantity, code := range map[string]string{"1": "line.shipped", "3": ""} {
		c, findings, err := m.Change(read(t), order.Change{Lines: []order.LineChange{{Line: 1, Quantity: quantity}}, Overrides: over}, m.events, "owner", noon)
		switch {
		case err != nil:
			t.Errorf("%s: %v", quantity, err)
		case code == "" && (len(findings) > 0 || c.After.Lines[0].State != order.ShippedInPart || c.After.State != order.ShippedInPart):
			t.Errorf("%s: %+v", quantity, findings)
		case code != "" && (len(findings) != 1 || findings[0].Code != code):
			t.Errorf("%s: %+v", quantity, findings)
		}
	}
}
