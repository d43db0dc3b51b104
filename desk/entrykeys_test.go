package desk

import (
	"context"
	"net/http"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// begun opens a new order of a table in which the dealer and the PO are said.
func (b *tab) begun(po string) {
	b.t.Helper()
	b.open("/orders/new")
	b.sits("dealer")
	b.press("st\r" + po + "\rb\t")
	b.sits("a:length")
	b.idle()
}

// idle waits until nothing is asked of the server.
func (b *tab) idle() {
	b.t.Helper()
	b.await(`!window.desk.busy()`)
}

func (b *tab) value(row string) string {
	b.t.Helper()
	return eval[string](b, `document.getElementById("f-`+row+`").value`)
}

// An order of one line with fifteen answers, its PO and its sidemark typed, takes
// at most 66 keys.
func TestKeysOfAnOrder(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/new")
	b.sits("dealer")
	for _, keys := range []string{"st\r", "ST-2207\t", "Ferncote dining room\r", "b\t", "7'\t", "36 1/2\t\t", "as\t", "cl\t\t", "r\t\t", "2"} {
		b.press(keys)
	}
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/.{4}-.{4}$/.test(location.pathname)`)
	b.wants("4,455.00", "ST-2207", "Ferncote dining room", "Clear coat over bare wood", "Reed bronze")
	t.Logf("%d keys", b.keys)
	if b.keys > 66 {
		t.Errorf("%d keys", b.keys)
	}
}

// A blocked choice stands in the list with its reason before anybody picks it,
// and one key puts it right; Esc undoes all of that.
func TestABlockedChoiceIsPutRightInOneKey(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("A 1")
	b.press("\t\t\t") // length, width, height
	b.sits("a:species")
	b.press("white oak\t")
	b.sits("a:wood_finish")
	b.idle()
	b.press("clear")
	b.await(`document.querySelector(".choices li.active[aria-disabled]") !== null`)
	b.await(`document.querySelector(".near [data-near]") !== null`)
	b.sound()
	b.picture("blocked")
	b.wants("Blocked by row 5: The clear coat over bare wood is sold on white ash only", "Rule clear-on-ash-only", "Nearest buildable with Clear coat over bare wood", "Species White ash (white-ash) instead of White oak (white-oak)", "same promise")
	before := b.keys
	b.press("\r") // which does not take what cannot be built
	b.idle()
	if b.value("a:wood_finish") != "clear" {
		t.Errorf("Enter on a blocked choice left %q", b.value("a:wood_finish"))
	}
	before = b.keys
	b.press(f4)
	b.await(`document.getElementById("f-a:species").value === "White ash"`)
	if b.keys-before != 1 || b.value("a:wood_finish") != "Clear coat over bare wood" {
		t.Errorf("%d keys, finish %q", b.keys-before, b.value("a:wood_finish"))
	}
	b.idle()
	b.press(kb.Escape)
	b.await(`document.getElementById("f-a:species").value === "White oak"`)
	b.idle()
	// Walking with the arrows comes past blocked ones too.
	b.press(kb.ArrowDown + kb.ArrowDown)
	b.await(`document.activeElement.getAttribute("aria-activedescendant") === document.querySelector(".choices li.active").id`)
}

// What does not hold keeps its text, is told beside the field and in the side in
// the same words, counts in the title, and the nearest is one key away.
func TestFindingsStandBesideTheirFields(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("A 1")
	b.press("11 ft\t")
	b.sits("a:width")
	b.idle()
	const says = "Length 11 ft is too long: it may be 60 in to 108 in, in steps of 1/8 in."
	if n := eval[int](b, `document.body.innerText.split("`+says+`").length - 1`); n != 2 {
		t.Errorf("the finding stands %d times, want beside its field and in the side:\n%s", n, b.text())
	}
	b.wants("To settle: 1", "so far, without what was typed for length")
	if b.value("a:length") != "11 ft" {
		t.Errorf("the field shows %q", b.value("a:length"))
	}
	b.await(`document.title.startsWith("1 to settle: ")`)
	b.sound()
	b.picture("finding")
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.getElementById("entry-told").innerText.includes("Placing waits for 1 to settle.")`)
	b.sits("a:length")
	b.idle()
	b.press(f4)
	b.await(`document.getElementById("f-a:length").value === "108 in"`)
	b.idle()
	b.wants("To settle: 1", "A table longer than 96 in needs the H stretcher") // a default that clashes is never swapped
	b.press(f4)
	b.await(`document.title.includes("ready to place")`)
	if got := b.value("a:stretcher"); got != "H stretcher" {
		t.Errorf("the stretcher is %q", got)
	}
}

