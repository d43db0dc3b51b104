package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/unit"
)

// printOrder writes an order and its bill as text for a terminal: what was
// ordered, then per line what to cut, finish, sew, fit and box.
func printOrder(w io.Writer, o *order.Document, bill *bom.Bill) error {
	t := &textWriter{w: w, units: bill.Units}
	t.head(o)
	for i := range o.Lines {
		t.line(&o.Lines[i])
		for k := range bill.Lines {
			if bill.Lines[k].Line == o.Lines[i].Line {
				t.bill(&bill.Lines[k])
			}
		}
	}
	t.batches(bill)
	t.foot(o)
	return t.err
}

// textWriter writes in a bill's units.
type textWriter struct {
	w     io.Writer
	units bom.Units
	err   error
}

func (t *textWriter) printf(format string, args ...any) {
	if t.err == nil {
		_, t.err = fmt.Fprintf(t.w, format, args...)
	}
}

func (t *textWriter) head(o *order.Document) {
	t.printf("Order %s, version %d, %s\n", o.Number, o.Version, o.State)
	t.printf("  dealer          %s\n", o.DealerName)
	t.printf("  purchase order  %s\n", o.PO)
	t.printf("  sidemark        %s\n", o.Sidemark)
	t.printf("  ship to         %s\n", strings.ReplaceAll(o.ShipTo, "\n", ", "))
	t.printf("  catalog         revision %d, arithmetic %d\n", o.Revision, o.Bill.Arithmetic)
	if o.Requested != nil {
		t.printf("  requested       %s\n", o.Requested)
	}
	t.printf("  promise date    %s\n", o.Promise)
	for _, hold := range o.Holds {
		t.printf("  HELD, line %d    %s: %s (blocks %s)\n", hold.Line, hold.Kind, hold.Reason, strings.Join(hold.Blocks, ", "))
	}
}

func (t *textWriter) line(l *order.DocumentLine) {
	t.printf("\nLine %d   %d x %s\n", l.Line, l.Quantity, l.Name)
	rows := make([][]string, len(l.Configuration))
	for i, s := range l.Configuration {
		how := ""
		switch {
		case s.Defaulted:
			how = "default"
		case s.Entered != s.Value && s.Entered != s.ValueName:
			how = "entered as " + s.Entered
		}
		rows[i] = []string{"  " + s.Name, s.ValueName, how}
	}
	t.table(append(rows, ways(l)...))
}

func (t *textWriter) bill(b *bom.LineBill) {
	in := t.units
	t.section("Steel cut list", "pieces\tcut length\tfinished\tsection\tends\twhat", len(b.Steel), func(i int) []string {
		r := &b.Steel[i]
		return []string{fmt.Sprint(r.Pieces), in.Length(r.Cut), in.Length(r.Finished), r.Material, r.Ends, r.Name + steelExtra(r, in)}
	})
	t.welds(b)
	t.section("Wood top blanks", "pieces\tblank\tfrom\tstrips\tfinished\tlumber net\tgross\tedge", len(b.Wood), func(i int) []string {
		return woodCells(&b.Wood[i], in)
	})
	t.section("Glass", "pieces\tsize\tthickness\tglass\tedge\tsafety\tweight", len(b.Glass), func(i int) []string {
		r := &b.Glass[i]
		return []string{fmt.Sprint(r.Pieces), shapedWith(in, r.Shape, r.Length, r.Width, r.EndWidth), in.Length(r.Thickness), r.Glass, r.Edge + paneExtra(r, in), r.Safety + ": " + r.Reason, weighs(r.Weight, r.Range, in)}
	})
	t.section("Stone", "pieces\tsize\tthickness\tstone\tedge\toverhang\tweight", len(b.Stone), func(i int) []string {
		r := &b.Stone[i]
		return []string{fmt.Sprint(r.Pieces), shapedWith(in, r.Shape, r.Length, r.Width, r.EndWidth), in.Length(r.Thickness), r.Stone, in.Tape(r.EdgeRun) + " " + r.Edge,
			overhang(r.Overhang, in), weighs(r.Weight, r.Range, in)}
	})
	t.section("Finish steps", "step\tdo\tpieces\tarea\tminutes\tmaterial\twait", len(b.Finish), func(i int) []string {
		r := &b.Finish[i]
		return []string{fmt.Sprintf("%s %d", strings.TrimSuffix(r.Path[:strings.LastIndexByte(r.Path, '/')], "/finish"), r.Step), r.Work + finishExtra(r), fmt.Sprint(r.Pieces), r.Area.In(in), minutes(r.Minutes), coat(r, in), wait(r)}
	})
	t.section("Routes of finishing", "part\tpieces\tby\tthen\tbatch\tready at the earliest", len(b.Routes), func(i int) []string {
		return routeCells(&b.Routes[i])
	})
	t.section("Cushions", "pieces\tfinished\tform\tcut\tfoam\tzip\twelt cord", len(b.Cushions), func(i int) []string {
		r := &b.Cushions[i]
		return []string{fmt.Sprint(r.Pieces), in.Sides(r.Length, r.Width, r.Height), r.Form, panels(r.Cut, in),
			r.Foam + " " + in.Sides(r.FoamSize.Length, r.FoamSize.Width, r.FoamSize.Height), nought(r.Zip, in), nought(r.Cord, in)}
	})
	t.section("Cloth for the line", "cloth\tusable width\trepeat\tnet\tneeded", len(b.Cloth), func(i int) []string {
		r := &b.Cloth[i]
		if r.Hides > 0 {
			return []string{r.Cloth, "", "", "", r.Needed(in)}
		}
		return []string{r.Cloth, in.Length(r.Usable), nought(r.Repeat, in), in.Length(r.Net), r.Needed(in)}
	})
	t.section("Hardware", "pieces\twhat\titem\tslot", len(b.Hardware), func(i int) []string {
		r := &b.Hardware[i]
		slot := ""
		if r.Slot != nil {
			slot = in.Length(*r.Slot)
		}
		return []string{fmt.Sprint(r.Pieces), r.Name, r.Item, slot}
	})
	t.section("Cartons", "pieces\tinside\tblank\tboard\tgross\tdensity\tclass", len(b.Cartons), func(i int) []string {
		r := &b.Cartons[i]
		return []string{fmt.Sprint(r.Pieces), in.Sides(r.Length, r.Width, r.Depth), in.Sides(r.Blank.Length, r.Blank.Width),
			board(r), r.Gross.In(in), r.Density, r.Class}
	})
	t.shipping(b)
	for _, c := range b.Cautions {
		t.printf("  ! %s: %s\n", c.Path, c.Says)
	}
}

