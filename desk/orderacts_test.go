package desk

import (
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// An order's way from the desk: own material is reckoned and written down, a
// hold placed and lifted, a note written, the order accepted and acknowledged.
func TestAnOrderIsTakenOn(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/" + number)
	b.sound()
	b.do(press(`[name=received]`, "2 yd\r"))
	b.await(`document.querySelector("[role=status]") !== null`)
	b.wants("2 yd:", "short")
	b.sound()
	b.do(chromedp.Clear(chromedp.CSS(`[name=received]`)), press(`[name=received]`, "4 yd"), click(`[formaction]`))
	b.await(`!document.body.innerText.includes("none received")`)
	b.wants("Holds", "none")

	b.do(press(`[name=kind]`, "depposit\r"))
	b.await(`document.querySelector("[role=alert]") !== null`)
	b.wants("There is no kind of hold", "engineering")
	b.forget("status of 4")
	b.sound()
	b.do(chromedp.Clear(chromedp.CSS(`[name=kind]`)), press(`[name=kind]`, "deposit\r"))
	b.await(`document.body.innerText.includes("The deposit must be here")`)
	b.do(press(`#text`, "Ring before you come.\nGate <b>two</b>."))
	eval[int](b, `document.querySelector("form:has(#text) .btn").click(), 0`) // it may lie under the foot line
	b.await(`document.querySelector("bdi.note") !== null`)
	b.wants("Gate <b>two</b>.", "Bo Linde")

	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.title.includes("accepted") && document.readyState === "complete"`)
	b.sound()
	b.press("\r", chromedp.ModifierCtrl) // held: it is not released
	b.await(`document.querySelector("[role=alert]") !== null`)
	b.wants("deposit")
	b.forget("status of 409")
	b.do(press(`[name=do][value=lift] ~ label input`, "paid by cheque\r"))
	b.await(`document.readyState === "complete" && document.body.innerText.includes("Holds\nnone") || !document.body.innerText.includes("The deposit must be here")`)
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.title.includes("released") && document.readyState === "complete"`)

	b.wants("The whole packet", "Saw and forge", "Labels of the cartons")
	papers := eval[[]string](b, `Promise.all([...document.querySelectorAll('a[href*="/papers/"]')].map(a => fetch(a.href).then(r => r.headers.get("Content-Type"))))`)
	if len(papers) < 3 || slices.ContainsFunc(papers, func(kind string) bool { return kind != "application/pdf" }) {
		t.Errorf("the papers of the order's page come as %q", papers)
	}

	b.open("/orders/" + number + "/acknowledgment")
	b.sound()
	b.picture("acknowledgment")
	b.wants("Acknowledgment", "Studio Tamsel", "8,732.25", "default", "Clear coat over bare wood")
}

// A change order is asked for, shown as was, change, becomes, declined without a
// trace, and approved.
func TestAChangeOrderSideBySide(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/" + number)
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.title.includes("accepted") && document.readyState === "complete"`)
	propose := func() {
		b.t.Helper()
		b.open("/orders/" + number + "/change")
		b.do(chromedp.Clear(chromedp.CSS(`[name="line.1.a:length"]`)), press(`[name="line.1.a:length"]`, "90 in"), press("#reason", "asked by phone"))
		b.press("\r", chromedp.ModifierCtrl)
		b.await(`document.title.includes("change order") && document.readyState === "complete"`)
	}
	propose()
	b.sound()
	b.picture("change")
	b.wants(" CST: asked by phone") // the plant's clock
	rows := eval[string](b, `[...document.querySelectorAll("tbody tr")].map(r => [...r.children].map(c => c.innerText).join(" | ")).join("\n")`)
	for _, want := range []string{"1 › length | 84 in | +6 in | 90 in", "1 › base › long-rail › cut length | 69 in | +6 in | 75 in", "Requirements"} {
		if !contains(rows, want) {
			t.Errorf("the difference lacks %q:\n%s", want, rows)
		}
	}
	b.do(click(`[value=decline]`))
	b.await(`document.title.includes("declined")`)
	b.open("/orders/" + number)
	b.wants("84 in", "declined")
	propose()
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/[^/]+$/.test(location.pathname)`)
	b.wants("90 in", "approved")

	b.open("/orders/" + number + "/change")
	b.sound()
	b.do(chromedp.Clear(chromedp.CSS(`[name="line.1.a:length"]`)), press(`[name="line.1.a:length"]`, "300 in"), press("#reason", "asked again"))
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.querySelector("[role=alert]") !== null`)
	b.wants("too long")
	if got := eval[string](b, `document.querySelector('[name="line.1.a:length"]').value`); got != "300 in" {
		t.Errorf("what was typed became %q", got)
	}
	b.forget("status of 4")
}
