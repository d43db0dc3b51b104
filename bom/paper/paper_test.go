package paper

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/order"
	"billwright/bom/picture"
	"billwright/catalog/calendar"
	"billwright/catalog/sampling"
)

// Of every golden order, each row of the bill stands on exactly one department's
// paper, and what RowsOf counts is what stands there.
func TestEveryRowStandsOnOneDepartmentsPaper(t *testing.T) {
	seen := map[Department]int{}
	for _, name := range goldens(t) {
		job := golden(t, name)
		paper := New(job)
		if got, want := rowsOn(paper), rowsIn(t, job.Bill); !slices.Equal(got, want) {
			t.Errorf("%s:\non papers %v\nin the bill %v", name, got, want)
		}
		counted := RowsOf(job.Bill)
		for _, d := range Departments {
			alone := rowsOn(New(job, d))
			seen[d] += len(alone)
			if counted[d] != len(alone) {
				t.Errorf("%s, %s: %d rows counted, %d on its paper", name, d, counted[d], len(alone))
			}
		}
	}
	for _, d := range Departments {
		if seen[d] == 0 {
			t.Errorf("no golden order has a row for %s", d)
		}
	}
}

// The same of drawn orders of several lines, by every product of both workshops.
func TestEveryRowOfDrawnOrdersStandsOnOnePaper(t *testing.T) {
	dice := rand.New(rand.NewPCG(7, 11))
	made := 0
	for _, cat := range shops() {
		for range 40 {
			var lines []bom.Line
			for n := range 1 + dice.IntN(4) {
				if config := sampling.Config(cat, dice.IntN); config != nil {
					lines = append(lines, bom.Line{Number: n + 1, Quantity: 1 + dice.IntN(9), Config: config})
				}
			}
			bill, _, findings := bom.Explode(cat, lines, false)
			if len(findings) > 0 || len(lines) == 0 {
				continue
			}
			made++
			job := &Job{Document: documentOf(bill), Bill: bill, Catalog: cat, Layouts: bill.Layouts()}
			paper := New(job)
			if got, want := rowsOn(paper), rowsIn(t, bill); !slices.Equal(got, want) {
				t.Fatalf("on papers %v\nin the bill %v", got, want)
			}
			fitsItsPages(t, paper)
			cautionsAreThere(t, paper, bill)
		}
	}
	if made < 20 {
		t.Errorf("only %d of 80 drawn orders could be made", made)
	}
}

// documentOf is a document of an order with the lines of a bill.
func documentOf(bill *bom.Bill) *order.Document {
	d := &order.Document{Number: "7K3M-9QXD", Version: 1, State: order.InWork, Promise: calendar.Date{Year: 2027, Month: 2, Day: 9}}
	for i := range bill.Lines {
		d.Lines = append(d.Lines, order.DocumentLine{Line: bill.Lines[i].Line, State: order.InWork})
	}
	return d
}

func fitsItsPages(t testing.TB, paper *Paper) {
	t.Helper()
	for _, one := range pagesOf(paper) {
		y := one.head.height
		for i := range one.chunks {
			c := &one.chunks[i]
			if c.y < y {
				t.Fatalf("%s, page %d: a block at %v begins over the one before, which ends at %v", one.sheet.Head.Title, one.n, c.y, y)
			}
			y = c.y + c.height
		}
		if y > pageHeight-footHigh {
			t.Fatalf("%s, page %d of %d ends at %v, below %v", one.sheet.Head.Title, one.n, one.of, y, pageHeight-footHigh)
		}
	}
}

func cautionsAreThere(t testing.TB, paper *Paper, bill *bom.Bill) {
	t.Helper()
	all := ""
	for _, s := range paper.Sheets {
		for i := range s.Blocks {
			all += s.Blocks[i].Lead + " " + s.Blocks[i].Text + "\n"
		}
	}
	for i := range bill.Lines {
		for k := range bill.Lines[i].Cautions {
			c := &bill.Lines[i].Cautions[k]
			if !strings.Contains(all, c.Says) || !strings.Contains(all, bom.RowAddress(bill.Lines[i].Line, c.Path)) {
				t.Fatalf("the caution %s of line %d is on no paper: %s", c.Code, bill.Lines[i].Line, c.Says)
			}
		}
	}
}

