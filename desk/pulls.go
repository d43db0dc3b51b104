package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/calendar"
)

// madePull is a pull as the interface lists it.
type madePull struct {
	Pull int       `json:"pull"`
	Week string    `json:"week"`
	Kind string    `json:"kind"`
	Seq  int       `json:"seq"`
	Rows int       `json:"rows"`
	At   time.Time `json:"pulled_at"`
}

func (v *visit) pullsOf(week string) ([]madePull, error) {
	var list struct {
		Pulls []madePull `json:"pulls"`
	}
	err := v.get("/v1/pulls?week="+url.QueryEscape(week), &list)
	return list.Pulls, err
}

// justPulled are the pulls of an address such as 12,13; none for what is none.
func justPulled(pulls []madePull, numbers string) (just []madePull) {
	for _, p := range slices.Backward(pulls) {
		if slices.Contains(strings.Split(numbers, ","), strconv.Itoa(p.Pull)) {
			just = append(just, p)
		}
	}
	return just
}

// pulledSays tells what a pull took.
func pulledSays(pulls []madePull) string {
	if len(pulls) == 0 {
		return "Nothing new to pull."
	}
	rows := 0
	for _, p := range pulls {
		rows += p.Rows
	}
	return fmt.Sprintf("Pulled: %d %s in %d %s.", rows, plural(rows, "row", "rows"), len(pulls), plural(len(pulls), "pull", "pulls"))
}

// pullWeek pulls a week, kind by kind, since a pull is of one kind. What was
// pulled before a refusal stays pulled, and the page says so.
func (v *visit) pullWeek() {
	week, only := v.PathValue("week"), v.PostFormValue("only")
	kinds, err := v.kindsToPull(week, only)
	if err != nil {
		v.fail(err)
		return
	}
	var made []string
	for _, kind := range kinds {
		body, err := json.Marshal(map[string]string{"week": week, "kind": kind})
		if err != nil {
			v.fail(err)
			return
		}
		a, err := v.ask(http.MethodPost, "/v1/pulls", body, "Idempotency-Key", v.PostFormValue("key")+"-"+strings.ReplaceAll(kind, " ", "-"))
		if err != nil {
			v.fail(err)
			return
		}
		if !a.ok() {
			says := []string{fmt.Sprintf("The pull of %s was refused: %s", kind, a.Detail)}
			if made != nil {
				says = append(says, "These pulls were made before: "+strings.Join(made, ", ")+".")
			}
			v.week(a.status, weekPage{Kind: only, Says: says}, "", "")
			return
		}
		var p struct {
			New  bool `json:"new"`
			Pull int  `json:"pull"`
		}
		if err := json.Unmarshal(a.body.Bytes(), &p); err != nil {
			v.fail(fmt.Errorf("read a pull: %w", err))
			return
		}
		if p.New {
			made = append(made, strconv.Itoa(p.Pull))
		}
	}
	if made == nil {
		made = []string{"none"}
	}
	v.goTo("/weeks/" + url.PathEscape(week) + "?" + url.Values{"pulled": {strings.Join(made, ",")}, "only": {only}}.Encode())
}

// kindsToPull are the kinds of what a week needs, or was pulled.
func (v *visit) kindsToPull(week, only string) ([]string, error) {
	var reply struct {
		Requirements []need `json:"requirements"`
	}
	if err := v.get("/v1/requirements/"+url.PathEscape(week)+"?kind="+url.QueryEscape(only), &reply); err != nil {
		return nil, err
	}
	pulls, err := v.pullsOf(week)
	var kinds []string
	for i := range reply.Requirements {
		kinds = append(kinds, reply.Requirements[i].Kind)
	}
	for _, p := range pulls {
		if only == "" || p.Kind == only {
			kinds = append(kinds, p.Kind)
		}
	}
	slices.Sort(kinds)
	return slices.Compact(kinds), err
}

// listPulls shows the pulls, newest first.
func (v *visit) listPulls() {
	path := "/v1/pulls?limit=100"
	if before := v.URL.Query().Get("before"); before != "" {
		path += "&before=" + url.QueryEscape(before)
	}
	var list struct {
		Pulls []madePull `json:"pulls"`
	}
	if err := v.get(path, &list); err != nil {
		v.fail(err)
		return
	}
	body := struct {
		Pulls  []madePull
		Before int
	}{list.Pulls, 0}
	if n := len(list.Pulls); n == 100 {
		body.Before = list.Pulls[n-1].Pull
	}
	v.show("pulls", shell{Title: "Pulls", Place: "/weeks", Body: body, Keys: []key{{"↑ ↓", "walk pulls"}, {"Esc", "back"}}})
}

