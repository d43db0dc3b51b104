package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/google/uuid"

	"billwright/bom/order"
)

// entryAct is one thing that somebody did on the page.
type entryAct struct {
	// Row and Text are what was typed where; without Text nothing was.
	Row  string  `json:"row"`
	Text *string `json:"text"`
	// Set are several values at once, by row: the nearest that can be built.
	Set [][2]string `json:"set"`
	// Go says how it goes on: next to answer, after, before, settle, stay, or to
	// the row named.
	Go   string `json:"go"`
	To   string `json:"to"`
	Line *int   `json:"line"`
	// Remove takes a line out, by its place.
	Remove *int `json:"remove"`
}

// entryReply is what the page's script puts in place: parts by their ids, the
// rows in their order, and what was said, which it sends again with the next
// act.
type entryReply struct {
	Said  said              `json:"said"`
	Title string            `json:"title"`
	Rows  []string          `json:"rows"`
	Parts map[string]string `json:"parts"`
	// Go leads to another page.
	Go string `json:"go,omitempty"`
	// Kept tells that the draft is kept; Theirs that somebody else changed it.
	Kept   string `json:"kept,omitempty"`
	Theirs *said  `json:"theirs,omitempty"`
}

func newKey() string { return uuid.NewString() }

// newOrder is the page of a new order.
func (v *visit) newOrder() { v.showEntry(said{Key: newKey(), Row: rowDealer}) }

// copyOrder makes a draft of what an order asked for and goes on to its page.
func (v *visit) copyOrder() {
	a, err := v.ask(http.MethodPost, "/v1/orders/"+url.PathEscape(v.PathValue("number"))+"/copies", []byte("{}"), "Idempotency-Key", v.PostFormValue("key"))
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		v.showOrderWith(a)
	default:
		var made order.DraftDocument
		if err := json.Unmarshal(a.body.Bytes(), &made); err != nil {
			v.fail(fmt.Errorf("read a copy: %w", err))
			return
		}
		v.goTo("/orders/" + url.PathEscape(made.Number) + "/edit")
	}
}

// newForm gives the page's script a token of this session's, in the place of one
// that was signed out.
func (v *visit) newForm() {
	v.w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = v.w.Write([]byte(v.formToken()))
}

// editDraft is the page of a draft that was kept.
func (v *visit) editDraft() {
	s, err := v.draft(v.PathValue("number"))
	if err != nil {
		v.fail(err)
		return
	}
	v.showEntry(*s)
}

// draft reads a draft as it is kept.
func (v *visit) draft(number string) (*said, error) {
	a, err := v.ask(http.MethodGet, "/v1/orders/"+url.PathEscape(number), nil)
	if err != nil {
		return nil, err
	}
	if !a.ok() {
		return nil, a
	}
	var d order.DraftDocument
	if err := json.Unmarshal(a.body.Bytes(), &d); err != nil {
		return nil, fmt.Errorf("read a draft: %w", err)
	}
	if d.State != order.Drafted {
		return nil, &answer{status: http.StatusConflict, problem: problem{Title: "No draft any more", Detail: "Order " + d.Number + " is " + string(d.State) + "."}}
	}
	s := &said{Key: newKey(), Number: d.Number, Version: d.Version, Row: rowProduct}
	if err := json.Unmarshal(d.Request, &s.Asked); err != nil {
		return nil, fmt.Errorf("read a draft's request: %w", err)
	}
	if s.Asked.PO == "" { // as of a copy, which begins with it
		s.Row = rowPO
	}
	return s, nil
}

func (v *visit) showEntry(s said) {
	view, err := v.entryOf(s)
	if err != nil {
		v.fail(err)
		return
	}
	v.show("entry", shell{Title: view.Title, Place: "/orders", Body: view})
}

// said reads what the page sends.
func (v *visit) said() (said, error) {
	var s said
	err := json.Unmarshal([]byte(v.PostFormValue("said")), &s)
	return s, err
}

