package desk

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// barPlan is a plan of a section's bars, as the interface tells it.
type barPlan struct {
	Section   string         `json:"section"`
	Name      string         `json:"name"`
	Pieces    int64          `json:"pieces"`
	Status    cutting.Status `json:"status"`
	Bought    int64          `json:"bars"`
	LeastBars *int64         `json:"least_bars"`
	Buy       []barsSold     `json:"buy"`
	Offcuts   []barsSold     `json:"offcuts"`
	Bound     planCost       `json:"bound"`
	Waste     string         `json:"waste"`
	Kept      string         `json:"kept"`
	Bars      []planBar      `json:"plan"`

	// Why is why there is no plan.
	Why []string `json:"-"`
	// Held: pieces on which a hold stands are in it.
	Held bool `json:"-"`
	// Others is what the plan comes to with pieces that are not firm.
	Others string `json:"-"`
	// Drawing is the interface's own.
	Drawing template.HTML `json:"-"`
	// Sheet is where the plan is had as a table for other programs.
	Sheet string `json:"-"`
}

type planCost struct {
	Price  *unit.Money `json:"price"`
	Bars   *int64      `json:"bars"`
	Length *string     `json:"length"`
}

type planBar struct {
	Number   int64     `json:"bar"`
	Count    int64     `json:"count"`
	Length   string    `json:"length"`
	Offcut   bool      `json:"offcut"`
	LeadDays int       `json:"lead_days"`
	Cuts     []planCut `json:"cuts"`
	Leftover string    `json:"leftover"`
	Kept     bool      `json:"kept"`
}

type planCut struct {
	Count  int64  `json:"count"`
	Length string `json:"length"`
	Order  string `json:"order"`
	Row    string `json:"row"`
	Mark   string `json:"mark"`
}

// Numbers names a bar, or the bars that are cut alike.
func (b *planBar) Numbers() string {
	if b.Count > 1 {
		return fmt.Sprintf("%d to %d, alike", b.Number, b.Number+b.Count-1)
	}
	return fmt.Sprint(b.Number)
}

// Says is what the plan buys.
func (p *barPlan) Says() string {
	says := barsText(p.Buy)
	if says == "" {
		says = "no bar to buy"
	}
	if used := barsText(p.Offcuts); used != "" {
		says += ", with " + used + " from the rack"
	}
	return says
}

// Proof is what is known of the plan, in words.
func (p *barPlan) Proof() string {
	least := "no plan costs less than " + p.Bound.text()
	switch {
	case p.Status == cutting.NotProved:
		return "a better plan may exist, but none costs less than " + p.Bound.text() + ":"
	case p.LeastBars != nil && *p.LeastBars == p.Bought:
		least = fmt.Sprintf("no plan needs fewer than %d", p.Bought)
	}
	return least + ":"
}

// Proved is the proof's last word.
func (p *barPlan) Proved() string {
	how := strings.TrimPrefix(string(p.Status), "proved")
	if p.Status == cutting.NotProved {
		return "not proved least"
	}
	return "proved least" + how
}

func (c *planCost) text() string {
	switch {
	case c.Price != nil:
		return money(*c.Price)
	case c.Bars != nil:
		return fmt.Sprint(*c.Bars, plural(int(*c.Bars), " bar", " bars"))
	case c.Length != nil:
		return *c.Length
	}
	return ""
}

// planOf plans the bars of a row of steel of a week: of what is firm, unless
// nothing is, and with what is on hand, where it was counted.
func (v *visit) planOf(week string, n *need) (*barPlan, error) {
	query := url.Values{"section": {n.Item}}
	held := n.Held()
	if held {
		query.Set("held", "yes")
	}
	if n.OnHand != nil {
		query.Set("on_hand", "yes")
	}
	sheet := "/weeks/" + week + "/bars.csv?" + query.Encode()
	plan, err := v.plan("/v1/requirements/"+week+"/bars", query)
	if err != nil {
		return nil, err
	}
	plan.Held, plan.Sheet = held, sheet
	if n.FirmBars != nil && n.Bars != nil && len(n.Bars.Why) == 0 {
		plan.Others = "with what is not firm: " + barsText(n.Bars.Buy)
	}
	return plan, nil
}

// plan asks for the plan of one section, in words and drawn.
func (v *visit) plan(path string, query url.Values) (*barPlan, error) {
	var planned struct {
		Sections   []*barPlan `json:"sections"`
		NotPlanned []struct {
			Section string   `json:"section"`
			Pieces  int64    `json:"pieces"`
			Why     []string `json:"why"`
		} `json:"not_planned"`
	}
	if err := v.get(path+"?"+query.Encode(), &planned); err != nil {
		return nil, err
	}
	if len(planned.Sections) == 0 {
		plan := &barPlan{Section: query.Get("section"), Why: []string{"No piece is to be sawn."}}
		for _, none := range planned.NotPlanned {
			plan.Pieces, plan.Why = none.Pieces, none.Why
		}
		return plan, nil
	}
	plan := planned.Sections[0]
	query.Set("format", "svg")
	a, err := v.ask(http.MethodGet, path+"?"+query.Encode(), nil)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		return nil, err
	}
	plan.Drawing = drawing(a.body.Bytes())
	return plan, nil
}

// drawing makes an SVG document of the interface's a part of a page. It has no
// style and no script of its own, and its texts are escaped where it is made.
func drawing(svg []byte) template.HTML {
	if at := bytes.Index(svg, []byte("<svg")); at > 0 {
		svg = svg[at:]
	}
	return template.HTML(svg) //nolint:gosec // the interface's own, see above
}
