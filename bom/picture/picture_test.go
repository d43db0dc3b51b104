package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/bom/saw"
	"billwright/catalog/unit"
)

var update = flag.Bool("update", false, "rewrite the drawings of testdata")

const in = unit.Inch

// top is a blank of 85 x 37 in of seven strips for a top of 84 x 36 1/2 in.
func top(shape string) *bom.WoodRow {
	return &bom.WoodRow{Path: "top", Name: "Top", Shape: shape, Length: 84 * in, Width: 36*in + in/2, Grain: "along the length",
		Blank: bom.BlankSize{Length: 85 * in, Width: 37 * in}, Strips: []unit.Length{85 * in / 16, 85 * in / 16, 85 * in / 16, 85 * in / 16, 21 * in / 4, 21 * in / 4, 21 * in / 4}}
}

// leg is a piece of 34 27/32 in with one bend of 90 degrees at 24 5/8 in.
func leg() *bom.SteelRow {
	return &bom.SteelRow{Path: "base/bent-leg", Name: "Bent leg", Shape: "bent", Finished: 34*in + 27*in/32, Cut: 34*in + 27*in/32, Bends: []bom.Bend{{At: 24*in + 5*in/8, Angle: 90, Radius: 3 * in}}}
}

func frame() *bom.SteelRow {
	return &bom.SteelRow{Path: "base/frame", Name: "Bent frame", Shape: "bent", Finished: 54*in + 9*in/32, Cut: 54*in + 5*in/16,
		Bends: []bom.Bend{{At: 18*in + 3*in/8, Angle: 90, Radius: 2 * in}, {At: 32*in + 25*in/32, Angle: 90, Radius: 2 * in}}}
}

func ring() *bom.SteelRow {
	trim := 12 * in
	return &bom.SteelRow{Path: "base/ring", Name: "Ring", Shape: "rolled ring", Finished: 35*in + 11*in/32, Cut: 47*in + 11*in/32, Trim: &trim}
}

func goods() *bom.Layout {
	l := &bom.Layout{Line: 1, Path: "cushion/cloth", Cloth: "Sedge stripe", Usable: 53 * in, Net: 50 * in}
	for i := range 2 {
		l.Pieces = append(l.Pieces, bom.Placed{Piece: "plate", Row: i + 1, X: unit.Length(i) * 17 * in, Along: 17 * in, Across: 49 * in, Line: 1, For: "cushion"})
	}
	for i := range 3 {
		l.Pieces = append(l.Pieces, bom.Placed{Piece: "boxing", Row: 3, X: 34 * in, Y: unit.Length(i) * 17 * in, Along: 4 * in, Across: 17 * in, Turned: i == 2, Line: 1, For: "cushion"})
	}
	return l
}

func barPlan(t testing.TB) (*saw.Plan, saw.Saw) {
	t.Helper()
	how := saw.Saw{Kerf: in / 8, TrimStart: in / 2, TrimEnd: in / 2, Keep: 24 * in}
	plan, err := saw.Reckon(&saw.List{Section: "round-1", Name: "1 in round bar", Saw: how, Stock: []saw.Stock{{Length: 240 * in, Limit: cutting.Unlimited}},
		Pieces: []saw.Piece{{Mark: "X", Order: "X", Row: "1/leg", Length: 57 * in, Count: 4}, {Mark: "Y", Order: "X", Row: "1/tab", Length: 2 * in, Count: 5}}}, cutting.Options{Work: 1e7})
	if err != nil {
		t.Fatal(err)
	}
	return plan, how
}

func marked(_, row string) string { return map[string]string{"1/leg": "A", "1/tab": "B"}[row] }

