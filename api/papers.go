package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/bom/paper"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/migrations/tenancy"
)

const (
	pdfType  = "application/pdf"
	htmlType = "text/html; charset=utf-8"
)

// Printed is a paper's form and size.
type Printed struct {
	Format string `query:"format" enum:"pdf,html" doc:"Form of the reply; without it, HTML where Accept names it before PDF, else PDF."`
	Size   string `query:"size" enum:"letter,a4" doc:"Size of the sheets; without it, letter. Labels are 4 by 6 in."`
	Accept string `header:"Accept" hidden:"true"`
}

// PaperAt is a path to the papers of one version of an order.
type PaperAt struct {
	Numbered
	Version int `query:"version" minimum:"1" doc:"Version of the order; without it, the one that stands. The papers of another say SUPERSEDED."`
}

// printedReply is a paper as it is sent.
type printedReply struct {
	Status      int
	ContentType string `header:"Content-Type" hidden:"true"`
	ETag        string `header:"ETag"`
	Vary        string `header:"Vary" hidden:"true"`
	Policy      string `header:"Content-Security-Policy" hidden:"true"`
	Name        string `header:"Content-Disposition" hidden:"true"`
	Body        []byte
}

// html tells whether a paper is printed as HTML.
func (p *Printed) html() bool {
	if p.Format != "" {
		return p.Format == "html"
	}
	for one := range strings.SplitSeq(p.Accept, ",") {
		media, weight := mediaRange(one)
		if weight > 0 && (media == "text/html" || media == pdfType) {
			return media == "text/html"
		}
	}
	return false
}

// print prints a paper under a file's name without its ending.
func (p *Printed) print(what *paper.Paper, name string) (*printedReply, error) {
	size := paper.Letter
	if p.Size == "a4" {
		size = paper.A4
	}
	reply := &printedReply{Status: http.StatusOK, ContentType: pdfType, Vary: "Accept", Name: `inline; filename="` + name + `.pdf"`}
	var err error
	if !p.html() {
		reply.Body, err = paper.PDF(what, size)
		return reply, err
	}
	reply.ContentType, reply.Policy, reply.Name = htmlType, paper.Policy(what, size)+"; frame-ancestors 'self'", `inline; filename="`+name+`.html"`
	reply.Body, err = paper.HTML(what, size)
	return reply, err
}

// paperList is what papers an order has.
type paperList struct {
	Order      string        `json:"order"`
	Version    int           `json:"version"`
	Superseded bool          `json:"superseded" doc:"Whether a later version stands; its papers then say so."`
	Papers     []listedPaper `json:"papers"`
	Cartons    int           `json:"carton_labels"`
	Parts      int           `json:"part_labels"`
}

type listedPaper struct {
	Department paper.Department `json:"department"`
	Name       string           `json:"name"`
	Rows       int              `json:"rows" doc:"Rows of the bill that stand on it; each stands on one department's paper. The dock's may have none and still count the cartons."`
	Path       string           `json:"path"`
}

type paperListOutput struct{ Body paperList }

// listPapers lists the departments that have a paper of an order's version.
func (s *Server) listPapers(ctx context.Context, in *PaperAt) (*paperListOutput, error) {
	job, err := s.paperJob(ctx, in, nil)
	if err != nil {
		return nil, err
	}
	d := job.Document
	list := paperList{Order: d.Number, Version: d.Version, Superseded: job.Standing != d.Version, Papers: []listedPaper{},
		Cartons: len(paper.Labels(job, paper.CartonLabels).Sheets), Parts: len(paper.Labels(job, paper.PartLabels).Sheets)}
	rows := paper.RowsOf(job.Bill)
	for _, sheet := range paper.New(job).Sheets {
		one := listedPaper{Department: sheet.Department, Name: sheet.Department.Name(), Rows: rows[sheet.Department], Path: fmt.Sprintf("/v1/orders/%s/papers/%s", d.Number, sheet.Department)}
		if list.Superseded {
			one.Path += fmt.Sprintf("?version=%d", d.Version)
		}
		list.Papers = append(list.Papers, one)
	}
	return &paperListOutput{list}, nil
}

type getPaperInput struct {
	PaperAt
	Printed
	Department string `path:"department" enum:"saw-and-forge,weld,wood,finish,upholstery,assembly,boxing,shipping,all" doc:"Department whose paper it is; all is the whole packet."`
}

// allDepartments asks for the whole packet.
const allDepartments = "all"

// getPaper prints the paper of a department, or the whole packet.
func (s *Server) getPaper(ctx context.Context, in *getPaperInput) (*printedReply, error) {
	var departments []paper.Department
	if in.Department != allDepartments {
		departments = []paper.Department{paper.Department(in.Department)}
	}
	job, err := s.paperJob(ctx, &in.PaperAt, departments)
	if err != nil {
		return nil, err
	}
	made := paper.New(job, departments...)
	if len(made.Sheets) == 0 {
		return nil, notFound(fmt.Sprintf("Order %s, version %d, has no rows for %s; ask for its papers to see which departments have.", job.Document.Number, job.Document.Version, in.Department))
	}
	return in.print(made, fmt.Sprintf("%s-v%d-%s", job.Document.Number, job.Document.Version, in.Department))
}

type getLabelsInput struct {
	PaperAt
	Printed
	Kind string `query:"kind" enum:"carton,part" doc:"carton for one on each carton, part for one on each top, pane, cushion and welded group; without it, carton."`
}

