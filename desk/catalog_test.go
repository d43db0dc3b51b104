package desk

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"billwright/catalog/demonstration"
)

// revised stores another revision of the demonstration catalog, in which texts
// are others, in pairs, and takes what golden orders say of it for meant.
func (s *shop) revised(pairs ...string) {
	s.t.Helper()
	type file struct {
		Path string `json:"path"`
		Text string `json:"text"`
	}
	var files []file
	all := ""
	for _, f := range demonstration.Files() {
		all += string(f.Bytes)
		files = append(files, file{f.Path, strings.NewReplacer(pairs...).Replace(string(f.Bytes))})
	}
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(all, pairs[i]) {
			s.t.Fatalf("the demonstration catalog does not say %q", pairs[i])
		}
	}
	body, err := json.Marshal(map[string]any{"files": files, "accept_changes": true})
	if err != nil {
		s.t.Fatal(err)
	}
	engineer := s.person("Set-up Engineer", "engineer")
	if w := s.ask(engineer, "POST", "/v1/catalog/revisions", string(body), "Idempotency-Key", "revise"); w.Code != http.StatusCreated {
		s.t.Fatalf("%d %s", w.Code, w.Body)
	}
}

// An engineer stores a revision with another price of a cloth grade, and sees
// which open order that touches, which golden orders come out otherwise, and
// where the cloth is used.
func TestTheEngineerLooksIntoTheCatalog(t *testing.T) {
	s := openShop(t)
	number := s.placed(t)
	s.revised("{for: Grade C cloth, where: {cloth: sedge-stripe}, add: 110.00}", "{for: Grade C cloth, where: {cloth: sedge-stripe}, add: 127.00}",
		"      net: 206.25\n", "      net: 207.25\n")
	b := s.signedIn("Runa Tey", "engineer")
	b.open("/catalog")
	b.wants("revision 2 is in force", "Brackwater dining table", "sallow-bench", "from 1 to 2, with the open orders it touches")
	b.sound()
	b.picture("catalog")
	b.open("/catalog/difference?from=1&to=2")
	b.wants("Revision 1 to 2", "3 changes", "110.00", "127.00", number, "studio-tamsel", "line 3, sallow-bench, on revision 1")
	b.sound()
	b.picture("difference")
	b.press(kb.ArrowDown + "\r")
	b.at("/orders/" + number)

	b.open("/catalog/revisions/1")
	b.wants("Every figure comes out as its golden order expects.")
	b.sound()
	b.open("/catalog/revisions/2")
	b.wants("Check of revision 2", "Golden orders", "Expected", "207.25", "206.25")
	if changed := eval[int](b, `document.querySelectorAll("table tbody tr").length`); changed == 0 {
		t.Error("no golden order comes out otherwise")
	}
	b.sound()
	b.picture("check")

	b.open("/catalog/lint")
	b.wants("The rules as a whole", "What may still be refused")
	b.sound()
	b.open("/catalog/standards")
	b.wants("bar_trim", "Common practice")
	b.sound()
	b.open("/catalog/products/sallow-bench")
	b.wants("Sallow bench", "What may be chosen", "Sedge stripe", "Rules")
	b.sound()
	b.do(click(`a[href="/catalog/where-used?option=sedge-stripe"]`))
	b.at("/catalog/where-used")
	b.wants("Where option sedge-stripe is used", "sallow-bench", "offered")
	b.sound()
	b.open("/catalog/where-used?option=nothing-like-it")
	b.wants(`No product has an option "nothing-like-it"`)
	b.forget("status of 404")
	b.sound()
}

// A rep sees the products; revisions and reports are the engineer's.
func TestTheCatalogForOthers(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Bo Linde", "rep")
	b.open("/catalog")
	b.wants("Brackwater dining table")
	if b.shows("Revisions") || b.shows("Where used") {
		t.Error("a rep is shown the engineer's part")
	}
	b.open("/catalog/products/sallow-bench")
	b.wants("Sallow bench", "Sedge stripe")
	b.open("/catalog/difference?from=1&to=1")
	b.wants("This page is not yours")
	b.forget("status of 403")
}

// What orders take of the departments is drawn and told in figures; a department
// that has too much to do is marked by a shape and a word.
func TestTheLoadOfTheDepartments(t *testing.T) {
	s := openShop(t)
	s.revised("    minutes_a_week: 2880\n", "    minutes_a_week: 30\n")
	s.accepted(t)
	b := s.signedIn("Ivo Sand", "buyer")
	b.open("/load?from=2027-W02")
	b.wants("Load of the departments", "Forge and saw", "Welding", "full", "The same in figures", "1 order")
	b.sound()
	b.picture("load")
	type bars struct{ Accepted, Full int }
	drawn := eval[bars](b, `({Accepted: document.querySelectorAll("rect.accepted").length, Full: [...document.querySelectorAll("svg text")].filter(t => t.textContent.includes("full")).length})`)
	if drawn.Accepted < 3 || drawn.Full != 1 {
		t.Errorf("the chart has %+v", drawn)
	}
	b.press(f8)
	if !eval[bool](b, `document.activeElement.innerText.includes("full")`) {
		t.Error("F8 does not lead to what is full")
	}
	b.press(kb.ArrowRight)
	b.await(`location.search === "?from=2027-W10" && document.readyState === "complete"`)
	b.wants("2027-W10")
}
