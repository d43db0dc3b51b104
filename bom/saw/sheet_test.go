package saw

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// panelSaw cuts 1/8 in wide, trims 1/2 in at each edge and keeps what measures
// 6 in in both sides.
var panelSaw = SheetSaw{Kerf: unit.Inch / 8, Trim: unit.Inch / 2, Keep: 6 * unit.Inch}

func sheetOf(length, width string, price unit.Money) StockSheet {
	return StockSheet{Length: inches(length), Width: inches(width), Price: price, Limit: cutting.Unlimited}
}

func panel(order, row, length, width string, count int64) SheetPiece {
	return SheetPiece{Mark: order + " " + row, Order: order, Row: row, Length: inches(length), Width: inches(width), Count: count, Turn: true}
}

func laidOut(t testing.TB, list *SheetList) *SheetPlan {
	t.Helper()
	plan, err := ReckonSheets(list, cutting.Options{Work: 200_000_000})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Verify(); err != nil {
		t.Fatal(err)
	}
	return plan
}

// By hand: a sheet of 97 x 49 in gives 96 x 48 in between its trims. Pieces of
// 31 7/8 x 15 7/8 in with their kerf are 32 x 16 in:
//
//	3 x 31 7/8 + 2/8 = 95 7/8 in of 96, 3 x 15 7/8 + 2/8 = 47 7/8 in of 48: 9 on a sheet
//	18 x 32 x 16 = 9216 in2 of 96 1/8 x 48 1/8 = 4626 in2 a sheet: no fewer than 2
//
// Order by order 10 and 8 of them take 2 and 1 sheets: 3.
func panels() []SheetPiece {
	return []SheetPiece{panel("7K3M-9QXD", "1/shelf", "31 7/8", "15 7/8", 10), panel("2B8T-44ZP", "2/shelf", "31 7/8", "15 7/8", 8)}
}

