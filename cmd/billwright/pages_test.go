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
	dir := checkPages(t, "3 products", "2 golden orders", "BEGIN.md")
	editPage(t, dir, "table.yaml", "len('29 in') - top_thickness", "len('30 in') - top_thickness", "28 1/2 in")
}

// The page of shapes goes with the page to begin with.
func TestTheShapesPageGoesWithTheBeginPage(t *testing.T) {
	checkPages(t, "6 products", "4 golden orders", "BEGIN.md", "SHAPES.md")
}

// The page on welds goes on from the page to begin with, by itself and beside
// the page of shapes.
func TestTheWeldingPageGoesOnFromBegin(t *testing.T) {
	checkPages(t, "4 products", "6 golden orders", "BEGIN.md", "WELDING.md")
	checkPages(t, "7 products", "8 golden orders", "BEGIN.md", "SHAPES.md", "WELDING.md")
}

// The page on tops goes on from the page to begin with. Its figures are
// reckoned: with a leaf more the cautions of its carton stay and the leaves do not.
func TestTheTopsPageGoesOnFromTheBeginPage(t *testing.T) {
	dir := checkPages(t, "6 products", "6 golden orders", "BEGIN.md", "TOPS.md")
	editPage(t, dir, "extension.yaml", "default: 2", "default: 3", "leaf pieces")
}

// The page on cushions goes on where the page to begin with ends.
func TestTheCushionsPageGoesOnFromBegin(t *testing.T) {
	checkPages(t, "4 products", "3 golden orders", "BEGIN.md", "CUSHIONS.md")
}

// The page on finishing adds to the catalog of the page to begin with, and its
// golden order, worked by hand, holds.
func TestTheFinishingPageAddsToTheCatalog(t *testing.T) {
	dir := checkPages(t, "4 products", "3 golden orders", "BEGIN.md", "FINISHING.md")
	editPage(t, dir, "finishes.yaml", "handle_hours: 16", "handle_hours: 20", "21.73 h")
}

// The page on shipping adds to the catalog of the page to begin with.
func TestTheShippingPageAddsToTheCatalog(t *testing.T) {
	dir := checkPages(t, "4 products", "3 golden orders", "BEGIN.md", "SHIPPING.md")
	editPage(t, dir, "counter.yaml", `{cushioning: "len('2 in')"}`, `{cushioning: "len('3 in')"}`, "54 in")
}

// Who reads the pages in a row and keeps each block has one catalog of them all:
// no page takes a code that another has.
func TestAllPagesTogetherAreOneCatalog(t *testing.T) {
	checkPages(t, "13 products", "15 golden orders", "BEGIN.md", "SHAPES.md", "WELDING.md", "TOPS.md", "CUSHIONS.md", "FINISHING.md", "SHIPPING.md")
}

// A workshop whose catalog was written from the pages alone, of every shape of
// steel and kind of weld, shaped seats and finishes by their data sheets, has no
// faults, no warnings, and comes to the figures worked by hand.
func TestTheWorkshopWrittenFromThePagesHolds(t *testing.T) {
	checkClean(t, "../../testdata/workshop-smithy", "4 products", "8 golden orders")
}

// checkPages writes the blocks of pages of the catalog to a folder and checks
// that it has nothing to be told of.
func checkPages(t *testing.T, products, orders string, pages ...string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	for _, page := range pages {
		writePage(t, dir, page)
	}
	checkClean(t, dir, products, orders)
	return dir
}

// checkClean checks a catalog that has no fault, no warning, no rule that comes
// to nothing and no golden order that comes out otherwise.
func checkClean(t *testing.T, dir, products, orders string) {
	t.Helper()
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	printed := out.String()
	if !strings.Contains(printed, ": no faults. "+products+",") || !strings.Contains(printed, "; "+orders+", 0 changed.") {
		t.Errorf("not %s and %s: printed %q", products, orders, printed)
	}
	if strings.Count(printed, "\n") != 1 {
		t.Errorf("warnings or findings of the rules:\n%s", printed)
	}
}

// editPage changes a figure of a page's file, and checks that its golden order
// tells what comes out otherwise: the page's orders are really reckoned.
func editPage(t *testing.T, dir, file, from, to, told string) {
	t.Helper()
	path := filepath.Join(dir, file)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	changed := bytes.Replace(text, []byte(from), []byte(to), 1)
	if bytes.Equal(text, changed) {
		t.Fatalf("%s does not have %q", file, from)
	}
	if err := os.WriteFile(path, changed, 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out); err == nil || !strings.Contains(out.String(), told) {
		t.Errorf("%s with %q was not told: %v\n%s", file, to, err, out.String())
	}
}

// writePage writes the blocks of a page of the catalog to files, as a reader would.
func writePage(t *testing.T, dir, page string) {
	t.Helper()
	text, err := os.ReadFile("../../catalog/" + page)
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(string(text), "```yaml\n# file: ")[1:]
	if blocks := strings.Count(string(text), "```yaml"); len(parts) == 0 || len(parts) != blocks {
		t.Fatalf("%s: %d files in %d blocks", page, len(parts), blocks)
	}
	for _, part := range parts {
		name, rest, _ := strings.Cut(part, "\n")
		block, _, ends := strings.Cut(rest, "```")
		if !ends {
			t.Fatalf("%s: the block of %s does not end", page, name)
		}
		path := filepath.Join(dir, name)
		if _, err := os.Stat(path); err == nil {
			t.Fatalf("%s: there is a file %s already", page, name)
		}
		if err := os.WriteFile(path, []byte(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
