package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The page on tops goes on from the page to begin with, and both together are a
// catalog whose golden orders come out.
func TestTheTopsPageGoesOnFromTheBeginPage(t *testing.T) {
	dir := t.TempDir()
	writePage(t, dir, "BEGIN.md")
	writePage(t, dir, "TOPS.md")
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "6 products") || !strings.Contains(out.String(), "6 golden orders, 0 changed") {
		t.Errorf("printed %q", out.String())
	}
	// Its figures are reckoned: with a leaf more the carton's cautions stay and
	// the leaves do not.
	extension := filepath.Join(dir, "extension.yaml")
	text, err := os.ReadFile(extension)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(extension, bytes.Replace(text, []byte("default: 2"), []byte("default: 3"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String(), "leaf pieces") {
		t.Errorf("a leaf more was not told: %v\n%s", err, out.String())
	}
}
