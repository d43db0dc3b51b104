package desk

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"billwright/api"
)

// The first admin comes in by the one-time token, lets a rep in, and the rep
// signs in and out; all of it in a real browser, whose cookie jar takes the
// __Host- cookie on loopback.
func TestTheFirstAdminAndARep(t *testing.T) {
	s := openShop(t)
	token, err := api.OfferFirstAdmin(t.Context(), s.pool, s.workshop, time.Now())
	if err != nil || token == "" {
		t.Fatalf("no token: %v", err)
	}
	b := s.openTab()
	b.open("/first-admin?token=" + token)
	b.picture("first-admin")
	b.await(`document.activeElement.id === "name"`)
	b.sound()
	const skip = `(() => { const a = document.querySelector(".skip"); a.focus(); const r = a.getBoundingClientRect(); return document.elementFromPoint(r.x + 4, r.y + 4) === a })()`
	if !eval[bool](b, skip) {
		t.Error("the way past the head is not seen when it has the focus")
	}
	b.do(press("#name", "Ada Brandt"), press("#password", "short\r"))
	b.await(`document.querySelector("#password-says") !== null`)
	b.wants("The password has 5 characters: take at least 8.")
	b.forget("status of 422")
	b.sound()
	b.do(press("#password", password+"\r"))
	b.await(`location.pathname === "/orders"`)
	b.wants("Ada Brandt", "Orders", "People")

	again := s.openTab()
	again.open("/first-admin?token=" + token)
	again.do(press("#name", "Somebody Else"), press("#password", password+"\r"))
	again.await(`document.querySelector("[role=alert]") !== null`)
	again.wants("This link was used already or is over.")
	again.forget("status of 422")
	if token, err := api.OfferFirstAdmin(t.Context(), s.pool, s.workshop, time.Now()); err != nil || token != "" {
		t.Errorf("another token %q: %v", token, err)
	}

	b.open("/people")
	b.picture("people")
	b.sound()
	b.do(press("#name", "Bo Linde"), press("#password", password), click(`aside input[value="rep"]`), press("#password", "\r"))
	b.await(`document.querySelectorAll(".folk li").length === 2`)

	rep := s.openTab()
	rep.open("/orders?text=x")
	rep.await(`location.pathname === "/sign-in"`)
	rep.sound()
	rep.do(press("#name", "bo  LINDE"), press("#password", "another secret\r"))
	rep.await(`document.querySelector("[role=alert]") !== null`)
	rep.wants("do not go together")
	rep.forget("status of 422")
	rep.do(press("#password", password+"\r"))
	rep.await(`location.pathname === "/orders" && location.search === "?text=x"`) // where he wanted to go
	rep.wants("Bo Linde")
	if rep.shows("People") {
		t.Error("a rep is shown the admin's page")
	}
	rep.open("/people")
	rep.wants("This page is not yours")
	rep.forget("status of 403")
	rep.open("/orders")
	rep.do(click(".who-am-i button"))
	rep.await(`location.pathname === "/sign-in"`)
	rep.open("/orders")
	rep.await(`location.pathname === "/sign-in"`)
}

// visitor is a client without a browser: a script of somebody who tries.
type visitor struct {
	t      *testing.T
	base   string
	client *http.Client
}

