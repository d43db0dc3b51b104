package catalogdb

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/jackc/pgx/v5"
	"pgregory.net/rapid"

	"billwright/catalog/demonstration"
	"billwright/catalog/source"
)

func TestPathsOfCatalogFiles(t *testing.T) {
	for _, path := range []string{"a.yaml", "a.yml", "A.YAML", "products/bench.yaml", "a b/c d.yaml", "zettel/maße.yaml", "a..b.yaml", strings.Repeat("d/", 20) + "e.yaml", "-a.yaml"} {
		if !ValidPath(path) {
			t.Errorf("%q is refused", path)
		}
	}
	for _, path := range []string{"", ".", "..", "a", "a.txt", "/a.yaml", "../a.yaml", "a/../b.yaml", "./a.yaml", "a//b.yaml", "a/./b.yaml", "a/", ".a.yaml", "a/.b/c.yaml", ".yaml", "a/.yaml",
		`a\b.yaml`, `..\a.yaml`, "C:a.yaml", "a.yaml:stream.yaml", "a?.yaml", "a*.yaml", "a|b.yaml", "<a>.yaml", `"a".yaml`, "a.yaml.", "a /b.yaml", "a./b.yaml", "a\x00.yaml", "a\n.yaml", "a\x7f.yaml",
		"\xff.yaml", "a\u202e.yaml", "a\u2028.yaml", "\ufeffa.yaml", strings.Repeat("a", 196) + ".yaml"} {
		if ValidPath(path) {
			t.Errorf("%q is taken", path)
		}
	}
}

// Whatever is taken is found again, under the same path, by reading a folder
// that has it.
func TestTakenPathsAreFoundAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := strings.Join(rapid.SliceOfN(rapid.StringMatching(`[a-zäA.\-_ ]{1,4}`), 1, 4).Draw(t, "parts"), "/") + rapid.SampledFrom([]string{".yaml", ".yml", ".YAML", ""}).Draw(t, "ending")
		if !ValidPath(path) {
			return
		}
		files, faults := source.ReadDir(fstest.MapFS{path: &fstest.MapFile{Data: []byte("# a\n")}})
		if len(files) != 1 || len(faults) != 0 || files[0].Path != path {
			t.Errorf("%q is read as %v: %v", path, files, faults)
		}
	})
}

func TestFilesOneByOne(t *testing.T) {
	s := openShop(t)
	files := append(demonstration.Files(), source.File{Path: "empty.yaml", Bytes: nil}, source.File{Path: "zettel/maße.yaml", Bytes: []byte("# \u00fc u\u0308  \r\n")})
	s.store(files)
	s.must(func(tx pgx.Tx) error {
		list, err := FileList(s.ctx, tx, s.id, 1)
		if err != nil {
			return err
		}
		if len(list) != len(files) {
			t.Errorf("%d files are listed of %d", len(list), len(files))
		}
		for _, file := range files {
			got, err := File(s.ctx, tx, s.id, 1, file.Path)
			if err != nil || !bytes.Equal(got, file.Bytes) {
				t.Errorf("%s: %q %v", file.Path, got, err)
			}
			want, found := StoredFile{file.Path, len(file.Bytes), sha256.Sum256(file.Bytes)}, false
			for _, one := range list {
				found = found || one == want
			}
			if !found {
				t.Errorf("%s is not listed as %+v", file.Path, want)
			}
		}
		if _, err := File(s.ctx, tx, s.id, 1, "nowhere.yaml"); !errors.Is(err, ErrNoFile) {
			t.Error(err)
		}
		if _, err := FileList(s.ctx, tx, s.id, 2); !errors.Is(err, ErrNoRevision) {
			t.Error(err)
		}
		if _, err := File(s.ctx, tx, s.found("wickerlode"), 1, files[0].Path); !errors.Is(err, ErrNoFile) {
			t.Errorf("another workshop's file: %v", err)
		}
		return nil
	})
}

// A catalog of which one path cannot be kept is not kept at all.
func TestPathsThatCannotBeKept(t *testing.T) {
	s := openShop(t)
	cat := read(t, append(demonstration.Files(), source.File{Path: "../beside.yaml", Bytes: []byte("# nothing\n")}))
	err := s.as(func(tx pgx.Tx) error {
		_, err := Store(s.ctx, tx, s.id, cat, "r. tamsel", storedAt)
		return err
	})
	if !errors.Is(err, ErrPath) || !strings.Contains(err.Error(), "../beside.yaml") {
		t.Error(err)
	}
	var n int
	if err := s.admin.QueryRow(s.ctx, `select (select count(*) from catalog_revision) + (select count(*) from catalog_file) + (select count(*) from dealer)`).Scan(&n); err != nil || n != 0 {
		t.Errorf("%d rows are left: %v", n, err)
	}
}
