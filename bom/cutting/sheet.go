package cutting

import (
	"fmt"
	"math"
)

// MaxSide bounds the sides of sheets and pieces: 100 m in nanometres. Measured in
// the sides' greatest common divisor, kerf included, a sheet's area must also stay
// below 2^60.
const MaxSide = int64(100_000_000_000)

// SheetPiece is a line of rectangles to cut. Turn says that the piece may lie
// either way: its grain does not matter.
type SheetPiece struct {
	Length, Width, Count int64
	Turn                 bool
}

// Sheet is a size of sheets; Cost and Limit are as for Stock.
type Sheet struct{ Length, Width, Cost, Limit int64 }

// SheetProblem is what to cut from sheets by cuts from edge to edge. Trim is cut
// off all four edges first, the kerf of those cuts being part of it. Stages is
// how often the direction of cuts may change plus one; 0 is no limit. A cut that
// trims a piece to size counts like any other.
type SheetProblem struct {
	Pieces []SheetPiece
	Sheets []Sheet
	Kerf   int64
	Trim   int64
	Stages int
}

// Part is a rectangle of a sheet: a piece, or cut into parts, or left over.
type Part struct {
	Length, Width int64
	// Piece is the line of the piece it is, or -1.
	Piece  int
	Turned bool
	// Along: the parts lie behind each other along the length; else along the
	// width. Between two parts is a kerf.
	Along bool
	Parts []Part
}

// CutSheet is Count sheets of one line cut the same way. Part is what is used of
// it: at most what trimming leaves; a strip that no sum of pieces reaches may be
// trimmed off as well.
type CutSheet struct {
	Sheet int
	Count int64
	Part  Part
}

// SheetPlan is sheets with their cuts, and what is proved of it. The status
// NotProved may be of a plan that is the cheapest.
type SheetPlan struct {
	Sheets []CutSheet
	Cost   int64
	Bound  int64
	Status Status
	// WithoutLimits: Bound and Status hold for plans without the limit of stages.
	WithoutLimits bool
	Proof         SheetProof
}

// SheetProof is a search whose leaves are sets of prices; its first node is the
// root, and a node stands before those below it. Costs are reckoned in Grain, which
// divides all of them. One leaf is one set of prices, the usual case.
type SheetProof struct {
	Grain int64
	Nodes []SheetNode
}

// SheetNode is a leaf, or says: the pieces of two lines, of each of which one
// piece is needed in all, come from one sheet, as Together goes on, or from two,
// as Apart does. Both are indices of nodes.
type SheetNode struct {
	First, Second   int
	Together, Apart int
	Leaf            *SheetPrices
}

// SheetPrices are a set of prices: no sheet cut from edge to edge as decided on
// the way to the leaf can hold pieces worth more than Scale x its cost plus its own
// price, though it held the same piece again and again, except that it holds
// those Counted no more often than they are needed. So any plan that keeps to the
// decisions costs at least (pieces - limits x sheet prices) / Scale, rounded up to
// a multiple of the grain.
type SheetPrices struct {
	Scale  int64
	Pieces []int64 // price of a piece, by line
	Sheets []int64 // price of using up one of limited sheets, by line
	// Counted are lines; pieces alike on other lines are counted with them.
	Counted []int
}

// Count returns the number of sheets.
func (p *SheetPlan) Count() int64 {
	var n int64
	for _, s := range p.Sheets {
		n += s.Count
	}
	return n
}

// Check returns *Invalid with every fault, or nil.
func (p *SheetProblem) Check() error {
	var faults []Fault
	add := func(line int, field, format string, args ...any) {
		faults = append(faults, Fault{line, field, fmt.Sprintf(format, args...)})
	}
	if p.Kerf < 0 || p.Kerf > MaxSide {
		add(0, "kerf", "%d is not between 0 and %d", p.Kerf, MaxSide)
	}
	if p.Trim < 0 || p.Trim > MaxSide {
		add(0, "trim", "%d is not between 0 and %d", p.Trim, MaxSide)
	}
	if p.Stages < 0 || p.Stages == 1 {
		add(0, "stages", "%d is not 0 for no limit, or at least 2", p.Stages)
	}
	p.checkSheets(add)
	p.checkPieces(add)
	if len(faults) == 0 && len(p.Pieces) > 0 {
		p.checkGrain(add)
	}
	if len(faults) > 0 {
		return &Invalid{faults}
	}
	return nil
}

