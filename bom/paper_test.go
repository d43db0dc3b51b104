package bom_test

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/catalog/unit"
)

// paper writes a bill as the shop reads it, a section by kind of row. Names
// and prose stand in quotes, so that every number outside quotes is a figure.
type paper struct {
	in       bom.Units
	sections []string
	texts    map[string]string
}

func (p *paper) add(section, text string) {
	if text == "" {
		return
	}
	if p.texts == nil {
		p.texts = make(map[string]string)
	}
	if _, found := p.texts[section]; !found {
		p.sections = append(p.sections, section)
	}
	p.texts[section] += text
}

// paperOf writes an order's bill, its price, promise and holds.
func paperOf(o *order.Order) *paper {
	p := &paper{in: o.Bill.Units}
	for i := range o.Bill.Lines {
		p.line(&o.Bill.Lines[i])
	}
	for i := range o.Bill.Pooled {
		p.add("pooled", pooledBlock(&o.Bill.Pooled[i], p.in))
	}
	for i := range o.Bill.Batches {
		p.add("batches", batchBlock(&o.Bill.Batches[i], p.in))
	}
	p.materials(o.Bill)
	p.price(o)
	p.add("promise", "ship "+o.Promise.String()+"\n")
	if o.Requested != nil {
		p.add("promise", "asked for "+o.Requested.String()+"\n")
	}
	for _, hold := range o.Holds {
		p.add("holds", fmt.Sprintf("line %d  %s  blocks %s  %q\n", hold.Line, hold.Kind, strings.Join(hold.Blocks, ", "), hold.Reason))
	}
	return p
}

func (p *paper) line(l *bom.LineBill) {
	head := fmt.Sprintf("line %d\n", l.Line)
	p.add("lines", fmt.Sprintf("line %d  %s  pieces %d  one weighs %s\n", l.Line, l.Product, l.Quantity, l.UnitWeight.In(p.in)))
	p.rows("steel", head, steelTable(l.Steel, p.in))
	p.rows("welds", head, weldTable(l.Welds, l.Welded, p.in))
	p.rows("wood", head, woodBlocks(l.Wood, p.in))
	p.rows("glass", head, glassBlocks(l.Glass, p.in))
	p.rows("stone", head, stoneBlocks(l.Stone, p.in))
	p.rows("finish", head, finishTable(l.Finish, p.in)+finishTimes(l.Finish, p.in))
	p.rows("routes", head, routes(l))
	p.rows("cushions", head, cushionBlocks(l.Cushions, p.in))
	p.rows("cloth", head, clothBlocks(l.Cloth, p.in))
	p.rows("hardware", head, hardwareTable(l.Hardware, p.in))
	p.rows("cartons", head, cartonBlocks(l.Cartons, p.in))
	p.rows("handling units", head, unitTable(l.Units, p.in))
	p.rows("lifts", head, liftTable(l.Lifts, p.in))
	var cautions strings.Builder
	for _, c := range l.Cautions {
		fmt.Fprintf(&cautions, "%s  %s", c.Code, c.Path)
		if c.Load > 0 {
			fmt.Fprintf(&cautions, "  load %s", c.Load.In(p.in))
		}
		cautions.WriteString("\n")
	}
	p.rows("cautions", head, cautions.String())
}

func (p *paper) rows(section, head, text string) {
	if text != "" {
		p.add(section, head+text)
	}
}

