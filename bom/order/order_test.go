package order_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// read gives the demonstration catalog with texts replaced in it (old, new, old,
// new, ...), each of which must be there.
func read(t testing.TB, pairs ...string) *catalog.Catalog {
	t.Helper()
	files := demonstration.Files()
	for i := 0; i < len(pairs); i += 2 {
		found := false
		for k := range files {
			if bytes.Contains(files[k].Bytes, []byte(pairs[i])) {
				found = true
				files[k].Bytes = bytes.ReplaceAll(files[k].Bytes, []byte(pairs[i]), []byte(pairs[i+1]))
			}
		}
		if !found {
			t.Fatalf("no file has %q", pairs[i])
		}
	}
	return readFiles(t, files)
}

func readFiles(t testing.TB, files []source.File) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(files)
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

// picks reads "length=7 ft; species=white-ash".
func picks(text string) (list []catalog.Pick) {
	for item := range strings.SplitSeq(text, ";") {
		if attribute, value, found := strings.Cut(strings.TrimSpace(item), "="); found {
			list = append(list, catalog.Pick{Attribute: attribute, Text: value})
		}
	}
	return list
}

// line reads "2 brackwater-table: length=7 ft".
func line(text string) order.DraftLine {
	quantity, rest, _ := strings.Cut(text, " ")
	product, with, _ := strings.Cut(rest, ":")
	return order.DraftLine{Product: product, Quantity: quantity, Picks: picks(with)}
}

func draft(lines ...string) *order.Draft {
	d := &order.Draft{Dealer: "studio-tamsel", PO: "ST-2207", Sidemark: "Ferncote", ShipTo: "14 Osier Yard\nFerncote"}
	for _, text := range lines {
		d.Lines = append(d.Lines, line(text))
	}
	return d
}

// noon of Monday 2026-11-02 at the plant, in America/Chicago.
var noon = time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)

// reckoned gives the order, or ends the test with every finding.
func reckoned(t testing.TB, cat *catalog.Catalog, d *order.Draft, now time.Time) *order.Order {
	t.Helper()
	o, findings := order.Reckon(cat, d, now)
	if o == nil || len(findings) > 0 {
		t.Fatalf("refused: %+v", findings)
	}
	return o
}

