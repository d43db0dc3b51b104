package cutting

// sheetModel is a sheet problem without kerf and trim: pieces are longer and
// wider by the kerf, and sheets too, since their edges need no cut. Pieces alike
// are one item.
type sheetModel struct {
	p      *SheetProblem
	items  []rectangle
	need   []int64
	lines  [][]int // of an item
	sheets []rectangle
	cost   []int64
	limit  []int64
	line   []int // of a sheet
	grain  int64
	scale  int64 // all sides were divided by it
}

type rectangle struct {
	length, width int64
	turn          bool
}

func (r rectangle) area() int64 { return r.length * r.width }

func newSheetModel(p *SheetProblem) *sheetModel {
	m := &sheetModel{p: p}
	found := map[rectangle]int{}
	for line, piece := range p.Pieces {
		r := rectangle{piece.Length + p.Kerf, piece.Width + p.Kerf, piece.Turn}
		if r.turn && r.length < r.width {
			r.length, r.width = r.width, r.length
		}
		i, seen := found[r]
		if !seen {
			i = len(m.items)
			found[r] = i
			m.items, m.need, m.lines = append(m.items, r), append(m.need, 0), append(m.lines, nil)
		}
		m.need[i] += piece.Count
		m.lines[i] = append(m.lines[i], line)
	}
	for line, s := range p.Sheets {
		m.grain = gcd(m.grain, s.Cost)
		if s.Limit == 0 {
			continue
		}
		limit := s.Limit
		if limit == Unlimited {
			limit = noLimit
		}
		m.sheets = append(m.sheets, rectangle{length: s.Length - 2*p.Trim + p.Kerf, width: s.Width - 2*p.Trim + p.Kerf})
		m.cost, m.limit, m.line = append(m.cost, s.Cost), append(m.limit, limit), append(m.line, line)
	}
	m.grain = max(m.grain, 1)
	for i := range m.cost {
		m.cost[i] /= m.grain
	}
	m.scale = p.divisor()
	for i := range m.items {
		m.items[i].length, m.items[i].width = m.items[i].length/m.scale, m.items[i].width/m.scale
	}
	for i := range m.sheets {
		m.sheets[i].length, m.sheets[i].width = m.sheets[i].length/m.scale, m.sheets[i].width/m.scale
	}
	return m
}

// layout is what one sheet holds: a tree of cuts, and how many of each item.
type layout struct {
	sheet int
	nodes []cutNode
	count []term
}

// cutNode is a rectangle cut in two, or a piece, or left over.
type cutNode struct {
	length, width int64
	item          int // -1 for none
	turned        bool
	along         bool
	first, second int32 // 0 for none
	// stages is how many directions of cuts led to it, the last being along.
	stages  int
	lastWas bool
}

// layoutRun is a layout cut several times over.
type layoutRun struct {
	*layout
	times int64
}

func (m *sheetModel) costOf(runs []layoutRun) int64 {
	var c int64
	for _, r := range runs {
		c += m.cost[r.sheet] * r.times
	}
	return c
}

// byArea prices pieces by their area, and unlimited sheets set the scale.
func (m *sheetModel) byArea() *prices {
	p := &prices{stock: make([]int64, len(m.sheets))}
	for _, it := range m.items {
		p.item = append(p.item, it.area())
	}
	for s, sheet := range m.sheets {
		if m.limit[s] != noLimit {
			continue
		}
		if m.cost[s] == 0 {
			return &prices{scale: 1, item: make([]int64, len(m.items)), stock: p.stock}
		}
		p.scale = max(p.scale, (sheet.area()+m.cost[s]-1)/m.cost[s])
	}
	p.scale = max(p.scale, 1)
	for s, sheet := range m.sheets {
		if m.limit[s] != noLimit && m.cost[s] <= sheet.area()/p.scale {
			p.stock[s] = sheet.area() - p.scale*m.cost[s]
		}
	}
	return p
}

func (m *sheetModel) bound(p *prices) int64 {
	var worth, less sum
	for i, need := range m.need {
		worth.add(p.item[i], need)
	}
	for s, price := range p.stock {
		if price > 0 {
			less.add(price, m.limit[s])
		}
	}
	return worth.dividedUp(less, p.scale)
}
