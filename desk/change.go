package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// changeForm is the body of the page where a change is asked for.
type changeForm struct {
	Order   order.Document
	Lines   []changeFormLine
	Locks   []order.Locked
	Refused *refusedAct
	Typed   url.Values
	Key     string
}

type changeFormLine struct {
	*order.DocumentLine
	Fields []changeField
}

// changeField is one attribute of a line that may be changed.
type changeField struct {
	Name, Label, Now string
	Locked           string
	Choices          []offeredWord
}

// askChange shows what may be changed of an order, with what is locked.
func (v *visit) askChange() { v.changeForm(nil) }

func (v *visit) changeForm(refused *answer) {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	form := changeForm{Refused: refusedBy(refused), Typed: v.PostForm, Key: newKey()}
	var locks struct {
		Locks []order.Locked `json:"locks"`
	}
	err := v.get(at, &form.Order)
	if err == nil {
		err = v.get(at+"/locks", &locks)
	}
	if err != nil {
		v.fail(err)
		return
	}
	form.Locks = locks.Locks
	for i := range form.Order.Lines {
		l := &form.Order.Lines[i]
		line := changeFormLine{DocumentLine: l}
		offer, _, err := v.offer(askedOf(&form.Order).Lines[i])
		if err != nil {
			v.fail(err)
			return
		}
		for _, s := range l.Configuration {
			f := changeField{Name: fmt.Sprintf("line.%d.%s", l.Line, s.Attribute), Label: s.Name, Now: s.Value, Locked: lockOn(locks.Locks, l.Line, s.Attribute)}
			if offer != nil {
				for _, a := range offer.Attributes {
					if a.Attribute == s.Attribute {
						f.Choices = a.Choices
					}
				}
			}
			line.Fields = append(line.Fields, f)
		}
		form.Lines = append(form.Lines, line)
	}
	status := http.StatusOK
	if refused != nil {
		status = refused.status
	}
	v.showAs(status, "change", shell{Title: "Change order " + form.Order.Number, Place: "/orders", Body: form, Keys: []key{{"F2", "find"}, {"F8", "next line"}, {"Esc", "back"}, {"Ctrl Enter", "propose"}}})
}

// lockOn is what a lock says of an attribute of a line, "" where it is open.
func lockOn(locks []order.Locked, line int, name string) string {
	for _, l := range locks {
		if l.Line != line {
			continue
		}
		for _, a := range l.Attributes {
			if a == name {
				return l.Says
			}
		}
	}
	return ""
}

// proposeChange proposes what the form has otherwise than the order. Nothing of
// the order is changed by it.
func (v *visit) proposeChange() {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	var o order.Document
	if err := v.get(at, &o); err != nil {
		v.fail(err)
		return
	}
	a, err := v.tell(orderAct{"/changes", v.changed(&o)})
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		v.changeForm(a)
	default:
		var made changeRow
		if err := json.Unmarshal(a.body.Bytes(), &made); err != nil {
			v.fail(err)
			return
		}
		v.goTo(fmt.Sprintf("/orders/%s/changes/%d", url.PathEscape(o.Number), made.Change))
	}
}

// changed is the body of a change: what the form has otherwise.
func (v *visit) changed(o *order.Document) map[string]any {
	body := map[string]any{"reason": strings.TrimSpace(v.PostFormValue("reason"))}
	set := func(name, was string) {
		if now := strings.ReplaceAll(v.PostFormValue(name), "\r\n", "\n"); v.PostForm.Has(name) && now != was {
			if name == "requested" {
				now = dayTyped(now, time.Now())
			}
			body[name] = now
		}
	}
	set("sidemark", o.Sidemark)
	set("ship_to", o.ShipTo)
	requested := ""
	if o.Requested != nil {
		requested = o.Requested.String()
	}
	set("requested", requested)
	var lines []map[string]any
	for i := range o.Lines {
		l := &o.Lines[i]
		line, prefix := map[string]any{"line": l.Line}, fmt.Sprintf("line.%d.", l.Line)
		picks := map[string]string{}
		for _, s := range l.Configuration {
			if now := strings.TrimSpace(v.PostFormValue(prefix + s.Attribute)); v.PostForm.Has(prefix+s.Attribute) && now != s.Value {
				picks[s.Attribute] = now
			}
		}
		if len(picks) > 0 {
			line["configuration"] = picks
		}
		if n, err := strconv.Atoi(v.PostFormValue(prefix + "quantity")); err == nil && n != l.Quantity {
			line["quantity"] = n
		}
		if v.PostFormValue(prefix+"remove") != "" {
			line = map[string]any{"line": l.Line, "remove": true}
		}
		if len(line) > 1 {
			lines = append(lines, line)
		}
	}
	if lines != nil {
		body["lines"] = lines
	}
	return body
}