// woodCells tells a bought blank by what it is from; it has no lumber.
func woodCells(r *bom.WoodRow, in bom.Units) []string {
	finished := in.Sides(r.Length, r.Width, r.Thickness)
	if r.Shape != "rectangle" {
		finished = shapedWith(in, r.Shape, r.Length, r.Width, r.EndWidth) + " x " + in.Length(r.Thickness)
	}
	cells := []string{fmt.Sprint(r.Pieces), in.Sides(r.Blank.Length, r.Blank.Width), r.Rough + " " + r.Species, strips(r.Strips, in),
		finished, "", "", woodEdge(r, in)}
	switch {
	case r.Bought:
		cells[2] = "bought " + r.Species
	default:
		cells[5], cells[6] = r.Net.In(in), r.Gross.In(in)
		if len(r.Strips) == 0 {
			cells[3] = "one piece"
		}
	}
	return cells
}

func (t *textWriter) foot(o *order.Document) {
	t.printf("\nPrice\n")
	var rows [][]string
	for i := range o.Lines {
		l := &o.Lines[i]
		if l.Price == nil || l.Price.ToBeQuoted {
			rows = append(rows, []string{fmt.Sprintf("  line %d", l.Line), "to be quoted"})
			continue
		}
		for _, p := range l.Price.Lines {
			rows = append(rows, []string{fmt.Sprintf("  line %d", l.Line), p.For, p.List.String()})
		}
		rows = append(rows, []string{"", fmt.Sprintf("list %s at %s, net %s each, x %d", l.Price.ListUnit, l.Price.Terms, l.Price.NetUnit, l.Quantity), "", l.Price.Net.String()})
	}
	if o.Net != nil {
		rows = append(rows, []string{"  order", "net", "", o.Net.String()})
	} else {
		rows = append(rows, []string{"  order", "to be quoted", "", ""})
	}
	t.table(rows)
	t.printf("\nPromise date %s.  Bill version %d, sha256 %s\n", o.Promise, o.Bill.Version, o.Bill.SHA256)
}

// section writes a titled table, or nothing when there are no rows.
func (t *textWriter) section(title, heads string, n int, row func(int) []string) {
	if n == 0 {
		return
	}
	t.printf("  %s\n", title)
	rows := make([][]string, 0, n+1)
	rows = append(rows, strings.Split("    "+heads, "\t"))
	for i := range n {
		cells := row(i)
		cells[0] = "    " + cells[0]
		rows = append(rows, cells)
	}
	t.table(rows)
}

func (t *textWriter) table(rows [][]string) {
	if t.err != nil {
		return
	}
	tabs := tabwriter.NewWriter(t.w, 0, 0, 2, ' ', 0)
	for _, row := range rows {
		fmt.Fprintln(tabs, strings.TrimRight(strings.Join(row, "\t"), "\t"))
	}
	t.err = tabs.Flush()
}

