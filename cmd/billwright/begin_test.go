package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The page to begin with is a whole catalog: its blocks, written to files as a
// reader would, are checked without a fault and their golden orders hold.
func TestTheBeginPageIsAWholeCatalog(t *testing.T) {
	dir := t.TempDir()
	if files := writePage(t, dir, "BEGIN.md"); files < 6 {
		t.Errorf("%d files", files)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "3 products") {
		t.Errorf("printed %q", out.String())
	}
	// A changed figure is told: the page's own orders are really reckoned.
	table := filepath.Join(dir, "table.yaml")
	text, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(table, bytes.Replace(text, []byte("len('29 in') - top_thickness"), []byte("len('30 in') - top_thickness"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String(), "28 1/2 in") {
		t.Errorf("a changed leg length was not told: %v\n%s", err, out.String())
	}
}

// writePage writes the blocks of a page of the catalog to files, as a reader
// would, and tells how many there are.
func writePage(t *testing.T, dir, page string) (files int) {
	t.Helper()
	text, err := os.ReadFile("../../catalog/" + page)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range strings.Split(string(text), "```yaml\n# file: ")[1:] {
		name, rest, _ := strings.Cut(part, "\n")
		block, _, ends := strings.Cut(rest, "```")
		if !ends {
			t.Fatalf("%s: the block of %s does not end", page, name)
		}
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			t.Fatalf("%s: there is a file %s already", page, name)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(block), 0o600); err != nil {
			t.Fatal(err)
		}
		files++
	}
	if blocks := strings.Count(string(text), "```yaml"); files != blocks {
		t.Errorf("%s: %d files in %d blocks", page, files, blocks)
	}
	return files
}

// The page of shapes goes with the page to begin with.
func TestTheShapesPageGoesWithTheBeginPage(t *testing.T) {
	dir := t.TempDir()
	writePage(t, dir, "BEGIN.md")
	writePage(t, dir, "SHAPES.md")
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "6 products") || !strings.Contains(out.String(), "4 golden orders, 0 changed") || strings.Contains(out.String(), "warning") {
		t.Errorf("printed %q", out.String())
	}
}

// The page on cushions goes on where the page to begin with ends.
func TestTheCushionsPageGoesOnFromBegin(t *testing.T) {
	dir := t.TempDir()
	writePage(t, dir, "BEGIN.md")
	writePage(t, dir, "CUSHIONS.md")
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "4 products") || !strings.Contains(out.String(), "3 golden orders, 0 changed") || strings.Contains(out.String(), "warning") {
		t.Errorf("printed %q", out.String())
	}
}
