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
	t := &textWriter{w: w}
	t.head(o)
	for i := range o.Lines {
		t.line(&o.Lines[i])
		for k := range bill.Lines {
			if bill.Lines[k].Line == o.Lines[i].Line {
				t.bill(&bill.Lines[k])
			}
		}
	}
	t.foot(o)
	return t.err
}

type textWriter struct {
	w   io.Writer
	err error
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
		t.printf("  HELD, line %d    %s: %s (blocks %s)\n", hold.Line, hold.Kind, hold.Reason, hold.Blocks)
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
	t.table(rows)
}

func (t *textWriter) bill(b *bom.LineBill) {
	t.section("Steel cut list", "pieces\tcut length\tfinished\tsection\tends\twhat", len(b.Steel), func(i int) []string {
		r := &b.Steel[i]
		return []string{fmt.Sprint(r.Pieces), r.Cut.String(), r.Finished.String(), r.Material, r.Ends, r.Name + steelExtra(r)}
	})
	t.section("Wood top blanks", "pieces\tblank\tfrom\tstrips\tfinished\tlumber net\tgross\tedge", len(b.Wood), func(i int) []string {
		r := &b.Wood[i]
		return []string{fmt.Sprint(r.Pieces), r.Blank.Length.String() + " x " + r.Blank.Width.String(), r.Rough + " " + r.Species, strips(r.Strips),
			r.Length.String() + " x " + r.Width.String() + " x " + r.Thickness.String(), r.Net.String(), r.Gross.String(), r.EdgeRun.String() + " " + r.Edge}
	})
	t.section("Glass", "pieces\tsize\tthickness\tglass\tedge\tsafety\tweight", len(b.Glass), func(i int) []string {
		r := &b.Glass[i]
		return []string{fmt.Sprint(r.Pieces), r.Shape + " " + r.Length.String() + " x " + r.Width.String(), r.Thickness.String(), r.Glass, r.Edge, r.Safety + ": " + r.Reason, r.Weight.String()}
	})
	t.section("Finish steps", "step\tdo\tpieces\tarea\tminutes\tmaterial\twait", len(b.Finish), func(i int) []string {
		r := &b.Finish[i]
		return []string{fmt.Sprintf("%s %d", strings.TrimSuffix(r.Path[:strings.LastIndexByte(r.Path, '/')], "/finish"), r.Step), r.Work, fmt.Sprint(r.Pieces), r.Area.String(), r.Minutes.String(), coat(r), wait(r)}
	})
	t.section("Cushions", "pieces\tfinished\tform\tcut\tfoam\tzip\twelt cord", len(b.Cushions), func(i int) []string {
		r := &b.Cushions[i]
		return []string{fmt.Sprint(r.Pieces), r.Length.String() + " x " + r.Width.String() + " x " + r.Height.String(), r.Form, panels(r.Cut),
			r.Foam + " " + r.FoamSize.Length.String() + " x " + r.FoamSize.Width.String() + " x " + r.FoamSize.Height.String(), nought(r.Zip), nought(r.Cord)}
	})
	t.section("Cloth for the line", "cloth\tusable width\trepeat\tnet\tneeded", len(b.Cloth), func(i int) []string {
		r := &b.Cloth[i]
		return []string{r.Cloth, r.Usable.String(), nought(r.Repeat), r.Net.String(), r.Yards.String()}
	})
	t.section("Hardware", "pieces\twhat\titem\tslot", len(b.Hardware), func(i int) []string {
		r := &b.Hardware[i]
		slot := ""
		if r.Slot != nil {
			slot = r.Slot.String()
		}
		return []string{fmt.Sprint(r.Pieces), r.Name, r.Item, slot}
	})
	t.section("Cartons", "pieces\tinside\tblank\tboard\tgross\tdensity\tclass", len(b.Cartons), func(i int) []string {
		r := &b.Cartons[i]
		return []string{fmt.Sprint(r.Pieces), r.Length.String() + " x " + r.Width.String() + " x " + r.Depth.String(), r.Blank.Length.String() + " x " + r.Blank.Width.String(),
			r.Board + " " + r.Grade, r.Gross.String(), r.Density, r.Class}
	})
	for _, c := range b.Cautions {
		t.printf("  ! %s: %s\n", c.Path, c.Says)
	}
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

func steelExtra(r *bom.SteelRow) string {
	var parts []string
	if r.ShortPoint != nil {
		parts = append(parts, "short point "+r.ShortPoint.String())
	}
	for _, bend := range r.Bends {
		parts = append(parts, fmt.Sprintf("bend %d° on %s at %s", bend.Angle, bend.Radius, bend.At))
	}
	for _, work := range r.Work {
		parts = append(parts, work.Work)
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, "; ") + ")"
}

// strips writes equal neighbours once: "7 x 4 9/16 in + 4 1/2 in".
func strips(widths []unit.Length) string {
	var parts []string
	for i := 0; i < len(widths); {
		n := 1
		for i+n < len(widths) && widths[i+n] == widths[i] {
			n++
		}
		parts = append(parts, fmt.Sprintf("%d x %s", n, widths[i]))
		i += n
	}
	return strings.Join(parts, " + ")
}

func panels(cut []bom.Panel) string {
	parts := make([]string, len(cut))
	for i, p := range cut {
		parts[i] = fmt.Sprintf("%d %s %s x %s", p.Pieces, p.Name, p.Along, p.Across)
	}
	return strings.Join(parts, ", ")
}

func coat(r *bom.FinishRow) string {
	switch {
	case r.Powder != nil:
		return r.Powder.String() + " " + r.Coating
	case r.Liquid != nil:
		return r.Liquid.String() + " " + r.Coating
	}
	return ""
}

func wait(r *bom.FinishRow) string {
	if r.Wait == "" {
		return ""
	}
	return r.Wait + " h"
}

func nought(l unit.Length) string {
	if l == 0 {
		return "none"
	}
	return l.String()
}
