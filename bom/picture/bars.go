package picture

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/bom/saw"
	"billwright/catalog/unit"
)

// The bars of a plan as the sawyer cuts them, to scale from the left: the trim
// black, each piece with its mark and its cut length, what is left hatched where
// it is kept and crossed where it is scrap. The longest bar of a picture takes
// its whole width.

const (
	barLeft   = 26 * Pt
	barWidth  = 400 * Pt
	barTall   = 15 * Pt
	barStep   = 24 * Pt
	barWords  = 9 * Pt
	drawnEach = 60 // pieces of a run beyond which they are drawn as one
)

// Marks gives the mark of a piece by the order and the address of its row.
type Marks func(order, row string) string

// Bars draws a bar, or some that are cut alike, of a plan. longest is the length
// that takes the whole width.
func Bars(plan *saw.Plan, at int, how saw.Saw, longest unit.Length, marks Marks, units bom.Units) *Picture {
	bar := &plan.Bars[at]
	scale := Scale{max(longest, bar.Length), barWidth}
	p := &Picture{Width: 532 * Pt, Height: barStep, Title: bar.Title(units), Says: barSays(bar, marks, units)}
	if bar.Count > 1 {
		p.Write(0, 10*Pt, barWords, true, Start, fmt.Sprintf("%d-%d", bar.Number, bar.Last()))
	} else {
		p.Write(0, 10*Pt, 11*Pt, true, Start, fmt.Sprint(bar.Number))
	}
	p.Box(Thick, White, barLeft, 0, scale.Dots(bar.Length), barTall)
	if how.TrimStart > 0 {
		p.Box(NoPen, Black, barLeft, 0, max(60, scale.Dots(how.TrimStart)), barTall)
	}
	end := p.cuts(bar, how, scale, marks, units)
	p.left(bar, how, scale, end)
	p.Write(barLeft+scale.Dots(bar.Length)+6*Pt, 11*Pt, barWords, false, Start, leftSays(bar, units))
	return p
}

// cuts draws the pieces and gives where the last of them ends.
func (p *Picture) cuts(bar *saw.Bar, how saw.Saw, scale Scale, marks Marks, units bom.Units) unit.Length {
	at := how.TrimStart
	for i := range bar.Cuts {
		c := &bar.Cuts[i]
		mark, pieces, each := marks(c.Order, c.Row), c.Count, c.Length
		words := mark + " " + Number(c.Length, units)
		if run := scale.Dots(c.Length*unit.Length(c.Count) + how.Kerf*unit.Length(c.Count-1)); c.Count > drawnEach || c.Count > 1 && wide(words, barWords) > scale.Dots(c.Length) && wide(fmt.Sprint(c.Count)+" x "+words, barWords) < run {
			pieces, each = 1, c.Length*unit.Length(c.Count)+how.Kerf*unit.Length(c.Count-1)
			words = fmt.Sprintf("%d x %s", c.Count, words)
		}
		for range pieces {
			p.cut(at, each, scale, mark, words)
			at += each + how.Kerf
		}
	}
	return min(at, bar.Length)
}

func (p *Picture) cut(at, length unit.Length, scale Scale, mark, words string) {
	x, width := barLeft+scale.Dots(at), scale.Dots(at+length)-scale.Dots(at)
	p.Box(Thick, White, x, 0, width, barTall)
	switch {
	case wide(words, barWords) < width:
		p.Write(x+width/2, 11*Pt, barWords, false, Middle, words)
	case wide(mark, barWords) < width:
		p.Write(x+width/2, 11*Pt, barWords, false, Middle, mark)
	}
}

// left draws what stays behind the last cut.
func (p *Picture) left(bar *saw.Bar, how saw.Saw, scale Scale, from unit.Length) {
	until := bar.Length - how.TrimEnd
	if bar.Leftover > 0 && until > from {
		fill := Cross
		if bar.Kept {
			fill = Hatch
		}
		p.Box(Thin, fill, barLeft+scale.Dots(from), 0, scale.Dots(until)-scale.Dots(from), barTall)
	}
	if how.TrimEnd > 0 {
		width := max(60, scale.Dots(bar.Length)-scale.Dots(until))
		p.Box(NoPen, Black, barLeft+scale.Dots(bar.Length)-width, 0, width, barTall)
	}
}

func leftSays(bar *saw.Bar, units bom.Units) string {
	switch {
	case bar.Leftover == 0:
		return "nothing left"
	case bar.Kept:
		return Number(bar.Leftover, units) + " keep, tag it"
	}
	return Number(bar.Leftover, units) + " scrap"
}

func barSays(bar *saw.Bar, marks Marks, units bom.Units) string {
	texts := make([]string, 0, len(bar.Cuts)+1)
	for i := range bar.Cuts {
		c := &bar.Cuts[i]
		texts = append(texts, fmt.Sprintf("%d of %s, %s", c.Count, marks(c.Order, c.Row), units.Length(c.Length)))
	}
	return bar.Title(units) + ": " + strings.Join(append(texts, leftSays(bar, units)), "; ") + "."
}

// Number is a length without its unit, where the unit stands in the head.
func Number(l unit.Length, units bom.Units) string {
	text := units.Length(l)
	if cut, found := strings.CutSuffix(text, " "+units.Names().Length); found {
		return cut
	}
	return text
}

// Rule is a rule that proves a print true to size: 4 in with ticks at each 1/16,
// or 100 mm with ticks at each millimetre. Its base line is exactly that long
// from the first tick to the last.
func Rule(metric bool) *Picture {
	p := &Picture{Height: 24 * Pt, Title: "Print check: this rule is 4 inches long"}
	steps, whole, of, words := 64, 4*Inch, 16, []int{8, 4}
	if metric {
		p.Title = "Print check: this rule is 100 millimetres long"
		steps, whole, of, words = 100, Millimetres(100), 10, []int{5}
	}
	p.Width, p.Says = whole+8*Pt, p.Title+"."
	left := 3 * Pt
	p.Line(Thin, left, 0, left+whole, 0)
	for i := range steps + 1 {
		x := left + Dot(math64(int64(whole), int64(i), int64(steps)))
		high := 4 * Pt
		switch {
		case i%of == 0:
			high = 13 * Pt
			if i > 0 {
				p.Write(x-2*Pt, 22*Pt, 8*Pt, false, End, ruleNumber(i/of, metric))
			}
		case i%words[0] == 0:
			high = 9 * Pt
		case i%words[len(words)-1] == 0:
			high = 6 * Pt
		}
		p.Line(Thin, x, 0, x, high)
	}
	return p
}

func math64(whole, i, steps int64) int64 { return (2*whole*i + steps) / (2 * steps) }

func ruleNumber(n int, metric bool) string {
	if metric {
		return fmt.Sprint(n * 10)
	}
	return fmt.Sprint(n)
}
