package api

import (
	"github.com/jackc/pgx/v5"
)

// everyVersionAudited holds the orders against the trail: whatever made a version
// of an order left an entry of its own about it, with who and what it was.
func (s *shop) everyVersionAudited() {
	s.t.Helper()
	rows, err := s.db.AdminPool(s.t).Query(s.t.Context(), `
select number || ' has ' || version || ' versions and entries of ' || coalesce((select string_agg(act || ' by ' || actor, ', ' order by at) from audit a
    where a.workshop_id = o.workshop_id and a.subject = o.number), 'nothing')
from dealer_order o
where version > (select count(*) from audit a where a.workshop_id = o.workshop_id and a.subject = o.number and act like 'order%' and actor <> '')`)
	if err != nil {
		s.t.Fatal(err)
	}
	bare, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		s.t.Fatal(err)
	}
	for _, one := range bare {
		s.t.Errorf("order %s", one)
	}
}
