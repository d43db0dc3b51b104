package catalogdb

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog/demonstration"
	"billwright/catalog/difference"
	"billwright/migrations/tenancy"
)

// place writes an order of one line as far as its catalog is concerned.
func (s *shop) place(dealer, number, state, product, configuration string) {
	s.t.Helper()
	id := uuid.Must(uuid.NewV7())
	var shown *string
	if number != "" {
		shown = &number
	}
	for _, statement := range []struct {
		text string
		args []any
	}{
		{`insert into dealer_order (workshop_id, dealer_id, order_id, number, version, state, test, revision, po, sidemark, ship_to, ship_complete, received_at, search, document)
values ($1, $2, $3, $4, 1, $5, false, 1, 'po', '', '', false, $6, '', '')`, []any{s.id, dealer, id, shown, state, storedAt}},
		{`insert into order_line (workshop_id, dealer_id, order_id, line, product, quantity, revision, configuration) values ($1, $2, $3, 1, $4, 1, 1, $5)`, []any{s.id, dealer, id, product, configuration}},
	} {
		if _, err := s.admin.Exec(s.ctx, statement.text, statement.args...); err != nil {
			s.t.Fatal(err)
		}
	}
}

const (
	inStripe = `{"length": "48 in", "height": "18 1/2 in", "metal_finish": "soot", "cloth": "sedge-stripe"}`
	inOat    = `{"length": "48 in", "height": "18 1/2 in", "metal_finish": "soot", "cloth": "oat-weave"}`
)

func TestOpenOrdersThatAreTouched(t *testing.T) {
	s := openShop(t)
	s.store(demonstration.Files())
	for i, state := range []string{"quoted", "received", "accepted", "released", "in work", "ready", "shipped in part", "shipped", "closed", "cancelled"} {
		s.place("studio-tamsel", fmt.Sprintf("NO-%d", i), state, "sallow-bench", inStripe)
	}
	s.place("studio-tamsel", "", "draft", "sallow-bench", inStripe)
	s.place("hobb-and-farrow", "OTHER", "received", "sallow-bench", inStripe)
	s.place("studio-tamsel", "OAT", "received", "sallow-bench", inOat)
	s.place("studio-tamsel", "STOOL", "received", "pell-stool", `{"height": "24 in"}`)
	from := read(t, demonstration.Files())
	changed := demonstration.Files()
	for i := range changed {
		changed[i].Bytes = bytes.Replace(changed[i].Bytes, []byte("name: Sedge stripe"), []byte("name: Sedge bands"), 1)
	}
	to := read(t, changed)
	look := func(dealer string) (numbers []string) {
		t.Helper()
		err := tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: dealer}, func(tx pgx.Tx) error {
			touched, err := Touched(s.ctx, tx, s.id, difference.Touched(from, difference.Between(from, to)))
			for _, o := range touched {
				numbers = append(numbers, o.Number)
				if len(o.Lines) != 1 || o.Lines[0].Line != 1 || o.Lines[0].Revision != 1 || o.Lines[0].Product != "sallow-bench" || !slices.Equal(o.Lines[0].What, []string{"fabric sedge-stripe (Sedge stripe) changed"}) || o.State == "" {
					t.Errorf("%+v", o)
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return numbers
	}
	if got, want := look(tenancy.AllDealers), []string{"NO-0", "NO-1", "NO-2", "NO-3", "NO-4", "NO-5", "NO-6", "", "OTHER"}; !slices.Equal(got, want) {
		t.Errorf("touched are %q, want %q", got, want)
	}
	if got, want := look("hobb-and-farrow"), []string{"OTHER"}; !slices.Equal(got, want) {
		t.Errorf("a dealer sees %q, want %q", got, want)
	}
}
