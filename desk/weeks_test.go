package desk

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"billwright/api"
)

// accepted places the example order and accepts it; its own material keeps a
// line from being firm.
func (s *shop) accepted(t testing.TB) string {
	t.Helper()
	number := s.placed(t)
	owner := s.person("Set-up Owner", "owner")
	if w := s.ask(owner, "POST", "/v1/orders/"+number+"/accept", `{}`, "If-Match", `"1"`, "Idempotency-Key", "accept"); w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	return number
}

// told is what the interface answers a person, read.
func told[T any](s *shop, p api.Person, path string) (v T) {
	s.t.Helper()
	w := s.ask(p, "GET", path, "")
	if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil || w.Code != http.StatusOK {
		s.t.Fatalf("%s: %d %v %s", path, w.Code, err, w.Body)
	}
	return v
}

type needsOf struct {
	Requirements []struct{ Week, Kind, Item, Path string }
}

// at waits until the window has come to a page and it is ready.
func (b *tab) at(path string) {
	b.t.Helper()
	b.await(`location.pathname === "` + path + `" && document.readyState === "complete"`)
}

// A buyer signs in, sees the week in which steel must be here, the bar plan of a
// section and why, and pulls the week, all from the keyboard. A second pull is
// empty, and the interface says the same.
func TestTheBuyerPullsAWeekFromTheKeyboard(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	buyer := s.person("Ivo Sand", "buyer")
	needs := told[needsOf](s, buyer, "/v1/orders/"+number+"/requirements")
	steel := needs.Requirements[0]
	for _, n := range needs.Requirements {
		if n.Kind == "steel" && (steel.Kind != "steel" || n.Week < steel.Week) {
			steel = n
		}
	}
	b := s.openTab()
	b.open("/sign-in")
	b.press("Ivo Sand\t" + password + "\r")
	b.at("/weeks/" + steel.Week)
	b.wants("Week "+steel.Week, "not pulled yet", "steel", steel.Item, "proved least", "pieces", "Pull the week")
	if title := eval[string](b, `document.title`); !strings.Contains(title, "to pull") {
		t.Errorf("the title is %q", title)
	}
	b.sound()
	b.picture("week")
	if drawn := eval[int](b, `document.querySelectorAll(".drawing svg rect").length`); drawn < 5 {
		t.Errorf("the bar plan has %d rectangles", drawn)
	}

	// The weeks before and after, and back.
	b.press(kb.ArrowRight)
	b.await(`location.pathname !== "/weeks/` + steel.Week + `" && document.readyState === "complete"`)
	b.press(kb.ArrowLeft)
	b.at("/weeks/" + steel.Week)
	b.press(kb.ArrowDown + kb.ArrowDown + "\r")
	b.await(`location.hash === "#row" && document.activeElement.getAttribute("aria-current") === "true"`)
	second := eval[string](b, `document.querySelector("tr.sel th a").innerText`)
	if want := eval[string](b, `document.querySelectorAll("table.needs tbody th a")[1].innerText`); second != want {
		t.Errorf("Enter opened %q, not the second row, %q", second, want)
	}
	b.press(kb.F9)
	b.await(`location.hash === "#from" && document.activeElement.id === "from"`)
	b.wants("Where " + second + " comes from")

	b.press(kb.Enter, chromedp.ModifierCtrl)
	b.await(`document.querySelector("[role=status]") !== null && document.readyState === "complete"`)
	b.wants("Pulled.", "Pull 1: ", "after pull ")
	b.sound()
	b.picture("week-pulled")
	var list struct{ Pulls []madePull }
	read := func() {
		t.Helper()
		list = told[struct{ Pulls []madePull }](s, buyer, "/v1/pulls?week="+steel.Week)
	}
	read()
	made := len(list.Pulls)
	if made == 0 || list.Pulls[0].Rows == 0 {
		t.Fatalf("%+v", list)
	}
	b.press(kb.Enter, chromedp.ModifierCtrl)
	b.await(`document.querySelector("[role=status]")?.innerText.includes("Nothing new to pull") && document.readyState === "complete"`)
	if read(); len(list.Pulls) != made {
		t.Errorf("%d pulls were made again", len(list.Pulls)-made)
	}

	// The pulls, and one of them, with its sheet.
	b.open("/pulls")
	b.wants("Pull 1", steel.Week)
	b.sound()
	b.press(kb.ArrowDown + "\r")
	b.at("/pulls/" + eval[string](b, `location.pathname.split("/").pop()`))
	b.open("/pulls/1")
	b.wants("Pull 1: ", number, "first", "studio-tamsel")
	b.sound()
	ofSteel := list.Pulls[slices.IndexFunc(list.Pulls, func(p madePull) bool { return p.Kind == "steel" })]
	b.open(fmt.Sprint("/pulls/", ofSteel.Pull))
	b.wants("The plan of bars", "Bar plan: ", "no plan needs fewer than", "Bought of steel", "Nothing yet.")
	b.sound()
	b.picture("pull")
	if drawn := eval[int](b, `document.querySelectorAll(".drawing svg").length`); drawn != 1 {
		t.Errorf("the plan of a pull has %d drawings", drawn)
	}
	stored := told[struct {
		Bars struct {
			Sections []struct{ Bars int64 }
		}
	}](s, buyer, fmt.Sprint("/v1/pulls/", ofSteel.Pull, "/bars"))
	if shown := eval[int](b, `document.querySelectorAll(".plans li").length`); shown != len(stored.Bars.Sections) || shown == 0 {
		t.Errorf("%d plans are shown of %d", shown, len(stored.Bars.Sections))
	}
	if kind := eval[string](b, `fetch(document.querySelector('a[href$="/cut-list.pdf"]').href).then(r => r.headers.get("Content-Type"))`); kind != "application/pdf" {
		t.Errorf("the cut list comes as %q", kind)
	}
	if begin := eval[string](b, `fetch(document.querySelector('a[href$="/bars.xlsx"]').href).then(r => r.text()).then(t => t.slice(0, 2))`); begin != "PK" {
		t.Errorf("the workbook of the plan begins with %q", begin)
	}
	text := eval[string](b, `fetch("/pulls/1/pull.csv").then(r => r.text())`)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 || rows[0][0] != "pull" || rows[1][1] != steel.Week {
		t.Errorf("the sheet of pull 1 is %q, %v", text, err)
	}
	for _, file := range []string{"/pulls/1/pull.xlsx", "/weeks/" + steel.Week + "/requirements.xlsx", "/weeks/" + steel.Week + "/bars.xlsx?section=" + url.QueryEscape(steel.Item)} {
		if begin := eval[string](b, `fetch("`+file+`").then(r => r.ok ? r.text() : r.status).then(t => String(t).slice(0, 2))`); begin != "PK" {
			t.Errorf("the workbook %s begins with %q", file, begin)
		}
	}
	for _, file := range []string{"requirements.csv", "bars.csv?section=" + url.QueryEscape(steel.Item)} {
		text := eval[string](b, `fetch("/weeks/`+steel.Week+`/`+file+`").then(r => r.text())`)
		if rows, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil || len(rows) < 2 {
			t.Errorf("%s is %q, %v", file, text, err)
		}
	}
}

