package paper

import (
	"strings"

	"billwright/bom/picture"
)

func (d *pdfPen) chunk(c *chunk) {
	switch {
	case c.kind == Heading:
		d.heading(c)
	case c.heads:
		d.columns(c)
	case c.row != nil:
		d.row(c)
	case c.kind == Card:
		d.card(c)
	case c.kind == Caution:
		d.caution(c)
	case c.kind == Note:
		d.lines(c.y, c.lines, sizeText, lead(sizeText))
		d.tally(c.y+picture.Dot(len(c.lines))*lead(sizeText), c.block.Tally)
	case c.kind == Drawing:
		d.picture(0, c.y, c.block.Picture)
	}
}

// lines writes lines one below another.
func (d *pdfPen) lines(y picture.Dot, lines []string, size, step picture.Dot) {
	for i, line := range lines {
		d.text(0, y+step*picture.Dot(i+1)-step/4, size, false, picture.Start, line)
	}
}

func (d *pdfPen) heading(c *chunk) {
	y := c.y + 10*picture.Pt
	for i, line := range c.lines {
		d.text(0, y+picture.Dot(i)*18*picture.Pt+13*picture.Pt, sizeHeading, true, picture.Start, line)
	}
	if c.block.Small == "" {
		return
	}
	if headingBeside(c.block) {
		d.text(width(c.block.Text+"   ", sizeHeading, true), y+13*picture.Pt, sizeSmall, false, picture.Start, c.block.Small)
		return
	}
	d.lines(y+18*picture.Pt*picture.Dot(len(c.lines)), wrap(c.block.Small, sizeSmall, false, Width), sizeSmall, 14*picture.Pt)
}

// columnAt gives where a column's text stands and how it is set.
func columnAt(columns []Column, i int) (x picture.Dot, anchor picture.Anchor) {
	for k := range i {
		x += columns[k].Width + gutter + columns[k].After
	}
	if columns[i].Right {
		return x + columns[i].Width, picture.End
	}
	return x, picture.Start
}

func (d *pdfPen) columns(c *chunk) {
	columns := c.block.Columns
	for i := range columns {
		x, anchor := columnAt(columns, i)
		d.text(x, c.y+12*picture.Pt, sizeColumn, false, anchor, columns[i].Title)
	}
	d.line(picture.Thick, 0, c.y+16*picture.Pt, Width, c.y+16*picture.Pt)
}

func (d *pdfPen) row(c *chunk) {
	high := picture.Dot(0)
	for i, cell := range c.row.cells {
		x, anchor := columnAt(c.row.columns, i)
		y := c.y + 2*picture.Pt
		for _, t := range cell {
			y += lead(t.Size)
			d.text(x, y-lead(t.Size)/4, t.Size, t.Bold, anchor, t.Text)
		}
		high = max(high, cellHeight(cell))
	}
	if c.row.beside {
		d.beside(c)
	} else {
		d.tally(c.y+high+3*picture.Pt, c.row.tally)
	}
	d.line(picture.Thin, 0, c.y+c.height, Width, c.y+c.height)
}

// beside draws the boxes in the last column.
func (d *pdfPen) beside(c *chunk) {
	x, _ := columnAt(c.row.columns, len(c.row.columns)-1)
	d.pen(picture.Thick)
	o := d.at(0, 0)
	for i := range c.row.tally.Pieces {
		o.rectangle(x+picture.Dot(i)*boxStep, c.y+3*picture.Pt, boxSide, boxSide)
	}
	o.word("S")
}

// tally draws the boxes, one a piece, and the words for who did it, what was
// scrapped and why.
func (d *pdfPen) tally(y picture.Dot, t *Tally) {
	if t == nil {
		return
	}
	left := tallyLeft(t)
	d.text(0, y+13*picture.Pt, sizeSmall, false, picture.Start, tallySays(t))
	count, _ := t.boxes()
	per := int((Width - left) / boxStep)
	d.pen(picture.Thick)
	o := d.at(0, 0)
	for i := range count {
		x, top := left+picture.Dot(i%per)*boxStep, y+picture.Dot(i/per)*tallyLead+picture.Pt
		o.rectangle(x, top, boxSide, boxSide)
	}
	o.word("S")
	lines, _ := tallyLines(t)
	y += picture.Dot(lines-1)*tallyLead + 13*picture.Pt
	x := Width - tallyWords + 14*picture.Pt
	for _, word := range []struct {
		text string
		room picture.Dot
	}{{"by", 56 * picture.Pt}, {t.spoiled(), 34 * picture.Pt}, {"why", 0}} {
		d.text(x, y, sizeSmall, false, picture.Start, word.text)
		x += width(word.text+" ", sizeSmall, false)
		end := x + word.room
		if word.room == 0 {
			end = Width
		}
		d.line(picture.Thin, x, y+2*picture.Pt, end, y+2*picture.Pt)
		x = end + 6*picture.Pt
	}
}

func (d *pdfPen) card(c *chunk) {
	switch c.part {
	case cardHead:
		d.line(picture.Thick, 0, c.y+6*picture.Pt, Width, c.y+6*picture.Pt)
		d.text(0, c.y+24*picture.Pt, cardSize, true, picture.Start, c.block.Text)
		d.text(width(c.block.Text+"   ", cardSize, true), c.y+24*picture.Pt, 12*picture.Pt, false, picture.Start, c.block.Small)
		d.picture(0, c.y+cardHigh, c.block.Picture)
	case cardItem:
		d.lines(c.y, c.lines, sizeCaution, itemLead)
	case cardTally:
		d.tally(c.y+3*picture.Pt, c.block.Tally)
	}
}

const cardSize = 17 * picture.Pt

func (d *pdfPen) caution(c *chunk) {
	d.box(picture.Thick, 60, c.y+8*picture.Pt, Width-120, c.height-10*picture.Pt)
	for i, line := range c.lines {
		y := c.y + 12*picture.Pt + picture.Dot(i+1)*cautionLead - 4*picture.Pt
		if i == 0 && strings.HasPrefix(line, c.block.Lead) {
			d.text(10*picture.Pt, y, sizeCaution, true, picture.Start, c.block.Lead)
			d.text(10*picture.Pt+width(c.block.Lead, sizeCaution, true), y, sizeCaution, false, picture.Start, line[len(c.block.Lead):])
			continue
		}
		d.text(10*picture.Pt, y, sizeCaution, false, picture.Start, line)
	}
}
