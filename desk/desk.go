// Package desk is the pages for people who signed in. It is a client of the
// interface within the same process: every page asks it as the person, shows
// what it says and may do what it may. It knows no SQL and has no second truth.
package desk

import (
	"errors"
	"html/template"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/google/uuid"

	"billwright/api"
)

// Settings is what a Desk is made with.
type Settings struct {
	// API is the interface that the pages ask, and where people sign in. Required.
	API *api.Server
	// Workshop is the one whose people sign in here, Name what it is called.
	// Required.
	Workshop uuid.UUID
	Name     string
	Log      *slog.Logger // required
}

// Desk serves the pages. Make it with New; it is then safe for concurrent use.
type Desk struct {
	set    Settings
	static *static
	pages  map[string]*template.Template
	mux    *http.ServeMux

	products atomic.Pointer[keptProducts]
	zone     atomic.Pointer[time.Location] // in which the pages tell times
}

// New makes the desk of one workshop with every page registered.
func New(set Settings) (*Desk, error) {
	if set.API == nil || set.Workshop == uuid.Nil || set.Log == nil {
		return nil, errors.New("desk: settings need API, Workshop and Log")
	}
	d := &Desk{set: set, mux: http.NewServeMux()}
	d.zone.Store(time.UTC)
	var err error
	if d.static, err = readStatic(); err != nil {
		return nil, err
	}
	if d.pages, err = readPages(d.static, d.moment); err != nil {
		return nil, err
	}
	registerPages(d)
	return d, nil
}

// policy is the content security policy of every page: nothing but what the
// desk itself serves, and no script or style within a page.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// maxForm bounds what a page sends, in bytes.
const maxForm = 1 << 20

// Handler gives every page, with the headers that guard them. A form that comes
// from another site is refused before a page sees it.
func (d *Desk) Handler() http.Handler {
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		d.refuse(w, r, nil, http.StatusForbidden, "This came from another site", "Nothing was done. Open the desk itself and do it there.")
	}))
	guarded := guard.Handler(zipped(d.mux))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		r.Body = http.MaxBytesReader(w, r.Body, maxForm)
		guarded.ServeHTTP(w, r)
	})
}
