package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/bom/picture"
	"billwright/bom/saw"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// Job is an order's version with all that its papers are made of.
type Job struct {
	Document *order.Document
	Bill     *bom.Bill
	// Catalog is the revision that the order is pinned to.
	Catalog *catalog.Catalog
	// Standing is the version of the order that stands; where it is another than
	// the document's, the papers are superseded.
	Standing int
	// Plans are the bars of the bill's pieces by section, their cuts with the
	// addresses of rows; NotPlanned says of which sections there is none, and why.
	Plans      []*saw.Plan
	NotPlanned []string
	// Layouts and Working are those of the bill reckoned again; Unreckoned says
	// why there are none.
	Layouts    []bom.Layout
	Working    []bom.Working
	Unreckoned string
	// Address is what the scannable codes lead to: the order's state.
	Address string
}

// New makes the papers of a department; with no department, those of all that
// have any rows, one after another.
func New(job *Job, departments ...Department) *Paper {
	p := &Paper{Title: "Order " + job.Document.Number + ", papers"}
	if len(departments) == 1 {
		p.Title = departments[0].Name() + ", order " + job.Document.Number
	}
	if len(departments) == 0 {
		departments = Departments
	}
	p.Title += fmt.Sprintf(", version %d", job.Document.Version)
	marks := marksOf(job.Bill)
	for _, d := range departments {
		if sheet := sheetOf(job, d, marks); sheet != nil {
			p.Sheets = append(p.Sheets, sheet)
		}
	}
	return p.tell()
}

// RowsOf counts the rows of the bill by the department whose paper they are on.
func RowsOf(bill *bom.Bill) map[Department]int {
	job := &Job{Document: &order.Document{}, Bill: bill, Catalog: &catalog.Catalog{}}
	rows := map[Department]int{}
	for _, d := range Departments {
		b := newBench(job, d, nil)
		b.build()
		for i := range b.sheet.Blocks {
			for k := range b.sheet.Blocks[i].Lines {
				rows[d] += len(b.sheet.Blocks[i].Lines[k].Of)
			}
		}
	}
	return rows
}

// bench is where the sheet of one department is put together.
type bench struct {
	job   *Job
	units bom.Units
	dept  Department
	marks marks
	sheet *Sheet
	stops map[int][]Stop // by line; line 0 is the whole order
	rows  int
	on    []int // lines that the sheet is of; 0 for what belongs to the whole order
}

func newBench(job *Job, d Department, marks marks) *bench {
	metric := job.Bill.Units == bom.Metric
	return &bench{job: job, units: units(metric), dept: d, marks: marks, sheet: &Sheet{Department: d, Metric: metric, Shop: true}}
}

// sheetOf makes the sheet of a department; nil where the bill has no row for it.
func sheetOf(job *Job, d Department, marks marks) *Sheet {
	b := newBench(job, d, marks)
	b.stops = stopsOf(job, d)
	b.build()
	if b.rows == 0 {
		return nil
	}
	b.cautions()
	b.sheet.Head = b.head()
	b.sheet.Foot = fmt.Sprintf("Version %d, revision %d, bill %d", job.Document.Version, job.Document.Revision, job.Document.Bill.Version)
	return b.sheet
}

// build adds the blocks of the department's rows.
func (b *bench) build() {
	switch b.dept {
	case Saw:
		b.saw()
	case Weld:
		b.weld()
	case Wood:
		b.wood()
	case Finish:
		b.finish()
	case Upholstery:
		b.upholstery()
	case Assembly:
		b.assembly()
	case Boxing:
		b.boxing()
	case Shipping:
		b.shipping()
	}
}

// head is what every page of the sheet begins with.
func (b *bench) head() Head {
	d := b.job.Document
	h := Head{Title: b.dept.Name(), Part: partSays[b.dept], Over: "order", Number: d.Number, Under: "the order is " + string(d.State),
		Code: Code{b.job.Address}, Stops: b.stopList()}
	h.Facts = []Fact{{"Sidemark", orDash(d.Sidemark)}, {"PO number", orDash(d.PO)}, {"Dealer", d.DealerName}, {"Ships", shipDay(d.Promise)}, {"Lines", b.lines()}}
	return h
}

var partSays = map[Department]string{
	Saw: "cut list, bars and cards", Weld: "joints and groups", Wood: "blanks and tops", Finish: "routes and steps", Upholstery: "cloth and cushions",
	Assembly: "panes, tops and hardware", Boxing: "cartons", Shipping: "what leaves, and where to",
}

func orDash(text string) string { return cmp.Or(text, "–") }

// Day writes a day as the papers do: "Fri 29 Jan 2027".
func Day(d calendar.Date) string {
	return fmt.Sprintf("%s %d %s %d", d.Weekday().String()[:3], d.Day, d.Month.String()[:3], d.Year)
}

func shipDay(d calendar.Date) string {
	if !d.Valid() {
		return "no date yet"
	}
	return Day(d)
}

func dayOf(t time.Time) string { return Day(calendar.DateOf(t)) }

// lines names the order's lines in a few words.
func (b *bench) lines() string {
	n := len(b.job.Bill.Lines)
	if n == 1 {
		l := &b.job.Bill.Lines[0]
		return fmt.Sprintf("%d × %s", l.Quantity, l.Name)
	}
	return fmt.Sprintf("%d, listed below", n)
}