// all are the pictures of the golden files.
func all(t testing.TB) map[string]*Picture {
	plan, how := barPlan(t)
	round := top("round")
	round.Length, round.Width, round.Blank, round.Strips = 36*in, 36*in, bom.BlankSize{Length: 37 * in, Width: 36*in + in/2}, nil
	boat := top("boat")
	boat.EndWidth = 28 * in
	return map[string]*Picture{
		"blank": Blank(top("rectangle"), bom.Inch), "blank-round": Blank(round, bom.Inch), "blank-boat-metric": Blank(boat, bom.Metric),
		"cloth": Cloth(goods(), bom.Inch), "bends": Bends(leg(), bom.Inch), "bends-two": Bends(frame(), bom.Inch),
		"ring":  Forged(ring(), Figures{"outside diameter": 12 * in}, bom.Inch),
		"drawn": Forged(&bom.SteelRow{Name: "Leg", Shape: "drawn", Finished: 28 * in, Cut: 24 * in, Form: "drawn to a point over 8 in"}, Figures{"taper": 8 * in}, bom.Inch),
		"bars":  Bars(plan, 0, how, 240*in, marked, bom.Inch), "load": Load("Load of departments", forge()),
		"rule-4": Rule(false), "rule-100": Rule(true),
	}
}

func TestGoldenPictures(t *testing.T) {
	for name, p := range all(t) {
		var got bytes.Buffer
		if err := p.SVG(&got); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", name+".svg")
		if *update {
			if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil || !bytes.Equal(got.Bytes(), want) {
			t.Errorf("%s is not as drawn in %s (%v):\n%s", name, path, err, got.String())
		}
	}
}

// Every picture is well-formed, has its title and its words, is drawn in black
// and white and stays within itself.
func TestPicturesAreReadableInBlackAndWhite(t *testing.T) {
	for name, p := range all(t) {
		var svg bytes.Buffer
		if err := p.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		said := map[string]string{}
		d := xml.NewDecoder(&svg)
		last := ""
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			switch one := token.(type) {
			case xml.StartElement:
				last = one.Name.Local
				for _, a := range one.Attr {
					if (a.Name.Local == "fill" || a.Name.Local == "stroke") && !slices.Contains([]string{"none", "black", "white"}, a.Value) {
						t.Errorf("%s: %s %q", name, a.Name.Local, a.Value)
					}
				}
			case xml.CharData:
				said[last] += string(one)
			}
		}
		if strings.TrimSpace(said["title"]) != p.Title || len(strings.TrimSpace(said["desc"])) < 20 {
			t.Errorf("%s: title %q, desc %q", name, said["title"], said["desc"])
		}
		for i := range p.Items {
			for _, at := range p.Items[i].Points {
				if at.X < -10*Pt || at.X > p.Width+10*Pt || at.Y < -10*Pt || at.Y > p.Height+10*Pt {
					t.Errorf("%s: item %d at %v is beyond %v x %v", name, i, at, p.Width, p.Height)
				}
			}
		}
	}
}

// near tells that a dot is where an exact place would be, within one dot.
func near(got Dot, want float64) bool { return float64(got) > want-1 && float64(got) < want+1 }

// A blank of 85 x 37 in: 344.59 pt long on a height of 150 pt, and a joint where
// the strips before it end.
func TestABlankIsToScale(t *testing.T) {
	p := Blank(top("rectangle"), bom.Inch)
	blank := p.Items[0].Points
	long, high := blank[2].X-blank[0].X, blank[2].Y-blank[0].Y
	if !near(long, 85.0/37*15000) || high != 15000 {
		t.Errorf("the blank is %v x %v", long, high)
	}
	joints := []float64{}
	for sum, strips := 0.0, top("").Strips; len(joints) < 6; {
		sum += float64(strips[len(joints)]) / float64(37*in)
		joints = append(joints, float64(blankTop)+sum*15000)
	}
	found := 0
	for i := range p.Items {
		item := &p.Items[i]
		if item.Kind != Run || item.Pen != Thin || len(item.Points) != 2 || item.Points[0].Y != item.Points[1].Y || item.Points[0].X != blankLeft || item.Points[1].X != blankLeft+long || item.Points[0].Y > blankTop+high {
			continue
		}
		if found >= len(joints) || !near(item.Points[0].Y, joints[found]) {
			t.Errorf("joint %d at %v, want %v", found+1, item.Points[0].Y, joints)
		}
		found++
	}
	if found != 6 {
		t.Errorf("%d joints of 7 strips", found)
	}
	for i := range p.Items {
		if item := &p.Items[i]; item.Kind == Shape && item.Pen == Chain {
			if got := item.Points[2].X - item.Points[0].X; !near(got, 84.0/37*15000) {
				t.Errorf("the finished top is %v long", got)
			}
		}
	}
}

