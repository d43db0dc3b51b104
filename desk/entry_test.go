package desk

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"

	"billwright/bom/order"
	"billwright/catalog/demonstration"
)

// phone is the example order as it is said over the phone, key by key: Tab goes
// to the next row, Enter to the next that is to be answered.
var phone = []struct{ what, keys string }{
	{"dealer", "st\r"},
	{"PO", "ST-2207\t"},
	{"sidemark", "Ferncote dining room\t"},
	{"requested", "12 feb\t"},
	{"ship-to", "Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote\t"},
	{"ships complete", "y\r"},
	{"line 1, product", "b\t"},
	{"length", "7'\t"},
	{"width, past the height", "36 1/2\t\t"},
	{"species", "w a\t"},
	{"wood finish, past the edge", "clear\t\t"},
	{"metal finish, past the stretcher", "r\t\t"},
	{"pieces", "2\r"},
	{"line 2, product", "lr\t"},
	{"diameter", "1066.8mm\t\t\t\t\t"},
	{"legs", "b\t"},
	{"metal finish", "e\r"},
	{"line 3, product", "sb\t"},
	{"length", "4'\t"},
	{"height, past the metal finish", "1'6 1/2\"\t\t"},
	{"cloth", "se\t"},
	{"pieces", "3\r"},
	{"line 4, product", "p\t"},
	{"height, past the side", "24\t\t"},
	{"footrest, past the metal finish", "t\t\t"},
	{"cloth", "cus\r"},
	{"width of the material", "54\r"},
	{"its repeat", "13.5\t"},
	{"pieces", "4\r"},
}

func (b *tab) sits(row string) {
	b.t.Helper()
	b.await(`document.activeElement.id === "f-` + row + `"`)
}

// The whole example order, from the keyboard alone and as fast as the keys come,
// is the one that the interface makes of the example's own request.
func TestThePhoneOrder(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/new")
	b.sits("dealer")
	b.sound()
	for _, step := range phone {
		b.press(step.keys)
	}
	b.await(`document.title.includes("ready to place")`)
	b.picture("entry")
	for _, row := range []string{"ship_to", "a:wood_finish"} {
		if cut := eval[bool](b, `(e => e.scrollWidth > e.clientWidth)(document.getElementById("f-`+row+`"))`); cut {
			t.Errorf("row %s is cut", row)
		}
	}
	b.sound()
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/.{4}-.{4}$/.test(location.pathname)`)
	t.Logf("%d keys", b.keys)
	number := eval[string](b, `location.pathname.split("/").pop()`)
	var got order.Document
	w := s.ask(s.person("Set-up", "rep"), http.MethodGet, "/v1/orders/"+number, "")
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if got.Net == nil || got.Net.String() != "8732.25" || got.Promise.String() != "2027-02-09" || got.PO != "ST-2207" || got.Sidemark != "Ferncote dining room" || !got.ShipComplete ||
		got.ShipTo != "Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote" || got.Requested == nil || got.Requested.String() != "2027-02-12" || got.State != order.Received {
		t.Errorf("the order is %s", w.Body)
	}
	var example struct {
		Lines []struct {
			Product       string
			Quantity      int
			Configuration map[string]string
		}
	}
	if err := json.Unmarshal(demonstration.Order(), &example); err != nil {
		t.Fatal(err)
	}
	for i, l := range example.Lines {
		if got.Lines[i].Product != l.Product || got.Lines[i].Quantity != l.Quantity {
			t.Errorf("line %d is %d %s", i+1, got.Lines[i].Quantity, got.Lines[i].Product)
		}
		for _, set := range got.Lines[i].Configuration {
			if _, said := l.Configuration[set.Attribute]; said == set.Defaulted {
				t.Errorf("line %d: %+v, said %v", i+1, set, said)
			}
		}
	}
}