// What was ordered, received, found short and counted is told beside the week,
// and what cannot be read is refused beside what was typed, which stays. Late and
// not firm are words with a shape; what is late stands under now, and F8 leads
// there.
func TestTheBuyerTellsWhatCameAndSeesWhatIsLate(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	b := s.signedIn("Ivo Sand", "buyer")
	buyer := s.person("Set-up Buyer", "buyer")
	var bar struct{ Week, Kind, Item, Path string }
	for _, n := range told[needsOf](s, buyer, "/v1/orders/"+number+"/requirements").Requirements {
		if n.Item == "flat-bar-1" {
			bar = n
		}
	}
	row := "/weeks/" + bar.Week + "?kind=steel&item=flat-bar-1"
	b.open(row)
	b.wants("not firm: 174", "with what is not firm")
	b.do(press("#amount", "12 lb\r"))
	b.await(`document.querySelector("#amount-says") !== null`)
	b.wants(`The amount "12 lb" is not a length with its unit`)
	b.await(`document.activeElement.id === "amount" && document.activeElement.value === "12 lb"`)
	b.sound()
	b.forget("status of 422")
	b.do(click("#amount"))
	b.press("a", chromedp.ModifierCtrl)
	b.press("20 ft\r")
	b.await(`location.hash === "#told" && document.readyState === "complete"`)
	b.wants("Ordered\n240 in")
	b.do(press("#act", "received"), press("#amount", "10 ft"), press("#note", "note <b>77</b>\r"))
	b.await(`document.querySelector("#told").innerText.includes("Received\n120 in")`)
	b.do(press("#act", "short"), press("#amount", "120 in\r"))
	b.await(`document.querySelector("#told").innerText.includes("Short\n120 in")`)

	b.do(click("#told summary"))
	b.wants("3 entries, one by one", "as typed: 20 ft", "note <b>77</b>", "Ivo Sand", "short", " CST")
	b.sound()

	b.do(press("#counted", "two bars\r"))
	b.await(`document.querySelector("#counted-says") !== null`)
	b.forget("status of 422")
	b.do(click("#counted"))
	b.press("a", chromedp.ModifierCtrl)
	b.press("20 ft x 1, 48 1/2 in\r")
	b.await(`location.hash === "#told" && document.readyState === "complete"`)
	b.wants("240 in x 1", "48 1/2 in x 1", "from the rack")
	b.sound()

	// Half a year on everything is late.
	owner := s.person("Set-up Owner 2", "owner")
	if w := s.ask(owner, "PUT", "/v1/clock", `{"now":"2027-02-01T18:00:00Z"}`); w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	b.open("/weeks/now")
	b.wants("What should be here by now", "flat-bar-1", "late", bar.Week)
	b.sound()
	b.picture("weeks-now")
	b.press(kb.ArrowDown + "\r")
	b.at("/weeks/" + bar.Week)
	b.wants("late")
	b.press(kb.F8)
	if eval[string](b, `document.activeElement.tagName`) != "A" || !eval[bool](b, `document.activeElement.hasAttribute("data-stop")`) {
		t.Error("F8 does not lead to what is late")
	}
	b.open("/weeks/2027-W54")
	b.wants("2027 has 52 weeks")
	b.forget("status of 400")
	b.sound()
	b.open("/weeks/2027-W40")
	b.wants("Nothing must be here in this week.")
	b.sound()
}

