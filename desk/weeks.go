package desk

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/catalog/calendar"
)

// weeksAhead is how many weeks the strip of weeks shows.
const weeksAhead = 7

// weekPage is the body of the page of one week.
type weekPage struct {
	Strip  weekStrip
	Week   string
	Monday calendar.Date
	Kinds  []kindOf
	// Kind is the only kind shown, "" for all.
	Kind  string
	Row   *need // the one in focus, nil in an empty week
	Pegs  []peg
	Plan  *cutPlan // of what is cut from bars or sheets
	Stock string   // what was counted of it
	// Purchases are what was written down of it, one by one.
	Purchases []purchaseShown
	Pulls     []madePull
	// Pulled tells that the week was just pulled, Just by which pulls: none where
	// there was nothing new.
	Pulled bool
	Just   []madePull
	// May tells that the person may pull and buy; Key names a form's act, so that
	// sending it twice does it once.
	May     bool
	Key     string
	Entered entry
	Says    []string // what the interface refused
}

// weekStrip is the weeks ahead, with what waits in each.
type weekStrip struct {
	Late   int // items of the weeks before this one too
	Now    bool
	Before string
	After  string
	Weeks  []weekWaiting
}

type weekWaiting struct {
	Week    string        `json:"week"`
	Monday  calendar.Date `json:"monday"`
	Items   int           `json:"items"`
	ToPull  int           `json:"to_pull"`
	Surplus int           `json:"surplus"`
	NotFirm int           `json:"not_firm"`
	Late    int           `json:"late"`
	Closed  []struct {
		Day calendar.Date `json:"day"`
		Why string        `json:"why"`
	} `json:"closed"`
	Here bool `json:"-"`
}

// Name is the week without its year: W50.
func (w *weekWaiting) Name() string { return w.Week[5:] }

// Says is what waits, in a few words.
func (w *weekWaiting) Says() string {
	var says []string
	if w.ToPull > 0 {
		says = append(says, fmt.Sprint(w.ToPull, plural(w.ToPull, " row", " rows"), " to pull"))
	}
	if w.Surplus > 0 {
		says = append(says, fmt.Sprint(w.Surplus, " surplus"))
	}
	if n := len(w.Closed); n > 0 {
		says = append(says, fmt.Sprint("closed ", n, plural(n, " day", " days")))
	}
	switch {
	case says != nil:
	case w.NotFirm > 0 && w.NotFirm == w.Items:
		says = append(says, "nothing is firm")
	case w.Items > 0:
		says = append(says, "all is pulled")
	default:
		says = append(says, "nothing needed")
	}
	return strings.Join(says, ", ")
}

