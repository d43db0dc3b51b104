package paper

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"billwright/bom/picture"
)

// Size is the size of a sheet.
type Size string

// The sizes of sheets.
const (
	Letter Size = "letter"
	A4     Size = "a4"
)

// sides are the sides of a page in dots.
func (s Size) sides() (w, h picture.Dot) {
	if s == A4 {
		return picture.Millimetres(210), picture.Millimetres(297)
	}
	return 85 * picture.Inch / 10, 11 * picture.Inch
}

// printedOn is the day that files carry in place of one that would differ from
// print to print.
var printedOn = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// PDF prints a paper. The same paper gives the same bytes. Errors: a code's
// address that is too long, the writer's own.
func PDF(p *Paper, size Size) ([]byte, error) {
	w, h := size.sides()
	if p.Label {
		w, h = labelWidth, labelHeight
	}
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: points(w), Ht: points(h)}})
	pdf.SetCompression(false) // packing each page by itself would take half of the time
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(printedOn)
	pdf.SetModificationDate(printedOn)
	pdf.SetProducer("Billwright. "+fontNotice+".", true)
	pdf.SetTitle(shown(p.Title), true)
	pdf.SetLang("en")
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.AddUTF8FontFromBytes("go", "", bytes.Clone(regular().file))
	pdf.AddUTF8FontFromBytes("go", "B", bytes.Clone(bold().file))
	pen := &pdfPen{pdf: pdf, ops: ops{high: h}}
	if p.Label {
		for _, s := range p.Sheets {
			pdf.AddPage()
			pen.x, pen.y = 0, 0
			pen.label(s)
			pen.flush()
		}
	} else {
		pen.x, pen.y = (w-Width)/2, (11*picture.Inch-pageHeight)/2
		for _, one := range pagesOf(p) {
			pdf.AddPage()
			pen.page(one)
			pen.flush()
		}
	}
	if pen.err != nil {
		return nil, pen.err
	}
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		return nil, fmt.Errorf("print %s: %w", p.Title, err)
	}
	return out.Bytes(), nil
}

func points(d picture.Dot) float64 { return float64(d) / 100 }

// pdfPen draws on the current page from the print's upper left corner.
type pdfPen struct {
	pdf  *fpdf.Fpdf
	x, y picture.Dot
	ops  ops
	// shared is the drawing of the code of an address.
	shared   fpdf.Template
	sharedOf string
	err      error
	// What the file was last told, so that it is not told again.
	size  picture.Dot
	bold  bool
	width picture.Dot
	dash  picture.Pen
	onto  int
}

// fresh forgets what was told on another page.
func (d *pdfPen) fresh() {
	if n := d.pdf.PageNo(); n != d.onto {
		d.onto, d.size, d.width, d.dash = n, 0, 0, 0
	}
}

// text writes a line with its base line at y.
func (d *pdfPen) text(x, y, size picture.Dot, b bool, anchor picture.Anchor, text string) {
	if text == "" {
		return
	}
	d.fresh()
	d.flush()
	text = shown(text)
	if d.size != size || d.bold != b {
		d.pdf.SetFont("go", map[bool]string{true: "B"}[b], points(size))
		d.size, d.bold = size, b
	}
	switch anchor {
	case picture.Middle:
		x -= width(text, size, b) / 2
	case picture.End:
		x -= width(text, size, b)
	}
	d.pdf.Text(points(d.x+x), points(d.y+y), text)
}

// code draws the code of an address. Pages that share one share its drawing.
func (d *pdfPen) code(x, y, side picture.Dot, address string) {
	if d.shared == nil || d.sharedOf != address {
		code, err := encode(address)
		if err != nil {
			d.err = err
			return
		}
		d.sharedOf = address
		d.shared = d.pdf.CreateTemplateCustom(fpdf.PointType{}, fpdf.SizeType{Wd: points(side), Ht: points(side)}, func(t *fpdf.Tpl) {
			o := ops{high: side}
			code.trace(&o, side)
			o.word("f")
			t.RawWriteStr(string(o.text))
		})
	}
	d.flush()
	d.pdf.UseTemplateScaled(d.shared, fpdf.PointType{X: points(d.x + x), Y: points(d.y + y)}, fpdf.SizeType{Wd: points(side), Ht: points(side)})
}