// table aligns rows of cells.
func table(rows [][]string) string {
	var out strings.Builder
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	for _, row := range rows {
		fmt.Fprintln(w, strings.Join(row, "\t"))
	}
	w.Flush()
	lines := strings.Split(out.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

func quoted(text string) string {
	if text == "" {
		return "-"
	}
	return `"` + text + `"`
}

func optional(l *unit.Length, in bom.Units) string {
	if l == nil {
		return "-"
	}
	return in.Length(*l)
}

func count(n int) string { return fmt.Sprint(n) }

func steelTable(rows []bom.SteelRow, in bom.Units) string {
	if len(rows) == 0 {
		return ""
	}
	cells := [][]string{{"part", "section", "shape", "each", "pieces", "finished", "cut", "short point", "ends", "weight", "coated"}}
	var more strings.Builder
	for i := range rows {
		r := &rows[i]
		cells = append(cells, []string{r.Path, r.Section, quoted(r.Shape), count(r.Each), count(r.Pieces), in.Length(r.Finished), in.Length(r.Cut),
			optional(r.ShortPoint, in), quoted(r.Ends), r.Weight.In(in), r.Coated.In(in)})
		for _, b := range r.Bends {
			fmt.Fprintf(&more, "%s  bend at %s  %v deg  radius %s%s\n", r.Path, in.Length(b.At), b.Angle, in.Length(b.Radius), bendExtra(&b, in))
		}
		if r.Trim != nil {
			fmt.Fprintf(&more, "%s  trim %s\n", r.Path, in.Length(*r.Trim))
		}
		if b := r.Bar; b != nil {
			fmt.Fprintf(&more, "%s  bar to order %s  days %d\n", r.Path, in.Length(b.Length), b.LeadDays)
		}
		if r.Form != "" {
			fmt.Fprintf(&more, "%s  form %s\n", r.Path, quoted(r.Form))
		}
		if f := r.Forging; f != nil {
			heat := ""
			if f.Temperature != "" {
				heat = "  at " + quoted(f.Temperature)
			}
			fmt.Fprintf(&more, "%s  forged from %s  heats %d%s  %s\n", r.Path, in.Length(f.Stock), f.Heats, heat, quoted(f.Note))
		}
		for _, w := range r.Work {
			fmt.Fprintf(&more, "%s  %s  %s  %s\n", r.Path, quoted(w.Work), w.Minutes, quoted(w.Note))
		}
	}
	return table(cells) + more.String()
}

func weldTable(rows []bom.WeldRow, whole []bom.WeldedRow, in bom.Units) string {
	if len(rows) == 0 && len(whole) == 0 {
		return ""
	}
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  each %d  pieces %d  joins %s\n", r.Path, r.Each, r.Pieces, strings.Join(r.Joins, ", "))
		fmt.Fprintf(&out, "  weld     %s  %s %s  %s\n", quoted(r.Kind), r.SizeOf, in.Length(r.Size), quoted(r.Form))
		around := ""
		if r.AllRound {
			around = "all round "
		}
		if r.Length > 0 {
			fmt.Fprintf(&out, "  length   %s%s  sides %d  in all %s\n", around, in.Length(r.Length), r.Sides, in.Length(r.TotalLength))
		}
		fmt.Fprintf(&out, "  deposit  %s  %s  wire %s %s  arc %s\n", r.Deposit.In(in), quoted(r.Process), r.WireWeight.In(in), quoted(r.Wire), r.Arc)
		if r.GrindFlush {
			out.WriteString("  flush\n")
		}
		for _, w := range r.Work {
			fmt.Fprintf(&out, "  %s  %s  %s\n", quoted(w.Work), w.Minutes, quoted(w.Note))
		}
	}
	for i := range whole {
		r := &whole[i]
		fmt.Fprintf(&out, "%s  welded  each %d  pieces %d  length %s  deposit %s  wire %s  arc %s\n", r.Path, r.Each, r.Pieces,
			in.Length(r.TotalLength), r.Deposit.In(in), r.WireWeight.In(in), r.Arc)
		for _, w := range r.Work {
			fmt.Fprintf(&out, "  %s  %s  %s\n", quoted(w.Work), w.Minutes, quoted(w.Note))
		}
	}
	return out.String()
}

// bendExtra is what the bend schedule has beside mark, angle and radius.
func bendExtra(b *bom.Bend, in bom.Units) string {
	text := ""
	if b.Until != nil {
		text += fmt.Sprintf("  until %s  turn %v deg  plane %v deg", in.Length(*b.Until), b.Turn, b.Plane)
	}
	if b.Inside != nil {
		text += fmt.Sprintf("  inside radius %s  K %s", in.Length(*b.Inside), b.KFactor)
	}
	if b.Jig != "" {
		text += "  on " + quoted(b.Jig)
	}
	return text
}

func woodBlocks(rows []bom.WoodRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  each %d  pieces %d\n", r.Path, r.Each, r.Pieces)
		if r.Bought {
			fmt.Fprintf(&out, "  made of   %q  bought blank  %q\n", r.Species, r.Finish)
		} else {
			fmt.Fprintf(&out, "  made of   %q  from %q  %q\n", r.Species, r.Rough, r.Finish)
		}
		fmt.Fprintf(&out, "  finished  %s x %s%s  grain %q\n", shaped(r.Shape, r.Length, r.Width, in), in.Length(r.Thickness), ends(r.EndWidth, in), r.Grain)
		if r.MatchSet != "" {
			fmt.Fprintf(&out, "  matched   %s\n", r.MatchSet)
		}
		if r.Bought {
			fmt.Fprintf(&out, "  blank     %s\n", in.Sides(r.Blank.Length, r.Blank.Width))
		} else {
			fmt.Fprintf(&out, "  blank     %s  rip width %s\n", in.Sides(r.Blank.Length, r.Blank.Width), in.Length(r.RipWidth))
			fmt.Fprintf(&out, "  strips    %s\n", strips(r.Strips, in))
		}
		fmt.Fprintf(&out, "  edge      %q  %s\n", r.Edge, in.Length(r.EdgeRun))
		for _, e := range r.Edges {
			fmt.Fprintf(&out, "  profile   %q  %s\n", e.Profile, in.Length(e.Length))
		}
		if r.Mating > 0 {
			fmt.Fprintf(&out, "  mating    %s\n", in.Length(r.Mating))
		}
		out.WriteString(overhang(r.Overhang, in))
		if !r.Bought {
			fmt.Fprintf(&out, "  lumber    net %s  gross %s\n", r.Net.In(in), r.Gross.In(in))
		}
		fmt.Fprintf(&out, "  movement  %s\n", in.Length(r.Movement))
		if r.Sawing != "" || r.Climate != "" {
			fmt.Fprintf(&out, "  made for  %s  %s\n", quoted(r.Climate), quoted(r.Sawing))
		}
		fmt.Fprintf(&out, "  weight    %s  area %s\n", r.Weight.In(in), r.Area.In(in))
	}
	return out.String()
}