func TestSheetsByHand(t *testing.T) {
	list := &SheetList{Kind: bom.KindBlank, Item: "ply 3/4 in", Name: "Plywood", Pieces: panels(), Stock: []StockSheet{sheetOf("97", "49", 6150)}, Saw: panelSaw}
	plan := laidOut(t, list)
	if plan.Bought != 2 || *plan.FewestMay != 2 || *plan.Cost.Price != 12300 || *plan.Bound.Price != 12300 || plan.Status != cutting.ByBound || plan.SheetCount() != 2 {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	// 2 x 97 x 49 - 18 x 31 7/8 x 15 7/8 in2 = 9506 - 9108 9/32 = 397 23/32 in2.
	if want := (2*97*49*unit.SquareInch - 18*areaOf(inches("31 7/8"), inches("15 7/8"))); unit.Area(plan.Waste) != want || plan.Kept != 0 {
		t.Errorf("waste %s, want %s; kept %s", plan.Waste.In(bom.Inch), bom.Surface(want).In(bom.Inch), plan.Kept.In(bom.Inch))
	}
	alone := int64(0)
	for _, p := range panels() {
		alone += laidOut(t, &SheetList{Pieces: []SheetPiece{p}, Stock: list.Stock, Saw: panelSaw}).Bought
	}
	if alone != 3 {
		t.Errorf("order by order %d sheets, by hand 3: whole sheets do not add", alone)
	}
	list.Pieces[0].Count++
	if plan = laidOut(t, list); plan.Bought != 3 {
		t.Errorf("19 pieces are on %d sheets, by hand on 3", plan.Bought)
	}
}

// A piece whose grain runs along the sheet is never turned: of 40 x 90 in the
// sheet of 97 x 49 in gives one, if it may be turned.
func TestGrainKeepsAPieceFromTurning(t *testing.T) {
	list := &SheetList{Pieces: []SheetPiece{panel("7K3M-9QXD", "1/door", "40", "90", 1)}, Stock: []StockSheet{sheetOf("97", "49", 0)}, Saw: panelSaw}
	plan := laidOut(t, list)
	if one := plan.SheetLayout[0].Pieces[0]; !one.Turned || one.Length != inches("90") || plan.Least != LeastSheets || *plan.Cost.Sheets != 1 {
		t.Errorf("%+v", plan.SheetLayout)
	}
	list.Pieces[0].Turn = false
	_, err := ReckonSheets(list, cutting.Options{})
	var refused *Refused
	if !errors.As(err, &refused) || !refused.NoRoom() || !strings.Contains(err.Error(), "40 in x 90 in, which may not be turned, is larger than any sheet gives: the largest gives 96 in x 48 in") {
		t.Errorf("%v", err)
	}
}

// Offcuts cost nothing and go first; without prices and with several sizes the
// area counts; a leftover of 6 in in both sides is kept.
func TestSheetOffcutsAndSizes(t *testing.T) {
	list := &SheetList{Pieces: []SheetPiece{panel("A", "1/seat", "19", "19", 3)}, Saw: panelSaw,
		Stock: []StockSheet{sheetOf("97", "49", 5000), {Length: inches("41"), Width: inches("20"), Limit: 1, Offcut: true}}}
	// The offcut gives 40 x 19 in: two of 19 in and a kerf.
	plan := laidOut(t, list)
	if plan.Bought != 1 || len(plan.Offcuts) != 1 || plan.Kept == 0 {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	list.Pieces[0].Count = 2
	if plan = laidOut(t, list); plan.Bought != 0 || *plan.Bound.Price != 0 || plan.Status != cutting.ByBound {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	list.Stock = []StockSheet{sheetOf("97", "49", 0), sheetOf("49", "49", 0)}
	if plan = laidOut(t, list); plan.Least != LeastArea || plan.Cost.Area == nil || plan.Buy[0].Length != inches("49") || plan.FewestMay != nil {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	// A price decides against the area: the dear small sheet stays.
	list.Stock[0].Price, list.Stock[1].Price = 5000, 5100
	if plan = laidOut(t, list); plan.Least != LeastPrice || plan.Buy[0].Length != inches("97") {
		t.Errorf("%s", plan.Text(bom.Inch))
	}
	list.Stock = []StockSheet{{Length: inches("20"), Width: inches("20"), Limit: 1}}
	_, err := ReckonSheets(list, cutting.Options{})
	var refused *Refused
	if !errors.As(err, &refused) || !refused.NoRoom() {
		t.Errorf("two pieces on the one sheet there is: %v", err)
	}
}

func TestFaultsOfSheets(t *testing.T) {
	for says, list := range map[string]*SheetList{
		"there are no sheets to cut from":               {Pieces: panels()},
		"a sheet of 0 in x 49 in is none":               {Stock: []StockSheet{sheetOf("0", "49", 0)}},
		"trims of 30 in at each edge leave nothing":     {Stock: []StockSheet{sheetOf("97", "49", 0)}, Saw: SheetSaw{Trim: 30 * unit.Inch}},
		"the kerf of 60 in is as wide as the sheet":     {Stock: []StockSheet{sheetOf("97", "49", 0)}, Saw: SheetSaw{Kerf: 60 * unit.Inch}},
		"1 stages of cuts are none":                     {Stock: []StockSheet{sheetOf("97", "49", 0)}, Saw: SheetSaw{Stages: 1}},
		"a count of 0 is not from 1 to":                 {Stock: []StockSheet{sheetOf("97", "49", 0)}, Pieces: []SheetPiece{panel("", "", "9", "9", 0)}},
		"a piece of 0 in x 9 in is none":                {Stock: []StockSheet{sheetOf("97", "49", 0)}, Pieces: []SheetPiece{panel("", "", "0", "9", 1)}},
		"are more than can be added up":                 {Stock: []StockSheet{sheetOf("97", "49", 0)}, Pieces: []SheetPiece{panel("", "", "9", "9", cutting.MaxCount)}},
		"is longer than the 100000000000":               {Stock: []StockSheet{{Length: unit.Length(cutting.MaxSide) + 1, Width: unit.Inch, Limit: 1}}},
		"the trim -1/2 in is less than nothing; write ": {Stock: []StockSheet{sheetOf("97", "49", 0)}, Saw: SheetSaw{Trim: -unit.Inch / 2}},
	} {
		_, err := ReckonSheets(list, cutting.Options{})
		var refused *Refused
		says = strings.Replace(says, "100000000000", unit.Length(cutting.MaxSide).String(), 1)
		if !errors.As(err, &refused) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q is not told: %v", says, err)
		}
	}
}

// Whatever is asked for, each piece lies on one sheet, a kerf from every other.
func TestEveryPieceIsOnASheetOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := &SheetList{Saw: SheetSaw{Kerf: unit.Inch / 8 * unit.Length(rapid.IntRange(0, 2).Draw(t, "kerf")), Trim: unit.Inch / 4 * unit.Length(rapid.IntRange(0, 3).Draw(t, "trim")),
			Stages: rapid.SampledFrom([]int{0, 0, 2, 3}).Draw(t, "stages"), Keep: 5 * unit.Inch * unit.Length(rapid.IntRange(0, 1).Draw(t, "keep"))}}
		list.Stock = []StockSheet{sheetOf("98", "50", unit.Money(rapid.IntRange(0, 3).Draw(t, "price")*1000)), {Length: inches("40"), Width: inches("30"), Limit: int64(rapid.IntRange(0, 2).Draw(t, "offcuts")), Offcut: true}}
		if rapid.Bool().Draw(t, "two sizes") {
			list.Stock = append(list.Stock, sheetOf("60", "60", unit.Money(rapid.IntRange(0, 3).Draw(t, "other price")*900)))
		}
		for i := range rapid.IntRange(1, 5).Draw(t, "lines") {
			p := panel("O", strconv.Itoa(i), strconv.Itoa(rapid.IntRange(2, 90).Draw(t, "length")), strconv.Itoa(rapid.IntRange(2, 46).Draw(t, "width")), int64(rapid.IntRange(1, 7).Draw(t, "count")))
			p.Turn = rapid.Bool().Draw(t, "turn")
			list.Pieces = append(list.Pieces, p)
		}
		plan, err := ReckonSheets(list, cutting.Options{Work: 3_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Verify(); err != nil {
			t.Fatalf("%v\n%s", err, plan.Text(bom.Inch))
		}
	})
}

func mixedPanels() *SheetList {
	pieces := append(panels(), panel("5C1V-08RA", "1/door", "40", "30", 2), panel("5C1V-08RA", "2/back", "60", "20", 1))
	pieces[3].Turn = false
	return &SheetList{Kind: bom.KindBlank, Item: "ply 3/4 in", Name: "Plywood", Pieces: pieces, Saw: panelSaw,
		Stock: []StockSheet{sheetOf("97", "49", 6150), {Length: inches("42"), Width: inches("32"), Limit: 1, Offcut: true}}}
}

func TestSheetDrawingsAndTexts(t *testing.T) {
	plan := laidOut(t, mixedPanels())
	var svg strings.Builder
	if err := DrawSheets(&svg, "Week 2026-W52", []*SheetPlan{plan}, bom.Inch); err != nil {
		t.Fatal(err)
	}
	wellFormed(t, svg.String())
	golden(t, "sheets.svg", svg.String())
	golden(t, "sheets.txt", plan.Text(bom.Inch))
	rows := plan.Rows(NumberIn(bom.Inch))
	if len(rows[0]) != len(SheetHeads(bom.Inch)) || rows[0][0] != "ply 3/4 in" {
		t.Errorf("%v", rows[0])
	}
}

// The drawing is to scale: the area of what is drawn within each sheet, pieces,
// kerfs and what is left, is that of what trimming leaves, but for what kerfs
// crossing into waste take twice; and every piece keeps its proportion.
func TestASheetDrawingIsToScale(t *testing.T) {
	list := mixedPanels()
	plan := laidOut(t, list)
	var svg strings.Builder
	if err := DrawSheets(&svg, "", []*SheetPlan{plan}, bom.Inch); err != nil {
		t.Fatal(err)
	}
	found := regexp.MustCompile(`<g><title>([^<]*)</title><rect x="[0-9.]+" y="[0-9.]+" width="([0-9.]+)" height="([0-9.]+)" fill="(white|url\(#(?:keep|waste)\))"`).FindAllStringSubmatch(svg.String(), -1)
	pieces := 0
	for _, m := range found {
		width, _ := strconv.ParseFloat(m[2], 64)
		height, _ := strconv.ParseFloat(m[3], 64)
		sides := regexp.MustCompile(`^(?:left )?(.*?) x (.*?) at `).FindStringSubmatch(m[1])
		l, err1 := unit.ParseLength(sides[1])
		w, err2 := unit.ParseLength(sides[2])
		if err1 != nil || err2 != nil {
			t.Fatalf("%q: %v %v", m[1], err1, err2)
		}
		// 97 in are 1160 wide.
		scale := 1160.0 / float64(97*unit.Inch)
		if d := float64(l)*scale - width; d > 0.01 || d < -0.01 {
			t.Errorf("%s is drawn %.2f wide", m[1], width)
		}
		if d := float64(w)*scale - height; d > 0.01 || d < -0.01 {
			t.Errorf("%s is drawn %.2f high", m[1], height)
		}
		if m[4] == "white" {
			pieces++
		}
	}
	laid := 0
	for i := range plan.SheetLayout {
		laid += len(plan.SheetLayout[i].Pieces)
	}
	if pieces != laid || laid == 0 {
		t.Errorf("%d pieces are drawn of %d", pieces, laid)
	}
	for _, words := range []string{`<desc id="drawing-says">`, "5C1V-08RA 1/door", "from the rack", "url(#trim)", "divide the length of"} {
		if !strings.Contains(svg.String(), words) {
			t.Errorf("the drawing does not have %q", words)
		}
	}
	// What a person wrote stays text.
	list.Pieces[0].Mark = `</text><script>alert(1)</script>`
	svg.Reset()
	if err := DrawSheets(&svg, "", []*SheetPlan{laidOut(t, list)}, bom.Metric); err != nil || strings.Contains(svg.String(), "<script") {
		t.Errorf("a mark is in the drawing as it is: %v", err)
	}
	wellFormed(t, svg.String())
}

func TestReadSheetPieces(t *testing.T) {
	needs, faults := ReadSheetPieces(strings.NewReader("length,width,count,mark,group,grain\n24 in,12 in,3,shelf,ply,yes\n30 in,20 in,,back,mdf,\n24 in,12 in,1,end,ply,no\n"), false)
	if len(faults) > 0 || len(needs) != 2 || needs[0].Item != "ply" || len(needs[0].Pieces) != 2 || needs[0].Pieces[0].Turn || !needs[0].Pieces[1].Turn || needs[1].Pieces[0].Count != 1 || !needs[1].Pieces[0].Turn {
		t.Errorf("%+v %+v", needs, faults)
	}
	_, faults = ReadSheetPieces(strings.NewReader("length,width,count,grain\n24,12 in,3,\n24 in,-1 in,0,across\n"), true)
	var got []string
	for _, f := range faults {
		got = append(got, strconv.Itoa(f.Line)+" "+f.Field)
	}
	if strings.Join(got, ", ") != "2 length, 3 width, 3 count, 3 grain" {
		t.Errorf("%v %+v", got, faults)
	}
	if _, faults = ReadSheetPieces(strings.NewReader("length,count\n24 in,3\n"), false); len(faults) != 1 || faults[0].Field != "width" {
		t.Errorf("%+v", faults)
	}
}

func TestParseSheet(t *testing.T) {
	for text, want := range map[string]StockSheet{
		"96 in x 48 in @ 61.50":     {Length: inches("96"), Width: inches("48"), Price: 6150, Limit: -1},
		"8 ft x 4 ft":               {Length: inches("96"), Width: inches("48"), Limit: -1},
		"96 in x 48 in x 3":         {Length: inches("96"), Width: inches("48"), Limit: 3},
		"96 in x 48 in @ 61.50 x 3": {Length: inches("96"), Width: inches("48"), Price: 6150, Limit: 3},
	} {
		if got, err := ParseSheet(text); err != nil || got != want {
			t.Errorf("%q: %+v %v", text, got, err)
		}
	}
	for _, text := range []string{"", "96 in", "96 x 48", "96 in x 48 in x 0", "96 in x 48 in @ 0", "96 in x 48 in x 2 @ 3.00 x 2", "0 in x 4 in", "a x b x c x d", "96 in x 48 in @ x"} {
		if got, err := ParseSheet(text); err == nil {
			t.Errorf("%q is read as %+v", text, got)
		}
	}
	if got, faults := ParseSheetOffcuts("30 in x 20 in, 48 in x 24 in x 3"); len(faults) > 0 || len(got) != 2 || got[0].Count != 1 || got[1].Count != 3 {
		t.Errorf("%+v %+v", got, faults)
	}
	if _, faults := ParseSheetOffcuts("30 in x 20 in, wide, 3 in x 2 in @ 4.00"); len(faults) != 2 || faults[0].Line != 2 || faults[1].Line != 3 {
		t.Errorf("%+v", faults)
	}
}
