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
	page, err := os.ReadFile("../../catalog/BEGIN.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	files := 0
	for _, part := range strings.Split(string(page), "```yaml\n# file: ")[1:] {
		name, rest, _ := strings.Cut(part, "\n")
		text, _, ends := strings.Cut(rest, "```")
		if !ends {
			t.Fatalf("the block of %s does not end", name)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		files++
	}
	if blocks := strings.Count(string(page), "```yaml"); files != blocks || files < 6 {
		t.Errorf("%d files in %d blocks", files, blocks)
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
