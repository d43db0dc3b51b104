package desk

import (
	"fmt"
	"net/http"
	"net/url"

	"billwright/bom/order"
)

// showAcknowledgment shows what the dealer is told was understood: every choice,
// the defaulted ones marked.
func (v *visit) showAcknowledgment() {
	number := url.PathEscape(v.PathValue("number"))
	query := ""
	if n := v.URL.Query().Get("version"); n != "" {
		query = "?version=" + url.QueryEscape(n)
	}
	var a order.Acknowledgment
	if err := v.get("/v1/orders/"+number+"/acknowledgment"+query, &a); err != nil {
		v.fail(err)
		return
	}
	v.show("acknowledgment", shell{Title: fmt.Sprintf("Acknowledgment %d of order %s", a.Version, a.Number), Place: "/orders", Body: a, Keys: []key{{"F2", "find"}, {"F8", "next line"}, {"Esc", "back"}}})
}

// showPaper hands on a paper of an order as PDF, to be printed.
func (v *visit) showPaper() {
	number, name := url.PathEscape(v.PathValue("number")), v.PathValue("paper")
	path := "/v1/orders/" + number + "/papers/" + url.PathEscape(name)
	switch name {
	case "acknowledgment", "labels":
		path = "/v1/orders/" + number + "/" + name
	}
	v.print(path)
}

// print hands on a paper as PDF.
func (v *visit) print(path string) {
	query := v.URL.Query()
	query.Set("format", "pdf")
	a, err := v.ask(http.MethodGet, path+"?"+query.Encode(), nil)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		v.fail(err)
		return
	}
	h := v.w.Header()
	h.Set("Content-Type", a.header.Get("Content-Type"))
	h.Set("Content-Disposition", a.header.Get("Content-Disposition"))
	_, _ = v.w.Write(a.body.Bytes())
}
