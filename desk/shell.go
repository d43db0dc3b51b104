package desk

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"billwright/api"
)

//go:embed templates/*.html
var templates embed.FS

// shell is what every page has around its own body.
type shell struct {
	// Title says the thing and what waits; it also stands in the window's bar.
	Title string
	// Place is the path of the head's word that the page belongs to.
	Place string
	// Keys are those of the page, on its foot line.
	Keys []key
	// Body is the page's own.
	Body any

	Workshop string
	Person   *api.Person
	Places   []place
	Find     string
	Form     string
}

// key is one key of a page and what it does.
type key struct{ Key, Does string }

// readPages reads the templates: a page's own file beside the shell and the
// parts, which are the files that begin with an underscore. Instants they write by
// moment.
func readPages(s *static, moment func(time.Time) string) (map[string]*template.Template, error) {
	parts, err := template.New("").Funcs(words(s)).Funcs(template.FuncMap{"moment": moment}).ParseFS(templates, "templates/_*.html")
	if err != nil {
		return nil, fmt.Errorf("read the templates: %w", err)
	}
	files, err := fs.Glob(templates, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("read the templates: %w", err)
	}
	pages := map[string]*template.Template{}
	for _, file := range files {
		name := strings.TrimSuffix(path.Base(file), ".html")
		if name[0] == '_' {
			continue
		}
		page, err := parts.Clone()
		if err == nil {
			page, err = page.ParseFS(templates, file)
		}
		if err != nil {
			return nil, fmt.Errorf("read the template %s: %w", name, err)
		}
		pages[name] = page
	}
	return pages, nil
}

// show writes a page in the shell.
func (v *visit) show(name string, s shell) { v.showAs(http.StatusOK, name, s) }

func (v *visit) showAs(status int, name string, s shell) {
	s.Workshop, s.Form, s.Find = v.desk.set.Name, v.formToken(), v.find()
	if v.person.Name != "" {
		s.Person = &v.person
		v.setClock()
		for _, p := range places {
			if v.person.Has(p.roles...) {
				s.Places = append(s.Places, p)
			}
		}
	}
	v.write(status, name, "shell", s)
}

// find is what was looked for, to stand in the field again.
func (v *visit) find() string {
	if v.URL.Path == "/orders" {
		return v.URL.Query().Get("text")
	}
	return ""
}

// part writes a part of a page.
func (v *visit) part(page, part string, data any) { v.write(http.StatusOK, page, part, data) }

// write writes a template whole or not at all.
func (v *visit) write(status int, page, part string, data any) {
	var out bytes.Buffer
	if err := v.desk.pages[page].ExecuteTemplate(&out, part, data); err != nil {
		v.desk.set.Log.ErrorContext(v.Context(), "page not written", "page", page, "part", part, "error", err.Error())
		http.Error(v.w, "The page could not be written. Nothing is known to be wrong with what you did.", http.StatusInternalServerError)
		return
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	_, _ = out.WriteTo(v.w)
}

// refusal is the body of a page that only says why there is no other.
type refusal struct {
	Says     string
	Findings []api.Finding
}

// refuse shows why a page is not shown.
func (d *Desk) refuse(w http.ResponseWriter, r *http.Request, v *visit, status int, title, says string, findings ...api.Finding) {
	if v == nil {
		v = &visit{Request: r, desk: d, w: w}
	}
	v.showAs(status, "refusal", shell{Title: title, Body: refusal{says, findings}})
}

// fail shows a refusal of the interface in its own words, and any other error
// as the service's.
func (v *visit) fail(err error) {
	var refused *answer
	if errors.As(err, &refused) {
		v.desk.refuse(v.w, v.Request, v, refused.status, refused.Title, refused.Detail, refused.Errors...)
		return
	}
	v.desk.set.Log.ErrorContext(v.Context(), "page failed", "path", v.URL.Path, "error", err.Error())
	v.desk.refuse(v.w, v.Request, v, http.StatusInternalServerError, "The desk failed", "Nothing is known to be wrong with what you did. Try it again.")
}

func (v *visit) noPage() {
	v.desk.refuse(v.w, v.Request, v, http.StatusNotFound, "There is no such page", "The address leads nowhere here.")
}

// home leads to the first page that is the person's; whoever buys and takes no
// orders begins with the weeks.
func (v *visit) home() {
	if v.person.Has(buyers...) && !v.person.Has(takers...) {
		v.goTo("/weeks")
		return
	}
	for _, p := range places {
		if v.person.Has(p.roles...) {
			v.goTo(p.Path)
			return
		}
	}
	v.noPage()
}

// executed writes a part to a text.
func executed(page *template.Template, part string, data any) (string, error) {
	var out strings.Builder
	err := page.ExecuteTemplate(&out, part, data)
	return out.String(), err
}
