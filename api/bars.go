package api

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand/demanddb"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

const svgType = "image/svg+xml"

// Drawn is a read that comes as JSON, as CSV or a workbook, or as a drawing.
type Drawn struct {
	Format string `query:"format" enum:"json,csv,xlsx,svg" doc:"Form of the reply: svg is a drawing of each bar or sheet to scale; without it, CSV or XLSX where Accept asks for that, else JSON."`
	Accept string `header:"Accept" hidden:"true"`
}

func (d Drawn) tabular() Tabular { return Tabular{Format: d.Format, Accept: d.Accept} }

// Sawn is what bars are to be planned.
type Sawn struct {
	Section string `query:"section" maxLength:"100" doc:"Only this section; without it, all."`
	Offcuts string `query:"offcuts" maxLength:"10000" doc:"Offcuts of that section on the rack, which are used first, such as 70 in, 48 1/2 in x 3."`
}

// offcuts reads the offcuts, of one section only.
func (in *Sawn) offcuts() ([]saw.Offcut, error) {
	offcuts, faults := saw.ParseOffcuts(in.Offcuts)
	var findings []Finding
	for i := range faults {
		findings = append(findings, Finding{Parameter: "query.offcuts", Code: "offcut", Message: sentence(faults[i].Said)})
	}
	if in.Offcuts != "" && in.Section == "" {
		findings = append(findings, Finding{Parameter: "query.offcuts", Code: "offcut.section", Message: "Say by section of which steel the offcuts are."})
	}
	if len(findings) > 0 {
		return nil, badSyntax("", findings...)
	}
	return offcuts, nil
}

// PlannedBars are the bars of some pieces, section by section.
type PlannedBars struct {
	Units      bom.Units    `json:"units"`
	Sections   []*saw.Plan  `json:"sections"`
	NotPlanned []notPlanned `json:"not_planned,omitempty" doc:"Sections whose pieces have no plan, and why; nothing of them is in sections."`
}

type notPlanned struct {
	Section string   `json:"section"`
	Pieces  int64    `json:"pieces"`
	Why     []string `json:"why"`
}

type orderBars struct {
	Order   string `json:"order"`
	Version int    `json:"bill_version"`
	PlannedBars
}

type weekBars struct {
	Week   string        `json:"week"`
	Monday calendar.Date `json:"monday"`
	Held   bool          `json:"held" doc:"Whether pieces on which a hold stands are in the plan."`
	PlannedBars
}

type getOrderBarsInput struct {
	Versioned
	Sawn
	Drawn
}

// getOrderBars plans the bars of one order's bill, with the bars, prices and saw
// of the revision that it is pinned to.
func (s *Server) getOrderBars(ctx context.Context, in *getOrderBarsInput) (*document, error) {
	offcuts, err := in.offcuts()
	if err != nil {
		return nil, err
	}
	of, err := s.readBill(ctx, in.Versioned)
	if err != nil {
		return nil, err
	}
	needs, err := in.only(saw.OfBill(of.number, &of.bill), of.catalog)
	if err != nil {
		return nil, err
	}
	planned, err := s.planBars(ctx, of.catalog, catalogsOf{}, needs, onRack{in.Section: offcuts})
	if err != nil {
		return nil, err
	}
	return in.draw("Order "+of.number, planned, orderBars{of.number, of.version, *planned})
}

