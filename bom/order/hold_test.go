package order_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/source"
)

// wide is the metric catalog in catalog/testdata/wide with texts replaced (old,
// new, old, new, ...).
func wide(t testing.TB, pairs ...string) *catalog.Catalog {
	t.Helper()
	files, faults := source.ReadDir(os.DirFS("../../catalog/testdata/wide"))
	for _, fault := range faults {
		t.Error(fault)
	}
	for i := 0; i < len(pairs); i += 2 {
		for k := range files {
			files[k].Bytes = bytes.Replace(files[k].Bytes, []byte(pairs[i]), []byte(pairs[i+1]), 1)
		}
	}
	return readFiles(t, files)
}

func draftFor(dealer string, lines ...string) *order.Draft {
	d := draft(lines...)
	d.Dealer = dealer
	return d
}

// What places a hold by itself places it, on the line or on the whole order, and
// what it blocks is the catalog's word. Of own material two plates of 1220 x 370
// mm lie beside one another in 1400 mm: 1220 mm and 2 % for flaws are 1244.4 mm,
// in steps of 50 mm 1.25 m.
func TestHoldsArePlacedByThemselves(t *testing.T) {
	for _, c := range []struct {
		dealer string
		lines  []string
		holds  string
	}{
		{"hall", []string{"1 kell-bench: cloth=wool"}, ``},
		{"late", []string{"1 kell-bench: cloth=wool"}, `
			0 credit [release shipping] The account is to be cleared.`},
		{"hall", []string{"1 kell-bench: cloth=wool", "2 kell-bench: cloth=wool; finish=driftwood wash; edge=a wave"}, `
			2 sample [release line] Wood finish "driftwood wash": An unlisted finish is tried on a sample first, on ash up to 1500 mm.
			2 engineering [acceptance] Edge "a wave": The edge needs a cutter made.`},
		{"hall", []string{"1 kell-bench: cloth=own; own_width=1400 mm; repeat_known=yes; own_repeat=0 mm"}, `
			1 own [cushion] 1.25 m of customer's own material needed, none received; the promise date counts from its receipt.`},
		{"late", []string{"1 kell-bench: cloth=own; own_width=1400 mm"}, `
			0 credit [release shipping] The account is to be cleared.
			1 repeat [cushion] Pad is reckoned as plain: the repeat of the customer's own material is not known. Ask the maker of the cloth.
			1 own [cushion] 1.25 m of customer's own material needed, none received; the promise date counts from its receipt.`},
	} {
		o := reckoned(t, wide(t), draftFor(c.dealer, c.lines...), noon)
		got := ""
		for _, h := range o.Holds {
			got += fmt.Sprintf("\n\t\t\t%d %s %v %s", h.Line, h.Kind, h.Blocks, h.Reason)
		}
		if got != c.holds {
			t.Errorf("%s %q: holds%s\nwant%s", c.dealer, c.lines, got, c.holds)
		}
	}
}

// Something unlisted makes its line to be quoted, and so the order; it stands in
// the document as entered.
func TestAnUnlistedFinishOnPaper(t *testing.T) {
	o := reckoned(t, wide(t), draftFor("hall", "1 kell-bench: cloth=wool; finish=driftwood wash"), noon)
	if !o.Lines[0].Quote.ToBeQuoted || o.Lines[0].Net != nil || o.Net != nil {
		t.Errorf("the line is priced %+v", o.Lines[0].Quote)
	}
	document := o.Document([32]byte{})
	text, err := document.Bytes()
	if want := `{"attribute":"finish","name":"Wood finish","value":"clear","value_name":"driftwood wash","entered":"driftwood wash","defaulted":false,"open":true}`; err != nil || !strings.Contains(string(text), want) {
		t.Errorf("the document lacks %s: %s, %v", want, text, err)
	}
	if want := `"line":1,"kind":"sample","blocks":["release","line"],"reason":`; !strings.Contains(string(text), want) {
		t.Errorf("the document lacks %s: %s", want, text)
	}
}

// By hand: 343.34 list, hall's 40 % leave 206.00; 3 benches 618.00 and 6.5 % of
// 1030.02 = 66.95 make 684.95; one of 1600 mm lists 510.01, 306.01 net (306.006),
// and 6.5 % of 510.01 = 33.15, 339.16. Together 1024.11.
func TestSurchargesAreInTheNet(t *testing.T) {
	o := reckoned(t, wide(t), draftFor("hall", "3 kell-bench: cloth=wool", "1 kell-bench: cloth=wool; length=1600 mm"), noon)
	if a, b := o.Lines[0].Net.String(), o.Lines[1].Net.String(); a != "684.95" || b != "339.16" || o.Net.String() != "1024.11" {
		t.Errorf("lines %s and %s, order %s", a, b, o.Net)
	}
	document := o.Document([32]byte{})
	text, err := document.Bytes()
	if want := `"net_unit":"206.00","surcharges":[{"code":"steel-2026","for":"Steel surcharge","percent":"6.5 %","of":"1030.02","amount":"66.95"}],"net":"684.95"`; err != nil || !strings.Contains(string(text), want) {
		t.Errorf("the document lacks %s: %s, %v", want, text, err)
	}
}

// An act counts for the plant's day, and a stored order is checked again for
// that of its receipt: 2026-12-31 is a Thursday on which this plant is closed, so
// that it counts for Wednesday the 23rd; the edge is withdrawn after the 31st.
func TestTheDayThatAnOrderCountsFor(t *testing.T) {
	cat := wide(t)
	closed := time.Date(2026, 12, 31, 10, 0, 0, 0, time.UTC)
	asked := draftFor("hall", "1 kell-bench: cloth=wool")
	o := reckoned(t, cat, asked, closed)
	if o.Lines[0].Surcharges[0].Code != "steel-2026" {
		t.Errorf("surcharges %+v", o.Lines[0].Surcharges)
	}
	_, findings := order.Reckon(cat, asked, time.Date(2027, 1, 4, 10, 0, 0, 0, time.UTC))
	if len(findings) != 1 || findings[0].Pointer != "/lines/0/configuration/edge" || findings[0].Code != "choice.withdrawn" {
		t.Errorf("a withdrawn default is taken: %+v", findings)
	}
	document, hash := stored(t, o)
	if _, err := order.Working(cat, document, hash); err != nil {
		t.Errorf("the working of an order of a withdrawn edge: %v", err)
	}
}

// What was written for an open choice is what the stored order is reckoned from.
func TestTheWorkingOfSomethingUnlisted(t *testing.T) {
	cat := wide(t)
	document, hash := stored(t, reckoned(t, cat, draftFor("hall", "1 kell-bench: cloth=own; own_width=1400 mm; finish=driftwood wash"), noon))
	if _, err := order.Working(cat, document, hash); err != nil {
		t.Error(err)
	}
}