// act does one thing on the page and answers with the page as it then is.
func (v *visit) act() {
	s, err := v.said()
	var a entryAct
	if err = errors.Join(err, json.Unmarshal([]byte(v.PostFormValue("act")), &a)); err != nil {
		http.Error(v.w, "This was not understood.", http.StatusBadRequest)
		return
	}
	s.do(&a)
	if a.Text != nil && (a.Row == rowPO || a.Row == rowDealer) {
		if s.Under, err = v.under(&s); err != nil {
			v.failPart(err)
			return
		}
	}
	if a.Text != nil && a.Row == rowDealer {
		if s.Usual, err = v.usualShipTo(s.Asked.Dealer); err != nil {
			v.failPart(err)
			return
		}
	}
	view, err := v.entryOf(s)
	if err != nil {
		v.failPart(err)
		return
	}
	if a.Go != "" && a.Go != "stay" {
		line, row := view.step(a.Go)
		if line != view.Said.Line || row != view.Said.Row {
			s.Line, s.Row = line, row
			if view, err = v.reopen(view, s); err != nil {
				v.failPart(err)
				return
			}
		}
	}
	v.answerEntry(view)
}

// under finds the dealer's order that has the PO number already, "" where none of
// the newest that hold it has: placing asks the interface, which knows.
func (v *visit) under(s *said) (string, error) {
	if s.Asked.PO == "" || s.Asked.Dealer == "" {
		return "", nil
	}
	var found struct {
		Orders []foundOrder `json:"orders"`
	}
	a, err := v.ask(http.MethodGet, "/v1/orders?limit=50&text="+url.QueryEscape(s.Asked.PO), nil)
	if err != nil || !a.ok() { // what cannot be looked for is told when it is placed
		return "", err
	}
	if err := json.Unmarshal(a.body.Bytes(), &found); err != nil {
		return "", fmt.Errorf("read the orders under a PO: %w", err)
	}
	for _, o := range found.Orders {
		if o.Dealer == s.Asked.Dealer && order.FoldPO(o.PO) == order.FoldPO(s.Asked.PO) && o.Number != s.Number && !o.Test && o.State != string(order.Drafted) && o.State != string(order.Quoted) {
			return o.Number, nil
		}
	}
	return "", nil
}

// mostUsual bounds the orders of a dealer that are looked into for a ship-to.
const mostUsual = 5

// usualShipTo is the ship-to of the newest of a dealer's last orders that has one,
// in one line; "" where none has.
func (v *visit) usualShipTo(dealer string) (string, error) {
	var found struct {
		Orders []foundOrder `json:"orders"`
	}
	if dealer == "" {
		return "", nil
	}
	a, err := v.ask(http.MethodGet, fmt.Sprintf("/v1/orders?limit=%d&dealer=%s", mostUsual, url.QueryEscape(dealer)), nil)
	if err != nil || !a.ok() {
		return "", err
	}
	if err := json.Unmarshal(a.body.Bytes(), &found); err != nil {
		return "", fmt.Errorf("read a dealer's orders: %w", err)
	}
	for _, o := range found.Orders {
		var d struct {
			ShipTo string `json:"ship_to"`
		}
		if o.Test || o.State == string(order.Drafted) || o.State == string(order.Cancelled) {
			continue
		}
		if err := v.get("/v1/orders/"+url.PathEscape(o.Number), &d); err != nil {
			return "", err
		}
		if d.ShipTo = strings.Join(strings.FieldsFunc(d.ShipTo, func(r rune) bool { return r == '\n' || r == '\r' || r == '\t' }), ", "); d.ShipTo != "" {
			return d.ShipTo, nil
		}
	}
	return "", nil
}

// do changes what was said.
func (s *said) do(a *entryAct) {
	s.Row = a.Row
	if a.Text != nil {
		text := *a.Text
		if a.Row == rowRequested {
			text = dayTyped(text, time.Now())
		}
		s.set(a.Row, text)
	}
	for _, one := range a.Set {
		row := s.Row
		s.set(one[0], one[1])
		s.Row = row
	}
	if a.Remove != nil && *a.Remove >= 0 && *a.Remove < len(s.Asked.Lines) {
		s.Asked = s.Asked.clone()
		s.Asked.Lines = append(s.Asked.Lines[:*a.Remove], s.Asked.Lines[*a.Remove+1:]...)
		s.Line, s.Row = max(0, min(s.Line, len(s.Asked.Lines)-1)), rowProduct
	}
	if a.Line != nil {
		s.Line, s.Row = *a.Line, rowProduct
	}
	if a.To != "" {
		s.Row = a.To
	}
}

// reopen opens another row. On the same line nothing has to be reckoned anew.
func (v *visit) reopen(view *entryView, s said) (*entryView, error) {
	if s.Line != view.Said.Line {
		return v.entryOf(s)
	}
	view.building.s.Row = s.Row
	view.building.build()
	return view, nil
}

