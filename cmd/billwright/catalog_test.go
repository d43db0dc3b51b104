package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"billwright/catalog/demonstration"
)

// folder writes the demonstration, with what is written in it changed, into a
// folder of the test's.
func folder(t *testing.T, edits ...string) string {
	t.Helper()
	dir := t.TempDir()
	edited := make([]bool, len(edits))
	for _, file := range demonstration.Files() {
		for i := 0; i < len(edits); i += 2 {
			if changed := bytes.Replace(file.Bytes, []byte(edits[i]), []byte(edits[i+1]), 1); !edited[i] && !bytes.Equal(changed, file.Bytes) {
				file.Bytes, edited[i] = changed, true
			}
		}
		path := filepath.Join(dir, filepath.FromSlash(file.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, file.Bytes, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for i := 0; i < len(edits); i += 2 {
		if !edited[i] {
			t.Fatalf("no file of the demonstration has %q", edits[i])
		}
	}
	return dir
}

// same compares two folders file by file, both ways.
func same(t *testing.T, got, want string) {
	t.Helper()
	read := func(dir string) map[string]string {
		files := map[string]string{}
		err := fs.WalkDir(os.DirFS(dir), ".", func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return err
			}
			text, err := os.ReadFile(filepath.Join(dir, path))
			files[path] = string(text)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return files
	}
	a, b := read(got), read(want)
	for path, text := range b {
		if a[path] != text {
			t.Errorf("%s is other than it was loaded, or gone", path)
		}
		delete(a, path)
	}
	for path := range a {
		t.Errorf("%s was not in what was loaded", path)
	}
}

// told runs a command that must end well, or with a message that has a text.
func told(t *testing.T, refusal string, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	err := run(t.Context(), args, &out, &out)
	switch {
	case refusal == "" && err != nil:
		t.Fatalf("%q: %v\n%s", args, err, out.String())
	case refusal != "" && (err == nil || !strings.Contains(err.Error(), refusal) || exitCode(err, &out) != 1):
		t.Fatalf("%q: %v, want it to be refused with %q and 1\n%s", args, err, refusal, out.String())
	}
	return out.String()
}

func wants(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("%q is not in\n%s", part, text)
		}
	}
}

// stop ends the service by SIGTERM, by its process id, and waits for it.
func (r *running) stop(t *testing.T) {
	t.Helper()
	if err := r.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := r.cmd.Wait(); err != nil {
		t.Fatal(err)
	}
}

// A catalog goes the whole way: loaded through the running service and into the
// database without it, told apart, and written out as it came.
func TestCatalogsAreLoadedToldApartAndExported(t *testing.T) {
	t.Setenv("DATABASE_URL", "")
	t.Setenv("MIGRATE_DATABASE_URL", "")
	data := openFolder(t)
	first := folder(t)
	told(t, "there is no database in", "catalog", "load", first, "--data", data)
	if entries, err := os.ReadDir(data); err != nil || len(entries) > 0 {
		t.Fatalf("looking for a database made one: %v %v", entries, err)
	}
	service := start(t, data, "--clock", "2026-11-25T09:00:00-06:00")
	dearer := folder(t, "list: 1125.00", "list: 1150.00", "name: Sallow bench", "name: Sallow settle")
	key := filepath.Join(data, ownerKeyFile)
	wants(t, told(t, "", "catalog", "load", dearer, "--url", service.base, "--key", key, "--accept-changes"), "revision 2")
	var out bytes.Buffer
	diff := told(t, "", "catalog", "diff", "1", "2", "--url", service.base, "--key", key)
	wants(t, diff, "From revision 1 to revision 2", "price of sallow-bench (Sallow bench): size class Up to 48 in long › list: was 1125.00, becomes 1150.00",
		"name: was Sallow bench, becomes Sallow settle", "Open orders that use something changed or removed, or have a new closure in their way: 1.", "line 3 (sallow-bench, studio-tamsel, received, revision 1): ")
	if strings.Contains(diff, "line 1 ") || strings.Contains(diff, "line 2 ") {
		t.Errorf("lines are told that use nothing of it:\n%s", diff)
	}
	wants(t, told(t, "", "catalog", "diff", "--url", service.base, "--key", key, "2", first), "From revision 2 to "+first, "becomes Sallow bench", "for two stored revisions only")
	exported := filepath.Join(t.TempDir(), "two")
	wants(t, told(t, "", "catalog", "export", "2", exported, "--url", service.base, "--key", key), "revision 2")
	same(t, exported, dearer)
	told(t, "404", "catalog", "export", "9", filepath.Join(t.TempDir(), "nine"), "--url", service.base, "--key", key)
	told(t, "403", "catalog", "load", dearer, "--url", service.base, "--key", filepath.Join(data, dealerKeyFile), "--accept-changes")
	told(t, "not reached", "catalog", "load", first, "--url", "http://127.0.0.1:1", "--key", key)
	// The database is in use: it goes by the service, at the usual address, where
	// this one is not.
	told(t, "the service ", "catalog", "load", first, "--data", data)
	told(t, "read the key", "catalog", "load", first, "--url", service.base, "--key", filepath.Join(data, "no-key"))
	service.stop(t)

	wants(t, told(t, "", "catalog", "load", first, "--data", data), "revision 3")
	told(t, `there is no workshop "elsewhere"`, "catalog", "load", folder(t, "code: corrindale", "code: elsewhere"), "--data", data)
	wants(t, told(t, "", "catalog", "load", folder(t, "code: corrindale", "code: elsewhere"), "--data", data, "--workshop", "corrindale"), "revision 4")
	same3 := filepath.Join(t.TempDir(), "three")
	told(t, "", "catalog", "export", "3", same3, "--data", data)
	same(t, same3, first)
	told(t, "is not empty", "catalog", "export", "3", same3, "--data", data)
	told(t, "there is no revision 9", "catalog", "export", "9", filepath.Join(t.TempDir(), "nine"), "--data", data)
	wants(t, told(t, "", "catalog", "diff", "1", "3", "--data", data), "revision 1 and revision 3 say the same")
	wants(t, told(t, "", "catalog", "diff", "3", dearer, "--data", data), "becomes 1150.00", "Open orders that use something changed or removed, or have a new closure in their way: 1.")
	var faulty bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "load", folder(t, "terms: 50/10", "terms: fifty"), "--data", data}, &faulty, &out); err == nil || !strings.Contains(faulty.String(), "dealers.yaml:") {
		t.Errorf("a faulty catalog was loaded: %v\n%s", err, faulty.String())
	}
	wants(t, told(t, "there is no revision 5", "catalog", "export", "5", filepath.Join(t.TempDir(), "five"), "--data", data))
}

