package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/bom/order/orderfile"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/migrations/tenancy"
)

const (
	// importStep is how many orders are stored in one transaction: few enough that
	// it is short, so many that the disk is waited for seldom.
	importStep = 40
	// importLease is how long nobody else looks after an import; each step renews
	// it.
	importLease = 20 * time.Second
	// importTime bounds one process's work at an import.
	importTime = 30 * time.Minute
)

// importRuns are the imports that this process is at.
type importRuns struct {
	mu      sync.Mutex
	running map[uuid.UUID]bool
}

func newImportRuns() *importRuns { return &importRuns{running: map[uuid.UUID]bool{}} }

// begin goes on with an import in the background, unless this process is at it.
// The work ends when it is through, when the database cannot be reached, or when
// another process has taken it over; whoever asks next for the import goes on.
func (l *importRuns) begin(s *Server, workshop uuid.UUID, i *orderdb.Import) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.running[i.ID] {
		return
	}
	l.running[i.ID] = true
	load := &importRun{server: s, workshop: workshop, id: i.ID, revisions: map[int]*catalog.Catalog{}}
	go func() {
		defer func() {
			if v := recover(); v != nil {
				s.log.Error("panic", "import", load.id.String(), "panic", panicText(v))
			}
			l.mu.Lock()
			delete(l.running, load.id)
			l.mu.Unlock()
		}()
		ctx, cancel := context.WithTimeout(context.Background(), importTime)
		defer cancel()
		if err := load.run(ctx); err != nil && !errors.Is(err, orderdb.ErrImportMoved) {
			s.log.Warn("import stopped", "import", load.id.String(), "error", err.Error())
		}
	}()
}

// importRun is one process's work at an import.
type importRun struct {
	server    *Server
	workshop  uuid.UUID
	id        uuid.UUID
	about     orderdb.Import
	who       *principal
	standing  *standing
	effective []catalogdb.Revision // newest first
	revisions map[int]*catalog.Catalog
	// stepped is called after each step, by tests that end the work there.
	stepped func()
}

// prepared is an order of the file that was reckoned.
type prepared struct {
	asked  *orderfile.Asked
	made   orderdb.NewOrder
	faults []orderfile.Fault
}

func (l *importRun) transact(ctx context.Context, act func(pgx.Tx) error) error {
	return tenancy.Transact(ctx, l.server.set.Pool, tenancy.Scope{Workshop: l.workshop, Dealer: tenancy.AllDealers}, act)
}

// run takes the import and goes on with it to its end.
func (l *importRun) run(ctx context.Context) error {
	var file []byte
	err := l.transact(ctx, func(tx pgx.Tx) (err error) {
		now := time.Now()
		if file, err = orderdb.LeaseImport(ctx, tx, l.workshop, l.id, now, now.Add(importLease)); err != nil {
			return err
		}
		if l.about, err = orderdb.FindImport(ctx, tx, l.workshop, l.id); err != nil {
			return err
		}
		l.effective, err = catalogdb.Revisions(ctx, tx, l.workshop)
		return err
	})
	if err != nil {
		return err
	}
	if l.standing, err = l.server.catalogFor(ctx, l.workshop); err != nil {
		return err
	}
	read, problem := readOrderFile(l.about.Mapping, file, nil)
	if problem != nil {
		return problem
	}
	l.who = &principal{workshop: l.workshop, role: roleOwner, test: l.about.Test}
	steps, stop := l.reckonAhead(ctx, read.asked[l.about.Position:])
	defer stop()
	at := l.about.Position
	for step := range steps {
		if err := l.step(ctx, at, step, at+len(step) == l.about.Orders); err != nil {
			return err
		}
		at += len(step)
		if l.stepped != nil {
			l.stepped()
		}
	}
	if l.about.Orders == 0 || at < l.about.Orders && ctx.Err() == nil {
		return l.step(ctx, at, nil, l.about.Orders == 0)
	}
	return ctx.Err()
}

// reckonAhead reckons the next orders while those before are stored.
func (l *importRun) reckonAhead(ctx context.Context, asked []*orderfile.Asked) (<-chan []prepared, func()) {
	ctx, stop := context.WithCancel(ctx)
	steps := make(chan []prepared, 1)
	go func() {
		defer close(steps)
		for len(asked) > 0 && ctx.Err() == nil {
			n := min(importStep, len(asked))
			step := make([]prepared, n)
			for i := range step {
				step[i] = l.reckon(ctx, asked[i])
				asked[i] = nil // its rows are not needed again
			}
			asked = asked[n:]
			select {
			case steps <- step:
			case <-ctx.Done():
			}
		}
	}()
	return steps, stop
}

// reckon makes an order of rows under the catalog of its day.
func (l *importRun) reckon(ctx context.Context, asked *orderfile.Asked) prepared {
	p := prepared{asked: asked, faults: asked.Faults}
	cat, at, fault := l.dayOf(ctx, asked)
	if fault != nil {
		p.faults = append(p.faults, *fault)
		return p
	}
	p.faults = append(p.faults, asked.Lines(cat)...)
	id, err := uuid.NewV7()
	if err != nil {
		p.faults = append(p.faults, orderfile.Fault{Row: asked.Rows[0].Number, Order: asked.Key, Code: "failed", Message: "No id could be drawn."})
		return p
	}
	o, found := order.New(cat, &asked.Draft, order.Identity{ID: id, Test: l.about.Test}, at)
	p.faults = append(p.faults, asked.Located(withoutTold(found, p.faults, asked))...)
	if len(p.faults) > 0 {
		return p
	}
	reason := fmt.Sprintf("import %s, row %d", l.id, asked.Rows[0].Number)
	made, findings, err := storable(o, cat, orderdb.AuditEntry{Actor: l.about.BegunBy, Role: l.about.Role, Act: "order received", Reason: reason})
	if err != nil {
		findings = append(findings, catalog.Finding{Code: "failed", Message: sentence(err.Error())})
	}
	p.made, p.faults = made, asked.Located(findings)
	return p
}

