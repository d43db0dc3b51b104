package cutting

// Status tells what is known of a plan's cost.
type Status string

const (
	// ByBound: one set of prices proves that no plan costs less.
	ByBound Status = "proved by bound"
	// BySearch: no plan costs less, by the leaves of a search tree.
	BySearch Status = "proved by search"
	// NotProved: a cheaper plan may exist, but none below the bound.
	NotProved Status = "not proved"
)

// Plan is bars with the pieces to cut from them, and what is proved of it.
type Plan struct {
	Bars []Bar
	Cost int64
	// Bound is the least any plan may cost.
	Bound  int64
	Status Status
	// WithoutLimits: the problem has LengthsPerBar, and Bound and Status hold
	// for plans without it.
	WithoutLimits bool
	Certificate   Certificate
}

// Bar is Count bars of one stock line, all cut the same way.
type Bar struct {
	// Stock and Cut.Piece are indexes into the problem's lists.
	Stock int
	Count int64
	// Cuts are in cutting order.
	Cuts []Cut
	// Leftover is what stays of each bar behind its last cut, 0 for nothing.
	Leftover int64
	// Kept: the leftover is at least Problem.Keep.
	Kept bool
}

// Cut is Count pieces of one line, one after another.
type Cut struct {
	Piece int
	Count int64
}

// Count returns the number of bars.
func (p *Plan) Count() int64 {
	var n int64
	for _, b := range p.Bars {
		n += b.Count
	}
	return n
}

// Waste is what the plan throws away: the length of its bars less its pieces
// and less the leftovers kept.
func (p *Plan) Waste(problem *Problem) int64 {
	var waste int64
	for _, b := range p.Bars {
		left := problem.Stock[b.Stock].Length
		for _, c := range b.Cuts {
			left -= problem.Pieces[c.Piece].Length * c.Count
		}
		if b.Kept {
			left -= b.Leftover
		}
		waste += left * b.Count
	}
	return waste
}

// Certificate is what proves a plan's bound, one proof for each group of the
// problem, in the order in which the groups first appear among the pieces.
type Certificate struct{ Proofs []Proof }

// Proof is a search tree for one group. Its nodes stand in an array with the
// root first; a proof by bound is a root that is a leaf.
type Proof struct {
	Group string
	// Grain divides the cost of all stock of the group, so that any plan's cost
	// is a multiple of it. The leaves reckon costs in multiples of Grain.
	Grain int64
	// Below, in multiples of Grain, is the cost that plans must stay below for
	// nodes with Narrow to say something about them.
	Below int64
	Nodes []Node
}

// Node either branches or is a leaf. A branch says that the count of Row over
// the bars of a plan is at most Most (then go to node Low) or at least Most+1
// (then go to node High); a plan has whole bars, so one of the two holds.
type Node struct {
	Row       Row
	Most      int64
	Low, High int
	Leaf      *Leaf
	// Narrow holds prices under which plans cheaper than Proof.Below have only
	// certain bars from here on: those that fall short of what they may hold by
	// no more than such a plan's cost exceeds the prices' sum.
	Narrow *Leaf
	// Listed, with the first Narrow on a way, are the stock lines for whose bars
	// it says this; other bars may still have any content. Empty is all lines.
	Listed []int
}

// Row gives each bar a whole number: how often it counts. With Stock alone, a bar
// counts once if it is of one of those stock lines. Else it counts the sum of
// Times x pieces of Length, divided by Over and rounded down; with Stock too, only
// bars of those stock lines do, which must be among the Listed.
type Row struct {
	Stock []int
	Terms []Term
	Over  int64
}

// Term is one length of a Row.
type Term struct{ Length, Times int64 }

// RowPrice is a cut of the leaf: over a plan's bars, Row counts no more than
// the same sum over all pieces, divided and rounded down (Chvatal's rounding),
// and Price is what one count costs.
type RowPrice struct {
	Row   Row
	Price int64
}

// Price is the price of one piece of a length.
type Price struct{ Length, Price int64 }

// StockPrice is the price of using up one bar of limited stock.
type StockPrice struct {
	Stock int
	Price int64
}

// Leaf proves a bound where the decisions above it hold. All prices are whole,
// not negative, and in parts of Scale. No bar may hold pieces worth more than
// Scale x its cost, plus its stock price, plus Branches and Cuts at the prices
// of what it counts there ("at least" branches count as worth). Then any plan
// costs at least (pieces - limits x stock prices - rows' limits x prices) / Scale,
// rounded up.
//
// With Whole, there are prices of pieces only, and the bound is that of whole bars:
// the least that bars can cost, in numbers that the decisions on stock allow, whose
// worthiest contents together are worth as much as all pieces.
type Leaf struct {
	Whole    bool
	Scale    int64
	Prices   []Price
	Stock    []StockPrice
	Branches []int64 // one for each decision on the way from the root
	Cuts     []RowPrice
}
