package bom_test

import (
	"fmt"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog/unit"
)

// soundLayouts holds every layout of a bill against what is true of each: pieces
// lie within the goods and not on one another, the runs of the rows add up to
// the net, and every piece of every cushion is there.
func soundLayouts(fail failing, bill *bom.Bill) {
	placed := map[string]int{} // by line, cushion and piece
	for _, layout := range bill.Layouts() {
		soundLayout(fail, &layout)
		for _, p := range layout.Pieces {
			name, _, _ := strings.Cut(p.Piece, ", ")
			if name != p.Piece && !strings.Contains(p.Piece, ", width 1 of ") {
				continue // one of several widths, or a bias square
			}
			placed[fmt.Sprint(p.Line, p.For, name)]++
		}
	}
	for i := range bill.Lines {
		line := &bill.Lines[i]
		leathers := map[string]bool{}
		for k := range line.Cloth {
			leathers[line.Cloth[k].Cloth] = line.Cloth[k].Hides > 0
		}
		for k := range line.Cushions {
			c := &line.Cushions[k]
			for _, panel := range c.Cut {
				of := c.Cloth
				if panel.Contrast {
					of = c.Contrast
				}
				if got := placed[fmt.Sprint(line.Line, c.Path, panel.Name)]; got != panel.Pieces && !panel.Bias && !leathers[of] {
					fail("line %d, %s: %d of %d of %s are laid out", line.Line, c.Path, got, panel.Pieces, panel.Name)
				}
			}
		}
	}
}

func soundLayout(fail failing, layout *bom.Layout) {
	if len(layout.Pieces) == 0 {
		fail("%s: nothing is laid out", layout.Path)
	}
	end := unit.Length(0) // of all rows before
	row := 0
	var before bom.Placed
	for i, p := range layout.Pieces {
		if p.Along <= 0 || p.Across <= 0 || p.Y < 0 || p.Y+p.Across > layout.Usable || p.X+p.Along > layout.Net {
			fail("%s: %+v lies outside %s x %s", layout.Path, p, layout.Net, layout.Usable)
		}
		switch {
		case p.Row == row && (p.X != before.X || p.Y < before.Y+before.Across):
			fail("%s: %+v lies on %+v", layout.Path, p, before)
		case p.Row != row && (p.Row != row+1 || p.X < end):
			fail("%s: row %d of %+v after row %d, which ends at %s", layout.Path, p.Row, p, row, end)
		}
		row, before, end = p.Row, p, max(end, p.X+p.Along)
		if i == len(layout.Pieces)-1 && end > layout.Net {
			fail("%s ends at %s of %s", layout.Path, end, layout.Net)
		}
	}
}

// A layout drawn by hand: three seat plates of 25 x 25 in, matched across in a
// repeat of 14 in, from 55 in: the second starts at 28 in, a third at 56 in does
// not fit. In a repeat of 12 in along each row takes 36 in.
func TestALayoutByHand(t *testing.T) {
	bill := explode(t, read(t), 1, "orrest-settee", "seats=3; cloth=kestrel-plaid")
	layouts := bill.Layouts()
	if len(layouts) != 2 || layouts[0].Path != "seat-cushion/cloth" || layouts[1].Path != "back-cushion/cloth" || layouts[0].Line != 1 {
		t.Fatalf("layouts %+v", layouts)
	}
	var got []string
	for _, p := range layouts[0].Pieces[:8] {
		got = append(got, fmt.Sprintf("%d %s at %s, %s: %s x %s for %s", p.Row, p.Piece, p.X, p.Y, p.Along, p.Across, p.For))
	}
	want := []string{
		"1 plate at 0 in, 0 in: 25 in x 25 in for seat-cushion", "1 plate at 0 in, 28 in: 25 in x 25 in for seat-cushion",
		"2 plate at 36 in, 0 in: 25 in x 25 in for seat-cushion", "2 plate at 36 in, 28 in: 25 in x 25 in for seat-cushion",
		"3 plate at 72 in, 0 in: 25 in x 25 in for seat-cushion", "3 plate at 72 in, 28 in: 25 in x 25 in for seat-cushion",
		// boxing 96 - 28 + 1 = 69 in: one width of 55 and a rest of 69 - 54 = 15 in
		"4 boxing, width 1 of 2 at 108 in, 0 in: 6 in x 55 in for seat-cushion", "5 boxing, width 1 of 2 at 114 in, 0 in: 6 in x 55 in for seat-cushion",
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("piece %d: %s, want %s", i+1, got[i], want[i])
		}
	}
}

// A bill that was read back has lost what it was laid from.
func TestAReadBillHasNoLayouts(t *testing.T) {
	bill := explode(t, read(t), 1, "pell-stool", "")
	if len(bill.Layouts()) != 1 {
		t.Errorf("%d layouts of a stool", len(bill.Layouts()))
	}
	bill.Lines[0].Cloth[0] = bom.ClothRow{Path: "cushion/cloth", Net: unit.Inch}
	if got := bill.Layouts(); len(got) != 0 {
		t.Errorf("layouts of nothing: %+v", got)
	}
}

// What cushions add to a bill is metric on a metric one, and so are layouts and
// what is said of own material.
func TestCushionsInMetric(t *testing.T) {
	cat := edited(t, "", "units: inch", "units: metric")
	bill, _ := explodeOrder(t, cat, lineOf{1, "orrest-armchair", "cloth=linden-linen; arms=set-back"}, lineOf{2, "mallin-stool", "cloth=linden-linen; piped=contrast"})
	check, err := checkOwn(t, cat, 4, "pell-stool", "cloth=own; own_width=54 in; own_repeat=0 in", "cushion/cloth", bom.Received{Length: unit.Metre, Usable: unit.Metre})
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range []any{bill.Lines[0].Cushions, bill.Lines[1].Cloth, bill.Pooled, bill.Layouts(), check} {
		document, err := bom.Document(bom.Metric, of)
		if err != nil {
			t.Fatal(err)
		}
		text := string(document)
		for _, name := range []string{"Zip chain by length, size 5", "Locking slider for size 5 chain", "Piping cord, 5/32 in", "Polyester fibre wrap, 3/4 in", "Seat foam, 2.8 lb", "Panel foam, 1.8 lb", " in a row"} {
			text = strings.ReplaceAll(text, name, "")
		}
		for _, imperial := range []string{` in"`, ` in `, ` in,`, ` in)`, ` lb`, ` ft2`, ` yd`} {
			if at := strings.Index(text, imperial); at >= 0 {
				t.Errorf("%q in %s", imperial, text[max(0, at-80):at+8])
			}
		}
		if !strings.Contains(text, " mm") {
			t.Errorf("no millimetre in %s", text)
		}
	}
}
