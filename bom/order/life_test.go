package order_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog"
)

// lived is a document of an order as it is stored when it is received.
func lived(t *testing.T, cat *catalog.Catalog, lines ...string) *order.Document {
	t.Helper()
	o := reckoned(t, cat, draft(lines...), noon)
	document, err := o.Bill.Document()
	if err != nil {
		t.Fatal(err)
	}
	d := o.Document(bom.Hash(document))
	return &d
}

func TestAcceptanceFreezesAndPromises(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "1 sallow-bench:")
	if d.State != order.Received || d.Lines[0].State != order.Received || d.FirstPromise != nil || d.Firm(cat, 1, bom.KindSteel) {
		t.Fatalf("received as %+v", d)
	}
	later := noon.AddDate(0, 0, 7)
	if err := d.Accept(cat, later); err != nil {
		t.Fatal(err)
	}
	want, err := cat.Calendar.Promise(later, d.LeadDays)
	if err != nil {
		t.Fatal(err)
	}
	if d.State != order.Accepted || d.Lines[0].State != order.Accepted || d.Promise != want || *d.FirstPromise != want || !d.AcceptedAt.Equal(later) {
		t.Errorf("accepted as %+v, want the promise %s", d, want)
	}
	if !d.Firm(cat, 1, bom.KindSteel) || d.Firm(cat, 2, bom.KindSteel) {
		t.Error("what line 1 needs is firm, and there is no line 2")
	}
	var refused *order.OutOfOrder
	if err := d.Accept(cat, later); !errors.As(err, &refused) || refused.State != order.Accepted || !slices.Contains(refused.Possible, order.Release) {
		t.Errorf("accepted twice: %v", err)
	}
}

func TestAHoldBlocksWhatTheCatalogSays(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "1 sallow-bench:", "2 sallow-bench:")
	place := func(kind string, line int) order.Hold {
		t.Helper()
		h, err := d.PlaceHold(cat, kind, line, "", "rep")
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	information, deposit := place("information", 0), place("deposit", 2)
	var blocked *order.Blocked
	if err := d.Accept(cat, noon); !errors.As(err, &blocked) || len(blocked.Holds) != 1 || blocked.Holds[0].Seq != information.Seq {
		t.Fatalf("accepted while information is missing: %v", err)
	}
	if _, err := d.LiftHold(cat, information.Seq, "told", "rep", noon); err != nil {
		t.Fatal(err)
	}
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	if err := d.Release(nil); !errors.As(err, &blocked) || blocked.Holds[0].Seq != deposit.Seq {
		t.Fatalf("released without the deposit: %v", err)
	}
	if err := d.Release([]int{1}); err != nil || d.State != order.Released || d.Lines[1].State != order.Accepted {
		t.Fatalf("line 1 is not held: %v, %s, %s", err, d.State, d.Lines[1].State)
	}
	if d.Firm(cat, 2, bom.KindSteel) || !d.Firm(cat, 1, bom.KindSteel) {
		t.Error("line 1 is firm and line 2 is not")
	}
	var theirs *order.NotTheirs
	if _, err := d.LiftHold(cat, deposit.Seq, "paid", "shop", noon); !errors.As(err, &theirs) {
		t.Errorf("the shop lifted a deposit hold: %v", err)
	}
	var none *order.NoSuchHold
	if _, err := d.LiftHold(cat, 9, "?", "rep", noon); !errors.As(err, &none) {
		t.Errorf("lifted no hold: %v", err)
	}
	if _, err := d.PlaceHold(cat, "frost", 0, "", "rep"); !errors.As(err, &none) || !strings.Contains(err.Error(), "deposit") {
		t.Errorf("placed an unknown hold: %v", err)
	}
	var line *order.NoSuchLine
	if _, err := d.PlaceHold(cat, "deposit", 3, "", "rep"); !errors.As(err, &line) {
		t.Errorf("held line 3 of 2: %v", err)
	}
}

