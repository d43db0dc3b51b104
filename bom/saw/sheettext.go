package saw

import (
	"fmt"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/cutting"
)

// In writes an amount as a person reads it: "131.00", "4 sheets" or "96 ft2".
func (a SheetAmount) In(units bom.Units) string {
	switch {
	case a.Price != nil:
		return a.Price.String()
	case a.Sheets != nil:
		return plural(*a.Sheets, "sheet")
	case a.Area != nil:
		return a.Area.In(units)
	}
	return ""
}

// Text is the plan as the sawyer and the buyer read it.
func (p *SheetPlan) Text(units bom.Units) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", p.Heading())
	for _, line := range p.Summary(units) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	for i := range p.SheetLayout {
		layout := &p.SheetLayout[i]
		fmt.Fprintf(&b, "%s\n", layout.Title(units))
		for _, line := range layout.Lines(units) {
			fmt.Fprintf(&b, "  %s\n", line)
		}
	}
	return b.String()
}

// Title is the item's name and code.
func (p *SheetPlan) Title() string {
	switch {
	case p.Name == "" && p.Item == "":
		return "Sheets"
	case p.Name == "":
		return p.Item
	}
	return fmt.Sprintf("%s (%s)", p.Name, p.Item)
}

// Heading is the title with how many pieces are on how many sheets.
func (p *SheetPlan) Heading() string {
	return fmt.Sprintf("%s: %s on %s", p.Title(), plural(p.Pieces, "piece"), plural(p.SheetCount(), "sheet"))
}

// SheetCount is the number of sheets, those bought and the offcuts used.
func (p *SheetPlan) SheetCount() int64 {
	if len(p.SheetLayout) == 0 {
		return 0
	}
	return p.SheetLayout[len(p.SheetLayout)-1].Last()
}

// Summary is what is bought and used, what is proved, and what is left.
func (p *SheetPlan) Summary(units bom.Units) []string {
	var lines []string
	for _, b := range p.Buy {
		line := fmt.Sprintf("buy %d of %s", b.Sheets, units.Sides(b.Length, b.Width))
		if b.Price != nil {
			line += " for " + b.Price.String()
		}
		lines = append(lines, line)
	}
	for _, b := range p.Offcuts {
		lines = append(lines, fmt.Sprintf("use %s of %s", plural(b.Sheets, "offcut"), units.Sides(b.Length, b.Width)))
	}
	return append(lines, p.Proof(units), fmt.Sprintf("waste %s, leftovers kept %s", p.Waste.In(units), p.Kept.In(units)))
}

// Proof is what is known of the plan's cost, in one sentence's worth of words.
func (p *SheetPlan) Proof(units bom.Units) string {
	says := fmt.Sprintf("takes %s, the least possible: %s", p.Cost.In(units), p.Status)
	if p.Status == cutting.NotProved {
		says = fmt.Sprintf("takes %s, and none can take less than %s: %s", p.Cost.In(units), p.Bound.In(units), p.Status)
	}
	if p.AnyStages {
		says += ", whatever the stages of its cuts"
	}
	return says
}

// Text is how the sheets are cut, in one line.
func (s *SheetSaw) Text(units bom.Units) string {
	text := fmt.Sprintf("kerf %s, trim %s at each edge", units.Length(s.Kerf), units.Length(s.Trim))
	if s.Keep > 0 {
		text += ", leftovers kept from " + units.Length(s.Keep) + " in both sides"
	}
	if s.Stages > 0 {
		text += fmt.Sprintf(", cuts in no more than %d stages (the bound is that without this limit)", s.Stages)
	}
	return text
}

// Title names the sheet, or the sheets that are cut alike.
func (l *SheetLayout) Title(units bom.Units) string {
	title := fmt.Sprintf("Sheet %d", l.Number)
	if l.Count > 1 {
		title = fmt.Sprintf("Sheets %d to %d, cut alike,", l.Number, l.Last())
	}
	title += " of " + units.Sides(l.Length, l.Width)
	if l.Offcut {
		title += ", from the rack"
	}
	return title
}

// Lines are a sheet's cuts in their order, then its pieces with their numbers in
// the drawing, then what is left of it.
func (l *SheetLayout) Lines(units bom.Units) []string {
	lines := make([]string, 0, len(l.Cuts)+len(l.Pieces)+len(l.Leftovers))
	for i := range l.Cuts {
		lines = append(lines, fmt.Sprintf("cut %d: %s", i+1, l.Cuts[i].text(units)))
	}
	for i := range l.Pieces {
		lines = append(lines, fmt.Sprintf("%d: %s", i+1, l.Pieces[i].text(units)))
	}
	for i := range l.Leftovers {
		lines = append(lines, l.Leftovers[i].text(units))
	}
	return lines
}

func (p *Place) where(units bom.Units) string {
	return fmt.Sprintf("at %s, %s", units.Length(p.X), units.Length(p.Y))
}

func (d *Division) text(units bom.Units) string {
	var b strings.Builder
	fmt.Fprintf(&b, "divide the %s of %s %s into ", d.Of, units.Sides(d.Length, d.Width), d.where(units))
	for i, side := range d.Into {
		if i > 0 {
			b.WriteString(" + ")
		}
		b.WriteString(units.Length(side))
	}
	return b.String()
}

func (l *Laid) text(units bom.Units) string {
	text := units.Sides(l.Length, l.Width) + " " + l.where(units)
	if l.Turned {
		text += ", turned"
	}
	if l.Mark != "" {
		text += "  " + printable(l.Mark)
	}
	return text
}

func (l *Leftover) text(units bom.Units) string {
	text := "left " + units.Sides(l.Length, l.Width) + " " + l.where(units)
	if l.Kept {
		return text + ", keep"
	}
	return text + ", waste"
}

// SheetHeads are those of a sheet plan's Rows, lengths in the unit of that name.
func SheetHeads(units bom.Units) []string {
	in := " " + units.Names().Length
	return []string{"item", "sheet", "sheets alike", "sheet length" + in, "sheet width" + in, "offcut", "piece", "x" + in, "y" + in,
		"piece length" + in, "piece width" + in, "turned", "mark", "order", "row", "status"}
}

// Rows are a plan as a table, one row for each piece. Number writes a length
// without its unit.
func (p *SheetPlan) Rows(number Number) [][]string {
	var rows [][]string
	for i := range p.SheetLayout {
		s := &p.SheetLayout[i]
		for at := range s.Pieces {
			one := &s.Pieces[at]
			rows = append(rows, []string{p.Item, strconv.FormatInt(s.Number, 10), strconv.FormatInt(s.Count, 10), number(s.Length), number(s.Width), yesNo(s.Offcut),
				strconv.Itoa(at + 1), number(one.X), number(one.Y), number(one.Length), number(one.Width), yesNo(one.Turned), one.Mark, one.Order, one.Row, string(p.Status)})
		}
	}
	return rows
}
