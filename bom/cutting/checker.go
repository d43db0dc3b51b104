package cutting

import (
	"cmp"
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// checker checks one group's proof. Its item and bar are those of the problem
// with each piece longer by the kerf, and each bar by the cut it does not need.
type checker struct {
	proof *Proof
	items []checkItem
	bars  []checkBar
	index map[int64]int // item of a length
	// path is the decisions from the root to the node at hand.
	path []decision
	// list is the fillings that count at the node at hand, nil for all;
	// narrowed tells that some node made one. listed are the bars, by place, whose
	// fillings the list has.
	list     []filling
	narrowed bool
	listed   []bool
}

type checkItem struct{ width, need int64 }

type checkBar struct {
	line              int
	size, cost, limit int64
}

type decision struct {
	row   *Row
	high  bool // at least limit; else at most
	limit int64
}

func newChecker(p *Problem, proof *Proof) *checker {
	c := &checker{proof: proof, index: map[int64]int{}}
	for _, piece := range p.Pieces {
		if piece.Group != proof.Group {
			continue
		}
		i, found := c.index[piece.Length]
		if !found {
			i = len(c.items)
			c.index[piece.Length] = i
			c.items = append(c.items, checkItem{width: piece.Length + p.Kerf})
		}
		c.items[i].need += piece.Count
	}
	unit := new(big.Int)
	for _, it := range c.items {
		unit.GCD(nil, nil, unit, big.NewInt(it.width))
	}
	for i := range c.items {
		c.items[i].width /= unit.Int64()
	}
	narrowest := slices.MinFunc(c.items, func(a, b checkItem) int { return cmp.Compare(a.width, b.width) }).width
	for line, s := range p.Stock {
		if s.Group != proof.Group || s.Limit == 0 {
			continue
		}
		room := s.Length - p.TrimStart - p.TrimEnd
		if !p.KerfAfterEvery {
			room += p.Kerf
		}
		if size := room / unit.Int64(); size >= narrowest {
			c.bars = append(c.bars, checkBar{line, size, s.Cost, s.Limit})
		}
	}
	// Longest first, the order in which the lists below need them.
	slices.SortStableFunc(c.bars, func(a, b checkBar) int { return cmp.Compare(b.size, a.size) })
	return c
}

// tree returns the least that any plan costs: the least of all leaves.
func (c *checker) tree() (*big.Int, error) {
	if len(c.proof.Nodes) == 0 || c.proof.Grain <= 0 {
		return nil, errors.New("the proof is empty")
	}
	for i := range c.bars {
		if c.bars[i].cost%c.proof.Grain != 0 {
			return nil, fmt.Errorf("cost %d is no multiple of %d", c.bars[i].cost, c.proof.Grain)
		}
		c.bars[i].cost /= c.proof.Grain
	}
	visited := make([]bool, len(c.proof.Nodes))
	least, err := c.node(0, visited)
	if err != nil {
		return nil, err
	}
	if below := big.NewInt(c.proof.Below); c.narrowed && below.Cmp(least) < 0 {
		// Of plans that cost as much or more, the lists say nothing.
		least = below
	}
	return least.Mul(least, big.NewInt(c.proof.Grain)), nil
}

func (c *checker) node(at int, visited []bool) (*big.Int, error) {
	if at < 0 || at >= len(visited) || visited[at] {
		return nil, fmt.Errorf("node %d is not there or is met twice", at)
	}
	visited[at] = true
	n := &c.proof.Nodes[at]
	if n.Narrow != nil {
		nothing, err := c.narrow(n.Narrow, n.Listed)
		if err != nil {
			return nil, fmt.Errorf("node %d narrows: %w", at, err)
		}
		if nothing {
			return big.NewInt(c.proof.Below), nil
		}
	}
	if n.Leaf != nil {
		bound, err := c.leaf(n.Leaf)
		if err != nil {
			return nil, fmt.Errorf("leaf %d: %w", at, err)
		}
		return bound, nil
	}
	if err := c.rowMakesSense(&n.Row); err != nil {
		return nil, fmt.Errorf("node %d: %w", at, err)
	}
	low, err := c.side(decision{&n.Row, false, n.Most}, n.Low, visited)
	if err != nil {
		return nil, err
	}
	high, err := c.side(decision{&n.Row, true, n.Most + 1}, n.High, visited)
	if err != nil {
		return nil, err
	}
	if high.Cmp(low) < 0 {
		return high, nil
	}
	return low, nil
}

// side checks the tree below one side of a decision.
func (c *checker) side(d decision, at int, visited []bool) (*big.Int, error) {
	list := c.list
	c.path = append(c.path, d)
	c.decide(d)
	bound, err := c.node(at, visited)
	c.path, c.list = c.path[:len(c.path)-1], list
	return bound, err
}

func (c *checker) rowMakesSense(r *Row) error {
	if len(r.Stock) > 0 && len(r.Terms) == 0 {
		return nil
	}
	if len(r.Stock) > 0 && !c.allListed(r.Stock) {
		return errors.New("the row counts pieces in bars that are not listed")
	}
	if r.Over <= 0 || len(r.Terms) == 0 {
		return errors.New("the row divides by nothing or counts nothing")
	}
	seen := map[int64]bool{}
	for _, t := range r.Terms {
		if _, found := c.index[t.Length]; !found || t.Times <= 0 || seen[t.Length] {
			return fmt.Errorf("the row counts %d pieces of length %d", t.Times, t.Length)
		}
		seen[t.Length] = true
	}
	return nil
}

// leaf returns the bound that a leaf proves, in multiples of the grain.
func (c *checker) leaf(l *Leaf) (*big.Int, error) {
	if l.Whole {
		return c.whole(l)
	}
	w, err := c.weigh(l)
	if err != nil {
		return nil, err
	}
	holds := w.holds
	if c.list != nil {
		holds = w.holdsListed
	}
	if err := holds(); err != nil {
		return nil, err
	}
	value, rest := new(big.Int).DivMod(w.value, big.NewInt(l.Scale), new(big.Int))
	if rest.Sign() > 0 {
		value.Add(value, big.NewInt(1))
	}
	if value.Sign() < 0 {
		value.SetInt64(0)
	}
	return value, nil
}
