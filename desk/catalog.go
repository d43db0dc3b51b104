package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"time"

	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// catalogPage is the body of the page where the catalog is looked into. What is
// for engineers only is empty for others.
type catalogPage struct {
	InForce   int
	Products  []listedProduct
	Engineer  bool
	Revisions []listedRevision
}

type listedProduct struct {
	Product    string `json:"product"`
	Name       string `json:"name"`
	Collection string `json:"collection"`
	LeadDays   int    `json:"lead_days"`
	LastOrder  string `json:"last_order"`
	Successor  string `json:"successor"`
}

type listedRevision struct {
	Revision  int           `json:"revision"`
	Effective calendar.Date `json:"effective"`
	StoredAt  time.Time     `json:"stored_at"`
	StoredBy  string        `json:"stored_by"`
	InForce   bool          `json:"in_force"`
	// Before is the revision before it, 0 for the first.
	Before int `json:"-"`
}

// showCatalog shows the products, and the engineer his revisions.
func (v *visit) showCatalog() {
	page := catalogPage{Engineer: v.person.Has(engineers...)}
	var products struct {
		Revision int             `json:"revision"`
		Rows     []listedProduct `json:"rows"`
	}
	err := v.get("/v1/catalog/products", &products)
	page.InForce, page.Products = products.Revision, products.Rows
	if page.Engineer {
		var list struct {
			Revisions []listedRevision `json:"revisions"`
		}
		err = errors.Join(err, v.get("/v1/catalog/revisions", &list))
		for i := range list.Revisions {
			if i+1 < len(list.Revisions) {
				list.Revisions[i].Before = list.Revisions[i+1].Revision
			}
		}
		page.Revisions = list.Revisions
	}
	if err != nil {
		v.fail(err)
		return
	}
	v.show("catalog", shell{Title: fmt.Sprintf("Catalog: revision %d in force", page.InForce), Place: "/catalog", Body: page,
		Keys: []key{{"F2", "find an order"}, {"↑ ↓", "walk rows"}, {"F8", "next group"}}})
}

// productPage is a product with everything that may be chosen.
type productPage struct {
	Product    string `json:"product"`
	Name       string `json:"name"`
	Collection string `json:"collection"`
	LeadDays   int    `json:"lead_days"`
	Revision   int    `json:"revision"`
	Attributes []struct {
		Attribute string `json:"attribute"`
		Name      string `json:"name"`
		Choices   []struct {
			Choice string `json:"choice"`
			Name   string `json:"name"`
		} `json:"choices"`
		Length *struct {
			From, To   unit.Length
			StepInch   unit.Length   `json:"step_inch"`
			StepMetric unit.Length   `json:"step_metric"`
			Standard   []unit.Length `json:"standard"`
		} `json:"length"`
		Count     *struct{ From, To int } `json:"count"`
		Text      *struct{ Longest int }  `json:"text"`
		Default   string                  `json:"default"`
		AskedWhen string                  `json:"asked_when"`
	} `json:"attributes"`
	Rules []struct {
		Rule string `json:"rule"`
		Says string `json:"says"`
	} `json:"rules"`
	Engineer bool `json:"-"`
}

func (v *visit) showProduct() {
	page := &productPage{Engineer: v.person.Has(engineers...)}
	if err := v.get("/v1/catalog/products/"+url.PathEscape(v.PathValue("product")), page); err != nil {
		v.fail(err)
		return
	}
	v.show("product", shell{Title: "Product " + page.Name, Place: "/catalog", Body: page, Keys: []key{{"F8", "next group"}, {"Esc", "back"}}})
}

// ruleFinding is something wrong with the rules as a whole.
type ruleFinding struct {
	Product   string `json:"product"`
	Kind      string `json:"kind"`
	Attribute string `json:"attribute"`
	Values    string `json:"values"`
	Rule      string `json:"rule"`
	Says      string `json:"says"`
	Because   []struct {
		Kind string `json:"kind"`
		Code string `json:"code"`
		Says string `json:"says"`
	} `json:"because"`
	File string `json:"file"`
	Line int    `json:"line"`
}

// lintPage is the body of the page of what is wrong with the rules in force.
type lintPage struct {
	Revision int           `json:"revision"`
	Findings []ruleFinding `json:"findings"`
	Refuses  []struct {
		Product    string   `json:"product"`
		What       string   `json:"what"`
		Says       string   `json:"says"`
		Attributes []string `json:"attributes"`
	} `json:"may_still_refuse"`
}

func (v *visit) showLint() {
	var page lintPage
	if err := v.get("/v1/catalog/lint", &page); err != nil {
		v.fail(err)
		return
	}
	n := len(page.Findings)
	v.show("lint", shell{Title: fmt.Sprint(n, plural(n, " finding", " findings"), " about the rules"), Place: "/catalog", Body: page, Keys: []key{{"F8", "next finding"}, {"Esc", "back"}}})
}

// checkPage is the body of the page of the check of a revision.
type checkPage struct {
	Revision int
	Files    int
	Faults   []catalogFault `json:"faults"`
	Warnings []catalogFault `json:"warnings"`
	Rules    []ruleFinding  `json:"rule_findings"`
	Golden   []struct {
		Order   string `json:"golden_order"`
		File    string `json:"file"`
		Line    int    `json:"line"`
		Figure  string `json:"figure"`
		Was     string `json:"was"`
		Becomes string `json:"becomes"`
		Hint    string `json:"hint"`
	} `json:"golden_changes"`
}

