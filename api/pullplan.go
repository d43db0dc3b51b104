package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/demand/demanddb"
	"billwright/bom/saw"
	"billwright/catalog/calendar"
	"billwright/migrations/tenancy"
)

// pullPlan is the plan of all that was pulled for a week and kind up to a pull:
// bars do not add, so that each pull has the plan of everything until then. It is
// stored once and never changed; one that was not proved by its deadline says so.
type pullPlan struct {
	Pull     int            `json:"pull"`
	Week     string         `json:"week"`
	Monday   calendar.Date  `json:"monday"`
	Kind     string         `json:"kind"`
	Seq      int            `json:"seq"`
	Revision int            `json:"revision" doc:"The catalog whose bars, sheets and saw it was planned with."`
	Proved   bool           `json:"proved" doc:"Whether no plan costs less, of all sections and items together."`
	Bars     *PlannedBars   `json:"bars,omitempty"`
	Sheets   *PlannedSheets `json:"sheets,omitempty"`
}

// planTime bounds the planning of a pull behind its rows, so that whoever pulls
// is not kept waiting.
const planTime = 6 * time.Second

// plannedKind tells that pulls of a kind have a plan, of bars or of sheets.
func plannedKind(kind string) bool { return slices.Contains(cutKinds, kind) }

// planBehind plans a pull whose rows were just committed. What fails here is made
// good when the plan is first read.
func (s *Server) planBehind(ctx context.Context, who *principal, p demanddb.Pull) {
	if !plannedKind(p.Kind) {
		return
	}
	ctx, cancel := context.WithTimeout(ctx, planTime)
	defer cancel()
	if _, err := s.planOfPull(ctx, who, p); err != nil {
		s.log.WarnContext(ctx, "pull not planned yet", "pull", p.Number, "error", err.Error())
	}
}

// planOfPull gives the stored plan of a pull, or makes and stores it. Of two made
// at once the first stored is the plan.
func (s *Server) planOfPull(ctx context.Context, who *principal, p demanddb.Pull) ([]byte, error) {
	var stored []byte
	var pieces []demanddb.SheetPiece
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		if stored, err = demanddb.PlanOf(ctx, tx, who.workshop, p.Number); !errors.Is(err, demanddb.ErrNoPlan) {
			return err
		}
		pieces, err = demanddb.PulledPieces(ctx, tx, who.workshop, p)
		return err
	})
	if err != nil || stored != nil {
		return stored, err
	}
	st, err := s.catalogFor(ctx, who.workshop)
	if err != nil {
		return nil, err
	}
	plan := pullPlan{Pull: p.Number, Week: p.Week.Week().String(), Monday: p.Week, Kind: p.Kind, Seq: p.Seq, Revision: st.catalog.Revision}
	if err := s.reckonPull(ctx, st, &plan, pieces); err != nil {
		return nil, err
	}
	document, err := bom.Document(bom.Units(st.catalog.Workshop.Units), plan)
	if err != nil {
		return nil, err
	}
	// The plan is worth keeping though its reader has gone.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	err = tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		stored, err = demanddb.KeepPlan(ctx, tx, who.workshop, demanddb.PullPlan{Pull: p.Number, Revision: plan.Revision, Proved: plan.Proved, Document: document, At: st.now(s.set.Clock)})
		return err
	})
	return stored, err
}

