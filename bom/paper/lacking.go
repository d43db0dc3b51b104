package paper

import (
	"fmt"
	"slices"
	"strings"
)

// What the fonts of the PDF lack, such as Hebrew or Arabic letters of a sidemark,
// is printed as □, one for each letter, and told by its number on the same
// paper; the HTML paper shows the letters themselves.

// mostLacking is how many letters are told by their number.
const mostLacking = 40

// tell adds to each sheet what of its texts the fonts lack.
func (p *Paper) tell() *Paper {
	for _, s := range p.Sheets {
		says := lackSays(s.texts())
		switch {
		case says == "":
		case s.Label != nil:
			s.Label.Says += " " + says
		default:
			s.Blocks = append(s.Blocks, Block{Kind: Note, Text: says})
		}
	}
	return p
}

func lackSays(texts []string) string {
	var lack []rune
	for _, text := range texts {
		for _, r := range lacking(strings.ReplaceAll(text, "\n", "")) {
			if !slices.Contains(lack, r) {
				lack = append(lack, r)
			}
		}
	}
	if len(lack) == 0 {
		return ""
	}
	numbers := make([]string, 0, mostLacking)
	for _, r := range lack[:min(len(lack), mostLacking)] {
		numbers = append(numbers, fmt.Sprintf("U+%04X", r))
	}
	more := ""
	if len(lack) > mostLacking {
		more = fmt.Sprintf(" and %d more", len(lack)-mostLacking)
	}
	return "In the PDF □ stands for a letter that its font lacks; here: " + strings.Join(numbers, ", ") + more + ". The HTML paper shows them."
}

// texts are all texts of a sheet that people may have written.
func (s *Sheet) texts() []string {
	var all []string
	add := func(texts ...string) { all = append(all, texts...) }
	add(s.Head.Title, s.Head.Part, s.Head.Number, s.Head.Under, s.Foot)
	for _, f := range s.Head.Facts {
		add(f.Value)
	}
	for i := range s.Head.Stops {
		add(s.Head.Stops[i].Says)
	}
	for i := range s.Blocks {
		b := &s.Blocks[i]
		add(b.Text, b.Small, b.Lead)
		add(b.Items...)
		for k := range b.Lines {
			for _, cell := range b.Lines[k].Cells {
				for _, t := range cell {
					add(t.Text)
				}
			}
		}
		if b.Picture != nil {
			for k := range b.Picture.Items {
				add(b.Picture.Items[k].Text)
			}
		}
	}
	if l := s.Label; l != nil {
		add(l.From, l.To, l.PO, l.Sidemark, l.Says, l.ToName, l.Pair[0].Value, l.Pair[1].Value)
	}
	return all
}
