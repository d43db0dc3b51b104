package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/order"
)

// shopPage is the body of the page where the shop tells what it did to an order.
type shopPage struct {
	Order  order.Document
	Kinds  []eventKind
	Events []order.ShopEvent
	Rows   map[int][]string // by line
	May    bool
	Key    string
	Told   toldEvent
	Says   string // what was refused
}

// eventKind is something that the shop may tell.
type eventKind struct {
	Event  string `json:"event"`
	Says   string `json:"says"`
	Scraps bool   `json:"scraps"`
}

// toldEvent is what was typed.
type toldEvent struct {
	Line, Unit, Pieces int
	Event, Path, Note  string
}

// Latest are the events of a line, the latest first.
func (p *shopPage) Latest(line int) []order.ShopEvent {
	var of []order.ShopEvent
	for _, e := range slices.Backward(p.Events) {
		if e.Line == line {
			of = append(of, e)
		}
	}
	return of
}

func (v *visit) showShop() { v.shop(http.StatusOK, shopPage{}) }

func (v *visit) shop(status int, page shopPage) {
	if err := v.readShop(&page); err != nil {
		v.fail(err)
		return
	}
	title := fmt.Sprintf("Order %s in the shop: %s", page.Order.Number, page.Order.State)
	v.showAs(status, "shop", shell{Title: title, Place: "/orders", Body: &page, Keys: []key{{"F8", "next line"}, {"Esc", "back"}}})
}

func (v *visit) readShop(page *shopPage) error {
	at := "/v1/orders/" + url.PathEscape(v.PathValue("number"))
	var told struct {
		Events []order.ShopEvent `json:"events"`
		Kinds  []eventKind       `json:"may_tell"`
	}
	var bill json.RawMessage
	if err := errors.Join(v.get(at, &page.Order), v.get(at+"/locks", &told), v.get(at+"/bill", &bill)); err != nil {
		return err
	}
	rows, err := bom.DocumentRows(bill)
	if err != nil {
		return err
	}
	page.Rows = map[int][]string{}
	for _, r := range rows {
		if !slices.Contains(page.Rows[r.Line], r.Path) {
			page.Rows[r.Line] = append(page.Rows[r.Line], r.Path)
		}
	}
	page.Events, page.Kinds, page.May, page.Key = told.Events, told.Kinds, v.person.Has(tellers...), newKey()
	return nil
}

// tellShop writes down what the shop did to a line. What is refused stands
// beside what was typed.
func (v *visit) tellShop() {
	number := func(name string) int {
		n, err := strconv.Atoi(strings.TrimSpace(v.PostFormValue(name)))
		if err != nil {
			return 0
		}
		return n
	}
	e := toldEvent{Line: number("line"), Unit: number("unit"), Pieces: number("pieces"), Event: v.PostFormValue("event"), Path: v.PostFormValue("path"), Note: strings.TrimSpace(v.PostFormValue("note"))}
	body, err := json.Marshal(map[string]any{"event": e.Event, "line": e.Line, "unit": e.Unit, "path": e.Path, "pieces": e.Pieces, "note": e.Note})
	if err != nil {
		v.fail(err)
		return
	}
	a, err := v.ask(http.MethodPost, "/v1/orders/"+url.PathEscape(v.PathValue("number"))+"/events", body,
		"If-Match", `"`+v.PostFormValue("version")+`"`, "Idempotency-Key", v.PostFormValue("key"))
	switch {
	case err != nil:
		v.fail(err)
	case a.ok():
		v.goTo("/orders/" + url.PathEscape(v.PathValue("number")) + "/shop#line-" + strconv.Itoa(e.Line))
	case a.status == http.StatusPreconditionFailed:
		v.shop(a.status, shopPage{Told: e, Says: "The order was changed meanwhile. It is shown as it stands now; tell it again if it still holds."})
	default:
		says := []string{}
		for i := range a.Errors {
			says = append(says, a.Errors[i].Message)
		}
		if len(says) == 0 {
			says = append(says, a.Detail)
		}
		v.shop(a.status, shopPage{Told: e, Says: strings.Join(says, " ")})
	}
}