// A rep and an engineer see the weeks and cannot pull; the shop does not see them.
func TestWhoMayPull(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/weeks/2027-W02")
	if eval[bool](b, `document.querySelector("#pull") !== null`) {
		t.Error("a rep is shown a button that pulls")
	}
	status := eval[int](b, `fetch("/weeks/2027-W02/pull", {method: "POST", body: new URLSearchParams({form: document.querySelector("[name=form]").value, key: "k"})}).then(r => r.status)`)
	if status != http.StatusForbidden {
		t.Errorf("a rep's pull is answered %d", status)
	}
	b.forget("status of 403")
	shop := s.signedIn("Ada Holm", "shop")
	shop.open("/weeks")
	shop.wants("This page is not yours")
	shop.forget("status of 403")
}

// Each row tells why it is so: from a week's row by F9, or by its address.
func TestWhyARowIsSo(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	b := s.signedIn("Ivo Sand", "buyer")
	b.open("/orders/" + number + "/why/3/base/long-rail")
	b.wants("Why is base/long-rail so?", "The sum, step by step", "Standards used", "What hangs on this row", "Requirement", "2027-W", "It would change with")
	b.sound()
	b.picture("why")
	if steps := eval[int](b, `document.querySelectorAll("table.why tbody tr").length`); steps < 3 {
		t.Errorf("%d steps", steps)
	}
	b.press(f8)
	if !eval[bool](b, `document.activeElement.matches("table.why tr")`) {
		t.Error("F8 does not go to the next step")
	}
	b.do(click(`aside a[href^="/weeks/"]`))
	b.await(`location.pathname.startsWith("/weeks/") && document.activeElement.id === "row"`)
	b.do(chromedp.Focus(chromedp.CSS("#from tbody a")))
	b.press(kb.F9)
	b.await(`location.pathname.startsWith("/orders/` + number + `/why/")`)
	b.open("/orders/" + number + "/why/1/top")
	b.wants("Why is top so?")
	if drawn := eval[int](b, `document.querySelectorAll(".drawing svg").length`); drawn != 1 {
		t.Errorf("the blank of a top has %d pictures", drawn)
	}
	b.sound()
	b.open("/orders/" + number + "/why/3/base/nothing")
	b.wants("no such row")
	b.forget("status of 404")
}
