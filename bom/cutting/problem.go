package cutting

import (
	"fmt"
	"math"
	"strings"
)

// Limits keep every sum inside int64.
const (
	// MaxLength bounds lengths, kerf and trim: 1,000 km in nanometres.
	MaxLength = int64(1_000_000_000_000_000)
	// MaxCount bounds the count on one line and all lines together.
	MaxCount = int64(1_000_000_000_000)
	// MaxCost bounds the cost of one bar.
	MaxCost = int64(1_000_000_000_000)
	// Unlimited is the Limit of stock that can be bought at will.
	Unlimited = int64(-1)
)

// Piece is a line of the list to cut. Lengths are in any one grain, the same
// everywhere in a problem.
type Piece struct {
	Length int64
	Count  int64
	// Group ties the piece to stock of the same group, such as a grade or a
	// heat. Groups are cut apart from each other.
	Group string
	// Order is whose piece it is; it matters only with OrdersTogether.
	Order string
}

// Stock is bars of one length. Cost is what one bar costs, in any one grain;
// it need not be in proportion to the length, and 0 is a bar that costs nothing,
// such as an offcut on the rack, which is thereby used first. Limit is how many
// there are, or Unlimited.
type Stock struct {
	Length int64
	Cost   int64
	Limit  int64
	Group  string
}

// Problem is what to cut from what. Kerf is the width of a saw cut.
type Problem struct {
	Pieces []Piece
	Stock  []Stock
	Kerf   int64
	// KerfAfterEvery: the saw cuts after every piece, also after the last one
	// of a bar; else only between pieces, so that the last may end with the bar.
	KerfAfterEvery bool
	// TrimStart and TrimEnd are cut off every bar before anything else; the
	// kerf of those cuts is part of them.
	TrimStart, TrimEnd int64
	// Keep is the least leftover worth keeping; 0 keeps none. With it, pieces are
	// moved between a plan's bars so that few long leftovers stay, which never
	// costs more.
	Keep int64
	// LengthsPerBar is the most different lengths on a bar; 0 is no limit.
	// The bound stays that of the plan without this limit.
	LengthsPerBar int
	// OrdersTogether brings pieces of one order onto the same or neighbouring
	// bars where it costs nothing.
	OrdersTogether bool
}

// Fault is one thing wrong with a problem.
type Fault struct {
	// Line numbers pieces or stock from 1; 0 is the problem itself.
	Line  int
	Field string
	Said  string
}

// Invalid holds all faults of a problem.
type Invalid struct{ Faults []Fault }

func (e *Invalid) Error() string {
	said := make([]string, 0, 4)
	for i, f := range e.Faults {
		if i == 20 {
			said = append(said, fmt.Sprintf("and %d more", len(e.Faults)-i))
			break
		}
		where := f.Field
		if f.Line > 0 {
			where = fmt.Sprintf("%s, line %d", f.Field, f.Line)
		}
		said = append(said, where+": "+f.Said)
	}
	return strings.Join(said, "; ")
}

// TooLittleStock tells that limited stock does not hold the pieces, as far as
// the search went.
type TooLittleStock struct {
	Group string
	// Short are the lengths that found no room, each with how many.
	Short []Piece
}

func (e *TooLittleStock) Error() string {
	var n int64
	for _, p := range e.Short {
		n += p.Count
	}
	in := ""
	if e.Group != "" {
		in = fmt.Sprintf(" of group %q", e.Group)
	}
	return fmt.Sprintf("the stock%s ran out: %d pieces found no room, the longest of them %d; raise a limit or add stock", in, n, e.Short[0].Length)
}

// Check returns *Invalid with every fault, or nil.
func (p *Problem) Check() error {
	var faults []Fault
	add := func(line int, field, format string, args ...any) {
		faults = append(faults, Fault{line, field, fmt.Sprintf(format, args...)})
	}
	p.checkSaw(add)
	longest := p.checkStock(add)
	p.checkPieces(longest, add)
	if len(faults) > 0 {
		return &Invalid{faults}
	}
	return nil
}

type addFault func(line int, field, format string, args ...any)

func (p *Problem) checkSaw(add addFault) {
	for _, f := range []struct {
		name  string
		value int64
	}{{"kerf", p.Kerf}, {"trim at the start", p.TrimStart}, {"trim at the end", p.TrimEnd}, {"keep", p.Keep}} {
		switch {
		case f.value < 0:
			add(0, f.name, "%d is negative; give 0 for none", f.value)
		case f.value > MaxLength:
			add(0, f.name, "%d is more than %d", f.value, MaxLength)
		}
	}
	if p.LengthsPerBar < 0 {
		add(0, "lengths per bar", "%d is negative; give 0 for no limit", p.LengthsPerBar)
	}
}

// checkStock returns the longest usable length in each group.
func (p *Problem) checkStock(add addFault) map[string]int64 {
	longest := map[string]int64{}
	if len(p.Stock) == 0 {
		add(0, "stock", "there is none; name at least one length")
	}
	for i, s := range p.Stock {
		line := i + 1
		switch {
		case s.Length <= 0 || s.Length > MaxLength:
			add(line, "stock", "length %d is not between 1 and %d", s.Length, MaxLength)
			continue
		case p.Kerf >= s.Length:
			add(line, "stock", "the kerf %d is as wide as the bar of %d is long", p.Kerf, s.Length)
		case p.usable(s) <= 0:
			add(line, "stock", "trimming %d and %d leaves nothing of a bar of %d", p.TrimStart, p.TrimEnd, s.Length)
		}
		if s.Cost < 0 || s.Cost > MaxCost {
			add(line, "stock", "cost %d is not between 0 and %d", s.Cost, MaxCost)
		}
		if s.Limit != Unlimited && (s.Limit < 0 || s.Limit > MaxCount) {
			add(line, "stock", "limit %d is not between 0 and %d; give %d for no limit", s.Limit, MaxCount, Unlimited)
		}
		if s.Limit != 0 {
			longest[s.Group] = max(longest[s.Group], p.usable(s))
		}
	}
	return longest
}

func (p *Problem) checkPieces(longest map[string]int64, add addFault) {
	var count, dearest int64
	for _, s := range p.Stock {
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
		if piece.Length <= 0 || piece.Length > MaxLength {
			add(line, "pieces", "length %d is not between 1 and %d", piece.Length, MaxLength)
			continue
		}
		most, found := longest[piece.Group]
		switch room := most - p.kerfAfter(); {
		case !found:
			add(line, "pieces", "there is no stock of group %q", piece.Group)
		case piece.Length > room:
			add(line, "pieces", "length %d is longer than the %d that the longest bar leaves", piece.Length, room)
		}
	}
	if dearest > 0 && count > math.MaxInt64/4/dearest {
		add(0, "pieces", "%d pieces at up to %d a bar cost more than can be added up", count, dearest)
	}
}

// usable is what trimming leaves of a bar.
func (p *Problem) usable(s Stock) int64 { return s.Length - p.TrimStart - p.TrimEnd }

func (p *Problem) kerfAfter() int64 {
	if p.KerfAfterEvery {
		return p.Kerf
	}
	return 0
}
