package desk

import (
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"billwright/catalog/demonstration"
)

func press(selector, keys string) chromedp.Action[chromedp.Void] {
	return chromedp.SendKeys(chromedp.CSS(selector), keys)
}

func click(selector string) chromedp.Action[chromedp.Void] {
	return chromedp.Click(chromedp.CSS(selector))
}

func read(t testing.TB, reply *http.Response) string {
	t.Helper()
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// placed places the example order as a rep would, and gives its number.
func (s *shop) placed(t testing.TB) string {
	t.Helper()
	rep := s.person("Set-up Rep", "rep")
	body := strings.Replace(string(demonstration.Order()), `"po":`, `"dealer": "studio-tamsel", "po":`, 1)
	w := s.ask(rep, "POST", "/v1/orders", body, "Idempotency-Key", "example")
	_, number, found := strings.Cut(w.Header().Get("Location"), "/v1/orders/")
	if w.Code != http.StatusCreated || !found {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	return number
}

// A rep finds the example order by a part of its sidemark, from the keyboard,
// and reads what the interface says of it.
func TestFindAnOrderAndReadIt(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders")
	b.sound()
	b.wants(number, "studio-tamsel", "ST-2207", "Ferncote dining room", "8,732.25", "Tue 9 Feb 2027")
	b.picture("orders")
	b.press(kb.F7)
	b.await(`location.pathname === "/orders/new"`)
	b.sits("dealer")
	b.open("/orders")
	b.press(f2)
	b.await(`document.activeElement.id === "find"`)
	b.press("nothing like it")
	b.await(`document.querySelectorAll("table.walk").length === 0`) // the list goes with what is typed
	b.press(f2 + "ferncote din\r")
	b.await(`location.pathname === "/orders/` + number + `"`)
	b.sound()
	b.picture("order")
	b.wants("8,732.25", "Tue 9 Feb 2027", "Brackwater dining table", "as typed: 7 ft", "84 in", "default", "Reed bronze",
		"own-material", "3.00 yd of customer's own material needed", "2,227.50", "50/10", "Nothing: the shop has not begun.", "received 25 Nov 2026 12:00 CST", "Version 1 stands", "Cartons", "two people")
	if title := eval[string](b, `document.title`); !strings.HasPrefix(title, "1 hold: order "+number) {
		t.Errorf("the title is %q", title)
	}
	b.open("/orders?text=nothing-like-it")
	b.wants("none: a part of a number")
	b.sound()
	b.open("/nowhere")
	b.wants("There is no such page")
	b.forget("status of 404")
	b.sound()
	b.open("/orders/0000-0000")
	b.wants("There is no order 0000-0000.")
	b.forget("status of 404")
}

// The first page that a rep opens, with all that it needs, is at most 45 kB on
// the wire.
func TestTheFirstPageIsSmall(t *testing.T) {
	s := openShop(t)
	s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders")
	sizes := eval[[]float64](b, `[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")].map(e => e.encodedBodySize)`)
	sum := 0.0
	for _, size := range sizes {
		sum += size
	}
	t.Logf("%v: %.0f bytes", sizes, sum)
	if len(sizes) < 4 || sum > 45_000 {
		t.Errorf("%d files, %.0f bytes", len(sizes), sum)
	}
}

func contains(text string, all ...string) bool {
	for _, one := range all {
		if !strings.Contains(text, one) {
			return false
		}
	}
	return true
}
