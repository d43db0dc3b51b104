package main

import (
	"bytes"
	"strings"
	"testing"
)

// The page on welds goes on from the page to begin with, by itself and beside
// the page of shapes.
func TestTheWeldingPageGoesOnFromBegin(t *testing.T) {
	for _, c := range []struct{ pages, products, orders string }{
		{"BEGIN.md WELDING.md", "4 products", "6 golden orders, 0 changed"},
		{"BEGIN.md SHAPES.md WELDING.md", "7 products", "8 golden orders, 0 changed"},
	} {
		dir := t.TempDir()
		for _, page := range strings.Fields(c.pages) {
			writePage(t, dir, page)
		}
		var out bytes.Buffer
		if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
			t.Fatalf("%s: %v\n%s", c.pages, err, out.String())
		}
		if !strings.Contains(out.String(), c.products) || !strings.Contains(out.String(), c.orders) || strings.Contains(out.String(), "warning") {
			t.Errorf("%s: printed %q", c.pages, out.String())
		}
	}
}
