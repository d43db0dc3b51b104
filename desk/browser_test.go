package desk

import (
	"context"
	_ "embed"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// axe is axe-core, whose licence lies beside it.
//
//go:embed testdata/axe.min.js
var axe string

// browsing is the one browser of this package's tests. It ends with its context.
var browsing = sync.OnceValues(func() (context.Context, error) {
	program, err := browserProgram()
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.WindowSize(1366, 768))
	if os.Getuid() == 0 { // the browser's own sandbox refuses root
		options = append(options, chromedp.NoSandbox)
	}
	// Whatever a test does, the browser is gone before the test process would be.
	bounded, stop := context.WithTimeout(context.Background(), 10*time.Minute)
	allocated, end := chromedp.NewExecAllocator(bounded, options...)
	ctx, _ := chromedp.NewContext(allocated) //nolint:govet // endBrowser ends it with its allocator
	endBrowser = func() { end(); stop() }
	return ctx, chromedp.Do(ctx)
})

var endBrowser = func() {}

// browserProgram finds the browser: BROWSER, or Debian's.
func browserProgram() (string, error) {
	if told := os.Getenv("BROWSER"); told != "" {
		return told, nil
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("no browser is installed: the pages are tested in a real one. Run ./deploy/check, which installs Debian's package chromium, or name one in BROWSER")
}

// tab is a window of a person's own: it shares no cookie with another.
type tab struct {
	t    testing.TB
	ctx  context.Context
	base string
	keys int // keys pressed so far

	mu      sync.Mutex
	console []string
	meant   []string // texts of lines that are meant
}

// openTab opens a window on the desk. A word in its console, such as of a
// violated policy, fails the test when it ends.
func (s *shop) openTab() *tab {
	s.t.Helper()
	browser, err := browsing()
	if err != nil {
		s.t.Fatal(err)
	}
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	b := &tab{t: s.t, ctx: ctx, base: s.base}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1366, 768)); err != nil {
		s.t.Fatal(err)
	}
	heard := chromedp.Console(ctx)
	var listening sync.WaitGroup
	listening.Go(func() {
		for m, err := range heard {
			if err != nil {
				return
			}
			b.mu.Lock()
			b.console = append(b.console, m.String())
			b.mu.Unlock()
		}
	})
	s.t.Cleanup(func() {
		cancel()
		listening.Wait()
		for _, line := range b.console {
			if !slices.ContainsFunc(b.meant, func(text string) bool { return strings.Contains(line, text) }) {
				s.t.Errorf("the console says %s", line)
			}
		}
	})
	return b
}

// within bounds one step in the browser.
const within = 20 * time.Second

// do runs steps, all of them within a bound.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, within)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatalf("%v\n%s", err, b.text())
	}
}

// text is what the page shows, for a failing test.
func (b *tab) text() string {
	ctx, cancel := context.WithTimeout(b.ctx, 2*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText`))
	if err != nil {
		return err.Error()
	}
	return text
}

// eval gives the value of an expression of the page, which may be a promise.
func eval[T any](b *tab, expression string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, within)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v\n%s", expression, err, b.text())
	}
	return v
}

// open goes to a page of the desk.
func (b *tab) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.base + path))
}

// await waits until an expression of the page holds, over whatever pages come.
func (b *tab) await(expression string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, within)
	defer cancel()
	for {
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		if err == nil && holds {
			return
		}
		select {
		case <-ctx.Done():
			b.t.Fatalf("%s never came: %v\n%s", expression, err, b.text())
		case <-time.After(5 * time.Millisecond): // an error is of a page that was just left
		}
	}
}

// press presses keys one after another and counts them.
func (b *tab) press(keys string, modifiers ...chromedp.Modifier) {
	b.t.Helper()
	b.keys += len([]rune(keys))
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// shows tells whether the page shows a text.
func (b *tab) shows(text string) bool {
	b.t.Helper()
	quoted, err := json.Marshal(text)
	if err != nil {
		b.t.Fatal(err)
	}
	return eval[bool](b, `document.body.innerText.includes(`+string(quoted)+`)`)
}

func (b *tab) wants(texts ...string) {
	b.t.Helper()
	for _, text := range texts {
		if !b.shows(text) {
			b.t.Errorf("the page does not show %q:\n%s", text, b.text())
		}
	}
}

// violation is what axe-core found against an element.
type violation struct {
	ID, Help string
	Nodes    []struct{ HTML string }
}

// sound holds the page against every rule of axe-core but the experimental, and
// against a window that is narrow or zoomed into.
func (b *tab) sound() {
	b.t.Helper()
	b.obeysAxe("")
	b.narrow()
}

// obeysAxe holds the page against the rules; where is told with what is found.
func (b *tab) obeysAxe(where string) {
	b.t.Helper()
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[int](axe+";0")); err != nil {
		b.t.Fatal(err)
	}
	found := eval[string](b, `axe.run(document, {runOnly: {type: "tag", values: ["wcag2a","wcag2aa","wcag2aaa","wcag21a","wcag21aa","wcag22aa","best-practice"]}}).then(r => JSON.stringify(r.violations.map(v => ({ID: v.id, Help: v.help, Nodes: v.nodes.map(n => ({HTML: n.html}))}))))`)
	var violations []violation
	if err := json.Unmarshal([]byte(found), &violations); err != nil {
		b.t.Fatal(err)
	}
	for _, v := range violations {
		for _, n := range v.Nodes {
			b.t.Errorf("axe-core: %s %s: %s: %s", where, v.ID, v.Help, n.HTML)
		}
	}
}

func (b *tab) narrow() {
	b.t.Helper()
	for _, width := range []int64{683, 320} {
		b.do(chromedp.EmulateViewport(width, 768))
		if over := eval[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
			widest := eval[string](b, `[...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > innerWidth + 1).slice(0, 4).map(e => e.outerHTML.slice(0, 120)).join("\n")`)
			b.t.Errorf("at %d px the page is %d px too wide:\n%s", width, over, widest)
		}
	}
	b.do(chromedp.EmulateViewport(1366, 768))
}

var update = flag.Bool("update", false, "take the guide's pictures anew")

// picture keeps what the window shows for the guide, when it is taken anew.
func (b *tab) picture(name string) {
	b.t.Helper()
	if !*update {
		return
	}
	ctx, cancel := context.WithTimeout(b.ctx, within)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join("guide", name+".png"), png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// forget lets lines pass on the console that hold a text: those are meant. They
// may come later than what they are about.
func (b *tab) forget(text string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.meant = append(b.meant, text)
}

// Keys by the browser's own private code points, as the driver names them.
var (
	f2 = kb.F2
	f4 = kb.F4
	f8 = kb.F8
)