// proposal is a change as the interface tells it.
type proposal struct {
	Order      string     `json:"order"`
	Change     int        `json:"change"`
	Version    int        `json:"version"`
	Reason     string     `json:"reason"`
	At         time.Time  `json:"proposed_at"`
	By         string     `json:"proposed_by"`
	Decision   string     `json:"decision"`
	DecidedAt  *time.Time `json:"decided_at"`
	DecidedBy  string     `json:"decided_by"`
	Difference struct {
		Fields  []order.FieldChange `json:"fields"`
		Bill    []bom.RowChange     `json:"bill"`
		Price   []priceDifference   `json:"price"`
		Promise *struct {
			Was calendar.Date `json:"was"`
			Is  calendar.Date `json:"is"`
		} `json:"promise"`
		Requirements []needDifference `json:"requirements"`
		Holds        []order.Hold     `json:"holds"`
		Surplus      []struct {
			Line   int    `json:"line"`
			Path   string `json:"path"`
			Item   string `json:"item"`
			Pieces int    `json:"pieces"`
		} `json:"surplus"`
	} `json:"difference"`
}

type priceDifference struct {
	Line int         `json:"line"`
	Was  *unit.Money `json:"was"`
	Is   *unit.Money `json:"is"`
}

type needDifference struct {
	Line   int    `json:"line"`
	Path   string `json:"path"`
	Kind   string `json:"kind"`
	Item   string `json:"item"`
	Week   string `json:"week"`
	Pieces int    `json:"pieces"`
	Amount struct {
		Text string `json:"text"`
	} `json:"amount"`
}

// changePage is the body of the page of a proposed change: was, change, becomes.
type changePage struct {
	proposal
	Standing order.Document
	Rows     []differenceRow
	Bill     int // rows of the bill that are otherwise
	Locks    []order.Locked
	Net      priceDifference
	NetBy    string
	Days     int
	Refused  *refusedAct
	Key      string
	Decide   bool
}

// showChange shows all that a proposed change makes otherwise.
func (v *visit) showChange() { v.changePage(nil) }

func (v *visit) changePage(refused *answer) {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	page := changePage{Refused: refusedBy(refused), Key: newKey(), Decide: v.person.Has(changers...)}
	var locks struct {
		Locks []order.Locked `json:"locks"`
	}
	for path, into := range map[string]any{"/changes/" + url.PathEscape(v.PathValue("change")): &page.proposal, "": &page.Standing, "/locks": &locks} {
		if err := v.get(at+path, into); err != nil {
			v.fail(err)
			return
		}
	}
	page.Locks = locks.Locks
	page.reckon()
	title := fmt.Sprintf("Order %s: change order %d", page.Order, page.Change)
	keys := []key{{"F2", "find"}, {"F8", "next group"}, {"Esc", "back"}}
	if page.Decision == "" {
		title += ", proposed"
		keys = append(keys, key{"Ctrl Enter", "approve"})
	} else {
		title += ", " + page.Decision
		page.Decide = false
	}
	status := http.StatusOK
	if refused != nil {
		status = refused.status
	}
	v.showAs(status, "change-order", shell{Title: title, Place: "/orders", Body: page, Keys: keys})
}

// decideChange approves or declines a proposed change. Approving twice does
// nothing more.
func (v *visit) decideChange() {
	verb := "approve"
	if v.PostFormValue("do") == "decline" {
		verb = "decline"
	}
	a, err := v.tell(orderAct{"/changes/" + url.PathEscape(v.PathValue("change")) + "/" + verb, map[string]any{}})
	switch {
	case err != nil:
		v.fail(err)
	case !a.ok():
		v.changePage(a)
	case verb == "decline":
		v.goTo(v.URL.Path)
	default:
		v.goTo("/orders/" + url.PathEscape(v.PathValue("number")))
	}
}
