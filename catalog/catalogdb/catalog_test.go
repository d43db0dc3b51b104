package catalogdb

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/demonstration"
	"billwright/catalog/source"
	"billwright/deploy/postgres/testdb"
	"billwright/migrations/tenancy"
)

func TestMain(m *testing.M) { testdb.Main(m) }

var storedAt = time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC)

// shop is one workshop of a test's database.
type shop struct {
	t     *testing.T
	ctx   context.Context
	id    uuid.UUID
	pool  *pgxpool.Pool
	admin *pgxpool.Pool
}

func openShop(t *testing.T) *shop {
	t.Helper()
	db := testdb.New(t)
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	s := &shop{t: t, ctx: ctx, pool: db.Pool(t), admin: db.AdminPool(t)}
	s.id = s.found("corrindale")
	return s
}

// found adds a workshop to the database.
func (s *shop) found(code string) uuid.UUID {
	s.t.Helper()
	id := uuid.Must(uuid.NewV7())
	_, err := s.admin.Exec(s.ctx, `insert into workshop (workshop_id, code, name, page_secret, created_at) values ($1, $2, $2, sha256('secret'), $3)`, id, code, storedAt)
	if err != nil {
		s.t.Fatal(err)
	}
	return id
}

// as runs act as the workshop's own people.
func (s *shop) as(act func(tx pgx.Tx) error) error {
	return tenancy.Transact(s.ctx, s.pool, tenancy.Scope{Workshop: s.id, Dealer: tenancy.AllDealers}, act)
}

func (s *shop) must(act func(tx pgx.Tx) error) {
	s.t.Helper()
	if err := s.as(act); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) store(files []source.File) (revision int) {
	s.t.Helper()
	cat := read(s.t, files)
	s.must(func(tx pgx.Tx) (err error) {
		revision, err = Store(s.ctx, tx, s.id, cat, "r. tamsel", storedAt)
		return err
	})
	return revision
}

func read(t *testing.T, files []source.File) *catalog.Catalog {
	t.Helper()
	cat, faults := catalog.Read(files)
	for _, fault := range faults {
		t.Error(fault)
	}
	if cat == nil {
		t.FailNow()
	}
	return cat
}

// effective is the demonstration from another day on.
func effective(t *testing.T, day string) []source.File {
	t.Helper()
	files := demonstration.Files()
	for i := range files {
		if files[i].Path == "workshop.yaml" {
			changed := bytes.Replace(files[i].Bytes, []byte("effective: 2026-11-02"), []byte("effective: "+day), 1)
			if day != "2026-11-02" && bytes.Equal(changed, files[i].Bytes) {
				t.Fatal("the demonstration's day is not where this test looks for it")
			}
			files[i].Bytes = changed
		}
	}
	return files
}

func TestStoredFilesComeBackByteForByte(t *testing.T) {
	s := openShop(t)
	files := demonstration.Files()
	// What a text column or an editor would change: an umlaut in two forms of
	// Unicode, spaces at the end, no last newline, a file of comments alone.
	files = append(files,
		source.File{Path: "Zwischenablage.yaml", Bytes: []byte("# Tischgestell, gek\u00fcrzt; geku\u0308rzt   \r\n\n# 'quoted' \\x00 %_ end")},
		source.File{Path: "products/Notes.yaml", Bytes: []byte("# nothing else\n")})
	if got := s.store(files); got != 1 {
		t.Fatalf("the first revision is %d", got)
	}
	s.must(func(tx pgx.Tx) error {
		cat, err := Load(s.ctx, tx, s.id, 1)
		if err != nil {
			return err
		}
		want := read(t, files)
		if cat.Revision != 1 {
			t.Errorf("the catalog calls itself revision %d", cat.Revision)
		}
		if len(cat.Files) != len(want.Files) {
			t.Fatalf("%d files came back of %d", len(cat.Files), len(want.Files))
		}
		for i := range want.Files {
			if cat.Files[i].Path != want.Files[i].Path || !bytes.Equal(cat.Files[i].Bytes, want.Files[i].Bytes) {
				t.Errorf("%s came back as %s, or with other bytes", want.Files[i].Path, cat.Files[i].Path)
			}
		}
		if !slices.Equal(cat.Products.Keys(), want.Products.Keys()) {
			t.Errorf("products %q, want %q", cat.Products.Keys(), want.Products.Keys())
		}
		revisions, err := Revisions(s.ctx, tx, s.id)
		if err != nil {
			return err
		}
		wantRevision := Revision{Number: 1, Effective: calendar.Date{Year: 2026, Month: 11, Day: 2}, StoredAt: storedAt, StoredBy: "r. tamsel", SourceSHA256: SourceHash(want.Files)}
		if len(revisions) != 1 || !revisions[0].StoredAt.Equal(storedAt) {
			t.Fatalf("revisions are %+v", revisions)
		}
		revisions[0].StoredAt = storedAt
		if revisions[0] != wantRevision {
			t.Errorf("the revision is %+v, want %+v", revisions[0], wantRevision)
		}
		return nil
	})
}

func TestSourceHashTellsPathsAndBytesApart(t *testing.T) {
	file := func(path, text string) source.File { return source.File{Path: path, Bytes: []byte(text)} }
	sets := [][]source.File{
		nil,
		{file("a", "bc")},
		{file("ab", "c")},
		{file("a", ""), file("b", "c")},
		{file("a", "b"), file("", "c")},
		{file("a", "bc"), file("", "")},
	}
	seen := map[[32]byte]int{}
	for i, set := range sets {
		if before, twice := seen[SourceHash(set)]; twice {
			t.Errorf("sets %d and %d have one hash", before, i)
		}
		seen[SourceHash(set)] = i
	}
}

