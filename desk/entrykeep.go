package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"reflect"
	"strconv"
)

// keepDraft keeps what was said as a draft. A draft that somebody else changed
// meanwhile is not overwritten: the page is told what they said.
func (v *visit) keepDraft() {
	s, err := v.said()
	if err != nil {
		http.Error(v.w, "This was not understood.", http.StatusBadRequest)
		return
	}
	var r entryReply
	r.Theirs, err = v.keepSaid(&s)
	if err != nil {
		var refused *answer
		if errors.As(err, &refused) && refused.status == http.StatusUnprocessableEntity { // it cannot be kept yet, and says so beside its field
			v.json(entryReply{Said: s, Kept: "not yet"})
			return
		}
		v.failPart(err)
		return
	}
	r.Said, r.Kept = s, "kept"
	if r.Theirs != nil {
		r.Kept = "changed by somebody else"
		if r.Parts, err = v.clash(s, *r.Theirs); err != nil {
			v.failPart(err)
			return
		}
	}
	v.json(r)
}

// keepSaid stores what was said and writes its number and version into it. When
// somebody else changed the draft it stores nothing and gives what they said.
func (v *visit) keepSaid(s *said) (theirs *said, err error) {
	var a *answer
	if s.Number == "" {
		a, err = v.ask(http.MethodPost, "/v1/orders", s.Asked.body("draft"), "Idempotency-Key", s.Key+"-draft")
	} else {
		a, err = v.ask(http.MethodPut, "/v1/orders/"+url.PathEscape(s.Number), s.Asked.body(""), "If-Match", etag(s.Version))
	}
	switch {
	case err != nil:
		return nil, err
	case a.status == http.StatusPreconditionFailed:
		theirs, err := v.draft(s.Number)
		if err == nil && reflect.DeepEqual(theirs.Asked, s.Asked) { // this very save, whose answer was lost
			s.Version = theirs.Version
			return nil, nil
		}
		return theirs, err
	case !a.ok():
		return nil, a
	}
	var d struct {
		Number  string `json:"number"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(a.body.Bytes(), &d); err != nil {
		return nil, fmt.Errorf("read a draft: %w", err)
	}
	s.Number, s.Version = d.Number, d.Version
	return nil, nil
}

func etag(version int) string { return strconv.Quote(strconv.Itoa(version)) }

// clashRow is a place where two people said different things.
type clashRow struct{ Name, Mine, Theirs string }

// clash writes what somebody else said otherwise than this page.
func (v *visit) clash(mine, theirs said) (map[string]string, error) {
	a, b := mine.Asked.flat(), theirs.Asked.flat()
	var rows []clashRow
	for _, name := range sortedKeys(a, b) {
		if a[name] != b[name] {
			rows = append(rows, clashRow{name, a[name], b[name]})
		}
	}
	page := v.desk.pages["entry"]
	text, err := executed(page, "entry-clash", struct {
		Rows    []clashRow
		Version int
	}{rows, theirs.Version})
	return map[string]string{"entry-told": text}, err
}

// place makes an order of what was said: of the draft, which is kept first.
func (v *visit) place() {
	s, err := v.said()
	if err != nil {
		http.Error(v.w, "This was not understood.", http.StatusBadRequest)
		return
	}
	view, err := v.entryOf(s)
	if err != nil {
		v.failPart(err)
		return
	}
	if len(view.Settle) > 0 {
		line, row := view.step("settle")
		s.Line, s.Row = line, row
		v.toldAnd(s, fmt.Sprintf("Placing waits for %d to settle.", len(view.Settle)), "")
		return
	}
	theirs, err := v.keepSaid(&s)
	if err == nil && theirs != nil {
		parts, err := v.clash(s, *theirs)
		if err != nil {
			v.failPart(err)
			return
		}
		v.json(entryReply{Said: s, Kept: "changed by somebody else", Theirs: theirs, Parts: parts})
		return
	}
	var a *answer
	if err == nil {
		a, err = v.ask(http.MethodPost, "/v1/orders/"+url.PathEscape(s.Number)+"/place", []byte("{}"), "Idempotency-Key", s.Key+"-place-"+strconv.Itoa(s.Version), "If-Match", etag(s.Version))
	}
	var refused *answer
	switch {
	case errors.As(err, &refused):
		a = refused
	case err != nil:
		v.failPart(err)
		return
	}
	if a.ok() {
		v.json(entryReply{Said: s, Go: "/orders/" + url.PathEscape(s.Number)})
		return
	}
	v.refusedPlace(s, a)
}

// refusedPlace tells why no order was made. A purchase order number that was
// used is asked about beside it.
func (v *visit) refusedPlace(s said, a *answer) {
	link := ""
	if a.Existing != "" {
		link = a.Existing[len("/v1"):]
		s.Row = rowOverride
	}
	says := a.Detail
	if a.Existing != "" { // the page has a row for the reason, and names that
		says = "Order " + link[len("/orders/"):] + " is already under this purchase order number."
	}
	for _, f := range a.Errors {
		says += " " + f.Message
	}
	v.toldAnd(s, says, link)
}

func (v *visit) toldAnd(s said, says, link string) {
	view, err := v.entryOf(s)
	if err != nil {
		v.failPart(err)
		return
	}
	view.Told, view.Link = says, link
	text, err := executed(v.desk.pages["entry"], "entry-told", view)
	if err != nil {
		v.failPart(err)
		return
	}
	r := entryReply{Said: view.Said, Title: view.Title + ", " + v.desk.set.Name}
	if r.Parts, r.Rows, err = v.parts(view); err != nil {
		v.failPart(err)
		return
	}
	r.Parts["entry-told"] = text
	v.json(r)
}

// flat is an order as names and texts, for two to be held against each other.
func (a asked) flat() map[string]string {
	all := map[string]string{"Dealer": a.Dealer, "PO number": a.PO, "Sidemark": a.Sidemark, "Ship-to": a.ShipTo, "Requested": a.Requested, "Ships complete": yes(a.ShipComplete)}
	for i, l := range a.Lines {
		at := fmt.Sprintf("Line %d", i+1)
		all[at+", product"], all[at+", pieces"] = l.Product, string(l.Quantity)
		for name, text := range l.Configuration {
			all[at+", "+name] = text
		}
		for name, text := range l.Ways {
			all[at+", way of "+name] = text
		}
	}
	return all
}
