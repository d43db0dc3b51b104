package cutting

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// VerifySheets checks a plan of sheets from scratch, as Verify does for bars: the
// parts of every cut add up with kerf and trim, every piece is there once, and
// the prices prove the bound. It shares no code with the solver.
func VerifySheets(p *SheetProblem, plan *SheetPlan) error {
	v := &sheetVerifier{p: p, plan: plan, cut: make([]int64, len(p.Pieces)), used: make([]int64, len(p.Sheets))}
	for i, s := range plan.Sheets {
		if s.Sheet < 0 || s.Sheet >= len(p.Sheets) || s.Count <= 0 {
			v.fault("sheet %d: line %d, %d times, makes no sense", i, s.Sheet, s.Count)
			continue
		}
		v.at = i
		v.used[s.Sheet] += s.Count
		sheet := p.Sheets[s.Sheet]
		if s.Part.Length > sheet.Length-2*p.Trim || s.Part.Width > sheet.Width-2*p.Trim {
			v.fault("sheet %d: %d x %d is more than trimming leaves", i, s.Part.Length, s.Part.Width)
		}
		v.part(&s.Part, s.Count, 0, false)
	}
	v.totals()
	if len(v.found) == 0 {
		v.proof()
	}
	return errors.Join(v.found...)
}

type sheetVerifier struct {
	p     *SheetProblem
	plan  *SheetPlan
	at    int
	cut   []int64
	used  []int64
	found []error
}

func (v *sheetVerifier) fault(format string, args ...any) {
	v.found = append(v.found, fmt.Errorf(format, args...))
}

// part checks one rectangle; stage and along are of the cuts that freed it.
func (v *sheetVerifier) part(p *Part, sheets int64, stage int, along bool) {
	if p.Length <= 0 || p.Width <= 0 {
		v.fault("sheet %d: a part of %d x %d", v.at, p.Length, p.Width)
		return
	}
	if len(p.Parts) == 0 {
		v.leaf(p, sheets, stage)
		return
	}
	if p.Piece >= 0 {
		v.fault("sheet %d: piece %d is cut up", v.at, p.Piece)
	}
	if stage == 0 || along != p.Along {
		stage++
	}
	used := -v.p.Kerf
	for i := range p.Parts {
		c := &p.Parts[i]
		side, other, same := c.Length, c.Width, p.Width
		if !p.Along {
			side, other, same = c.Width, c.Length, p.Length
		}
		if other != same {
			v.fault("sheet %d: a part of %d x %d does not reach from edge to edge of %d x %d", v.at, c.Length, c.Width, p.Length, p.Width)
		}
		used += side + v.p.Kerf
		v.part(c, sheets, stage, p.Along)
	}
	if whole := map[bool]int64{true: p.Length, false: p.Width}[p.Along]; used > whole {
		v.fault("sheet %d: the parts and kerfs of %d x %d come to %d", v.at, p.Length, p.Width, used)
	}
}

func (v *sheetVerifier) leaf(p *Part, sheets int64, stage int) {
	if p.Piece < 0 {
		return
	}
	if p.Piece >= len(v.p.Pieces) {
		v.fault("sheet %d: there is no piece line %d", v.at, p.Piece)
		return
	}
	piece := v.p.Pieces[p.Piece]
	l, w := piece.Length, piece.Width
	if p.Turned {
		l, w = w, l
	}
	if l != p.Length || w != p.Width || p.Turned && !piece.Turn {
		v.fault("sheet %d: %d x %d (turned: %v) is not piece line %d of %d x %d", v.at, p.Length, p.Width, p.Turned, p.Piece, piece.Length, piece.Width)
	}
	if v.p.Stages > 0 && stage > v.p.Stages {
		v.fault("sheet %d: piece line %d takes %d stages", v.at, p.Piece, stage)
	}
	v.cut[p.Piece] += sheets
}

func (v *sheetVerifier) totals() {
	for i, piece := range v.p.Pieces {
		if v.cut[i] != piece.Count {
			v.fault("piece line %d: %d cut, %d asked for", i, v.cut[i], piece.Count)
		}
	}
	cost := new(big.Int)
	for i, s := range v.p.Sheets {
		if s.Limit != Unlimited && v.used[i] > s.Limit {
			v.fault("sheet line %d: %d used, %d there", i, v.used[i], s.Limit)
		}
		cost.Add(cost, new(big.Int).Mul(big.NewInt(s.Cost), big.NewInt(v.used[i])))
	}
	if cost.Cmp(big.NewInt(v.plan.Cost)) != 0 {
		v.fault("the sheets cost %s, the plan says %d", cost, v.plan.Cost)
	}
	if v.plan.Bound > v.plan.Cost || (v.plan.Bound == v.plan.Cost) == (v.plan.Status == NotProved) {
		v.fault("bound %d and cost %d do not go with the status %q", v.plan.Bound, v.plan.Cost, v.plan.Status)
	}
	if v.plan.WithoutLimits != (v.p.Stages > 0) {
		v.fault("the plan does not say whether the bound leaves out the limit of stages")
	}
}

