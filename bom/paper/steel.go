package paper

import (
	"fmt"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/bom/picture"
	"billwright/bom/saw"
	"billwright/catalog/unit"
)

// saw puts together the paper of saw and forge: the cut list, the bars in cutting
// order, and a card for each piece that is more than cut.
func (b *bench) saw() {
	figure := "Cut, " + b.units.Names().Length
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Steel) == 0 {
			continue
		}
		b.heading(l)
		rows := make([]Row, len(l.Steel))
		for k := range l.Steel {
			s := &l.Steel[k]
			rows[k] = b.row(l.Line, "steel", s.Path, b.markOf(l.Line, s.Path), s.Pieces, picture.Number(s.Cut, b.units), b.steelWhat(s), b.steelThen(l, s), "cut")
		}
		b.table(figure, rows)
	}
	b.bars()
	b.cards()
}

func (b *bench) markOf(line int, path string) string { return b.marks[bom.RowAddress(line, path)] }

func (b *bench) steelWhat(s *bom.SteelRow) Cell {
	ends := s.Ends
	if s.ShortPoint != nil {
		ends += "; short point " + b.units.Length(*s.ShortPoint)
	}
	what := Cell{strong(s.Material), small(s.Name + "; " + ends)}
	if s.Finished != s.Cut {
		what = append(what, small("finished "+b.units.Length(s.Finished)))
	}
	if s.Bar != nil {
		what = append(what, small(fmt.Sprintf("from a bar to order, %s, %d working days%s", b.units.Length(s.Bar.Length), s.Bar.LeadDays, after(", ", s.Bar.Vendor))))
	}
	return append(what, small("all "+s.Weight.In(b.units)+", coated "+s.Coated.In(b.units)))
}

// after is a text with what goes before it, or nothing.
func after(before, text string) string {
	if text == "" {
		return ""
	}
	return before + text
}

func (b *bench) steelThen(l *bom.LineBill, s *bom.SteelRow) Cell {
	var then Cell
	if worked(s) {
		then = append(then, plain("Forge: "+s.Shape+", card "+b.markOf(l.Line, s.Path)))
	} else {
		then = b.operations(s.Work)
	}
	for i := range l.Welds {
		if slices.Contains(l.Welds[i].Joins, s.Path) {
			return append(then, plain("Weld"))
		}
	}
	return then
}

// operations are lines of what is done, with its minutes and note.
func (b *bench) operations(work []bom.OperationRow) Cell {
	var lines Cell
	for i := range work {
		lines = append(lines, plain(work[i].Work), small(work[i].Minutes.String()+after(". ", work[i].Note)))
	}
	return lines
}

// worked tells that a piece is more than cut.
func worked(s *bom.SteelRow) bool {
	return s.Shape != "straight" && s.Shape != "mitred"
}

// bars draws the plan of the bill's pieces.
func (b *bench) bars() {
	if len(b.job.Plans) == 0 && len(b.job.NotPlanned) == 0 {
		return
	}
	how := saw.Of(b.job.Catalog)
	b.add(Block{Kind: Heading, Text: "Bars, in cutting order", Small: "trim black, left over hatched, scrap crossed"})
	b.add(Block{Kind: Note, Text: how.Text(b.units) + "."})
	marks := func(_, row string) string { return b.marks[row] }
	b.sheet.Blocks = append(b.sheet.Blocks, barBlocks(b.job.Plans, how, marks, b.units)...)
	for _, why := range b.job.NotPlanned {
		b.add(Block{Kind: Note, Text: "No bars are planned of " + why})
	}
}

// barBlocks draw plans, the longest bar of all over the whole width.
func barBlocks(plans []*saw.Plan, how saw.Saw, marks picture.Marks, units bom.Units) []Block {
	var blocks []Block
	longest := unit.Length(0)
	for _, p := range plans {
		for i := range p.Bars {
			longest = max(longest, p.Bars[i].Length)
		}
	}
	for _, p := range plans {
		blocks = append(blocks, Block{Kind: Heading, Text: p.Title(), Small: barsSay(p, units)})
		for i := range p.Bars {
			blocks = append(blocks, Block{Kind: Drawing, Picture: picture.Bars(p, i, how, longest, marks, units)})
		}
	}
	return blocks
}

// barsSay tells how many bars a plan takes and what is proved of it.
func barsSay(p *saw.Plan, units bom.Units) string {
	var of []string
	for _, buy := range p.Buy {
		of = append(of, fmt.Sprintf("%d of %s", buy.Bars, units.Length(buy.Length)))
	}
	for _, rack := range p.Offcuts {
		of = append(of, fmt.Sprintf("%d from the rack of %s", rack.Bars, units.Length(rack.Length)))
	}
	return fmt.Sprintf("%d pieces on %s, %s", p.Pieces, strings.Join(of, ", "), p.Status)
}

