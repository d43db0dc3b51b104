package api

import (
	"encoding/json"
	"strings"
	"testing"
)

// A row's reasons are reached with plain slashes and with escaped ones, as JSON
// and as text, and lead back to what was entered.
func TestWhyARowIsAsItIs(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", s.order(nil))
	rows := "/v1/orders/" + number + "/bill/rows/"
	var why whyReply
	plain := s.ask(dealer, "GET", rows+"1/base/leg/why", "").want(t, 200)
	plain.read(t, &why)
	if why.Order != number || why.Version != 1 || why.Row != "1/base/leg" || why.Part != "steel" || why.Revision != 1 || len(why.Figures) < 3 || len(why.Standards) < 3 {
		t.Errorf("%+v", why)
	}
	escaped := s.ask(dealer, "GET", rows+"1%2Fbase%2Fleg/why", "").want(t, 200)
	if string(escaped.body) != string(plain.body) {
		t.Errorf("another answer for escaped slashes: %s", escaped.body)
	}
	var bill struct {
		Lines []struct {
			Steel []json.RawMessage `json:"steel"`
		} `json:"lines"`
	}
	s.ask(dealer, "GET", "/v1/orders/"+number+"/bill", "").want(t, 200).read(t, &bill)
	if found := string(bill.Lines[0].Steel[0]); !strings.Contains(found, `"base/leg"`) || found != string(why.Values) {
		t.Errorf("the row is %s, its reasons are of %s", found, why.Values)
	}
	text := s.ask(dealer, "GET", rows+"1/base/leg/why?format=text", "").want(t, 200)
	for _, want := range []string{"1/base/leg: line 1, ", "length = leg_length = ", "height = 29 in, not chosen, so the default", "\nstandards\n  "} {
		if !strings.Contains(string(text.body), want) {
			t.Errorf("the text lacks %q: %s", want, text.body)
		}
	}
	if asked := s.ask(dealer, "GET", rows+"1/base/leg/why", "", "Accept: text/plain").want(t, 200); string(asked.body) != string(text.body) {
		t.Errorf("Accept: text/plain gives %s", asked.body)
	}
}

func TestWhyOfNoSuchRow(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	number := s.placed(dealer, "first", s.order(nil))
	for _, address := range []string{"1/base", "9/base/leg", "base", "1", "1/base//leg", "1/base/leg/", "%00", "1/%2e%2e/leg"} {
		if r := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/rows/"+address+"/why", ""); r.status != 404 {
			t.Errorf("%q answers %d", address, r.status)
		}
	}
	problem := s.ask(dealer, "GET", "/v1/orders/"+number+"/bill/rows/1/base/why", "").problem(t, 404)
	if !strings.Contains(problem.Detail, "base/leg") {
		t.Errorf("the problem names no near row: %s", problem.Detail)
	}
}
