//go:build !race

// The diagram library frees its nodes in finalizers that race with its own
// tables (github.com/dalzilio/rudd v1.1.0, hudd.go:142, hkernel.go:30), so these
// tests run without the race detector; deploy/check runs both ways.

package outside

import (
	"math/big"
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/dalzilio/rudd"

	"billwright/catalog/choices"
	"billwright/catalog/choices/invented"
)

// binary is a rule base as a binary decision diagram: each field's value is
// written in bits.
type binary struct {
	*reading
	*rudd.BDD
	first []int // a field's first bit
	width []int
	all   rudd.Node // every complete choice that keeps all rules
}

func newBinary(t *testing.T, b *choices.Base) *binary {
	t.Helper()
	n := &binary{reading: read(b)}
	count := 0
	for _, all := range n.options {
		n.first = append(n.first, count)
		n.width = append(n.width, bits.Len(uint(len(all)-1)))
		count += n.width[len(n.width)-1]
	}
	diagram, err := rudd.New(max(count, 1), rudd.Nodesize(200_000), rudd.Cachesize(50_000))
	if err != nil {
		t.Fatal(err)
	}
	n.BDD = diagram
	n.all = n.True()
	for f, all := range n.options {
		every := n.False()
		for v := range all {
			every = n.Or(every, n.is(f, v))
		}
		n.all = n.And(n.all, every)
	}
	for i := range b.Rules {
		n.all = n.And(n.all, n.rule(&b.Rules[i]))
	}
	if n.Errored() {
		t.Fatal(n.Error())
	}
	return n
}

func (n *binary) is(f, v int) rudd.Node {
	node := n.True()
	for i := range n.width[f] {
		if v>>i&1 == 1 {
			node = n.And(node, n.Ithvar(n.first[f]+i))
		} else {
			node = n.And(node, n.NIthvar(n.first[f]+i))
		}
	}
	return node
}

func (n *binary) row(row choices.Row) rudd.Node {
	node := n.True()
	for i := range row {
		f, in, _ := n.in(&row[i])
		some := n.False()
		for _, v := range in {
			some = n.Or(some, n.is(f, v))
		}
		node = n.And(node, some)
	}
	return node
}

func (n *binary) rows(rows []choices.Row) rudd.Node {
	some := n.False()
	for _, row := range rows {
		some = n.Or(some, n.row(row))
	}
	return some
}

func (n *binary) rule(r *choices.Rule) rudd.Node {
	var says rudd.Node
	switch {
	case r.Allow != nil:
		says = n.rows(r.Allow)
	case r.Forbid != nil:
		says = n.Not(n.rows(r.Forbid))
	case r.Require != nil:
		says = n.row(r.Require)
	default:
		says = n.True()
		a, b, allows := n.compared(r)
		for va := range n.options[a] {
			for vb := range n.options[b] {
				if !allows(va, vb) {
					says = n.And(says, n.Not(n.And(n.is(a, va), n.is(b, vb))))
				}
			}
		}
	}
	return n.Or(n.Not(n.row(r.Where)), says)
}

// agree compares counts, and what remains beside some picks.
func (n *binary) agree(t *testing.T, c *choices.Compiled, sets int, random *rand.Rand) int {
	t.Helper()
	count, err := c.Count(choices.None)
	if want := n.Satcount(n.all); err != nil || count.Cmp(want) != 0 {
		t.Fatalf("%v choices %v, the library counts %v", count, err, want)
	}
	asked := 0
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	for range sets {
		picks := c.Picks()
		some := n.all
		for range random.IntN(4) {
			f := random.IntN(len(picks))
			if picks[f] == choices.None {
				picks[f] = int32(random.IntN(len(n.options[f])))
				some = n.And(some, n.is(f, int(picks[f])))
			}
		}
		_ = a.Remaining(picks, left)
		for f := range picks {
			for v := range n.options[f] {
				want := !n.Equal(n.And(some, n.is(f, v)), n.False())
				if got := c.Has(left, int32(f), int32(v)); got != want {
					t.Fatalf("picks %v: field %d value %d remains: %v, the library says %v", picks, f, v, got, want)
				}
				asked++
			}
		}
	}
	return asked
}

func TestADiagramLibraryAgreesOnCountsAndWhatRemains(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(8, 31))
	asked := 0
	for range 120 {
		b := invented.Small(random)
		asked += newBinary(t, b).agree(t, compile(t, b), 3, random)
	}
	for _, name := range []string{"berkeleydb.dimacs", "eshop-lau2006.dimacs"} {
		b := fromFolder(t, name)
		asked += newBinary(t, b).agree(t, compile(t, b), 8, random)
	}
	t.Logf("%d questions asked of the library", asked)
	if asked < leastQueries {
		t.Errorf("the library was asked %d questions, want %d", asked, leastQueries)
	}
}

// TestADiagramLibraryCountsTheTables is apart since it is the largest that the
// library was seen to count.
func TestADiagramLibraryCountsTheTables(t *testing.T) {
	t.Parallel()
	b := fromFolder(t, "pc.tbl")
	n := newBinary(t, b)
	if got, want := n.Satcount(n.all), big.NewInt(2_729_160); got.Cmp(want) != 0 {
		t.Errorf("the library counts %v, want %v", got, want)
	}
	n.agree(t, compile(t, b), 2, rand.New(rand.NewPCG(1, 2)))
}
