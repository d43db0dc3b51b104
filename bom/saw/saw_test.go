package saw

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

func inches(text string) unit.Length {
	l, err := unit.ParseLength(text + " in")
	if err != nil {
		panic(err)
	}
	return l
}

// shopSaw cuts 1/8 in wide, trims 1/2 in at both ends and keeps from 24 in.
var shopSaw = Saw{Kerf: unit.Inch / 8, TrimStart: unit.Inch / 2, TrimEnd: unit.Inch / 2, Keep: 24 * unit.Inch}

func bar(length string, price unit.Money) Stock {
	return Stock{Length: inches(length), Price: price, Limit: cutting.Unlimited}
}

func piece(order, row, length string, count int64) Piece {
	return Piece{Mark: order + " " + row, Order: order, Row: row, Length: inches(length), Count: count}
}

func reckoned(t testing.TB, list *List) *Plan {
	t.Helper()
	plan, err := Reckon(list, cutting.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Verify(); err != nil {
		t.Fatal(err)
	}
	return plan
}

// The week by hand: bars of 240 in give 239 in between their trims, and a kerf
// more than that counts for pieces each longer by a kerf: 239 1/8 in.
//
//	8 x 57 1/8 + 4 x 69 1/8 + 2 x 100 1/8 = 457 + 276 1/2 + 200 1/4 = 933 3/4
//	933 3/4 / 239 1/8 = 3.9, so no plan takes fewer than 4 bars
//	2 bars of 100 1/8 + 2 x 69 1/8 = 238 3/8, leaving 239 - 238 3/8 = 5/8
//	2 bars of 4 x 57 1/8 = 228 1/2, leaving 239 - 228 1/2 = 10 1/2
//
// so 4 bars are the fewest. Each order by itself takes 2, 2 and 1: 5 bars.
func week() []Piece {
	return []Piece{
		piece("7K3M-9QXD", "1/base/leg", "57", 8),
		piece("2B8T-44ZP", "1/base/rail", "69", 4),
		piece("5C1V-08RA", "2/base/long", "100", 2),
	}
}

func TestAWeekByHand(t *testing.T) {
	plan := reckoned(t, &List{Section: "square-bar-1", Name: "1 in square bar", Pieces: week(), Stock: []Stock{bar("240", 7900)}, Saw: shopSaw})
	want := []Bar{
		{Number: 1, Count: 2, Length: inches("240"), Leftover: inches("5/8"), Cuts: []Cut{
			{Count: 1, Length: inches("100"), Mark: "5C1V-08RA 2/base/long", Order: "5C1V-08RA", Row: "2/base/long"},
			{Count: 2, Length: inches("69"), Mark: "2B8T-44ZP 1/base/rail", Order: "2B8T-44ZP", Row: "1/base/rail"}}},
		{Number: 3, Count: 2, Length: inches("240"), Leftover: inches("10 1/2"), Cuts: []Cut{
			{Count: 4, Length: inches("57"), Mark: "7K3M-9QXD 1/base/leg", Order: "7K3M-9QXD", Row: "1/base/leg"}}},
	}
	if !reflect.DeepEqual(plan.Bars, want) {
		t.Errorf("cut as\n%+v, want\n%+v", plan.Bars, want)
	}
	// 4 x 240 - 8 x 57 - 4 x 69 - 2 x 100 = 960 - 932 = 28 in, no leftover kept.
	if *plan.Cost.Price != 4*7900 || *plan.Bound.Price != 4*7900 || plan.Status != cutting.ByBound || plan.Bought != 4 || *plan.LeastBars != 4 || plan.Waste != inches("28") || plan.Kept != 0 {
		t.Errorf("%s, %d bars, waste %s", plan.Proof(bom.Inch), plan.Bought, plan.Waste)
	}
	alone := int64(0)
	for _, p := range week() {
		alone += reckoned(t, &List{Pieces: []Piece{p}, Stock: []Stock{bar("240", 7900)}, Saw: shopSaw}).Bought
	}
	if alone != 5 {
		t.Errorf("order by order %d bars, by hand 5: whole bars do not add", alone)
	}
}

// Kerf and trim as the standards place them, by hand: two pieces of 119 in and a
// kerf of 1 in are 239 in, which a bar of 240 in gives with one end trimmed by 1
// in; a saw that cuts after every piece takes 240 in and another bar.
func TestWhereKerfAndTrimFall(t *testing.T) {
	for _, c := range []struct {
		says string
		saw  Saw
		bars int64
	}{
		{"between pieces, one end", Saw{Kerf: unit.Inch, TrimStart: unit.Inch}, 1},
		{"between pieces, both ends", Saw{Kerf: unit.Inch, TrimStart: unit.Inch, TrimEnd: unit.Inch}, 2},
		{"after every piece, one end", Saw{Kerf: unit.Inch, AfterEvery: true, TrimStart: unit.Inch}, 2},
		{"after every piece, no end", Saw{Kerf: unit.Inch, AfterEvery: true}, 1},
	} {
		plan := reckoned(t, &List{Pieces: []Piece{{Length: 119 * unit.Inch, Count: 2}}, Stock: []Stock{bar("240", 0)}, Saw: c.saw})
		if plan.Bought != c.bars || plan.Least != LeastBars || *plan.Cost.Bars != c.bars {
			t.Errorf("%s: %d bars, want %d", c.says, plan.Bought, c.bars)
		}
	}
}

// Offcuts cost nothing and go first; what is left of a bar from 24 in is kept.
func TestOffcutsGoFirst(t *testing.T) {
	list := &List{Pieces: []Piece{{Mark: "stretcher", Length: inches("48"), Count: 3}}, Saw: shopSaw,
		Stock: []Stock{bar("240", 7900), {Length: inches("100"), Limit: 1, Offcut: true}}}
	plan := reckoned(t, list)
	// The offcut gives 2 x 48 + 1/8 of 99 in; the bar leaves 239 - 48 1/8.
	if plan.Bought != 1 || len(plan.Offcuts) != 1 || plan.Offcuts[0].Bars != 1 || plan.Kept != inches("190 7/8") {
		t.Errorf("%+v", plan)
	}
	list.Pieces[0].Count = 2
	if plan = reckoned(t, list); plan.Bought != 0 || *plan.Bound.Price != 0 || plan.Status == cutting.NotProved {
		t.Errorf("two pieces that the offcut holds: %s", plan.Text(bom.Inch))
	}
}

// What the plan has the least of hangs on the prices: a dear short bar loses
// against a long one, and without prices the length of steel counts.
func TestWhatIsLeast(t *testing.T) {
	pieces := []Piece{{Length: inches("100"), Count: 2}}
	for _, c := range []struct {
		stock  []Stock
		least  string
		amount string
		longs  bool
	}{
		{[]Stock{bar("144", 5000), bar("288", 4800)}, LeastPrice, "48.00", true},
		{[]Stock{bar("144", 2000), bar("288", 4800)}, LeastPrice, "40.00", false},
		{[]Stock{bar("144", 2000), bar("240", 0)}, LeastLength, "240 in", true},
		{[]Stock{bar("120", 0), bar("288", 0)}, LeastLength, "240 in", false},
	} {
		plan := reckoned(t, &List{Pieces: pieces, Stock: c.stock, Saw: shopSaw})
		if plan.Least != c.least || plan.Cost.In(bom.Inch) != c.amount || plan.Buy[0].Length > inches("144") != c.longs {
			t.Errorf("%v: least %s, %s, of %s", c.stock, plan.Least, plan.Cost.In(bom.Inch), plan.Buy[0].Length)
		}
		if plan.LeastBars != nil {
			t.Errorf("%v: the fewest bars of two lengths are said to be %d", c.stock, *plan.LeastBars)
		}
	}
}

// Instances whose optimum others published, as marked pieces of an eighth of an
// inch: testdata/cutting/SOURCES.md says by whom.
func TestPublishedOptimaWithMarks(t *testing.T) {
	for _, set := range []string{"falkenauer_u", "falkenauer_t", "schwerin_1"} {
		file, err := os.Open("../../testdata/cutting/" + set + ".jsonl")
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		lines := bufio.NewScanner(file)
		lines.Buffer(nil, 1<<24)
		for n := 0; n < 2 && lines.Scan(); n++ {
			var in struct {
				Name     string
				Capacity int64
				Pieces   [][]int64
				Optimum  int64
			}
			if err := json.Unmarshal(lines.Bytes(), &in); err != nil {
				t.Fatal(err)
			}
			const grain = unit.Inch / 8
			list := &List{Section: in.Name, Stock: []Stock{{Length: unit.Length(in.Capacity) * grain, Limit: cutting.Unlimited}}}
			for i, p := range in.Pieces {
				list.Pieces = append(list.Pieces, Piece{Mark: fmt.Sprint("row ", i), Length: unit.Length(p[0]) * grain, Count: p[1]})
			}
			if plan := reckoned(t, list); plan.Bought != in.Optimum || *plan.LeastBars != in.Optimum || plan.Status == cutting.NotProved {
				t.Errorf("%s: %s; published are %d bars", in.Name, plan.Proof(bom.Inch), in.Optimum)
			}
		}
	}
}

// Whatever is cut, every marked piece is on the bars once, the bars re-add, and
// a mark more or less changes nothing but the marks.
func TestEveryPieceIsOnTheBarsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := &List{Section: "any", Saw: Saw{
			Kerf: unit.Length(rapid.IntRange(0, 4).Draw(t, "kerf")) * unit.Inch / 16, AfterEvery: rapid.Bool().Draw(t, "after every"),
			TrimStart: unit.Length(rapid.IntRange(0, 2).Draw(t, "start")) * unit.Inch / 2, TrimEnd: unit.Length(rapid.IntRange(0, 2).Draw(t, "end")) * unit.Inch / 2,
			Keep: unit.Length(rapid.IntRange(0, 40).Draw(t, "keep")) * unit.Inch}}
		for i := range rapid.IntRange(1, 8).Draw(t, "lines") {
			list.Pieces = append(list.Pieces, Piece{Mark: fmt.Sprint("mark ", i%5), Row: fmt.Sprint(i),
				Length: unit.Length(rapid.IntRange(16, 16*110).Draw(t, "length")) * unit.Inch / 16, Count: int64(rapid.IntRange(1, 9).Draw(t, "count"))})
		}
		list.Stock = []Stock{{Length: 120 * unit.Inch, Price: unit.Money(rapid.IntRange(0, 3000).Draw(t, "short")), Limit: cutting.Unlimited},
			{Length: 240 * unit.Inch, Price: unit.Money(rapid.IntRange(0, 5000).Draw(t, "long")), Limit: cutting.Unlimited},
			{Length: unit.Length(rapid.IntRange(12, 110).Draw(t, "offcut")) * unit.Inch, Limit: 2, Offcut: true}}
		plan, err := Reckon(list, cutting.Options{Work: 20_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if err := plan.Verify(); err != nil {
			t.Fatal(err)
		}
		for i := range list.Pieces {
			list.Pieces[i].Mark = "another"
		}
		again, err := Reckon(list, cutting.Options{Work: 20_000_000})
		if err != nil || again.Cost.In(bom.Inch) != plan.Cost.In(bom.Inch) {
			t.Fatalf("with other marks %v: %v", again.Cost, err)
		}
	})
}