func TestThePromiseCountsAgainFromTheClearing(t *testing.T) {
	cat := read(t)
	d := lived(t, cat, "1 pell-stool: cloth=own; own_width=54 in; own_repeat=0 in")
	if err := d.Accept(cat, noon); err != nil {
		t.Fatal(err)
	}
	first := d.Promise
	if d.Firm(cat, 1, bom.KindSteel) {
		t.Error("steel is firm though the whole line waits")
	}
	if err := d.StartFrame(1); err != nil {
		t.Fatal(err)
	}
	if !d.Firm(cat, 1, bom.KindSteel) || d.Firm(cat, 1, bom.KindFoam) {
		t.Error("with the frame started, steel is firm and foam waits")
	}
	cleared := noon.AddDate(0, 1, 0)
	if _, err := d.LiftHold(cat, 1, "here and good", "rep", cleared); err != nil {
		t.Fatal(err)
	}
	want, err := cat.Calendar.Promise(cleared, d.LeadDays)
	if err != nil || d.Promise != want || *d.FirstPromise != first || len(d.Holds) != 0 || len(d.Lifted) != 1 || !d.Lifted[0].LiftedAt.Equal(cleared) {
		t.Errorf("%v: promise %s, want %s; first %s, want %s; lifted %+v", err, d.Promise, want, d.FirstPromise, first, d.Lifted)
	}
	if !d.Firm(cat, 1, bom.KindFoam) {
		t.Error("foam still waits")
	}
}

// Whatever is tried in whatever order, the order is only ever in a state that its
// lines make, an act refused changes nothing, and nothing is firm that is held.
func TestNoActLeavesTheTable(t *testing.T) {
	cat := read(t)
	kinds := cat.Holds.Keys()
	received, err := lived(t, cat, "1 sallow-bench:", "1 sallow-bench:").Bytes()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		d := &order.Document{}
		if err := json.Unmarshal(received, d); err != nil {
			rt.Fatal(err)
		}
		now := noon
		var told []order.ShopEvent
		for range rapid.IntRange(1, 25).Draw(rt, "acts") {
			now = now.Add(time.Hour)
			before := bytesOf(rt, d)
			act, err := anyAct(rt, cat, d, kinds, now, &told)
			if after := bytesOf(rt, d); err != nil && before != after {
				rt.Fatalf("%s was refused (%v) and changed the order", act, err)
			}
			if err == nil && d.State != order.Closed && d.State != d.Standing() {
				rt.Fatalf("%s left %s where the lines make %s", act, d.State, d.Standing())
			}
			for _, h := range d.Holds {
				if h.Kind != "ship" && h.Kind != "own-material" && h.Line == 0 && d.Firm(cat, 1, bom.KindSteel) {
					rt.Fatalf("firm under %+v", h)
				}
			}
		}
	})
}

func bytesOf(t *rapid.T, d *order.Document) string {
	text, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

var events = []string{"steel-cut", "pane-ordered", "boxed", "scrapped", "polished"}

func anyAct(t *rapid.T, cat *catalog.Catalog, d *order.Document, kinds []string, now time.Time, told *[]order.ShopEvent) (string, error) {
	line := rapid.IntRange(0, 3).Draw(t, "line")
	switch rapid.IntRange(0, 9).Draw(t, "act") {
	case 0:
		return "accept", d.Accept(cat, now)
	case 1:
		if line == 0 {
			return "release", d.Release(nil)
		}
		return "release", d.Release([]int{line})
	case 2:
		return "start frame", d.StartFrame(line)
	case 3:
		_, err := d.PlaceHold(cat, rapid.SampledFrom(kinds).Draw(t, "kind"), line, "", "owner")
		return "place hold", err
	case 5:
		e, err := d.Tell(cat, order.ShopEvent{Event: rapid.SampledFrom(events).Draw(t, "event"), Line: line, Unit: rapid.IntRange(0, 2).Draw(t, "unit")}, *told)
		if err == nil {
			*told = append(*told, e)
		}
		return "tell event", err
	case 6, 7:
		left := 0
		for i := range d.Shipments {
			left += len(d.Shipments[i].Cartons)
		}
		shipment, findings, err := d.Ship(cat, []order.ShipAsked{{Line: line, Unit: rapid.IntRange(0, 1).Draw(t, "unit")}}, order.Shipment{At: now}, *told)
		if err == nil && len(findings) > 0 {
			err = errors.New(findings[0].Message)
		}
		if err == nil && left+len(shipment.Cartons) > 2 {
			t.Fatalf("more has left than the two cartons there are: %+v", d.Shipments)
		}
		return "ship", err
	case 8:
		err := d.Cancel(cat, "drawn", *told, now, "owner")
		if err == nil && (d.Cancelled == nil || len(d.Shipments) > 0) {
			t.Fatalf("cancelled as %+v", d)
		}
		return "cancel", err
	case 4:
		_, err := d.LiftHold(cat, rapid.IntRange(1, 6).Draw(t, "seq"), "done", "owner", now)
		return "lift hold", err
	}
	return "close", d.Close()
}
