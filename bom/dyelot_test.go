package bom_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// lineOf is a line of an order: product, quantity and what is picked.
type lineOf struct {
	quantity      int
	product, with string
}

func explodeOrder(t fataler, cat *catalog.Catalog, order ...lineOf) (*bom.Bill, []bom.Working) {
	t.Helper()
	lines := make([]bom.Line, len(order))
	for i, l := range order {
		config, findings := cat.Check(l.product, picks(l.with), cat.Workshop.Effective)
		if config == nil {
			t.Fatalf("%+v: %v", l, findings)
		}
		lines[i] = bom.Line{Number: i + 1, Quantity: l.quantity, Config: config}
	}
	bill, working, findings := bom.Explode(cat, lines, true)
	if bill == nil {
		t.Fatalf("%+v: %v", order, findings)
	}
	return bill, working
}

// Stools in one linen: covers of 23 x 23 in lie two in a row of 54
// in. Line 1 has three, line 2 one. By themselves they take two rows and one, 46
// and 23 in; together four lie in two rows, 46 in. Flaws are 3 %: 47.38 in,
// bought as 54 in (1 1/2 yd), shared 46 : 23, which is 36 and 18 in.
func TestClothOfOneDyeLotIsCutTogether(t *testing.T) {
	cat := read(t)
	bill, working := explodeOrder(t, cat,
		lineOf{3, "tarrend-stool", "cloth=linden-linen"}, lineOf{2, "tarrend-stool", "cloth=ink-twill"}, lineOf{1, "tarrend-stool", "cloth=linden-linen"})
	if len(bill.Pooled) != 1 {
		t.Fatalf("pools %+v", bill.Pooled)
	}
	pool := &bill.Pooled[0]
	if pool.Path != "dye-lot/linden-linen" || pool.Net != 46*unit.Inch || pool.Length != bom.Cloth(54*unit.Inch) || pool.Rows[0].Rows != 2 || pool.Flaws != mustLength(t, "35.052 mm") {
		t.Errorf("pool %+v", pool)
	}
	got := ""
	for _, of := range pool.Of {
		got += fmt.Sprintf("line %d %s %s; ", of.Line, of.Path, unit.Length(of.Share))
	}
	if got != "line 1 pad/cloth 36 in; line 3 pad/cloth 18 in; " {
		t.Errorf("shares %s", got)
	}
	if one := bill.Lines[0].Cloth[0]; one.Pooled != pool.Path || one.Net != 46*unit.Inch || one.Length != bom.Cloth(36*unit.Inch) {
		t.Errorf("line 1 %+v", one)
	}
	if apart := bill.Lines[1].Cloth[0]; apart.Pooled != "" || apart.Length != bom.Cloth(27*unit.Inch) {
		t.Errorf("line 2 %+v", apart)
	}
	asked := map[string]int64{}
	for _, m := range bill.Materials() {
		if m.Kind == bom.KindCloth {
			asked[m.Item] += m.Amount
		}
	}
	if asked["linden-linen"] != int64(54*unit.Inch) || asked["ink-twill"] != int64(27*unit.Inch) {
		t.Errorf("asked for %v", asked)
	}
	told := ""
	for _, w := range working {
		if w.Path == pool.Path {
			told += fmt.Sprintf("%d %s: %s\n", w.Line, w.Figure, w.Text)
		}
	}
	for _, want := range []string{"0 rows of cover: 2 in a row, 2 rows · 23 in\n", "0 flaws: 3/100 of 46 in = 35.052 mm\n", "0 share of line 3: 1.50 yd · 23 in / 69 in = 0.50 yd\n"} {
		if !strings.Contains(told, want) {
			t.Errorf("no %q in\n%s", want, told)
		}
	}
	trace := bom.Trace{Catalog: cat, Bill: bill, Working: working}
	why, err := trace.Why("0/" + pool.Path)
	if err != nil || len(why.Figures) < 5 || len(why.Standards) != 1 || why.Standards[0].Name != "cloth_rounding" {
		t.Errorf("why %+v, %v", why, err)
	}
	if _, err := trace.Why("0/dye-lot/ink-twill"); !errors.Is(err, bom.ErrNoRow) {
		t.Errorf("why of nothing: %v", err)
	}
	layouts := bill.Layouts()
	if len(layouts) != 2 || layouts[1].Line != 0 || layouts[1].Pieces[3].Line != 3 || layouts[1].Pieces[2].Line != 1 {
		t.Errorf("layouts %+v", layouts)
	}
	readsBack(t, document(t, bill))
}

// Where no dye lot is tied, or one line alone uses the cloth, or it is the
// customer's own, nothing is pooled.
func TestWhatIsNotPooled(t *testing.T) {
	cat := read(t)
	for _, order := range [][]lineOf{
		{{1, "tarrend-stool", "cloth=ink-twill"}, {1, "tarrend-stool", "cloth=ink-twill"}},
		{{5, "tarrend-stool", "cloth=linden-linen"}},
		{{1, "tarrend-stool", "cloth=own; own_width=54 in; own_repeat=0 in"}, {1, "tarrend-stool", "cloth=own; own_width=54 in; own_repeat=0 in"}},
	} {
		if bill, _ := explodeOrder(t, cat, order...); bill.Pooled != nil || strings.Contains(string(document(t, bill)), "pooled") {
			t.Errorf("%+v is pooled: %+v", order, bill.Pooled)
		}
	}
}