// failPart answers the script where a page would tell a failure.
func (v *visit) failPart(err error) {
	var refused *answer
	if errors.As(err, &refused) {
		http.Error(v.w, refused.Title+". "+refused.Detail, refused.status)
		return
	}
	v.desk.set.Log.ErrorContext(v.Context(), "part failed", "path", v.URL.Path, "error", err.Error())
	http.Error(v.w, "The desk failed. What you typed stays here.", http.StatusInternalServerError)
}

// answerEntry writes the parts of the page.
func (v *visit) answerEntry(view *entryView) { v.reply(view, entryReply{}) }

func (v *visit) reply(view *entryView, r entryReply) {
	r.Said, r.Title = view.Said, view.Title+", "+v.desk.set.Name
	var err error
	if r.Parts, r.Rows, err = v.parts(view); err != nil {
		v.failPart(err)
		return
	}
	v.json(r)
}

func (v *visit) json(reply any) {
	text, err := json.Marshal(reply)
	if err != nil {
		v.failPart(err)
		return
	}
	v.w.Header().Set("Content-Type", "text/json; charset=utf-8")
	_, _ = v.w.Write(text)
}

// parts writes the parts of the page that an act may change.
func (v *visit) parts(view *entryView) (parts map[string]string, rows []string, err error) {
	page := v.desk.pages["entry"]
	parts = map[string]string{}
	write := func(id, name string, data any) {
		var out bytes.Buffer
		if e := page.ExecuteTemplate(&out, name, data); e != nil {
			err = errors.Join(err, e)
		}
		parts[id] = strings.TrimSpace(out.String())
	}
	for _, name := range []string{"entry-top", "entry-lines", "entry-side", "entry-end"} {
		write(name, name, view)
	}
	for i := range view.Rows {
		id := "row-" + view.Rows[i].ID
		write(id, "entry-row", view.Rows[i])
		rows = append(rows, id)
	}
	return parts, rows, err
}

// near tells the nearest that can be built with a blocked value, and what it
// would cost and promise.
func (v *visit) near() {
	s, err := v.said()
	row, value := v.PostFormValue("row"), v.PostFormValue("value")
	code, isAttribute := strings.CutPrefix(row, attribute)
	if err != nil || !isAttribute || s.Line < 0 || s.Line >= len(s.Asked.Lines) {
		http.Error(v.w, "This was not understood.", http.StatusBadRequest)
		return
	}
	with := s
	with.Asked = s.Asked.clone()
	with.set(row, value)
	offer, _, err := v.offer(with.Asked.Lines[with.Line], code)
	if err != nil {
		v.failPart(err)
		return
	}
	data := struct {
		Near *nearOffer
		Says string
	}{}
	if offer != nil && offer.Contradiction != nil && len(offer.NearestOrder) > 0 {
		changes := append([]change{{Pointer: "/lines/0/configuration/" + code, Value: &value}}, offer.NearestOrder...)
		data.Near = near("", changes)
		data.Near.Says = near("", offer.NearestOrder).Says
		for _, a := range offer.Attributes {
			if a.Attribute == code {
				data.Near.With = v.PostFormValue("name")
			}
		}
		for _, c := range changes {
			_, r := rowOf(c.Pointer)
			text := ""
			if c.Value != nil {
				text = *c.Value
			}
			with.set(r, text)
		}
		if data.Says, err = v.costs(s.Asked, with.Asked); err != nil {
			v.failPart(err)
			return
		}
	}
	v.part("entry", "entry-near", data)
}

// costs tells what one order costs over another, and when it is promised.
func (v *visit) costs(was, becomes asked) (string, error) {
	before, err := v.reckon(was)
	if err != nil {
		return "", err
	}
	after, err := v.reckon(becomes)
	if err != nil || before.Order == nil || after.Order == nil || after.Findings != nil {
		return "", err
	}
	says := "the same price"
	if before.Order.Net == nil || after.Order.Net == nil {
		says = "to be quoted"
	} else if d, err := after.Order.Net.Sub(*before.Order.Net); err == nil && d != 0 {
		says = money(d) + " in all"
		if d > 0 {
			says = "+" + says
		}
	}
	if after.Order.Promise == before.Order.Promise {
		return says + ", same promise", nil
	}
	return says + ", promise " + day(after.Order.Promise), nil
}
