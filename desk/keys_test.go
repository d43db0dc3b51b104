package desk

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// by asks the interface by a key, as another program does.
func (s *shop) by(key, path string) int {
	r := httptest.NewRequest(http.MethodGet, path, http.NoBody)
	r.Header.Set("Authorization", "Bearer "+key)
	w := httptest.NewRecorder()
	s.api.Handler().ServeHTTP(w, r)
	return w.Code
}

// The owner makes a key for a dealer's own system, which works, sees it among the
// others, and revokes it, after which it does not. Its text is shown once.
func TestKeysAreMadeAndRevoked(t *testing.T) {
	s := openShop(t)
	b := s.signedIn("Vera Oake", "owner")
	b.open("/keys")
	b.wants("None.", "Make a key")
	b.sound()
	b.do(press("#name", "Studio's shop system"))
	b.choose("role", "dealer")
	b.do(click(`form[action="/keys"] button`))
	b.await(`document.querySelector("#dealer-says") !== null`)
	b.wants("Name the dealer whose key it is.")
	b.forget("status of 4")
	b.sound()
	if kept := eval[string](b, `document.querySelector("#name").value + document.querySelector("[name=role]").value`); kept != "Studio's shop systemdealer" {
		t.Errorf("what was typed is %q", kept)
	}
	b.choose("dealer", "studio-tamsel")
	b.do(click(`form[action="/keys"] button`))
	b.await(`document.querySelector(".secret") !== null`)
	b.sound()
	key := eval[string](b, `document.querySelector(".secret").innerText`)
	if !strings.HasPrefix(key, "bw1_") {
		t.Fatalf("the key is %q", key)
	}
	if got := s.by(key, "/v1/orders"); got != http.StatusOK {
		t.Errorf("the key is answered %d", got)
	}
	b.open("/keys")
	b.wants("Studio's shop system", "dealer", "studio-tamsel", " CST")
	b.picture("keys") // without a key's text
	if eval[bool](b, `document.documentElement.innerHTML.includes("`+key+`")`) {
		t.Error("the key is shown again")
	}
	b.do(click("summary"), click(`form[action$="/revoke"] button`))
	b.await(`document.body.innerText.includes("Revoked") && document.readyState === "complete"`)
	b.sound()
	if got := s.by(key, "/v1/orders"); got != http.StatusUnauthorized {
		t.Errorf("the revoked key is answered %d", got)
	}
	admin := s.signedIn("Nil Farrow", "admin") // who writes the dealer's code
	admin.open("/keys")
	admin.do(press("#name", "shop floor"))
	admin.choose("role", "shop")
	admin.sound()
	admin.do(click(`form[action="/keys"] button`))
	admin.await(`document.querySelector(".secret") !== null`)
	admin.wants("The key of shop floor")
	rep := s.signedIn("Bo Linde", "rep")
	rep.open("/keys")
	rep.wants("This page is not yours")
	rep.forget("status of 403")
}
