package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The page on shipping adds to the catalog of the page to begin with: the blocks
// of both together are checked without a fault, and its golden order holds.
func TestTheShippingPageAddsToTheCatalog(t *testing.T) {
	dir := t.TempDir()
	for _, page := range []string{"BEGIN.md", "SHIPPING.md"} {
		text, err := os.ReadFile("../../catalog/" + page)
		if err != nil {
			t.Fatal(err)
		}
		parts := strings.Split(string(text), "```yaml\n# file: ")[1:]
		if len(parts) != strings.Count(string(text), "```yaml") || len(parts) < 3 {
			t.Fatalf("%s: %d files", page, len(parts))
		}
		for _, part := range parts {
			name, rest, _ := strings.Cut(part, "\n")
			block, _, ends := strings.Cut(rest, "```")
			if _, err := os.Stat(filepath.Join(dir, name)); err == nil || !ends {
				t.Fatalf("%s: the block of %s does not end, or its name is taken", page, name)
			}
			if err := os.WriteFile(filepath.Join(dir, name), []byte(block), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil || !strings.Contains(out.String(), "4 products") || strings.Contains(out.String(), "counter.yaml") {
		t.Fatalf("%v\n%s", err, out.String())
	}
	// A changed pad is told: the page's own order is really reckoned.
	counter := filepath.Join(dir, "counter.yaml")
	text, err := os.ReadFile(counter)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(counter, bytes.Replace(text, []byte(`{cushioning: "len('2 in')"}`), []byte(`{cushioning: "len('3 in')"}`), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String(), "54 in") {
		t.Errorf("a changed cushioning was not told: %v\n%s", err, out.String())
	}
}
