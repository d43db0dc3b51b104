package catalogdb

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// Store keeps a catalog as the workshop's next revision: its files byte for
// byte, the same as rows, and its dealers, whose names follow the newest
// catalog. Errors: ErrRevisionTaken, ErrPath.
func Store(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, cat *catalog.Catalog, by string, at time.Time) (revision int, err error) {
	for _, file := range cat.Files {
		if !ValidPath(file.Path) {
			return 0, fmt.Errorf("%w: %q", ErrPath, file.Path)
		}
	}
	hash := SourceHash(cat.Files)
	err = tx.QueryRow(ctx, `
insert into catalog_revision (workshop_id, revision, effective, source_sha256, stored_at, stored_by)
select $1, coalesce(max(revision), 0) + 1, $2, $3, $4, $5
from catalog_revision
where workshop_id = $1
returning revision`, workshop, midnight(cat.Workshop.Effective), hash[:], at, by).Scan(&revision)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == "23505" { // unique_violation (PostgreSQL manual, appendix A)
		return 0, ErrRevisionTaken
	}
	if err != nil {
		return 0, fmt.Errorf("store a revision: %w", err)
	}
	s := storing{workshop: workshop, revision: revision}
	s.files(cat.Files)
	s.dealers(cat)
	s.products(cat)
	s.items(cat)
	s.attributes(cat)
	s.choices(cat)
	s.rules(cat)
	if err := errors.Join(s.standards(cat), s.sections(cat)); err != nil {
		return 0, err
	}
	s.species(cat)
	s.finishes(cat)
	s.fabrics(cat)
	if err := tx.SendBatch(ctx, &s.batch).Close(); err != nil {
		return 0, fmt.Errorf("store revision %d: %w", revision, err)
	}
	return revision, nil
}

// ErrPath tells that a file's path cannot be kept; see ValidPath.
var ErrPath = errors.New("not the path of a catalog file: write it with slashes, without . and .., ending in .yaml")

// SourceHash is the SHA-256 over each file's path and bytes, each after its
// length in 8 bytes, most significant first, in the order given.
func SourceHash(files []source.File) [32]byte {
	h := sha256.New()
	var length [8]byte
	for _, file := range files {
		for _, part := range [][]byte{[]byte(file.Path), file.Bytes} {
			binary.BigEndian.PutUint64(length[:], uint64(len(part)))
			h.Write(length[:])
			h.Write(part)
		}
	}
	return [32]byte(h.Sum(nil))
}

// storing gathers the statements of one revision for one round trip.
type storing struct {
	workshop uuid.UUID
	revision int
	batch    pgx.Batch
}

func (s *storing) queue(statement string, columns ...any) {
	s.batch.Queue(statement, append([]any{s.workshop, s.revision}, columns...)...)
}

func (s *storing) files(files []source.File) {
	var paths []string
	var bytes [][]byte
	for _, file := range files {
		paths = append(paths, file.Path)
		// A nil slice would be stored as no value rather than as an empty file.
		bytes = append(bytes, append([]byte{}, file.Bytes...))
	}
	s.queue(`
insert into catalog_file (workshop_id, revision, path, bytes)
select $1, $2, f.path, f.bytes
from unnest($3::text[], $4::bytea[]) as f (path, bytes)`, paths, bytes)
}

func (s *storing) dealers(cat *catalog.Catalog) {
	var codes, names []string
	for code, dealer := range cat.Dealers.All() {
		codes, names = append(codes, code.Value), append(names, dealer.Name)
	}
	// Dealers of a workshop are of no revision.
	s.batch.Queue(`
insert into dealer (workshop_id, dealer_id, name)
select $1, d.dealer_id, d.name
from unnest($2::text[], $3::text[]) as d (dealer_id, name)
order by d.dealer_id
on conflict (workshop_id, dealer_id) do update set name = excluded.name`, s.workshop, codes, names)
}

// day is a day as the driver takes one, nil for none.
func day(d *calendar.Date) *time.Time {
	if d == nil {
		return nil
	}
	at := midnight(*d)
	return &at
}

// textOrNull is nil for an empty text.
func textOrNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}
