package api

import (
	"context"
	"errors"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/api/authdb"
	"billwright/bom/limits"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/catalogdb"
	"billwright/migrations/tenancy"
)

const (
	// standingsHeldFor is how long a revision or clock set through another
	// instance may go unseen.
	standingsHeldFor = time.Second
	// standingsHeld bounds the workshops remembered; a catalog takes some MiB.
	standingsHeld = 256
	// readingWithin bounds a reading, which may have a large catalog to parse.
	readingWithin = 10 * time.Second
)

// errReading is what waiting requests get of a reading that panicked.
var errReading = errors.New("the workshop's catalog could not be read")

// standing is how a workshop stands: its row and the catalog in force. It never
// changes once read, and goroutines share it.
type standing struct {
	workshop authdb.Workshop
	// catalog is nil while no revision is in force.
	catalog *catalog.Catalog
	// substitutions are those in force on the day, which the catalog carries too.
	substitutions []catalog.Substitution
	zone          *time.Location // of the catalog's plant, else UTC
	day           calendar.Date  // the day the catalog was asked for
	read          time.Time
	age           int64 // of its place when read
}

// now is the workshop's time: a trial workshop's own clock, else the service's.
func (st *standing) now(clock func() time.Time) time.Time {
	if st.workshop.TrialClock != nil {
		return *st.workshop.TrialClock
	}
	return clock()
}

// Zone is the time zone of a workshop's plant by the catalog in force; before the
// first one it is UTC. It fails when the workshop cannot be read.
func (s *Server) Zone(ctx context.Context, workshop uuid.UUID) (*time.Location, error) {
	st, err := s.standings.of(ctx, workshop)
	if err != nil {
		return nil, err
	}
	return st.zone, nil
}

// standings remembers how workshops stand. One request reads, the others of the
// same workshop wait for what it finds.
type standings struct {
	pool  *pgxpool.Pool
	clock func() time.Time

	mu     sync.Mutex
	places map[uuid.UUID]*place
}

// place is where one workshop's standing is kept.
type place struct {
	held atomic.Pointer[standing]
	// age grows whenever this instance changed the workshop; what was read
	// before, or while it did, is out of date.
	age atomic.Int64

	mu     sync.Mutex
	flight *flight // nil while nobody reads
}

// flight is one reading, for whoever waits for it.
type flight struct {
	done chan struct{} // closed when st and err are there
	st   *standing
	err  error
}

func newStandings(pool *pgxpool.Pool, clock func() time.Time) *standings {
	return &standings{pool: pool, clock: clock, places: map[uuid.UUID]*place{}}
}

func (s *standings) place(workshop uuid.UUID) *place {
	s.mu.Lock()
	defer s.mu.Unlock()
	p, found := s.places[workshop]
	if !found {
		if len(s.places) >= standingsHeld {
			clear(s.places)
		}
		p = &place{}
		s.places[workshop] = p
	}
	return p
}

// of gives how a workshop stands, at most standingsHeldFor old. A reading that
// fails fails for all who wait for it, or they would wait for each other.
func (s *standings) of(ctx context.Context, workshop uuid.UUID) (*standing, error) {
	p := s.place(workshop)
	for {
		if st := p.held.Load(); s.holds(p, st) {
			return st, nil
		}
		age := p.age.Load()
		f, mine := p.join()
		if mine {
			s.fly(ctx, workshop, p, f)
		}
		select {
		case <-f.done:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		// A reading that began before this instance changed the workshop, and
		// so before this request came, will not do.
		if f.err != nil || f.st.age >= age {
			return f.st, f.err
		}
	}
}

// join gives the reading under way, or a new one that is the caller's to do.
func (p *place) join() (f *flight, mine bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.flight == nil {
		p.flight, mine = &flight{done: make(chan struct{})}, true
	}
	return p.flight, mine
}

// fly reads a standing for all who wait. The request that does so may be given
// up by its client; the others still want the answer.
func (s *standings) fly(ctx context.Context, workshop uuid.UUID, p *place, f *flight) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), readingWithin)
	defer cancel()
	f.err = errReading // in case the reading panics
	defer func() {
		p.mu.Lock()
		p.flight = nil
		p.mu.Unlock()
		close(f.done)
	}()
	age, read := p.age.Load(), time.Now()
	if f.st, f.err = s.ask(ctx, workshop, p.held.Load()); f.err == nil {
		f.st.age, f.st.read = age, read
		p.held.Store(f.st)
	}
}