// Leather of one lot has its hides rounded once: 24 and 1 chairs take 7 hides
// apart and together no more.
func TestHidesOfOneLotAreRoundedOnce(t *testing.T) {
	cat := read(t)
	bill, _ := explodeOrder(t, cat, lineOf{11, "tarrend-chair", "cloth=fox-red"}, lineOf{1, "tarrend-chair", "cloth=fox-red"})
	if len(bill.Pooled) != 1 {
		t.Fatalf("pools %+v", bill.Pooled)
	}
	// 1139 x 4/3 in2 a chair; 12 of them 126.56 ft2, of hides of 54 ft2: 3; apart
	// 116.01 and 10.55 ft2: 3 and 1.
	pool := &bill.Pooled[0]
	if pool.Hides != 3 || pool.Area.In(bom.Inch) != "126.56 ft2" || pool.Of[0].ShareArea+pool.Of[1].ShareArea != pool.Area {
		t.Errorf("pool %+v", pool)
	}
	if _, err := bill.Document(); err != nil {
		t.Error(err)
	}
}

// Whatever is ordered together: what the pools and the other rows come to is
// what is asked for, shares sum to their pool, a pool takes no more than its
// lines apart, and its layout holds.
func TestPoolsTakeNoMoreThanTheirLines(t *testing.T) {
	cat := read(t)
	orders, pooled := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		var order []lineOf
		for range rapid.IntRange(2, 4).Draw(t, "lines") {
			order = append(order, rapid.SampledFrom([]lineOf{
				{1, "orrest-settee", "cloth=linden-linen"}, {1, "orrest-settee", "cloth=linden-linen; seats=3; arms=set-back; piped=contrast"},
				{1, "orrest-armchair", "cloth=linden-linen"}, {1, "orrest-armchair", "cloth=pearl-mohair; arms=set-back"}, {1, "orrest-armchair", "cloth=fox-red"},
				{1, "mallin-stool", "cloth=linden-linen"}, {1, "mallin-stool", "cloth=pearl-mohair; piped=contrast; piping=linden-linen"}, {1, "orrest-settee", "cloth=fox-red"},
			}).Draw(t, "line"))
			order[len(order)-1].quantity = rapid.IntRange(1, 6).Draw(t, "quantity")
		}
		orders++
		bill, _ := explodeOrder(t, cat, order...)
		soundLayouts(func(format string, args ...any) { t.Helper(); t.Fatalf(format, args...) }, bill)
		asked := map[string]int64{} // by line and path
		for _, m := range bill.Materials() {
			asked[fmt.Sprint(m.Line, m.Path)] = m.Amount
		}
		for i := range bill.Pooled {
			pool := &bill.Pooled[i]
			pooled++
			sum, apart := int64(0), int64(0)
			for _, of := range pool.Of {
				sum += int64(of.Share) + int64(of.ShareArea)
				if got := asked[fmt.Sprint(of.Line, of.Path)]; got != int64(of.Share)+int64(of.ShareArea) {
					t.Fatalf("line %d asks for %d and has a share of %s %s", of.Line, got, of.Share.In(bom.Inch), of.ShareArea.In(bom.Inch))
				}
				alone, _ := explodeOrder(t, cat, order[of.Line-1])
				for k := range alone.Lines[0].Cloth {
					if row := &alone.Lines[0].Cloth[k]; row.Path == of.Path {
						apart += int64(row.Length) + int64(row.Area)
					}
				}
			}
			if whole := int64(pool.Length) + int64(pool.Area); sum != whole || whole > apart+int64(len(pool.Of)) {
				t.Fatalf("%s: shares of %d sum to %d; its lines apart take %d", pool.Path, whole, sum, apart)
			}
		}
	})
	if pooled*3 < orders {
		t.Errorf("only %d pools of %d orders were looked at", pooled, orders)
	}
}

// One more of a line never takes less cloth, on the bias, joined, matched both
// ways or from a pool.
func TestMoreCushionsNeverTakeLessCloth(t *testing.T) {
	cat := read(t)
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SampledFrom([]lineOf{
			{1, "orrest-settee", "cloth=kestrel-plaid; seats=3"}, {1, "orrest-settee", "cloth=orchard-tapestry; arms=set-back; piped=contrast"},
			{1, "mallin-stool", "cloth=hedgerow-print; piped=contrast"}, {1, "mallin-stool", "cloth=moss-velvet; diameter=19 3/8 in"}, {1, "tarrend-chair", "cloth=pier-stripe"},
			{1, "orrest-armchair", "cloth=pearl-mohair; arms=set-back"},
		}).Draw(t, "line")
		line.quantity = rapid.IntRange(1, 900).Draw(t, "quantity")
		once, _ := explodeOrder(t, cat, line)
		line.quantity++
		more, _ := explodeOrder(t, cat, line)
		for i := range once.Lines[0].Cloth {
			a, b := &once.Lines[0].Cloth[i], &more.Lines[0].Cloth[i]
			if a.Path != b.Path || b.Net < a.Net || b.Length < a.Length {
				t.Fatalf("%+v: %s of %s and with one more %s of %s", line, a.Length.In(bom.Inch), a.Path, b.Length.In(bom.Inch), b.Path)
			}
		}
	})
}
