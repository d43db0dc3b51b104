package paper

import (
	"fmt"

	"billwright/bom/picture"
)

// The layout: every sheet's head stands on each of its pages, and blocks follow
// one another down the page in pieces that are not parted, chunks. A chunk that
// begins something stays with the next. Heights are those of the type's lines, so
// that PDF and HTML break alike; the page is that of Letter, which A4 holds too.

// Width is that of every page's print: 7.4 in.
const Width = 53280 * picture.Dot(1)

// pageHeight is the print's height, and a label's sides.
const (
	pageHeight  = 72600 * picture.Dot(1)
	gutter      = 6 * picture.Pt
	labelWidth  = 4 * picture.Inch
	labelHeight = 6 * picture.Inch
	labelEdge   = 14 * picture.Pt
)

// Heights of the head and the foot.
const (
	codeSide    = 8064 * picture.Dot(1) // 1.12 in
	headHigh    = codeSide + 2*picture.Pt
	addressSize = 750
	addressLead = 9 * picture.Pt
	factName    = 12 * picture.Pt
	factLead    = 16 * picture.Pt
	footHigh    = 46 * picture.Pt
	stopWord    = 20 * picture.Pt
	stopLead    = 24 * picture.Pt
	mostStops   = 5
)

// lead is the height of a line of type.
func lead(size picture.Dot) picture.Dot {
	switch {
	case size >= sizeBig:
		return 25 * picture.Pt
	case size >= sizeCount:
		return 22 * picture.Pt
	case size >= sizeText:
		return 16 * picture.Pt
	}
	return 1350
}

// page is one page with its chunks in place.
type page struct {
	sheet  *Sheet
	head   *headLayout
	chunks []chunk
	n, of  int
}

// chunk is what is not parted. Y is from the top of the page's print.
type chunk struct {
	kind   BlockKind
	y      picture.Dot
	height picture.Dot
	block  *Block
	// lines are those of a heading's, note's, caution's or item's text.
	lines []string
	// row and heads are those of a table; heads marks the columns' titles.
	row   *rowLayout
	heads bool
	// part says which part of a card it is.
	part cardPart
	// stays keeps it with the next chunk.
	stays bool
}

// cardPart is a part of a card.
type cardPart int

const (
	cardHead cardPart = iota
	cardItem
	cardTally
)

// rowLayout is a row with its cells broken into lines.
type rowLayout struct {
	columns []Column
	cells   [][]Text
	tally   *Tally
	beside  bool
	// whole and first tell of a row that goes on from the page before.
	rest bool
}

func (r *rowLayout) height() picture.Dot {
	high := picture.Dot(0)
	for _, cell := range r.cells {
		high = max(high, cellHeight(cell))
	}
	if r.beside {
		return max(high, 18*picture.Pt) + 6*picture.Pt
	}
	return high + 6*picture.Pt + tallyHeight(r.tally)
}

func cellHeight(cell []Text) (high picture.Dot) {
	for _, t := range cell {
		high += lead(t.Size)
	}
	return high
}

// The boxes to tick.
const (
	boxSide   = 14 * picture.Pt
	boxStep   = 18 * picture.Pt
	tallyLead = 21 * picture.Pt
	// tallyWords is the room that who did it and what was scrapped take.
	tallyWords = 270 * picture.Pt
)

// tallyHeight is how high the boxes of a row are with what is written beside them.
func tallyHeight(t *Tally) picture.Dot {
	if t == nil {
		return 0
	}
	lines, _ := tallyLines(t)
	return picture.Dot(lines)*tallyLead + 2*picture.Pt
}

// tallyLines is on how many lines the boxes stand, and whether the words have a
// line of their own.
func tallyLines(t *Tally) (lines int, apart bool) {
	count, _ := t.boxes()
	per := int((Width - tallyLeft(t)) / boxStep)
	lines = (count + per - 1) / per
	last := count - (lines-1)*per
	if tallyLeft(t)+picture.Dot(last)*boxStep+tallyWords > Width {
		return lines + 1, true
	}
	return lines, false
}

// tallyLeft is where the first box stands.
func tallyLeft(t *Tally) picture.Dot { return width(tallySays(t)+" ", sizeSmall, false) }

func tallySays(t *Tally) string {
	if _, each := t.boxes(); each > 1 {
		return fmt.Sprintf("%s, each box %d:", t.Done, each)
	}
	return t.Done + ":"
}

// headLayout is a head with its lines broken.
type headLayout struct {
	address []string
	facts   []factLayout
	stops   []stopLayout
	height  picture.Dot
	// factsHigh are the heights of the rows of facts.
	rows []picture.Dot
}