func steelExtra(r *bom.SteelRow, in bom.Units) string {
	var parts []string
	if r.ShortPoint != nil {
		parts = append(parts, "short point "+in.Tape(*r.ShortPoint))
	}
	for _, bend := range r.Bends {
		parts = append(parts, bendText(&bend, in))
	}
	if r.Trim != nil {
		parts = append(parts, "trim "+in.Tape(*r.Trim)+" off the ends once rolled")
	}
	if b := r.Bar; b != nil {
		parts = append(parts, fmt.Sprintf("from a bar of %s to order, %d working days", in.Length(b.Length), b.LeadDays))
	}
	if r.Form != "" {
		parts = append(parts, r.Form)
	}
	if f := r.Forging; f != nil {
		parts = append(parts, fmt.Sprintf("from %s of bar, heats %d", in.Tape(f.Stock), f.Heats))
		if f.Temperature != "" {
			parts = append(parts, "worked at about "+f.Temperature)
		}
		if f.Note != "" {
			parts = append(parts, f.Note)
		}
	}
	for _, work := range r.Work {
		parts = append(parts, work.Work)
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, "; ") + ")"
}

// bendText is a line of a bend schedule: "bend 90° on 2 in at 12 in, turned 90°".
func bendText(b *bom.Bend, in bom.Units) string {
	text := fmt.Sprintf("bend %v° on %s at %s", b.Angle, in.Length(b.Radius), in.Length(b.At))
	if b.Inside != nil {
		text = fmt.Sprintf("bend %v° on %s inside, K %s, at %s", b.Angle, in.Length(*b.Inside), b.KFactor, in.Length(b.At))
	}
	if b.Until != nil {
		text += " to " + in.Length(*b.Until)
	}
	if b.Turn != 0 {
		text += fmt.Sprintf(", turned %v°", b.Turn)
	}
	if b.Jig != "" {
		text += ", on " + b.Jig
	}
	return text
}

// strips writes equal neighbours once: "7 x 4 9/16 in + 4 1/2 in".
func strips(widths []unit.Length, in bom.Units) string {
	var parts []string
	for i := 0; i < len(widths); {
		n := 1
		for i+n < len(widths) && widths[i+n] == widths[i] {
			n++
		}
		parts = append(parts, fmt.Sprintf("%d x %s", n, in.Length(widths[i])))
		i += n
	}
	return strings.Join(parts, " + ")
}

func panels(cut []bom.Panel, in bom.Units) string {
	parts := make([]string, len(cut))
	for i, p := range cut {
		parts[i] = fmt.Sprintf("%d %s %s", p.Pieces, p.Name, in.Sides(p.Along, p.Across))
	}
	return strings.Join(parts, ", ")
}

// finishExtra is what a timed step or a coat of its data sheet has besides.
func finishExtra(r *bom.FinishRow) string {
	var parts []string
	if r.Coats > 0 {
		parts = append(parts, fmt.Sprintf("%d coats", r.Coats))
	}
	if r.Flash != nil {
		parts = append(parts, "flash "+r.Flash.String())
	}
	if w := r.Recoat; w != nil {
		parts = append(parts, "recoat after "+w.From.String())
		if w.To != nil {
			parts = append(parts, "within "+w.To.String())
		}
	}
	if r.Cure != nil {
		parts = append(parts, r.Cure.Minutes.String()+" at "+r.Cure.At)
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

func routeCells(r *bom.RouteRow) []string {
	cells := []string{strings.TrimSuffix(r.Path, "/finish"), fmt.Sprint(r.Pieces), strings.Join(r.Stations, ", "), r.Then, r.Batch, ""}
	if r.Ready != nil {
		cells[5] = r.Ready.String()
	}
	return cells
}

// batches writes the finish batches of the whole order.
func (t *textWriter) batches(bill *bom.Bill) {
	if len(bill.Batches) > 0 {
		t.printf("\n")
	}
	t.section("Finish batches of match sets, which travel together", "set\tfinish\tparts\tpieces\tarea\tminutes", len(bill.Batches), func(i int) []string {
		b := &bill.Batches[i]
		return []string{b.Match, b.Finish, strings.Join(b.Parts, ", "), fmt.Sprint(b.Pieces), b.Area.In(t.units), minutes(b.Minutes)}
	})
}

func coat(r *bom.FinishRow, in bom.Units) string {
	switch {
	case r.Powder != nil:
		return r.Powder.In(in) + " " + r.Coating
	case r.Liquid != nil:
		return r.Liquid.In(in) + " " + r.Coating
	}
	return ""
}

// minutes leaves a step without work minutes, such as a wait, empty.
func minutes(m bom.Minutes) string {
	if m == 0 {
		return ""
	}
	return m.String()
}

// board names a board that has one grade of its own name only once.
func board(r *bom.CartonRow) string {
	if r.Board == r.Grade {
		return r.Board
	}
	return r.Board + " " + r.Grade
}

func wait(r *bom.FinishRow) string {
	if r.Wait == "" {
		return ""
	}
	return r.Wait + " h"
}

func nought(l unit.Length, in bom.Units) string {
	if l == 0 {
		return "none"
	}
	return in.Length(l)
}
