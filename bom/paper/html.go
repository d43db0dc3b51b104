package paper

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"billwright/bom/picture"
)

// The printable HTML is a page of its own: fonts and style are inside it, it has
// no script and fetches nothing. Lines are broken where the layout broke them,
// so that its pages are those of the PDF. Texts stand as they were entered;
// letters that the fonts lack are the browser's own, and each text of people is
// set apart from the direction of what stands around it.

//go:embed paper.html.tmpl
var pageText string

//go:embed paper.css
var pageStyle string

var htmlPage = template.Must(template.New("paper").Parse(pageText))

// Policy is the content security policy under which the page works, for the
// header of a reply; the page has it too.
func Policy(p *Paper, size Size) string {
	sum := sha256.Sum256([]byte(styleOf(p, size)))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; font-src data:; base-uri 'none'; form-action 'none'"
}

// styleOf is the page's style sheet for a size.
func styleOf(p *Paper, size Size) string {
	var b strings.Builder
	fontFace := func(weight string, file []byte) {
		fmt.Fprintf(&b, "@font-face{font-family:Go;font-weight:%s;src:url(data:font/woff2;base64,%s)}\n", weight, base64.StdEncoding.EncodeToString(file))
	}
	b.WriteString("/*!\n" + Notice + "*/\n")
	fontFace("400", regularWeb)
	fontFace("700", boldWeb)
	b.WriteString(pageStyle)
	switch {
	case p.Label:
		b.WriteString("@page{size:4in 6in;margin:0}\n")
	case size == A4:
		b.WriteString("@page{size:210mm 297mm;margin:0}\n.pg{width:210mm;height:296.8mm;padding-left:31.24pt;padding-right:31.24pt}\n")
	default:
		b.WriteString("@page{size:8.5in 11in;margin:0}\n")
	}
	return b.String()
}

// HTML prints a paper as a page for a browser. The same paper gives the same
// bytes. Errors: a code's address that is too long.
func HTML(p *Paper, size Size) ([]byte, error) {
	view := pageView{Title: p.Title, Style: template.CSS(styleOf(p, size)), Policy: Policy(p, size), Notice: fontNotice}
	w := &htmlPen{rules: map[bool]template.HTML{}}
	if p.Label {
		for _, s := range p.Sheets {
			view.Labels = append(view.Labels, w.label(s))
		}
	} else {
		for _, one := range pagesOf(p) {
			view.Pages = append(view.Pages, w.page(one))
		}
	}
	if w.err != nil {
		return nil, w.err
	}
	var out bytes.Buffer
	if err := htmlPage.Execute(&out, view); err != nil {
		return nil, fmt.Errorf("print %s: %w", p.Title, err)
	}
	return out.Bytes(), nil
}

type pageView struct {
	Title, Policy, Notice string
	Style                 template.CSS
	Pages                 []sheetView
	Labels                []labelView
}

type sheetView struct {
	*Sheet
	N, Of   int
	Code    template.HTML
	Address []string
	Facts   []factView
	Stops   []stopView
	Blocks  []blockView
	Rule    template.HTML
	RuleOf  string
}

type factView struct {
	Name  string
	Lines []string
	Wide  bool
}

type stopView struct {
	Word  string
	Lines []string
}

// blockView is what a page has of one block.
type blockView struct {
	Kind    string
	Lines   []string
	Small   []string
	Beside  bool
	Lead    string
	Columns []columnView
	Rows    []rowView
	Picture template.HTML
	Tally   *tallyView
	Text    string
	Items   []string
	Begins  bool // the card's heading is on this page
}

type columnView struct {
	Title string
	Width int
	Right bool
	After bool
}

type rowView struct {
	Cells []cellView
	Tally *tallyView
	Span  int
}

type cellView struct {
	Right bool
	After bool
	Boxes []struct{}
	Lines []lineView
}

type lineView struct{ Class, Text string }

type tallyView struct {
	Spoiled string
	Says    string
	Lines   [][]struct{}
	Apart   bool
}

// htmlPen makes the views; it numbers the pictures of a page of HTML.
type htmlPen struct {
	// coded is the address whose code was drawn last, again that code used again;
	// rules are the rules used again.
	coded    string
	again    template.HTML
	rules    map[bool]template.HTML
	pictures int
	err      error
}

func (w *htmlPen) picture(p *picture.Picture) template.HTML {
	w.pictures++
	text, err := p.Inline(fmt.Sprintf("p%d", w.pictures))
	if err != nil {
		w.err = err
	}
	return template.HTML(text) //nolint:gosec // written and escaped by package picture
}

// code is the drawing of an address's code; the pages that share it use the first
// one again.
func (w *htmlPen) code(address string) template.HTML {
	if address == w.coded {
		return w.again
	}
	modules, err := encode(address)
	if err != nil {
		w.err = err
		return ""
	}
	w.pictures++
	data, side := modules.path()
	says := template.HTMLEscapeString("Scannable code: " + address)
	view := fmt.Sprintf(`<svg viewBox="0 0 %d %d" role="img" aria-label="%s" shape-rendering="crispEdges">`, side, side, says)
	w.coded, w.again = address, template.HTML(fmt.Sprintf(`%s<use href="#c%d"/></svg>`, view, w.pictures)) //nolint:gosec // escaped above
	return template.HTML(fmt.Sprintf(`%s<path id="c%d" d="%s"/></svg>`, view, w.pictures, data))           //nolint:gosec // escaped above
}

