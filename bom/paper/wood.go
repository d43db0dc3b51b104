package paper

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/bom/picture"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// wood puts together the paper of the wood shop: each top with its blank drawn.
func (b *bench) wood() {
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Wood) == 0 {
			continue
		}
		b.heading(l)
		for k := range l.Wood {
			w := &l.Wood[k]
			b.table("Finished, "+b.units.Names().Length, []Row{b.row(l.Line, "wood", w.Path, "", w.Pieces, b.flat(w.Shape, w.Length, w.Width), b.woodWhat(w), b.woodThen(w), "made")})
			b.add(Block{Kind: Drawing, Picture: picture.Blank(w, b.units)})
		}
	}
}

// flat is a flat shape's sizes without their unit.
func (b *bench) flat(shape string, length, width unit.Length) string {
	if shape == catalog.Round {
		return "dia. " + picture.Number(length, b.units)
	}
	return picture.Number(length, b.units) + " x " + picture.Number(width, b.units)
}

func (b *bench) woodWhat(w *bom.WoodRow) Cell {
	shape := w.Shape
	if w.EndWidth > 0 {
		shape += ", ends " + b.units.Length(w.EndWidth)
	}
	what := Cell{strong(w.Name + ", " + w.Species), small(fmt.Sprintf("%s, %s thick, grain %s; finish %s", shape, b.units.Length(w.Thickness), w.Grain, w.Finish))}
	what = append(what, small("blank "+b.units.Sides(w.Blank.Length, w.Blank.Width)+map[bool]string{true: ", bought", false: after(", from ", w.Rough)}[w.Bought]))
	if w.RipWidth > 0 {
		what = append(what, small(fmt.Sprintf("rip %s in all, %s", b.units.Length(w.RipWidth), stripsSay(w.Strips, b.units))))
	}
	if w.Net > 0 {
		what = append(what, small("lumber net "+w.Net.In(b.units)+", gross "+w.Gross.In(b.units)))
	}
	if w.MatchSet != "" {
		what = append(what, small("match grain and strips with "+w.MatchSet))
	}
	return append(what, small("all "+w.Weight.In(b.units)+", finished area "+w.Area.In(b.units)))
}

func stripsSay(strips []unit.Length, units bom.Units) string {
	if len(strips) == 0 {
		return "one piece"
	}
	var texts []string
	for i := 0; i < len(strips); {
		n := i
		for n < len(strips) && strips[n] == strips[i] {
			n++
		}
		texts = append(texts, fmt.Sprintf("%d of %s", n-i, units.Length(strips[i])))
		i = n
	}
	return "strips " + strings.Join(texts, ", ")
}

func (b *bench) woodThen(w *bom.WoodRow) Cell {
	then := Cell{plain("Edge: " + w.Edge), small(b.units.Tape(w.EdgeRun) + " of edge")}
	for i := range w.Edges {
		then = append(then, small(w.Edges[i].Profile+" "+b.units.Tape(w.Edges[i].Length)))
	}
	if w.Mating > 0 {
		then = append(then, small("mating edge "+b.units.Length(w.Mating)))
	}
	if w.Overhang != nil {
		then = append(then, small(b.overhang(w.Overhang)))
	}
	then = append(then, small("moves "+b.units.Length(w.Movement)+" over the year"))
	return append(then, smalls(after("sawn ", w.Sawing), after("climate ", w.Climate))...)
}

func (b *bench) overhang(o *bom.Overhang) string {
	return fmt.Sprintf("overhang %s at the ends, %s at the sides", b.units.Length(o.Ends), b.units.Length(o.Sides))
}

