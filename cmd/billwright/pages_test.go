package main

import (
	"bytes"
	"strings"
	"testing"
)

// Who reads the pages in a row and keeps each block has one catalog of them all:
// no page takes a code that another has.
func TestAllPagesTogetherAreOneCatalog(t *testing.T) {
	dir := t.TempDir()
	for _, page := range []string{"BEGIN.md", "SHAPES.md", "WELDING.md", "TOPS.md", "CUSHIONS.md", "FINISHING.md"} {
		writePage(t, dir, page)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "12 products") || !strings.Contains(out.String(), " 0 changed") {
		t.Errorf("printed %q", out.String())
	}
}

// A workshop whose catalog was written from the pages alone, of every shape of
// steel and kind of weld, shaped seats and finishes by their data sheets, has no
// faults, no warnings, and comes to the figures worked by hand.
func TestTheWorkshopWrittenFromThePagesHolds(t *testing.T) {
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", "../../testdata/workshop-smithy"}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	if !strings.Contains(out.String(), "8 golden orders, 0 changed") || strings.Contains(out.String(), "Warnings") {
		t.Errorf("printed %q", out.String())
	}
}
