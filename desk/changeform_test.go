package desk

import (
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// choose sets a field of a form as somebody who picks from its list does.
func (b *tab) choose(name, value string) {
	b.t.Helper()
	if got := eval[string](b, `(e => { e.value = "`+value+`"; return e.value })(document.getElementsByName("`+name+`")[0])`); got != value {
		b.t.Fatalf("%s cannot be %q", name, value)
	}
}

// typed puts a text in the place of what a field has.
func (b *tab) typed(name, text string) {
	b.t.Helper()
	field := `[name="` + name + `"]`
	b.do(chromedp.Clear(chromedp.CSS(field)), press(field, text))
}

func (b *tab) finish(page string) {
	b.t.Helper()
	// The page that comes may have the title of the one that goes.
	eval[bool](b, `window.goes = true`)
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`!window.goes && document.title.includes("` + page + `") && document.readyState === "complete"`)
}

// One change takes a line out, makes the top of another of wood, which asks for what was
// not asked before, adds a line and agrees a price and a day. What was typed stays
// while the page tells what it then asks.
func TestAChangeAddsAndRemovesLines(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/" + number + "/change")
	b.wants("Another line", "which is in force")
	b.typed("sidemark", "Ferncote, upstairs")
	b.choose("line.2.a:top", "wood")
	b.choose("line.4.a:cloth", "oat-weave")
	b.choose("added.0.product", "sallow-bench")
	b.do(click(`[value=look]`))
	b.await(`document.querySelector('[name="added.0.a:cloth"]') !== null && document.readyState === "complete"`)
	b.wants("not asked any more", "Another line: Sallow bench")
	b.sound()
	if kept := eval[string](b, `document.getElementById("sidemark").value + " " + document.getElementsByName("line.2.a:top")[0].value`); kept != "Ferncote, upstairs wood" {
		t.Errorf("what was typed became %q", kept)
	}
	b.choose("line.2.a:species", "black-cherry")
	b.choose("added.0.a:cloth", "oat-weave")
	b.typed("added.0.a:length", "4 ft")
	b.typed("added.0.quantity", "two")
	b.typed("added.0.price", "500.00")
	b.typed("added.0.price_reason", "a floor piece")
	b.do(click(`[name="line.3.remove"]`))
	b.typed("reason", "they moved the party")
	b.finish("Change order")
	b.await(`document.querySelector("[role=alert]") !== null`)
	b.wants("two")
	b.forget("status of 4")
	b.sound()
	b.typed("added.0.quantity", "2")
	b.finish("proposed")
	b.sound()
	b.wants("3 › product", "sallow-bench", "4 › cloth", "5 › product", "sallow-bench", "5 › price", "500.00", "2 › top", "Black cherry", "Ferncote, upstairs")
	b.press("\r", chromedp.ModifierCtrl)
	b.at("/orders/" + number)
	b.wants("Line 5: 2 × Sallow bench", "a floor piece", "Ferncote, upstairs")
	if b.shows("Line 3:") {
		t.Error("the line that was taken out is there")
	}
}

// The steel is cut: another length is refused until an engineer says what becomes
// of it and why. A rep may not, and is not shown how.
func TestAnEngineerPassesALockBy(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	owner := s.person("Set-up Owner 2", "owner")
	for i, act := range []struct{ path, body, version string }{
		{"/release", `{"lines":[1]}`, `"2"`}, {"/events", `{"event":"steel-cut","line":1}`, `"3"`},
	} {
		if w := s.ask(owner, "POST", "/v1/orders/"+number+act.path, act.body, "If-Match", act.version, "Idempotency-Key", "set-up"+strings.Trim(act.version, `"`)); w.Code != http.StatusOK {
			t.Fatalf("%d: %d %s", i, w.Code, w.Body)
		}
	}
	rep := s.signedIn("Bo Linde", "rep")
	rep.open("/orders/" + number + "/change")
	rep.wants("locked: The steel is cut to this size", "Line 1: Length, Width, Height.")
	if rep.shows("Pass a lock by") {
		t.Error("a rep is offered to pass a lock by")
	}
	b := s.signedIn("Runa Tey", "engineer")
	b.open("/orders/" + number + "/change")
	b.typed("line.1.a:length", "82 in")
	b.typed("reason", "the room is shorter")
	b.finish("Change order")
	b.await(`document.querySelector("[role=alert]") !== null`)
	b.wants("The change touches what is locked")
	b.forget("status of 4")
	b.choose("override.steel-cut.disposition", "charge")
	b.typed("override.steel-cut.reason", "the dealer pays for the steel")
	b.sound()
	b.finish("Change order")
	b.wants("Say what is charged for what was made")
	b.typed("override.steel-cut.charge", "85.00")
	b.finish("proposed")
	b.sound()
	b.wants("It passes locks by", "The steel is cut to this size; another size means new steel.", "charged to the dealer, 85.00", "the dealer pays for the steel")
	b.press("\r", chromedp.ModifierCtrl)
	b.at("/orders/" + number)
	b.wants("82 in")
}

// An order is pinned anew to the revision in force, which the page offers only
// once there is another.
func TestAnOrderIsPinnedAnew(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/" + number + "/change")
	if eval[bool](b, `document.querySelector("[name=repin]") !== null`) {
		t.Error("it is offered to be pinned to the revision that it has")
	}
	s.revised("{for: Grade C cloth, where: {cloth: sedge-stripe}, add: 110.00}", "{for: Grade C cloth, where: {cloth: sedge-stripe}, add: 127.00}",
		"      net: 206.25\n", "      net: 207.25\n")
	b.open("/orders/" + number + "/change")
	b.wants("Pin it to catalog revision 2")
	b.do(click("[name=repin]"))
	b.typed("reason", "they waited for the new list")
	b.finish("proposed")
	b.sound()
	b.wants("Pinned anew", "catalog revision")
	b.press("\r", chromedp.ModifierCtrl)
	b.at("/orders/" + number)
	b.wants("catalog revision 2")
}
