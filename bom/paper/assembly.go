package paper

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/bom/picture"
)

// assembly puts together the paper of the fitters: panes, stone, hardware, and
// what is lifted by hand.
func (b *bench) assembly() {
	in := b.units.Names().Length
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		lifts := b.lifts(l, false)
		if len(l.Glass)+len(l.Stone)+len(l.Hardware)+len(lifts) == 0 {
			continue
		}
		b.heading(l)
		var tops, bought []Row
		for k := range l.Glass {
			g := &l.Glass[k]
			tops = append(tops, b.row(l.Line, "glass", g.Path, "", g.Pieces, b.flat(g.Shape, g.Length, g.Width), b.glassWhat(g), b.glassThen(g), "fitted"))
		}
		for k := range l.Stone {
			s := &l.Stone[k]
			tops = append(tops, b.row(l.Line, "stone", s.Path, "", s.Pieces, b.flat(s.Shape, s.Length, s.Width), b.stoneWhat(s), b.stoneThen(s), "fitted"))
		}
		b.table("Size, "+in, tops)
		for k := range l.Hardware {
			h := &l.Hardware[k]
			what := Cell{strong(h.Name), small(fmt.Sprintf("%s, %d a unit, all %s", h.Item, h.Each, h.Weight.In(b.units)))}
			then := Cell{}
			if h.Slot != nil {
				then = Cell{plain("slot " + b.units.Length(*h.Slot))}
			}
			bought = append(bought, b.row(l.Line, "hardware", h.Path, "", h.Pieces, "", what, then, "fitted"))
		}
		b.table("", bought)
		b.table("Index", lifts)
	}
}

func (b *bench) glassWhat(g *bom.GlassRow) Cell {
	what := Cell{strong(g.Name + ", " + g.Glass), small(g.Shape + after(", ends ", ends(g.EndWidth > 0, b.units.Length(g.EndWidth))) + ", " + b.units.Length(g.Thickness) + " thick, edge " + g.Edge)}
	what = append(what, small("safety glazing: "+g.Safety+after("; ", g.Reason)))
	weight := "all " + g.Weight.In(b.units)
	if g.Range != nil {
		weight += ", from " + g.Range.Least.In(b.units) + " to " + g.Range.Most.In(b.units)
	}
	what = append(what, small(weight+", "+g.Area.In(b.units)+after(" ", g.AreaClass)))
	if g.Billed > 0 {
		what = append(what, small("billed "+g.Billed.In(b.units)))
	}
	return what
}

func ends(there bool, text string) string {
	if !there {
		return ""
	}
	return text
}

func (b *bench) glassThen(g *bom.GlassRow) Cell {
	then := Cell{}
	if g.EdgeRun > 0 {
		then = append(then, small("edge "+b.units.Tape(g.EdgeRun)))
	}
	for i := range g.Work {
		then = append(then, plain(g.Work[i].Do), small("by "+g.Work[i].By+after(". ", g.Work[i].Note)))
	}
	if g.Overhang != nil {
		then = append(then, small(b.overhang(g.Overhang)))
	}
	return then
}

func (b *bench) stoneWhat(s *bom.StoneRow) Cell {
	weight := "all " + s.Weight.In(b.units)
	if s.Range != nil {
		weight += ", from " + s.Range.Least.In(b.units) + " to " + s.Range.Most.In(b.units)
	}
	return Cell{strong(s.Name + ", " + s.Stone), small(s.Shape + after(", ends ", ends(s.EndWidth > 0, b.units.Length(s.EndWidth))) + ", " + b.units.Length(s.Thickness) + " thick"), small(weight + ", " + s.Area.In(b.units))}
}

func (b *bench) stoneThen(s *bom.StoneRow) Cell {
	then := Cell{plain("Edge: " + s.Edge), small(b.units.Tape(s.EdgeRun) + " of edge")}
	if s.Overhang != nil {
		then = append(then, small(b.overhang(s.Overhang)))
	}
	return then
}

// lifts are the rows of a line's lifts, those of cartons or the others.
func (b *bench) lifts(l *bom.LineBill, ofCartons bool) []Row {
	var rows []Row
	for k := range l.Lifts {
		f := &l.Lifts[k]
		if strings.HasPrefix(f.Path, "carton/") != ofCartons {
			continue
		}
		what := Cell{strong("Lift: " + f.Weight.In(b.units)), small(f.Lift)}
		then := Cell{small("one person is given " + f.Limit.In(b.units) + " by the lifting equation")}
		row := b.row(l.Line, "lifts", f.Path, "", 1, f.Index, what, then, "")
		row.Cells[1], row.Tally = Cell{}, nil
		rows = append(rows, row)
	}
	return rows
}

// boxing puts together the paper of the packers.
func (b *bench) boxing() {
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		lifts := b.lifts(l, true)
		if len(l.Cartons)+len(lifts) == 0 {
			continue
		}
		b.heading(l)
		var rows []Row
		for k := range l.Cartons {
			c := &l.Cartons[k]
			size := picture.Number(c.Length, b.units) + " x " + picture.Number(c.Width, b.units) + " x " + picture.Number(c.Depth, b.units)
			rows = append(rows, b.row(l.Line, "cartons", c.Path, "", c.Pieces, size, b.cartonWhat(c), b.cartonThen(c), "boxed"))
		}
		b.table("Inside, "+b.units.Names().Length, rows)
		b.table("Index", lifts)
	}
}

