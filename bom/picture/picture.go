// Package picture draws what a shop would rather look at than read: a blank with
// its strips, a cushion's cloth on the goods, a piece with its bends, the bars of
// a plan. A Picture is lines, shapes and words in hundredths of a point, and
// knows nothing of paper or screen: SVG writes it for a screen, and package paper
// draws the same items on its sheets.
//
// Lengths are drawn to scale in whole numbers; where a picture has a part that is
// not, its words say so. Nothing is told by colour: what is left over is hatched,
// what is cut away crossed, and every picture has a title and says in words all
// that it shows.
package picture

import (
	"math"

	"billwright/catalog/unit"
)

// Dot is a hundredth of a point: 7200 are an inch.
type Dot int

// The dots of other measures.
const (
	Pt   Dot = 100
	Inch Dot = 7200
)

// Millimetres gives n mm in dots, to the nearest.
func Millimetres(n int) Dot { return Dot((n*72000 + 127) / 254) }

// Pen is how a line is drawn. Widths are those of technical drawing: thick for
// outlines, thin for measures, chain for centre lines.
type Pen int

// The pens.
const (
	NoPen  Pen = iota
	Thin       // 0.5 pt
	Thick      // 1.1 pt
	Heavy      // 3 pt
	Chain      // 0.5 pt, long and short dashes
	Dashed     // 0.5 pt, even dashes
)

// Width is the pen's width.
func (p Pen) Width() Dot {
	switch p {
	case Thick:
		return 110
	case Heavy:
		return 300
	}
	return 50
}

// Dashes are the lengths of strokes and gaps in turn; none for a whole line.
func (p Pen) Dashes() []Dot {
	switch p {
	case Chain:
		return []Dot{800, 200, 200, 200}
	case Dashed:
		return []Dot{300, 200}
	}
	return nil
}

// Fill is how the inside of a shape is drawn.
type Fill int

// The fills.
const (
	NoFill Fill = iota
	White
	Black
	Hatch // one way: what is left over and kept, and grips
	Cross // both ways: what is cut away or waste
)

// Anchor is where a word stands from its point.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Point is a place on a picture, from its upper left corner.
type Point struct{ X, Y Dot }

// Kind is what an item is.
type Kind int

// The kinds of item.
const (
	Run    Kind = iota // straight lines from point to point
	Shape              // a closed run
	Circle             // Points[0] is its middle
	Word               // Points[0] is where it stands on its line
)

// Item is one thing drawn.
type Item struct {
	Kind   Kind
	Pen    Pen
	Fill   Fill
	Points []Point
	Radius Dot
	// Text, Size, Bold and Anchor are those of a word.
	Text   string
	Size   Dot
	Bold   bool
	Anchor Anchor
}

// Picture is a drawing with its words.
type Picture struct {
	Width, Height Dot
	// Title names it, and Says tells in words what it shows.
	Title, Says string
	Items       []Item
}

// Line adds a straight line.
func (p *Picture) Line(pen Pen, x1, y1, x2, y2 Dot) {
	p.Items = append(p.Items, Item{Kind: Run, Pen: pen, Points: []Point{{x1, y1}, {x2, y2}}})
}

// Path adds straight lines from point to point.
func (p *Picture) Path(pen Pen, points ...Point) {
	p.Items = append(p.Items, Item{Kind: Run, Pen: pen, Points: points})
}

// Outline adds a closed shape.
func (p *Picture) Outline(pen Pen, fill Fill, points ...Point) {
	p.Items = append(p.Items, Item{Kind: Shape, Pen: pen, Fill: fill, Points: points})
}

// Box adds a rectangle.
func (p *Picture) Box(pen Pen, fill Fill, x, y, width, height Dot) {
	p.Outline(pen, fill, Point{x, y}, Point{x + width, y}, Point{x + width, y + height}, Point{x, y + height})
}

// Round adds a circle.
func (p *Picture) Round(pen Pen, fill Fill, x, y, radius Dot) {
	p.Items = append(p.Items, Item{Kind: Circle, Pen: pen, Fill: fill, Points: []Point{{x, y}}, Radius: radius})
}

// Write adds a word.
func (p *Picture) Write(x, y, size Dot, bold bool, anchor Anchor, text string) {
	p.Items = append(p.Items, Item{Kind: Word, Points: []Point{{x, y}}, Size: size, Bold: bold, Anchor: anchor, Text: text})
}

// Add puts another picture into this one, its corner at a place.
func (p *Picture) Add(x, y Dot, other *Picture) {
	for _, item := range other.Items {
		moved := item
		moved.Points = make([]Point, len(item.Points))
		for i, at := range item.Points {
			moved.Points[i] = Point{at.X + x, at.Y + y}
		}
		p.Items = append(p.Items, moved)
	}
}

// The sizes of what goes with a measure.
const (
	arrow     = 9 * Pt / 2
	arrowHalf = 13 * Pt / 10
	reach     = 5 * Pt // of the thin lines beyond a measure
)