// withoutTold leaves out what the catalog says of a cell that is at fault
// already.
func withoutTold(found []catalog.Finding, told []orderfile.Fault, asked *orderfile.Asked) (rest []catalog.Finding) {
	known := map[[2]any]bool{}
	for _, f := range told {
		known[[2]any{f.Row, f.Column}] = true
	}
	for i, f := range asked.Located(found) {
		if f.Column == "" || !known[[2]any{f.Row, f.Column}] {
			rest = append(rest, found[i])
		}
	}
	return rest
}

// dayOf is the catalog in force on the day of an order, and the instant that
// counts as its receipt: noon of that day, or now for today and where no day is
// given.
func (l *importRun) dayOf(ctx context.Context, asked *orderfile.Asked) (*catalog.Catalog, time.Time, *orderfile.Fault) {
	now := l.standing.now(l.server.set.Clock)
	today := l.standing.catalog.Calendar.DayOf(now)
	fault := func(code, format string, args ...any) *orderfile.Fault {
		return &orderfile.Fault{Row: asked.Rows[0].Number, Column: asked.DayColumn(), Order: asked.Key, Code: code, Message: fmt.Sprintf(format, args...)}
	}
	if asked.Day == nil || *asked.Day == today {
		return l.standing.catalog, now, nil
	}
	day := *asked.Day
	if day.After(today) {
		return nil, now, fault("date.future", "The order is dated %s, which is after today, %s.", day, today)
	}
	for _, revision := range l.effective {
		if revision.Effective.After(day) {
			continue
		}
		cat, err := l.catalog(ctx, revision.Number)
		if err != nil {
			return nil, now, fault("failed", "The catalog of %s could not be read.", day)
		}
		return cat, time.Date(day.Year, day.Month, day.Day, 12, 0, 0, 0, l.standing.zone), nil
	}
	return nil, now, fault("date.no-catalog", "No catalog was in force on %s; the first is from %s on.", day, l.first())
}

func (l *importRun) first() (first calendar.Date) {
	for i, revision := range l.effective {
		if i == 0 || revision.Effective.Before(first) {
			first = revision.Effective
		}
	}
	return first
}

func (l *importRun) catalog(ctx context.Context, revision int) (*catalog.Catalog, error) {
	if cat := l.revisions[revision]; cat != nil {
		return cat, nil
	}
	cat, err := l.server.catalogOf(ctx, l.workshop, revision)
	if err == nil {
		l.revisions[revision] = cat
	}
	return cat, err
}

// step stores some orders of the file, all in one transaction with how far the
// import is.
func (l *importRun) step(ctx context.Context, from int, orders []prepared, last bool) error {
	return l.transact(ctx, func(tx pgx.Tx) error {
		s := orderdb.ImportStep{From: from, To: from + len(orders), LeasedUntil: time.Now().Add(importLease)}
		if last {
			s.Ended = l.standing.now(l.server.set.Clock)
		}
		known, err := l.known(ctx, tx, orders)
		if err != nil {
			return err
		}
		for i := range orders {
			if err := l.take(ctx, tx, &orders[i], known, &s); err != nil {
				return err
			}
		}
		return orderdb.StepImport(ctx, tx, l.workshop, l.id, s)
	})
}

// known are the orders of a step that were imported before.
func (l *importRun) known(ctx context.Context, tx pgx.Tx, orders []prepared) (map[[2]string]string, error) {
	dealers, keys := make([]string, len(orders)), make([]string, len(orders))
	for i := range orders {
		dealers[i], keys[i] = orders[i].asked.Dealer, orders[i].asked.ID()
	}
	return orderdb.ImportedAs(ctx, tx, l.workshop, dealers, keys, l.about.Test)
}

// take stores an order, unless it is faulty or there already.
func (l *importRun) take(ctx context.Context, tx pgx.Tx, p *prepared, known map[[2]string]string, s *orderdb.ImportStep) error {
	if known[[2]string{p.asked.Dealer, p.asked.ID()}] != "" { // whatever the catalog says of it by now
		s.Good, s.Known = s.Good+1, s.Known+1
		return nil
	}
	if len(p.faults) > 0 {
		slices.SortStableFunc(p.faults, func(a, b orderfile.Fault) int { return cmp.Compare(a.Row, b.Row) })
		s.Faulty++
		s.Faults = append(s.Faults, p.faults...)
		return nil
	}
	s.Good++
	if l.about.DryRun {
		_, err := orderdb.ByPO(ctx, tx, l.workshop, p.asked.Dealer, p.made.POGuard)
		if err == nil {
			s.Known++
		} else if !errors.Is(err, orderdb.ErrNoOrder) {
			return err
		}
		return nil
	}
	err := orderdb.Insert(ctx, tx, l.workshop, p.made)
	var duplicate orderdb.ErrDuplicatePO
	if errors.As(err, &duplicate) { // it came another way
		s.Known++
		return nil
	}
	if err != nil {
		return err
	}
	s.Loaded++
	return orderdb.AddImported(ctx, tx, l.workshop, &p.made, p.asked.ID(), l.id, p.asked.Rows[0].Number)
}
