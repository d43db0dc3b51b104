package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/calendar"
)

// whyAt is the address of why a row of an order's bill is as it is.
func whyAt(number, row string) string {
	return (&url.URL{Path: "/orders/" + number + "/why/" + row}).EscapedPath()
}

// whyPage is the body of the page that tells why a row is as it is.
type whyPage struct {
	Order   string `json:"order"`
	Version int    `json:"bill_version"`
	bom.Why
	// Query keeps to the version of the order that the page is about.
	Query  string
	Crumbs []crumb
	Steps  []step
	// Own are the row's own values, as the bill has them.
	Own   []ownValue
	Needs []orderNeed
	// Choices are what the figures were chosen by, so what would change them.
	Choices []bom.WhyInput
	Events  []order.ShopEvent
	// Drawing is the row's picture, "" where the interface has none.
	Drawing template.HTML
}

// crumb is one step of the path to a row; Path is "" of the last.
type crumb struct{ Name, Path string }

// step is one figure, its text parted into what it was reckoned as and what that
// comes to.
type step struct {
	bom.WhyFigure
	Reckoned, Comes string
}

func stepsOf(figures []bom.WhyFigure) []step {
	steps := make([]step, len(figures))
	for i, f := range figures {
		steps[i] = step{WhyFigure: f, Comes: f.Text}
		if at := strings.LastIndex(f.Text, " = "); at >= 0 {
			steps[i].Reckoned, steps[i].Comes = f.Text[:at], f.Text[at+len(" = "):]
		}
		if steps[i].Formula == steps[i].Reckoned || steps[i].Formula == steps[i].Comes {
			steps[i].Formula = ""
		}
	}
	return steps
}

type ownValue struct{ Name, Value string }

type orderNeed struct {
	Week   string        `json:"week"`
	NeedBy calendar.Date `json:"need_by"`
	Kind   string        `json:"kind"`
	Item   string        `json:"item"`
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Pieces int           `json:"pieces"`
	Length string        `json:"length"`
	Amount amount        `json:"amount"`
	Firm   bool          `json:"firm"`
}

// At is the address of the week's row that it is a part of.
func (n *orderNeed) At() string { return (&need{Kind: n.Kind, Item: n.Item}).At(n.Week) }

// showWhy tells why a row of a bill is as it is.
func (v *visit) showWhy() {
	number, row := v.PathValue("number"), v.PathValue("row")
	at := "/v1/orders/" + url.PathEscape(number)
	page := &whyPage{}
	if version := v.URL.Query().Get("version"); version != "" {
		page.Query = "?version=" + url.QueryEscape(version)
	}
	rowAt := at + "/bill/rows/" + url.PathEscape(row) + "/why"
	if err := v.get(rowAt+page.Query, page); err != nil {
		v.fail(err)
		return
	}
	page.Crumbs, page.Steps, page.Own, page.Choices = page.crumbs(), stepsOf(page.Figures), ownValues(page.Values), chosen(page.Figures)
	err := v.hangsOn(page, at)
	if err == nil {
		page.Drawing, err = v.picture(rowAt, page.Query)
	}
	if err != nil {
		v.fail(err)
		return
	}
	v.show("why", shell{Title: "Why is " + page.Row + " so? Order " + page.Order, Place: "/orders", Body: page,
		Keys: []key{{"F8", "next step"}, {"Esc", "back"}}})
}

// hangsOn reads what hangs on the row: what it needs, and what was told of it.
func (v *visit) hangsOn(page *whyPage, at string) error {
	if page.Query != "" {
		return nil // what hangs on a row hangs on the version that stands
	}
	var needs struct {
		Requirements []orderNeed `json:"requirements"`
	}
	var told struct {
		Events []order.ShopEvent `json:"events"`
	}
	err := v.get(at+"/locks", &told)
	if v.person.Has(planners...) {
		err = errors.Join(err, v.get(at+"/requirements", &needs))
	}
	for _, n := range needs.Requirements {
		if n.Line == page.Line && n.Path == page.Path {
			page.Needs = append(page.Needs, n)
		}
	}
	for _, e := range told.Events {
		if e.Line == page.Line && (e.Path == "" || e.Path == page.Path) {
			page.Events = append(page.Events, e)
		}
	}
	return err
}

// picture asks for a drawing of the row. Many rows have none.
func (v *visit) picture(rowAt, query string) (template.HTML, error) {
	if query == "" {
		query = "?"
	} else {
		query += "&"
	}
	a, err := v.ask(http.MethodGet, rowAt+query+"format=svg", nil)
	if err != nil || !a.ok() || !strings.HasPrefix(a.header.Get("Content-Type"), "image/svg+xml") {
		return "", err
	}
	return drawing(a.body.Bytes()), nil
}

// crumbs leads from the order to the row, by the parts around it.
func (p *whyPage) crumbs() []crumb {
	steps := []crumb{{"order " + p.Order, "/orders/" + url.PathEscape(p.Order) + p.Query}}
	if p.Line > 0 {
		steps = append(steps, crumb{fmt.Sprintf("line %d, %s", p.Line, p.Product), steps[0].Path + fmt.Sprintf("#line-%d", p.Line)})
	}
	for part := range strings.SplitSeq(p.Path, "/") {
		steps = append(steps, crumb{Name: part})
	}
	return steps
}

// ownValues are the row's own, in the bill's order, those that are a list or a
// group told as the interface writes them.
func ownValues(values json.RawMessage) (own []ownValue) {
	d := json.NewDecoder(strings.NewReader(string(values)))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return own
		}
		var value json.RawMessage
		if err := d.Decode(&value); err != nil {
			return own
		}
		text := string(value)
		var plain string
		if json.Unmarshal(value, &plain) == nil {
			text = plain
		}
		own = append(own, ownValue{strings.ReplaceAll(fmt.Sprint(name), "_", " "), text})
	}
	return own
}

// chosen are the choices that the figures were reckoned by, each once.
func chosen(figures []bom.WhyFigure) (choices []bom.WhyInput) {
	for _, f := range figures {
		for _, in := range f.Inputs {
			if (in.From == "choice" || in.From == "default") && !slices.ContainsFunc(choices, func(c bom.WhyInput) bool { return c.Name == in.Name }) {
				choices = append(choices, in)
			}
		}
	}
	return choices
}
