package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

// A rep types a price and agrees a date, a dealer cannot; both are on the
// acknowledgment, frozen at acceptance, and go by another catalog untouched.
func TestATypedPriceAndAnAgreedDate(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer, rep := s.key("dealer studio-tamsel"), s.key("rep")
	const line = `{"product":"sallow-bench","quantity":3,"configuration":{"length":"4 ft"},"price":{"net":"850.00","reason":"a mark on the frame"}}`
	body := func(po string) string {
		return fmt.Sprintf(`{"po":%q,"dealer":"studio-tamsel","agreed":{"date":"2027-03-12","reason":"the floor is laid"},"lines":[%s]}`, po, line)
	}
	if got := s.ask(dealer, "POST", "/v1/orders", body("PO 1"), "Idempotency-Key: theirs").faults(t, 422); !slices.Equal(got, []string{"/agreed agreed.right", "/lines/0/price price.right"}) {
		t.Errorf("a dealer: %v", got)
	}
	for wrong, want := range map[string]string{
		`"agreed":{"date":"2026-12-25","reason":"x"}`:                                  "/agreed/date agreed.closed",
		`"agreed":{"date":20261225,"reason":"x"}`:                                      "/agreed/date wrong-type",
		`"agreed":{"date":"2027-03-12"}`:                                               "/agreed/reason reason.missing",
		`"po":"PO 9","lines":[` + strings.Replace(line, `"850.00"`, "850.00", 1) + `]`: "/lines/0/price/net wrong-type",
	} {
		asked := strings.TrimSuffix(bench("PO 9", `,"dealer":"studio-tamsel",`+wrong), "\n")
		if strings.HasPrefix(wrong, `"po"`) {
			asked = `{"dealer":"studio-tamsel",` + wrong + `}`
		}
		if got := s.ask(rep, "POST", "/v1/orders", asked, "Idempotency-Key: "+want[:9]).faults(t, 422); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: %v, want %s", wrong, got, want)
		}
	}
	number := s.placed(rep, "first", body("PO 1"))
	d := s.got(dealer, number)
	if d.Net.String() != "2550.00" || d.Promise.String() != "2027-03-12" || d.Agreed.By != "rep" || d.Lines[0].Price.Typed.Reason != "a mark on the frame" {
		t.Errorf("%+v", d)
	}
	// Another price is another request.
	s.ask(rep, "POST", "/v1/orders", strings.Replace(body("PO 1"), "850.00", "851.00", 1), "Idempotency-Key: first").problem(t, 422)
	s.done(rep, number, "accept", 1, `{}`).want(t, 200)
	// A later list that is dearer, and is closed on the agreed day, moves nothing.
	s.store(edited(t, "effective: 2026-11-02", "effective: 2026-11-03", "list: 1125.00", "list: 2125.00", "{from: 2027-05-31, why: Memorial Day}", "{from: 2027-03-10, to: 2027-03-19, why: Furnace}"))
	var ack order.Acknowledgment
	s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment", "").want(t, 200).read(t, &ack)
	if ack.Net.String() != "2550.00" || ack.Promise.String() != "2027-03-12" || ack.Agreed == nil || ack.Agreed.Reason != "the floor is laid" || ack.Lines[0].Price.Typed == nil || len(ack.Lines[0].Price.Lines) == 0 || ack.Lines[0].Price.Lines[0].For == "" {
		t.Errorf("acknowledged as %+v", ack)
	}
	page := string(s.ask(dealer, "GET", "/v1/orders/"+number+"/acknowledgment?format=html", "").want(t, 200).body)
	for _, want := range []string{"This day was agreed: the floor is laid. By our lead times it would be ", "Net of one as agreed: a mark on the frame", "850.00"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	var needBy string
	if err := s.db.AdminPool(t).QueryRow(t.Context(), `select min(need_by)::text from requirement where kind = 'steel'`).Scan(&needBy); err != nil || needBy != "2027-02-12" { // 20 working days before
		t.Errorf("steel is needed by %s (%v)", needBy, err)
	}
	// A change of the price is seen before it is approved.
	var c changeReply
	s.proposed(rep, "c1", number, 2, `{"reason":"two marks","agreed":{"date":"2027-03-15","reason":"later"},"lines":[{"line":1,"price":{"net":"800","reason":"two marks"}}]}`).want(t, 201).read(t, &c)
	if len(c.Difference.Price) != 2 || c.Difference.Price[0].Is.String() != "2400.00" || c.Difference.Promise == nil || c.Difference.Promise.Is.String() != "2027-03-15" || len(c.Difference.Bill) > 0 {
		t.Errorf("%+v", c.Difference)
	}
	s.done(rep, number, "changes/1/approve", 2, `{}`).want(t, 200)
	if d := s.got(rep, number); d.Net.String() != "2400.00" || d.Promise.String() != "2027-03-15" || d.FirstPromise.String() != "2027-03-12" || d.Bill.Version != 1 {
		t.Errorf("changed to %+v", d)
	}
}

// A draft keeps the price and the date that were typed until it is placed, by
// somebody who may.
func TestADraftKeepsWhatWasTyped(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep := s.key("rep")
	number := s.placed(rep, "first", `{"intent":"draft","dealer":"studio-tamsel","agreed":{"date":"2027-03-12","reason":"the floor"},"po":"PO 1","lines":[{"product":"sallow-bench","quantity":2,"price":{"net":"850.00","reason":"a mark"}}]}`)
	s.done(s.key("dealer studio-tamsel"), number, "place", 1, `{}`).problem(t, 422)
	s.done(rep, number, "place", 1, `{}`).want(t, 200)
	if d := s.got(rep, number); d.Net.String() != "1700.00" || d.Promise.String() != "2027-03-12" {
		t.Errorf("%+v", d)
	}
}

// A size next to a standard one is hinted at, by the check and on the order, and
// made as it was entered; a standard one is not.
func TestAHintChangesNothing(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for length, want := range map[string]string{"48 1/8 in": "/lines/0/configuration/length", "48 in": "", "48 3/8 in": ""} {
		body := fmt.Sprintf(`{"po":"PO %s","lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":%q}}]}`, length, length)
		var check struct{ Order order.Document }
		s.ask(dealer, "POST", "/v1/checks", body).want(t, 200).read(t, &check)
		placed := s.got(dealer, s.placed(dealer, strings.NewReplacer("/", "-", " ", "-").Replace(length), body))
		for _, d := range []order.Document{check.Order, placed} {
			got := ""
			for _, w := range d.Warnings {
				got += w.Pointer
				if w.Code != "size.near-standard" || !strings.Contains(w.Message, "1/8 in longer than the standard 48 in") {
					t.Errorf("%+v", w)
				}
			}
			if got != want || d.Lines[0].Configuration[0].Value != length {
				t.Errorf("%s is hinted at %q, and made %s; want %q", length, got, d.Lines[0].Configuration[0].Value, want)
			}
		}
	}
}

// edited are the demonstration's files with texts replaced.
func edited(t *testing.T, pairs ...string) []source.File {
	t.Helper()
	files := demonstration.Files()
	for i := 0; i < len(pairs); i += 2 {
		files = replaceText(t, files, pairs[i], pairs[i+1])
	}
	return files
}
