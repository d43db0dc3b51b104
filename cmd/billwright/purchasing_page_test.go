package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The page on purchasing adds to the catalog of the page to begin with, and its
// golden order holds; glass that is tempered cannot come in sheets.
func TestThePurchasingPageAddsToTheCatalog(t *testing.T) {
	dir := t.TempDir()
	for _, page := range []string{"BEGIN.md", "PURCHASING.md"} {
		writePage(t, dir, page)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil || !strings.Contains(out.String(), "4 products") || !strings.Contains(out.String(), " 0 changed") {
		t.Fatalf("%v\n%s", err, out.String())
	}
	sheets := filepath.Join(dir, "sheets.yaml")
	text, err := os.ReadFile(sheets)
	if err != nil {
		t.Fatal(err)
	}
	for old, says := range map[string]string{"oversize: 1/8 in": "36 in", "safety: none": "tempered glass is never cut"} {
		changed := map[string]string{"oversize: 1/8 in": "oversize: 0 in", "safety: none": "safety: tempered"}[old]
		if err := os.WriteFile(sheets, bytes.Replace(text, []byte(old), []byte(changed), 1), 0o600); err != nil {
			t.Fatal(err)
		}
		out.Reset()
		if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String()+err.Error(), says) {
			t.Errorf("%s was not told: %v\n%s", changed, err, out.String())
		}
	}
}
