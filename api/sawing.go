package api

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"reflect"
	"runtime"
	"sync"
	"time"

	"billwright/bom/cutting"
	"billwright/bom/saw"
)

const (
	// sawWork bounds the reckoning of one section, about five seconds of one
	// core, so that a plan that is not cut off by the deadline is the same
	// whenever it is asked for.
	sawWork = 5_000_000_000
	// keptPlans is how many plans are kept, and keptPieces how many lines of
	// pieces one may have that is.
	keptPlans  = 64
	keptPieces = 20_000
)

// sawing plans bars and sheets, a few lists at a time, and keeps the plans of the last: the
// same list has the same plan. One that was cut off by the time stays until somebody has
// twice the time for it, so that asking again and again does not reckon it again and again.
type sawing struct {
	slots chan struct{}

	mu   sync.Mutex
	kept map[[sha256.Size]byte]keptPlan
	last [][sha256.Size]byte // the oldest first
}

func newSawing() *sawing {
	return &sawing{slots: make(chan struct{}, max(1, runtime.GOMAXPROCS(0)/2)), kept: map[[sha256.Size]byte]keptPlan{}}
}

// keptPlan is the plan of a list.
type keptPlan struct {
	plan any
	// cutOff is how long it was reckoned before it was cut off; 0 where it was not.
	cutOff time.Duration
}

// within tells whether the plan is what would come out in so much time.
func (k keptPlan) within(left time.Duration) bool { return k.cutOff == 0 || left < 2*k.cutOff }

// share is when the reckoning of one of so many lists that are left should end,
// so that all have an answer before the request's time is up.
func share(ctx context.Context, left int) time.Time {
	now := time.Now()
	end, limited := ctx.Deadline()
	if !limited {
		end = now.Add(time.Minute)
	}
	const reserve = 4 // a quarter of the time is for everything else
	return now.Add(end.Sub(now) * (reserve - 1) / reserve / time.Duration(left))
}

// plan reckons a list until a time; what is then not proved says so. Without a
// free slot by then it is reckoned the short way. Errors: *saw.Refused.
func (s *sawing) plan(ctx context.Context, list *saw.List, until time.Time) (*saw.Plan, error) {
	return planned(ctx, s, list, len(list.Pieces), until, saw.Reckon)
}

// sheets does the same for a list of sheets.
func (s *sawing) sheets(ctx context.Context, list *saw.SheetList, until time.Time) (*saw.SheetPlan, error) {
	return planned(ctx, s, list, len(list.Pieces), until, saw.ReckonSheets)
}

func planned[List, Plan any](ctx context.Context, s *sawing, list *List, lines int, until time.Time, reckon func(*List, cutting.Options) (*Plan, error)) (*Plan, error) {
	key := digest(list)
	kept := s.find(key)
	if plan, found := kept.plan.(*Plan); found && kept.within(time.Until(until)) {
		return plan, nil
	}
	wait := time.NewTimer(time.Until(until))
	defer wait.Stop()
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-wait.C:
	case <-ctx.Done():
	}
	cutOff, begun := false, time.Now()
	plan, err := reckon(list, cutting.Options{Work: sawWork, Stop: func() bool {
		cutOff = cutOff || ctx.Err() != nil || !time.Now().Before(until)
		return cutOff
	}})
	if err == nil && lines <= keptPieces {
		kept := keptPlan{plan: plan}
		if cutOff {
			kept.cutOff = max(time.Since(begun), 1)
		}
		s.keep(key, kept)
	}
	return plan, err
}

// steadyWork bounds the reckoning of a section for a paper, about a tenth of a
// second of one core.
const steadyWork = 100_000_000

// steady reckons a list by a bound of work alone: the same list has the same plan
// whenever and wherever it is asked for. Errors: *saw.Refused.
func (s *sawing) steady(list *saw.List) (*saw.Plan, error) {
	key := digest(list)
	key[0] ^= 0xff // beside the plans that may go on longer
	if plan, found := s.find(key).plan.(*saw.Plan); found {
		return plan, nil
	}
	plan, err := saw.Reckon(list, cutting.Options{Work: steadyWork})
	if err == nil && len(list.Pieces) <= keptPieces {
		s.keep(key, keptPlan{plan: plan})
	}
	return plan, err
}

// digest is the key of a list: of all that its exported fields hold. A week asks for
// its plans again and again, and writing its sizes as JSON for that took longer than
// all else beside the database.
func digest(list any) [sha256.Size]byte {
	return sha256.Sum256(appendValue(make([]byte, 0, 4096), reflect.ValueOf(list)))
}

func appendValue(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if field := v.Field(i); field.CanInterface() {
				b = appendValue(b, field)
			}
		}
	case reflect.Slice:
		b = binary.AppendVarint(b, int64(v.Len()))
		for i := range v.Len() {
			b = appendValue(b, v.Index(i))
		}
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, 0)
		}
		b = appendValue(append(b, 1), v.Elem())
	case reflect.String:
		b = append(binary.AppendVarint(b, int64(v.Len())), v.String()...)
	case reflect.Bool:
		if v.Bool() {
			return append(b, 1)
		}
		b = append(b, 0)
	default:
		b = binary.AppendVarint(b, v.Int()) // the lists hold no other kinds
	}
	return b
}

func (s *sawing) find(key [sha256.Size]byte) keptPlan {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.kept[key]
}

// keep keeps a plan in the place of one that was cut off sooner.
func (s *sawing) keep(key [sha256.Size]byte, plan keptPlan) {
	s.mu.Lock()
	defer s.mu.Unlock()
	before, had := s.kept[key]
	if had && (before.cutOff == 0 || plan.cutOff > 0 && plan.cutOff < before.cutOff) {
		return
	}
	s.kept[key] = plan
	if had {
		return
	}
	if s.last = append(s.last, key); len(s.last) > keptPlans {
		delete(s.kept, s.last[0])
		s.last = s.last[1:]
	}
}