// holds tells whether a standing may still be used. Past the plant's midnight
// another revision may be in force.
func (s *standings) holds(p *place, st *standing) bool {
	return st != nil && time.Since(st.read) < standingsHeldFor && st.age == p.age.Load() && st.day == st.today(s.clock, st.zone)
}

func (st *standing) today(clock func() time.Time, zone *time.Location) calendar.Date {
	return calendar.DateOf(st.now(clock).In(zone))
}

// ask reads a standing. A catalog that old already has is not read again.
func (s *standings) ask(ctx context.Context, workshop uuid.UUID, old *standing) (*standing, error) {
	if old == nil {
		old = &standing{zone: time.UTC}
	}
	var st *standing
	scope := tenancy.Scope{Workshop: workshop, Dealer: tenancy.AllDealers}
	err := tenancy.Transact(ctx, s.pool, scope, func(tx pgx.Tx) (err error) {
		st = &standing{zone: old.zone, catalog: old.catalog, substitutions: old.substitutions}
		if st.workshop, err = authdb.FindWorkshop(ctx, tx, workshop); err != nil {
			return err
		}
		// The catalog says in which zone its day begins; so the zone may turn
		// out to be another than the one the day was reckoned in.
		for range 2 {
			st.day = st.today(s.clock, st.zone)
			if err := st.load(ctx, tx); err != nil {
				return err
			}
			if st.day == st.today(s.clock, st.zone) {
				break
			}
		}
		return st.substitute(ctx, tx)
	})
	return st, err
}

// load sets the catalog that is in force on the standing's day.
func (st *standing) load(ctx context.Context, tx pgx.Tx) error {
	revision, err := catalogdb.Current(ctx, tx, st.workshop.ID, st.day)
	switch {
	case errors.Is(err, catalogdb.ErrNoRevision):
		st.catalog = nil
		return nil
	case err != nil, st.catalog != nil && st.catalog.Revision == revision:
		return err
	}
	loaded, err := catalogdb.Load(ctx, tx, st.workshop.ID, revision)
	if err != nil {
		return err
	}
	st.catalog = limits.Limited(loaded)
	st.zone, err = time.LoadLocation(st.catalog.Days.Zone)
	return err
}

// substitute lets the catalog carry the substitutions in force. It stays the same
// catalog as long as they are the same.
func (st *standing) substitute(ctx context.Context, tx pgx.Tx) error {
	if st.catalog == nil {
		return nil
	}
	inForce, err := catalogdb.InForce(ctx, tx, st.workshop.ID, st.day)
	if err != nil {
		return err
	}
	st.substitutions = inForce
	if !slices.Equal(inForce, st.catalog.Substitutions()) {
		st.catalog = st.catalog.InForce(inForce)
	}
	return nil
}

// changed makes what is remembered of a workshop out of date at once.
func (s *standings) changed(workshop uuid.UUID) { s.place(workshop).age.Add(1) }

// noCatalog is answered while a workshop has no catalog in force.
func noCatalog() *Problem {
	return conflict("The workshop has no catalog in force yet; its engineer stores one with POST /v1/catalog/revisions.")
}

// catalogFor gives the workshop's standing with a catalog in it.
func (s *Server) catalogFor(ctx context.Context, workshop uuid.UUID) (*standing, error) {
	st, err := s.standings.of(ctx, workshop)
	if err != nil {
		return nil, err
	}
	if st.catalog == nil {
		return nil, noCatalog()
	}
	return st, nil
}

// catalogOf gives a revision that an order is pinned to: mostly the one in
// force, else read again, since hardly anybody asks for the working of an old
// order.
func (s *Server) catalogOf(ctx context.Context, workshop uuid.UUID, revision int) (*catalog.Catalog, error) {
	st, err := s.standings.of(ctx, workshop)
	if err != nil {
		return nil, err
	}
	if st.catalog != nil && st.catalog.Revision == revision {
		return st.catalog, nil
	}
	var cat *catalog.Catalog
	err = tenancy.Transact(ctx, s.set.Pool, tenancy.Scope{Workshop: workshop, Dealer: tenancy.AllDealers}, func(tx pgx.Tx) (err error) {
		cat, err = catalogdb.Load(ctx, tx, workshop, revision)
		return err
	})
	return cat, err
}