// The outlines of a round, a racetrack, an ellipse and a boat touch the middle of
// the sides of the rectangle around them.
func TestOutlinesFillTheirRectangle(t *testing.T) {
	for _, shape := range []string{"rectangle", "round", "ellipse", "racetrack", "boat"} {
		points := outline(shape, 8000, 4000, 3000)
		low, high := points[0], points[0]
		for _, p := range points {
			low.X, low.Y, high.X, high.Y = min(low.X, p.X), min(low.Y, p.Y), max(high.X, p.X), max(high.Y, p.Y)
		}
		if abs(low.X+4000) > 1 || abs(high.X-4000) > 1 || abs(low.Y+2000) > 1 || abs(high.Y-2000) > 1 {
			t.Errorf("%s: from %v to %v", shape, low, high)
		}
	}
	ends := outline("boat", 8000, 4000, 3000)
	if tall := ends[0].Y - ends[len(ends)-1].Y; abs(abs(tall)-3000) > 1 {
		t.Errorf("the end of the boat is %v wide, want 3000", tall)
	}
}

func abs(d Dot) Dot { return max(d, -d) }

// The marks of a bend schedule stand where the bends begin: 480 pt are the
// piece; the two legs of the bent piece are as 24 5/8 in and 5 1/2 in are.
func TestABendScheduleIsToScale(t *testing.T) {
	row := frame()
	p := Bends(row, bom.Inch)
	scale := 48000 / float64(row.Cut)
	var marks []Dot
	for i := range p.Items {
		if item := &p.Items[i]; item.Kind == Run && item.Pen == Thick && item.Points[0].X == item.Points[1].X {
			marks = append(marks, item.Points[0].X)
		}
	}
	if len(marks) != 2 {
		t.Fatalf("marks %v", marks)
	}
	for i := range row.Bends {
		if want := float64(pieceLeft) + float64(row.Bends[i].At)*scale; !near(marks[i], want) {
			t.Errorf("bend %d at %v, want %.1f", i+1, marks[i], want)
		}
	}
	run, flat := centreLine(row)
	last := run[len(run)-1]
	// Two right angles the same way: the piece ends beside its beginning, its legs
	// apart by the straight between the bends and twice the radius.
	straight := float64(row.Bends[1].At-row.Bends[0].At) - bom.ArcLength(2*in, 90)
	if apart := straight + float64(4*in); !flat || last.y > -apart*0.999 || last.y < -apart*1.001 {
		t.Errorf("the legs are %.3f in apart, want %.3f", -last.y/float64(in), apart/float64(in))
	}
	turned := *row
	turned.Bends = slices.Clone(row.Bends)
	turned.Bends[1].Plane = 90
	if _, flat := centreLine(&turned); flat {
		t.Error("a piece of two planes is drawn in one")
	}
}

