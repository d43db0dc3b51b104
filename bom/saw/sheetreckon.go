package saw

import (
	"errors"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// costArea is the area that costs are counted in where sheets have several sizes
// and no prices: a square centimetre.
const costArea = unit.SquareMetre / 10_000

// ReckonSheets plans a list of sheets. The plan's numbers are the engine's; where
// each piece lies follows from its cuts. Errors: *Refused.
func ReckonSheets(list *SheetList, o cutting.Options) (*SheetPlan, error) {
	if faults := list.check(); len(faults) > 0 {
		return nil, &Refused{faults}
	}
	p := &SheetPlan{Kind: list.Kind, Item: list.Item, Name: list.Name, Saw: list.Saw, Buy: []BoughtSheets{}, SheetLayout: []SheetLayout{}, list: list}
	p.pose(list)
	solved, err := cutting.SolveSheets(p.problem, o)
	if err != nil {
		return nil, list.refusal(err)
	}
	p.solved = solved
	p.take()
	return p, nil
}

func (p *SheetPlan) pose(list *SheetList) {
	p.problem = cutting.SheetProblem{Kerf: int64(list.Saw.Kerf), Trim: int64(list.Saw.Trim), Stages: list.Saw.Stages}
	for i := range list.Pieces {
		piece := &list.Pieces[i]
		p.Pieces += piece.Count
		p.problem.Pieces = append(p.problem.Pieces, cutting.SheetPiece{Length: int64(piece.Length), Width: int64(piece.Width), Count: piece.Count, Turn: piece.Turn})
	}
	p.Least = list.least()
	for i := range list.Stock {
		stock := &list.Stock[i]
		p.problem.Sheets = append(p.problem.Sheets, cutting.Sheet{Length: int64(stock.Length), Width: int64(stock.Width), Cost: stock.cost(p.Least), Limit: stock.Limit})
	}
}

// least is what a plan of the list has the least of.
func (l *SheetList) least() string {
	priced, sizes := true, map[[2]unit.Length]bool{}
	for i := range l.Stock {
		stock := &l.Stock[i]
		if !stock.Offcut {
			priced = priced && stock.Price > 0
			sizes[[2]unit.Length{stock.Length, stock.Width}] = true
		}
	}
	switch {
	case priced && len(sizes) > 0:
		return LeastPrice
	case len(sizes) == 1:
		return LeastSheets
	}
	return LeastArea
}

func (s *StockSheet) cost(least string) int64 {
	switch {
	case s.Offcut:
		return 0
	case least == LeastPrice:
		return int64(s.Price)
	case least == LeastSheets:
		return 1
	}
	return max(int64((areaOf(s.Length, s.Width)+costArea/2)/costArea), 1)
}

// areaOf is the area of sides that check has bounded.
func areaOf(length, width unit.Length) unit.Area {
	area, err := length.Times(width)
	if err != nil { // longer than cutting.MaxSide, which check refuses
		return unit.Area(cutting.MaxCost)
	}
	return area
}

// take writes the engine's plan with the list's marks.
func (p *SheetPlan) take() {
	p.Status, p.AnyStages = p.solved.Status, p.solved.WithoutLimits
	p.Cost, p.Bound = p.amount(p.solved.Cost), p.amount(p.solved.Bound)
	next := int64(1)
	used := make([]int64, len(p.list.Stock))
	var waste unit.Area
	for i := range p.solved.Sheets {
		s := &p.solved.Sheets[i]
		stock := &p.list.Stock[s.Sheet]
		laid := SheetLayout{Number: next, Count: s.Count, Length: stock.Length, Width: stock.Width, Offcut: stock.Offcut, Cuts: []Division{}}
		l := laying{list: p.list, on: &laid}
		l.sheet(&s.Part)
		waste += unit.Area(s.Count) * (areaOf(stock.Length, stock.Width) - l.pieces - l.kept)
		p.Kept += bom.Surface(s.Count) * bom.Surface(l.kept)
		p.SheetLayout = append(p.SheetLayout, laid)
		next += s.Count
		used[s.Sheet] += s.Count
	}
	p.Waste = bom.Surface(waste)
	p.count(used)
}

func (p *SheetPlan) amount(cost int64) SheetAmount {
	switch p.Least {
	case LeastPrice:
		price := unit.Money(cost)
		return SheetAmount{Price: &price}
	case LeastSheets:
		return SheetAmount{Sheets: &cost}
	}
	area := bom.Surface(cost) * bom.Surface(costArea)
	return SheetAmount{Area: &area}
}

// count adds up what is bought and what is taken from the rack.
func (p *SheetPlan) count(used []int64) {
	dearest, sizes := int64(0), 0
	for i, n := range used {
		stock := &p.list.Stock[i]
		line := BoughtSheets{Length: stock.Length, Width: stock.Width, Sheets: n}
		if !stock.Offcut {
			dearest, sizes = p.problem.Sheets[i].Cost, sizes+1
		}
		switch {
		case n == 0:
		case stock.Offcut:
			p.Offcuts = append(p.Offcuts, line)
		default:
			if stock.Price > 0 {
				price := stock.Price * unit.Money(n)
				line.Price = &price
			}
			p.Buy = append(p.Buy, line)
			p.Bought += n
		}
	}
	if sizes == 1 {
		fewest := (p.solved.Bound + dearest - 1) / dearest
		p.FewestMay = &fewest
	}
}

// laying turns the engine's tree of cuts of one sheet into where its pieces lie.
type laying struct {
	list         *SheetList
	on           *SheetLayout
	pieces, kept unit.Area
}

// sheet begins with what trimming leaves. What the engine uses of it may be less;
// the rest comes off by a cut of its own.
func (l *laying) sheet(used *cutting.Part) {
	trim := l.list.Saw.Trim
	root := cutting.Part{Length: int64(l.on.Length - 2*trim), Width: int64(l.on.Width - 2*trim), Piece: -1}
	if used.Length == root.Length && used.Width == root.Width {
		l.part(used, trim, trim)
		return
	}
	across := *used
	if used.Width < root.Width {
		across = cutting.Part{Length: used.Length, Width: root.Width, Piece: -1, Parts: []cutting.Part{*used}}
	}
	if used.Length == root.Length {
		l.part(&across, trim, trim)
		return
	}
	root.Along, root.Parts = true, []cutting.Part{across}
	l.part(&root, trim, trim)
}

func (l *laying) part(p *cutting.Part, x, y unit.Length) {
	at := Place{X: x, Y: y, Length: unit.Length(p.Length), Width: unit.Length(p.Width)}
	switch {
	case len(p.Parts) > 0:
		l.divide(p, at)
	case p.Piece >= 0:
		piece := &l.list.Pieces[p.Piece]
		l.on.Pieces = append(l.on.Pieces, Laid{Place: at, Turned: p.Turned, Mark: piece.Mark, Order: piece.Order, Row: piece.Row})
		l.pieces += areaOf(at.Length, at.Width)
	default:
		l.left(at)
	}
}

func (l *laying) divide(p *cutting.Part, at Place) {
	cut := Division{Place: at, Of: OfWidth}
	whole := at.Width
	if p.Along {
		cut.Of, whole = OfLength, at.Length
	}
	used := unit.Length(0)
	starts := make([]unit.Length, len(p.Parts))
	for i := range p.Parts {
		side := unit.Length(p.Parts[i].Width)
		if p.Along {
			side = unit.Length(p.Parts[i].Length)
		}
		starts[i] = used
		used += side + l.list.Saw.Kerf
		cut.Into = append(cut.Into, side)
	}
	if len(p.Parts) > 1 || used-l.list.Saw.Kerf < whole {
		l.on.Cuts = append(l.on.Cuts, cut)
	}
	for i, start := range starts {
		if p.Along {
			l.part(&p.Parts[i], at.X+start, at.Y)
		} else {
			l.part(&p.Parts[i], at.X, at.Y+start)
		}
	}
	if rest := whole - used; rest > 0 {
		if p.Along {
			l.left(Place{X: at.X + used, Y: at.Y, Length: rest, Width: at.Width})
		} else {
			l.left(Place{X: at.X, Y: at.Y + used, Length: at.Length, Width: rest})
		}
	}
}

func (l *laying) left(at Place) {
	keep := l.list.Saw.Keep
	one := Leftover{Place: at, Kept: keep > 0 && min(at.Length, at.Width) >= keep}
	if one.Kept {
		l.kept += areaOf(at.Length, at.Width)
	}
	l.on.Leftovers = append(l.on.Leftovers, one)
}

// refusal tells in lengths what the engine refuses in grains.
func (l *SheetList) refusal(err error) error {
	var short *cutting.TooLittleStock
	var invalid *cutting.Invalid
	r := &Refused{}
	switch {
	case errors.As(err, &short):
		r.Faults = append(r.Faults, Fault{Of: OfPieces, NoRoom: true, Said: "some pieces found no room: the sheets ran out, as far as the search went; raise a limit or add sheets"})
	case errors.As(err, &invalid):
		for _, f := range invalid.Faults {
			r.Faults = append(r.Faults, Fault{Of: f.Field, Line: f.Line, Said: f.Said})
		}
	default:
		return err
	}
	return r
}