// Two folders are told apart without any database.
func TestFoldersAreToldApart(t *testing.T) {
	t.Setenv("DATABASE_URL", "postgres://nobody@127.0.0.1:1/none")
	got := told(t, "", "catalog", "diff", folder(t), folder(t, "terms: 50/10", "terms: 50/5"))
	wants(t, got, "1 changes", "dealer studio-tamsel (Studio Tamsel): terms: was 50/10, becomes 50/5")
	if strings.Contains(got, "Open orders") {
		t.Errorf("%s", got)
	}
	told(t, "no such file", "catalog", "diff", folder(t), filepath.Join(t.TempDir(), "nowhere"))
}

const goldenSettle = `golden_orders:
  bench-for-test:
    product: sallow-bench
    quantity: 3
    configuration: {length: 4', height: 1 ft 6 1/2 in, cloth: sedge-stripe}
    dealer: studio-tamsel
    day: 2026-11-25
    expect: {net: 1856.25, base/leg pieces: 12}
`

// A check tells which golden order comes out otherwise and how, prints the block
// to paste, and is content once that is pasted.
func TestCheckTellsChangedGoldenOrders(t *testing.T) {
	dir := folder(t, "list: 1125.00", "list: 1130.00")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, "zz-test.yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(goldenSettle)
	wants(t, told(t, "golden orders that come out otherwise: 1", "catalog", "check", dir),
		"zz-test.yaml:8:14: golden order bench-for-test: net: was 1856.25, becomes 1863.00", "no faults.")
	told(t, "nothing was loaded", "catalog", "load", dir, "--data", t.TempDir())
	block := told(t, "", "catalog", "check", dir, "--print", "bench-for-test")
	if want := "expect:\n  net: 1863.00\n  base/leg pieces: 12\n"; block != want {
		t.Errorf("printed\n%s\nwant\n%s", block, want)
	}
	write(strings.Replace(goldenSettle, "    expect: {net: 1856.25, base/leg pieces: 12}\n", "    "+strings.ReplaceAll(strings.TrimSpace(block), "\n", "\n    ")+"\n", 1))
	wants(t, told(t, "", "catalog", "check", dir), "0 changed")
	told(t, "no such golden order", "catalog", "check", dir, "--print", "bench")
}