func TestFourFaultsGiveFourFindings(t *testing.T) {
	// A quantity that is no number, a species that is misspelled, a rule that is
	// broken, a day that does not exist.
	d := draft("1.5 sallow-bench:", "1 brackwater-table: species=wite-oak", "2 pell-stool: height=18 in; footrest=bars", "1 lodden-round:")
	d.Requested = "2026-11-31"
	o, findings := order.Reckon(read(t), d, noon)
	if o != nil {
		t.Error("an order with faults is taken")
	}
	var got []string
	for _, f := range findings {
		got = append(got, f.Pointer+" "+f.Code)
	}
	want := []string{"/requested date.unreadable", "/lines/0/quantity quantity.unreadable", "/lines/1/configuration/species choice.unknown", "/lines/2/configuration/footrest rule.broken"}
	if !slices.Equal(got, want) {
		t.Errorf("findings\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if i := slices.Index(got, want[2]); i >= 0 && findings[i].Nearest != "white-oak" {
		t.Errorf("the nearest species is %q, want white-oak", findings[i].Nearest)
	}
}

// What only the explosion can tell comes with everything else, and of a line
// whose quantity cannot be read too.
func TestExplosionFindingsComeWithTheOthers(t *testing.T) {
	const bar = `
products:
  bar:
    name: Bar
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 300 in, step_inch: 1 in, step_metric: 1 mm}}
    parts:
      bar: {steel: {section: flat-bar-2, straight: length}}
`
	cat := readFiles(t, append(demonstration.Files(), source.File{Path: "bar.yaml", Bytes: []byte(bar)}))
	d := draft("0 bar: length=240 in", "1 sofa:")
	d.Dealer = "studio-tamsal"
	_, findings := order.Reckon(cat, d, noon)
	var got []string
	for _, f := range findings {
		got = append(got, f.Pointer+" "+f.Code)
	}
	want := []string{"/dealer dealer.unknown", "/lines/0/quantity quantity.unreadable", "/lines/1/product product.unknown", "/lines/0 steel.too-long"}
	if !slices.Equal(got, want) {
		t.Errorf("findings %v, want %v", got, want)
	}
	if findings[0].Nearest != "studio-tamsel" || !strings.Contains(findings[0].Message, `Did you mean Studio Tamsel (studio-tamsel)?`) {
		t.Errorf("the dealer is %+v", findings[0])
	}
	if !strings.HasPrefix(findings[len(findings)-1].Message, "line 1 › bar: ") {
		t.Errorf("the bar is %q", findings[len(findings)-1].Message)
	}
}

func TestWhatAnOrderSays(t *testing.T) {
	cat := read(t)
	many := make([]string, order.MaxLines+1)
	for i := range many {
		many[i] = "1 pell-stool:"
	}
	for _, c := range []struct {
		name string
		make func(d *order.Draft)
		want string // pointer and code, or "" when taken
	}{
		{"as it should be", func(*order.Draft) {}, ""},
		{"quantity 999", func(d *order.Draft) { d.Lines[0].Quantity = "999" }, ""},
		{"quantity 1000", func(d *order.Draft) { d.Lines[0].Quantity = "1000" }, "/lines/0/quantity quantity.unreadable"},
		{"quantity 0", func(d *order.Draft) { d.Lines[0].Quantity = "0" }, "/lines/0/quantity quantity.unreadable"},
		{"quantity -1", func(d *order.Draft) { d.Lines[0].Quantity = "-1" }, "/lines/0/quantity quantity.unreadable"},
		{"no quantity", func(d *order.Draft) { d.Lines[0].Quantity = "" }, "/lines/0/quantity quantity.unreadable"},
		{"quantity in words", func(d *order.Draft) { d.Lines[0].Quantity = "two" }, "/lines/0/quantity quantity.unreadable"},
		{"quantity beyond 64 bits", func(d *order.Draft) { d.Lines[0].Quantity = strings.Repeat("9", 500) }, "/lines/0/quantity quantity.unreadable"},
		{"no purchase order", func(d *order.Draft) { d.PO = " \t" }, "/po po.missing /po text.control-characters"},
		{"a purchase order of 40", func(d *order.Draft) { d.PO = strings.Repeat("ü", order.MaxPO) }, ""},
		{"a purchase order of 41", func(d *order.Draft) { d.PO = strings.Repeat("ü", order.MaxPO+1) }, "/po text.long"},
		{"a sidemark from right to left", func(d *order.Draft) { d.Sidemark = "\u200fשולחן אוכל" }, ""},
		{"a sidemark on two lines", func(d *order.Draft) { d.Sidemark = "a\nb" }, "/sidemark text.control-characters"},
		{"a sidemark with an escape", func(d *order.Draft) { d.Sidemark = "a\x1b[31m" }, "/sidemark text.control-characters"},
		{"a sidemark of broken UTF-8", func(d *order.Draft) { d.Sidemark = "a\xff" }, "/sidemark text.not-utf8"},
		{"a ship-to on two lines", func(d *order.Draft) { d.ShipTo = "a\nb" }, ""},
		{"a ship-to with a return", func(d *order.Draft) { d.ShipTo = "a\rb" }, "/ship_to text.control-characters"},
		{"a ship-to with a line separator", func(d *order.Draft) { d.ShipTo = "a\u2028b" }, "/ship_to text.control-characters"},
		{"a ship-to of 301", func(d *order.Draft) { d.ShipTo = strings.Repeat("x", order.MaxShipTo+1) }, "/ship_to text.long"},
		{"a date in words", func(d *order.Draft) { d.Requested = "next Friday" }, "/requested date.unreadable"},
		{"no lines", func(d *order.Draft) { d.Lines = nil }, "/lines lines.missing"},
		{"201 lines", func(d *order.Draft) { d.Lines = draft(many...).Lines }, "/lines lines.too-many"},
		{"200 lines", func(d *order.Draft) { d.Lines = draft(many[1:]...).Lines }, ""},
		{"an unknown dealer like none", func(d *order.Draft) { d.Dealer = "zzzzzzzzzzzz" }, "/dealer dealer.unknown"},
	} {
		d := draft("1 pell-stool:")
		c.make(d)
		o, findings := order.Reckon(cat, d, noon)
		var got []string
		for _, f := range findings {
			got = append(got, f.Pointer+" "+f.Code)
			if !strings.HasSuffix(f.Message, ".") && !strings.HasSuffix(f.Message, "?") || len(f.Message) > 400 {
				t.Errorf("%s: %q is no sentence", c.name, f.Message)
			}
		}
		if strings.Join(got, " ") != c.want || (o != nil) != (c.want == "") {
			t.Errorf("%s: findings %v, want %q", c.name, got, c.want)
		}
	}
}

func TestOwnMaterialPlacesAHold(t *testing.T) {
	o := reckoned(t, read(t), draft("1 sallow-bench:", "4 pell-stool: cloth=own; own_width=54 in; own_repeat=13 1/2 in"), noon)
	// Two rows of 27 in would do for two stools; four take three: 3·27 + 4 + 4·4
	// in as in testdata/golden/hand-stool-own-material.txtar, 3 yd.
	want := order.Hold{Seq: 1, Line: 2, Kind: "own-material", Blocks: []string{"release"}, Reason: "3.00 yd of customer's own material needed, none received; the promise date counts from its receipt."}
	if len(o.Holds) != 1 || !reflect.DeepEqual(o.Holds[0], want) {
		t.Errorf("holds %+v, want %+v", o.Holds, want)
	}
	if o := reckoned(t, read(t), draft("1 sallow-bench:"), noon); len(o.Holds) != 0 {
		t.Errorf("stock cloth is held: %+v", o.Holds)
	}
}

func TestALineToBeQuotedLeavesTheOrderWithoutASum(t *testing.T) {
	o := reckoned(t, read(t), draft("1 brackwater-table: length=100 in; stretcher=h-stretcher", "2 pell-stool:"), noon)
	if !o.Lines[0].Quote.ToBeQuoted || o.Lines[0].Net != nil || o.Net != nil {
		t.Errorf("line 1 %+v, order net %v", o.Lines[0].Quote, o.Net)
	}
	// 585.00 x 0.50 x 0.90 = 263.25, twice 526.50.
	if got := o.Lines[1].Net; got == nil || got.String() != "526.50" {
		t.Errorf("line 2 net %v, want 526.50", got)
	}
	d := o.Document([32]byte{})
	if d.Net != nil || d.Lines[0].Price.ListUnit != nil || d.Lines[0].Price.NetUnit != nil || d.Lines[0].Price.Net != nil || !d.Lines[0].Price.ToBeQuoted {
		t.Errorf("the document shows a price for it: %+v", d.Lines[0].Price)
	}
	if len(o.Bill.Lines) != 2 {
		t.Error("what is to be quoted is exploded all the same")
	}
}

func TestNetIsRoundedByTheUnit(t *testing.T) {
	// Terms 40/5 leave 0.57; 585.00 + 25.00 = 610.00 leaves 347.70; 3 of them
	// 1,043.10.
	d := draft("3 pell-stool: cloth=slate-twill")
	d.Dealer = "quillane-rooms"
	o := reckoned(t, read(t), d, noon)
	if o.Lines[0].Quote.NetUnit.String() != "347.70" || o.Net.String() != "1043.10" || o.DealerName != "Quillane Rooms" {
		t.Errorf("net of one %s, order %s, for %s", o.Lines[0].Quote.NetUnit, o.Net, o.DealerName)
	}
	// 585.01 x 0.45 = 263.2545: 263.25 each, so that 1,000 of them would be
	// 263,250.00; 999 are 262,986.75, where rounding the line gives 262,991.25.
	o = reckoned(t, read(t, "list: 585.00", "list: 585.01"), draft("999 pell-stool:"), noon)
	if o.Lines[0].Quote.NetUnit.String() != "263.25" || o.Net.String() != "262986.75" {
		t.Errorf("net of one %s, order %s", o.Lines[0].Quote.NetUnit, o.Net)
	}
}

// The promise counted by hand on the demonstration's calendar: Mondays to
// Fridays, closed 2026-11-26 and 27, 2026-12-24 to 2027-01-01, 2027-05-31,
// 2027-07-02 to 09; an order on a closed day counts for the next working day.
// Lead times: stool 25, bench 30, round table 40, dining table 45 working days.
func TestPromiseByHand(t *testing.T) {
	cat := read(t)
	for _, c := range []struct{ line, at, want, how string }{
		{"1 pell-stool:", "2026-11-02T12:00:00-06:00", "2026-12-09", "Nov 3-6 4, 9-13 9, 16-20 14, 23-25 17, Nov 30-Dec 4 22, Dec 7-9 25"},
		{"1 pell-stool:", "2026-11-02T23:59:59-06:00", "2026-12-09", "the day counts until midnight, though it is the 3rd in London"},
		{"1 pell-stool:", "2026-11-03T00:00:00-06:00", "2026-12-10", "the next day, one day later"},
		{"1 pell-stool:", "2026-11-26T09:00:00-06:00", "2027-01-13", "closed: counts for Nov 30; Dec 1-4 4, 7-11 9, 14-18 14, 21-23 17, Jan 4-8 22, 11-13 25"},
		{"1 sallow-bench:", "2027-05-03T08:00:00-05:00", "2027-06-15", "May 4-7 4, 10-14 9, 17-21 14, 24-28 19, Jun 1-4 23, 7-11 28, 14-15 30"},
		{"1 lodden-round:", "2027-06-05T10:00:00-05:00", "2027-08-10", "Saturday counts for Jun 7; Jun 8-11 4, 14-18 9, 21-25 14, Jun 28-Jul 1 18, Jul 12-16 23, 19-23 28, 26-30 33, Aug 2-6 38, 9-10 40"},
		{"1 brackwater-table:", "2026-11-25T20:30:00-06:00", "2027-02-09", "Nov 30-Dec 4 5, 7-11 10, 14-18 15, 21-23 18, Jan 4-8 23, 11-15 28, 18-22 33, 25-29 38, Feb 1-5 43, 8-9 45"},
	} {
		now, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if got := reckoned(t, cat, draft(c.line), now.UTC()).Promise.String(); got != c.want {
			t.Errorf("%s at %s: %s, want %s: %s", c.line, c.at, got, c.want, c.how)
		}
	}
	// The longest lead time of the lines counts.
	if got := reckoned(t, cat, draft("1 pell-stool:", "1 sallow-bench:", "1 pell-stool:"), noon).Promise.String(); got != "2026-12-16" {
		t.Errorf("with a bench: %s, want 2026-12-16, 5 days after the stools alone", got)
	}
}

func TestAskedForTooEarlyKeepsBothDates(t *testing.T) {
	for _, asked := range []string{"2026-11-03", "2027-06-01"} {
		d := draft("1 pell-stool:")
		d.Requested = asked
		o := reckoned(t, read(t), d, noon)
		doc := o.Document([32]byte{})
		if o.Promise.String() != "2026-12-09" || o.Requested == nil || o.Requested.String() != asked {
			t.Errorf("asked for %s: promise %s, kept %v", asked, o.Promise, o.Requested)
		}
		if doc.Promise != o.Promise || doc.Requested == nil || *doc.Requested != *o.Requested {
			t.Errorf("the document shows %v and %v", doc.Promise, doc.Requested)
		}
	}
}

func TestSumsBeyondMoneyAreFindings(t *testing.T) {
	const largest = "list: 92233720368547758.07"
	for _, c := range []struct {
		why, want string
		lines     []string
		dealer    string
	}{
		{"one line fits", "", []string{"1 pell-stool:"}, "walk-in"},
		{"a line of two does not", "/lines/0/quantity price.too-large", []string{"2 pell-stool:"}, "walk-in"},
		{"an order of two lines does not", "/lines price.too-large", []string{"1 pell-stool:", "1 pell-stool:"}, "walk-in"},
		{"options do not", "/lines/0/configuration price.too-large", []string{"1 pell-stool: cloth=slate-twill"}, "walk-in"},
		{"two at 45 % fit", "", []string{"1 pell-stool:", "1 pell-stool:"}, "studio-tamsel"},
	} {
		d := draft(c.lines...)
		d.Dealer = c.dealer
		o, findings := order.Reckon(read(t, "list: 585.00", largest), d, noon)
		var got []string
		for _, f := range findings {
			got = append(got, f.Pointer+" "+f.Code)
		}
		if strings.Join(got, " ") != c.want || (o != nil) != (c.want == "") {
			t.Errorf("%s: %v, want %q", c.why, got, c.want)
		}
		if o != nil && o.Net.String()[0] == '-' {
			t.Errorf("%s: the sum wrapped to %s", c.why, o.Net)
		}
	}
}

func TestNoPromiseBeyondTheCalendar(t *testing.T) {
	_, findings := order.Reckon(read(t, "lead_days: 25\n", "lead_days: 1000\n", "[mon, tue, wed, thu, fri]", "[mon]"), draft("1 pell-stool:"), noon)
	if len(findings) != 1 || findings[0].Code != "promise.none" || !strings.Contains(findings[0].Message, "horizon of ten years") {
		t.Errorf("1,000 Mondays: %+v", findings)
	}
}

func TestNewGivesAnIdentity(t *testing.T) {
	cat := read(t)
	cat.Revision = 7
	id := uuid.MustParse("01935a4e-0000-7000-8000-000000000001")
	o, findings := order.New(cat, draft("2 lodden-round:"), order.Identity{ID: id, Test: true}, noon)
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	if o.ID != id || o.Number != order.NumberOf(id) || !o.Test || o.Revision != 7 || o.Version != 1 || o.State != order.Received {
		t.Errorf("order %+v", o)
	}
	if o.Bill.Revision != 7 || o.Bill.Arithmetic != bom.Arithmetic {
		t.Errorf("bill of revision %d, arithmetic %d", o.Bill.Revision, o.Bill.Arithmetic)
	}
	if refused, findings := order.New(cat, draft("2 sofa:"), order.Identity{ID: id}, noon); refused != nil || len(findings) == 0 {
		t.Error("a sofa is taken")
	}
}

func exampleDraft(t *testing.T, reverse bool) *order.Draft {
	t.Helper()
	var body struct {
		PO, Sidemark, Requested string
		ShipTo                  string `json:"ship_to"`
		ShipComplete            bool   `json:"ship_complete"`
		Lines                   []struct {
			Product       string
			Quantity      int
			Configuration map[string]string
		}
	}
	if err := json.Unmarshal(demonstration.Order(), &body); err != nil {
		t.Fatal(err)
	}
	d := &order.Draft{Dealer: "studio-tamsel", PO: body.PO, Sidemark: body.Sidemark, ShipTo: body.ShipTo, Requested: body.Requested, ShipComplete: body.ShipComplete}
	for _, l := range body.Lines {
		asked := order.DraftLine{Product: l.Product, Quantity: fmt.Sprint(l.Quantity)}
		for attribute, text := range l.Configuration {
			asked.Picks = append(asked.Picks, catalog.Pick{Attribute: attribute, Text: text})
		}
		slices.SortFunc(asked.Picks, func(a, b catalog.Pick) int { return strings.Compare(a.Attribute, b.Attribute) })
		if reverse {
			slices.Reverse(asked.Picks)
		}
		d.Lines = append(d.Lines, asked)
	}
	return d
}

// The same order gives the same bytes, in whatever order its attributes were
// written, from a catalog read anew.
func TestDocumentBytesAreTheSame(t *testing.T) {
	id := uuid.MustParse("01935a4e-0000-7000-8000-000000000001")
	write := func(reverse bool, zone *time.Location) []byte {
		o, findings := order.New(read(t), exampleDraft(t, reverse), order.Identity{ID: id}, noon.In(zone))
		if o == nil {
			t.Fatal(findings)
		}
		bill, err := o.Bill.Document()
		if err != nil {
			t.Fatal(err)
		}
		d := o.Document(bom.Hash(bill))
		document, err := d.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		return document
	}
	first := write(false, time.UTC)
	if second := write(true, time.FixedZone("plant", -6*3600)); !bytes.Equal(first, second) {
		t.Errorf("documents differ:\n%s\n%s", first, second)
	}
	for _, want := range []string{
		`"id":"01935a4e-0000-7000-8000-000000000001"`, `"number":"1000-0002"`, `"received_at":"2026-11-02T18:00:00Z"`, `"requested":"2027-02-12"`,
		`"attribute":"length","name":"Length","value":"84 in","value_name":"84 in","entered":"7 ft","defaulted":false`,
		`"attribute":"height","name":"Height","value":"29 in","value_name":"29 in","defaulted":true`,
		`"net":"8732.25"`, `"sha256":"`, `"arithmetic":2`,
	} {
		if !bytes.Contains(first, []byte(want)) {
			t.Errorf("the document lacks %s:\n%s", want, first)
		}
	}
}

// A check without an identity shows neither an id nor a number, and no null
// where a list belongs.
func TestACheckHasNoNumber(t *testing.T) {
	o := reckoned(t, read(t), draft("1 pell-stool:"), noon)
	d := o.Document([32]byte{})
	document, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"id":"",`, `"number":"",`, `"holds":[]`} {
		if !bytes.Contains(document, []byte(want)) {
			t.Errorf("the document lacks %s:\n%s", want, document)
		}
	}
}

func BenchmarkNewDemonstrationOrder(b *testing.B) {
	cat := read(b)
	lines := draft("2 brackwater-table: length=7 ft", "1 lodden-round: legs=bent", "3 sallow-bench: cloth=sedge-stripe", "4 pell-stool: cloth=own; own_width=54 in; own_repeat=13 1/2 in")
	b.ReportAllocs()
	for b.Loop() {
		if o, findings := order.New(cat, lines, order.Identity{}, noon); o == nil {
			b.Fatal(findings)
		}
	}
}

func TestQuoteLinesSumToTheList(t *testing.T) {
	o := reckoned(t, read(t), exampleDraft(t, false), noon)
	total := unit.Money(0)
	for _, l := range o.Lines {
		sum := unit.Money(0)
		for _, p := range l.Quote.Lines {
			sum += p.List
		}
		if sum != l.Quote.ListUnit {
			t.Errorf("line %d: %s, the lines sum to %s", l.Number, l.Quote.ListUnit, sum)
		}
		total += *l.Net
	}
	if total != *o.Net {
		t.Errorf("net %s, the lines sum to %s", o.Net, total)
	}
}
