package postgres

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// install makes a folder that looks like an installed server of one version.
func install(t *testing.T, dir string, version string, programs ...string) string {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range programs {
		script := "#!/bin/sh\necho 'postgres (PostgreSQL) " + version + " (test)'\n"
		if err := os.WriteFile(filepath.Join(dir, name), []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestFind(t *testing.T) {
	root := t.TempDir()
	both := []string{"initdb", "postgres"}
	lib := filepath.Join(root, "lib", "*", "bin")
	nine := install(t, filepath.Join(root, "lib", "9", "bin"), "9.6.24", both...)
	fourteen := install(t, filepath.Join(root, "lib", "14", "bin"), "14.1", both...)
	sixteen := install(t, filepath.Join(root, "lib", "16", "bin"), "16beta1", both...)
	install(t, filepath.Join(root, "lib", "17", "bin"), "17.0", "postgres")
	clients := install(t, filepath.Join(root, "clients"), "18.0", "psql")
	server := install(t, filepath.Join(root, "server"), "13.4", both...)
	odd := install(t, filepath.Join(root, "odd"), "what", both...)
	packagedOrder := []string{sixteen, fourteen, nine} // by number, not by text; the half-installed 17 does not count

	for _, c := range []struct {
		name, pgBin, path string
		want              []string
		fault             string // part of the message
	}{
		{name: "PATH without a server", path: clients, want: packagedOrder},
		{name: "PATH with a server", path: clients + ":" + server, want: append([]string{server}, packagedOrder...)},
		{name: "PG_BIN alone counts", pgBin: server, path: fourteen, want: []string{server}},
		{name: "PG_BIN with clients only", pgBin: clients, path: server, fault: "PG_BIN is " + clients + ", but there is no program initdb in it"},
		{name: "PG_BIN that is no PostgreSQL", pgBin: odd, fault: "postgres --version says"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found, err := find(context.Background(), c.pgBin, c.path, []string{lib})
			if c.fault != "" {
				if !errors.Is(err, ErrNoBinaries) || !strings.Contains(err.Error(), c.fault) || strings.Contains(err.Error(), "\n") {
					t.Fatalf("got %v; want ErrNoBinaries with %q on one line", err, c.fault)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			var dirs []string
			for _, b := range found {
				dirs = append(dirs, b.dir)
			}
			if got, want := strings.Join(dirs, " "), strings.Join(c.want, " "); got != want {
				t.Errorf("found %s\nwant  %s", got, want)
			}
		})
	}
}

func TestNothingInstalled(t *testing.T) {
	empty := t.TempDir()
	_, err := find(context.Background(), "", empty, []string{filepath.Join(empty, "*", "bin")})
	if !errors.Is(err, ErrNoBinaries) {
		t.Fatalf("got %v, want ErrNoBinaries", err)
	}
	text := err.Error()
	if strings.Contains(text, "\n") || !strings.Contains(text, "package postgresql ") || !strings.Contains(text, "DATABASE_URL") {
		t.Errorf("%q: want one line that names the package and DATABASE_URL", text)
	}
	t.Setenv("PG_BIN", empty)
	if _, err := Start(context.Background(), Options{Dir: filepath.Join(empty, "database")}); !errors.Is(err, ErrNoBinaries) {
		t.Errorf("Start got %v, want ErrNoBinaries", err)
	}
	if _, err := os.Stat(filepath.Join(empty, "database")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a refused start made the folder (%v)", err)
	}
}

func TestChooseTheVersionOfTheFiles(t *testing.T) {
	found := []binaries{{"/a", 16}, {"/b", 15}, {"/c", 15}}
	data := t.TempDir()
	if b, err := choose(found, data); err != nil || b.dir != "/a" {
		t.Errorf("new folder: %v, %v; want /a", b, err)
	}
	for version, want := range map[string]string{"16": "/a", "15": "/b", "14": ""} {
		if err := os.WriteFile(filepath.Join(data, "PG_VERSION"), []byte(version+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		b, err := choose(found, data)
		if want == "" {
			if !errors.Is(err, ErrOtherVersion) || !strings.Contains(err.Error(), "installed here is 16, 15:") {
				t.Errorf("files of %s: %v; want ErrOtherVersion that lists 16, 15", version, err)
			}
		} else if err != nil || b.dir != want {
			t.Errorf("files of %s: %v, %v; want %s", version, b, err, want)
		}
	}
}

func TestDefaultDir(t *testing.T) {
	got, err := DefaultDir()
	if err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() == 0 {
		if got != "/var/lib/billwright" {
			t.Errorf("root's folder is %s", got)
		}
		return
	}
	t.Setenv("XDG_STATE_HOME", "/somewhere/state")
	if got, _ = DefaultDir(); got != "/somewhere/state/billwright" {
		t.Errorf("with XDG_STATE_HOME: %s", got)
	}
	t.Setenv("XDG_STATE_HOME", "relative")
	t.Setenv("HOME", "/home/somebody")
	if got, _ = DefaultDir(); got != "/home/somebody/.local/state/billwright" {
		t.Errorf("with HOME alone: %s", got)
	}
}
