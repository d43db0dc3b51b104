package paper

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/bom/picture"
)

// Labels are 4 by 6 in. A carton's label has its number of so many and its weight
// 7 mm high, where it goes, how it is lifted and handled, and lowest the code
// with its words. A part's label goes with the piece through the shop.

// Label is what one label says.
type Label struct {
	Title       string
	From, Ships string
	Stops       []Stop
	ToName, To  string
	// Pair are the two large figures.
	Pair                [2]Fact
	Says                string
	Order, PO, Sidemark string
	Code                Code
}

// LabelKind is which labels are printed.
type LabelKind string

// The kinds of label.
const (
	CartonLabels LabelKind = "carton"
	PartLabels   LabelKind = "part"
)

// Labels makes the labels of an order: one for each carton, or one for each piece
// of wood, glass, stone and cushion and each welded group.
func Labels(job *Job, kind LabelKind) *Paper {
	p := &Paper{Title: fmt.Sprintf("Order %s, %s labels, version %d", job.Document.Number, kind, job.Document.Version), Label: true}
	add := func(l *Label) { p.Sheets = append(p.Sheets, &Sheet{Metric: job.Bill.Units == bom.Metric, Label: l}) }
	if kind == PartLabels {
		stops := stopsOf(job, Assembly)
		for i := range job.Bill.Lines {
			if !job.cancelled(job.Bill.Lines[i].Line) {
				partLabels(job, &job.Bill.Lines[i], stops, add)
			}
		}
		return p.tell()
	}
	stops := stopsOf(job, Shipping)
	runs := cartonsOf(job)
	for i := range runs {
		for n := runs[i].first; n <= runs[i].last; n++ {
			add(cartonLabel(job, &runs[i], n, runs[len(runs)-1].last, stops))
		}
	}
	return p.tell()
}

func labelOf(job *Job, line int, stops map[int][]Stop) *Label {
	d := job.Document
	l := &Label{From: job.Catalog.Workshop.Name, Ships: shipDay(d.Promise), Order: d.Number, PO: orDash(d.PO), Sidemark: orDash(d.Sidemark)}
	l.Stops = append(append(l.Stops, stops[0]...), stops[line]...)
	return l
}

func cartonLabel(job *Job, run *cartonRun, n, of int, stops map[int][]Stop) *Label {
	l := labelOf(job, run.line.Line, stops)
	l.Title = fmt.Sprintf("Label, order %s, carton %d of %d", job.Document.Number, n, of)
	l.ToName, l.To = "Ship to", orDash(job.Document.ShipTo)
	l.Pair = [2]Fact{{"Carton", fmt.Sprintf("%d of %d", n, of)}, {"Weight", run.row.Gross.In(job.Bill.Units)}}
	l.Says = fmt.Sprintf("%s: line %d, unit %d, %s. ", run.line.Name, run.line.Line, n-run.first+1, run.row.Path) + handling(run)
	l.Code = Code{fmt.Sprintf("%s#carton-%d-of-%d", job.Address, n, of)}
	return l
}

// handling is how a carton is lifted and what is in it asks for.
func handling(run *cartonRun) string {
	says := []string{}
	if run.row.TwoLift {
		says = append(says, "Two persons or a device lift.")
	}
	for _, of := range []struct {
		there bool
		says  string
	}{
		{packs(run, glassPaths(run.line)), "Glass: carry upright, do not lay flat."},
		{packs(run, stonePaths(run.line)), "Stone: carry on edge, never flat by its ends."},
		{packs(run, woodPaths(run.line)), "Wood: keep flat and dry, do not stand on edge."},
		{packs(run, cushionPaths(run.line)), "Cloth: keep dry, no knife along the seam."},
	} {
		if of.there {
			says = append(says, of.says)
		}
	}
	if s := run.row.Stack; s != nil && s.Layers > 1 {
		says = append(says, fmt.Sprintf("Stack %d high at most.", s.Layers))
	} else if s != nil {
		says = append(says, "Do not stack.")
	}
	if run.row.Class != "" {
		says = append(says, "Freight class "+run.row.Class+".")
	}
	return strings.Join(append(says, "Packs "+orDash(strings.Join(run.row.Packs, ", "))+"."), " ")
}