// strips groups like widths that follow one another.
func strips(widths []unit.Length, in bom.Units) string {
	if len(widths) == 0 {
		return "one piece"
	}
	var groups []string
	for i := 0; i < len(widths); {
		j := i
		for j < len(widths) && widths[j] == widths[i] {
			j++
		}
		groups = append(groups, fmt.Sprintf("%d of %s", j-i, in.Length(widths[i])))
		i = j
	}
	return strings.Join(groups, ", ")
}

func glassBlocks(rows []bom.GlassRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  each %d  pieces %d\n", r.Path, r.Each, r.Pieces)
		fmt.Fprintf(&out, "  pane    %q  %s x %s%s  edge %q\n", r.Glass, shaped(r.Shape, r.Length, r.Width, in), in.Length(r.Thickness), ends(r.EndWidth, in), r.Edge)
		if r.EdgeRun > 0 {
			fmt.Fprintf(&out, "  edge    %s\n", in.Length(r.EdgeRun))
		}
		for _, w := range r.Work {
			fmt.Fprintf(&out, "  work    %s by the %s  %s\n", w.Do, w.By, quoted(w.Note))
		}
		if r.Range != nil {
			fmt.Fprintf(&out, "  range   %s to %s\n", r.Range.Least.In(in), r.Range.Most.In(in))
		}
		if r.AreaClass != "" {
			fmt.Fprintf(&out, "  class   %q\n", r.AreaClass)
		}
		if r.Billed > 0 {
			fmt.Fprintf(&out, "  billed  %s\n", r.Billed.In(in))
		}
		out.WriteString(overhang(r.Overhang, in))
		fmt.Fprintf(&out, "  safety  %q  %q\n", r.Safety, r.Reason)
		fmt.Fprintf(&out, "  weight  %s  area %s\n", r.Weight.In(in), r.Area.In(in))
	}
	return out.String()
}

