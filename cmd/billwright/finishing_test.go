package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// writeBlocks writes the YAML blocks of a page to files, as a reader would.
func writeBlocks(t *testing.T, page, dir string) (files int) {
	t.Helper()
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range strings.Split(string(text), "```yaml\n# file: ")[1:] {
		name, rest, _ := strings.Cut(part, "\n")
		block, _, ends := strings.Cut(rest, "```")
		if !ends {
			t.Fatalf("the block of %s does not end", name)
		}
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); err == nil {
			t.Fatalf("there is a file %s already", name)
		}
		if err := os.WriteFile(path, []byte(block), 0o600); err != nil {
			t.Fatal(err)
		}
		files++
	}
	if blocks := strings.Count(string(text), "```yaml"); files != blocks {
		t.Fatalf("%s: %d files in %d blocks", page, files, blocks)
	}
	return files
}

// The page on finishing adds to the catalog of the page to begin with: together
// they are checked without a fault, and its golden order, worked by hand, holds.
func TestTheFinishingPageAddsToTheCatalog(t *testing.T) {
	dir := t.TempDir()
	writeBlocks(t, "../../catalog/BEGIN.md", dir)
	if files := writeBlocks(t, "../../catalog/FINISHING.md", dir); files < 3 {
		t.Errorf("%d files", files)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	path := filepath.Join(dir, "finishes.yaml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.Replace(text, []byte("handle_hours: 16"), []byte("handle_hours: 20"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String(), "21.73 h") {
		t.Errorf("a longer wait was not told: %v\n%s", err, out.String())
	}
}
