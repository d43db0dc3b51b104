package saw

import (
	_ "embed"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/template"

	"billwright/bom"
	"billwright/catalog/unit"
)

// Drawings of bars, to scale: the longest bar of a drawing is barWidth wide.
// Lengths are scaled from nanometres to hundredths of a unit in whole numbers.
//
// Each bar shows its trims hatched, its pieces in cutting order with the number
// of their line below, the kerfs between them black and as wide as they are, and
// what is left dotted where it is kept and crossed where it is waste, so that
// nothing is told by colour. Every bar and piece carries its words as title or
// description for those who do not see it.

//go:embed drawing.svg.tmpl
var drawingText string

var drawing = template.Must(template.New("drawing").Funcs(template.FuncMap{"text": escape}).Parse(drawingText))

const (
	barWidth  = 1160
	margin    = 20
	barHeight = 34
	lineStep  = 16
	// drawnApart is how many pieces of a run are drawn one by one; more are
	// drawn as one.
	drawnApart = 200
	// signWidth is what one sign of a label takes, in hundredths.
	signWidth = 720
)

// escape makes text of people safe within XML; what XML cannot hold becomes the
// replacement character.
func escape(text string) (string, error) {
	var b strings.Builder
	err := xml.EscapeText(&b, []byte(text))
	return b.String(), err
}

type drawnPage struct {
	Title, Says   string
	Width, Height int
	Plans         []drawnPlan
}

type drawnPlan struct {
	Title   string
	Y       int
	Summary []drawnLine
	Bars    []drawnBar
}

type drawnLine struct {
	Y    int
	Text string
}

type drawnBar struct {
	Title, Says       string
	TitleY, Y, Height int
	X, Width          string
	Trims             []box
	Pieces            []drawnPiece
	Kerfs             []box
	Left              *box
	Kept              bool
	Lines             []drawnLine
}

type box struct{ X, Width string }

type drawnPiece struct {
	box
	Title string
	// Label stands at Middle; it is "" where the piece is too short for it.
	Label  string
	Middle string
	LabelY int
}

// Draw writes plans as one SVG document; title is its heading.
func Draw(w io.Writer, title string, plans []*Plan, units bom.Units) error {
	d := drafting{units: units}
	for _, p := range plans {
		for i := range p.Bars {
			d.longest = max(d.longest, p.Bars[i].Length)
		}
	}
	page := drawnPage{Title: title, Width: barWidth + 2*margin}
	d.y = margin + 2*lineStep
	for _, p := range plans {
		page.Says += p.Title() + ": " + strings.Join(p.Summary(units), "; ") + ". "
		page.Plans = append(page.Plans, d.plan(p))
	}
	if len(plans) == 0 {
		page.Says = "Nothing is to be cut."
	}
	page.Says = strings.TrimSpace(page.Says)
	page.Height = d.y + margin
	if err := drawing.Execute(w, page); err != nil {
		return fmt.Errorf("draw bars: %w", err)
	}
	return nil
}

// drafting is where the pen is.
type drafting struct {
	units   bom.Units
	longest unit.Length
	y       int
}

func (d *drafting) line(text string) drawnLine {
	d.y += lineStep
	return drawnLine{d.y, text}
}

func (d *drafting) plan(p *Plan) drawnPlan {
	d.y += lineStep
	drawn := drawnPlan{Title: fmt.Sprintf("%s: %s on %s", p.Title(), plural(p.Pieces, "piece"), plural(p.BarCount(), "bar")), Y: d.y}
	for _, line := range p.Summary(d.units) {
		drawn.Summary = append(drawn.Summary, d.line(line))
	}
	for i := range p.Bars {
		drawn.Bars = append(drawn.Bars, d.bar(p, &p.Bars[i]))
	}
	return drawn
}

func (d *drafting) bar(p *Plan, b *Bar) drawnBar {
	lines := b.Lines(d.units)
	saw := &p.Saw
	drawn := drawnBar{Title: b.Title(d.units), Says: d.says(saw, lines), Height: barHeight, X: d.at(0), Width: d.wide(b.Length), Kept: b.Kept}
	d.y += 2 * lineStep
	drawn.TitleY = d.y
	d.y += 6
	drawn.Y = d.y
	d.along(&drawn, saw, b)
	d.y += barHeight
	for i, text := range lines {
		if i < len(b.Cuts) {
			text = strconv.Itoa(i+1) + ":  " + text
		}
		drawn.Lines = append(drawn.Lines, d.line(text))
	}
	return drawn
}

func (d *drafting) says(s *Saw, lines []string) string {
	says := strings.Join(lines, "; ")
	if s.TrimStart > 0 {
		says = "trim " + d.units.Length(s.TrimStart) + "; " + says
	}
	if s.TrimEnd > 0 {
		says += "; trim " + d.units.Length(s.TrimEnd) + " at the end"
	}
	return says
}

// along draws what lies along a bar from its start to its end.
func (d *drafting) along(drawn *drawnBar, s *Saw, b *Bar) {
	end := b.Length - s.TrimEnd
	at := s.TrimStart
	if s.TrimStart > 0 {
		drawn.Trims = append(drawn.Trims, d.box(0, s.TrimStart))
	}
	for i := range b.Cuts {
		c := &b.Cuts[i]
		pieces, each := c.Count, c.Length
		if c.Count > drawnApart {
			pieces, each = 1, c.Length*unit.Length(c.Count)+s.Kerf*unit.Length(c.Count-1)
		}
		for range pieces {
			drawn.Pieces = append(drawn.Pieces, d.piece(i, c, at, each, drawn.Y))
			at += each
			if kerf := min(s.Kerf, end-at); kerf > 0 {
				drawn.Kerfs = append(drawn.Kerfs, d.box(at, kerf))
			}
			at += s.Kerf
		}
	}
	if b.Leftover > 0 {
		left := d.box(at, b.Leftover)
		drawn.Left = &left
	}
	if s.TrimEnd > 0 {
		drawn.Trims = append(drawn.Trims, d.box(end, s.TrimEnd))
	}
}

func (d *drafting) piece(i int, c *Cut, at, length unit.Length, top int) drawnPiece {
	p := drawnPiece{box: d.box(at, length), Title: c.text(d.units), LabelY: top + barHeight/2 + 5, Middle: d.at(at + length/2)}
	number := strconv.Itoa(i + 1)
	room := d.scaled(length)
	if full := number + ": " + d.units.Length(c.Length); room >= int64(len(full)+1)*signWidth {
		p.Label = full
	} else if room >= int64(len(number)+1)*signWidth {
		p.Label = number
	}
	return p
}

func (d *drafting) box(at, length unit.Length) box { return box{d.at(at), d.wide(length)} }

// scaled is a length in hundredths of the drawing's unit.
func (d *drafting) scaled(l unit.Length) int64 {
	n, err := unit.MulDivRound(int64(l), barWidth*100, int64(d.longest), unit.Nearest)
	if err != nil { // no bar is longer than the longest
		return 0
	}
	return n
}

func (d *drafting) at(l unit.Length) string {
	return string(unit.AppendDecimal(nil, d.scaled(l)+margin*100, 100, 2))
}

func (d *drafting) wide(l unit.Length) string {
	return string(unit.AppendDecimal(nil, d.scaled(l), 100, 2))
}