type getWeekBarsInput struct {
	Week   string `path:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
	Held   string `query:"held" enum:"yes,no" doc:"yes plans also the pieces on which a hold stands; without it, firm ones only."`
	OnHand string `query:"on_hand" enum:"yes,no" doc:"yes uses first the bars and offcuts that were counted as on hand, with the offcuts given; they are counted for all weeks together."`
	Sawn
	Drawn
}

// getWeekBars plans the bars of all orders' pieces that must be here within a
// week, with the bars, prices and saw of the catalog in force.
func (s *Server) getWeekBars(ctx context.Context, in *getWeekBarsInput) (*document, error) {
	who := principalOf(ctx)
	offcuts, err := in.offcuts()
	if err != nil {
		return nil, err
	}
	week, err := readWeek(in.Week)
	if err != nil {
		return nil, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	var pieces []demanddb.Piece
	rack := onRack{in.Section: offcuts}
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if pieces, err = demanddb.Pieces(ctx, tx, who.workshop, week.Monday(), in.Section); err != nil || in.OnHand != "yes" {
			return err
		}
		counted, err := demanddb.OnHand(ctx, tx, who.workshop, bom.KindSteel)
		rack.count(counted)
		return err
	})
	if err != nil {
		return nil, err
	}
	held := in.Held == "yes"
	needs, err := in.only(needsOf(pieces, held), st.catalog)
	if err != nil {
		return nil, err
	}
	planned, err := s.planBars(ctx, st.catalog, newestOf(pieces), needs, rack)
	if err != nil {
		return nil, err
	}
	return in.draw("Week "+week.String(), planned, weekBars{week.String(), week.Monday(), held, *planned})
}

// onRack is what lies on the rack of each section.
type onRack map[string][]saw.Offcut

// count adds what was counted by length.
func (r onRack) count(counted []demanddb.Counted) {
	for i := range counted {
		if c := &counted[i]; c.Length > 0 && c.Pieces > 0 {
			r[c.Item] = append(r[c.Item], saw.Offcut{Length: c.Length, Count: c.Pieces})
		}
	}
}

// readWeek reads the week of a path.
func readWeek(text string) (calendar.Week, error) { return readWeekOf("path.week", text) }

func readWeekOf(parameter, text string) (calendar.Week, error) {
	week, err := calendar.ParseWeek(text)
	if err != nil {
		return week, badSyntax("", Finding{Parameter: parameter, Code: "week", Message: sentence(err.Error())})
	}
	return week, nil
}

// needsOf are the pieces by section, those on which a hold stands only if held.
func needsOf(pieces []demanddb.Piece, held bool) []saw.Need {
	var needs []saw.Need
	for i := range pieces {
		p := &pieces[i]
		if p.Firm || held {
			needs = saw.AddTo(needs, p.Section, saw.MarkOf(p.OrderNumber, p.Line, p.Unit, p.Path, p.Length, p.Pieces))
		}
	}
	return needs
}

// catalogsOf is the newest revision by section that an order is pinned to, for
// sections that the catalog in force no longer has.
type catalogsOf map[string]int

func newestOf(pieces []demanddb.Piece) catalogsOf {
	newest := catalogsOf{}
	for i := range pieces {
		newest[pieces[i].Section] = max(newest[pieces[i].Section], pieces[i].Revision)
	}
	return newest
}

// only keeps the section that is asked for; one that nobody knows is a slip.
func (in *Sawn) only(needs []saw.Need, cat *catalog.Catalog) ([]saw.Need, error) {
	if in.Section == "" {
		return needs, nil
	}
	needs = slices.DeleteFunc(needs, func(n saw.Need) bool { return n.Section != in.Section })
	if _, known := cat.Sections.Get(in.Section); !known && len(needs) == 0 {
		return nil, badSyntax("", Finding{Parameter: "query.section", Code: "section.unknown", Message: fmt.Sprintf("There is no section %q in the catalog.", in.Section)})
	}
	return needs, nil
}

// planBars plans each section within its share of the request's time.
func (s *Server) planBars(ctx context.Context, cat *catalog.Catalog, older catalogsOf, needs []saw.Need, rack onRack) (*PlannedBars, error) {
	return s.planEach(ctx, cat, older, needs, rack, func(list *saw.List, left int) (*saw.Plan, error) { return s.saws.plan(ctx, list, share(ctx, left)) })
}

// planSteadily plans each section by a bound of work alone, whatever time there
// is, so that a paper has the same plan whenever it is printed.
func (s *Server) planSteadily(ctx context.Context, cat *catalog.Catalog, older catalogsOf, needs []saw.Need, rack onRack) (*PlannedBars, error) {
	return s.planEach(ctx, cat, older, needs, rack, func(list *saw.List, _ int) (*saw.Plan, error) { return s.saws.steady(list) })
}

// planning plans a list, one of so many that are left.
type planning func(list *saw.List, left int) (*saw.Plan, error)

func (s *Server) planEach(ctx context.Context, cat *catalog.Catalog, older catalogsOf, needs []saw.Need, rack onRack, by planning) (*PlannedBars, error) {
	planned := &PlannedBars{Units: bom.Units(cat.Workshop.Units), Sections: []*saw.Plan{}}
	for i := range needs {
		plan, why, err := s.planSection(ctx, cat, older, &needs[i], rack[needs[i].Section], func(list *saw.List) (*saw.Plan, error) { return by(list, len(needs)-i) })
		switch {
		case err != nil:
			return nil, err
		case plan == nil:
			one := notPlanned{Section: needs[i].Section, Why: why}
			for j := range needs[i].Pieces {
				one.Pieces += needs[i].Pieces[j].Count
			}
			planned.NotPlanned = append(planned.NotPlanned, one)
		default:
			planned.Sections = append(planned.Sections, plan)
		}
	}
	return planned, nil
}

// planSection plans the pieces of one section, or tells why they have no plan.
func (s *Server) planSection(ctx context.Context, cat *catalog.Catalog, older catalogsOf, need *saw.Need, offcuts []saw.Offcut, by func(*saw.List) (*saw.Plan, error)) (*saw.Plan, []string, error) {
	section, found := cat.Sections.Get(need.Section)
	if revision := older[need.Section]; !found && revision > 0 {
		pinned, err := s.catalogOf(ctx, principalOf(ctx).workshop, revision)
		if err != nil {
			return nil, nil, err
		}
		section, found = pinned.Sections.Get(need.Section)
	}
	if !found {
		return nil, []string{fmt.Sprintf("No catalog at hand has the section %q.", need.Section)}, nil
	}
	plan, err := by(saw.ListOf(cat, section, need.Pieces, offcuts))
	var refused *saw.Refused
	if errors.As(err, &refused) {
		marks := make([]string, len(need.Pieces))
		for i := range need.Pieces {
			marks[i] = need.Pieces[i].Mark
		}
		return nil, whyNotMarked(marks, refused), nil
	}
	return plan, nil, err
}

// draw answers in the form that was asked for.
func (d Drawn) draw(title string, planned *PlannedBars, reply any) (*document, error) {
	var missing []withoutPlan
	for i := range planned.NotPlanned {
		missing = append(missing, withoutPlan{planned.NotPlanned[i].Section, planned.NotPlanned[i].Why})
	}
	return drawPlans(d, title, planned.Sections, missing, planned.Units, saw.Draw, saw.Heads(planned.Units), reply)
}

// withoutPlan is a section or an item without a plan, and why it has none.
type withoutPlan struct {
	code string
	why  []string
}

// drawPlans answers with plans of bars or of sheets as a drawing, a sheet of
// rows or the reply. What has no plan is named in the drawing's title, so that
// none looks whole that is not, and has a row of its own.
func drawPlans[Plan interface {
	Rows(saw.Number) [][]string
}](d Drawn, title string, plans []Plan, missing []withoutPlan, units bom.Units, draw func(io.Writer, string, []Plan, bom.Units) error, heads []string, reply any) (*document, error) {
	switch tabular := d.tabular(); {
	case d.Format == "svg":
		for i := range missing {
			title += [...]string{", NOT PLANNED: ", ", "}[min(i, 1)] + missing[i].code
		}
		var svg bytes.Buffer
		if err := draw(&svg, title, plans, units); err != nil {
			return nil, err
		}
		return tabular.varied(&document{Status: http.StatusOK, ContentType: svgType, Body: svg.Bytes()}), nil
	case tabular.wantsSheet():
		sheet := sheet{heads: heads}
		for _, plan := range plans {
			sheet.rows = append(sheet.rows, plan.Rows(saw.NumberIn(units))...)
		}
		for _, none := range missing {
			row := make([]string, len(heads))
			row[0], row[len(row)-1] = none.code, "not planned: "+strings.Join(none.why, " ")
			sheet.rows = append(sheet.rows, row)
		}
		return tabular.showSheet(&sheet)
	default:
		body, err := bom.Document(units, reply)
		return tabular.varied(&document{Status: http.StatusOK, ContentType: "application/json", Body: body}), err
	}
}

// weekPieces reads the pieces that must be here within a week.
func (s *Server) weekPieces(ctx context.Context, monday calendar.Date, section string) (pieces []demanddb.Piece, err error) {
	who := principalOf(ctx)
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		pieces, err = demanddb.Pieces(ctx, tx, who.workshop, monday, section)
		return err
	})
	return pieces, err
}
