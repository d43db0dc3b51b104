package desk

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// cutPlan is a plan of bars or of sheets, as the interface tells it. Bars have a
// length only.
type cutPlan struct {
	Section     string         `json:"section"`
	Item        string         `json:"item"`
	Name        string         `json:"name"`
	Pieces      int64          `json:"pieces"`
	Status      cutting.Status `json:"status"`
	Bars        int64          `json:"bars"`
	LeastBars   *int64         `json:"least_bars"`
	Sheets      int64          `json:"sheets"`
	LeastSheets *int64         `json:"least_sheets"`
	Buy         []sold         `json:"buy"`
	Offcuts     []sold         `json:"offcuts"`
	Bound       planCost       `json:"bound"`
	Waste       string         `json:"waste"`
	Kept        string         `json:"kept"`
	Plan        []cutGoods     `json:"plan"`

	// Why is why there is no plan.
	Why []string `json:"-"`
	// Held: pieces on which a hold stands are in it. Others is what it comes to
	// with pieces that are not firm.
	Held   bool   `json:"-"`
	Others string `json:"-"`
	// Drawing is the interface's own.
	Drawing template.HTML `json:"-"`
	// Files are where the plan is had for other programs.
	Files []planFile `json:"-"`
}

// planFile is a plan as a file.
type planFile struct{ Name, At string }

// sold is bars or sheets of one size.
type sold struct {
	Length string `json:"length"`
	Width  string `json:"width"`
	Bars   int64  `json:"bars"`
	Sheets int64  `json:"sheets"`
}

// soldText writes bars and sheets by size: 7 × 240 in.
func soldText(all []sold) string {
	var parts []string
	for _, one := range all {
		parts = append(parts, parted(fmt.Sprint(one.Bars+one.Sheets))+" × "+sides(one.Length, one.Width))
	}
	return strings.Join(parts, " + ")
}

// sides writes the size of a piece, a bar or a sheet.
func sides(length, width string) string {
	if width == "" {
		return length
	}
	return length + " × " + width
}

type planCost struct {
	Price  *unit.Money `json:"price"`
	Bars   *int64      `json:"bars"`
	Sheets *int64      `json:"sheets"`
	Length *string     `json:"length"`
	Area   *string     `json:"area"`
}

// cutGoods is a bar or a sheet, or some that are cut alike.
type cutGoods struct {
	Bar      int64  `json:"bar"`
	Sheet    int64  `json:"sheet"`
	Count    int64  `json:"count"`
	Length   string `json:"length"`
	Width    string `json:"width"`
	Offcut   bool   `json:"offcut"`
	LeadDays int    `json:"lead_days"`
	// Cuts are of a bar in cutting order, Laid the pieces of a sheet.
	Cuts      []planCut `json:"cuts"`
	Laid      []planCut `json:"pieces"`
	Leftover  string    `json:"leftover"`
	Kept      bool      `json:"kept"`
	Leftovers []struct {
		Length string `json:"length"`
		Width  string `json:"width"`
		Kept   bool   `json:"kept"`
	} `json:"leftovers"`
}

// planCut is pieces that are cut one after another, or one that lies on a sheet.
type planCut struct {
	Count  int64  `json:"count"`
	Length string `json:"length"`
	Width  string `json:"width"`
	Mark   string `json:"mark"`
}

// Numbers names a bar or sheet, or those that are cut alike.
func (g *cutGoods) Numbers() string {
	first := g.Bar + g.Sheet
	if g.Count > 1 {
		return fmt.Sprintf("%d to %d, alike", first, first+g.Count-1)
	}
	return fmt.Sprint(first)
}

// Pieces are what comes out of it; pieces alike beside each other stand as one.
func (g *cutGoods) Pieces() []planCut {
	if g.Sheet == 0 {
		return g.Cuts
	}
	var runs []planCut
	for _, c := range g.Laid {
		c.Count = 1
		if n := len(runs); n > 0 && runs[n-1].Length == c.Length && runs[n-1].Width == c.Width && runs[n-1].Mark == c.Mark {
			runs[n-1].Count++
			continue
		}
		runs = append(runs, c)
	}
	return runs
}

// Size is a piece's, a bar's or a sheet's.
func (c *planCut) Size() string  { return sides(c.Length, c.Width) }
func (g *cutGoods) Size() string { return sides(g.Length, g.Width) }

// Left is what is left of it.
func (g *cutGoods) Left() string {
	what := func(kept bool) string {
		if kept {
			return ", keep"
		}
		return ", waste"
	}
	if g.Sheet == 0 {
		return g.Leftover + what(g.Kept)
	}
	var kept []string
	for _, l := range g.Leftovers {
		if l.Kept {
			kept = append(kept, sides(l.Length, l.Width)+what(true))
		}
	}
	if kept == nil {
		return "nothing worth keeping"
	}
	return strings.Join(kept, "; ")
}

// Title is what it is a plan of.
func (p *cutPlan) Title() string {
	title := "Bar plan: "
	if p.Item != "" {
		title = "Sheet plan: "
	}
	if p.Name != "" {
		return title + p.Name
	}
	return title + p.Section + p.Item
}