type factLayout struct {
	Fact
	lines []string
	x     picture.Dot
	row   int
}

type stopLayout struct {
	word  string
	lines []string
}

func layHead(h *Head) *headLayout {
	l := &headLayout{address: wrap(h.Code.Address, addressSize, false, Width)}
	l.height = headHigh + picture.Dot(len(l.address))*addressLead + 5*picture.Pt
	l.layFacts(h.Facts)
	for i := range h.Stops {
		if i == mostStops {
			l.stops = append(l.stops, stopLayout{lines: []string{fmt.Sprintf("and %d more: the code leads to all of them.", len(h.Stops)-i)}})
			break
		}
		s := &h.Stops[i]
		room := Width - 20*picture.Pt - width(s.Word+"  ", stopWord, true)
		l.stops = append(l.stops, stopLayout{s.Word, wrap(s.text(), sizeText, false, room)})
	}
	l.height += l.stopsHeight()
	return l
}

// layFacts lays the first two facts on a row of their own and the others by
// threes.
func (l *headLayout) layFacts(facts []Fact) {
	for i := range facts {
		row, x, room := 0, picture.Dot(0), Width*6/10-gutter
		switch {
		case i == 1:
			x, room = Width*6/10, Width*4/10
		case i > 1:
			row, x, room = 1+(i-2)/3, Width/3*picture.Dot((i-2)%3), Width/3-gutter
		}
		f := factLayout{facts[i], wrap(facts[i].Value, sizeText, true, room), x, row}
		for len(l.rows) <= row {
			l.rows = append(l.rows, 0)
		}
		l.rows[row] = max(l.rows[row], factName+picture.Dot(len(f.lines))*factLead+2*picture.Pt)
		l.facts = append(l.facts, f)
	}
	for _, high := range l.rows {
		l.height += high
	}
	if len(facts) > 0 {
		l.height += 4 * picture.Pt
	}
}

func (l *headLayout) stopsHeight() picture.Dot {
	if len(l.stops) == 0 {
		return 0
	}
	high := 20 * picture.Pt
	for i := range l.stops {
		high += l.stops[i].height()
	}
	return high
}

func (s *stopLayout) height() picture.Dot {
	return max(stopLead, picture.Dot(len(s.lines))*16*picture.Pt)
}

// pagesOf lays a paper's sheets out on pages. Pages are numbered by sheet.
func pagesOf(p *Paper) []*page {
	var all []*page
	for _, sheet := range p.Sheets {
		pages := lay(sheet)
		for i, one := range pages {
			one.n, one.of = i+1, len(pages)
		}
		all = append(all, pages...)
	}
	return all
}

// lay puts a sheet's chunks on pages.
func lay(sheet *Sheet) []*page {
	head := layHead(&sheet.Head)
	top, bottom := head.height+4*picture.Pt, pageHeight-footHigh
	chunks := chunksOf(sheet, bottom-top)
	pages := []*page{{sheet: sheet, head: head}}
	y := top
	for i := 0; i < len(chunks); {
		run := 1
		high := chunks[i].height
		for chunks[i+run-1].stays && i+run < len(chunks) {
			high += chunks[i+run].height
			run++
		}
		last := pages[len(pages)-1]
		if y+high > bottom && len(last.chunks) > 0 {
			last = &page{sheet: sheet, head: head}
			pages = append(pages, last)
			y = top
			if c := repeatHeads(chunks, i); c != nil {
				c.y = y
				last.chunks = append(last.chunks, *c)
				y += c.height
			}
		}
		for k := range run {
			chunks[i+k].y = y
			last.chunks = append(last.chunks, chunks[i+k])
			y += chunks[i+k].height
		}
		i += run
	}
	return pages
}

// repeatHeads are the titles of the columns of a table that goes on.
func repeatHeads(chunks []chunk, at int) *chunk {
	if chunks[at].row == nil {
		return nil
	}
	for i := at - 1; i >= 0; i-- {
		if chunks[i].heads && chunks[i].block == chunks[at].block {
			again := chunks[i]
			return &again
		}
	}
	return nil
}

