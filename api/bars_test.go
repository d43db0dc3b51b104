package api

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"billwright/bom/cutting"
	"billwright/bom/saw"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// weekOfSteel is the week in which an order's steel must be here.
func (s *shop) weekOfSteel(number string) calendar.Week {
	s.t.Helper()
	var monday time.Time
	if err := s.db.AdminPool(s.t).QueryRow(s.t.Context(), `
select min(r.week) from requirement r join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where o.number = $1 and r.kind = 'steel'`, number).Scan(&monday); err != nil {
		s.t.Fatal(err)
	}
	return calendar.DateOf(monday).Week()
}

// steelPieces are what the requirements of a week ask for, by the mark on each.
func (s *shop) steelPieces(week calendar.Week, where string) map[string]int64 {
	s.t.Helper()
	rows, err := s.db.AdminPool(s.t).Query(s.t.Context(), `
select r.item || ' ' || o.number || ' ' || r.line || '/' || r.path, r.pieces from requirement r
join dealer_order o on o.workshop_id = r.workshop_id and o.order_id = r.order_id
where r.kind = 'steel' and r.week = $1 and `+where, week.Monday().String())
	if err != nil {
		s.t.Fatal(err)
	}
	defer rows.Close()
	pieces := map[string]int64{}
	for rows.Next() {
		var mark string
		var n int64
		if err := rows.Scan(&mark, &n); err != nil {
			s.t.Fatal(err)
		}
		pieces[mark] += n
	}
	if err := rows.Err(); err != nil {
		s.t.Fatal(err)
	}
	return pieces
}

// readded re-adds the bars of plans by the demonstration's saw, 1/8 in between
// pieces and 1/2 in off both ends, and gives the pieces by mark.
func readded(t *testing.T, sections []*saw.Plan) map[string]int64 {
	t.Helper()
	pieces := map[string]int64{}
	for _, plan := range sections {
		bought := int64(0)
		for _, bar := range plan.Bars {
			taken, cuts := unit.Inch, int64(0)
			for _, cut := range bar.Cuts {
				taken += cut.Length * unit.Length(cut.Count)
				cuts += cut.Count
				pieces[plan.Section+" "+cut.Mark] += cut.Count * bar.Count
				if cut.Mark != cut.Order+" "+cut.Row {
					t.Errorf("%q leads to row %s of %s", cut.Mark, cut.Row, cut.Order)
				}
			}
			if taken += unit.Inch / 8 * unit.Length(cuts-1); taken > bar.Length {
				t.Errorf("%s, bar %d of %s holds %s", plan.Section, bar.Number, bar.Length, taken)
			}
			if !bar.Offcut {
				bought += bar.Count
			}
		}
		if bought != plan.Bought || plan.Status == cutting.NotProved || *plan.Cost.Price != *plan.Bound.Price || plan.Cost.Price == nil {
			t.Errorf("%s: %d bars, %d said; %s", plan.Section, bought, plan.Bought, plan.Status)
		}
	}
	return pieces
}

func same(a, b map[string]int64) bool {
	if len(a) != len(b) {
		return false
	}
	for k, n := range a {
		if b[k] != n {
			return false
		}
	}
	return true
}

