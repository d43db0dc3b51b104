package paper

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"billwright/bom/order"
	"billwright/bom/saw"
)

// These tests look at the files as somebody else's program does: poppler's
// pdftotext and pdftoppm read the PDF, a browser prints the HTML, and a decoder
// that is not ours reads the codes.

// tool runs a program of the machine, bounded; its absence fails the test with
// how to install it.
func tool(t testing.TB, name, pack string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is not installed: run ./deploy/check, or install the package %s", name, pack)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	var said bytes.Buffer
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v: %s", name, err, said.String())
	}
	return out
}

func printed(t testing.TB, paper *Paper, size Size) string {
	t.Helper()
	pdf, err := PDF(paper, size)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func textOf(t testing.TB, file string) string {
	t.Helper()
	return string(tool(t, "pdftotext", "poppler-utils", "-raw", file, "-"))
}

// rendered are the pages of a PDF as pictures.
func rendered(t testing.TB, file string, dpi, most int) []image.Image {
	t.Helper()
	root := filepath.Join(filepath.Dir(file), fmt.Sprint("page-", dpi))
	tool(t, "pdftoppm", "poppler-utils", "-r", fmt.Sprint(dpi), "-gray", "-png", "-l", fmt.Sprint(most), file, root)
	paths, _ := filepath.Glob(root + "*.png")
	slices.Sort(paths)
	pages := make([]image.Image, len(paths))
	for i, path := range paths {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		pages[i], err = png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(pages) == 0 {
		t.Fatal("nothing was rendered")
	}
	return pages
}

func dark(page image.Image, x, y int) bool {
	r, _, _, _ := page.At(x, y).RGBA()
	return r < 0x8000
}

// The text of the PDF has every line of the layout, in the very words.
func TestThePDFSaysEveryFigure(t *testing.T) {
	for _, name := range []string{"demonstration-order", "hand-metric-forged", "suite-one-dye-lot", "work-tables-on-pallets"} {
		if testing.Short() && name > "hand" {
			continue
		}
		paper := New(golden(t, name))
		text := squeeze(textOf(t, printed(t, paper, Letter)))
		lines := 0
		for _, one := range pagesOf(paper) {
			for i := range one.chunks {
				for _, line := range linesOf(&one.chunks[i]) {
					lines++
					if !strings.Contains(text, squeeze(line)) {
						t.Errorf("%s: the PDF does not say %q", name, line)
					}
				}
			}
			for _, f := range one.head.facts {
				if !strings.Contains(text, squeeze(f.lines[0])) {
					t.Errorf("%s: the PDF does not say %q", name, f.lines[0])
				}
			}
			if page := squeeze(fmt.Sprintf("Page %d of %d", one.n, one.of)); !strings.Contains(text, page) {
				t.Errorf("%s: no %s", name, page)
			}
		}
		if lines < 40 {
			t.Errorf("%s: only %d lines", name, lines)
		}
	}
}

// squeeze takes the spaces out, which no reader of a PDF knows for sure.
func squeeze(text string) string { return regexp.MustCompile(`\s+`).ReplaceAllString(text, "") }

func linesOf(c *chunk) []string {
	lines := slices.Clone(c.lines)
	if c.row != nil {
		for _, cell := range c.row.cells {
			for _, t := range cell {
				lines = append(lines, t.Text)
			}
		}
	}
	if c.block.Picture != nil && c.part == cardHead {
		for i := range c.block.Picture.Items {
			lines = append(lines, c.block.Picture.Items[i].Text)
		}
	}
	return lines
}

// ruleOf measures the longest dark run near the foot of a page, in pixels, left
// of its middle third.
func ruleOf(page image.Image, dpi int) int {
	longest := 0
	bounds := page.Bounds()
	for y := bounds.Dy() * 85 / 100; y < bounds.Dy(); y++ {
		run := 0
		for x := range bounds.Dx() {
			if !dark(page, x, y) {
				if run > longest && run < 5*dpi { // the line over the foot is 7.4 in
					longest = run
				}
				run = 0
				continue
			}
			run++
		}
	}
	return longest
}

// The rule at the foot is 4.00 in, or 100 mm, on both sizes of sheet, in the PDF
// and as a browser prints the HTML.
func TestTheRuleIsTrueToSize(t *testing.T) {
	const dpi = 300
	for name, want := range map[string]float64{"demonstration-order": 4 * dpi, "hand-metric-forged": 100 / 25.4 * dpi} {
		for _, size := range []Size{Letter, A4} {
			if testing.Short() && (size == A4) != (name == "hand-metric-forged") {
				continue
			}
			for from, file := range map[string]string{"PDF": printed(t, New(golden(t, name), Saw), size), "HTML": browserPrinted(t, New(golden(t, name), Saw), size)} {
				page := rendered(t, file, dpi, 1)[0]
				if got := float64(ruleOf(page, dpi)); got < want-3 || got > want+4 {
					t.Errorf("%s, %s, %s: the rule is %.0f of %.0f pixels", name, size, from, got, want)
				}
				w, h := size.sides()
				if x, y := page.Bounds().Dx(), page.Bounds().Dy(); abs(x-int(w)*dpi/7200) > 2 || abs(y-int(h)*dpi/7200) > 2 {
					t.Errorf("%s, %s, %s: the page is %d x %d pixels", name, size, from, x, y)
				}
			}
		}
	}
}

func abs(n int) int { return max(n, -n) }

// browserPrinted prints the HTML by a browser into a PDF.
func browserPrinted(t testing.TB, paper *Paper, size Size) string {
	t.Helper()
	html, err := HTML(paper, size)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	page, out := filepath.Join(dir, "paper.html"), filepath.Join(dir, "browser.pdf")
	if err := os.WriteFile(page, html, 0o600); err != nil {
		t.Fatal(err)
	}
	browser := os.Getenv("BROWSER")
	if browser == "" {
		browser = "chromium"
	}
	tool(t, browser, "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-pdf-header-footer", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+out, "file://"+page)
	return out
}

// Pages of the HTML, printed by a browser, are those of the PDF.
func TestTheHTMLHasThePagesOfThePDF(t *testing.T) {
	paper := New(golden(t, "demonstration-order"))
	file := browserPrinted(t, paper, A4)
	browsers, ours := pagesIn(textOf(t, file)), pagesIn(textOf(t, printed(t, paper, A4)))
	if len(ours) < 10 || len(browsers) != len(ours) {
		t.Fatalf("the browser prints %d pages, the PDF has %d", len(browsers), len(ours))
	}
	for i := range ours {
		for _, line := range strings.Split(ours[i], "\n") {
			for _, words := range regexp.MustCompile(`\s{2,}`).Split(strings.TrimSpace(line), -1) {
				if !strings.Contains(squeeze(browsers[i]), squeeze(words)) {
					t.Errorf("page %d of the HTML does not say %q", i+1, words)
				}
			}
		}
	}
}

func pagesIn(text string) []string { return strings.Split(strings.TrimSuffix(text, "\f"), "\f") }

// Nothing is printed beyond 7.4 in, however long the words.
func TestNothingStandsBeyondTheMargin(t *testing.T) {
	const dpi = 72
	job := golden(t, "demonstration-order")
	job.Document.Sidemark, job.Document.PO = strings.Repeat("W", 60), strings.Repeat("M", 40)
	job.Document.DealerName = strings.Repeat("Wide dealer name ", 6)
	for _, size := range []Size{Letter, A4} {
		if testing.Short() && size == A4 {
			continue
		}
		for _, paper := range []*Paper{New(job), Labels(job, CartonLabels), Labels(job, PartLabels)} {
			for n, page := range rendered(t, printed(t, paper, size), dpi, 40) {
				w, _ := size.sides()
				left := int((w-Width)/2)/100 - 4
				if paper.Label {
					left = int(labelEdge)/100 - 3
				}
				bounds := page.Bounds()
				for y := range bounds.Dy() {
					for x := range left {
						if dark(page, x, y) || dark(page, bounds.Dx()-1-x, y) {
							t.Fatalf("%s, %s, page %d: print at %d, %d of %v", paper.Title, size, n+1, x, y, bounds)
						}
					}
				}
			}
		}
	}
}

func read(t testing.TB, page image.Image) string {
	t.Helper()
	bitmap, err := gozxing.NewBinaryBitmapFromImage(page)
	if err != nil {
		t.Fatal(err)
	}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
	if err != nil {
		t.Fatalf("no code is read: %v", err)
	}
	return result.GetText()
}

// A decoder reads the code of every paper and label, and the same words stand
// below it.
func TestCodesAreReadBack(t *testing.T) {
	job := golden(t, "demonstration-order")
	a := job.Document.Acknowledgment(false)
	for name, paper := range map[string]*Paper{"papers": New(job, Weld, Finish), "acknowledgment": Acknowledge(&a, "USD", "Corrindale", address), "cartons": Labels(job, CartonLabels), "parts": Labels(job, PartLabels),
		"week": Batch(weekOf(job))} {
		file := printed(t, paper, Letter)
		texts := pagesIn(textOf(t, file))
		for n, page := range rendered(t, file, 150, 6) {
			code := read(t, page)
			if !strings.Contains(squeeze(texts[n]), code) {
				t.Errorf("%s, page %d: the code says %s, which does not stand there", name, n+1, code)
			}
			want := address
			if paper.Label {
				want = paper.Sheets[n].Label.Code.Address
			}
			if name != "week" && code != want {
				t.Errorf("%s, page %d: %s, want %s", name, n+1, code, want)
			}
		}
	}
}

func weekOf(job *Job) *Week {
	return &Week{Name: "2026-W52", Units: job.Bill.Units, Needs: saw.OfBill(job.Document.Number, job.Bill), Plans: job.Plans, Saw: saw.Of(job.Catalog),
		Revision: 3, Address: "https://desk.corrindale.example/v1/requirements/2026-W52/cut-list"}
}

// The frame of a stop is 3 pt, and its word is the largest below the head.
func TestAStopIsFramedInThreePoints(t *testing.T) {
	const dpi = 288 // 3 pt are 12 pixels
	job := golden(t, "demonstration-order")
	lineStates(job, order.Accepted)
	page := rendered(t, printed(t, New(job, Saw), Letter), dpi, 1)[0]
	if !strings.Contains(textOf(t, printed(t, New(job, Saw), Letter)), "NOT RELEASED") {
		t.Error("it does not say so")
	}
	thick := 0
	x := page.Bounds().Dx() / 2
	runs := []int{}
	for y := range page.Bounds().Dy() {
		if dark(page, x, y) {
			thick++
			continue
		}
		if thick > 0 {
			runs = append(runs, thick)
		}
		thick = 0
	}
	heavy := 0
	for _, run := range runs {
		if run >= 11 && run <= 13 {
			heavy++
		}
	}
	if heavy < 3 { // the line below the head, and both sides of the frame
		t.Errorf("%d lines of 3 pt down the middle of the page: %v", heavy, runs)
	}
}

// The large figures of a carton's label are at least 7 mm high.
func TestLargeFiguresOfALabelAreSevenMillimetres(t *testing.T) {
	const dpi = 254 // 10 pixels are 1 mm
	job := golden(t, "stool-14-narrow-own")
	labels := Labels(job, CartonLabels)
	page := rendered(t, printed(t, labels, Letter), dpi, 1)[0]
	// The figure 1 begins the carton's number, at the left edge.
	left, tallest, run := int(labelEdge)*dpi/7200, 0, 0
	for y := range page.Bounds().Dy() * 6 / 10 {
		any := false
		for x := left; x < left+50; x++ {
			any = any || dark(page, x, y)
		}
		if any {
			run++
		} else {
			tallest, run = max(tallest, run), 0
		}
	}
	if tallest < 70 {
		t.Errorf("the tallest figure is %.1f mm high", float64(tallest)/10)
	}
}

// People's texts come out letter by letter: in the PDF with a box for each
// letter that its font lacks and its number told, in the HTML as they are.
func TestHostileTextsAreShown(t *testing.T) {
	texts := hostile()
	if len(texts) < 200 {
		t.Fatalf("only %d texts", len(texts))
	}
	job := golden(t, "stool-14-narrow-own")
	for i := 0; i < len(texts); i += 3 {
		job.Document.Sidemark, job.Document.PO, job.Document.DealerName = texts[i], texts[(i+1)%len(texts)], texts[(i+2)%len(texts)]
		paper := New(job, Boxing)
		html, err := HTML(paper, Letter)
		if err != nil {
			t.Fatal(err)
		}
		pdf := ""
		if every := 30; i%every == 0 && (!testing.Short() || i%90 == 0) {
			pdf = squeeze(textOf(t, printed(t, paper, Letter)))
		}
		for _, text := range []string{job.Document.Sidemark, job.Document.PO, job.Document.DealerName} {
			said := unmarked(string(html))
			if !strings.Contains(squeeze(said), squeeze(text)) {
				t.Errorf("the HTML does not show %q", text)
			}
			if pdf != "" && isLeftToRight(text) && !strings.Contains(pdf, squeeze(shown(text))) {
				t.Errorf("the PDF does not show %q as %q", text, shown(text))
			}
			for _, r := range lacking(text) {
				if !strings.Contains(said, fmt.Sprintf("U+%04X", r)) {
					t.Errorf("%q: nobody is told of U+%04X", text, r)
				}
			}
		}
		if strings.Contains(string(html), "<script") || strings.Contains(string(html), "onerror=") && strings.Contains(string(html), "<img") {
			t.Errorf("text became markup: %q %q %q", texts[i], job.Document.PO, job.Document.DealerName)
		}
	}
}

// The notice of the fonts goes with them: whole in the HTML, named in the PDF.
func TestTheFontsNoticeGoesWithThem(t *testing.T) {
	paper := New(golden(t, "stool-14-narrow-own"), Boxing)
	html, err := HTML(paper, Letter)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(html), Notice) || !strings.Contains(Notice, "Bigelow & Holmes") {
		t.Error("the HTML carries the fonts without their notice")
	}
	if info := string(tool(t, "pdfinfo", "poppler-utils", printed(t, paper, Letter))); !strings.Contains(info, fontNotice) {
		t.Errorf("the PDF does not name the fonts: %s", info)
	}
}
