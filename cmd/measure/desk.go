package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// measureDesk measures the desk in a real browser on loopback, with the
// demonstration catalog: how long a choice takes to the screen, keys and the
// bytes of the first page. Papers are measured by measurePapers.
func measureDesk(ctx context.Context, r *report, _ []string) error {
	dir, binary, clear, err := workplace(ctx)
	if err != nil {
		return err
	}
	defer clear()
	s, _, err := startService(ctx, binary, filepath.Join(dir, "desk"))
	if err != nil {
		return err
	}
	defer s.stop() //nolint:errcheck // nothing is kept
	link, err := s.firstAdmin(ctx)
	if err != nil {
		return err
	}
	return measurePages(ctx, r, link, s.base)
}

var adminLink = regexp.MustCompile(`http://\S+/first-admin\?token=\S+`)

// firstAdmin reads the link that the program prints for the first admin.
func (s *service) firstAdmin(ctx context.Context) (string, error) {
	for began := time.Now(); time.Since(began) < 30*time.Second; {
		text, err := os.ReadFile(s.log.Name())
		if err != nil {
			return "", err
		}
		if link := adminLink.Find(text); link != nil {
			return string(link), nil
		}
		select {
		case <-ctx.Done():
			return "", ctx.Err()
		case <-time.After(50 * time.Millisecond):
		}
	}
	return "", errors.New("the program printed no link for the first admin")
}

// browser is one window, and the keys pressed in it.
type browser struct {
	ctx  context.Context
	keys int
	err  error
}

// openBrowser starts Debian's chromium or the one in BROWSER; it ends with its
// context.
func openBrowser(ctx context.Context) (*browser, context.CancelFunc, error) {
	program := os.Getenv("BROWSER")
	if program == "" {
		var err error
		if program, err = exec.LookPath("chromium"); err != nil {
			return nil, nil, fmt.Errorf("no browser: install Debian's package chromium, or name one in BROWSER: %w", err)
		}
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.WindowSize(1366, 768))
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	bounded, stop := context.WithTimeout(ctx, 4*time.Minute)
	allocated, end := chromedp.NewExecAllocator(bounded, options...)
	window, leave := chromedp.NewContext(allocated)
	clear := func() { leave(); end(); stop() }
	if err := chromedp.Do(window); err != nil {
		clear()
		return nil, nil, err
	}
	return &browser{ctx: window}, clear, nil
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	if b.err == nil {
		b.err = chromedp.Do(b.ctx, steps...)
	}
}

func (b *browser) press(keys string, modifiers ...chromedp.Modifier) {
	b.keys += len([]rune(keys))
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// await waits until an expression of the page holds.
func (b *browser) await(expression string) {
	for began := time.Now(); b.err == nil; time.Sleep(2 * time.Millisecond) {
		holds, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err == nil && holds {
			return
		}
		if time.Since(began) > 30*time.Second {
			text, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](`location.href + " " + document.activeElement.id + " " + document.body.innerText`))
			b.err = fmt.Errorf("%s never came: %w", expression, errors.Join(err, errors.New(text)))
		}
	}
}

func (b *browser) numbers(expression string) []float64 {
	if b.err != nil {
		return nil
	}
	n, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](expression))
	b.err = err
	return n
}

func measurePages(ctx context.Context, r *report, link, base string) error {
	b, clear, err := openBrowser(ctx)
	if err != nil {
		return err
	}
	defer clear()
	b.do(chromedp.Navigate(link), chromedp.SendKeys(chromedp.CSS("#name"), "Ada Brandt"), chromedp.SendKeys(chromedp.CSS("#password"), "four ash legs welded\r"))
	b.await(`location.pathname === "/orders"`)
	b.do(chromedp.Navigate(base + "/orders"))
	bytes := 0.0
	for _, size := range b.numbers(`[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")].map(e => e.encodedBodySize)`) {
		bytes += size
	}
	keys := b.oneOrder(base)
	right, took := b.choices(base)
	if b.err != nil {
		return b.err
	}
	r.atMost("desk.first-page", bytes/1000, "kB", 45)
	r.atMost("desk.keys-of-an-order", float64(keys), "keys", 66)
	r.atMost("desk.keys-of-a-blocked-choice", float64(right), "keys", 1)
	slices.Sort(took)
	if len(took) < 100 {
		return fmt.Errorf("only %d choices were timed", len(took))
	}
	r.plain("desk.choices", float64(len(took)), "choices")
	r.plain("desk.choice.p50", took[len(took)/2], "ms")
	r.atMost("desk.choice.p95", took[len(took)*95/100], "ms", 100)
	r.note("choices in ms: %.1f", took)
	return nil
}

// oneOrder enters an order of one line with fifteen answers and gives the keys
// that it took.
func (b *browser) oneOrder(base string) int {
	b.do(chromedp.Navigate(base + "/orders/new"))
	b.await(`document.activeElement.id === "f-dealer"`)
	b.keys = 0
	for _, keys := range []string{"st\r", "ST-2208\t", "Ferncote dining room\r", "b\t", "7'\t", "36 1/2\t\t", "as\t", "cl\t\t", "r\t\t", "2"} {
		b.press(keys)
	}
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/.{4}-.{4}$/.test(location.pathname)`)
	return b.keys
}

// choices makes more than a hundred choices on an order of some lines and gives
// how long each took until it was painted, in ms; and the keys that put a
// blocked one right.
func (b *browser) choices(base string) (right int, took []float64) {
	b.do(chromedp.Navigate(base + "/orders/new"))
	b.await(`document.activeElement.id === "f-dealer"`)
	b.press("st\rST-2209\r")
	for _, line := range []string{"b\t", "sb\t", "p\t", "lr\t"} {
		b.press(line)
		b.await(`!window.desk.busy()`)
		for range 4 {
			for _, keys := range []string{"\t", "\t", "\t", kb.ArrowDown + "\t"} { // the next rows, one of them chosen anew
				b.press(keys)
				b.await(`!window.desk.busy()`)
			}
			b.do(chromedp.Focus(chromedp.CSS(`#f-product`)))
			b.await(`!window.desk.busy() && document.activeElement.id === "f-product"`)
			for range 7 {
				b.press("\t")
				b.await(`!window.desk.busy()`)
			}
			b.do(chromedp.Focus(chromedp.CSS(`#f-product`)))
			b.await(`!window.desk.busy() && document.activeElement.id === "f-product"`)
		}
		b.do(chromedp.Focus(chromedp.CSS(`#f-another`)))
		b.await(`!window.desk.busy() && document.activeElement.id === "f-another"`)
	}
	b.await(`window.desk.kept()`) // else what was typed would come back on the next page
	took = b.numbers(`performance.getEntriesByName("choice").map(e => e.duration)`)
	b.do(chromedp.Navigate(base + "/orders/new"))
	b.await(`document.activeElement.id === "f-dealer"`)
	for _, keys := range []string{"st\r", "ST-2210\r", "b\t", "\t\t\t", "white o\t", "clear"} {
		b.press(keys)
		b.await(`!window.desk.busy()`)
	}
	b.await(`document.querySelector(".near [data-near]") !== null`)
	b.keys = 0
	b.press(kb.F4)
	b.await(`document.getElementById("f-a:species").value === "White ash" && document.getElementById("f-a:wood_finish").value.startsWith("Clear coat")`)
	return b.keys, took
}