// Two orders of one week: what is planned is what is required, piece by piece,
// the firm ones by themselves, and the bars are fewer than those of each order.
func TestTheBarsOfAWeek(t *testing.T) {
	s := openShop(t, shopSettings{})
	rep, buyer := s.key("rep"), s.key("buyer")
	first := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	second := s.placed(s.key("dealer hobb-and-farrow"), "1", bench("A 1"))
	s.done(rep, first, "accept", 1, `{}`).want(t, 200)
	week := s.weekOfSteel(second)
	if s.weekOfSteel(first) != week {
		t.Fatalf("the orders' steel is needed in %s and %s", s.weekOfSteel(first), week)
	}
	path := "/v1/requirements/" + week.String() + "/bars"
	var firm, all weekBars
	s.ask(buyer, "GET", path, "").want(t, 200).read(t, &firm)
	s.ask(buyer, "GET", path+"?held=yes", "").want(t, 200).read(t, &all)
	if got, want := readded(t, firm.Sections), s.steelPieces(week, "r.firm"); !same(got, want) || len(want) == 0 {
		t.Errorf("firm: %v, required %v", got, want)
	}
	if got, want := readded(t, all.Sections), s.steelPieces(week, "true"); !same(got, want) || len(want) != 2*len(s.steelPieces(week, "r.firm")) {
		t.Errorf("all: %v, required %v", got, want)
	}
	if firm.Held || !all.Held || firm.Week != week.String() || len(all.NotPlanned) > 0 {
		t.Errorf("%+v", all)
	}
	var one, other orderBars
	s.ask(buyer, "GET", "/v1/orders/"+first+"/bars", "").want(t, 200).read(t, &one)
	s.ask(buyer, "GET", "/v1/orders/"+second+"/bars", "").want(t, 200).read(t, &other)
	bars := func(sections []*saw.Plan) (n int64) {
		for _, plan := range sections {
			n += plan.Bought
		}
		return n
	}
	if one.Order != first || one.Version != 1 || len(readded(t, one.Sections)) == 0 || bars(one.Sections) != bars(firm.Sections) {
		t.Errorf("the first order by itself: %+v", one)
	}
	if bars(all.Sections) > bars(one.Sections)+bars(other.Sections) {
		t.Errorf("%d bars together, %d and %d apart", bars(all.Sections), bars(one.Sections), bars(other.Sections))
	}
	// What was counted on the rack goes first, where it is asked for.
	section := firm.Sections[0].Section
	s.ask(s.key("shop"), "PUT", "/v1/stock/steel/"+section, `{"counted":[{"length":"20 ft","pieces":50}]}`).want(t, 200)
	var gross, net weekBars
	s.ask(buyer, "GET", path+"?section="+section, "").want(t, 200).read(t, &gross)
	s.ask(buyer, "GET", path+"?section="+section+"&on_hand=yes", "").want(t, 200).read(t, &net)
	if len(net.Sections) != 1 || net.Sections[0].Bought != 0 || len(net.Sections[0].Offcuts) != 1 || gross.Sections[0].Bought != firm.Sections[0].Bought {
		t.Errorf("with 50 bars on hand %+v, without %+v", net.Sections, gross.Sections)
	}
	// The requirements tell the same whole bars.
	var sums weekReply
	s.ask(buyer, "GET", "/v1/requirements/"+week.String(), "").want(t, 200).read(t, &sums)
	steel := 0
	for _, r := range sums.Requirements {
		if r.Kind != "steel" {
			if r.Bars != nil || r.FirmBars != nil {
				t.Errorf("%s has bars", r.Kind)
			}
			continue
		}
		at := slices.IndexFunc(all.Sections, func(p *saw.Plan) bool { return p.Section == r.Item })
		of := slices.IndexFunc(firm.Sections, func(p *saw.Plan) bool { return p.Section == r.Item })
		if steel++; r.Bars == nil || r.FirmBars == nil || at < 0 || r.Bars.Bars != all.Sections[at].Bought || r.FirmBars.Bars != firm.Sections[of].Bought || *r.Bars.Bound.Price != *all.Sections[at].Bound.Price || r.Bars.Status == unplanned {
			t.Errorf("%s: %+v of %+v", r.Item, r.Bars, all.Sections)
		}
	}
	if steel != len(all.Sections) || steel == 0 {
		t.Errorf("%d rows of steel, %d plans", steel, len(all.Sections))
	}
}

// One section, its offcuts, and the three forms.
func TestBarsOfOneSection(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.placed(s.key("dealer studio-tamsel"), "1", bench("A 1"))
	var whole orderBars
	s.ask(buyer, "GET", "/v1/orders/"+number+"/bars", "").want(t, 200).read(t, &whole)
	section := whole.Sections[0].Section
	path := "/v1/orders/" + number + "/bars?section=" + section
	var one, cheaper orderBars
	s.ask(buyer, "GET", path, "").want(t, 200).read(t, &one)
	if len(one.Sections) != 1 || one.Sections[0].Section != section {
		t.Fatalf("%+v", one)
	}
	s.ask(buyer, "GET", path+"&offcuts=19%20ft%20x%20100", "").want(t, 200).read(t, &cheaper)
	if len(cheaper.Sections) != 1 || cheaper.Sections[0].Bought != 0 || len(cheaper.Sections[0].Offcuts) != 1 || *cheaper.Sections[0].Cost.Price != 0 {
		t.Errorf("a hundred offcuts hold everything: %+v", cheaper.Sections)
	}
	sheet := readSheet(t, s.ask(buyer, "GET", path+"&format=csv", ""))
	rows := 1
	for _, bar := range one.Sections[0].Bars {
		rows += len(bar.Cuts)
	}
	if len(sheet) != rows || sheet[0][3] != "bar length in" || sheet[1][0] != section || sheet[1][8] != one.Sections[0].Bars[0].Cuts[0].Mark {
		t.Errorf("%v", sheet)
	}
	svg := s.ask(buyer, "GET", path+"&format=svg", "").want(t, 200)
	if svg.header.Get("Content-Type") != svgType || !strings.Contains(string(svg.body), number+" 1/") {
		t.Errorf("%s: %s", svg.header.Get("Content-Type"), svg.body)
	}
	for d := xml.NewDecoder(strings.NewReader(string(svg.body))); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	for query, want := range map[string]string{
		"?section=square-bar-9":                            "query.section section.unknown",
		"?offcuts=70%20in":                                 "query.offcuts offcut.section",
		"?offcuts=70,%20half&section=" + section:           "query.offcuts offcut|query.offcuts offcut",
		"?section=" + section + "&offcuts=70%20ft%20x%200": "query.offcuts offcut",
	} {
		if got := s.ask(buyer, "GET", "/v1/orders/"+number+"/bars"+query, "").faults(t, 400); strings.Join(got, "|") != want {
			t.Errorf("%s: %v, want %s", query, got, want)
		}
	}
	s.ask(buyer, "GET", "/v1/orders/0000-0000/bars", "").problem(t, 404)
	s.ask(buyer, "GET", "/v1/requirements/2026-W54/bars", "").problem(t, 400)
	var none weekBars
	s.ask(buyer, "GET", "/v1/requirements/2026-W01/bars", "").want(t, 200).read(t, &none)
	if none.Sections == nil || len(none.Sections) != 0 {
		t.Errorf("a week without pieces: %+v", none)
	}
}