// finish puts together the paper of the finishers: by line its routes and steps,
// then the batches of the order.
func (b *bench) finish() {
	figure := "Area, " + b.units.Names().Surface
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Finish)+len(l.Routes) == 0 {
			continue
		}
		b.heading(l)
		rows := make([]Row, 0, len(l.Finish)+len(l.Routes))
		for k := range l.Routes {
			rows = append(rows, b.route(l.Line, &l.Routes[k]))
		}
		for k := range l.Finish {
			f := &l.Finish[k]
			row := b.row(l.Line, "finish", f.Path, fmt.Sprint(f.Step), f.Pieces, f.Area.Number(b.units), b.stepWhat(f), b.stepThen(f), "done")
			row.Beside = f.Pieces <= boxesBeside
			rows = append(rows, row)
		}
		b.table(figure, beside(rows))
	}
	b.batches(figure)
}

func (b *bench) route(line int, r *bom.RouteRow) Row {
	what := Cell{strong(r.Finish), small("route: " + orDash(strings.Join(r.Stations, ", ")))}
	then := Cell{plain(after("then ", r.Then))}
	if r.Batch != "" {
		then = append(then, small("in one batch: "+r.Batch))
	}
	if !r.Hand {
		then = append(then, small("no hand work: past the hand finishing bench"))
	}
	if r.Ready != nil {
		then = append(then, small("done "+r.Ready.String()+" after it was begun, at the earliest"))
	}
	return b.row(line, "routes", r.Path, "", r.Pieces, "", what, then, "finished")
}

func (b *bench) stepWhat(f *bom.FinishRow) Cell {
	what := append(Cell{strong(f.Work)}, smalls(after("at ", f.Station))...)
	if f.Coating != "" {
		amount := ""
		switch {
		case f.Powder != nil:
			amount = f.Powder.In(b.units)
		case f.Liquid != nil:
			amount = f.Liquid.In(b.units)
		}
		what = append(what, small(f.Coating+after(", ", amount)))
	}
	for i := range f.Mix {
		what = append(what, small("of it "+f.Mix[i].Liquid.In(b.units)+" "+f.Mix[i].Component))
	}
	return append(what, smalls(after("data sheet ", f.SafetySheet))...)
}

func (b *bench) stepThen(f *bom.FinishRow) Cell {
	says := f.Minutes.String()
	if f.Hand {
		says += ", by hand"
	}
	if f.Coats > 1 {
		says += fmt.Sprintf(", %d coats", f.Coats)
	}
	then := Cell{plain(says)}
	if f.Flash != nil {
		then = append(then, small("flash "+f.Flash.String()))
	}
	if f.Cure != nil {
		then = append(then, small("cure "+f.Cure.Minutes.String()+" at "+f.Cure.At))
	}
	if r := f.Recoat; r != nil {
		text := "next coat from " + r.From.String()
		if r.To != nil {
			text += " to " + r.To.String()
		}
		if r.Longest != nil {
			text += "; a piece waits at most " + r.Longest.String()
		}
		then = append(then, small(text))
	}
	if f.Wait != "" {
		then = append(then, small("wait "+f.Wait+" h"))
	}
	if f.Ready != nil {
		then = append(then, small("ready "+f.Ready.String()+" after it was begun"))
	}
	return then
}

func (b *bench) batches(figure string) {
	var rows []Row
	for i := range b.job.Bill.Batches {
		r := &b.job.Bill.Batches[i]
		what := Cell{strong("Batch " + r.Match + ": " + r.Finish), small("of " + strings.Join(r.Parts, ", ") + ": finish them together")}
		for k := range r.Coatings {
			c := &r.Coatings[k]
			amount := ""
			switch {
			case c.Powder != nil:
				amount = c.Powder.In(b.units)
			case c.Liquid != nil:
				amount = c.Liquid.In(b.units)
			}
			what = append(what, small(c.Coating+after(", ", amount)))
		}
		then := Cell{plain(r.Minutes.String())}
		if r.Ready != nil {
			then = append(then, small("done "+r.Ready.String()+" after it was begun, at the earliest"))
		}
		rows = append(rows, b.row(0, "batches", r.Path, "", r.Pieces, r.Area.Number(b.units), what, then, "done"))
	}
	if len(rows) > 0 {
		b.add(Block{Kind: Heading, Text: "Batches of the order"})
		b.table(figure, rows)
	}
}