// peg is one order's row that needs an item.
type peg struct {
	Order  string        `json:"order"`
	Dealer string        `json:"dealer"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Pieces int64         `json:"pieces"`
	Length string        `json:"length"`
	Width  string        `json:"width"`
	Amount amount        `json:"amount"`
	NeedBy calendar.Date `json:"need_by"`
	Firm   bool          `json:"firm"`
}

// Row is the row's address, Why that of the page that tells why it is so.
func (p *peg) Row() string { return bom.RowAddress(p.Line, p.Path) }
func (p *peg) Why() string { return whyAt(p.Order, p.Row()) }

// openWeeks opens the first of the weeks ahead in which something waits.
func (v *visit) openWeeks() {
	var ahead aheadReply
	if err := v.get("/v1/requirements?weeks=53", &ahead); err != nil {
		v.fail(err)
		return
	}
	at := slices.IndexFunc(ahead.Weeks, func(w weekWaiting) bool { return w.ToPull > 0 || w.Surplus > 0 })
	v.goTo("/weeks/" + ahead.Weeks[max(at, 0)].Week)
}

// aheadReply is what waits in the weeks ahead, as the interface tells it.
type aheadReply struct {
	Today calendar.Date `json:"today"`
	Weeks []weekWaiting `json:"weeks"`
}

// strip asks what waits in the weeks ahead. One that is not among them stands
// among weeks of its own.
func (v *visit) strip(week calendar.Week) (weekStrip, error) {
	var ahead aheadReply
	var late struct {
		Requirements []struct{} `json:"requirements"`
	}
	ask := func(from string) error {
		ahead = aheadReply{}
		return v.get(fmt.Sprintf("/v1/requirements?weeks=%d&from=%s", weeksAhead, from), &ahead)
	}
	here := func() int {
		return slices.IndexFunc(ahead.Weeks, func(w weekWaiting) bool { return w.Week == week.String() })
	}
	err := errors.Join(ask(""), v.get("/v1/requirements/now", &late))
	if err == nil && week.Valid() && here() < 0 {
		err = ask(week.Monday().AddDays(-14).Week().String())
	}
	if err != nil {
		return weekStrip{}, err
	}
	strip := weekStrip{Late: len(late.Requirements), Weeks: ahead.Weeks}
	if at := here(); at >= 0 {
		strip.Weeks[at].Here = true
		strip.Before, strip.After = week.Monday().AddDays(-7).Week().String(), week.Next().String()
	}
	return strip, nil
}

// showWeek shows one week with the row in focus.
func (v *visit) showWeek() {
	query := v.URL.Query()
	page := weekPage{Kind: query.Get("only"), Pulled: query.Get("pulled") != ""}
	v.week(http.StatusOK, page, query.Get("kind"), query.Get("item"))
}

// week shows a week on a page that may say already what was refused.
func (v *visit) week(status int, page weekPage, kind, item string) {
	page.Week = v.PathValue("week")
	if err := v.readWeek(&page, kind, item); err != nil {
		v.fail(err)
		return
	}
	waits, late := 0, 0
	for _, k := range page.Kinds {
		for i := range k.Needs {
			if n := &k.Needs[i]; !n.ToPull.Zero() {
				waits++
			}
			if k.Needs[i].Late {
				late++
			}
		}
	}
	title := "Week " + page.Week + ": " + fmt.Sprint(waits, plural(waits, " row", " rows"), " to pull")
	if late > 0 {
		title += fmt.Sprint(", ", late, " late")
	}
	if page.Pulled {
		title = pulledSays(page.Just) + " " + title
	}
	v.showAs(status, "week", shell{Title: title, Place: "/weeks", Body: &page, Keys: []key{{"↑ ↓", "walk rows"}, {"←", "week before"}, {"→", "week after"}, {"F8", "next late"}, {"F9", "why"}}})
}

// readWeek asks for all that the page shows.
func (v *visit) readWeek(page *weekPage, kind, item string) error {
	at := "/v1/requirements/" + url.PathEscape(page.Week)
	var week struct {
		Monday       calendar.Date `json:"monday"`
		Requirements []need        `json:"requirements"`
	}
	if err := v.get(at+"?kind="+url.QueryEscape(page.Kind), &week); err != nil {
		return err
	}
	var err error
	if page.Strip, err = v.strip(week.Monday.Week()); err != nil {
		return err
	}
	if page.Pulls, err = v.pullsOf(page.Week); err != nil {
		return err
	}
	page.Just = justPulled(page.Pulls, v.URL.Query().Get("pulled"))
	page.Monday, page.Kinds = week.Monday, byKind(week.Requirements)
	page.May, page.Key = v.person.Has(buyers...), newKey()
	var all []need
	for _, k := range page.Kinds {
		all = append(all, k.Needs...)
	}
	if page.Row = inFocus(all, kind, item); page.Row == nil {
		return nil
	}
	return v.readRow(page)
}

// readRow asks for what is known of the row in focus.
func (v *visit) readRow(page *weekPage) error {
	n := page.Row
	var pegs struct {
		Pegs []peg `json:"pegs"`
	}
	if err := v.get("/v1/requirements/"+page.Week+"/pegs?"+url.Values{"kind": {n.Kind}, "item": {n.Item}}.Encode(), &pegs); err != nil {
		return err
	}
	page.Pegs = pegs.Pegs
	if n.Cut() {
		plan, err := v.planOf(page.Week, n)
		if err != nil {
			return err
		}
		page.Plan = plan
	}
	var err error
	if page.Purchases, err = v.purchasesOf(page.Week, n.Kind, n.Item); err != nil {
		return err
	}
	page.Stock, err = v.stockOf(n)
	return err
}

// In tells whether a row is the one in focus.
func (p *weekPage) In(n need) bool {
	return p.Row != nil && p.Row.Kind == n.Kind && p.Row.Item == n.Item && p.Row.Amount.Unit() == n.Amount.Unit()
}

// Days says which days the week's working days are, as people do.
func (p *weekPage) Days() string {
	friday := p.Monday.AddDays(4)
	from := fmt.Sprint(p.Monday.Day)
	if p.Monday.Month != friday.Month {
		from += " " + p.Monday.Month.String()
	}
	return fmt.Sprint(from, " to ", friday.Day, " ", friday.Month, " ", friday.Year)
}

// lateNow is the body of the page of what should be here by now.
type lateNow struct {
	Strip weekStrip
	Today calendar.Date
	Kinds []kindOf
}

// showNow shows what should have been here before today.
func (v *visit) showNow() {
	var late struct {
		Today        calendar.Date `json:"today"`
		Requirements []need        `json:"requirements"`
	}
	if err := v.get("/v1/requirements/now", &late); err != nil {
		v.fail(err)
		return
	}
	strip, err := v.strip(calendar.Week{})
	if err != nil {
		v.fail(err)
		return
	}
	strip.Now, strip.After = true, strip.Weeks[0].Week
	n := len(late.Requirements)
	v.show("now", shell{Title: fmt.Sprint(n, plural(n, " row", " rows"), " late"), Place: "/weeks", Body: lateNow{strip, late.Today, byKind(late.Requirements)},
		Keys: []key{{"↑ ↓", "walk rows"}, {"→", "week after"}}})
}

// weekFile hands on a week, or a plan of it, as a file for other programs.
func (v *visit) weekFile() {
	what, form, _ := strings.Cut(v.PathValue("file"), ".")
	if what == "cut-list" && form == "pdf" {
		v.print("/v1/requirements/" + url.PathEscape(v.PathValue("week")) + "/cut-list")
		return
	}
	at, found := map[string]string{"requirements": "", "bars": "/bars", "sheets": "/sheets"}[what]
	if !found {
		v.noPage()
		return
	}
	v.handOn("/v1/requirements/"+url.PathEscape(v.PathValue("week"))+at, v.PathValue("week")+"-"+what, form)
}

// forms are the forms of a table that the interface gives to other programs.
var forms = []string{"csv", "xlsx"}

// handOn hands on a table of the interface as a file.
func (v *visit) handOn(path, name, form string) {
	if !slices.Contains(forms, form) {
		v.noPage()
		return
	}
	query := v.URL.Query()
	query.Set("format", form)
	a, err := v.ask(http.MethodGet, path+"?"+query.Encode(), nil)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		v.fail(err)
		return
	}
	h := v.w.Header()
	h.Set("Content-Type", a.header.Get("Content-Type"))
	h.Set("Content-Disposition", `attachment; filename="`+name+"."+form+`"`)
	_, _ = v.w.Write(a.body.Bytes())
}