// cards adds a card for each piece that is forged, rolled, twisted or bent.
func (b *bench) cards() {
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		for k := range l.Steel {
			if s := &l.Steel[k]; worked(s) {
				b.add(b.card(l, s))
			}
		}
	}
}

func (b *bench) card(l *bom.LineBill, s *bom.SteelRow) Block {
	drawn := picture.Forged
	if len(s.Bends) > 0 {
		drawn = func(s *bom.SteelRow, _ picture.Figures, units bom.Units) *picture.Picture {
			return picture.Bends(s, units)
		}
	}
	return Block{
		Kind: Card, Text: fmt.Sprintf("%s  %s, %d pieces", b.markOf(l.Line, s.Path), s.Name, s.Pieces),
		Small:   fmt.Sprintf("%s, cut %s, finished %s", s.Material, b.units.Length(s.Cut), b.units.Length(s.Finished)),
		Picture: drawn(s, picture.FiguresOf(b.job.Working, l.Line, s.Path), b.units),
		Items:   b.cardItems(s), Tally: b.tally(l.Line, s.Pieces, "forged"),
	}
}

// cardItems are what the smith does, in turn.
func (b *bench) cardItems(s *bom.SteelRow) []string {
	var items []string
	for i := range s.Bends {
		items = append(items, fmt.Sprintf("Bend %d %s.", i+1, picture.BendText(&s.Bends[i], b.units)))
	}
	if s.Form != "" {
		items = append(items, s.Shape+": "+s.Form+".")
	}
	if f := s.Forging; f != nil {
		says := fmt.Sprintf("Of %s of bar, in %d heats%s.", b.units.Length(f.Stock), f.Heats, after(" at ", f.Temperature))
		items = append(items, says)
		if f.Note != "" {
			items = append(items, f.Note+".")
		}
	}
	if s.Trim != nil {
		items = append(items, "Cut off after rolling: "+b.units.Length(*s.Trim)+".")
	}
	for i := range s.Work {
		items = append(items, s.Work[i].Work+after(". ", s.Work[i].Note)+" ("+s.Work[i].Minutes.String()+").")
	}
	return items
}

// weld puts together the paper of the welders: joints, then groups as a whole.
func (b *bench) weld() {
	figure := "Size, " + b.units.Names().Length
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Welds)+len(l.Welded) == 0 {
			continue
		}
		b.heading(l)
		rows := make([]Row, 0, len(l.Welds)+len(l.Welded))
		for k := range l.Welds {
			w := &l.Welds[k]
			rows = append(rows, b.row(l.Line, "welds", w.Path, b.joined(l.Line, w.Joins), w.Pieces, picture.Number(w.Size, b.units), b.weldWhat(w), b.weldThen(w), "welded"))
		}
		for k := range l.Welded {
			w := &l.Welded[k]
			what := Cell{strong(w.Name + ", whole"), small(fmt.Sprintf("%s of weld, deposit %s, wire %s, arc %s", b.units.Tape(w.TotalLength), w.Deposit.In(b.units), w.WireWeight.In(b.units), w.Arc))}
			rows = append(rows, b.row(l.Line, "welded", w.Path, "", w.Pieces, "", what, b.operations(w.Work), "done"))
		}
		b.table(figure, rows)
	}
}

// joined are the marks of what a joint joins.
func (b *bench) joined(line int, joins []string) string {
	var of []string
	for _, path := range joins {
		if m := b.markOf(line, path); m != "" && !slices.Contains(of, m) {
			of = append(of, m)
		}
	}
	return strings.Join(of, "-")
}

func (b *bench) weldWhat(w *bom.WeldRow) Cell {
	what := Cell{strong(w.Name), small(w.Kind + ", " + w.SizeOf + " " + b.units.Length(w.Size) + after(", ", w.Form) + "; " + w.Process), small("joins " + strings.Join(w.Joins, " and "))}
	run := fmt.Sprintf("%d a unit, %d sides", w.Each, w.Sides)
	if w.Length > 0 {
		run += ", " + b.units.Tape(w.Length) + " each, " + b.units.Tape(w.TotalLength) + " in all"
	}
	if w.AllRound {
		run += ", all round"
	}
	return append(what, small(run), small("deposit "+w.Deposit.In(b.units)+", wire "+w.Wire+" "+w.WireWeight.In(b.units)+", arc "+w.Arc.String()))
}

func (b *bench) weldThen(w *bom.WeldRow) Cell {
	then := b.operations(w.Work)
	if w.GrindFlush {
		then = append(then, plain("Grind flush"))
	}
	return then
}