func stoneBlocks(rows []bom.StoneRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  each %d  pieces %d\n", r.Path, r.Each, r.Pieces)
		fmt.Fprintf(&out, "  piece   %q  %s x %s%s\n", r.Stone, shaped(r.Shape, r.Length, r.Width, in), in.Length(r.Thickness), ends(r.EndWidth, in))
		fmt.Fprintf(&out, "  edge    %q  %s\n", r.Edge, in.Length(r.EdgeRun))
		fmt.Fprintf(&out, "  weight  %s  area %s\n", r.Weight.In(in), r.Area.In(in))
		if r.Range != nil {
			fmt.Fprintf(&out, "  range   %s to %s\n", r.Range.Least.In(in), r.Range.Most.In(in))
		}
		out.WriteString(overhang(r.Overhang, in))
	}
	return out.String()
}

func overhang(o *bom.Overhang, in bom.Units) string {
	if o == nil {
		return ""
	}
	return fmt.Sprintf("  overhang  ends %s  sides %s\n", in.Length(o.Ends), in.Length(o.Sides))
}

func ends(width unit.Length, in bom.Units) string {
	if width == 0 {
		return ""
	}
	return "  ends " + in.Length(width)
}

// shaped names the shape in quotes, so that its size stays a figure.
func shaped(shape string, length, width unit.Length, in bom.Units) string {
	return quoted(shape) + "  " + strings.TrimPrefix(in.Shaped(shape, length, width), shape+" ")
}

func finishTable(rows []bom.FinishRow, in bom.Units) string {
	if len(rows) == 0 {
		return ""
	}
	cells := [][]string{{"step", "do", "hand", "pieces", "area", "minutes", "coating", "amount", "wait"}}
	for i := range rows {
		r := &rows[i]
		hand, amount, wait := "-", "-", "-"
		if r.Hand {
			hand = "hand"
		}
		if r.Powder != nil {
			amount = r.Powder.In(in)
		}
		if r.Liquid != nil {
			amount = r.Liquid.In(in)
		}
		if r.Wait != "" {
			wait = r.Wait + " h"
		}
		cells = append(cells, []string{r.Path, quoted(r.Work), hand, count(r.Pieces), r.Area.In(in), r.Minutes.String(), quoted(r.Coating), amount, wait})
	}
	return table(cells)
}

// finishTimes tells what only timed finishes and coats of their data sheet have.
func finishTimes(rows []bom.FinishRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		var cells []string
		put := func(there bool, format string, args ...any) {
			if there {
				cells = append(cells, fmt.Sprintf(format, args...))
			}
		}
		put(r.Station != "", "at %q", r.Station)
		put(r.Coats > 0, "coats %d", r.Coats)
		put(r.Flash != nil, "flash %s", r.Flash)
		if r.Recoat != nil {
			put(true, "recoat from %s", r.Recoat.From)
			put(r.Recoat.To != nil, "to %s", r.Recoat.To)
			put(r.Recoat.Longest != nil, "longest %s", r.Recoat.Longest)
		}
		if r.Cure != nil {
			put(true, "cure %s at %q", r.Cure.Minutes, r.Cure.At)
		}
		for _, m := range r.Mix {
			put(true, "%q %s", m.Component, m.Liquid.In(in))
		}
		put(r.SafetySheet != "", "sheet %q", r.SafetySheet)
		put(r.Ready != nil, "ready %s", r.Ready)
		if len(cells) > 0 {
			fmt.Fprintf(&out, "%s  %s\n", r.Path, strings.Join(cells, "  "))
		}
	}
	return out.String()
}

func routes(l *bom.LineBill) string {
	var out strings.Builder
	for i := range l.Routes {
		r := &l.Routes[i]
		fmt.Fprintf(&out, "%s  %q  pieces %d\n  by    %q  then %q\n", r.Path, r.Finish, r.Pieces, strings.Join(r.Stations, ", "), r.Then)
		if r.Hand {
			out.WriteString("  hand  by hand\n")
		}
		if r.Batch != "" {
			fmt.Fprintf(&out, "  in    %s\n", r.Batch)
		}
		if r.Ready != nil {
			fmt.Fprintf(&out, "  done  %s\n", r.Ready)
		}
	}
	if l.Finished != nil {
		fmt.Fprintf(&out, "finished  %s\n", l.Finished)
	}
	return out.String()
}