// Measure draws a measure from x1 to x2 on a line at y, with thin lines up to
// what it measures at from, and its words over its middle.
func (p *Picture) Measure(x1, x2, from, y Dot, text string) {
	p.Line(Thin, x1, from, x1, y+reach)
	p.Line(Thin, x2, from, x2, y+reach)
	p.Line(Thin, x1, y, x2, y)
	if x2-x1 > 3*arrow {
		p.Outline(NoPen, Black, Point{x1, y}, Point{x1 + arrow, y - arrowHalf}, Point{x1 + arrow, y + arrowHalf})
		p.Outline(NoPen, Black, Point{x2, y}, Point{x2 - arrow, y - arrowHalf}, Point{x2 - arrow, y + arrowHalf})
	}
	p.Write((x1+x2)/2, y-3*Pt, 11*Pt, true, Middle, text)
}

// MeasureDown is Measure for a height: it stands at x, from y1 to y2, its words
// to the right of its middle.
func (p *Picture) MeasureDown(y1, y2, from, x Dot, text string) {
	p.Line(Thin, from, y1, x+reach, y1)
	p.Line(Thin, from, y2, x+reach, y2)
	p.Line(Thin, x, y1, x, y2)
	if y2-y1 > 3*arrow {
		p.Outline(NoPen, Black, Point{x, y1}, Point{x - arrowHalf, y1 + arrow}, Point{x + arrowHalf, y1 + arrow})
		p.Outline(NoPen, Black, Point{x, y2}, Point{x - arrowHalf, y2 - arrow}, Point{x + arrowHalf, y2 - arrow})
	}
	p.Write(x+4*Pt, (y1+y2)/2+4*Pt, 11*Pt, true, Start, text)
}

// Scale is how lengths become dots: To dots for the length Of.
type Scale struct {
	Of unit.Length
	To Dot
}

// Dots is a length to scale, to the nearest dot.
func (s Scale) Dots(l unit.Length) Dot {
	if s.Of <= 0 {
		return 0
	}
	n, err := unit.MulDivRound(int64(l), int64(s.To), int64(s.Of), unit.Nearest)
	if err != nil { // far beyond any drawing
		return 0
	}
	return Dot(n)
}

// Within is the scale at which a length and a width just fit a place.
func Within(length, width unit.Length, room, height Dot) Scale {
	if int64(width)*int64(room)/1000 > int64(length)*int64(height)/1000 {
		return Scale{width, height}
	}
	return Scale{length, room}
}

// lengthOf rounds a float64 of nanometres; what is no length is 0.
func lengthOf(nm float64) unit.Length {
	l, err := unit.LengthFromFloat(math.Round(nm))
	if err != nil {
		return 0
	}
	return l
}

// Strokes are the lines of a hatch or a cross over a shape of four square
// corners, clipped to it.
func (i *Item) Strokes() [][2]Point {
	if i.Fill != Hatch && i.Fill != Cross || len(i.Points) != 4 {
		return nil
	}
	low, high := i.Points[0], i.Points[2]
	step := 7 * Pt
	if i.Fill == Cross {
		step = 9 * Pt
	}
	var strokes [][2]Point
	width, height := high.X-low.X, high.Y-low.Y
	for at := step / 2; at < width+height; at += step {
		// From the upper or right edge down and to the left, at 45 degrees.
		from := Point{low.X + min(at, width), low.Y + max(0, at-width)}
		to := Point{low.X + max(0, at-height), low.Y + min(at, height)}
		strokes = append(strokes, [2]Point{from, to})
		if i.Fill == Cross {
			strokes = append(strokes, [2]Point{{low.X + high.X - from.X, from.Y}, {low.X + high.X - to.X, to.Y}})
		}
	}
	return strokes
}

// Within is the picture, made smaller where it is higher than room, all its
// lengths by one scale.
func (p *Picture) Within(room Dot) *Picture {
	if p.Height <= room || room <= 0 {
		return p
	}
	less := *p
	shrink := func(d Dot) Dot { return Dot(int64(d) * int64(room) / int64(p.Height)) }
	less.Height, less.Items = room, make([]Item, len(p.Items))
	for i, item := range p.Items {
		one := item
		one.Radius, one.Size = shrink(item.Radius), shrink(item.Size)
		one.Points = make([]Point, len(item.Points))
		for k, at := range item.Points {
			one.Points[k] = Point{shrink(at.X), shrink(at.Y)}
		}
		less.Items[i] = one
	}
	return &less
}

// Stack puts pictures one below another under a heading; none says what then is
// told.
func Stack(title, none string, pictures []*Picture) *Picture {
	p := &Picture{Width: 532 * Pt, Height: 30 * Pt, Title: title, Says: none}
	p.Write(0, 16*Pt, 14*Pt, true, Start, title)
	if len(pictures) > 0 {
		p.Says = ""
	} else {
		p.Write(0, 28*Pt, 11*Pt, false, Start, none)
		p.Height = 36 * Pt
	}
	for _, one := range pictures {
		p.Write(0, p.Height+12*Pt, 11*Pt, true, Start, one.Title)
		p.Add(0, p.Height+18*Pt, one)
		p.Height += 18*Pt + one.Height + 10*Pt
		p.Says += one.Title + ": " + one.Says + " "
	}
	return p
}