func TestLayoutOfEveryGoldenOrder(t *testing.T) {
	for _, name := range goldens(t) {
		job := golden(t, name)
		paper := New(job)
		fitsItsPages(t, paper)
		cautionsAreThere(t, paper, job.Bill)
		for _, s := range paper.Sheets {
			if n := len(s.Blocks); s.Blocks[n-1].Kind != Caution {
				t.Errorf("%s, %s ends without a caution", name, s.Head.Title)
			}
		}
	}
}

// A paper printed again is the same to the byte, from a job made anew, and
// neither size nor form forgets it.
func TestPrintedAgainItIsTheSame(t *testing.T) {
	print := func() map[string][]byte {
		job := golden(t, "demonstration-order")
		a := job.Document.Acknowledgment(false)
		out := map[string][]byte{}
		for name, paper := range map[string]*Paper{"packet": New(job), "cartons": Labels(job, CartonLabels), "parts": Labels(job, PartLabels), "acknowledgment": Acknowledge(&a, "USD", "Corrindale", address)} {
			for _, size := range []Size{Letter, A4} {
				pdf, err := PDF(paper, size)
				if err != nil {
					t.Fatal(err)
				}
				html, err := HTML(paper, size)
				if err != nil {
					t.Fatal(err)
				}
				out[name+" pdf "+string(size)], out[name+" html "+string(size)] = pdf, html
			}
		}
		return out
	}
	once, again := print(), print()
	for name, text := range once {
		if !bytes.Equal(text, again[name]) {
			t.Errorf("%s: %d bytes, again %d, and not the same", name, len(text), len(again[name]))
		}
	}
	if bytes.Equal(once["packet pdf letter"], once["packet pdf a4"]) {
		t.Error("both sizes are one")
	}
}

func lineStates(job *Job, states ...order.State) {
	for i := range job.Document.Lines {
		job.Document.Lines[i].State = states[i%len(states)]
	}
}

