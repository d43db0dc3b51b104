package migrations

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// retryConcurrent repeats a grant that lost a race. PostgreSQL answers "tuple
// concurrently updated" (XX000) or a duplicate key when two sessions grant on
// the same object at once; either way the other one did the same work.
func retryConcurrent(ctx context.Context, act func() error) error {
	var err error
	for range 50 {
		err = act()
		var refused *pgconn.PgError
		if err == nil || !errors.As(err, &refused) || (refused.Code != "XX000" && refused.Code != "23505" && refused.Code != "40001") {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
	return err
}
