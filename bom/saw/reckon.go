package saw

import (
	"errors"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// Reckon plans a list. The plan's numbers are the engine's; its bars carry the
// marks. Errors: *Refused.
func Reckon(list *List, o cutting.Options) (*Plan, error) {
	if faults := list.check(); len(faults) > 0 {
		return nil, &Refused{faults}
	}
	p := &Plan{Section: list.Section, Name: list.Name, list: list, Saw: list.Saw, Buy: []Bought{}, Bars: []Bar{}}
	grain := p.pose(list)
	solved, err := cutting.Solve(p.problem, o)
	if err != nil {
		return nil, refusal(list, err)
	}
	p.solved = solved
	p.take(grain)
	return p, nil
}

// pose makes the engine's problem of a list; grain is how many nanometres one
// unit of its cost stands for, where the length of bars is what counts.
func (p *Plan) pose(list *List) (grain int64) {
	s := list.Saw
	p.problem = cutting.Problem{Kerf: int64(s.Kerf), KerfAfterEvery: s.AfterEvery, TrimStart: int64(s.TrimStart), TrimEnd: int64(s.TrimEnd),
		Keep: int64(s.Keep), LengthsPerBar: s.Lengths, OrdersTogether: true}
	for i := range list.Pieces {
		piece := &list.Pieces[i]
		p.Pieces += piece.Count
		p.problem.Pieces = append(p.problem.Pieces, cutting.Piece{Length: int64(piece.Length), Count: piece.Count, Order: piece.Order})
	}
	p.Least, grain = list.least()
	for i := range list.Stock {
		stock := &list.Stock[i]
		p.problem.Stock = append(p.problem.Stock, cutting.Stock{Length: int64(stock.Length), Cost: stock.cost(p.Least, grain), Limit: stock.Limit})
	}
	return grain
}

// least is what a plan of the list has the least of.
func (l *List) least() (least string, grain int64) {
	priced, lengths := true, map[unit.Length]bool{}
	for i := range l.Stock {
		stock := &l.Stock[i]
		if stock.Offcut {
			continue
		}
		priced = priced && stock.Price > 0
		lengths[stock.Length] = true
		grain = divisor(grain, int64(stock.Length))
	}
	switch {
	case priced && len(lengths) > 0:
		return LeastPrice, 1
	case len(lengths) == 1:
		return LeastBars, 1
	}
	return LeastLength, max(grain, 1)
}

func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func (s *Stock) cost(least string, grain int64) int64 {
	switch {
	case s.Offcut:
		return 0
	case least == LeastPrice:
		return int64(s.Price)
	case least == LeastBars:
		return 1
	}
	return int64(s.Length) / grain
}

// take writes the engine's plan with the list's marks.
func (p *Plan) take(grain int64) {
	p.Status = p.solved.Status
	p.Cost, p.Bound = p.amount(p.solved.Cost, grain), p.amount(p.solved.Bound, grain)
	next := int64(1)
	used := make([]int64, len(p.list.Stock))
	for i := range p.solved.Bars {
		b := &p.solved.Bars[i]
		stock := &p.list.Stock[b.Stock]
		bar := Bar{Number: next, Count: b.Count, Length: stock.Length, Offcut: stock.Offcut, LeadDays: stock.LeadDays,
			Leftover: unit.Length(b.Leftover), Kept: b.Kept}
		for _, c := range b.Cuts {
			piece := &p.list.Pieces[c.Piece]
			bar.Cuts = append(bar.Cuts, Cut{Count: c.Count, Length: piece.Length, Mark: piece.Mark, Order: piece.Order, Row: piece.Row})
		}
		if b.Kept {
			p.Kept += unit.Length(b.Leftover * b.Count)
		}
		p.Bars = append(p.Bars, bar)
		next += b.Count
		used[b.Stock] += b.Count
	}
	p.Waste = unit.Length(p.solved.Waste(&p.problem))
	p.count(used)
}

func (p *Plan) amount(cost, grain int64) Amount {
	switch p.Least {
	case LeastPrice:
		price := unit.Money(cost)
		return Amount{Price: &price}
	case LeastBars:
		return Amount{Bars: &cost}
	}
	length := unit.Length(cost * grain)
	return Amount{Length: &length}
}

// count adds up what is bought and what is taken from the rack.
func (p *Plan) count(used []int64) {
	for i, n := range used {
		if n == 0 {
			continue
		}
		stock := &p.list.Stock[i]
		line := Bought{Length: stock.Length, Bars: n, LeadDays: stock.LeadDays}
		if stock.Offcut {
			p.Offcuts = append(p.Offcuts, line)
			continue
		}
		if stock.Price > 0 {
			price := stock.Price * unit.Money(n)
			line.Price = &price
		}
		p.Buy = append(p.Buy, line)
		p.Bought += n
	}
	p.fewest()
}

// fewest tells the fewest bars that any plan buys: where they come in one
// length, the bound divided by what one costs, rounded up.
func (p *Plan) fewest() {
	dearest, lengths := int64(0), 0
	for i := range p.list.Stock {
		if !p.list.Stock[i].Offcut {
			dearest = p.problem.Stock[i].Cost
			lengths++
		}
	}
	if lengths == 1 {
		fewest := (p.solved.Bound + dearest - 1) / dearest
		p.LeastBars = &fewest
	}
}

// refusal tells in lengths what the engine refuses in grains.
func refusal(list *List, err error) error {
	var short *cutting.TooLittleStock
	if errors.As(err, &short) {
		r := &Refused{}
		for i := range short.Short {
			one := &short.Short[i]
			r.Faults = append(r.Faults, Fault{Of: OfPieces, Line: list.lineOf(unit.Length(one.Length)), NoRoom: true,
				Said: sprintf("%d x %s found no room: the stock ran out, as far as the search went; raise a limit or add stock", one.Count, unit.Length(one.Length))})
		}
		return r
	}
	var invalid *cutting.Invalid
	if errors.As(err, &invalid) {
		r := &Refused{}
		for _, f := range invalid.Faults {
			r.Faults = append(r.Faults, Fault{Of: f.Field, Line: f.Line, Said: f.Said})
		}
		return r
	}
	return err
}

// lineOf is the line of the first piece of a length.
func (l *List) lineOf(length unit.Length) int {
	for i := range l.Pieces {
		if l.Pieces[i].Length == length {
			return l.lineAt(i)
		}
	}
	return 0
}
