package demanddb

import (
	"context"
	"fmt"
	"reflect"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

type shop struct {
	t           *testing.T
	ctx         context.Context
	pool, admin *pgxpool.Pool
	id          uuid.UUID
	orders      int
}

func open(t *testing.T) *shop {
	t.Helper()
	db := testdb.New(t)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	s := &shop{t: t, ctx: ctx, pool: db.Pool(t), admin: db.AdminPool(t)}
	s.found("corrindale")
	return s
}

func (s *shop) found(code string) {
	s.t.Helper()
	s.id = uuid.Must(uuid.NewV7())
	for _, statement := range []string{
		`insert into workshop (workshop_id, code, name, page_secret, created_at) values ($1, '` + code + `', 'Workshop', sha256('secret'), now())`,
		`insert into dealer (workshop_id, dealer_id, name) values ($1, 'tamsel', 'Studio Tamsel'), ($1, 'orrin', 'Orrin House')`,
		`insert into catalog_revision (workshop_id, revision, effective, source_sha256, stored_at, stored_by) values ($1, 1, '2026-11-02', sha256('files'), now(), 'test')`,
	} {
		if _, err := s.admin.Exec(s.ctx, statement, s.id); err != nil {
			s.t.Fatal(err)
		}
	}
}

// row is one requirement of an order.
type row struct {
	line, unit int
	path       string
	kind, item string
	pieces     int
	length     unit.Length
	amount     int64
	measure    bom.Measure
	needBy     string
	firm       bool
}

// order writes an order and its requirements, all in the weeks of their days.
func (s *shop) order(dealer, number string, rows ...row) {
	s.t.Helper()
	s.orders++
	id := uuid.Must(uuid.NewV7())
	_, err := s.admin.Exec(s.ctx, `
insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, sidemark, ship_to, ship_complete, received_at, search, document)
values ($1, $2, $3, $4, 1, 'received', false, 1, $4, '', '', false, now(), '', '')`, s.id, dealer, id, number)
	for seq, r := range rows {
		if err != nil {
			break
		}
		_, err = s.admin.Exec(s.ctx, `
insert into requirement (workshop_id, week, order_id, line, seq, dealer_id, bill_version, unit, path, kind, item, pieces, length_nm, amount, measure, need_by, firm)
values ($1, date_trunc('week', $15::date)::date, $2, $3, $4, $5, 1, $6, $7, $8, $9, $10, nullif($11::bigint, 0), $12, $13, $15, $14)`,
			s.id, id, r.line, seq+1, dealer, r.unit, r.path, r.kind, r.item, r.pieces, int64(r.length), r.amount, string(r.measure), r.firm, day(s.t, r.needBy).String())
	}
	if err != nil {
		s.t.Fatal(err)
	}
}

func day(t *testing.T, text string) calendar.Date {
	t.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func (s *shop) week(dealer, monday, kind string) (needs []Need) {
	s.t.Helper()
	err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: dealer}, func(tx pgx.Tx) (err error) {
		books, err := Week(s.ctx, tx, s.id, day(s.t, monday), kind)
		needs = books.Needs
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	return needs
}

func (s *shop) pegs(dealer, monday, kind, item string) (pegs []Peg) {
	s.t.Helper()
	err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: dealer}, func(tx pgx.Tx) (err error) {
		pegs, err = Pegs(s.ctx, tx, s.id, day(s.t, monday), kind, item)
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
	return pegs
}

// Two orders in ISO week 2026-W53, which begins on Monday 2026-12-28 and ends on
// Sunday 2027-01-03; one row stands in the week after.
func twoOrders(t *testing.T) *shop {
	s := open(t)
	leg, rail := 57*unit.Inch, 14*unit.Inch+unit.Inch/2
	s.order("tamsel", "7K3M-9QXD",
		row{1, 0, "base/leg", "steel", "square-bar-1", 4, leg, 4 * int64(leg), bom.Length, "2026-12-30", true},
		row{1, 0, "base/rail", "steel", "square-bar-1", 2, rail, 2 * int64(rail), bom.Length, "2026-12-30", true},
		row{1, 2, "cushion", "own material", "own", 1, 0, int64(2 * unit.Yard), bom.Length, "2027-01-03", false},
		row{2, 0, "top", "lumber", "white-oak 5/4", 1, 0, int64(12 * unit.BoardFoot), bom.Volume, "2026-12-28", true},
		row{2, 0, "top", "lumber", "white-oak 5/4", 1, 0, int64(3 * unit.BoardFoot), bom.Volume, "2027-01-04", true})
	s.order("orrin", "2B8T-44ZP",
		row{1, 0, "base/leg", "steel", "square-bar-1", 8, leg, 8 * int64(leg), bom.Length, "2026-12-29", false},
		row{1, 0, "base/ring", "steel", "round-bar-1-2", 1, 0, int64(100 * unit.Inch), bom.Length, "2027-01-01", true},
		row{1, 0, "top", "lumber", "white-oak 5/4", 1, 0, int64(5 * unit.BoardFoot), bom.Volume, "2026-12-31", false})
	return s
}

// The sums are reckoned by hand: 4 legs of 57 in, 8 more not firm, 2 rails of
// 14 1/2 in make 713 in of square bar in 14 pieces, 456 in of it not firm; 12
// and 5 bf of white oak make 17, 5 of them not firm.
func TestWeekIsSummed(t *testing.T) {
	s := twoOrders(t)
	bar := Need{"steel", "square-bar-1", 14, int64(713 * unit.Inch), bom.Length, int64(456 * unit.Inch), day(t, "2026-12-29"), 2}
	round := Need{"steel", "round-bar-1-2", 1, int64(100 * unit.Inch), bom.Length, 0, day(t, "2027-01-01"), 1}
	oak := Need{"lumber", "white-oak 5/4", 2, int64(17 * unit.BoardFoot), bom.Volume, int64(5 * unit.BoardFoot), day(t, "2026-12-28"), 2}
	own := Need{"own material", "own", 1, int64(2 * unit.Yard), bom.Length, int64(2 * unit.Yard), day(t, "2027-01-03"), 1}
	later := Need{"lumber", "white-oak 5/4", 1, int64(3 * unit.BoardFoot), bom.Volume, 0, day(t, "2027-01-04"), 1}
	tamselsBar := Need{"steel", "square-bar-1", 6, int64(257 * unit.Inch), bom.Length, 0, day(t, "2026-12-30"), 1}
	tamselsOak := Need{"lumber", "white-oak 5/4", 1, int64(12 * unit.BoardFoot), bom.Volume, 0, day(t, "2026-12-28"), 1}
	for _, test := range []struct {
		who, monday, kind string
		want              []Need
	}{
		{"*", "2026-12-28", "", []Need{oak, own, round, bar}},
		{"*", "2026-12-28", "steel", []Need{round, bar}},
		{"*", "2026-12-28", "glass", nil},
		{"*", "2027-01-04", "", []Need{later}},
		{"*", "2026-12-21", "", nil},
		{"*", "2026-12-29", "", nil}, // no Monday
		{"tamsel", "2026-12-28", "", []Need{tamselsOak, own, tamselsBar}},
	} {
		if got := s.week(test.who, test.monday, test.kind); !(len(got) == 0 && len(test.want) == 0) && !reflect.DeepEqual(got, test.want) {
			t.Errorf("%s, %s, kind %q:\n got %+v\nwant %+v", test.who, test.monday, test.kind, got, test.want)
		}
	}
	elsewhere := *s
	elsewhere.found("wickerlode")
	if got := elsewhere.week("*", "2026-12-28", ""); len(got) != 0 {
		t.Errorf("another workshop needs %+v", got)
	}
}

func TestPegsLeadToTheOrders(t *testing.T) {
	s := twoOrders(t)
	leg, rail := 57*unit.Inch, 14*unit.Inch+unit.Inch/2
	want := []Peg{
		{"2B8T-44ZP", "orrin", 1, 0, "base/leg", 8, leg, 0, 8 * int64(leg), bom.Length, day(t, "2026-12-29"), false},
		{"7K3M-9QXD", "tamsel", 1, 0, "base/leg", 4, leg, 0, 4 * int64(leg), bom.Length, day(t, "2026-12-30"), true},
		{"7K3M-9QXD", "tamsel", 1, 0, "base/rail", 2, rail, 0, 2 * int64(rail), bom.Length, day(t, "2026-12-30"), true},
	}
	if got := s.pegs("*", "2026-12-28", "steel", "square-bar-1"); !reflect.DeepEqual(got, want) {
		t.Errorf("the square bar is for\n%+v, want\n%+v", got, want)
	}
	if got := s.pegs("tamsel", "2026-12-28", "steel", "square-bar-1"); !reflect.DeepEqual(got, want[1:]) {
		t.Errorf("a dealer sees %+v", got)
	}
	own := []Peg{{"7K3M-9QXD", "tamsel", 1, 2, "cushion", 1, 0, 0, int64(2 * unit.Yard), bom.Length, day(t, "2027-01-03"), false}}
	if got := s.pegs("*", "2026-12-28", "own material", "own"); !reflect.DeepEqual(got, own) {
		t.Errorf("the own material is for %+v, want %+v", got, own)
	}
	if got := s.pegs("*", "2027-01-04", "steel", "square-bar-1"); len(got) != 0 {
		t.Errorf("the week after needs %+v", got)
	}
}

// Pieces to cut lead to their orders; a row without a length is none of them.
func TestPiecesOfAWeek(t *testing.T) {
	s := twoOrders(t)
	leg, rail := 57*unit.Inch, 14*unit.Inch+unit.Inch/2
	all := []Piece{
		{"2B8T-44ZP", 1, "square-bar-1", 1, 0, "base/leg", 8, leg, false},
		{"7K3M-9QXD", 1, "square-bar-1", 1, 0, "base/leg", 4, leg, true},
		{"7K3M-9QXD", 1, "square-bar-1", 1, 0, "base/rail", 2, rail, true},
	}
	for _, c := range []struct {
		who, monday, section string
		want                 []Piece
	}{
		{"*", "2026-12-28", "", all}, {"*", "2026-12-28", "square-bar-1", all}, {"*", "2026-12-28", "round-bar-1-2", nil},
		{"tamsel", "2026-12-28", "", all[1:]}, {"*", "2027-01-04", "", nil},
	} {
		var got []Piece
		err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: c.who}, func(tx pgx.Tx) (err error) {
			got, err = Pieces(s.ctx, tx, s.id, day(t, c.monday), c.section)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		if !(len(got) == 0 && len(c.want) == 0) && !reflect.DeepEqual(got, c.want) {
			t.Errorf("%+v\n got %+v", c, got)
		}
	}
}

// Whatever the orders, the sums of a week are those of its pegs.
func TestSumsAreThoseOfThePegs(t *testing.T) {
	s := open(t)
	items := []string{"square-bar-1", "round-bar-1-2", "flat-bar-1"}
	for i := range 12 {
		var rows []row
		for k := range 10 {
			n := 1 + (i*7+k*3)%9
			rows = append(rows, row{1, 0, fmt.Sprintf("base/part-%d", k), "steel", items[(i+k)%3], n, unit.Inch, int64(n) * int64(unit.Inch), bom.Length, fmt.Sprintf("2026-12-%02d", 14+(i+k)%12), (i+k)%4 != 0})
		}
		s.order([]string{"tamsel", "orrin"}[i%2], fmt.Sprintf("NUMB-%04d", i), rows...)
	}
	checked := 0
	for _, monday := range []string{"2026-12-14", "2026-12-21"} {
		for _, need := range s.week("*", monday, "") {
			sum := Need{Kind: need.Kind, Item: need.Item, Measure: need.Measure, FirstNeedBy: calendar.Date{Year: 9999}}
			orders := map[string]bool{}
			for _, peg := range s.pegs("*", monday, need.Kind, need.Item) {
				sum.Pieces, sum.Amount = sum.Pieces+peg.Pieces, sum.Amount+peg.Amount
				if !peg.Firm {
					sum.NotFirm += peg.Amount
				}
				if peg.NeedBy.Before(sum.FirstNeedBy) {
					sum.FirstNeedBy = peg.NeedBy
				}
				orders[peg.OrderNumber] = true
				checked++
			}
			sum.Orders = len(orders)
			if sum != need {
				t.Errorf("%s: %+v, its pegs make %+v", monday, need, sum)
			}
		}
	}
	if checked != 120 {
		t.Errorf("%d pegs of 120 rows", checked)
	}
}