// heading begins the rows of a line.
func (b *bench) heading(l *bom.LineBill) {
	small := ""
	if stops := b.stops[l.Line]; len(stops) > 0 && len(b.stops[0]) == 0 {
		small = strings.ToUpper(stops[0].Word) + ": nothing of this line"
	}
	b.add(Block{Kind: Heading, Text: fmt.Sprintf("Line %d: %d × %s", l.Line, l.Quantity, l.Name), Small: small})
}

func (b *bench) add(block Block) {
	b.sheet.Blocks = append(b.sheet.Blocks, block)
	for i := range block.Lines {
		b.rows += len(block.Lines[i].Of)
	}
}

// tally is the boxes of a row; there are none where its line may not be worked.
func (b *bench) tally(line, pieces int, done string) *Tally {
	if len(b.stops[0]) > 0 || len(b.stops[line]) > 0 || pieces <= 0 {
		return nil
	}
	if line == 0 && len(b.stops) > 0 {
		return nil
	}
	return &Tally{pieces, done}
}

// table is rows with the columns of a shop paper: mark, pieces, a large figure,
// what it is, and what then is done.
func (b *bench) table(figure string, rows []Row) {
	if len(rows) == 0 {
		return
	}
	const least, most = 40 * picture.Pt, 170 * picture.Pt
	wide, marked := least, 26*picture.Pt
	for i := range rows {
		for _, t := range rows[i].Cells[2] {
			wide = min(most, max(wide, width(t.Text, t.Size, t.Bold)+2*picture.Pt))
		}
		for _, t := range rows[i].Cells[0] {
			marked = min(60*picture.Pt, max(marked, width(t.Text, t.Size, t.Bold)+2*picture.Pt))
		}
	}
	first := 1
	for i := range rows {
		if rows[i].Cells[0][0].Text != "" {
			first = 0
		}
	}
	if first == 1 { // no row has a mark
		marked = -gutter
		for i := range rows {
			rows[i].Cells = rows[i].Cells[1:]
		}
	}
	const pieces = 46 * picture.Pt
	rest := Width - marked - pieces - wide - 4*gutter - 5*picture.Pt
	boxes := len(rows[0].Cells) > 5-first
	if boxes {
		rest -= boxesBeside*boxStep + gutter
	}
	columns := []Column{{Title: "Mark", Width: marked}, {Title: "Pieces", Width: pieces, Right: true}, {Title: figure, Width: wide, Right: true, After: 5 * picture.Pt}, {Title: "What", Width: rest * 6 / 10}, {Title: "Then", Width: rest - rest*6/10}}
	if boxes {
		columns = append(columns, Column{Title: "Done", Width: boxesBeside * boxStep})
	}
	b.add(Block{Kind: Rows, Columns: columns[first:], Lines: rows})
}

// row is one row of the bill in such a table.
func (b *bench) row(line int, part, path, marked string, pieces int, figure string, what, then Cell, done string) Row {
	b.of(line)
	address := bom.RowAddress(line, path)
	if line == 0 {
		address = path
	}
	size := sizeBig
	if strings.Contains(figure, " x ") {
		size = sizeCount
	}
	if last := len(what) - 1; last > 0 && width(what[last].Text+"; "+address, sizeSmall, false) < 190*picture.Pt {
		what[last].Text += "; " + address
	} else {
		what = append(what, small(address))
	}
	return Row{
		Of:    []Address{{line, part, path}},
		Cells: []Cell{{mark(marked)}, {many(fmt.Sprint(pieces))}, {Text{figure, size, true}}, what, then},
		Tally: b.tally(line, pieces, done),
	}
}

func (b *bench) of(line int) {
	if !slices.Contains(b.on, line) {
		b.on = append(b.on, line)
	}
}

// marks are the marks of the pieces of steel by the address of their row.
type marks map[string]string

func marksOf(bill *bom.Bill) marks {
	m := marks{}
	for i := range bill.Lines {
		for k := range bill.Lines[i].Steel {
			m[bom.RowAddress(bill.Lines[i].Line, bill.Lines[i].Steel[k].Path)] = letters(len(m))
		}
	}
	return m
}

// letters counts A to Z and on with AA. I and O are left out: they read as
// figures.
func letters(n int) string {
	const of = "ABCDEFGHJKLMNPQRSTUVWXYZ"
	text := ""
	for n >= 0 {
		text = string(of[n%len(of)]) + text
		n = n/len(of) - 1
	}
	return text
}

func sortedLines(m map[int][]Stop) []int {
	var lines []int
	for n := range m {
		lines = append(lines, n)
	}
	slices.Sort(lines)
	return lines
}

// cancelled tells that a line of the order was cancelled.
func (j *Job) cancelled(line int) bool {
	return slices.ContainsFunc(j.Document.Lines, func(l order.DocumentLine) bool { return l.Line == line && l.State == order.Cancelled })
}

// boxesBeside is how many boxes stand in a column of their own at most.
const boxesBeside = 6

// beside gives each row a last cell, which the boxes of some stand in.
func beside(rows []Row) []Row {
	for i := range rows {
		rows[i].Cells = append(rows[i].Cells, Cell{})
	}
	return rows
}