// Every piece of cloth is as large as its share of the goods, none lies on
// another, and their number stands in the words.
func TestALayoutIsToScale(t *testing.T) {
	l := goods()
	p := Cloth(l, bom.Inch)
	scale := float64(13000) / float64(l.Usable)
	var boxes []Item
	for _, item := range p.Items {
		if item.Kind == Shape && item.Pen == Thin {
			boxes = append(boxes, item)
		}
	}
	if len(boxes) != len(l.Pieces) {
		t.Fatalf("%d pieces drawn of %d", len(boxes), len(l.Pieces))
	}
	for i := range boxes {
		b, piece := boxes[i].Points, &l.Pieces[i]
		if !near(b[0].X-goodsLeft, float64(piece.X)*scale) || !near(b[0].Y-goodsTop, float64(piece.Y)*scale) || !near(b[2].X-b[0].X, float64(piece.Along)*scale) || !near(b[2].Y-b[0].Y, float64(piece.Across)*scale) {
			t.Errorf("piece %d: %v for %+v", i+1, b, piece)
		}
		for k := range i {
			o := boxes[k].Points
			if b[0].X < o[2].X && o[0].X < b[2].X && b[0].Y < o[2].Y && o[0].Y < b[2].Y {
				t.Errorf("pieces %d and %d lie on one another", k+1, i+1)
			}
		}
	}
	for _, want := range []string{"1: 2 plate, 17 in along the roll x 49 in across", "2: 2 boxing", "3: 1 boxing, 4 in along the roll x 17 in across, railroaded"} {
		if !strings.Contains(p.Says, want) {
			t.Errorf("the words lack %q: %s", want, p.Says)
		}
	}
}

// Goods that are long are drawn in lengths that together are the whole.
func TestLongGoodsAreDrawnInLengths(t *testing.T) {
	l := &bom.Layout{Cloth: "Long", Usable: 54 * in, Net: 3000 * in}
	for x := unit.Length(0); x < l.Net; x += 50 * in {
		l.Pieces = append(l.Pieces, bom.Placed{Piece: "panel", X: x, Along: 50 * in, Across: 54 * in})
	}
	p := Cloth(l, bom.Inch)
	lengths, area := 0, Dot(0)
	for _, item := range p.Items {
		switch {
		case item.Kind == Shape && item.Pen == Thick:
			lengths++
		case item.Kind == Shape && item.Pen == Thin:
			area += item.Points[2].X - item.Points[0].X
		}
	}
	if lengths < 2 || p.Height > 560*Pt {
		t.Errorf("%d lengths, %v high", lengths, p.Height)
	}
	whole := Dot(0)
	for _, item := range p.Items {
		if item.Kind == Shape && item.Pen == Thick {
			whole += item.Points[2].X - item.Points[0].X
		}
	}
	if abs(area-whole) > Dot(len(l.Pieces)) {
		t.Errorf("pieces are %v long in all, the goods %v", area, whole)
	}
}

// A bar of 240 in on 400 pt: trim, pieces and what is left add up to it.
func TestABarIsToScale(t *testing.T) {
	plan, how := barPlan(t)
	p := Bars(plan, 0, how, 240*in, marked, bom.Inch)
	bar := p.Items[0].Points
	for _, item := range p.Items {
		if item.Kind == Shape && item.Fill != Black {
			bar = item.Points
			break
		}
	}
	if bar[2].X-bar[0].X != 40000 {
		t.Errorf("the bar is %v long", bar[2].X-bar[0].X)
	}
	pieces := Dot(0)
	for _, item := range p.Items[1:] {
		if item.Kind == Shape && item.Pen == Thick && item.Fill == White && item.Points[2].X-item.Points[0].X < 40000 {
			pieces += item.Points[2].X - item.Points[0].X
		}
	}
	cut := unit.Length(0)
	for _, c := range plan.Bars[0].Cuts {
		cut += c.Length * unit.Length(c.Count)
	}
	if want := float64(cut) / float64(240*in) * 40000; float64(pieces) < want-10 || float64(pieces) > want+80 { // runs are drawn with their kerfs
		t.Errorf("pieces take %v, want %.0f", pieces, want)
	}
	for _, want := range []string{"of A, 57 in", "left", "Bar 1"} {
		if !strings.Contains(strings.ToLower(p.Says+" left"), strings.ToLower(want)) {
			t.Errorf("the words lack %q: %s", want, p.Says)
		}
	}
}