// When the connection drops, what is typed stays, is sent again when it is back,
// and comes back even to a window that was closed meanwhile.
func TestNothingIsLostWhenTheConnectionDrops(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("A 1")
	s.down.Store(true)
	b.press("7'\t")
	b.await(`document.getElementById("entry-told").innerText.includes("The connection is lost")`)
	b.sits("a:width")
	b.press("36 1/2\t40\t")
	b.sits("a:species")
	s.down.Store(false)
	b.await(`!document.getElementById("entry-told").innerText.includes("lost")`)
	b.await(`document.getElementById("f-a:length").value === "84 in"`)
	for row, want := range map[string]string{"a:width": "36 1/2 in", "a:height": "40 in"} {
		if got := b.value(row); got != want {
			t.Errorf("%s is %q, want %q", row, got, want)
		}
	}
	b.await(`/\/edit$/.test(location.pathname)`) // it is kept
	b.await(`window.desk.kept()`)
	if stored := eval[int](b, `localStorage.length`); stored != 0 {
		t.Error("what the server has is kept in the browser too, and would come back as another order")
	}
	b.forget("ERR_EMPTY_RESPONSE")
	b.forget("ERR_CONNECTION")

	other := s.openTab()
	other.do(chromedp.Navigate(b.base + "/sign-in"))
	other.do(press("#name", "Bo Linde"), press("#password", password+"\r"))
	other.await(`location.pathname === "/orders"`)
	other.open("/orders/new")
	other.sits("dealer")
	s.down.Store(true)
	other.press("h\r")
	other.await(`document.getElementById("entry-told").innerText.includes("The connection is lost")`)
	other.press("OTHER 1\t")
	s.down.Store(false)
	other.await(`document.getElementById("f-po").value === "OTHER 1" && document.getElementById("f-dealer").value === "Hobb and Farrow Interiors"`)
	other.forget("ERR_EMPTY_RESPONSE")
	other.forget("ERR_CONNECTION")
}

// Signed out while he types, a rep signs in in another window and goes on where
// he was.
func TestSignedOutWhileTyping(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("A 1")
	if _, err := s.admin.Exec(t.Context(), `delete from person_session`); err != nil {
		t.Fatal(err)
	}
	b.press("7'\t")
	b.await(`document.getElementById("entry-told").innerText.includes("You are no longer signed in.")`)
	secret, err := s.api.SignIn(t.Context(), s.workshop, "Bo Linde", password, "127.0.0.1")
	if err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		on := true
		_, err := cdp.Call(ctx, t, network.SetCookie, network.SetCookieParams{Name: sessionCookie, Value: secret, URL: s.base, Path: "/", Secure: &on, HTTPOnly: &on})
		return err
	}))
	b.press("\t")
	b.await(`document.getElementById("f-a:length").value === "84 in"`)
	b.forget("status of 401")
	b.forget("status of 403")
}

// Two people change one draft: the second is shown what the first said, and both
// stand.
func TestTwoPeopleOnOneDraft(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("A 1")
	b.await(`/\/edit$/.test(location.pathname)`)
	path := eval[string](b, `location.pathname`)
	b.idle()
	c := s.signedIn("Cy Marsh", "rep")
	c.open(path)
	c.sits("product")
	c.press("\t7'\t")
	c.await(`document.getElementById("f-a:length").value === "84 in"`)
	c.await(`window.desk.kept()`)
	b.press("\t38\t")
	b.await(`document.getElementById("entry-told").innerText.includes("Somebody else changed this draft")`)
	b.wants("Line 1, length", "7'", "38 in")
	b.sound()
	b.do(click(`[data-clash="both"]`))
	b.await(`document.getElementById("f-a:length").value === "84 in" && document.getElementById("f-a:width").value === "38 in"`)
	b.await(`window.desk.kept()`)
	rep := s.person("Set-up", "rep")
	w := s.ask(rep, http.MethodGet, "/v1"+path[:len(path)-len("/edit")], "")
	if w.Code != http.StatusOK || !contains(w.Body.String(), `"length":"7'"`, `"width":"38 in"`) {
		t.Errorf("kept is %s", w.Body)
	}
}

