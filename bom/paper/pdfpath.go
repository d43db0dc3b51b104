package paper

import (
	"billwright/bom/picture"
)

// Lines and shapes are written into the page's content as they are, in whole
// hundredths of a point: a page has hundreds of them, and a code some hundred
// more. Text alone goes through the library, which keeps the letters used.

// ops are the operators of a page's content that are not written yet.
type ops struct {
	text []byte
	// x and y are where a picture's corner is, high the height of the page: PDF
	// counts from the bottom.
	x, y, high picture.Dot
}

func (o *ops) number(d picture.Dot) {
	if d < 0 {
		o.text, d = append(o.text, '-'), -d
	}
	whole, rest := int(d/picture.Pt), byte(d%picture.Pt)
	o.text = appendInt(o.text, whole)
	if rest != 0 {
		o.text = append(o.text, '.', '0'+rest/10, '0'+rest%10)
	}
	o.text = append(o.text, ' ')
}

func appendInt(b []byte, n int) []byte {
	if n >= 10 {
		b = appendInt(b, n/10)
	}
	return append(b, '0'+byte(n%10))
}

func (o *ops) point(p picture.Point, operator string) {
	o.number(o.x + p.X)
	o.number(o.high - o.y - p.Y)
	o.word(operator)
}

func (o *ops) word(operator string) { o.text = append(append(o.text, operator...), ' ') }

// run writes straight lines, closed or not.
func (o *ops) run(points []picture.Point, closed bool) {
	for i, p := range points {
		o.point(p, map[bool]string{true: "m", false: "l"}[i == 0])
	}
	if closed {
		o.word("h")
	}
}

// rectangle writes one with sides along the page's.
func (o *ops) rectangle(x, y, width, height picture.Dot) {
	o.number(o.x + x)
	o.number(o.high - o.y - y - height)
	o.number(width)
	o.number(height)
	o.word("re")
}

// circle writes four curves that are a circle to within 0.03 % of its radius.
func (o *ops) circle(at picture.Point, r picture.Dot) {
	k := r * 5523 / 10000
	p := func(x, y picture.Dot) picture.Point { return picture.Point{X: at.X + x, Y: at.Y + y} }
	o.point(p(r, 0), "m")
	for _, c := range [4][3]picture.Point{{p(r, k), p(k, r), p(0, r)}, {p(-k, r), p(-r, k), p(-r, 0)}, {p(-r, -k), p(-k, -r), p(0, -r)}, {p(k, -r), p(r, -k), p(r, 0)}} {
		for _, at := range c[:2] {
			o.number(o.x + at.X)
			o.number(o.high - o.y - at.Y)
		}
		o.point(c[2], "c")
	}
	o.word("h")
}

// flush gives the page what was written.
func (d *pdfPen) flush() {
	if len(d.ops.text) > 0 {
		d.pdf.RawWriteStr(string(append(d.ops.text, '\n')))
		d.ops.text = d.ops.text[:0]
	}
}

// at puts the corner of what is drawn next at a place of the print.
func (d *pdfPen) at(x, y picture.Dot) *ops {
	d.ops.x, d.ops.y = d.x+x, d.y+y
	return &d.ops
}

// pen sets the width and the dashes of the lines that follow.
func (d *pdfPen) pen(p picture.Pen) {
	d.fresh()
	if p == picture.NoPen {
		return
	}
	if w := p.Width(); w != d.width {
		d.ops.number(w)
		d.ops.word("w")
		d.width = w
	}
	if p != d.dash && (len(p.Dashes()) > 0 || len(d.dash.Dashes()) > 0) {
		d.ops.text = append(d.ops.text, '[')
		for _, one := range p.Dashes() {
			d.ops.number(one)
		}
		d.ops.word("] 0 d")
	}
	d.dash = p
}

func (d *pdfPen) line(p picture.Pen, x1, y1, x2, y2 picture.Dot) {
	d.pen(p)
	d.at(0, 0).run([]picture.Point{{X: x1, Y: y1}, {X: x2, Y: y2}}, false)
	d.ops.word("S")
}

// box draws the outline of a rectangle.
func (d *pdfPen) box(p picture.Pen, x, y, width, height picture.Dot) {
	d.pen(p)
	d.at(0, 0).rectangle(x, y, width, height)
	d.ops.word("S")
}

// picture draws a picture with its corner at a place. Items that follow one
// another and are drawn alike are one path.
func (d *pdfPen) picture(x, y picture.Dot, p *picture.Picture) {
	o := d.at(x, y)
	for i := 0; i < len(p.Items); i++ {
		item := &p.Items[i]
		if item.Kind == picture.Word {
			d.text(x+item.Points[0].X, y+item.Points[0].Y, item.Size, item.Bold, item.Anchor, item.Text)
			o = d.at(x, y)
			continue
		}
		d.pen(item.Pen)
		if len(item.Strokes()) > 0 {
			d.hatched(o, item)
			continue
		}
		white := item.Fill == picture.White
		if white {
			o.word("q 1 g")
		}
		o.trace(item)
		for !white && i+1 < len(p.Items) && alike(item, &p.Items[i+1]) {
			i++
			o.trace(&p.Items[i])
		}
		o.word(painted(item))
		if white {
			o.word("Q")
		}
	}
}

// alike tells that two items are drawn as one path.
func alike(a, b *picture.Item) bool {
	return a.Kind == b.Kind && a.Pen == b.Pen && a.Fill == b.Fill && a.Kind != picture.Word && (a.Pen == picture.NoPen || a.Fill == picture.NoFill)
}

func (o *ops) trace(item *picture.Item) {
	switch {
	case item.Kind == picture.Circle:
		o.circle(item.Points[0], item.Radius)
	case item.Kind == picture.Shape && isRectangle(item.Points):
		o.rectangle(item.Points[0].X, item.Points[0].Y, item.Points[2].X-item.Points[0].X, item.Points[2].Y-item.Points[0].Y)
	default:
		o.run(item.Points, item.Kind == picture.Shape)
	}
}

func isRectangle(p []picture.Point) bool {
	return len(p) == 4 && p[0].Y == p[1].Y && p[1].X == p[2].X && p[2].Y == p[3].Y && p[3].X == p[0].X
}

// painted is the operator that paints an item.
func painted(item *picture.Item) string {
	switch {
	case item.Pen == picture.NoPen:
		return "f"
	case item.Fill == picture.NoFill:
		return "S"
	}
	return "B"
}

// hatched draws a shape with its strokes over white.
func (d *pdfPen) hatched(o *ops, item *picture.Item) {
	o.word("q 1 g")
	o.trace(item)
	o.word("f Q")
	d.pen(picture.Thin)
	for _, s := range item.Strokes() {
		o.run(s[:], false)
	}
	o.word("S")
	d.pen(item.Pen)
	o.trace(item)
	o.word("S")
}