func TestRevisionsCountFromOneInEachWorkshop(t *testing.T) {
	s := openShop(t)
	for want := 1; want <= 3; want++ {
		if got := s.store(demonstration.Files()); got != want {
			t.Errorf("revision %d, want %d", got, want)
		}
	}
	other := *s
	other.id = s.found("wickerlode")
	if got := other.store(demonstration.Files()); got != 1 {
		t.Errorf("another workshop's first revision is %d", got)
	}
	for _, test := range []struct {
		shop *shop
		want []int
	}{{s, []int{3, 2, 1}}, {&other, []int{1}}} {
		test.shop.must(func(tx pgx.Tx) error {
			revisions, err := Revisions(s.ctx, tx, test.shop.id)
			var got []int
			for _, r := range revisions {
				got = append(got, r.Number)
			}
			if !slices.Equal(got, test.want) {
				t.Errorf("revisions %d, want %d", got, test.want)
			}
			return err
		})
	}
}

func TestRevisionsStoredAtOnce(t *testing.T) {
	s := openShop(t)
	cat := read(t, demonstration.Files())
	var mu sync.Mutex
	var got []int
	var taken int
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 20 {
				var revision int
				err := s.as(func(tx pgx.Tx) (err error) {
					revision, err = Store(s.ctx, tx, s.id, cat, "one of four", storedAt)
					return err
				})
				mu.Lock()
				switch {
				case err == nil:
					got = append(got, revision)
				case errors.Is(err, ErrRevisionTaken):
					taken++
				default:
					t.Error(err)
				}
				mu.Unlock()
				if err == nil {
					return
				}
			}
			t.Error("twenty times another was faster")
		})
	}
	wg.Wait()
	slices.Sort(got)
	if !slices.Equal(got, []int{1, 2, 3, 4}) {
		t.Errorf("four at once became revisions %d (%d were told to try again)", got, taken)
	}
}

func TestCurrentGoesByTheFirstDay(t *testing.T) {
	s := openShop(t)
	for _, day := range []string{"2026-11-02", "2027-01-04", "2026-12-01"} {
		s.store(effective(t, day))
	}
	for _, test := range []struct {
		on   string
		want int
	}{
		{"2026-11-01", 0},
		{"2026-11-02", 1},
		{"2026-11-30", 1},
		{"2026-12-01", 3},
		{"2027-01-03", 3},
		{"2027-01-04", 3}, // revision 2 begins today, but 3 was stored after it
	} {
		on, err := calendar.ParseDate(test.on)
		if err != nil {
			t.Fatal(err)
		}
		err = s.as(func(tx pgx.Tx) error {
			got, err := Current(s.ctx, tx, s.id, on)
			if got != test.want {
				t.Errorf("on %s revision %d holds, want %d", test.on, got, test.want)
			}
			return err
		})
		if test.want == 0 && !errors.Is(err, ErrNoRevision) || test.want != 0 && err != nil {
			t.Errorf("on %s: %v", test.on, err)
		}
	}
}

func TestRevisionThatIsNotThere(t *testing.T) {
	s := openShop(t)
	s.store(demonstration.Files())
	other := *s
	other.id = s.found("wickerlode")
	for _, test := range []struct {
		shop     *shop
		revision int
	}{{s, 2}, {s, 0}, {&other, 1}} {
		err := test.shop.as(func(tx pgx.Tx) error {
			_, err := Load(s.ctx, tx, test.shop.id, test.revision)
			return err
		})
		if !errors.Is(err, ErrNoRevision) {
			t.Errorf("revision %d: %v", test.revision, err)
		}
	}
}

// 42501 is insufficient_privilege (PostgreSQL manual, appendix A).
func TestRevisionNeverChanges(t *testing.T) {
	s := openShop(t)
	s.store(demonstration.Files())
	rows, err := s.admin.Query(s.ctx, `select table_name::text from information_schema.tables where table_name like 'catalog\_%' order by table_name`)
	if err != nil {
		t.Fatal(err)
	}
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	if len(tables) != 13 {
		t.Errorf("the catalog has the tables %q", tables)
	}
	for _, table := range tables {
		var stored int
		if err := s.admin.QueryRow(s.ctx, fmt.Sprintf(`select count(*) from %s`, table)).Scan(&stored); err != nil || stored == 0 {
			t.Errorf("%s has %d rows: %v", table, stored, err)
		}
		for _, statement := range []string{
			fmt.Sprintf(`update %s set revision = revision`, table),
			fmt.Sprintf(`delete from %s`, table),
			fmt.Sprintf(`truncate %s`, table),
		} {
			err := s.as(func(tx pgx.Tx) error {
				_, err := tx.Exec(s.ctx, statement)
				return err
			})
			var refused *pgconn.PgError
			if !errors.As(err, &refused) || refused.Code != "42501" {
				t.Errorf("%s: %v", statement, err)
			}
		}
	}
}

func TestDealerNamesFollowTheNewestCatalog(t *testing.T) {
	s := openShop(t)
	s.store(demonstration.Files())
	files := demonstration.Files()
	cat := read(t, files)
	code := cat.Dealers.Keys()[0]
	dealer, _ := cat.Dealers.Get(code)
	for i := range files {
		files[i].Bytes = bytes.ReplaceAll(files[i].Bytes, []byte("name: "+dealer.Name), []byte("name: Renamed"))
	}
	s.store(files)
	var name string
	if err := s.admin.QueryRow(s.ctx, `select name from dealer where dealer_id = $1`, code).Scan(&name); err != nil || name != "Renamed" {
		t.Errorf("dealer %s is called %q: %v", code, name, err)
	}
}