func batchBlock(b *bom.BatchRow, in bom.Units) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s  %q  %q\n  parts  %q\n  all    pieces %d  area %s  minutes %s\n", b.Path, b.Match, b.Finish, strings.Join(b.Parts, ", "), b.Pieces, b.Area.In(in), b.Minutes)
	for _, c := range b.Coatings {
		switch {
		case c.Powder != nil:
			fmt.Fprintf(&out, "  takes  %q  %s\n", c.Coating, c.Powder.In(in))
		case c.Liquid != nil:
			fmt.Fprintf(&out, "  takes  %q  %s\n", c.Coating, c.Liquid.In(in))
		}
	}
	if b.Ready != nil {
		fmt.Fprintf(&out, "  done   %s\n", b.Ready)
	}
	return out.String()
}

func cushionBlocks(rows []bom.CushionRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  each %d  pieces %d\n", r.Path, r.Each, r.Pieces)
		fmt.Fprintf(&out, "  made of   %q  %q  %q\n", r.Form, r.Cloth, r.Foam)
		if r.Contrast != "" {
			fmt.Fprintf(&out, "  contrast  %q\n", r.Contrast)
		}
		fmt.Fprintf(&out, "  finished  %s\n", in.Sides(r.Length, r.Width, r.Height))
		if r.Shape != "" {
			fmt.Fprintf(&out, "  outline   %q  perimeter %s  area %s\n", r.Shape, in.Length(r.Perimeter), r.Area.In(in))
		}
		fmt.Fprintf(&out, "  foam      %s\n", in.Sides(r.FoamSize.Length, r.FoamSize.Width, r.FoamSize.Height))
		if r.Zip > 0 {
			fmt.Fprintf(&out, "  zip       %s  cord %s\n", in.Length(r.Zip), in.Length(r.Cord))
		}
		for _, c := range r.Cut {
			how := ""
			for _, flag := range []struct {
				on   bool
				word string
			}{{c.Match, "matched"}, {c.Joined, "joined"}, {c.Railroaded, "railroaded"},
				{c.Beside, "matched across"}, {c.Bias, "on the bias"}, {c.Contrast, "contrast"}} {
				if flag.on {
					how += "  " + flag.word
				}
			}
			fmt.Fprintf(&out, "  cut       %s  %d of %s along x %s across%s\n", c.Name, c.Pieces, in.Length(c.Along), in.Length(c.Across), how)
		}
		for _, t := range r.Trimmings {
			fmt.Fprintf(&out, "  trimming  %s  %q  %s%s\n", t.Path, t.Item, trimmed(&t, in), weighed(t.Weight, in))
		}
	}
	return out.String()
}

// trimmed is how much of a trimming one cushion takes.
func trimmed(t *bom.TrimmingRow, in bom.Units) string {
	switch {
	case t.Area > 0:
		return in.Sides(t.Length, t.Width) + "  " + t.Area.In(in)
	case t.Length > 0:
		return in.Length(t.Length)
	}
	return "pieces " + count(t.Pieces)
}

func weighed(w bom.Weight, in bom.Units) string {
	if w == 0 {
		return ""
	}
	return "  " + w.In(in)
}

// pooledBlock is cloth that several lines are cut from together, and their shares.
func pooledBlock(p *bom.PooledCloth, in bom.Units) string {
	var out strings.Builder
	out.WriteString(clothBlocks([]bom.ClothRow{p.ClothRow}, in))
	for _, of := range p.Of {
		share := of.Share.In(in)
		if of.ShareArea > 0 {
			share = of.ShareArea.In(in)
		}
		fmt.Fprintf(&out, "  line %d  %s  share %s\n", of.Line, of.Path, share)
	}
	return out.String()
}

