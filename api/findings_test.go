package api

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom/order"
)

// Four faults of four kinds in one body are four findings in one reply, in the
// order of header and lines.
func TestFourFaultsFourFindings(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for _, c := range []struct {
		body string
		want []string
	}{
		{`{"po":"  ","requested":"2026-02-30","lines":[{"product":"salow-bench","quantity":1},{"product":"sallow-bench","quantity":0,"configuration":{"length":"4'"}}]}`,
			[]string{"/po po.missing", "/requested date.unreadable", "/lines/0/product product.unknown", "/lines/1/quantity quantity.unreadable"}},
		{`{"po":7,"ship_complete":"yes","lines":[{"product":"sallow-bench","quantity":"two","configuration":{"length":"400 in"}}]}`,
			[]string{"/po wrong-type", "/ship_complete wrong-type", "/lines/0/quantity wrong-type", "/lines/0/configuration/length length.long"}},
		{`{"dealer":"hobb-and-farrow","po":"A","sidemark":null,"lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":48,"colour":"red"}}]}`,
			[]string{"/dealer dealer.other", "/sidemark null", "/lines/0/configuration/length length.no-unit", "/lines/0/configuration/colour attribute.unknown"}},
	} {
		if got := s.place(dealer, "k", c.body).faults(t, 422); !slices.Equal(got, c.want) {
			t.Errorf("%s\ngives %v\nwant  %v", c.body, got, c.want)
		}
		if got := s.ask(dealer, "POST", "/v1/checks", c.body).faults(t, 422); len(got) < 3 {
			t.Errorf("a check finds only %v", got)
		}
	}
	// Syntax and unknown fields are another matter.
	for body, want := range map[string][]string{
		`{"po":"A","lines":[`:              {"/lines bad-json"},
		`{"po":"A","note":"x","lines":[]}`: {"/note unknown-field"},
		`{"po":"A","PO":"B"}`:              {"/PO unknown-field"},
		`{"po":"A","po":"B"}`:              {"/po duplicate-field"},
		`{"po":"A\u0000","lines":[]}`:      {"/po nul-character"},
	} {
		if got := s.place(dealer, "k", body).faults(t, 400); !slices.Equal(got, want) {
			t.Errorf("%s: %v", body, got)
		}
	}
}

func TestQuantities(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	line := func(quantity string) string {
		return strings.Replace(bench("Q"), `"quantity":1,`, quantity, 1)
	}
	for _, quantity := range []string{`0`, `-1`, `-0`, `1.5`, `1.0`, `1e9`, `1e400`, `1000`, `9007199254740993`, `123456789012345678901234567890`,
		`"two"`, `"2"`, `""`, `null`, `true`, `[]`, `{}`, `[1]`, `{"n":1}`} {
		got := s.place(dealer, "k", line(`"quantity":`+quantity+`,`)).faults(t, 422)
		if len(got) != 1 || !strings.HasPrefix(got[0], "/lines/0/quantity ") {
			t.Errorf("quantity %s: %v", quantity, got)
		}
	}
	if got := s.place(dealer, "k", line("")).faults(t, 422); !slices.Equal(got, []string{"/lines/0/quantity quantity.unreadable"}) {
		t.Errorf("no quantity: %v", got)
	}
	for i, quantity := range []string{`1`, `999`} {
		s.place(dealer, fmt.Sprint("ok", i), strings.Replace(line(`"quantity":`+quantity+`,`), `"Q"`, fmt.Sprintf("%q", "Q"+quantity), 1)).want(t, 201)
	}
}

