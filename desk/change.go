package desk

import (
	"fmt"
	"net/http"
	"net/url"
	"time"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// proposal is a change as the interface tells it.
type proposal struct {
	Order    string    `json:"order"`
	Change   int       `json:"change"`
	Version  int       `json:"version"`
	Reason   string    `json:"reason"`
	At       time.Time `json:"proposed_at"`
	By       string    `json:"proposed_by"`
	Decision string    `json:"decision"`
	Asked    struct {
		Repin bool `json:"repin"`
	} `json:"asked"`
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
		Overrides    []order.Override `json:"overrides"`
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

// LockSays is the sentence of a lock that stands on the order.
func (p changePage) LockSays(lock string) string {
	for _, l := range p.Locks {
		if l.Lock == lock {
			return l.Says
		}
	}
	return lock
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
