// Package catalogdb stores catalogs by revision and reads them back. A revision
// never changes: the service's role may insert and read, nothing else. Every
// function runs in the caller's transaction (package tenancy) and names the
// workshop besides.
package catalogdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// ErrNoRevision tells that there is no such revision of the workshop's catalog,
// or none that holds yet.
var ErrNoRevision = errors.New("no such revision of the catalog")

// ErrRevisionTaken tells that another revision was stored at the same time.
// Storing again, in a new transaction, takes the next number.
var ErrRevisionTaken = errors.New("another revision of the catalog was stored just now")

// Current is the number of the revision that holds on a day: the highest whose
// first day it is or was. Without one: ErrNoRevision.
func Current(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, on calendar.Date) (revision int, err error) {
	err = tx.QueryRow(ctx, `
select revision
from catalog_revision
where workshop_id = $1 and effective <= $2
order by revision desc
limit 1`, workshop, midnight(on)).Scan(&revision)
	if errors.Is(err, pgx.ErrNoRows) {
		return 0, ErrNoRevision
	}
	if err != nil {
		return 0, fmt.Errorf("find the catalog of %s: %w", on, err)
	}
	return revision, nil
}

// Load reads a revision from the engineer's own files. Without it:
// ErrNoRevision.
func Load(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int) (*catalog.Catalog, error) {
	files, err := Files(ctx, tx, workshop, revision)
	if err != nil {
		return nil, err
	}
	cat, faults := catalog.Read(files)
	if len(faults) > 0 {
		// It was whole when it was stored, so the program's own rules changed.
		return nil, fmt.Errorf("revision %d of the catalog has %d faults, the first: %w", revision, len(faults), faults[0])
	}
	cat.Revision = revision
	return cat, nil
}

// Files are a revision's files byte for byte, sorted by path. Without it:
// ErrNoRevision.
func Files(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int) ([]source.File, error) {
	rows, err := tx.Query(ctx, `
select path, bytes
from catalog_file
where workshop_id = $1 and revision = $2
order by path collate "C"`, workshop, revision)
	if err != nil {
		return nil, fmt.Errorf("read the files of revision %d: %w", revision, err)
	}
	files, err := pgx.CollectRows(rows, pgx.RowToStructByPos[source.File])
	if err != nil {
		return nil, fmt.Errorf("read the files of revision %d: %w", revision, err)
	}
	if len(files) == 0 {
		return nil, ErrNoRevision
	}
	return files, nil
}

// StoredFile tells of a file without its bytes.
type StoredFile struct {
	Path   string
	Size   int
	SHA256 [32]byte
}

// FileList tells of a revision's files, sorted by path. Without the revision:
// ErrNoRevision.
func FileList(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int) ([]StoredFile, error) {
	rows, err := tx.Query(ctx, `
select path, octet_length(bytes), sha256(bytes)
from catalog_file
where workshop_id = $1 and revision = $2
order by path collate "C"`, workshop, revision)
	if err != nil {
		return nil, fmt.Errorf("list the files of revision %d: %w", revision, err)
	}
	files, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (StoredFile, error) {
		var f StoredFile
		var hash []byte
		err := row.Scan(&f.Path, &f.Size, &hash)
		copy(f.SHA256[:], hash)
		return f, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the files of revision %d: %w", revision, err)
	}
	if len(files) == 0 {
		return nil, ErrNoRevision
	}
	return files, nil
}

// ErrNoFile tells that a revision, or the workshop, has no such file.
var ErrNoFile = errors.New("no such file of the catalog")

// File gives one file of a revision byte for byte. Without it: ErrNoFile.
func File(ctx context.Context, tx pgx.Tx, workshop uuid.UUID, revision int, path string) ([]byte, error) {
	var bytes []byte
	err := tx.QueryRow(ctx, `
select bytes
from catalog_file
where workshop_id = $1 and revision = $2 and path = $3`, workshop, revision, path).Scan(&bytes)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, ErrNoFile
	}
	if err != nil {
		return nil, fmt.Errorf("read a file of revision %d: %w", revision, err)
	}
	return bytes, nil
}

// Revision is one stored revision.
type Revision struct {
	Number    int
	Effective calendar.Date
	StoredAt  time.Time
	StoredBy  string
	// SourceSHA256 is the hash of the files; see SourceHash.
	SourceSHA256 [32]byte
}

// Revisions lists the workshop's revisions, newest first.
func Revisions(ctx context.Context, tx pgx.Tx, workshop uuid.UUID) ([]Revision, error) {
	rows, err := tx.Query(ctx, `
select revision, effective, stored_at, stored_by, source_sha256
from catalog_revision
where workshop_id = $1
order by revision desc`, workshop)
	if err != nil {
		return nil, fmt.Errorf("list the revisions: %w", err)
	}
	revisions, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Revision, error) {
		var r Revision
		var effective time.Time
		var hash []byte
		err := row.Scan(&r.Number, &effective, &r.StoredAt, &r.StoredBy, &hash)
		r.Effective = calendar.DateOf(effective)
		copy(r.SourceSHA256[:], hash)
		return r, err
	})
	if err != nil {
		return nil, fmt.Errorf("list the revisions: %w", err)
	}
	return revisions, nil
}

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}