func (s *Server) reckonPull(ctx context.Context, st *standing, plan *pullPlan, pieces []demanddb.SheetPiece) (err error) {
	plan.Proved = true
	if plan.Kind == bom.KindSteel {
		var needs []saw.Need
		older := catalogsOf{}
		for i := range pieces {
			p := &pieces[i]
			older[p.Section] = max(older[p.Section], p.Revision)
			needs = saw.AddTo(needs, p.Section, saw.MarkOf(p.OrderNumber, p.Line, p.Unit, p.Path, p.Length, p.Pieces))
		}
		if plan.Bars, err = s.planBars(ctx, st.catalog, older, needs, onRack{}); err != nil {
			return err
		}
		for _, one := range plan.Bars.Sections {
			plan.Proved = plan.Proved && one.Status != cutting.NotProved
		}
		plan.Proved = plan.Proved && len(plan.Bars.NotPlanned) == 0
		return nil
	}
	var needs []saw.SheetNeed
	older := sheetCatalogs{}
	for i := range pieces {
		p := &pieces[i]
		key := sheetKey{p.Kind, p.Section}
		older[key] = max(older[key], p.Revision)
		needs = saw.AddSheetTo(needs, p.Kind, p.Section, saw.SheetMarkOf(p.OrderNumber, p.Line, p.Unit, p.Path, p.Length, p.Width, p.Pieces))
	}
	if plan.Sheets, err = s.planSheets(ctx, st.catalog, older, needs, sheetRack{}); err != nil {
		return err
	}
	for _, one := range plan.Sheets.Items {
		plan.Proved = plan.Proved && one.Status != cutting.NotProved
	}
	plan.Proved = plan.Proved && len(plan.Sheets.NotPlanned) == 0
	return nil
}

type getPullPlanInput struct {
	Pull int `path:"pull" minimum:"1" maximum:"2000000000" doc:"The pull's number."`
	Drawn
}

// getPullBars shows the plan of bars that is stored with a pull.
func (s *Server) getPullBars(ctx context.Context, in *getPullPlanInput) (*document, error) {
	plan, stored, err := s.readPullPlan(ctx, in, "bars", func(kind string) bool { return kind == bom.KindSteel })
	if err != nil {
		return nil, err
	}
	return in.drawStored(plan, stored)
}

// getPullSheets shows the plan of sheets that is stored with a pull.
func (s *Server) getPullSheets(ctx context.Context, in *getPullPlanInput) (*document, error) {
	plan, stored, err := s.readPullPlan(ctx, in, "sheets", func(kind string) bool { return kind != bom.KindSteel && plannedKind(kind) })
	if err != nil {
		return nil, err
	}
	return in.drawStored(plan, stored)
}

func (s *Server) readPullPlan(ctx context.Context, in *getPullPlanInput, of string, has func(kind string) bool) (*pullPlan, []byte, error) {
	who := principalOf(ctx)
	var p demanddb.Pull
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) (err error) {
		p, err = demanddb.FindPull(ctx, tx, who.workshop, in.Pull)
		return err
	})
	switch {
	case errors.Is(err, demanddb.ErrNoPull):
		return nil, nil, notFound(fmt.Sprintf("There is no pull %d.", in.Pull))
	case err != nil:
		return nil, nil, err
	case !has(p.Kind):
		return nil, nil, notFound(fmt.Sprintf("Pull %d is of %s, which is not cut from %s.", p.Number, p.Kind, of))
	}
	stored, err := s.planOfPull(ctx, who, p)
	if err != nil {
		return nil, nil, err
	}
	var plan pullPlan
	if err := json.Unmarshal(stored, &plan); err != nil {
		return nil, nil, fmt.Errorf("read the plan of pull %d: %w", p.Number, err)
	}
	return &plan, stored, nil
}

// drawStored answers in the form that was asked for; JSON is byte for byte what
// was stored.
func (d Drawn) drawStored(plan *pullPlan, stored []byte) (*document, error) {
	title := fmt.Sprintf("Pull %d, week %s", plan.Pull, plan.Week)
	switch tabular := d.tabular(); {
	case d.Format != "svg" && !tabular.wantsSheet():
		return tabular.varied(&document{Status: http.StatusOK, ContentType: "application/json", Body: stored}), nil
	case plan.Bars != nil:
		return d.draw(title, plan.Bars, nil)
	default:
		return d.drawSheets(title, plan.Sheets, nil)
	}
}
