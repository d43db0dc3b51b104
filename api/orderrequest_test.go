package api

import (
	"slices"
	"testing"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/demonstration"
)

// FuzzOrderRequest feeds bodies through everything that sees them before the
// database does. Nothing may panic, and a body taken has a quantity and no
// finding twice.
func FuzzOrderRequest(f *testing.F) {
	cat, faults := catalog.Read(demonstration.Files())
	if faults != nil {
		f.Fatal(faults)
	}
	f.Add(demonstration.Order())
	for _, body := range []string{bench("A"), `{"po":7,"lines":[{"quantity":"2","configuration":{"length":48,"a/b":null}}]}`, `{"lines":[{"quantity":1e999}]}`,
		`{"lines":[{"product":"pell-stool","quantity":1,"configuration":{"cloth":"own","own_width":"1/3 in"}}]}`} {
		f.Add([]byte(body))
	}
	who := &principal{dealer: "studio-tamsel", role: roleDealer}
	f.Fuzz(func(t *testing.T, body []byte) {
		var r orderRequest
		if decodeStrict(body, &r) != nil {
			return
		}
		if r.fingerprint(who) != r.fingerprint(who) {
			t.Error("two fingerprints of one request")
		}
		draft, entered := r.draft(who, cat)
		o, domain := order.Reckon(cat, draft, noon)
		findings := together(entered, domain)
		if len(findings) > 0 {
			for i, f := range shown(findings) {
				if f.Code == "" || f.Message == "" {
					t.Errorf("empty finding %d: %+v", i, f)
				}
			}
			return
		}
		if o == nil || slices.ContainsFunc(o.Lines, func(l order.Line) bool { return l.Quantity < 1 || l.Quantity > order.MaxQuantity }) {
			t.Errorf("taken without an order: %+v", o)
		}
	})
}

func TestFindingsOfOneFieldComeOnce(t *testing.T) {
	one := func(pointer, code string) catalog.Finding {
		return catalog.Finding{Pointer: pointer, Code: code, Message: "x"}
	}
	got := together(
		[]catalog.Finding{one("/po", "wrong-type"), one("/lines/1", "wrong-type")},
		[]catalog.Finding{one("/po", "po.missing"), one("/lines/1/quantity", "a"), one("/lines/10/quantity", "b"), one("", "c")})
	var codes []string
	for _, f := range got {
		codes = append(codes, f.Code)
	}
	if !slices.Equal(codes, []string{"wrong-type", "c", "wrong-type", "b"}) {
		t.Errorf("%v", codes)
	}
	if n := len(shown(make([]catalog.Finding, maxFindings+50))); n != maxFindings {
		t.Errorf("%d findings shown", n)
	}
	if f := shown([]catalog.Finding{{Nearest: "a"}}); !slices.Equal(f[0].Nearest, []string{"a"}) {
		t.Errorf("%+v", f)
	}
}