// A piece that no bar of the catalog in force holds, and a section that it does
// not have, leave the others planned and are told in every form.
func TestWhatHasNoPlanIsTold(t *testing.T) {
	s := openShop(t, shopSettings{})
	buyer := s.key("buyer")
	number := s.placed(s.key("dealer studio-tamsel"), "1", s.order(nil))
	week := s.weekOfSteel(number)
	path := "/v1/requirements/" + week.String() + "/bars?held=yes"
	var before, after weekBars
	s.ask(buyer, "GET", path, "").want(t, 200).read(t, &before)
	if len(before.Sections) < 3 {
		t.Fatalf("the example has only %d sections", len(before.Sections))
	}
	long, gone := before.Sections[0].Section, before.Sections[1].Section
	for _, change := range []string{
		`update requirement set length_nm = length_nm + 400::bigint * 304800000 where item = '` + long + `'`,
		`update requirement set item = 'no-such-bar' where item = '` + gone + `'`,
	} {
		if _, err := s.db.AdminPool(t).Exec(t.Context(), change); err != nil {
			t.Fatal(err)
		}
	}
	s.ask(buyer, "GET", path, "").want(t, 200).read(t, &after)
	told := map[string]notPlanned{}
	for _, one := range after.NotPlanned {
		told[one.Section] = one
	}
	if len(told) != 2 || len(after.Sections) != len(before.Sections)-2 {
		t.Fatalf("%+v", after)
	}
	if why := told[long].Why; len(why) == 0 || !strings.Contains(why[0], number+" ") || !strings.Contains(why[0], "longer than the") {
		t.Errorf("%v", why)
	}
	if why := told["no-such-bar"]; len(why.Why) != 1 || why.Pieces != before.Sections[1].Pieces {
		t.Errorf("%+v", why)
	}
	if svg := string(s.ask(buyer, "GET", path+"&format=svg", "").want(t, 200).body); !strings.Contains(svg, "NOT PLANNED: ") {
		t.Error("the drawing looks whole")
	}
	sheet := readSheet(t, s.ask(buyer, "GET", path+"&format=csv", ""))
	if last := sheet[len(sheet)-1]; !strings.HasPrefix(last[len(last)-1], "not planned: ") {
		t.Errorf("the sheet looks whole: %v", last)
	}
	var sums weekReply
	s.ask(buyer, "GET", "/v1/requirements/"+week.String()+"?kind=steel", "").want(t, 200).read(t, &sums)
	for _, r := range sums.Requirements {
		if _, is := told[r.Item]; is != (r.Bars.Status == unplanned) || is != (len(r.Bars.Why) > 0) {
			t.Errorf("%s: %+v", r.Item, r.Bars)
		}
	}
}

func longList() *saw.List {
	list := &saw.List{Section: "bar", Saw: saw.Saw{Kerf: unit.Inch / 8}, Stock: []saw.Stock{{Length: 144 * unit.Inch, Price: 3000, Limit: cutting.Unlimited}, {Length: 240 * unit.Inch, Price: 4700, Limit: cutting.Unlimited}}}
	for i := range 60 {
		list.Pieces = append(list.Pieces, saw.Piece{Mark: fmt.Sprint(i), Length: 20*unit.Inch + unit.Length(i*i%97)*unit.Inch/16, Count: 5})
	}
	return list
}