func clothBlocks(rows []bom.ClothRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		own := ""
		if r.Own {
			own = "  own material"
		}
		if r.Hides > 0 {
			fmt.Fprintf(&out, "%s  %q%s\n  area %s  hides %d\n", r.Path, r.Cloth, own, r.Area.In(in), r.Hides)
			continue
		}
		fmt.Fprintf(&out, "%s  %q%s  usable %s  repeat %s", r.Path, r.Cloth, own, in.Length(r.Usable), in.Length(r.Repeat))
		if r.Across > 0 {
			fmt.Fprintf(&out, "  across %s", in.Length(r.Across))
		}
		out.WriteString("\n")
		for _, c := range r.Rows {
			fmt.Fprintf(&out, "  %q  %d in a row  %d rows of %s\n", c.Piece, c.InRow, c.Rows, in.Length(c.Run))
		}
		fmt.Fprintf(&out, "  net %s", in.Length(r.Net))
		if r.Pattern > 0 {
			fmt.Fprintf(&out, "  pattern %s", in.Length(r.Pattern))
		}
		if r.Flaws > 0 {
			fmt.Fprintf(&out, "  flaws %s", in.Length(r.Flaws))
		}
		if r.Pooled != "" {
			fmt.Fprintf(&out, "  share %s of %s\n", r.Length.In(in), r.Pooled)
			continue
		}
		fmt.Fprintf(&out, "  bought %s\n", r.Length.In(in))
	}
	return out.String()
}

func hardwareTable(rows []bom.HardwareRow, in bom.Units) string {
	if len(rows) == 0 {
		return ""
	}
	cells := [][]string{{"part", "item", "each", "pieces", "slot", "weight"}}
	for i := range rows {
		r := &rows[i]
		cells = append(cells, []string{r.Path, quoted(r.Item), count(r.Each), count(r.Pieces), optional(r.Slot, in), r.Weight.In(in)})
	}
	return table(cells)
}

func cartonBlocks(rows []bom.CartonRow, in bom.Units) string {
	var out strings.Builder
	for i := range rows {
		r := &rows[i]
		fmt.Fprintf(&out, "%s  pieces %d  packs %s\n", r.Path, r.Pieces, strings.Join(r.Packs, ", "))
		fmt.Fprintf(&out, "  inside   %s\n", in.Sides(r.Length, r.Width, r.Depth))
		fmt.Fprintf(&out, "  board    %q  %q  blank %s\n", r.Board, r.Grade, in.Sides(r.Blank.Length, r.Blank.Width))
		fmt.Fprintf(&out, "  weight   tare %s  gross %s\n", r.Tare.In(in), r.Gross.In(in))
		if r.Class == "" {
			fmt.Fprintf(&out, "  density  %s\n", r.Density)
		} else {
			fmt.Fprintf(&out, "  freight  %s  class %s\n", r.Density, r.Class)
		}
		if r.TwoLift {
			out.WriteString("  lift     two persons\n")
		}
		shippingBlock(&out, r, in)
	}
	return out.String()
}

func (p *paper) materials(bill *bom.Bill) {
	cells := [][]string{{"line", "for", "kind", "item", "pieces", "length of one", "amount"}}
	for _, m := range bill.Materials() {
		one := "-"
		if m.PieceLength > 0 {
			one = p.in.Length(m.PieceLength)
		}
		cells = append(cells, []string{"line " + count(m.Line), m.Path, m.Kind, quoted(m.Item), count(m.Pieces), one, amount(m, p.in)})
	}
	p.add("materials", table(cells))
}

func amount(m bom.Material, in bom.Units) string {
	switch m.Measure {
	case bom.Length:
		return in.Length(unit.Length(m.Amount))
	case bom.Area:
		return unit.Area(m.Amount).String()
	case bom.Volume:
		return unit.Volume(m.Amount).String()
	case bom.Mass:
		return unit.Mass(m.Amount).String()
	}
	return fmt.Sprint(m.Amount)
}

func (p *paper) price(o *order.Order) {
	for i := range o.Lines {
		l := &o.Lines[i]
		p.add("price", fmt.Sprintf("line %d  terms %q\n", l.Number, l.Quote.Terms))
		if l.Quote.ToBeQuoted {
			p.add("price", "  to be quoted\n")
			continue
		}
		for _, line := range l.Quote.Lines {
			p.add("price", fmt.Sprintf("  %q  %s\n", line.For, line.List))
		}
		p.add("price", fmt.Sprintf("  list %s  net of one %s  net %s\n", l.Quote.ListUnit, l.Quote.NetUnit, l.Net))
	}
	if o.Net != nil {
		p.add("price", fmt.Sprintf("order  net %s\n", o.Net))
	}
}