// getLabels prints the labels of an order.
func (s *Server) getLabels(ctx context.Context, in *getLabelsInput) (*printedReply, error) {
	job, err := s.paperJob(ctx, &in.PaperAt, nil)
	if err != nil {
		return nil, err
	}
	kind := paper.CartonLabels
	if in.Kind == string(paper.PartLabels) {
		kind = paper.PartLabels
	}
	made := paper.Labels(job, kind)
	if len(made.Sheets) == 0 {
		return nil, notFound(fmt.Sprintf("Order %s, version %d, has nothing for a %s label.", job.Document.Number, job.Document.Version, kind))
	}
	return in.print(made, fmt.Sprintf("%s-v%d-%s-labels", job.Document.Number, job.Document.Version, kind))
}

// paperJob reads a version of an order with all that the papers of departments
// are made of; with none, all departments'. What is costly is left out where no
// paper asked for shows it.
func (s *Server) paperJob(ctx context.Context, in *PaperAt, departments []paper.Department) (*paper.Job, error) {
	stored, text, _, err := s.findVersion(ctx, &OrderAt{Numbered: in.Numbered, Version: in.Version})
	if err != nil {
		return nil, err
	}
	d := &order.Document{}
	if err := json.Unmarshal(text, d); err != nil {
		return nil, fmt.Errorf("read a stored order: %w", err)
	}
	if d.State == order.Drafted || d.Bill.Version == 0 {
		return nil, conflict("A draft has no papers; place it first.")
	}
	who := principalOf(ctx)
	var stands orderdb.StoredBill
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		stands, err = orderdb.Bill(ctx, tx, who.workshop, stored.Number, d.Bill.Version)
		return err
	})
	if err != nil {
		return nil, err
	}
	job := &paper.Job{Document: d, Bill: &bom.Bill{}, Standing: stored.Version, Address: requestOf(ctx).base + "/orders/" + d.Number}
	if err := json.Unmarshal(stands.Document, job.Bill); err != nil {
		return nil, fmt.Errorf("read bill %d of %s: %w", stands.Version, stored.Number, err)
	}
	if job.Catalog, err = s.catalogOf(ctx, who.workshop, stands.Revision); err != nil {
		return nil, err
	}
	return job, s.furnish(ctx, job, departments)
}

// furnish adds the drawings' data for the departments that print them.
func (s *Server) furnish(ctx context.Context, job *paper.Job, departments []paper.Department) error {
	prints := func(d paper.Department) bool {
		return len(departments) == 0 || len(departments) == 1 && departments[0] == d
	}
	if prints(paper.Saw) {
		planned, err := s.planSteadily(ctx, job.Catalog, catalogsOf{}, saw.OfBill(job.Document.Number, job.Bill), onRack{})
		if err != nil {
			return err
		}
		job.Plans, job.NotPlanned = planned.Sections, planned.whyNot()
	}
	if !prints(paper.Saw) && !prints(paper.Upholstery) {
		return nil
	}
	_, _, trace, err := s.traceBill(ctx, Versioned{Numbered{job.Document.Number}, job.Document.Bill.Version})
	var refused *Problem
	switch {
	case errors.As(err, &refused) && refused.Status == http.StatusConflict:
		job.Unreckoned = refused.Detail
		return nil
	case err != nil:
		return err
	}
	job.Working, job.Layouts = trace.Working, trace.Bill.Layouts()
	return nil
}

// whyNot are the sections without a plan, each with its reasons.
func (p *PlannedBars) whyNot() []string {
	var all []string
	for i := range p.NotPlanned {
		n := &p.NotPlanned[i]
		all = append(all, n.Section+": "+strings.Join(n.Why, " "))
	}
	return all
}

type getCutListInput struct {
	Printed
	Week    string `path:"week" maxLength:"40" doc:"ISO 8601 week, such as 2026-W48." example:"2026-W48"`
	Held    string `query:"held" enum:"yes,no" doc:"yes lists also the pieces on which a hold stands; without it, firm ones only."`
	Section string `query:"section" maxLength:"100" doc:"Only this section; without it, all."`
}

// getCutList prints the cut list of a week across orders.
func (s *Server) getCutList(ctx context.Context, in *getCutListInput) (*printedReply, error) {
	week, err := readWeek(in.Week)
	if err != nil {
		return nil, err
	}
	who := principalOf(ctx)
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	pieces, err := s.weekPieces(ctx, week.Monday(), in.Section)
	if err != nil {
		return nil, err
	}
	held := in.Held == "yes"
	sawn := Sawn{Section: in.Section}
	needs, err := sawn.only(needsOf(pieces, held), st.catalog)
	if err != nil {
		return nil, err
	}
	planned, err := s.planSteadily(ctx, st.catalog, newestOf(pieces), needs, onRack{})
	if err != nil {
		return nil, err
	}
	made := paper.Batch(&paper.Week{Name: week.String(), Held: held, Units: planned.Units, Needs: needs, Sections: sectionNames(st.catalog, needs), Plans: planned.Sections,
		NotPlanned: planned.whyNot(), Saw: saw.Of(st.catalog), Revision: st.catalog.Revision, Address: requestOf(ctx).base + "/v1/requirements/" + week.String() + "/cut-list"})
	return in.print(made, "cut-list-"+week.String())
}

func sectionNames(cat *catalog.Catalog, needs []saw.Need) map[string]string {
	names := map[string]string{}
	for i := range needs {
		if section, found := cat.Sections.Get(needs[i].Section); found {
			names[needs[i].Section] = section.Name
		}
	}
	return names
}
