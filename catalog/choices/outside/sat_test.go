package outside

import (
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/go-air/gini"
	"github.com/go-air/gini/z"

	"billwright/catalog/choices"
	"billwright/catalog/choices/invented"
)

// solver is a rule base as clauses: a variable for each value of each field, of
// which exactly one is true.
type solver struct {
	*reading
	g     *gini.Gini
	first []int // variable of a field's first value
	next  int
	none  bool // there is a clause of nothing
}

func newSolver(b *choices.Base) *solver {
	variables := 1
	for _, f := range read(b).options {
		variables += len(f)
	}
	for _, r := range b.Rules {
		variables += len(r.Allow)
	}
	s := &solver{reading: read(b), g: gini.NewV(variables + 1), next: 1}
	for _, all := range s.options {
		s.first = append(s.first, s.next)
		s.next += len(all)
	}
	for f, all := range s.options {
		var one []z.Lit
		for v := range all {
			one = append(one, s.is(f, v))
			for w := range v {
				s.clause(s.is(f, v).Not(), s.is(f, w).Not())
			}
		}
		s.clause(one...)
	}
	for i := range b.Rules {
		s.rule(&b.Rules[i])
	}
	return s
}

func (s *solver) is(f, v int) z.Lit { return z.Var(s.first[f] + v).Pos() }

// clause adds a clause, without what stands in it twice; one that holds always
// is left out, and of one of nothing a note is kept, since the solver of this
// version stops the process over either.
func (s *solver) clause(lits ...z.Lit) {
	seen := map[z.Lit]bool{}
	for _, l := range lits {
		if seen[l.Not()] {
			return
		}
		seen[l] = true
	}
	if len(seen) == 0 {
		s.none = true
		return
	}
	for l := range seen {
		s.g.Add(l)
	}
	s.g.Add(z.LitNull)
}

func (s *solver) any(f int, values []int) []z.Lit {
	var lits []z.Lit
	for _, v := range values {
		lits = append(lits, s.is(f, v))
	}
	return lits
}

// fails is the clause that a row does not hold.
func (s *solver) fails(row choices.Row) []z.Lit {
	var lits []z.Lit
	for i := range row {
		f, _, out := s.in(&row[i])
		lits = append(lits, s.any(f, out)...)
	}
	return lits
}

func (s *solver) rule(r *choices.Rule) {
	excused := s.fails(r.Where)
	with := func(lits ...z.Lit) { s.clause(append(append([]z.Lit{}, excused...), lits...)...) }
	switch {
	case r.Forbid != nil:
		for _, row := range r.Forbid {
			with(s.fails(row)...)
		}
	case r.Require != nil:
		for i := range r.Require {
			f, in, _ := s.in(&r.Require[i])
			with(s.any(f, in)...)
		}
	case r.Allow != nil:
		var rows []z.Lit
		for _, row := range r.Allow {
			holds := z.Var(s.next).Pos()
			s.next++
			rows = append(rows, holds)
			for i := range row {
				f, in, _ := s.in(&row[i])
				s.clause(append(s.any(f, in), holds.Not())...)
			}
		}
		with(rows...)
	default:
		a, b, allows := s.compared(r)
		for va := range s.options[a] {
			for vb := range s.options[b] {
				if !allows(va, vb) {
					with(s.is(a, va).Not(), s.is(b, vb).Not())
				}
			}
		}
	}
}

// can tells whether picks, and a value of a field, can be completed.
func (s *solver) can(picks choices.Picks, f, v int) bool {
	if s.none {
		return false
	}
	// A copy for each question: asked again and again under assumptions, the
	// solver of this version stopped the process over a model of its own.
	g := s.g.Copy()
	for h, w := range picks {
		if w != choices.None {
			g.Add(s.is(h, int(w)))
			g.Add(z.LitNull)
		}
	}
	if f >= 0 {
		g.Add(s.is(f, v))
		g.Add(z.LitNull)
	}
	return g.Solve() == 1
}