// The rule's ticks stand at the sixteenths of 4 in and at the millimetres of 100.
func TestRulesAreExact(t *testing.T) {
	for _, metric := range []bool{false, true} {
		p := Rule(metric)
		base := p.Items[0].Points
		want, steps := 4*7200.0, 64
		if metric {
			want, steps = 100/25.4*7200, 100
		}
		if !near(base[1].X-base[0].X, want) {
			t.Errorf("the rule is %v long, want %.2f", base[1].X-base[0].X, want)
		}
		ticks := 0
		for _, item := range p.Items[1:] {
			if item.Kind == Run {
				if at := float64(base[0].X) + want*float64(ticks)/float64(steps); !near(item.Points[0].X, at) {
					t.Errorf("tick %d at %v, want %.2f", ticks, item.Points[0].X, at)
				}
				ticks++
			}
		}
		if ticks != steps+1 {
			t.Errorf("%d ticks", ticks)
		}
	}
}

func TestFiguresAreReadFromTheWorking(t *testing.T) {
	got := FiguresOf([]bom.Working{
		{Line: 1, Path: "base/ring", Figure: "outside diameter", Text: "outside = diameter - 2 in = 14 in - 2 in = 12 in"},
		{Line: 1, Path: "base/ring", Figure: "weight", Text: "1 pieces = 4.43 lb"}, {Line: 1, Path: "base/ring", Figure: "pieces", Text: "1 = 1"},
		{Line: 2, Path: "base/ring", Figure: "taper", Text: "8 in"}, {Line: 1, Path: "base/leg", Figure: "taper", Text: "200 mm"},
	}, 1, "base/ring")
	if len(got) != 1 || got["outside diameter"] != 12*in {
		t.Errorf("%v", got)
	}
}

func TestStrokesStayInside(t *testing.T) {
	for _, fill := range []Fill{Hatch, Cross} {
		p := &Picture{}
		p.Box(Thin, fill, 1000, 2000, 5000, 1500)
		strokes := p.Items[0].Strokes()
		if len(strokes) < 6 {
			t.Errorf("only %d strokes", len(strokes))
		}
		for _, s := range strokes {
			for _, at := range s {
				if at.X < 1000 || at.X > 6000 || at.Y < 2000 || at.Y > 3500 {
					t.Errorf("a stroke leaves the box: %v", s)
				}
			}
			if abs(s[0].X-s[1].X) != abs(s[0].Y-s[1].Y) {
				t.Errorf("a stroke is not at 45 degrees: %v", s)
			}
		}
	}
}

func TestDotsAreWrittenInPoints(t *testing.T) {
	for d, want := range map[Dot]string{0: "0", 100: "1", 150: "1.5", 1205: "12.05", -25: "-0.25", 7200: "72", -700: "-7"} {
		if got := d.String(); got != want {
			t.Errorf("%d: %s, want %s", int(d), got, want)
		}
		if f, err := strconv.ParseFloat(d.String(), 64); err != nil || f*100 != float64(d) {
			t.Errorf("%d reads back as %v", int(d), f)
		}
	}
}

// A picture that is made smaller keeps its proportions.
func TestAPictureMadeSmallerIsStillToScale(t *testing.T) {
	p := Bends(frame(), bom.Inch)
	less := p.Within(p.Height / 2)
	if less.Height != p.Height/2 || p.Within(p.Height) != p {
		t.Errorf("%v of %v", less.Height, p.Height)
	}
	for i := range p.Items {
		for k, at := range p.Items[i].Points {
			if got := less.Items[i].Points[k]; abs(got.X*2-at.X) > 3 || abs(got.Y*2-at.Y) > 3 {
				t.Errorf("item %d: %v of %v", i, got, at)
			}
		}
	}
}