// rule is the rule at the foot, drawn once and used again.
func (w *htmlPen) rule(metric bool) template.HTML {
	if text := w.rules[metric]; text != "" {
		return text
	}
	p := picture.Rule(metric)
	first := w.picture(p)
	w.rules[metric] = template.HTML(fmt.Sprintf(`<svg viewBox="0 0 %s %s" width="%spt" height="%spt" role="img" aria-label="%s"><use href="#p%d-all"/></svg>`,
		p.Width, p.Height, p.Width, p.Height, template.HTMLEscapeString(p.Title), w.pictures)) //nolint:gosec // escaped
	return first
}

func (w *htmlPen) page(one *page) sheetView {
	v := sheetView{Sheet: one.sheet, N: one.n, Of: one.of, Code: w.code(one.sheet.Head.Code.Address), Address: one.head.address}
	for i := range one.head.facts {
		f := &one.head.facts[i]
		v.Facts = append(v.Facts, factView{f.Name, f.lines, f.row == 0})
	}
	for i := range one.head.stops {
		v.Stops = append(v.Stops, stopView{one.head.stops[i].word, one.head.stops[i].lines})
	}
	for i := 0; i < len(one.chunks); {
		n := i + 1
		for n < len(one.chunks) && one.chunks[n].block == one.chunks[i].block {
			n++
		}
		v.Blocks = append(v.Blocks, w.block(one.chunks[i:n]))
		i = n
	}
	if one.sheet.Shop {
		v.Rule, v.RuleOf = w.rule(one.sheet.Metric), ruleSays(one.sheet.Metric)
	}
	return v
}

var blockNames = map[BlockKind]string{Heading: "heading", Rows: "rows", Card: "card", Caution: "caution", Note: "note", Drawing: "drawing"}

// block is the view of the chunks that a page has of one block.
func (w *htmlPen) block(chunks []chunk) blockView {
	c := &chunks[0]
	v := blockView{Kind: blockNames[c.kind], Lines: c.lines}
	switch c.kind {
	case Heading:
		v.Beside = headingBeside(c.block)
		if c.block.Small != "" {
			v.Small = wrap(c.block.Small, sizeSmall, false, Width)
		}
	case Rows:
		w.rows(&v, chunks)
	case Card:
		v.Lines = nil
		for i := range chunks {
			switch chunks[i].part {
			case cardHead:
				v.Begins, v.Text, v.Small, v.Picture = true, c.block.Text, []string{c.block.Small}, w.picture(c.block.Picture)
			case cardItem:
				v.Items = append(v.Items, chunks[i].lines...)
			case cardTally:
				v.Tally = tallyOf(c.block.Tally)
			}
		}
	case Caution:
		if first, found := strings.CutPrefix(c.lines[0], c.block.Lead); found {
			v.Lead, v.Lines = c.block.Lead, append([]string{first}, c.lines[1:]...)
		}
	case Note:
		v.Tally = tallyOf(c.block.Tally)
	case Drawing:
		v.Picture = w.picture(c.block.Picture)
	}
	return v
}

func (w *htmlPen) rows(v *blockView, chunks []chunk) {
	columns := chunks[0].block.Columns
	for i, c := range columns {
		wide := c.Width
		if i < len(columns)-1 {
			wide += gutter // which stands behind every column but the last
		}
		v.Columns = append(v.Columns, columnView{c.Title, int((wide + c.After) * 96 / picture.Inch), c.Right, c.After > 0}) // 96 px are an inch
	}
	for i := range chunks {
		if chunks[i].row == nil {
			continue
		}
		row := rowView{Tally: tallyOf(chunks[i].row.tally), Span: len(columns)}
		for k, cell := range chunks[i].row.cells {
			one := cellView{Right: columns[k].Right, After: columns[k].After > 0}
			for _, t := range cell {
				one.Lines = append(one.Lines, lineView{classOf(t), t.Text})
			}
			row.Cells = append(row.Cells, one)
		}
		if chunks[i].row.beside {
			row.Cells[len(row.Cells)-1].Boxes = make([]struct{}, chunks[i].row.tally.Pieces)
			row.Tally = nil
		}
		v.Rows = append(v.Rows, row)
	}
}

// classOf is the class of a line's size and weight.
func classOf(t Text) string {
	class := map[picture.Dot]string{sizeBig: "big", sizeMark: "mark", sizeCount: "count", sizeText: "text", sizeSmall: "small"}[t.Size]
	if t.Bold {
		class += " b"
	}
	return class
}

func tallyOf(t *Tally) *tallyView {
	if t == nil {
		return nil
	}
	v := &tallyView{Says: tallySays(t), Spoiled: t.spoiled()}
	count, _ := t.boxes()
	per := int((Width - tallyLeft(t)) / boxStep)
	for count > 0 {
		v.Lines = append(v.Lines, make([]struct{}, min(count, per)))
		count -= per
	}
	_, v.Apart = tallyLines(t)
	return v
}

// Last tells whether line i of the boxes is the last.
func (t *tallyView) Last(i int) bool { return i == len(t.Lines)-1 }

// LongTitle tells that the title has no room in its usual size.
func (v sheetView) LongTitle() bool { return titleSize(&v.Head) < sizeDepartment }