// chunksOf parts a sheet's blocks into chunks, none higher than room.
func chunksOf(sheet *Sheet, room picture.Dot) []chunk {
	var chunks []chunk
	for i := range sheet.Blocks {
		block := &sheet.Blocks[i]
		switch block.Kind {
		case Heading:
			lines := wrap(block.Text, sizeHeading, true, Width)
			small := picture.Dot(0)
			if block.Small != "" && headingBeside(block) == false {
				small = 14 * picture.Pt * picture.Dot(len(wrap(block.Small, sizeSmall, false, Width)))
			}
			chunks = append(chunks, chunk{kind: Heading, block: block, lines: lines, height: 11*picture.Pt + 18*picture.Pt*picture.Dot(len(lines)) + small, stays: true})
		case Rows:
			chunks = append(chunks, rowChunks(block, room)...)
		case Card:
			chunks = append(chunks, cardChunks(block, room)...)
		case Caution:
			lines := wrap(block.Lead+" "+block.Text, sizeCaution, false, Width-20*picture.Pt)
			chunks = append(chunks, chunk{kind: Caution, block: block, lines: lines, height: picture.Dot(len(lines))*cautionLead + 20*picture.Pt})
		case Note:
			lines := wrap(block.Text, sizeText, false, Width)
			chunks = append(chunks, chunk{kind: Note, block: block, lines: lines, height: picture.Dot(len(lines))*lead(sizeText) + 2*picture.Pt + tallyHeight(block.Tally)})
		case Drawing:
			block.Picture = block.Picture.Within(room - 48*picture.Pt)
			chunks = append(chunks, chunk{kind: Drawing, block: block, height: block.Picture.Height + 4*picture.Pt})
		}
	}
	return chunks
}

const (
	sizeCaution = 11 * picture.Pt
	cautionLead = 1450
	itemLead    = 1450
	cardHigh    = 32 * picture.Pt // of the heading of a card
)

// headingBeside tells that what goes with a heading stands on its line.
func headingBeside(b *Block) bool {
	return width(b.Text+"   ", sizeHeading, true)+width(b.Small, sizeSmall, false) <= Width
}

func rowChunks(block *Block, room picture.Dot) []chunk {
	chunks := []chunk{{kind: Rows, block: block, heads: true, height: 18 * picture.Pt, stays: true}}
	for i := range block.Lines {
		for _, row := range layRow(block.Columns, &block.Lines[i], room-64*picture.Pt) {
			chunks = append(chunks, chunk{kind: Rows, block: block, row: row, height: row.height()})
		}
	}
	return chunks
}

// layRow breaks a row's cells into lines, and the row itself where it is higher
// than a page.
func layRow(columns []Column, row *Row, room picture.Dot) []*rowLayout {
	one := &rowLayout{columns: columns, cells: make([][]Text, len(columns)), tally: row.Tally, beside: row.Beside && row.Tally != nil}
	for c := range columns {
		for _, t := range row.Cells[c] {
			for _, line := range wrap(t.Text, t.Size, t.Bold, columns[c].Width) {
				one.cells[c] = append(one.cells[c], Text{line, t.Size, t.Bold})
			}
		}
	}
	rows := []*rowLayout{one}
	for one.height() > room {
		next := one.part(room - tallyHeight(one.tally) - 8*picture.Pt)
		if next == nil {
			break
		}
		rows = append(rows, next)
		one = next
	}
	return rows
}

// part takes off a row what does not fit and gives it as a row of its own, with
// the boxes; nil where nothing can be taken.
func (r *rowLayout) part(room picture.Dot) *rowLayout {
	next := &rowLayout{columns: r.columns, cells: make([][]Text, len(r.cells)), tally: r.tally, beside: r.beside, rest: true}
	moved := false
	for c, cell := range r.cells {
		high, keep := picture.Dot(0), 0
		for keep < len(cell) && high+lead(cell[keep].Size) <= room {
			high += lead(cell[keep].Size)
			keep++
		}
		if keep == 0 {
			continue
		}
		moved = moved || keep < len(cell)
		r.cells[c], next.cells[c] = cell[:keep], cell[keep:]
	}
	if !moved {
		return nil
	}
	r.tally, r.beside = nil, false
	return next
}

func cardChunks(block *Block, room picture.Dot) []chunk {
	block.Picture = block.Picture.Within(room - cardHigh - 80*picture.Pt)
	chunks := []chunk{{kind: Card, part: cardHead, block: block, height: cardHigh + block.Picture.Height, stays: true}}
	for i, item := range block.Items {
		lines := wrap(fmt.Sprintf("%d.  %s", i+1, item), sizeCaution, false, Width)
		chunks = append(chunks, chunk{kind: Card, part: cardItem, block: block, lines: lines, height: picture.Dot(len(lines)) * itemLead, stays: i == 0 && len(block.Items) > 1 || i == len(block.Items)-1 && block.Tally != nil})
	}
	if block.Tally != nil {
		chunks = append(chunks, chunk{kind: Card, part: cardTally, block: block, height: tallyHeight(block.Tally) + 4*picture.Pt})
	}
	chunks[len(chunks)-1].stays = false
	return chunks
}