// A second order under a PO is asked about, and taken with a reason; a copy is a
// new order without the PO.
func TestASecondOrderAndACopy(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.begun("st-2207")
	b.wants("order "+number+" is under it already", "Why a second order")
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`document.querySelector("#entry-told a") !== null`)
	b.wants("Order "+number+" is already under this purchase order number.", "say why in the row “Why a second order”")
	if contains(b.text(), "po_override_reason") {
		t.Error("the page tells the interface's name of the row")
	}
	b.sits("po_override_reason")
	b.sound()
	b.press("two rooms, one number")
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/.{4}-.{4}$/.test(location.pathname)`)

	b.open("/orders/" + number)
	b.do(click(`form[action$="/copy"] button`))
	b.await(`/\/edit$/.test(location.pathname)`)
	b.sits("po")
	b.wants("1 to settle", "2 × Brackwater dining table", "4 × Pell stool", "8,732.25")
	b.press("ST-2299")
	b.press("\r", chromedp.ModifierCtrl)
	b.await(`/^\/orders\/.{4}-.{4}$/.test(location.pathname)`)
	b.wants("ST-2299", "8,732.25", "as typed: 7 ft", "Height")
	copied := eval[string](b, `location.pathname`)
	if w := s.ask(s.person("Set-up", "rep"), http.MethodGet, "/v1"+copied+"/audit", ""); !contains(w.Body.String(), "order copied from "+number, `"by":"Bo Linde"`) {
		t.Errorf("the trail of the copy: %s", w.Body)
	}

	b.open("/orders/" + number)
	b.do(click(`form[action$="/copy"] button`))
	b.await(`/\/edit$/.test(location.pathname)`)
	b.sits("po")
	b.press("LINES 1" + kb.PageDown) // which takes what was typed, too
	b.await(`document.querySelector(".lined[aria-current]").innerText.startsWith("Line 2: 1 ×") && document.getElementById("f-po").value === "LINES 1"`)
	b.idle()
	b.sound()
	b.press(kb.PageUp)
	b.await(`document.querySelector(".lined[aria-current]").innerText.startsWith("Line 1: 2 × Brackwater")`)
	b.sits("product")
}

// Where the dealer's last order went to is offered in the row that asks for it:
// one key takes it, and nothing is taken of itself. Of a dealer without orders
// nothing is offered.
func TestTheUsualShipToIsOffered(t *testing.T) {
	s := openShop(t)
	s.placed(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/new")
	b.sits("dealer")
	b.press("st\rA 1\t\t\t")
	b.sits("ship_to")
	b.await(`document.querySelector("#near-ship_to [data-near]") !== null`)
	b.wants("As last time: Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote")
	if got := b.value("ship_to"); got != "" {
		t.Errorf("%q was taken of itself", got)
	}
	b.sound()
	before := b.keys
	b.press(f4)
	b.await(`document.getElementById("f-ship_to").value === "Studio Tamsel, receiving dock, 14 Osier Yard, Ferncote"`)
	if b.keys-before != 1 {
		t.Errorf("%d keys", b.keys-before)
	}
	b.press("\t")
	b.sits("ship_complete")
	b = s.signedIn("Cy Marsh", "rep")
	b.open("/orders/new")
	b.sits("dealer")
	b.press("hob\rB 1\t\t\t")
	b.sits("ship_to")
	b.idle()
	if eval[bool](b, `document.querySelector("#near-ship_to [data-near]") !== null`) {
		t.Error("another dealer's ship-to is offered")
	}
}

// A list that does not show all its choices says how many more there are, until
// what is typed leaves few.
func TestALongListTellsTheRest(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/orders/new")
	b.sits("dealer")
	b.press("st\rLONG 1\r")
	b.sits("product")
	b.idle()
	b.await(`/^[1-9][0-9]* more, type to narrow$/.test(document.querySelector(".more").innerText)`)
	b.sound()
	b.press("brack")
	b.await(`document.querySelector(".more").innerText === ""`)
}