// What stops a paper, and what then is ticked. The order has four lines, of which
// the third and the fourth have cushions.
func TestStops(t *testing.T) {
	hold := func(line int, kind string, blocks ...string) func(*Job) {
		return func(j *Job) {
			j.Document.Holds = append(j.Document.Holds, order.Hold{Seq: 1, Line: line, Kind: kind, Blocks: blocks, Reason: "because"})
		}
	}
	for name, c := range map[string]struct {
		do    func(*Job)
		dept  Department
		words []string // with the lines that they are of
		boxes []int    // lines that have boxes
	}{
		"released":               {func(*Job) {}, Saw, nil, []int{1, 2, 3, 4}},
		"received":               {func(j *Job) { lineStates(j, order.Received) }, Saw, []string{"NOT RELEASED"}, nil},
		"accepted":               {func(j *Job) { lineStates(j, order.Accepted) }, Saw, []string{"NOT RELEASED"}, nil},
		"two of four":            {func(j *Job) { lineStates(j, order.Released, order.Accepted) }, Saw, []string{"NOT RELEASED 2 4"}, []int{1, 3}},
		"in work and shipped":    {func(j *Job) { lineStates(j, order.InWork, order.Shipped) }, Saw, nil, []int{1, 2, 3, 4}},
		"superseded":             {func(j *Job) { j.Standing = 4; lineStates(j, order.Received) }, Saw, []string{"SUPERSEDED"}, nil},
		"cancelled":              {func(j *Job) { j.Document.State = order.Cancelled }, Saw, []string{"CANCELLED"}, nil},
		"credit, whole order":    {hold(0, "credit", "release"), Saw, []string{"HELD"}, nil},
		"deposit, one line":      {hold(2, "deposit", "release"), Saw, []string{"HELD 2"}, []int{1, 3, 4}},
		"sample, at the saw":     {hold(3, "sample", "cushion"), Saw, nil, []int{1, 2, 3, 4}},
		"sample, at the bench":   {hold(3, "sample", "cushion"), Upholstery, []string{"HELD 3"}, []int{4}},
		"sample, the whole line": {hold(3, "sample", "cushion", "line"), Saw, []string{"HELD 3"}, []int{1, 2, 4}},
		"ship, at the saw":       {hold(0, "ship", "shipping"), Saw, nil, []int{1, 2, 3, 4}},
		"ship, at the dock":      {hold(0, "ship", "shipping"), Shipping, []string{"HELD"}, nil},
		"a word of the shop's":   {hold(1, "own-word", "forge-repair"), Saw, []string{"HELD 1"}, []int{2, 3, 4}},
		"another line's":         {hold(4, "own-material", "release"), Wood, nil, []int{1}},
		"frame started": {func(j *Job) {
			lineStates(j, order.Accepted)
			at := j.Document.ReceivedAt
			j.Document.AcceptedAt, j.Document.Lines[3].StartFrame = &at, true
			hold(4, "own-material", "release")(j)
		}, Saw, []string{"NOT RELEASED 1 2 3"}, []int{4}},
		"frame started, at the bench": {func(j *Job) {
			lineStates(j, order.Accepted)
			at := j.Document.ReceivedAt
			j.Document.AcceptedAt, j.Document.Lines[3].StartFrame = &at, true
			hold(4, "own-material", "release")(j)
		}, Upholstery, []string{"NOT RELEASED 3 4", "HELD 4"}, nil},
		"frame started, but credit": {func(j *Job) {
			lineStates(j, order.Accepted)
			at := j.Document.ReceivedAt
			j.Document.AcceptedAt, j.Document.Lines[3].StartFrame = &at, true
			hold(0, "credit", "release")(j)
		}, Saw, []string{"NOT RELEASED", "HELD"}, nil},
	} {
		job := golden(t, "demonstration-order")
		c.do(job)
		sheet := New(job, c.dept).Sheets[0]
		var words []string
		for _, s := range sheet.Head.Stops {
			word := s.Word
			for _, n := range s.Lines {
				word += fmt.Sprint(" ", n)
			}
			words = append(words, word)
		}
		if !slices.Equal(words, c.words) {
			t.Errorf("%s: %q, want %q", name, words, c.words)
		}
		if got := boxed(sheet); !slices.Equal(got, c.boxes) {
			t.Errorf("%s: boxes for lines %v, want %v", name, got, c.boxes)
		}
	}
}

// boxed are the lines that have boxes on a sheet.
func boxed(s *Sheet) []int {
	var lines []int
	for i := range s.Blocks {
		for k := range s.Blocks[i].Lines {
			row := &s.Blocks[i].Lines[k]
			if row.Tally != nil && len(row.Of) > 0 && !slices.Contains(lines, row.Of[0].Line) {
				lines = append(lines, row.Of[0].Line)
			}
		}
	}
	slices.Sort(lines)
	return lines
}

// There is one box a piece, and of more than 200 each box is ten.
func TestBoxesAreOneAPiece(t *testing.T) {
	for pieces, want := range map[int][2]int{1: {1, 1}, 36: {36, 1}, 200: {200, 1}, 201: {21, 10}, 3996: {400, 10}} {
		count, each := (&Tally{Pieces: pieces}).boxes()
		if [2]int{count, each} != want || count*each < pieces {
			t.Errorf("%d pieces: %d boxes of %d, want %v", pieces, count, each, want)
		}
	}
	sheet := New(golden(t, "demonstration-order"), Saw).Sheets[0]
	for i := range sheet.Blocks {
		for k := range sheet.Blocks[i].Lines {
			row := &sheet.Blocks[i].Lines[k]
			if got := row.Cells[1][0].Text; got != fmt.Sprint(row.Tally.Pieces) {
				t.Errorf("%v: %s pieces and %d boxes", row.Of, got, row.Tally.Pieces)
			}
		}
	}
}