// packs tells whether a carton packs one of some rows.
func packs(run *cartonRun, paths []string) bool {
	for _, path := range paths {
		for _, pack := range run.row.Packs {
			if path == pack || strings.HasPrefix(path, pack+"/") {
				return true
			}
		}
	}
	return false
}

func glassPaths(l *bom.LineBill) []string {
	return pathsOf(l.Glass, func(r *bom.GlassRow) string { return r.Path })
}

func stonePaths(l *bom.LineBill) []string {
	return pathsOf(l.Stone, func(r *bom.StoneRow) string { return r.Path })
}

func woodPaths(l *bom.LineBill) []string {
	return pathsOf(l.Wood, func(r *bom.WoodRow) string { return r.Path })
}

func cushionPaths(l *bom.LineBill) []string {
	return pathsOf(l.Cushions, func(r *bom.CushionRow) string { return r.Path })
}

func pathsOf[T any](rows []T, path func(*T) string) []string {
	paths := make([]string, len(rows))
	for i := range rows {
		paths[i] = path(&rows[i])
	}
	return paths
}

// partLabels adds the labels of a line's pieces.
func partLabels(job *Job, line *bom.LineBill, stops map[int][]Stop, add func(*Label)) {
	u := job.Bill.Units
	each := func(path, name string, pieces int, says, weight string) {
		for n := 1; n <= pieces; n++ {
			l := labelOf(job, line.Line, stops)
			l.Title = fmt.Sprintf("Label, order %s, %s %s, piece %d of %d", job.Document.Number, bom.RowAddress(line.Line, path), name, n, pieces)
			l.ToName, l.To = fmt.Sprintf("Part of line %d, %s", line.Line, line.Name), name
			l.Pair = [2]Fact{{"Piece", fmt.Sprintf("%d of %d", n, pieces)}, {"Row of the bill", bom.RowAddress(line.Line, path)}}
			l.Says = says + after(" Weighs ", weight) + map[bool]string{true: ".", false: ""}[weight != ""]
			l.Code = Code{fmt.Sprintf("%s#%s-piece-%d-of-%d", job.Address, strings.ReplaceAll(bom.RowAddress(line.Line, path), "/", "-"), n, pieces)}
			add(l)
		}
	}
	for i := range line.Welded {
		w := &line.Welded[i]
		each(w.Path, w.Name, w.Pieces, "Welded group.", "")
	}
	for i := range line.Wood {
		w := &line.Wood[i]
		each(w.Path, w.Name, w.Pieces, u.Shaped(w.Shape, w.Length, w.Width)+" x "+u.Length(w.Thickness)+", "+w.Species+", "+w.Finish+".", one(w.Weight, w.Pieces, u))
	}
	for i := range line.Glass {
		g := &line.Glass[i]
		each(g.Path, g.Name, g.Pieces, u.Shaped(g.Shape, g.Length, g.Width)+" x "+u.Length(g.Thickness)+", "+g.Glass+", edge "+g.Edge+".", one(g.Weight, g.Pieces, u))
	}
	for i := range line.Stone {
		s := &line.Stone[i]
		each(s.Path, s.Name, s.Pieces, u.Shaped(s.Shape, s.Length, s.Width)+" x "+u.Length(s.Thickness)+", "+s.Stone+", edge "+s.Edge+".", one(s.Weight, s.Pieces, u))
	}
	for i := range line.Cushions {
		c := &line.Cushions[i]
		each(c.Path, c.Name, c.Pieces, u.Sides(c.Length, c.Width, c.Height)+", "+c.Form+" in "+c.Cloth+".", "")
	}
}

// one is the weight of one of so many that are alike.
func one(all bom.Weight, pieces int, u bom.Units) string {
	return (all / bom.Weight(max(1, pieces))).In(u)
}

// labelLayout is a label with its lines broken.
type labelLayout struct {
	to                    []string
	toSize                picture.Dot
	says, po, mark, words []string
	stops                 []stopLayout
	pairSize              [2]picture.Dot
}