// someAgree asks the solver of n values beside each of some picks, and both ways
// of the package. It gives how many questions the solver answered.
func someAgree(t *testing.T, b *choices.Base, sets, n int, random *rand.Rand) int {
	t.Helper()
	s := newSolver(b)
	asked := 0
	ways := []*choices.Compiled{compile(t, b)}
	if searched, err := choices.Compile(b, choices.Options{Nodes: 1}); err != nil {
		t.Fatal(err)
	} else {
		ways = append(ways, searched)
	}
	for range sets {
		picks := ways[0].Picks()
		for range random.IntN(5) {
			f := random.IntN(len(picks))
			picks[f] = int32(random.IntN(len(s.options[f])))
		}
		if hub := ways[0].Hub(); len(picks) > manyFields && hub != choices.None {
			picks[hub] = int32(random.IntN(len(s.options[hub])))
		}
		possible := s.can(picks, -1, 0)
		asked++
		var left []choices.Values
		for _, c := range ways {
			left = append(left, c.NoValues())
			a := c.Asker()
			err := a.Remaining(picks, left[len(left)-1])
			a.Done()
			if errors.Is(err, choices.ErrBound) {
				left = left[:len(left)-1] // the search alone: it said that it does not know
				continue
			}
			if errors.Is(err, choices.ErrContradiction) == possible {
				t.Fatalf("picks %v: %v, the solver says possible %v", picks, err, possible)
			}
		}
		if !possible {
			continue
		}
		for range n {
			f := random.IntN(len(picks))
			v := random.IntN(len(s.options[f]))
			if picks[f] != choices.None {
				continue
			}
			want := s.can(picks, f, v)
			asked++
			for way, values := range left {
				if got := ways[way].Has(values, int32(f), int32(v)); got != want {
					t.Fatalf("picks %v: field %s value %d remains: %v by way %d, %v by the solver", picks, b.Fields[f].Code, v, got, way, want)
				}
			}
		}
	}
	return asked
}

// manyFields is from how many fields on the hub is always picked: without it the
// solver takes minutes for one question about sizes.
const manyFields = 20

// leastQueries is how many questions the solver must have been asked.
const leastQueries = 10_000

func TestASolverAgreesOnWhatRemains(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(17, 4))
	asked := 0
	for range 200 {
		asked += someAgree(t, invented.Small(random), 8, 12, random)
	}
	for _, x := range []struct {
		name string
		sets int
	}{{"pc.tbl", 10}, {"eshop-lau2006.dimacs", 20}, {"berkeleydb.dimacs", 20}, {"financial-2018-05-09.dimacs", 2}} {
		asked += someAgree(t, fromFolder(t, x.name), x.sets, 30, random)
	}
	furniture := invented.Furniture()
	for i := range furniture.Fields {
		if grid := furniture.Fields[i].Grid; len(grid) > 0 {
			grid[0].Step = 8 // two inches: the solver has a clause for each pair of sizes
		}
	}
	asked += someAgree(t, furniture, 12, 20, random)
	t.Logf("%d questions asked of the solver", asked)
	if asked < leastQueries {
		t.Errorf("the solver was asked %d questions, want %d", asked, leastQueries)
	}
}

// TestASolverConfirmsReasons puts picks and rules of reasons to the solver: all
// of them contradict, all but one do not.
func TestASolverConfirmsReasons(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(5, 23))
	reasons := 0
	for range 120 {
		b := invented.Small(random)
		c := compile(t, b)
		a := c.Asker()
		for range 10 {
			picks := c.Picks()
			for range random.IntN(5) {
				f := random.IntN(len(picks))
				picks[f] = int32(random.IntN(c.Values(int32(f))))
			}
			why, err := a.WhyNot(picks, choices.None, choices.None, nil)
			if errors.Is(err, choices.ErrPossible) {
				continue
			}
			if err != nil || !why.Whole {
				t.Fatalf("picks %v: %+v %v", picks, why, err)
			}
			reasons++
			confirm(t, b, picks, why)
		}
		a.Done()
	}
	if reasons < 100 {
		t.Errorf("only %d reasons were put to the solver", reasons)
	}
}

func confirm(t *testing.T, b *choices.Base, picks choices.Picks, why choices.Conflict) {
	t.Helper()
	can := func(withoutPick, withoutRule int) bool {
		few := *b
		few.Rules = nil
		for i, r := range why.Rules {
			if i != withoutRule {
				few.Rules = append(few.Rules, b.Rules[r])
			}
		}
		some := make(choices.Picks, len(picks))
		for f := range some {
			some[f] = choices.None
		}
		for i, f := range why.Picks {
			if i != withoutPick {
				some[f] = picks[f]
			}
		}
		return newSolver(&few).can(some, -1, 0)
	}
	if can(-1, -1) {
		t.Fatalf("picks %v: %+v does not contradict", picks, why)
	}
	for i := range why.Picks {
		if !can(i, -1) {
			t.Fatalf("picks %v: pick %d of %+v is needless", picks, i, why)
		}
	}
	for i := range why.Rules {
		if !can(-1, i) {
			t.Fatalf("picks %v: rule %d of %+v is needless", picks, i, why)
		}
	}
}