type catalogFault struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Where   string `json:"where"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// checkRevision checks the files of a stored revision anew, with its golden
// orders.
func (v *visit) checkRevision() {
	page := &checkPage{}
	at := "/v1/catalog/revisions/" + url.PathEscape(v.PathValue("revision"))
	var list struct {
		Revision int `json:"revision"`
		Files    []struct {
			Path string `json:"path"`
		} `json:"files"`
	}
	if err := v.get(at+"/files", &list); err != nil {
		v.fail(err)
		return
	}
	type file struct {
		Path string `json:"path"`
		Text string `json:"text"`
	}
	var request struct {
		Files []file `json:"files"`
	}
	for _, f := range list.Files {
		a, err := v.ask(http.MethodGet, at+"/file?path="+url.QueryEscape(f.Path), nil)
		if err == nil && !a.ok() {
			err = a
		}
		if err != nil {
			v.fail(err)
			return
		}
		request.Files = append(request.Files, file{f.Path, a.body.String()})
	}
	if err := v.checkCatalog(request, page); err != nil {
		v.fail(err)
		return
	}
	page.Revision, page.Files = list.Revision, len(list.Files)
	n := len(page.Faults) + len(page.Warnings) + len(page.Rules) + len(page.Golden)
	v.show("check", shell{Title: fmt.Sprint("Check of revision ", page.Revision, ": ", n, plural(n, " finding", " findings")), Place: "/catalog", Body: page, Keys: []key{{"F8", "next group"}, {"Esc", "back"}}})
}

func (v *visit) checkCatalog(request any, page *checkPage) error {
	body, err := json.Marshal(request)
	if err != nil {
		return err
	}
	a, err := v.ask(http.MethodPost, "/v1/catalog/checks", body)
	if err == nil && !a.ok() {
		err = a
	}
	if err != nil {
		return err
	}
	return json.Unmarshal(a.body.Bytes(), page)
}

// differencePage is the body of the page of what two revisions say differently.
type differencePage struct {
	From    int              `json:"from"`
	To      int              `json:"to"`
	Changes []catalogChange  `json:"changes"`
	Orders  []touchedOrder   `json:"orders"`
	All     []listedRevision `json:"-"`
}

type catalogChange struct {
	Sort    string `json:"sort"`
	Code    string `json:"code"`
	Name    string `json:"name"`
	Part    string `json:"part"`
	Act     string `json:"act"`
	Was     string `json:"was"`
	Becomes string `json:"becomes"`
	Says    string `json:"says"`
}

type touchedOrder struct {
	Number string `json:"number"`
	Dealer string `json:"dealer"`
	State  string `json:"state"`
	Lines  []struct {
		Line     int      `json:"line"`
		Product  string   `json:"product"`
		Revision int      `json:"revision"`
		What     []string `json:"what"`
	} `json:"lines"`
}

func (v *visit) showDifference() {
	page := &differencePage{}
	var list struct {
		Revisions []listedRevision `json:"revisions"`
	}
	query := url.Values{"from": {v.URL.Query().Get("from")}, "to": {v.URL.Query().Get("to")}}
	if err := errors.Join(v.get("/v1/catalog/differences?"+query.Encode(), page), v.get("/v1/catalog/revisions", &list)); err != nil {
		v.fail(err)
		return
	}
	page.All = list.Revisions
	n, o := len(page.Changes), len(page.Orders)
	title := fmt.Sprintf("Revision %d to %d: %d %s, %d open %s", page.From, page.To, n, plural(n, "change", "changes"), o, plural(o, "order", "orders"))
	v.show("difference", shell{Title: title, Place: "/catalog", Body: page, Keys: []key{{"↑ ↓", "walk orders"}, {"F8", "next group"}, {"Esc", "back"}}})
}

// usedPage is the body of the page of where a rule or an option is used.
type usedPage struct {
	Rule, Option string
	Says         string // why there is no answer
	Revision     int    `json:"revision"`
	Uses         []struct {
		Product   string `json:"product"`
		Attribute string `json:"attribute"`
		Option    string `json:"option"`
		Rule      *struct {
			Kind string `json:"kind"`
			Code string `json:"code"`
			Says string `json:"says"`
		} `json:"rule"`
		With []string `json:"with"`
	} `json:"uses"`
}

func (v *visit) showWhereUsed() {
	query := v.URL.Query()
	page := &usedPage{Rule: query.Get("rule"), Option: query.Get("option")}
	asked := url.Values{}
	if page.Rule != "" {
		asked.Set("rule", page.Rule)
	}
	if page.Option != "" {
		asked.Set("option", page.Option)
	}
	status := http.StatusOK
	if len(asked) > 0 {
		a, err := v.ask(http.MethodGet, "/v1/catalog/where-used?"+asked.Encode(), nil)
		switch {
		case err != nil:
		case a.ok():
			err = json.Unmarshal(a.body.Bytes(), page)
		default:
			if status, page.Says = a.status, a.Detail; len(a.Errors) > 0 {
				page.Says = a.Errors[0].Message
			}
		}
		if err != nil {
			v.fail(err)
			return
		}
	}
	v.showAs(status, "where-used", shell{Title: "Where used " + page.Rule + page.Option, Place: "/catalog", Body: page, Keys: []key{{"↑ ↓", "walk rows"}, {"Esc", "back"}}})
}

// standardsPage is the body of the page of the shop's standards.
type standardsPage struct {
	Revision int `json:"revision"`
	Rows     []struct {
		Standard string `json:"standard"`
		Value    string `json:"value"`
		Source   string `json:"source"`
	} `json:"rows"`
}

func (v *visit) showStandards() {
	var page standardsPage
	if err := v.get("/v1/catalog/standards", &page); err != nil {
		v.fail(err)
		return
	}
	v.show("standards", shell{Title: fmt.Sprint(len(page.Rows), " standards of the shop"), Place: "/catalog", Body: page, Keys: []key{{"Esc", "back"}}})
}