const (
	labelRoom = labelWidth - 2*labelEdge
	labelCode = 112 * picture.Pt
	lowRoom   = labelRoom - labelCode - 10*picture.Pt
	pairSize  = 28 * picture.Pt // whose capitals are 7.1 mm high
)

// toSizes are the sizes of where it goes, the first that fits is taken.
var toSizes = []struct{ size, lead picture.Dot }{{17 * picture.Pt, 21 * picture.Pt}, {13 * picture.Pt, 16 * picture.Pt}, {10 * picture.Pt, 12 * picture.Pt}, {8 * picture.Pt, 10 * picture.Pt}}

func layLabel(l *Label) *labelLayout {
	out := &labelLayout{}
	for i := range l.Stops {
		if i == 2 {
			out.stops = append(out.stops, stopLayout{lines: []string{fmt.Sprintf("and %d more: the code leads to them.", len(l.Stops)-i)}})
			break
		}
		s := &l.Stops[i]
		out.stops = append(out.stops, stopLayout{s.Word, nil})
	}
	room := 86*picture.Pt - picture.Dot(len(out.stops))*stopLead
	for _, s := range toSizes {
		out.to, out.toSize = wrap(l.To, s.size, true, labelRoom), s.size
		if picture.Dot(len(out.to))*s.lead <= max(room, 44*picture.Pt) {
			break
		}
	}
	out.says = wrap(l.Says, sizeCaution, false, labelRoom)
	out.po, out.mark = wrap(l.PO, sizeText, false, lowRoom), wrap(l.Sidemark, 15*picture.Pt, true, lowRoom)
	out.words = wrap(l.Code.Address, addressSize, false, lowRoom)
	rooms := [2]picture.Dot{labelRoom*48/100 - 4*picture.Pt, labelRoom*52/100 - 11*picture.Pt}
	for i := range out.pairSize {
		out.pairSize[i] = pairFit(l.Pair[i].Value, rooms[i])
	}
	return out
}

// pairSizes are the sizes of a large figure, the first that fits is taken.
var pairSizes = []picture.Dot{pairSize, 24 * picture.Pt, 20 * picture.Pt, 16 * picture.Pt, 12 * picture.Pt}

func pairFit(text string, room picture.Dot) picture.Dot {
	for _, size := range pairSizes {
		if width(text, size, true) <= room {
			return size
		}
	}
	return 9 * picture.Pt
}

func (l *labelLayout) toLead() picture.Dot {
	for _, s := range toSizes {
		if s.size == l.toSize {
			return s.lead
		}
	}
	return 0
}

// label draws a label on a page of its own.
func (d *pdfPen) label(s *Sheet) {
	l, out := s.Label, layLabel(s.Label)
	left, right := labelEdge, labelWidth-labelEdge
	y := labelEdge
	d.text(left, y+10*picture.Pt, 10*picture.Pt, false, picture.Start, "From")
	d.text(right, y+10*picture.Pt, 10*picture.Pt, false, picture.End, "Ships")
	d.text(left, y+23*picture.Pt, fitted(l.From, sizeCaution, labelRoom-90*picture.Pt), true, picture.Start, l.From)
	d.text(right, y+23*picture.Pt, sizeCaution, true, picture.End, l.Ships)
	y += 29 * picture.Pt
	d.line(picture.Thick, left, y, right, y)
	y = d.labelStops(y, out)
	d.text(left, y+12*picture.Pt, 10*picture.Pt, false, picture.Start, l.ToName)
	y += 14 * picture.Pt
	for _, line := range out.to {
		y += out.toLead()
		d.text(left, y-out.toLead()/4, out.toSize, true, picture.Start, line)
	}
	y += 4 * picture.Pt
	d.line(picture.Thick, left, y, right, y)
	d.pair(y, l, out)
	y += 52 * picture.Pt
	d.line(picture.Thick, left, y, right, y)
	for i, line := range out.says {
		d.text(left, y+picture.Dot(i+1)*14*picture.Pt, sizeCaution, false, picture.Start, line)
	}
	y += picture.Dot(len(out.says))*14*picture.Pt + 5*picture.Pt
	d.line(picture.Thick, left, y, right, y)
	d.low(l, out)
}

