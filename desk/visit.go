package desk

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"net"
	"net/http"
	"net/url"
	"strings"

	"billwright/api"
)

// The cookies: the one of a person's session, and the one that ties a form to
// the browser of somebody who is not signed in. Neither is read by a script, and
// the name's prefix keeps another host from setting it.
const (
	sessionCookie = "__Host-billwright"
	formCookie    = "__Host-billwright-form"
)

// formField is the field of a form that ties it to its session.
const formField = "form"

// open registers a page for whoever comes.
func (d *Desk) open(pattern string, show func(*visit)) {
	d.mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Request: r, desk: d, w: w}
		v.secret = v.formSecret()
		if v.Method == http.MethodPost && !v.formIsOurs() {
			d.refuse(w, r, nil, http.StatusForbidden, "This form is old", "Nothing was done. Open the page anew and send it again.")
			return
		}
		show(v)
	})
}

// page registers a page for people with one of the roles.
func (d *Desk) page(pattern string, roles []string, show func(*visit)) {
	d.mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Request: r, desk: d, w: w}
		if !v.signedIn() {
			return
		}
		if !v.person.Has(roles...) {
			d.refuse(w, r, v, http.StatusForbidden, "This page is not yours", "It is for: "+strings.Join(roles, ", ")+". An admin gives roles.")
			return
		}
		if v.Method != http.MethodGet && v.Method != http.MethodHead && !v.formIsOurs() {
			if v.swaps() {
				http.Error(w, "This form is old. Nothing was done.", http.StatusForbidden)
				return
			}
			d.refuse(w, r, v, http.StatusForbidden, "This form is old", "Nothing was done. Open the page anew and send it again.")
			return
		}
		show(v)
	})
}

// signedIn finds who asks, or leads him to the page where he signs in.
func (v *visit) signedIn() bool {
	cookie, err := v.Cookie(sessionCookie)
	if err == nil {
		v.secret = cookie.Value
		v.person, err = v.desk.set.API.PersonOf(v.Context(), v.desk.set.Workshop, cookie.Value)
	}
	switch {
	case err == nil:
		return true
	case !errors.Is(err, http.ErrNoCookie) && !errors.Is(err, api.ErrNobody):
		v.fail(err)
		return false
	}
	target := "/sign-in"
	if v.Method == http.MethodGet && v.URL.Path != "/" {
		target += "?to=" + url.QueryEscape(v.URL.RequestURI())
	}
	if v.swaps() { // the script shows the word and keeps what was typed
		v.w.Header().Set("HX-Trigger", "signed-out")
		http.Error(v.w, "You are no longer signed in.", http.StatusUnauthorized)
		return false
	}
	http.Redirect(v.w, v.Request, target, http.StatusSeeOther)
	return false
}

// swaps tells that the page's script asks, for a part of the page.
func (v *visit) swaps() bool { return v.Header.Get("HX-Request") == "true" }

// formSecret is the secret of the visitor's forms, made when there is none.
func (v *visit) formSecret() string {
	if cookie, err := v.Cookie(formCookie); err == nil && len(cookie.Value) == 43 {
		return cookie.Value
	}
	if v.Method != http.MethodGet {
		return ""
	}
	var raw [32]byte
	_, _ = rand.Read(raw[:]) // crypto/rand never fails since Go 1.24
	secret := base64.RawURLEncoding.EncodeToString(raw[:])
	v.keep(formCookie, secret, 0)
	return secret
}

func (v *visit) keep(name, value string, age int) {
	http.SetCookie(v.w, &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: age, Secure: true, HttpOnly: true, SameSite: http.SameSiteLaxMode})
}

// formMark is what a form of this session carries, without the mask.
func formMark(secret string) []byte {
	mac := hmac.New(sha256.New, []byte(secret))
	mac.Write([]byte("a form of the desk"))
	return mac.Sum(nil)
}

// formToken ties a form to the session. It is masked anew each time, so that
// what a compressed page repeats tells nothing of it.
func (v *visit) formToken() string {
	mark := formMark(v.secret)
	token := make([]byte, 2*len(mark))
	_, _ = rand.Read(token[:len(mark)])
	subtle.XORBytes(token[len(mark):], token[:len(mark)], mark)
	return base64.RawURLEncoding.EncodeToString(token)
}

// formIsOurs tells whether a form was made for this session.
func (v *visit) formIsOurs() bool {
	token, err := base64.RawURLEncoding.DecodeString(v.FormValue(formField))
	mark := formMark(v.secret)
	if err != nil || v.secret == "" || len(token) != 2*len(mark) {
		return false
	}
	subtle.XORBytes(token, token[:len(mark)], token[len(mark):])
	return subtle.ConstantTimeCompare(token[:len(mark)], mark) == 1
}

// address is where the visitor comes from.
func (v *visit) address() string {
	host, _, err := net.SplitHostPort(v.RemoteAddr)
	if err != nil {
		return v.RemoteAddr
	}
	return host
}

// local gives a path of the desk that a form said to go on to, or "/".
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(to, "//") || strings.Contains(to, `\`) {
		return "/"
	}
	return to
}

// goTo leads to another page once something was done.
func (v *visit) goTo(path string) { http.Redirect(v.w, v.Request, path, http.StatusSeeOther) }
