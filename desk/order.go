package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"billwright/bom"
	"billwright/bom/order"
)

// orderPage is the body of the page of one order.
type orderPage struct {
	Order    order.Document
	Headline []headline
	Locks    []order.Locked
	Versions []oldVersion
	// Superseded is the version that stands, where the page shows an older one.
	Superseded int
	Take       bool // the person may take orders
}

type oldVersion struct {
	Version int         `json:"version"`
	State   order.State `json:"state"`
	Act     order.Act   `json:"ended_by_act"`
	EndedAt time.Time   `json:"ended_at"`
}

// showOrder shows an order as it stands, or a version that stood.
func (v *visit) showOrder() {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	version := ""
	if n := v.URL.Query().Get("version"); n != "" {
		version = "?version=" + url.QueryEscape(n)
	}
	a, err := v.ask(http.MethodGet, at+version, nil)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		v.fail(err)
		return
	}
	var state struct {
		State order.State `json:"state"`
	}
	if err := json.Unmarshal(a.body.Bytes(), &state); err == nil && state.State == order.Drafted && version == "" && v.person.Has(takers...) {
		v.goTo("/orders/" + url.PathEscape(v.PathValue("number")) + "/edit")
		return
	}
	page := &orderPage{Take: v.person.Has(takers...)}
	if err := errors.Join(json.Unmarshal(a.body.Bytes(), &state), v.readOrder(at, version, a, state.State, page)); err != nil {
		v.fail(err)
		return
	}
	o := &page.Order
	title := fmt.Sprintf("Order %s: %s", o.Number, o.State)
	if n := len(o.Holds); n > 0 {
		title = fmt.Sprintf("%d %s: order %s, %s", n, plural(n, "hold", "holds"), o.Number, o.State)
	}
	if page.Superseded > 0 {
		title = fmt.Sprintf("Order %s, version %d: superseded", o.Number, o.Version)
	}
	v.show("order", shell{Title: title, Place: "/orders", Body: page, Keys: []key{{"F2", "find"}, {"F8", "next line"}, {"Esc", "back"}}})
}

// readOrder reads what the page shows beside the document itself.
func (v *visit) readOrder(at, version string, a *answer, state order.State, page *orderPage) error {
	if err := json.Unmarshal(a.body.Bytes(), &page.Order); err != nil {
		return err
	}
	var versions struct {
		Version  int          `json:"version"`
		Versions []oldVersion `json:"versions"`
	}
	if err := v.get(at+"/versions", &versions); err != nil {
		return err
	}
	page.Versions = versions.Versions
	if page.Order.Version != versions.Version {
		page.Superseded = versions.Version
	}
	if state == order.Drafted {
		return nil
	}
	var locks struct {
		Locks []order.Locked `json:"locks"`
	}
	var bill bom.Bill
	if err := errors.Join(v.get(at+"/locks", &locks), v.get(at+"/bill"+version, &bill)); err != nil {
		return err
	}
	page.Locks, page.Headline = locks.Locks, headlines(&bill)
	return nil
}
