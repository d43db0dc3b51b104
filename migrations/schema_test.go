package migrations_test

import (
	"bytes"
	"context"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"billwright/deploy/postgres/testdb"
)

func TestMain(m *testing.M) { testdb.Main(m) }

var update = flag.Bool("update", false, "write testdata/schema.sql anew")

const golden = "../testdata/schema.sql"

// TestSchemaIsTheOneReviewed holds the schema that the migrations make, as
// PostgreSQL itself tells it, against the file in testdata, so that each change
// shows in a review. After a change: go test ./migrations -run Schema -update
func TestSchemaIsTheOneReviewed(t *testing.T) {
	got := dump(t, testdb.New(t).AdminURL)
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the migrations make another schema than testdata/schema.sql (run with -update once the change is meant): %s", firstDifference(string(got), string(want)))
	}
}

func dump(t *testing.T, address string) []byte {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	// The table of applied migrations is the migration library's own.
	cmd := exec.CommandContext(ctx, pgDump(t), "--schema-only", "--schema=public", "--exclude-table=goose_db_version", "--exclude-table=goose_db_version_id_seq", "--dbname="+address)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("pg_dump: %v: %s", err, stderr.String())
	}
	return normalise(out)
}

// pgDump is the newest pg_dump of the machine: it must not be older than the
// server.
func pgDump(t *testing.T) string {
	t.Helper()
	if dir := os.Getenv("PG_BIN"); dir != "" {
		return filepath.Join(dir, "pg_dump")
	}
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/pg_dump") // fails on a bad pattern only
	slices.SortFunc(found, func(a, b string) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		return strings.Compare(a, b)
	})
	if len(found) > 0 {
		return found[len(found)-1]
	}
	path, err := exec.LookPath("pg_dump")
	if err != nil {
		t.Fatal("no pg_dump on this machine: install PostgreSQL's client programs")
	}
	return path
}

// What differs between versions of pg_dump and says nothing about the schema:
// comments, settings of the session, and the random word that newer ones fence
// the script with.
var noise = regexp.MustCompile(`(?m)^(--.*|SET .*;|SELECT pg_catalog\.set_config.*;|\\(un)?restrict .*)\n`)

// The schema itself stands in some versions' dumps and not in others'.
var itself = regexp.MustCompile(`(?m)^(CREATE SCHEMA public;|ALTER SCHEMA public OWNER TO .*;|COMMENT ON SCHEMA public IS .*;|(GRANT|REVOKE) .* ON SCHEMA public (TO|FROM) .*;)\n`)

var gaps = regexp.MustCompile(`\n{3,}`)

func normalise(script []byte) []byte {
	script = itself.ReplaceAll(noise.ReplaceAll(script, nil), nil)
	script = gaps.ReplaceAll(script, []byte("\n\n"))
	return append(bytes.TrimSpace(script), '\n')
}

func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			return "line " + g[i] + "\nwhere the file has " + w[i]
		}
	}
	return "one ends before the other"
}