// A deadline that is past still gives a plan that re-adds, and its bound.
func TestADeadlineOfZeroStillPlans(t *testing.T) {
	list := &List{Stock: []Stock{bar("240", 7900), bar("288", 9100)}, Saw: shopSaw}
	for i := range 40 {
		list.Pieces = append(list.Pieces, Piece{Mark: fmt.Sprint(i), Length: inches("20") + unit.Length(i*i)*unit.Inch/16, Count: 3})
	}
	plan, err := Reckon(list, cutting.Options{Stop: func() bool { return true }})
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Verify(); err != nil {
		t.Fatal(err)
	}
	if *plan.Bound.Price > *plan.Cost.Price || plan.Status == cutting.NotProved && !strings.Contains(plan.Proof(bom.Inch), "none can take less than") {
		t.Error(plan.Proof(bom.Inch))
	}
}

func TestEveryFaultOfAListAtOnce(t *testing.T) {
	list := &List{Saw: Saw{Kerf: -1}, Stock: []Stock{{Length: 0, Limit: cutting.Unlimited}, {Length: inches("240"), Price: -5, Limit: -3}},
		Pieces: []Piece{{Length: 0, Count: 1}, {Length: inches("10"), Count: 0}, {Length: inches("10"), Count: 1 << 62}}}
	_, err := Reckon(list, cutting.Options{})
	var refused *Refused
	if !errors.As(err, &refused) || len(refused.Faults) != 7 || refused.NoRoom() {
		t.Fatalf("%v", err)
	}
	for _, want := range []string{"stock, line 1", "price -0.05", "-3 bars", "pieces, line 1", "pieces, line 2", "pieces, line 3", "less than nothing"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not told: %v", want, err)
		}
	}
	if _, err := Reckon(&List{Stock: []Stock{bar("240", 0)}, Pieces: []Piece{{Length: 1, Count: cutting.MaxCount}}}, cutting.Options{}); err == nil || !strings.Contains(err.Error(), "more than can be added up") {
		t.Errorf("a million million pieces: %v", err)
	}
	if _, err := Reckon(&List{Pieces: []Piece{{Length: 1, Count: 1}}}, cutting.Options{}); err == nil || !strings.Contains(err.Error(), "no bars to cut from") {
		t.Errorf("without stock: %v", err)
	}
}