func TestLinesAndConfigurationsOfAnotherShape(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	for body, want := range map[string][]string{
		`{"po":"A"}`:             {"/lines lines.missing"},
		`{"po":"A","lines":[]}`:  {"/lines lines.missing"},
		`{"po":"A","lines":{}}`:  {"/lines wrong-type"},
		`{"po":"A","lines":[7]}`: {"/lines/0 wrong-type"},
		`{"po":"A","lines":[{"product":"sallow-bench","quantity":1,"configuration":[]}]}`: {"/lines/0/configuration wrong-type"},
		`[]`: {"wrong-type"},
		`{"po":"A","lines":[` + strings.Repeat(`{},`, 200) + `{}]}`: {"/lines too-many"},
	} {
		if got := s.place(dealer, "k", body).faults(t, 422); !slices.Equal(got, want) {
			t.Errorf("%.60s: %v", body, got)
		}
	}
	// An attribute's name may hold what a pointer escapes.
	got := s.place(dealer, "k", `{"po":"A","lines":[{"product":"sallow-bench","quantity":1,"configuration":{"length":"4'","a/b~c":true}}]}`).faults(t, 422)
	if len(got) != 1 || got[0] != "/lines/0/configuration/a~1b~0c wrong-type" {
		t.Errorf("%v", got)
	}
}

// Hostile texts are kept letter by letter or refused in plain words; they never
// come back changed.
func TestTextsAsEntered(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	kept := []string{
		`'; drop table dealer_order; --`, `<script>alert(1)</script>`, `=HYPERLINK("http://x")`, `%s%n%d`, `../../etc/passwd`, `\`, `"`, `{{7*7}}`, `$(id)`,
		"Zürich 家具 שולחן", "e\u0301", "\u202eright to left\u202c", "👩‍🔧", "\u200b", "\ufeffmark", "  spaced  ", "%", "_", "a\u00a0b", "NULL", "\\u0000", "\U0010ffff", "\ufffd",
	}
	for i, text := range kept {
		body, err := json.Marshal(map[string]any{"po": fmt.Sprint(i, text), "sidemark": text, "ship_to": text + "\nsecond line",
			"lines": json.RawMessage(`[{"product":"sallow-bench","quantity":1,"configuration":{"length":"4'","height":"18 in"}}]`)})
		if err != nil {
			t.Fatal(err)
		}
		var doc order.Document
		s.place(dealer, fmt.Sprint("kept", i), string(body)).want(t, 201).read(t, &doc)
		if doc.PO != fmt.Sprint(i, text) || doc.Sidemark != text || doc.ShipTo != text+"\nsecond line" {
			t.Errorf("%q came back as %q, %q, %q", text, doc.PO, doc.Sidemark, doc.ShipTo)
		}
		var page orderPage
		s.ask(dealer, "GET", "/v1/orders?limit=1", "").want(t, 200).read(t, &page)
		if page.Orders[0].Sidemark != text {
			t.Errorf("%q is listed as %q", text, page.Orders[0].Sidemark)
		}
	}
	for text, codes := range map[string]string{
		`"a\nb"`: "text.control-characters", `"a\tb"`: "text.control-characters", `"\u007f"`: "text.control-characters", `"\u0085"`: "text.control-characters",
		`"\u2028"`: "text.control-characters", `"` + letters(61) + `"`: "text.long", `7`: "wrong-type", `null`: "null", `["x"]`: "wrong-type",
	} {
		if got := s.place(dealer, "k", bench("T", `,"sidemark":`+text)).faults(t, 422); !slices.Equal(got, []string{"/sidemark " + codes}) {
			t.Errorf("%s: %v", text, got)
		}
	}
	for _, text := range []string{`"\ud800"`, `"\udc00x"`, "\"\xff\"", `"\u0000"`, "\"a\nb\""} {
		if got := s.place(dealer, "k", bench("T", `,"sidemark":`+text)); got.status != 400 {
			t.Errorf("%q: %d %s", text, got.status, got.body)
		}
	}
}

func TestFragmentSearch(t *testing.T) {
	s := openShop(t, shopSettings{})
	dealer := s.key("dealer studio-tamsel")
	s.placed(dealer, "1", bench("PO 50%_a", `,"sidemark":"Ünder \\ Hall"`))
	for text, hits := range map[string]int{"50%25_A": 1, "%25": 1, "_": 1, "%5C": 1, "%C3%BCnder": 1, "100%25": 0, "nothing": 0, "sallow": 1, "%27": 0, "%00": 0, "%ff": 0} {
		var page orderPage
		r := s.ask(dealer, "GET", "/v1/orders?text="+text, "")
		if r.want(t, 200).read(t, &page); len(page.Orders) != hits {
			t.Errorf("%s: %d orders, want %d", text, len(page.Orders), hits)
		}
	}
}
