package postgres

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ErrNoBinaries: no PostgreSQL server is installed on this machine.
var ErrNoBinaries = errors.New("no PostgreSQL server is installed: install the package postgresql (its name in Debian), or set DATABASE_URL to a running server")

// ErrOtherVersion: the folder was made by a major version of PostgreSQL that is not installed.
var ErrOtherVersion = errors.New("database files of another major version")

// packaged are the folders that distributions install server binaries into when they keep them off PATH: Debian and
// Ubuntu, SUSE, PostgreSQL's own RPMs, Alpine. From the packages' file lists; SUSE, RPM and Alpine from memory.
var packaged = []string{
	"/usr/lib/postgresql/*/bin",
	"/usr/lib/postgresql[0-9]*/bin",
	"/usr/pgsql-*/bin",
	"/usr/libexec/postgresql*",
}

// binaries is a folder with one installed server version.
type binaries struct {
	dir   string
	major int
}

func (b binaries) path(name string) string { return filepath.Join(b.dir, name) }

// installed lists the server versions of this machine in order of preference.
func installed(ctx context.Context) ([]binaries, error) {
	return find(ctx, os.Getenv("PG_BIN"), os.Getenv("PATH"), packaged)
}

// find looks in pgBin alone when it is given; else along path, then in the packaged folders, newest version first.
// A folder counts only when it holds both initdb and postgres: clients alone are often on PATH.
func find(ctx context.Context, pgBin, path string, packaged []string) ([]binaries, error) {
	if pgBin != "" {
		b, err := inspect(ctx, pgBin)
		if ctx.Err() != nil {
			return nil, lookCutShort(ctx)
		}
		if err != nil {
			return nil, fmt.Errorf("PG_BIN is %s, but %w; %w", pgBin, err, ErrNoBinaries)
		}
		return []binaries{b}, nil
	}
	var first, rest []binaries
	for _, dir := range filepath.SplitList(path) {
		if b, err := inspect(ctx, dir); err == nil {
			first = append(first, b)
		}
	}
	for _, pattern := range packaged {
		dirs, _ := filepath.Glob(pattern) // fails on a bad pattern only
		for _, dir := range dirs {
			if b, err := inspect(ctx, dir); err == nil {
				rest = append(rest, b)
			}
		}
	}
	slices.SortStableFunc(rest, func(a, b binaries) int { return b.major - a.major })
	all := append(first, rest...)
	if ctx.Err() != nil {
		return nil, lookCutShort(ctx)
	}
	if len(all) == 0 {
		return nil, ErrNoBinaries
	}
	return all, nil
}

func lookCutShort(ctx context.Context) error {
	return fmt.Errorf("look for an installed PostgreSQL server: %w", ctx.Err())
}

var versionText = regexp.MustCompile(`\(PostgreSQL\) (\d+)`)

// inspect reads which version a folder holds.
func inspect(ctx context.Context, dir string) (binaries, error) {
	b := binaries{dir: dir}
	for _, name := range []string{"initdb", "postgres"} {
		info, err := os.Stat(b.path(name))
		if err != nil || !info.Mode().IsRegular() || info.Mode()&0o111 == 0 {
			return b, fmt.Errorf("there is no program %s in it", name)
		}
	}
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, b.path("postgres"), "--version")
	cmd.Env = serverEnv()
	out, err := cmd.Output()
	if err != nil {
		return b, fmt.Errorf("postgres --version failed there: %w", err)
	}
	m := versionText.FindSubmatch(out)
	if m == nil {
		return b, fmt.Errorf("postgres --version says %q there", strings.TrimSpace(string(out)))
	}
	b.major, err = strconv.Atoi(string(m[1]))
	return b, err
}

// choose picks the version a folder needs: the one that made it, or the most preferred for a new folder.
func choose(found []binaries, data string) (binaries, error) {
	text, err := os.ReadFile(filepath.Join(data, "PG_VERSION"))
	if errors.Is(err, os.ErrNotExist) {
		return found[0], nil
	}
	if err != nil {
		return binaries{}, fmt.Errorf("read the version of the database files: %w", err)
	}
	want := strings.TrimSpace(string(text))
	var have []string
	for _, b := range found {
		if strconv.Itoa(b.major) == want {
			return b, nil
		}
		have = append(have, strconv.Itoa(b.major))
	}
	return binaries{}, fmt.Errorf("%w: %s was made by PostgreSQL %s, and installed here is %s: install PostgreSQL %s beside it, or dump there and restore into a new folder",
		ErrOtherVersion, data, want, strings.Join(slices.Compact(have), ", "), want)
}

// serverEnv is the environment of every server program. Nothing of ours is handed on: a PGPORT or PGDATA meant for
// clients would change the server, and messages must stay in English for launch to read them.
func serverEnv() []string {
	return []string{"PATH=/usr/local/bin:/usr/bin:/bin", "LC_ALL=C", "TZ=UTC"}
}