func (s *shop) visitor(t *testing.T) *visitor {
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &visitor{t, s.base, &http.Client{Jar: secureOnLoopback{jar}, Timeout: 10 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// secureOnLoopback sends Secure cookies to loopback, as browsers do.
type secureOnLoopback struct{ http.CookieJar }

func (j secureOnLoopback) SetCookies(u *url.URL, cookies []*http.Cookie) {
	for _, c := range cookies {
		c.Secure = false
	}
	j.CookieJar.SetCookies(u, cookies)
}

var tokenOf = regexp.MustCompile(`name="form" value="([^"]+)"`)

func (v *visitor) get(path string) (int, string) {
	v.t.Helper()
	reply, err := v.client.Get(v.base + path)
	if err != nil {
		v.t.Fatal(err)
	}
	return reply.StatusCode, read(v.t, reply)
}

// form reads the token of a page's form.
func (v *visitor) form(path string) string {
	v.t.Helper()
	_, text := v.get(path)
	found := tokenOf.FindStringSubmatch(text)
	if found == nil {
		v.t.Fatalf("%s has no form", path)
	}
	return found[1]
}

func (v *visitor) post(path string, fields url.Values, headers ...string) (int, string) {
	v.t.Helper()
	r, err := http.NewRequest(http.MethodPost, v.base+path, strings.NewReader(fields.Encode()))
	if err != nil {
		v.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	reply, err := v.client.Do(r)
	if err != nil {
		v.t.Fatal(err)
	}
	return reply.StatusCode, read(v.t, reply)
}

// Tries are counted: by the name, whoever tries, and the right password does not
// help until the quarter of an hour is over.
func TestTriesAreBounded(t *testing.T) {
	s := openShop(t)
	s.person("Bo Linde", "rep")
	v := s.visitor(t)
	try := func(name, word string) int {
		status, _ := v.post("/sign-in", url.Values{"form": {v.form("/sign-in")}, "name": {name}, "password": {word}})
		return status
	}
	for i := range 8 {
		if status := try("Bo Linde", "guess"); status != http.StatusUnprocessableEntity {
			t.Fatalf("try %d: %d", i, status)
		}
	}
	if status := try("bo linde", password); status != http.StatusTooManyRequests {
		t.Errorf("the ninth try was answered %d", status)
	}
	s.person("Cy Marsh", "rep")
	if status := try("Cy Marsh", password); status != http.StatusSeeOther {
		t.Errorf("another person was kept out: %d", status)
	}
}

// A form of another site, of another session and of no session does nothing.
func TestFormsOfOthersDoNothing(t *testing.T) {
	s := openShop(t)
	s.person("Bo Linde", "rep")
	v, other := s.visitor(t), s.visitor(t)
	fields := url.Values{"form": {v.form("/sign-in")}, "name": {"Bo Linde"}, "password": {password}}
	if status, _ := v.post("/sign-in", fields, "Sec-Fetch-Site", "cross-site"); status != http.StatusForbidden {
		t.Errorf("from another site: %d", status)
	}
	if status, _ := v.post("/sign-in", fields, "Origin", "http://elsewhere.test"); status != http.StatusForbidden {
		t.Errorf("from another origin: %d", status)
	}
	if status, _ := other.post("/sign-in", fields); status != http.StatusForbidden {
		t.Errorf("with another's form: %d", status)
	}
	if status, _ := v.post("/sign-in", url.Values{"name": fields["name"], "password": fields["password"]}); status != http.StatusForbidden {
		t.Errorf("without a token: %d", status)
	}
	if status, _ := v.post("/sign-in", fields); status != http.StatusSeeOther {
		t.Errorf("one's own: %d", status)
	}
	if status, _ := v.post("/sign-out", fields); status != http.StatusForbidden { // of before he signed in
		t.Errorf("with an old form: %d", status)
	}
	if status, _ := v.post("/sign-out", url.Values{"form": {v.form("/orders")}}); status != http.StatusSeeOther {
		t.Errorf("signing out: %d", status)
	}
}

// Every reply carries the policy, and a cookie that no script reads.
func TestHeadersOfThePages(t *testing.T) {
	s := openShop(t)
	reply, err := http.Get(s.base + "/sign-in")
	if err != nil {
		t.Fatal(err)
	}
	read(t, reply)
	for name, want := range map[string]string{"Content-Security-Policy": policy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cache-Control": "no-store"} {
		if got := reply.Header.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	cookie := reply.Header.Get("Set-Cookie")
	for _, want := range []string{"__Host-", "Secure", "HttpOnly", "SameSite=Lax", "Path=/"} {
		if !strings.Contains(cookie, want) {
			t.Errorf("the cookie %q lacks %s", cookie, want)
		}
	}
	for to, want := range map[string]string{"/orders?text=a": "/orders?text=a", "//elsewhere.test/": "/", "https://elsewhere.test": "/", `/\elsewhere.test`: "/", "javascript:x": "/", "": "/"} {
		if got := local(to); got != want {
			t.Errorf("%q leads to %q, want %q", to, got, want)
		}
	}
}

// A session ends after half an hour idle, after twelve hours at all, and when
// the person is kept out.
func TestSessionsEnd(t *testing.T) {
	s := openShop(t)
	p := s.person("Bo Linde", "rep")
	secret, err := s.api.SignIn(t.Context(), s.workshop, "Bo Linde", password, "127.0.0.1")
	if err != nil {
		t.Fatal(err)
	}
	age := func(seen, began string) {
		if _, err := s.admin.Exec(t.Context(), `update person_session set seen_at = now() - $1::text::interval, began_at = now() - $2::text::interval`, seen, began); err != nil {
			t.Fatal(err)
		}
	}
	signedIn := func() bool {
		_, err := s.api.PersonOf(t.Context(), s.workshop, secret)
		return err == nil
	}
	if !signedIn() {
		t.Fatal("not signed in at once")
	}
	age("29 minutes", "2 hours")
	if !signedIn() { // and this counts as seen
		t.Error("out after 29 minutes")
	}
	age("31 minutes", "2 hours")
	if signedIn() {
		t.Error("in after 31 minutes idle")
	}
	age("1 second", "11 hours 59 minutes")
	if !signedIn() {
		t.Error("out before twelve hours")
	}
	age("1 second", "12 hours 1 minute")
	if signedIn() {
		t.Error("in after twelve hours")
	}
	if secret, err = s.api.SignIn(t.Context(), s.workshop, "Bo Linde", password, "127.0.0.1"); err != nil {
		t.Fatal(err)
	}
	admin := api.Person{Workshop: s.workshop, Name: "Set-up", Roles: []string{"admin"}}
	if err := s.api.ChangePerson(t.Context(), admin, api.PersonChange{ID: p.ID, Roles: []string{"rep"}, Disabled: true}); err != nil {
		t.Fatal(err)
	}
	if signedIn() {
		t.Error("in though kept out")
	}
	if _, err := s.api.SignIn(t.Context(), s.workshop, "Bo Linde", password, "127.0.0.1"); err != api.ErrSignIn { //nolint:errorlint // it is returned by value
		t.Errorf("signed in though kept out: %v", err)
	}
}
