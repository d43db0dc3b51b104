package saw

import (
	_ "embed"
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/template"

	"billwright/bom"
	"billwright/catalog/unit"
)

// Drawings of sheets, to scale in both directions: the longest side of all
// sheets of a drawing is sheetSide long. A sheet shows its trim hatched, its
// pieces with the number of their line, the kerfs black, and what is left dotted
// where it is kept and crossed where it is waste, so that nothing is told by
// colour. Every sheet and piece carries its words as title or description.

//go:embed sheet.svg.tmpl
var sheetDrawingText string

var sheetDrawing = template.Must(template.New("sheets").Funcs(template.FuncMap{"text": escape}).Parse(sheetDrawingText))

const (
	sheetSide = 1160
	// sheetHigh bounds the height that a sheet is drawn with.
	sheetHigh = 760
)

type drawnSheets struct {
	Title, Says   string
	Width, Height int
	Plans         []drawnSheetPlan
}

type drawnSheetPlan struct {
	Title   string
	Y       int
	Summary []drawnLine
	Sheets  []drawnSheet
}

type drawnSheet struct {
	Title, Says string
	TitleY      int
	Whole       area
	Inner       area // what trimming leaves
	Trimmed     bool
	Pieces      []drawnPanel
	Kerfs       []area
	Lefts       []drawnLeft
	Lines       []drawnLine
}

type area struct{ X, Y, Width, Height string }

type drawnPanel struct {
	area
	Title string
	// Label stands in the middle; it is "" where the piece is too small for it.
	Label  string
	AtX    string
	AtY    string
	Upward bool // the label reads from the bottom up
}

type drawnLeft struct {
	area
	Title string
	Kept  bool
}

// DrawSheets writes plans as one SVG document; title is its heading.
func DrawSheets(w io.Writer, title string, plans []*SheetPlan, units bom.Units) error {
	d := sheetDrafting{units: units}
	for _, p := range plans {
		for i := range p.SheetLayout {
			s := &p.SheetLayout[i]
			d.longest = max(d.longest, s.Length, unit.Length(int64(s.Width)/sheetHigh*sheetSide))
		}
	}
	page := drawnSheets{Title: title, Width: sheetSide + 2*margin}
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
	if err := sheetDrawing.Execute(w, page); err != nil {
		return fmt.Errorf("draw sheets: %w", err)
	}
	return nil
}

// sheetDrafting is where the pen is.
type sheetDrafting struct {
	units   bom.Units
	longest unit.Length
	y       int
}

func (d *sheetDrafting) line(text string) drawnLine {
	d.y += lineStep
	return drawnLine{d.y, text}
}

func (d *sheetDrafting) plan(p *SheetPlan) drawnSheetPlan {
	d.y += lineStep
	drawn := drawnSheetPlan{Title: p.Heading(), Y: d.y}
	for _, line := range append(p.Summary(d.units), p.Saw.Text(d.units)) {
		drawn.Summary = append(drawn.Summary, d.line(line))
	}
	for i := range p.SheetLayout {
		drawn.Sheets = append(drawn.Sheets, d.sheet(&p.Saw, &p.SheetLayout[i]))
	}
	return drawn
}

func (d *sheetDrafting) sheet(saw *SheetSaw, s *SheetLayout) drawnSheet {
	lines := s.Lines(d.units)
	d.y += 2 * lineStep
	drawn := drawnSheet{Title: s.Title(d.units), Says: strings.Join(lines, "; "), TitleY: d.y, Trimmed: saw.Trim > 0}
	d.y += 6
	drawn.Whole = d.area(Place{Length: s.Length, Width: s.Width})
	drawn.Inner = d.area(Place{X: saw.Trim, Y: saw.Trim, Length: s.Length - 2*saw.Trim, Width: s.Width - 2*saw.Trim})
	for i := range s.Pieces {
		drawn.Pieces = append(drawn.Pieces, d.panel(i, &s.Pieces[i]))
	}
	for i := range s.Leftovers {
		one := &s.Leftovers[i]
		drawn.Lefts = append(drawn.Lefts, drawnLeft{area: d.area(one.Place), Title: one.text(d.units), Kept: one.Kept})
	}
	for i := range s.Cuts {
		drawn.Kerfs = d.kerfs(drawn.Kerfs, saw.Kerf, &s.Cuts[i])
	}
	d.y += int((d.scaled(s.Width) + 99) / 100)
	for _, text := range lines {
		drawn.Lines = append(drawn.Lines, d.line(text))
	}
	return drawn
}

// kerfs are the cuts of a division, each as wide as the saw and no wider than
// what is left behind the last part.
func (d *sheetDrafting) kerfs(drawn []area, kerf unit.Length, cut *Division) []area {
	at := unit.Length(0)
	for _, part := range cut.Into {
		at += part
		if cut.Of == OfLength {
			if wide := min(kerf, cut.Length-at); wide > 0 {
				drawn = append(drawn, d.area(Place{X: cut.X + at, Y: cut.Y, Length: wide, Width: cut.Width}))
			}
		} else if wide := min(kerf, cut.Width-at); wide > 0 {
			drawn = append(drawn, d.area(Place{X: cut.X, Y: cut.Y + at, Length: cut.Length, Width: wide}))
		}
		at += kerf
	}
	return drawn
}

func (d *sheetDrafting) panel(i int, piece *Laid) drawnPanel {
	p := drawnPanel{area: d.area(piece.Place), Title: piece.text(d.units)}
	number := strconv.Itoa(i + 1)
	full := number + ": " + d.units.Sides(piece.Length, piece.Width)
	across, high := d.scaled(piece.Length), d.scaled(piece.Width)
	fits := func(text string, along, other int64) bool {
		return along >= int64(len(text)+1)*signWidth && other >= lineStep*100
	}
	for _, text := range []string{full, number} {
		if p.Label == "" && fits(text, across, high) {
			p.Label = text
		}
		if p.Label == "" && fits(text, high, across) {
			p.Label, p.Upward = text, true
		}
	}
	x, y := d.scaled(piece.X+piece.Length/2)+margin*100, d.scaled(piece.Y+piece.Width/2)+int64(d.y)*100
	if p.Upward {
		x += 400
	} else {
		y += 400
	}
	p.AtX, p.AtY = hundredths(x), hundredths(y)
	return p
}

func (d *sheetDrafting) area(p Place) area {
	return area{X: hundredths(d.scaled(p.X) + margin*100), Y: hundredths(d.scaled(p.Y) + int64(d.y)*100),
		Width: hundredths(d.scaled(p.Length)), Height: hundredths(d.scaled(p.Width))}
}

// scaled is a length in hundredths of the drawing's unit.
func (d *sheetDrafting) scaled(l unit.Length) int64 {
	n, err := unit.MulDivRound(int64(l), sheetSide*100, int64(d.longest), unit.Nearest)
	if err != nil { // no side is longer than the longest by much
		return 0
	}
	return n
}

func hundredths(n int64) string { return string(unit.AppendDecimal(nil, n, 100, 2)) }