// pullPage is the body of the page of one pull.
type pullPage struct {
	Pull  int        `json:"pull"`
	Week  string     `json:"week"`
	Kind  string     `json:"kind"`
	Seq   int        `json:"seq"`
	At    *time.Time `json:"pulled_at"`
	Items []struct {
		Item   string `json:"item"`
		Pieces int64  `json:"pieces"`
		Amount amount `json:"amount"`
	} `json:"items"`
	Rows []pullRow `json:"rows"`

	// Plans are of all that was pulled of the week and kind until then, each of a
	// section or an item; none of what is not cut from bars or sheets.
	Plans   []*cutPlan    `json:"-"`
	Drawing template.HTML `json:"-"`
	// Goods is bars or sheets, "" for neither.
	Goods     string          `json:"-"`
	Purchases []purchaseShown `json:"-"`
	Shop      bool            `json:"-"` // what is pulled is cut by the week's cut list
}

// Proved tells of the plans together that no other costs less.
func (p *pullPage) Proved() bool {
	return !slices.ContainsFunc(p.Plans, func(c *cutPlan) bool { return len(c.Why) > 0 || c.Status == cutting.NotProved })
}

// purchaseShown is one thing that was written down of what is bought.
type purchaseShown struct {
	Item    string    `json:"item"`
	Act     string    `json:"act"`
	Amount  amount    `json:"amount"`
	Entered string    `json:"entered"`
	Note    string    `json:"note"`
	At      time.Time `json:"at"`
	By      string    `json:"by"`
}

// mostPurchases bounds what a page lists of them, newest first.
const mostPurchases = 100

// purchasesOf lists what was written down of a kind in a week, of one item or of
// all.
func (v *visit) purchasesOf(week, kind, item string) ([]purchaseShown, error) {
	var list struct {
		Purchases []purchaseShown `json:"purchases"`
	}
	query := url.Values{"week": {week}, "kind": {kind}, "item": {item}, "limit": {strconv.Itoa(mostPurchases)}}
	err := v.get("/v1/purchases?"+query.Encode(), &list)
	return list.Purchases, err
}

type pullRow struct {
	Order  string        `json:"order"`
	Dealer string        `json:"dealer"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Item   string        `json:"item"`
	Pieces int64         `json:"pieces"`
	Length string        `json:"length"`
	Amount amount        `json:"amount"`
	NeedBy calendar.Date `json:"need_by"`
	Mark   string        `json:"mark"`
}

// Why is the address of why the row is so.
func (r *pullRow) Why() string { return (&peg{Order: r.Order, Line: r.Line, Path: r.Path}).Why() }

// Row is the row's address.
func (r *pullRow) Row() string { return (&peg{Line: r.Line, Path: r.Path}).Row() }

// showPull shows a pull as it was made.
func (v *visit) showPull() {
	page := &pullPage{}
	if err := v.get("/v1/pulls/"+url.PathEscape(v.PathValue("pull")), page); err != nil {
		v.fail(err)
		return
	}
	if err := v.readPull(page); err != nil {
		v.fail(err)
		return
	}
	v.show("pull", shell{Title: fmt.Sprintf("Pull %d: %s of %s", page.Pull, page.Kind, page.Week), Place: "/weeks", Body: page,
		Keys: []key{{"↑ ↓", "walk rows"}, {"F9", "why"}, {"Esc", "back"}}})
}

// readPull reads what stands beside a pull: its plan and what was bought.
func (v *visit) readPull(page *pullPage) (err error) {
	if page.Purchases, err = v.purchasesOf(page.Week, page.Kind, ""); err != nil {
		return err
	}
	switch page.Kind {
	case bom.KindSteel:
		page.Goods, page.Shop = "bars", true
	default:
		page.Goods = "sheets"
	}
	page.Plans, page.Drawing, err = v.plansOf(fmt.Sprintf("/v1/pulls/%d/%s", page.Pull, page.Goods))
	var none *answer
	if errors.As(err, &none) && none.status == http.StatusNotFound { // it is not cut from sheets
		page.Goods, err = "", nil
	}
	return err
}

// pullFile hands on a pull, or its plan, as a file for other programs.
func (v *visit) pullFile() {
	number := v.PathValue("pull")
	what, form, _ := strings.Cut(v.PathValue("file"), ".")
	at, found := map[string]string{"pull": "", "bars": "/bars", "sheets": "/sheets"}[what]
	if !found {
		v.noPage()
		return
	}
	name := "pull-" + number
	if at != "" {
		name += "-" + what
	}
	v.handOn("/v1/pulls/"+url.PathEscape(number)+at, name, form)
}
