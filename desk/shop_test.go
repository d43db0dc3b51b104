package desk

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
)

// Somebody of the shop opens the address that the code on a paper holds, goes on
// to the shop's page, and tells that the steel is cut and that a rail is spoiled,
// which needs its reason.
func TestTheShopTellsFromThePapersCode(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	owner := s.person("Set-up Owner 2", "owner")
	lift := s.ask(owner, "POST", "/v1/orders/"+number+"/release", `{"lines":[3]}`, "If-Match", `"2"`, "Idempotency-Key", "release")
	if lift.Code != http.StatusOK {
		t.Fatalf("%d %s", lift.Code, lift.Body)
	}
	b := s.signedIn("Ada Holm", "shop")
	b.open("/orders/" + number)
	b.do(click(`a[href="/orders/` + number + `/shop"]`))
	b.at("/orders/" + number + "/shop")
	b.wants("Order "+number+" in the shop", "Line 3", "released", "HELD", "Nothing was told of it yet.")
	b.sound()
	b.picture("shop")
	b.do(press("#event-3", "steel is cut"), chromedp.Focus(chromedp.CSS("#note-3")))
	b.press("\r")
	b.await(`document.querySelector("#line-3")?.innerText.includes("Ada Holm") && document.readyState === "complete"`)
	b.wants("steel is cut", "in work")
	b.do(press("#event-3", "a piece is spoiled"), press("#path-3", "base/long-rail"), press("#pieces-3", "1"), chromedp.Focus(chromedp.CSS("#note-3")))
	b.press("\r")
	b.await(`document.querySelector("#line-3 [role=alert]") !== null`)
	b.wants("Say why the piece is spoiled.")
	b.forget("status of 422")
	b.sound()
	if kept := eval[string](b, `document.querySelector("#path-3").value + document.querySelector("#pieces-3").value`); kept != "base/long-rail1" {
		t.Errorf("what was typed is %q", kept)
	}
	b.do(press("#note-3", "bent <twice>\r"))
	b.await(`document.querySelector("#line-3")?.innerText.includes("bent <twice>") && document.querySelector("#line-3 [role=alert]") === null`)
	b.wants("a piece is spoiled, base/long-rail, 1 piece: bent <twice>")
}