func (d *pdfPen) page(one *page) {
	d.head(one)
	for i := range one.chunks {
		d.chunk(&one.chunks[i])
	}
	d.foot(one)
}

func (d *pdfPen) head(one *page) {
	h, l := &one.sheet.Head, one.head
	right := Width - codeSide - 12*picture.Pt
	size := titleSize(h)
	d.text(0, headHigh-22*picture.Pt, size, true, picture.Start, h.Title)
	d.text(0, headHigh-5*picture.Pt, 12*picture.Pt, false, picture.Start, h.Part)
	d.text(right, headHigh-56*picture.Pt, 12*picture.Pt, false, picture.End, h.Over)
	d.text(right, headHigh-22*picture.Pt, numberSize(h), true, picture.End, h.Number)
	d.text(right, headHigh-5*picture.Pt, 12*picture.Pt, false, picture.End, h.Under)
	d.code(Width-codeSide, 0, codeSide, h.Code.Address)
	y := headHigh
	for _, line := range l.address {
		y += addressLead
		d.text(Width, y-2*picture.Pt, addressSize, false, picture.End, line)
	}
	y += 3 * picture.Pt
	d.line(picture.Heavy, 0, y, Width, y)
	y += 2 * picture.Pt
	for i := range l.facts {
		f := &l.facts[i]
		top := y
		for _, high := range l.rows[:f.row] {
			top += high
		}
		d.text(f.x, top+10*picture.Pt, sizeColumn, false, picture.Start, f.Name)
		for k, line := range f.lines {
			d.text(f.x, top+factName+picture.Dot(k)*factLead+12*picture.Pt, sizeText, true, picture.Start, line)
		}
	}
	for _, high := range l.rows {
		y += high
	}
	if len(l.facts) > 0 {
		y += 3 * picture.Pt
		d.line(picture.Thick, 0, y, Width, y)
	}
	d.stops(y+8*picture.Pt, l)
}

// titleSize is the size of the title, smaller where it would meet the number.
func titleSize(h *Head) picture.Dot {
	room := Width - codeSide - 24*picture.Pt - width(h.Number, numberSize(h), true)
	return fitted(h.Title, sizeDepartment, room)
}

func numberSize(h *Head) picture.Dot {
	return fitted(h.Number, sizeNumber, 240*picture.Pt)
}

// fitted is a size at which a bold text fits a room, no smaller than 9 pt.
func fitted(text string, size, room picture.Dot) picture.Dot {
	for size > 9*picture.Pt && width(text, size, true) > room {
		size -= picture.Pt
	}
	return size
}

func (d *pdfPen) stops(y picture.Dot, l *headLayout) {
	if len(l.stops) == 0 {
		return
	}
	high := l.stopsHeight() - 10*picture.Pt
	d.box(picture.Heavy, 150, y, Width-300, high)
	y += 4 * picture.Pt
	for i := range l.stops {
		s := &l.stops[i]
		d.text(10*picture.Pt, y+18*picture.Pt, stopWord, true, picture.Start, s.word)
		x := 10*picture.Pt + width(s.word+"  ", stopWord, true)
		for k, line := range s.lines {
			d.text(x, y+17*picture.Pt+picture.Dot(k)*16*picture.Pt, sizeText, false, picture.Start, line)
		}
		y += s.height()
	}
}

func (d *pdfPen) foot(one *page) {
	y := pageHeight - footHigh + 6*picture.Pt
	d.line(picture.Thick, 0, y, Width, y)
	s := one.sheet
	if s.Shop {
		d.picture(0, y+3*picture.Pt, picture.Rule(s.Metric))
		d.text(0, y+37*picture.Pt, 10*picture.Pt, false, picture.Start, ruleSays(s.Metric))
	}
	d.text(Width, y+20*picture.Pt, 10*picture.Pt, false, picture.End, s.Foot)
	d.text(Width, y+37*picture.Pt, 10*picture.Pt, true, picture.End, fmt.Sprintf("Page %d of %d", one.n, one.of))
}

func ruleSays(metric bool) string {
	long := "4 in"
	if metric {
		long = "100 mm"
	}
	return "Print check: this rule is " + long + " long. If not, measure nothing on this page."
}