// divisor is the greatest common divisor of all sides with the kerf. With a
// limit of stages the sheets' sides count too: what a sheet is beyond a multiple
// would cost a stage.
func (p *SheetProblem) divisor() int64 {
	var g int64
	for _, piece := range p.Pieces {
		g = gcd(gcd(g, piece.Length+p.Kerf), piece.Width+p.Kerf)
	}
	for _, s := range p.Sheets {
		if p.Stages > 0 {
			g = gcd(gcd(g, s.Length-2*p.Trim+p.Kerf), s.Width-2*p.Trim+p.Kerf)
		}
	}
	return g
}

func (p *SheetProblem) checkGrain(add addFault) {
	g := p.divisor()
	for i, s := range p.Sheets {
		// A sheet narrower than the step holds no piece: w is 0 then.
		if l, w := (s.Length+p.Kerf)/g, (s.Width+p.Kerf)/g; w > 0 && l > (1<<60)/w {
			add(i+1, "sheets", "%d x %d is too large for sides in steps of %d; round pieces, sheets and kerf to a common step", s.Length, s.Width, g)
		}
	}
}

func (p *SheetProblem) checkSheets(add addFault) {
	if len(p.Sheets) == 0 {
		add(0, "sheets", "there is none; name at least one size")
	}
	for i, s := range p.Sheets {
		line := i + 1
		switch {
		case s.Length <= 0 || s.Length > MaxSide || s.Width <= 0 || s.Width > MaxSide:
			add(line, "sheets", "%d x %d: sides are between 1 and %d", s.Length, s.Width, MaxSide)
		case min(s.Length, s.Width) <= max(2*p.Trim, p.Kerf):
			add(line, "sheets", "%d x %d: trim %d or kerf %d leaves nothing of it", s.Length, s.Width, p.Trim, p.Kerf)
		}
		if s.Cost < 0 || s.Cost > MaxCost {
			add(line, "sheets", "cost %d is not between 0 and %d", s.Cost, MaxCost)
		}
		if s.Limit != Unlimited && (s.Limit < 0 || s.Limit > MaxCount) {
			add(line, "sheets", "limit %d is not between 0 and %d; give %d for no limit", s.Limit, MaxCount, Unlimited)
		}
	}
}

func (p *SheetProblem) checkPieces(add addFault) {
	var count, dearest int64
	for _, s := range p.Sheets {
		dearest = max(dearest, s.Cost)
	}
	for i, piece := range p.Pieces {
		line := i + 1
		if piece.Count <= 0 || piece.Count > MaxCount {
			add(line, "pieces", "count %d is not between 1 and %d", piece.Count, MaxCount)
		} else if count += piece.Count; count > MaxCount {
			add(line, "pieces", "more than %d pieces in all", MaxCount)
			return
		}
		if piece.Length <= 0 || piece.Length > MaxSide || piece.Width <= 0 || piece.Width > MaxSide {
			add(line, "pieces", "%d x %d: sides are between 1 and %d", piece.Length, piece.Width, MaxSide)
			continue
		}
		if !p.fitsSome(piece) {
			add(line, "pieces", "%d x %d is larger than any sheet leaves", piece.Length, piece.Width)
		}
	}
	if dearest > 0 && count > math.MaxInt64/4/dearest {
		add(0, "pieces", "%d pieces at up to %d a sheet cost more than can be added up", count, dearest)
	}
}

func (p *SheetProblem) fitsSome(piece SheetPiece) bool {
	for _, s := range p.Sheets {
		l, w := s.Length-2*p.Trim, s.Width-2*p.Trim
		if s.Limit != 0 && (piece.Length <= l && piece.Width <= w || piece.Turn && piece.Width <= l && piece.Length <= w) {
			return true
		}
	}
	return false
}