func (b *bench) cartonWhat(c *bom.CartonRow) Cell {
	what := Cell{strong(c.Board + ", " + c.Grade), small("packs " + orDash(strings.Join(c.Packs, ", "))), small("blank " + b.units.Sides(c.Blank.Length, c.Blank.Width))}
	if o := c.Outside; o != nil {
		what = append(what, small("outside "+b.units.Sides(o.Length, o.Width, o.Depth)+after(", ", c.Package)))
	}
	return append(what, small("tare "+c.Tare.In(b.units)+after(", ", c.Density)+after(", freight class ", c.Class)))
}

func (b *bench) cartonThen(c *bom.CartonRow) Cell {
	then := Cell{strong("gross " + c.Gross.In(b.units))}
	if c.TwoLift {
		then = append(then, plain("two persons or a device"))
	}
	if c.Ship != "" {
		then = append(then, small("ships as "+c.Ship))
	}
	if p := c.Parcel; p != nil {
		then = append(then, small(fmt.Sprintf("%s, rule of %s: %s, length and girth %s, dimensional %s, billed %s", p.Terms, p.RuleFrom,
			b.units.Sides(p.Length, p.Width, p.Height), b.units.Length(p.Girth), p.Dimensional.In(b.units), p.Billed.In(b.units))))
	}
	if s := c.Stack; s != nil {
		text := fmt.Sprintf("stack %d high, %s", s.Layers, b.units.Tape(s.Height))
		if s.Layers <= 1 {
			text = "do not stack"
		}
		if s.Strength > 0 {
			text += ", bears " + s.SafeLoad.In(b.units) + " of " + s.Strength.In(b.units)
		}
		then = append(then, small(text+after(". ", s.Reason)))
	}
	return then
}

// shipping puts together the paper of the dock: where to, the handling units of
// the bill, and every carton to count as it leaves.
func (b *bench) shipping() {
	in := b.units.Names().Length
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Units) == 0 {
			continue
		}
		b.heading(l)
		rows := make([]Row, len(l.Units))
		for k := range l.Units {
			u := &l.Units[k]
			name := "on " + u.Pallet
			if u.Pallet == "" {
				name = "by itself"
			}
			size := picture.Number(u.Length, b.units) + " x " + picture.Number(u.Width, b.units) + " x " + picture.Number(u.Height, b.units)
			what := Cell{strong("Freight " + name), small(fmt.Sprintf("%d cartons on each, %d layers", u.Cartons, u.Layers)), small("each " + u.Weight.In(b.units) + ", " + u.Density)}
			then := Cell{plain("freight class " + u.Class), small("by the scale of " + u.Scale)}
			rows[k] = b.row(l.Line, "handling_units", u.Path, "", u.Units, size, what, then, loaded)
		}
		b.table("Size, "+in, rows)
	}
	b.manifest()
}

// manifest counts the cartons of the order for the dock; their rows stand on the
// packers' paper.
func (b *bench) manifest() {
	cartons := cartonsOf(b.job)
	if len(cartons) == 0 {
		return
	}
	b.add(Block{Kind: Heading, Text: "Ship to"})
	b.add(Block{Kind: Note, Text: orDash(b.job.Document.ShipTo)})
	if b.job.Document.ShipComplete {
		b.add(Block{Kind: Note, Text: "Ship complete: nothing leaves before all of it is ready."})
	}
	b.add(Block{Kind: Heading, Text: fmt.Sprintf("Cartons, %d in all", cartons[len(cartons)-1].last), Small: "rows of the bill: see the packers' paper"})
	for i := range cartons {
		c := &cartons[i]
		b.of(c.line.Line)
		text := fmt.Sprintf("%s of %d: line %d, %s, each %s%s", c.numbers(), cartons[len(cartons)-1].last, c.line.Line, c.line.Name, c.row.Gross.In(b.units), after(", packs ", strings.Join(c.row.Packs, ", ")))
		b.add(Block{Kind: Note, Text: text, Tally: b.tally(c.line.Line, c.row.Pieces, loaded)})
		b.rows++
	}
}

// cartonRun is the cartons of one row of the bill with their numbers in the order.
type cartonRun struct {
	line        *bom.LineBill
	row         *bom.CartonRow
	first, last int
}

func (c *cartonRun) numbers() string {
	if c.first == c.last {
		return fmt.Sprintf("Carton %d", c.first)
	}
	return fmt.Sprintf("Cartons %d to %d", c.first, c.last)
}

// cartonsOf numbers the cartons of an order; a cancelled line has none.
func cartonsOf(job *Job) []cartonRun {
	bill := job.Bill
	var runs []cartonRun
	n := 0
	for i := range bill.Lines {
		l := &bill.Lines[i]
		if job.cancelled(l.Line) {
			continue
		}
		for k := range l.Cartons {
			c := &l.Cartons[k]
			runs = append(runs, cartonRun{l, c, n + 1, n + c.Pieces})
			n += c.Pieces
		}
	}
	return runs
}