// A plan that was not cut off is kept for the same list for good; one that was until
// there is twice the time for it, and still says what is known of it.
func TestPlansAreKept(t *testing.T) {
	s := newSawing()
	short := longList()
	short.Pieces = short.Pieces[:3]
	plan, err := s.plan(t.Context(), short, time.Now().Add(time.Minute))
	if err != nil {
		t.Fatal(err)
	}
	again, err := s.plan(t.Context(), short, time.Now())
	if err != nil || again != plan {
		t.Errorf("the same list is reckoned twice: %v", err)
	}
	short.Pieces[0].Count++
	if other, err := s.plan(t.Context(), short, time.Now().Add(time.Minute)); err != nil || other == plan || other.Pieces != plan.Pieces+1 {
		t.Errorf("another list has the same plan: %v", err)
	}
	hurried, err := s.plan(t.Context(), longList(), time.Now())
	if err != nil {
		t.Fatal(err)
	}
	if err := hurried.Verify(); err != nil {
		t.Error(err)
	}
	if again, err := s.plan(t.Context(), longList(), time.Now()); err != nil || again != hurried {
		t.Errorf("in no more time it is reckoned again: %v", err)
	}
	longer, err := s.plan(t.Context(), longList(), time.Now().Add(time.Minute))
	if err != nil || longer == hurried || longer.Cost.Price == nil || *longer.Cost.Price > *hurried.Cost.Price {
		t.Errorf("in a minute it is not reckoned again: %v", err)
	}
	if again, err := s.plan(t.Context(), longList(), time.Now().Add(time.Minute)); err != nil || again != longer {
		t.Errorf("what came of a minute is not kept: %v", err)
	}
	if len(s.kept) != 3 || len(s.last) != 3 {
		t.Errorf("%d and %d plans are kept, want 3", len(s.kept), len(s.last))
	}
	for i := range keptPlans + 5 {
		short.Pieces[0].Count = int64(i + 100)
		if _, err := s.plan(t.Context(), short, time.Now().Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
	}
	if len(s.kept) != keptPlans || len(s.last) != keptPlans {
		t.Errorf("%d and %d plans are kept, want %d", len(s.kept), len(s.last), keptPlans)
	}
}

// Whatever a list holds tells it from another: each value changed by itself makes
// another key.
func TestListsAreToldApart(t *testing.T) {
	sheets := &saw.SheetList{Pieces: []saw.SheetPiece{{}, {}}, Stock: []saw.StockSheet{{}}}
	for _, list := range []any{longList(), sheets} {
		plain, told := digest(list), map[[32]byte]string{}
		var walk func(at string, v reflect.Value)
		walk = func(at string, v reflect.Value) {
			before := reflect.New(v.Type()).Elem()
			before.Set(v)
			switch v.Kind() {
			case reflect.Struct:
				for i := range v.NumField() {
					if v.Type().Field(i).IsExported() {
						walk(at+"."+v.Type().Field(i).Name, v.Field(i))
					}
				}
				return
			case reflect.Slice:
				for i := range min(v.Len(), 3) {
					walk(fmt.Sprint(at, i), v.Index(i))
				}
				v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			case reflect.String:
				v.SetString(v.String() + "x")
			case reflect.Bool:
				v.SetBool(!v.Bool())
			default:
				v.SetInt(v.Int() + 1)
			}
			key := digest(list)
			if other := told[key]; key == plain || other != "" {
				t.Errorf("%T%s changed is the same as %q", list, at, other)
			}
			told[key] = at
			v.Set(before)
		}
		walk("", reflect.ValueOf(list).Elem())
		if len(told) < 10 || digest(list) != plain {
			t.Errorf("%T: %d values", list, len(told))
		}
	}
}

// With every slot taken a request still has its plan when its time is up.
func TestABusySawStillAnswers(t *testing.T) {
	s := newSawing()
	for range cap(s.slots) {
		s.slots <- struct{}{}
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	begun := time.Now()
	plan, err := s.plan(ctx, longList(), begun.Add(50*time.Millisecond))
	if err != nil {
		t.Fatal(err)
	}
	if err := plan.Verify(); err != nil {
		t.Error(err)
	}
	if took := time.Since(begun); took > 20*time.Second {
		t.Errorf("it took %s", took)
	}
}

func TestEachSectionHasItsShareOfTheTime(t *testing.T) {
	ctx, cancel := context.WithTimeout(t.Context(), 12*time.Second)
	defer cancel()
	now := time.Now()
	for left, want := range map[int]time.Duration{1: 9 * time.Second, 3: 3 * time.Second} {
		if got := share(ctx, left).Sub(now); got < want-time.Second || got > want+time.Second {
			t.Errorf("with %d left the share ends in %s, want %s", left, got, want)
		}
	}
}