// Says is what the plan buys.
func (p *cutPlan) Says() string {
	says := soldText(p.Buy)
	if says == "" {
		says = "nothing to buy"
	}
	if used := soldText(p.Offcuts); used != "" {
		says += ", with " + used + " from the rack"
	}
	return says
}

// Proof is what is known of the plan, in words, and Proved its last word.
func (p *cutPlan) Proof() string {
	fewest := p.LeastBars
	if fewest == nil {
		fewest = p.LeastSheets
	}
	switch {
	case p.Status == cutting.NotProved:
		return "a better plan may exist, but none costs less than " + p.Bound.text() + ":"
	case fewest != nil && *fewest == p.Bars+p.Sheets:
		return fmt.Sprintf("no plan needs fewer than %d:", *fewest)
	}
	return "no plan costs less than " + p.Bound.text() + ":"
}

func (p *cutPlan) Proved() string {
	if p.Status == cutting.NotProved {
		return "not proved least"
	}
	return "proved least" + strings.TrimPrefix(string(p.Status), "proved")
}

func (c *planCost) text() string {
	switch {
	case c.Price != nil:
		return money(*c.Price)
	case c.Bars != nil:
		return fmt.Sprint(*c.Bars, plural(int(*c.Bars), " bar", " bars"))
	case c.Sheets != nil:
		return fmt.Sprint(*c.Sheets, plural(int(*c.Sheets), " sheet", " sheets"))
	case c.Length != nil:
		return *c.Length
	case c.Area != nil:
		return *c.Area
	}
	return ""
}

// planOf plans what a row of a week is cut from: of what is firm, unless nothing
// is, and with what is on hand, where it was counted.
func (v *visit) planOf(week string, n *need) (*cutPlan, error) {
	goods, query := "sheets", url.Values{"item": {n.Item}}
	if n.Kind == bom.KindSteel {
		goods, query = "bars", url.Values{"section": {n.Item}}
	}
	held := n.Held()
	if held {
		query.Set("held", "yes")
	}
	if n.OnHand != nil {
		query.Set("on_hand", "yes")
	}
	asked := query.Encode()
	plan, err := v.plan("/v1/requirements/"+url.PathEscape(week)+"/"+goods, query)
	if err != nil {
		return nil, err
	}
	plan.Held = held
	for _, form := range forms {
		plan.Files = append(plan.Files, planFile{strings.ToUpper(form), "/weeks/" + week + "/" + goods + "." + form + "?" + asked})
	}
	if all, firm := n.whole(); firm != nil && len(all.Why) == 0 {
		plan.Others = "with what is not firm: " + soldText(all.Buy)
	}
	return plan, nil
}

// plansOf are all plans of a stored document, each in words, those that could not
// be made with why, and one drawing of all.
func (v *visit) plansOf(path string) (plans []*cutPlan, drawn template.HTML, err error) {
	var stored struct {
		Bars, Sheets struct {
			Sections   []*cutPlan  `json:"sections"`
			Items      []*cutPlan  `json:"items"`
			NotPlanned []unplanned `json:"not_planned"`
		}
	}
	if err := v.get(path, &stored); err != nil {
		return nil, "", err
	}
	plans = append(stored.Bars.Sections, stored.Sheets.Items...)
	if len(plans) > 0 {
		a, err := v.ask(http.MethodGet, path+"?format=svg", nil)
		if err == nil && !a.ok() {
			err = a
		}
		if err != nil {
			return nil, "", err
		}
		drawn = drawing(a.body.Bytes())
	}
	for _, none := range append(stored.Bars.NotPlanned, stored.Sheets.NotPlanned...) {
		plans = append(plans, &cutPlan{Section: none.Section, Item: none.Item, Pieces: none.Pieces, Why: none.Why})
	}
	return plans, drawn, nil
}

// unplanned are pieces that have no plan, and why.
type unplanned struct {
	Section string   `json:"section"`
	Item    string   `json:"item"`
	Pieces  int64    `json:"pieces"`
	Why     []string `json:"why"`
}

// plan asks for the plan of one section or item, in words and drawn.
func (v *visit) plan(path string, query url.Values) (*cutPlan, error) {
	var planned struct {
		Sections   []*cutPlan  `json:"sections"`
		Items      []*cutPlan  `json:"items"`
		NotPlanned []unplanned `json:"not_planned"`
	}
	if err := v.get(path+"?"+query.Encode(), &planned); err != nil {
		return nil, err
	}
	plans := append(planned.Sections, planned.Items...)
	if len(plans) == 0 {
		plan := &cutPlan{Section: query.Get("section"), Item: query.Get("item"), Why: []string{"No piece is to be cut."}}
		for _, none := range planned.NotPlanned {
			plan.Pieces, plan.Why = none.Pieces, none.Why
		}
		return plan, nil
	}
	query.Set("format", "svg")
	a, err := v.ask(http.MethodGet, path+"?"+query.Encode(), nil)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		return nil, err
	}
	plans[0].Drawing = drawing(a.body.Bytes())
	return plans[0], nil
}

// drawing makes an SVG document of the interface's a part of a page. It has no
// style and no script of its own, and its texts are escaped where it is made.
func drawing(svg []byte) template.HTML {
	if at := bytes.Index(svg, []byte("<svg")); at > 0 {
		svg = svg[at:]
	}
	return template.HTML(svg) //nolint:gosec // the interface's own, see above
}
