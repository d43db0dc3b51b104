package orderdb

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/bom/order/orderfile"
)

// MostFaults is how many faults of an import are kept; all are counted.
const MostFaults = 1000

// ErrNoImport tells that there is no such import.
var ErrNoImport = errors.New("no such import")

// ErrImportMoved tells that somebody else has gone on with an import meanwhile.
var ErrImportMoved = errors.New("another process goes on with this import")

// Import is a file of orders on its way, without the file.
type Import struct {
	ID      uuid.UUID
	Name    string
	DryRun  bool
	Test    bool
	Mapping []byte
	SHA256  [32]byte
	// Rows and Orders are those of the file; Position is how many orders are done.
	Rows, Orders, Position      int
	Good, Loaded, Known, Faulty int
	FaultCount                  int
	Faults                      []orderfile.Fault
	Done                        bool
	LeasedUntil                 *time.Time
	BegunAt                     time.Time
	BegunBy, Role               string
	EndedAt                     *time.Time
}

// AddImport stores an import that begins.
func AddImport(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, i Import, file []byte) error {
	faults, err := json.Marshal(kept(i.Faults))
	if err != nil {
		return fmt.Errorf("write the faults of an import: %w", err)
	}
	_, err = tx.Exec(ctx, `
insert into order_import (workshop_id, import_id, name, dry_run, test, mapping, file, sha256, row_count, order_count, fault_count, faults, begun_at, begun_by, role)
values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		workshop, i.ID, i.Name, i.DryRun, i.Test, i.Mapping, file, i.SHA256[:], i.Rows, i.Orders, len(i.Faults), faults, i.BegunAt, i.BegunBy, i.Role)
	if err != nil {
		return fmt.Errorf("store an import: %w", err)
	}
	return nil
}

// kept are the faults that are kept, never nil.
func kept(faults []orderfile.Fault) []orderfile.Fault {
	return append([]orderfile.Fault{}, faults[:min(len(faults), MostFaults)]...)
}

const importColumns = `import_id, name, dry_run, test, mapping, sha256, row_count, order_count, position, good, loaded, known, faulty, fault_count, faults, done,
    leased_until, begun_at, begun_by, role, ended_at`

func scanImport(row pgx.Row) (Import, error) {
	var i Import
	var hash, faults []byte
	err := row.Scan(&i.ID, &i.Name, &i.DryRun, &i.Test, &i.Mapping, &hash, &i.Rows, &i.Orders, &i.Position, &i.Good, &i.Loaded, &i.Known, &i.Faulty, &i.FaultCount, &faults, &i.Done,
		&i.LeasedUntil, &i.BegunAt, &i.BegunBy, &i.Role, &i.EndedAt)
	if errors.Is(err, pgx.ErrNoRows) {
		return i, ErrNoImport
	}
	if err != nil {
		return i, fmt.Errorf("read an import: %w", err)
	}
	copy(i.SHA256[:], hash)
	if err := json.Unmarshal(faults, &i.Faults); err != nil {
		return i, fmt.Errorf("read the faults of an import: %w", err)
	}
	return i, nil
}

// FindImport reads an import. Without one: ErrNoImport.
func FindImport(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID) (Import, error) {
	return scanImport(tx.QueryRow(ctx, `
select `+importColumns+`
from order_import
where workshop_id = $1 and import_id = $2`, workshop, id))
}

// Imports lists the newest imports, at most limit of them.
func Imports(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, limit int) ([]Import, error) {
	rows, err := tx.Query(ctx, `
select `+importColumns+`
from order_import
where workshop_id = $1
order by import_id desc
limit $2`, workshop, limit)
	if err != nil {
		return nil, fmt.Errorf("list the imports: %w", err)
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (Import, error) { return scanImport(row) })
}

// LeaseImport takes an import that nobody is at until an instant, and gives its
// file. One that is done, or that somebody is at: ErrImportMoved.
func LeaseImport(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, now, until time.Time) ([]byte, error) {
	var file []byte
	err := tx.QueryRow(ctx, `
update order_import set leased_until = $4
where workshop_id = $1 and import_id = $2 and not done and (leased_until is null or leased_until < $3)
returning file`, workshop, id, now, until).Scan(&file)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, ErrImportMoved
	}
	if err != nil {
		return nil, fmt.Errorf("take an import: %w", err)
	}
	return file, nil
}

// ImportStep is what a transaction did of an import.
type ImportStep struct {
	From, To                    int // its position before and after
	Good, Loaded, Known, Faulty int
	Faults                      []orderfile.Fault
	LeasedUntil                 time.Time
	// Ended is when it was through, or zero.
	Ended time.Time
}

// StepImport moves an import on. Where its position is not the one that the step
// began at: ErrImportMoved, and the transaction must be given up.
func StepImport(ctx context.Context, tx pgx.Tx, workshop, id uuid.UUID, s ImportStep) error {
	faults, err := json.Marshal(kept(s.Faults))
	if err != nil {
		return fmt.Errorf("write the faults of an import: %w", err)
	}
	var ended *time.Time
	if !s.Ended.IsZero() {
		ended = &s.Ended
	}
	done, err := tx.Exec(ctx, `
update order_import set position = $4, good = good + $5, loaded = loaded + $6, known = known + $7, faulty = faulty + $8, fault_count = fault_count + $9,
    faults = case when fault_count < $10::integer then faults || $11::jsonb else faults end, leased_until = $12, ended_at = $13::timestamptz, done = $13::timestamptz is not null,
    file = case when $13::timestamptz is null then file end
where workshop_id = $1 and import_id = $2 and position = $3 and not done`,
		workshop, id, s.From, s.To, s.Good, s.Loaded, s.Known, s.Faulty, len(s.Faults), MostFaults, faults, s.LeasedUntil, ended)
	if err != nil {
		return fmt.Errorf("move an import on: %w", err)
	}
	if done.RowsAffected() != 1 {
		return ErrImportMoved
	}
	return nil
}

// ImportedAs tells which of some keys of a dealer's orders were imported before,
// by key the order's number.
func ImportedAs(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, dealers, keys []string, test bool) (map[[2]string]string, error) {
	rows, err := tx.Query(ctx, `
select i.dealer_id, i.key, o.number
from unnest($2::text[], $3::text[]) as asked (dealer_id, key)
join imported_order i on i.workshop_id = $1 and i.dealer_id = asked.dealer_id and i.test = $4 and i.key = asked.key
join dealer_order o on o.workshop_id = i.workshop_id and o.order_id = i.order_id`, workshop, dealers, keys, test)
	if err != nil {
		return nil, fmt.Errorf("look for imported orders: %w", err)
	}
	found := map[[2]string]string{}
	var dealer, key, number string
	if _, err := pgx.ForEachRow(rows, []any{&dealer, &key, &number}, func() error { found[[2]string{dealer, key}] = number; return nil }); err != nil {
		return nil, fmt.Errorf("look for imported orders: %w", err)
	}
	return found, nil
}

// AddImported keeps which order of a file an order was.
func AddImported(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, n *NewOrder, key string, id uuid.UUID, row int) error {
	_, err := tx.Exec(ctx, `
insert into imported_order (workshop_id, dealer_id, test, key, order_id, import_id, row_number)
values ($1, $2, $3, $4, $5, $6, $7)`, workshop, n.Order.Dealer, n.Order.Test, key, n.Order.ID, id, row)
	if err != nil {
		return fmt.Errorf("keep that an order was imported: %w", err)
	}
	return nil
}
