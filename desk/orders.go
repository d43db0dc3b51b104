package desk

import (
	"fmt"
	"net/url"
	"time"

	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// ordersPage is the body of the page that finds orders by anything.
type ordersPage struct {
	Orders []foundOrder
	Text   string
	// Next is the address of the next page, "" on the last.
	Next string
	Take bool // the person may take an order
}

// foundOrder is an order as the interface lists it.
type foundOrder struct {
	Number     string         `json:"number"`
	Dealer     string         `json:"dealer"`
	PO         string         `json:"po"`
	Sidemark   string         `json:"sidemark"`
	State      string         `json:"state"`
	Test       bool           `json:"test"`
	Promise    *calendar.Date `json:"promise"`
	Net        *unit.Money    `json:"net"`
	ReceivedAt time.Time      `json:"received_at"`
	Products   []string       `json:"products"`
}

// findOrders shows the orders that hold a text anywhere, newest first. When only
// one does, it opens it, but while the text is still typed.
func (v *visit) findOrders() {
	query := v.URL.Query()
	text, cursor := query.Get("text"), query.Get("cursor")
	var found struct {
		Orders []foundOrder `json:"orders"`
		Next   string       `json:"next"`
	}
	if err := v.get("/v1/orders?limit=50&text="+url.QueryEscape(text)+"&cursor="+url.QueryEscape(cursor), &found); err != nil {
		v.fail(err)
		return
	}
	if text != "" && cursor == "" && len(found.Orders) == 1 && !v.swaps() {
		v.goTo("/orders/" + url.PathEscape(found.Orders[0].Number))
		return
	}
	page := ordersPage{Orders: found.Orders, Text: text, Take: v.person.Has(takers...)}
	if found.Next != "" {
		page.Next = "/orders?text=" + url.QueryEscape(text) + "&cursor=" + url.QueryEscape(found.Next)
	}
	title := "Orders"
	if text != "" {
		title = fmt.Sprintf("Orders with “%s”", text)
	}
	keys := []key{{"F2", "find"}, {"↑ ↓", "walk orders"}, {"Enter", "open"}}
	if page.Take {
		keys = append(keys, key{"F7", "new order"})
	}
	v.show("orders", shell{Title: title, Place: "/orders", Body: page, Keys: keys})
}