func TestMarksAreLettersThatReadAsNoFigure(t *testing.T) {
	seen := map[string]bool{}
	for n := range 2000 {
		m := letters(n)
		if seen[m] || strings.ContainsAny(m, "IO") {
			t.Fatalf("mark %d is %q", n, m)
		}
		seen[m] = true
	}
	for n, want := range map[int]string{0: "A", 7: "H", 8: "J", 13: "P", 23: "Z", 24: "AA", 25: "AB", 48: "BA", 24 + 24*24: "AAA"} {
		if got := letters(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}

// A piece's mark is the same in the cut list, on its bar, on its card and at the
// welder's.
func TestAMarkIsTheSameEverywhere(t *testing.T) {
	job := golden(t, "round-60-wood")
	marks := marksOf(job.Bill)
	sheet := New(job, Saw).Sheets[0]
	drawn := ""
	for i := range sheet.Blocks {
		b := &sheet.Blocks[i]
		if b.Kind == Drawing {
			drawn += b.Picture.Says
		}
		for k := range b.Lines {
			row := &b.Lines[k]
			if got, want := row.Cells[0][0].Text, marks[bom.RowAddress(row.Of[0].Line, row.Of[0].Path)]; got != want {
				t.Errorf("%v: mark %s, want %s", row.Of, got, want)
			}
		}
		if b.Kind == Card && !slices.Contains(valuesOf(marks), strings.Fields(b.Text)[0]) {
			t.Errorf("the card %q has no mark of the list", b.Text)
		}
	}
	for _, m := range marks {
		if !strings.Contains(drawn, " of "+m+", ") {
			t.Errorf("mark %s is on no bar: %s", m, drawn)
		}
	}
}

func valuesOf(m marks) []string {
	var all []string
	for _, v := range m {
		all = append(all, v)
	}
	return all
}

func TestEveryForgedShapeHasACard(t *testing.T) {
	shapes := map[string]bool{}
	for _, name := range goldens(t) {
		job := golden(t, name)
		cards := map[string]string{}
		for _, s := range New(job).Sheets {
			for i := range s.Blocks {
				if b := &s.Blocks[i]; b.Kind == Card {
					cards[strings.Fields(b.Text)[0]] = b.Small + " " + strings.Join(b.Items, " ") + b.Picture.Says
				}
			}
		}
		for i := range job.Bill.Lines {
			l := &job.Bill.Lines[i]
			for k := range l.Steel {
				s := &l.Steel[k]
				text, has := cards[marksOf(job.Bill)[bom.RowAddress(l.Line, s.Path)]]
				if has != worked(s) {
					t.Errorf("%s %s, %s: a card is there: %v", name, s.Path, s.Shape, has)
				}
				if !has {
					continue
				}
				shapes[s.Shape] = true
				wants := []string{job.Bill.Units.Length(s.Cut), job.Bill.Units.Length(s.Finished), s.Form}
				for n := range s.Bends {
					wants = append(wants, picture.BendText(&s.Bends[n], job.Bill.Units))
				}
				if f := s.Forging; f != nil {
					wants = append(wants, job.Bill.Units.Length(f.Stock), f.Temperature, f.Note)
				}
				for _, want := range wants {
					if !strings.Contains(text, want) {
						t.Errorf("%s %s: its card lacks %q: %s", name, s.Path, want, text)
					}
				}
			}
		}
	}
	for _, shape := range []string{"bent", "rolled ring", "hoop", "scroll", "drawn", "upset", "twisted"} {
		if !shapes[shape] {
			t.Errorf("no golden order has a card of shape %s", shape)
		}
	}
}
