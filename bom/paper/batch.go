package paper

import (
	"fmt"

	"billwright/bom"
	"billwright/bom/picture"
	"billwright/bom/saw"
)

// Week is a week's pieces across orders with their bars.
type Week struct {
	// Name is the week, such as 2026-W52.
	Name string
	// Held tells that pieces on which a hold stands are among them.
	Held  bool
	Units bom.Units
	Needs []saw.Need
	// Sections names the sections by their code.
	Sections   map[string]string
	Plans      []*saw.Plan
	NotPlanned []string
	Saw        saw.Saw
	// Revision is that of the catalog in force.
	Revision int
	Address  string
}

// Batch makes the cut list of a week across orders: the pieces of each section
// with their marks, then its bars in cutting order. Each piece is marked with a
// letter for the bars, and with its order and row for what becomes of it.
func Batch(w *Week) *Paper {
	s := &Sheet{Department: Saw, Metric: w.Units == bom.Metric, Shop: true, Foot: fmt.Sprintf("Revision %d in force", w.Revision)}
	pieces := int64(0)
	orders := map[string]bool{}
	marks := map[string]string{}
	for i := range w.Needs {
		for k := range w.Needs[i].Pieces {
			p := &w.Needs[i].Pieces[k]
			pieces += p.Count
			orders[p.Order] = true
			if key := p.Order + " " + p.Row; marks[key] == "" {
				marks[key] = letters(len(marks))
			}
		}
	}
	held := "firm pieces only"
	if w.Held {
		held = "pieces on hold are among them"
	}
	s.Head = Head{Title: "Saw", Part: "cut list of the week, across orders", Over: "week", Number: w.Name, Under: held, Code: Code{w.Address}}
	s.Head.Facts = []Fact{{"Pieces", fmt.Sprint(pieces)}, {"Orders", fmt.Sprint(len(orders))}}
	if w.Held {
		s.Head.Stops = []Stop{{Word: "HELD", Says: "some of these pieces may not be cut yet: look at their orders first."}}
	}
	for i := range w.Needs {
		s.batchSection(w, &w.Needs[i], marks)
	}
	if len(w.Needs) == 0 {
		s.Blocks = append(s.Blocks, Block{Kind: Note, Text: "Nothing is to be cut in this week."})
	}
	for _, why := range w.NotPlanned {
		s.Blocks = append(s.Blocks, Block{Kind: Note, Text: "No bars are planned of " + why})
	}
	own := ownCautions[Saw]
	s.Blocks = append(s.Blocks, Block{Kind: Caution, Lead: own[0], Text: own[1] + defers})
	return (&Paper{Title: "Cut list of week " + w.Name, Sheets: Sheets{s}}).tell()
}

// batchSection adds the pieces of one section and its bars.
func (s *Sheet) batchSection(w *Week, need *saw.Need, marks map[string]string) {
	name := w.Sections[need.Section]
	if name == "" {
		name = need.Section
	}
	s.Blocks = append(s.Blocks, Block{Kind: Heading, Text: name, Small: need.Section})
	columns := []Column{{Title: "Mark", Width: 52 * picture.Pt}, {Title: "Pieces", Width: 46 * picture.Pt, Right: true},
		{Title: "Cut, " + w.Units.Names().Length, Width: 120 * picture.Pt, Right: true, After: 5 * picture.Pt}, {Title: "Order and row, chalked on each piece", Width: Width - 223*picture.Pt - 3*gutter}}
	var rows []Row
	for k := range need.Pieces {
		p := &need.Pieces[k]
		row := Row{Cells: []Cell{{mark(marks[p.Order+" "+p.Row])}, {many(fmt.Sprint(p.Count))}, {big(picture.Number(p.Length, w.Units))}, {strong(p.Mark)}}}
		if !w.Held {
			row.Tally = &Tally{Pieces: int(p.Count), Done: "cut"}
		}
		rows = append(rows, row)
	}
	s.Blocks = append(s.Blocks, Block{Kind: Rows, Columns: columns, Lines: rows})
	for _, plan := range w.Plans {
		if plan.Section == need.Section {
			s.Blocks = append(s.Blocks, barBlocks([]*saw.Plan{plan}, w.Saw, func(order, row string) string { return marks[order+" "+row] }, w.Units)...)
		}
	}
}