// proof checks the prices of every leaf and that the leaves leave nothing out.
func (v *sheetVerifier) proof() {
	q := &v.plan.Proof
	if q.Grain <= 0 || len(q.Nodes) == 0 {
		v.fault("the proof is empty")
		return
	}
	if many := len(q.Nodes) > 1; v.plan.Status == ByBound && many || v.plan.Status == BySearch && !many {
		v.fault("the status says %q, the proof has %d nodes", v.plan.Status, len(q.Nodes))
	}
	bound, err := v.node(0, nil)
	if err != nil {
		v.fault("%w", err)
		return
	}
	if bound.Cmp(big.NewInt(v.plan.Bound)) < 0 {
		v.fault("the prices prove %s, the plan claims %d", bound, v.plan.Bound)
	}
}

// pairing decides whether two kinds of pieces come from one sheet.
type pairing struct {
	first, second int
	together      bool
}

// node is the least bound of the leaves below a node.
func (v *sheetVerifier) node(at int, way []pairing) (*big.Int, error) {
	n := &v.plan.Proof.Nodes[at]
	if n.Leaf != nil {
		bound, err := v.leafBound(n.Leaf, way)
		if err != nil {
			return nil, fmt.Errorf("node %d: %w", at, err)
		}
		return bound, nil
	}
	for _, line := range []int{n.First, n.Second} {
		if line < 0 || line >= len(v.p.Pieces) || v.needed(line) != 1 {
			return nil, fmt.Errorf("node %d: line %d is not of a piece needed once", at, line)
		}
	}
	if v.kind(n.First) == v.kind(n.Second) {
		return nil, fmt.Errorf("node %d: lines %d and %d are the same piece", at, n.First, n.Second)
	}
	var least *big.Int
	for i, below := range []int{n.Together, n.Apart} {
		if below <= at || below >= len(v.plan.Proof.Nodes) {
			return nil, fmt.Errorf("node %d: there is no node %d below it", at, below)
		}
		bound, err := v.node(below, append(slices.Clip(way), pairing{v.kind(n.First), v.kind(n.Second), i == 0}))
		if err != nil {
			return nil, err
		}
		if least == nil || bound.Cmp(least) < 0 {
			least = bound
		}
	}
	return least, nil
}

// kind is the first line of pieces alike.
func (v *sheetVerifier) kind(line int) int {
	for i := range v.p.Pieces {
		if v.alike(i, line) {
			return i
		}
	}
	return line
}

func (v *sheetVerifier) alike(a, b int) bool {
	p, q := v.p.Pieces[a], v.p.Pieces[b]
	same := p.Length == q.Length && p.Width == q.Width
	return p.Turn == q.Turn && (same || p.Turn && p.Length == q.Width && p.Width == q.Length)
}

// needed is how many pieces alike are needed in all.
func (v *sheetVerifier) needed(line int) int64 {
	var n int64
	for i, piece := range v.p.Pieces {
		if v.alike(i, line) {
			n += piece.Count
		}
	}
	return n
}

// leafBound is what a leaf's prices prove, once no sheet holds more than it may.
func (v *sheetVerifier) leafBound(q *SheetPrices, way []pairing) (*big.Int, error) {
	if err := v.inRange(q); err != nil {
		return nil, err
	}
	value := new(big.Int)
	for i, piece := range v.p.Pieces {
		value.Add(value, new(big.Int).Mul(big.NewInt(piece.Count), big.NewInt(q.Pieces[i])))
	}
	worth, err := v.worths(q, way)
	if err != nil {
		return nil, err
	}
	grain := v.plan.Proof.Grain
	for i, s := range v.p.Sheets {
		if s.Limit == 0 {
			continue
		}
		if s.Cost%grain != 0 || q.Sheets[i] > 0 && s.Limit == Unlimited || s.Cost/grain > mostWorth/q.Scale {
			return nil, fmt.Errorf("sheet line %d: cost %d in grains of %d, limit %d, and price %d do not go together", i, s.Cost, grain, s.Limit, q.Sheets[i])
		}
		if q.Sheets[i] > 0 {
			value.Sub(value, new(big.Int).Mul(big.NewInt(s.Limit), big.NewInt(q.Sheets[i])))
		}
		if most := worth(s.Length-2*v.p.Trim, s.Width-2*v.p.Trim); most > q.Scale*(s.Cost/grain)+q.Sheets[i] {
			return nil, fmt.Errorf("sheet line %d can hold pieces worth %d, more than it may", i, most)
		}
	}
	// Rounded up to a multiple of the grain.
	value.Add(value, big.NewInt(q.Scale-1))
	value.Div(value, big.NewInt(q.Scale)).Mul(value, big.NewInt(grain))
	if value.Sign() < 0 {
		value.SetInt64(0) // no sheet costs less than nothing
	}
	return value, nil
}

func (v *sheetVerifier) inRange(q *SheetPrices) error {
	if q.Scale <= 0 || len(q.Pieces) != len(v.p.Pieces) || len(q.Sheets) != len(v.p.Sheets) {
		return errors.New("the prices are of another problem")
	}
	for _, price := range slices.Concat(q.Pieces, q.Sheets) {
		if price < 0 || price > mostWorth/4 {
			return fmt.Errorf("price %d is out of range", price)
		}
	}
	for i := range v.p.Pieces {
		if q.Pieces[i] != q.Pieces[v.kind(i)] {
			return fmt.Errorf("lines %d and %d are the same piece at two prices", v.kind(i), i)
		}
	}
	for _, line := range q.Counted {
		if line < 0 || line >= len(v.p.Pieces) {
			return fmt.Errorf("there is no line %d to count", line)
		}
	}
	return nil
}
