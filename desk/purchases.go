package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/saw"
)

// entry is what somebody typed of a purchase or a count, and what was wrong.
type entry struct {
	Act, Amount, Note, Counted string
	// Findings are by the field that they are about: amount, or counted.
	Findings map[string]string
}

// tellPurchase writes down that something was ordered, received or found short.
func (v *visit) tellPurchase() {
	kind, item := v.PostFormValue("kind"), v.PostFormValue("item")
	e := entry{Act: v.PostFormValue("act"), Amount: strings.TrimSpace(v.PostFormValue("amount")), Note: v.PostFormValue("note")}
	body, err := json.Marshal(map[string]string{"week": v.PathValue("week"), "kind": kind, "item": item, "act": e.Act, "amount": e.Amount, "note": e.Note})
	if err != nil {
		v.fail(err)
		return
	}
	a, err := v.ask(http.MethodPost, "/v1/purchases", body, "Idempotency-Key", v.PostFormValue("key"))
	v.told(a, err, kind, item, e, "amount")
}

// told shows the row again: as it stands now, or with what was refused beside
// what was typed.
func (v *visit) told(a *answer, err error, kind, item string, e entry, field string) {
	switch {
	case err != nil:
		v.fail(err)
	case a.ok():
		n := need{Kind: kind, Item: item}
		v.goTo(n.At(url.PathEscape(v.PathValue("week"))) + "#told")
	default:
		var says []string
		for i := range a.Errors {
			says = append(says, a.Errors[i].Message)
		}
		if says == nil {
			says = []string{a.Detail}
		}
		e.Findings = map[string]string{field: strings.Join(says, " ")}
		v.week(a.status, weekPage{Entered: e}, kind, item)
	}
}

// counted is one length or amount of what is on hand.
type counted struct {
	Length string `json:"length,omitempty"`
	Pieces int64  `json:"pieces,omitempty"`
	Amount string `json:"amount,omitempty"`
}

// countStock keeps a count of what is on hand in the place of the one before.
func (v *visit) countStock() {
	kind, item := v.PostFormValue("kind"), v.PostFormValue("item")
	e := entry{Counted: strings.TrimSpace(v.PostFormValue("counted"))}
	list, finding := readCounted(kind, e.Counted)
	if finding != "" {
		e.Findings = map[string]string{"counted": finding}
		v.week(http.StatusUnprocessableEntity, weekPage{Entered: e}, kind, item)
		return
	}
	body, err := json.Marshal(map[string]any{"counted": list})
	if err != nil {
		v.fail(err)
		return
	}
	a, err := v.ask(http.MethodPut, "/v1/stock/"+url.PathEscape(kind)+"/"+url.PathEscape(item), body)
	v.told(a, err, kind, item, e, "counted")
}

// readCounted reads a count as people write it: bars and offcuts as
// "20 ft x 3, 48 1/2 in", pieces as a number, anything else with its unit.
func readCounted(kind, text string) (list []counted, finding string) {
	list = []counted{}
	switch {
	case text == "" || text == "0":
	case kind == bom.KindSteel:
		offcuts, faults := saw.ParseOffcuts(text)
		var says []string
		for i := range faults {
			says = append(says, fmt.Sprintf("Length %d: %s.", faults[i].Line, faults[i].Said))
		}
		for _, o := range offcuts {
			list = append(list, counted{Length: o.Length.String(), Pieces: o.Count})
		}
		return list, strings.Join(says, " ")
	default:
		if n, err := strconv.ParseInt(text, 10, 64); err == nil {
			return append(list, counted{Pieces: n}), ""
		}
		list = append(list, counted{Amount: text})
	}
	return list, ""
}

// stockOf writes what was counted of an item as readCounted reads it.
func (v *visit) stockOf(n *need) (string, error) {
	var stock struct {
		Counted []counted `json:"counted"`
	}
	if err := v.get("/v1/stock/"+url.PathEscape(n.Kind)+"/"+url.PathEscape(n.Item), &stock); err != nil {
		return "", err
	}
	var parts []string
	for _, c := range stock.Counted {
		switch {
		case c.Length != "":
			parts = append(parts, fmt.Sprintf("%s x %d", c.Length, c.Pieces))
		case c.Amount != "":
			parts = append(parts, c.Amount)
		default:
			parts = append(parts, strconv.FormatInt(c.Pieces, 10))
		}
	}
	return strings.Join(parts, ", "), nil
}