// Warnings are listed apart and keep nobody from anything.
func TestWarningsAreNoFaults(t *testing.T) {
	dir := folder(t)
	text := "hardware:\n  spare-hook: {name: Spare hook, weight: 1 lb}\n" + strings.Replace(goldenSettle, "    expect: {net: 1856.25, base/leg pieces: 12}\n", "", 1)
	if err := os.WriteFile(filepath.Join(dir, "zz-test.yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	got := told(t, "", "catalog", "check", dir)
	wants(t, got, "Warnings: 2. They do not keep the catalog from being loaded.\n", "  zz-test.yaml:2:3: hardware › spare-hook: nothing uses it", "  zz-test.yaml:4:3: golden_orders › bench-for-test: nothing is expected of it", "no faults.")
	wants(t, told(t, "", "catalog", "check", dir, "--print", "bench-for-test"), "  net: 1856.25\n", "  base/leg cut_length: 15 1/8 in\n")
}

// A check tells what the rules come to: what nobody can order and by which rules,
// and a product that nobody can build. A difference tells what can no longer be
// ordered, and how many configurations there are.
func TestCatalogCheckTellsWhatTheRulesComeTo(t *testing.T) {
	const rule = "    rules:\n      long-needs-back:"
	desk := folder(t, rule, `    rules:
      no-back:
        says: The back is not made any more.
        allow: {back: open}
      long-needs-back:`)
	got := told(t, "", "catalog", "check", desk)
	wants(t, got, "products/wenlow-desk.yaml:", "wenlow-desk: Back can only be Open: The back is not made any more.",
		"wenlow-desk: Length can never be 66 1/8 in to 78 in, whatever else is chosen: ", "A desk longer than 66 in needs the bars at its back", "no faults.")
	none := told(t, "", "catalog", "check", folder(t, rule, `    rules:
      no-eased:
        says: Nothing is eased.
        where: {height: up to 30 in}
        forbid: {depth: at least 24 in}
      not-high:
        says: Nothing is high.
        where: {height: over 30 in}
        forbid: {depth: at least 24 in}
      long-needs-back:`, "default: 28 in\n      height:", "# without a default\n      height:"))
	wants(t, none, "Nobody can build Wenlow desk: whatever is chosen, a rule is broken: Nothing is eased. Nothing is high.")
	wants(t, told(t, "", "catalog", "diff", folder(t), desk), "What can be ordered is other of 1 products:", " configurations, now ", "no longer back bars", "no longer length 1677 mm to 78 in")
}

func TestFaultsOfWholeFolders(t *testing.T) {
	told(t, "no such file", "catalog", "check", filepath.Join(t.TempDir(), "nowhere"))
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	told(t, "it is no folder", "catalog", "check", file)
	dir := folder(t)
	for name, text := range map[string]string{"latin.yaml": "# gek\xfcrzt\n", "utf16.yaml": "\xff\xfea\x00", "bom.yaml": "\ufeff# a\n", "twice.yaml": "dealers:\n  studio-tamsel: {name: Again, terms: list}\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("/etc/passwd", filepath.Join(dir, "link.yaml")); err != nil {
		t.Fatal(err)
	}
	wants(t, told(t, "has faults", "catalog", "check", dir), "link.yaml")
	if err := os.Remove(filepath.Join(dir, "link.yaml")); err != nil {
		t.Fatal(err)
	}
	wants(t, told(t, "has faults: 4", "catalog", "check", dir), "latin.yaml", "utf16.yaml", "bom.yaml", "twice.yaml:2")
}

func TestSchemaIsJSON(t *testing.T) {
	var schema struct {
		Schema     string `json:"$schema"`
		Properties map[string]any
	}
	if err := json.Unmarshal([]byte(told(t, "", "catalog", "schema")), &schema); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"workshop", "products", "golden_orders", "standards"} {
		if schema.Properties[key] == nil {
			t.Errorf("the schema has no %s", key)
		}
	}
}

func TestCatalogCallsThatAreNotUnderstood(t *testing.T) {
	for _, args := range [][]string{{"check"}, {"check", "a", "b"}, {"load"}, {"load", "a", "--colour", "red"}, {"diff", "1"}, {"export", "1"}, {"export", "one", "dir"}, {"export", "0", "dir"}, {"schema", "x"}, {"check", "--print"}} {
		var out bytes.Buffer
		if err := run(t.Context(), append([]string{"catalog"}, args...), &out, &out); !errors.Is(err, errUsage) || exitCode(err, &out) != 2 {
			t.Errorf("%q: %v", args, err)
		}
	}
}
