package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"billwright/api"
	"billwright/bom"
	"billwright/bom/order"
)

// The interface's replies, as far as the page reads them.
type (
	dealerRow struct {
		Dealer     string `json:"dealer"`
		Name       string `json:"name"`
		Terms      string `json:"terms"`
		CreditHold bool   `json:"credit_hold"`
	}
	productRow struct {
		Product    string  `json:"product"`
		Name       string  `json:"name"`
		Collection string  `json:"collection"`
		LeadDays   int     `json:"lead_days"`
		LastOrder  *string `json:"last_order"`
		Successor  *string `json:"successor"`
	}
	lineOffer struct {
		Product       string        `json:"product"`
		Name          string        `json:"name"`
		Attributes    []offered     `json:"attributes"`
		Contradiction *reason       `json:"contradiction"`
		NearestOrder  []change      `json:"nearest_order"`
		Refuses       []mayRefuse   `json:"may_still_refuse"`
		Findings      []api.Finding `json:"findings"`
	}
	offered struct {
		Attribute       string        `json:"attribute"`
		Name            string        `json:"name"`
		Picked          string        `json:"picked"`
		Asked           string        `json:"asked"`
		NotAskedBecause *reason       `json:"not_asked_because"`
		Default         string        `json:"default"`
		DefaultFits     bool          `json:"default_fits"`
		Choices         []offeredWord `json:"choices"`
		Unlisted        *offeredWord  `json:"unlisted"`
		Intervals       []interval    `json:"intervals"`
		Gaps            []gap         `json:"gaps"`
	}
	offeredWord struct {
		Choice  string  `json:"choice"`
		Name    string  `json:"name"`
		Left    bool    `json:"left"`
		Because *reason `json:"because"`
	}
	interval struct{ From, To string }
	gap      struct {
		From, To string
		Because  *reason `json:"because"`
	}
	reason struct {
		Picks []string     `json:"picks"`
		Rules []reasonRule `json:"rules"`
	}
	reasonRule struct {
		Kind string `json:"kind"`
		Rule string `json:"rule"`
		Says string `json:"says"`
	}
	change struct {
		Pointer string  `json:"pointer"`
		Value   *string `json:"value"`
		Leave   bool    `json:"leave_out"`
		Says    string  `json:"says"`
	}
	mayRefuse struct {
		What string `json:"what"`
		Says string `json:"says"`
	}
)

// offer asks what may still be chosen on a line. The picks of the attributes in
// keep stay in the nearest order. Refused, it gives findings.
func (v *visit) offer(l askedLine, keep ...string) (*lineOffer, []api.Finding, error) {
	body, err := json.Marshal(map[string]any{"lines": []any{struct {
		Product       string            `json:"product"`
		Configuration map[string]string `json:"configuration,omitempty"`
		Keep          []string          `json:"keep,omitempty"`
	}{l.Product, l.Configuration, keep}}})
	if err != nil {
		return nil, nil, err
	}
	a, err := v.ask(http.MethodPost, "/v1/choices", body)
	if err != nil {
		return nil, nil, err
	}
	if !a.ok() {
		if a.status == http.StatusUnprocessableEntity {
			return nil, a.Errors, nil
		}
		return nil, nil, a
	}
	var got struct {
		Lines []lineOffer `json:"lines"`
	}
	if err := json.Unmarshal(a.body.Bytes(), &got); err != nil || len(got.Lines) != 1 {
		return nil, nil, fmt.Errorf("read what may be chosen: %d lines, %w", len(got.Lines), err)
	}
	return &got.Lines[0], nil, nil
}

// reckoning is what an order comes to so far.
type reckoning struct {
	Order *order.Document
	Bill  *bom.Bill
	// Findings are all of them; the order and the bill are then of the rest, and
	// Without tells what was left out. They are nil when nothing could be reckoned.
	Findings []api.Finding
	Without  []string
	// Kept are the places of the lines that were reckoned.
	Kept []int
}

// line is a line as it was reckoned, by its place; nil where it was left out.
func (r *reckoning) line(at int) *order.DocumentLine {
	if i := slices.Index(r.Kept, at); r.Order != nil && i >= 0 && i < len(r.Order.Lines) {
		return &r.Order.Lines[i]
	}
	return nil
}

// reckon asks what an order comes to. One that does not hold is asked again
// without what is at fault, so that there is a price and a promise so far.
func (v *visit) reckon(a asked) (*reckoning, error) {
	whole := slices.DeleteFunc(slices.Clone(a.Lines), func(l askedLine) bool { return l.Product == "" })
	r := &reckoning{}
	for i := range whole {
		r.Kept = append(r.Kept, i)
	}
	findings, err := v.check(a, r)
	if err != nil || findings == nil || len(whole) == 0 || a.Dealer == "" {
		r.Findings = findings
		return r, err
	}
	r.Findings = findings
	a.Lines = whole
	less, without := a.without(findings)
	if len(less.Lines) > 0 {
		if findings, err = v.check(less, r); err != nil || findings == nil {
			r.Without = without
			return r, err
		}
	}
	less, without = a.clone(), nil
	less.Requested = ""
	for i := len(less.Lines) - 1; i >= 0; i-- {
		if slices.ContainsFunc(r.Findings, func(f api.Finding) bool { line, _ := rowOf(f.Pointer); return line == i }) {
			less.Lines, r.Kept = slices.Delete(less.Lines, i, i+1), slices.Delete(r.Kept, i, i+1)
			without = append([]string{"line " + strconv.Itoa(i+1)}, without...)
		}
	}
	if len(less.Lines) == 0 {
		return r, nil
	}
	_, err = v.check(less, r)
	r.Without = without
	return r, err
}

// without is the order without what findings are about, and what that is.
func (a asked) without(findings []api.Finding) (asked, []string) {
	a = a.clone()
	var names []string
	for _, f := range findings {
		line, row := rowOf(f.Pointer)
		switch {
		case line < 0 && row == rowRequested:
			a.Requested = ""
		case line < 0 || line >= len(a.Lines):
		case row == rowQuantity:
			a.Lines[line].Quantity = "1"
			names = append(names, fmt.Sprintf("the pieces of line %d", line+1))
		case len(row) > 2 && row[:2] == attribute && a.Lines[line].Configuration[row[2:]] != "":
			delete(a.Lines[line].Configuration, row[2:])
			names = append(names, fmt.Sprintf("what was typed for %s", f.Pointer[len("/lines/0/configuration/"):]))
		}
	}
	return a, names
}

// check asks once; findings are nil when the order holds.
func (v *visit) check(a asked, into *reckoning) ([]api.Finding, error) {
	reply, err := v.ask(http.MethodPost, "/v1/checks", a.body(""))
	if err != nil {
		return nil, err
	}
	if reply.status == http.StatusUnprocessableEntity || reply.status == http.StatusBadRequest {
		if len(reply.Errors) == 0 {
			return []api.Finding{{Message: reply.Detail}}, nil
		}
		return reply.Errors, nil
	}
	if !reply.ok() {
		return nil, reply
	}
	var got struct {
		Order order.Document `json:"order"`
		Bill  bom.Bill       `json:"bill"`
	}
	if err := json.Unmarshal(reply.body.Bytes(), &got); err != nil {
		return nil, fmt.Errorf("read a check: %w", err)
	}
	into.Order, into.Bill = &got.Order, &got.Bill
	return nil, nil
}
