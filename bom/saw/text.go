package saw

import (
	"fmt"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/cutting"
)

// In writes an amount as a person reads it: "131.00", "4 bars" or "960 in".
func (a Amount) In(units bom.Units) string {
	switch {
	case a.Price != nil:
		return a.Price.String()
	case a.Bars != nil:
		return plural(*a.Bars, "bar")
	case a.Length != nil:
		return units.Length(*a.Length)
	}
	return ""
}

func plural(n int64, of string) string {
	if n == 1 {
		return "1 " + of
	}
	return strconv.FormatInt(n, 10) + " " + of + "s"
}

// Text is the plan as the saw hand and the buyer read it.
func (p *Plan) Text(units bom.Units) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s on %s\n", p.Title(), plural(p.Pieces, "piece"), plural(p.BarCount(), "bar"))
	for _, line := range p.Summary(units) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	for i := range p.Bars {
		bar := &p.Bars[i]
		fmt.Fprintf(&b, "%s\n", bar.Title(units))
		for _, line := range bar.Lines(units) {
			fmt.Fprintf(&b, "  %s\n", line)
		}
	}
	return b.String()
}

// Title is the section's name and code.
func (p *Plan) Title() string {
	switch {
	case p.Name == "" && p.Section == "":
		return "Bars"
	case p.Name == "":
		return p.Section
	}
	return fmt.Sprintf("%s (%s)", p.Name, p.Section)
}

// BarCount is the number of bars, those bought and the offcuts used.
func (p *Plan) BarCount() int64 {
	if len(p.Bars) == 0 {
		return 0
	}
	return p.Bars[len(p.Bars)-1].Last()
}

// Summary is what is bought and used, what is proved, and what is left.
func (p *Plan) Summary(units bom.Units) []string {
	var lines []string
	for _, b := range p.Buy {
		line := fmt.Sprintf("buy %d of %s", b.Bars, units.Length(b.Length))
		if b.Price != nil {
			line += " for " + b.Price.String()
		}
		if b.LeadDays > 0 {
			line += fmt.Sprintf(", to order, %s", plural(int64(b.LeadDays), "working day"))
		}
		lines = append(lines, line)
	}
	for _, b := range p.Offcuts {
		lines = append(lines, fmt.Sprintf("use %s of %s", plural(b.Bars, "offcut"), units.Length(b.Length)))
	}
	return append(lines, p.Proof(units), fmt.Sprintf("waste %s, leftovers kept %s", units.Length(p.Waste), units.Length(p.Kept)))
}

// Proof is what is known of the plan's cost, in one sentence's worth of words.
func (p *Plan) Proof(units bom.Units) string {
	says := fmt.Sprintf("takes %s, the least possible: %s", p.Cost.In(units), p.Status)
	if p.Status == cutting.NotProved {
		says = fmt.Sprintf("takes %s, and none can take less than %s: %s", p.Cost.In(units), p.Bound.In(units), p.Status)
	}
	return says
}

// Text is how the saw is set, in one line.
func (s *Saw) Text(units bom.Units) string {
	place, trims := "between pieces", "at no end"
	if s.AfterEvery {
		place = "after every piece"
	}
	switch {
	case s.TrimStart > 0 && s.TrimEnd > 0:
		trims = "at both ends"
	case s.TrimStart > 0 || s.TrimEnd > 0:
		trims = "at one end"
	}
	text := fmt.Sprintf("kerf %s %s, trim %s %s", units.Length(s.Kerf), place, units.Length(max(s.TrimStart, s.TrimEnd)), trims)
	if s.Keep > 0 {
		text += ", leftovers kept from " + units.Length(s.Keep)
	}
	if s.Lengths > 0 {
		text += fmt.Sprintf(", no more than %d lengths on a bar (the bound is that without this limit)", s.Lengths)
	}
	return text
}

// Title names the bar, or the bars that are cut alike.
func (b *Bar) Title(units bom.Units) string {
	title := fmt.Sprintf("Bar %d", b.Number)
	if b.Count > 1 {
		title = fmt.Sprintf("Bars %d to %d, cut alike,", b.Number, b.Last())
	}
	title += " of " + units.Length(b.Length)
	switch {
	case b.Offcut:
		title += ", from the rack"
	case b.LeadDays > 0:
		title += ", to order"
	}
	return title
}

// Lines are a bar's pieces in cutting order and what is left of it.
func (b *Bar) Lines(units bom.Units) []string {
	lines := make([]string, 0, len(b.Cuts)+1)
	for i := range b.Cuts {
		lines = append(lines, b.Cuts[i].text(units))
	}
	return append(lines, b.left(units))
}

func (c *Cut) text(units bom.Units) string {
	text := fmt.Sprintf("%d x %s", c.Count, units.Length(c.Length))
	if c.Mark != "" {
		text += "  " + printable(c.Mark)
	}
	return text
}

func (b *Bar) left(units bom.Units) string {
	switch {
	case b.Leftover == 0:
		return "nothing left"
	case b.Kept:
		return "left " + units.Length(b.Leftover) + ", keep"
	}
	return "left " + units.Length(b.Leftover) + ", waste"
}

// printable keeps a mark that people wrote from moving a terminal's cursor.
func printable(mark string) string {
	return strings.Map(func(r rune) rune {
		if strconv.IsPrint(r) {
			return r
		}
		return '·'
	}, mark)
}

// Heads are those of Rows, lengths in the unit of that name.
func Heads(units bom.Units) []string {
	in := " " + units.Names().Length
	return []string{"section", "bar", "bars alike", "bar length" + in, "offcut", "cut", "pieces", "piece length" + in, "mark", "order", "row", "leftover" + in, "kept", "status"}
}

// Rows are a plan as a table: one row for each run of pieces alike. Number
// writes a length without its unit.
func (p *Plan) Rows(number Number) [][]string {
	var rows [][]string
	for i := range p.Bars {
		b := &p.Bars[i]
		for at := range b.Cuts {
			c := &b.Cuts[at]
			rows = append(rows, []string{p.Section, strconv.FormatInt(b.Number, 10), strconv.FormatInt(b.Count, 10), number(b.Length), yesNo(b.Offcut),
				strconv.Itoa(at + 1), strconv.FormatInt(c.Count, 10), number(c.Length), c.Mark, c.Order, c.Row, number(b.Leftover), yesNo(b.Kept), string(p.Status)})
		}
	}
	return rows
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
