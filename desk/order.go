package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
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
	Change     bool // he may propose changes
	Notes      []orderNote
	Material   []materialRow
	Checked    *materialCheck
	Changes    []changeRow
	Papers     []listedPaper
	// Query names the version that the papers are of, where it is an older one.
	Query string
	// Next is the act that takes the order on, "" where there is none.
	Next string
	// Kinds are the kinds of hold that are known of the order's catalog.
	Kinds   []string
	Refused *refusedAct
	Typed   url.Values
	Key     string
}

// listedPaper is the paper of a department.
type listedPaper struct {
	Department string `json:"department"`
	Name       string `json:"name"`
}

// orderNote is a note beside an order.
type orderNote struct {
	Audience     string    `json:"audience"`
	Line         int       `json:"line"`
	Text         string    `json:"text"`
	ChangesBuild bool      `json:"changes_build"`
	At           time.Time `json:"at"`
	From         string    `json:"from"`
	By           string    `json:"by"`
}

type oldVersion struct {
	Version int         `json:"version"`
	State   order.State `json:"state"`
	Act     order.Act   `json:"ended_by_act"`
	EndedAt time.Time   `json:"ended_at"`
	// Times is of how many versions this is the last: those of a draft are one.
	Times int `json:"-"`
}

// drafted makes one of the versions of a draft that follow one another: the last.
func drafted(all []oldVersion) []oldVersion {
	var kept []oldVersion
	for _, v := range all {
		v.Times = 1
		if last := len(kept) - 1; last >= 0 && v.State == order.Drafted && kept[last].State == order.Drafted {
			v.Times += kept[last].Times
			kept[last] = v
			continue
		}
		kept = append(kept, v)
	}
	return kept
}

// showOrder shows an order as it stands, or a version that stood.
func (v *visit) showOrder() { v.showOrderAnd(nil, nil) }

// showOrderWith shows it with the reason why an act on it was refused.
func (v *visit) showOrderWith(refused *answer) { v.showOrderAnd(refused, nil) }

func (v *visit) showOrderAnd(refused *answer, checked *materialCheck) {
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
	page := &orderPage{Take: v.person.Has(takers...), Change: v.person.Has(changers...), Refused: refusedBy(refused), Checked: checked, Typed: v.PostForm, Key: newKey()}
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
	keys := []key{{"F2", "find"}, {"F8", "next line"}, {"Esc", "back"}}
	if page.Next != "" {
		keys = append(keys, key{"Ctrl Enter", strings.ToLower(page.Next)})
	}
	status := http.StatusOK
	if refused != nil {
		status = refused.status
	}
	v.showAs(status, "order", shell{Title: title, Place: "/orders", Body: page, Keys: keys})
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
	page.Versions = drafted(versions.Versions)
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
	var papers struct {
		Papers []listedPaper `json:"papers"`
	}
	if err := v.get(at+"/papers"+version, &papers); err != nil {
		return err
	}
	page.Locks, page.Headline, page.Papers, page.Query = locks.Locks, headlines(&bill), papers.Papers, version
	if page.Superseded > 0 {
		return nil
	}
	return v.readBeside(at, page)
}

// readBeside reads what stands beside an order that stands: notes, customer's
// own material, changes, and what may be done next.
func (v *visit) readBeside(at string, page *orderPage) error {
	var notes struct {
		Notes []orderNote `json:"notes"`
	}
	var material struct {
		Rows []materialRow `json:"rows"`
	}
	if err := errors.Join(v.get(at+"/notes", &notes), v.get(at+"/own-material", &material)); err != nil {
		return err
	}
	page.Notes, page.Material = notes.Notes, material.Rows
	var err error
	if page.Changes, err = v.changesOf(at); err != nil {
		return err
	}
	if page.Take {
		page.Next = map[order.State]string{order.Received: "Accept", order.Accepted: "Release"}[page.Order.State]
	}
	return nil
}

// changesOf lists the proposed changes of an order, oldest first, as they came.
func (v *visit) changesOf(at string) ([]changeRow, error) {
	const limit = 100
	var all []changeRow
	for path := fmt.Sprintf("%s/changes?limit=%d", at, limit); ; {
		var page struct {
			Changes []changeRow `json:"changes"`
		}
		if err := v.get(path, &page); err != nil {
			return nil, err
		}
		if all = append(all, page.Changes...); len(page.Changes) < limit {
			slices.Reverse(all)
			return all, nil
		}
		path = fmt.Sprintf("%s/changes?limit=%d&before=%d", at, limit, all[len(all)-1].Change)
	}
}

// changeRow is a proposed change as the order's page lists it.
type changeRow struct {
	Change   int    `json:"change"`
	Reason   string `json:"reason"`
	Decision string `json:"decision"`
}