func (d *pdfPen) labelStops(y picture.Dot, out *labelLayout) picture.Dot {
	if len(out.stops) == 0 {
		return y
	}
	high := picture.Dot(len(out.stops)) * stopLead
	d.box(picture.Heavy, labelEdge+150, y+5*picture.Pt, labelRoom-300, high+4*picture.Pt)
	for i := range out.stops {
		text := out.stops[i].word
		size := stopWord
		if text == "" {
			text, size = out.stops[i].lines[0], sizeCaution
		}
		d.text(labelEdge+8*picture.Pt, y+picture.Dot(i+1)*stopLead, size, size == stopWord, picture.Start, text)
	}
	return y + high + 12*picture.Pt
}

func (d *pdfPen) pair(y picture.Dot, l *Label, out *labelLayout) {
	middle := labelEdge + labelRoom*48/100
	d.line(picture.Thick, middle, y, middle, y+52*picture.Pt)
	for i, x := range [2]picture.Dot{labelEdge, middle + 9*picture.Pt} {
		d.text(x, y+13*picture.Pt, 10*picture.Pt, false, picture.Start, l.Pair[i].Name)
		d.text(x, y+42*picture.Pt, out.pairSize[i], true, picture.Start, l.Pair[i].Value)
	}
}

// low draws the code, lowest, with its words.
func (d *pdfPen) low(l *Label, out *labelLayout) {
	bottom := labelHeight - labelEdge
	d.code(labelEdge, bottom-labelCode, labelCode, l.Code.Address)
	x := labelEdge + labelCode + 10*picture.Pt
	y := bottom - picture.Dot(len(out.words))*addressLead
	for i, line := range out.words {
		d.text(x, y+picture.Dot(i+1)*addressLead-2*picture.Pt, addressSize, false, picture.Start, line)
	}
	y -= picture.Dot(len(out.mark))*18*picture.Pt + 2*picture.Pt
	for i, line := range out.mark {
		d.text(x, y+picture.Dot(i+1)*18*picture.Pt-4*picture.Pt, 15*picture.Pt, true, picture.Start, line)
	}
	d.text(x, y-1*picture.Pt, 10*picture.Pt, false, picture.Start, "Sidemark")
	y -= 13 * picture.Pt
	y -= picture.Dot(len(out.po)) * 16 * picture.Pt
	for i, line := range out.po {
		d.text(x, y+picture.Dot(i+1)*16*picture.Pt-4*picture.Pt, sizeText, false, picture.Start, line)
	}
	d.text(x, y-1*picture.Pt, 10*picture.Pt, false, picture.Start, "PO number")
	y -= 13 * picture.Pt
	d.text(x, y-4*picture.Pt, 15*picture.Pt, true, picture.Start, l.Order)
	d.text(x, y-20*picture.Pt, 10*picture.Pt, false, picture.Start, "Order")
}

// labelView is a label as HTML writes it.
type labelView struct {
	*Label
	Code     any
	Stops    []stopView
	To       []string
	ToClass  string
	Says     []string
	PO       []string
	Sidemark []string
	Address  []string
	Pairs    []pairView
}

// pairView is a large figure with the class of the size that fits.
type pairView struct{ Name, Value, Class string }

func (w *htmlPen) label(s *Sheet) labelView {
	out := layLabel(s.Label)
	v := labelView{Label: s.Label, Code: w.code(s.Label.Code.Address), To: out.to, Says: out.says, PO: out.po, Sidemark: out.mark, Address: out.words,
		ToClass: fmt.Sprintf("to%d", out.toSize/picture.Pt)}
	for i, f := range s.Label.Pair {
		v.Pairs = append(v.Pairs, pairView{f.Name, f.Value, fmt.Sprintf("p%d", out.pairSize[i]/picture.Pt)})
	}
	for i := range out.stops {
		v.Stops = append(v.Stops, stopView{out.stops[i].word, out.stops[i].lines})
	}
	return v
}