// Pieces that are understood and have no room are told apart from faults.
func TestPiecesWithoutRoom(t *testing.T) {
	for _, c := range []struct {
		says  string
		list  List
		wants []string
	}{
		{"longer than a bar", List{Stock: []Stock{bar("240", 0)}, Saw: shopSaw, Pieces: []Piece{{Length: inches("239"), Count: 1}, {Length: inches("239 1/64"), Count: 2}, {Length: inches("300"), Count: 1}}},
			[]string{"line 2: 239 1/64 in is longer than the 239 in that the longest bar gives", "line 3: 300 in is longer"}},
		{"too few bars", List{Stock: []Stock{{Length: inches("240"), Limit: 2}}, Pieces: []Piece{{Length: inches("200"), Count: 3}}}, []string{"1 x 200 in found no room"}},
		{"a kerf as wide as the bar", List{Stock: []Stock{{Length: inches("1"), Limit: 2}}, Saw: Saw{Kerf: unit.Inch}, Pieces: []Piece{{Length: 1, Count: 3}}}, []string{"the kerf of 1 in is as wide as the bar of 1 in is long"}},
		{"trims that eat the bar", List{Stock: []Stock{{Length: inches("1"), Limit: 2}}, Saw: shopSaw, Pieces: []Piece{{Length: 1, Count: 3}}}, []string{"trims of 1 in leave nothing of a bar of 1 in"}},
	} {
		_, err := Reckon(&c.list, cutting.Options{})
		var refused *Refused
		if !errors.As(err, &refused) {
			t.Errorf("%s: %v", c.says, err)
			continue
		}
		if room := refused.NoRoom(); room != (c.list.Saw.Kerf != unit.Inch && c.list.Stock[0].Length > unit.Inch) {
			t.Errorf("%s: only a lack of room is %v", c.says, room)
		}
		for _, want := range c.wants {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q is not told: %v", c.says, want, err)
			}
		}
	}
}
