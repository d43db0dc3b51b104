package desk

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
)

// Papers as pages are read by people too: each is held against every rule of
// axe-core, in both sizes of paper and in what is not released and superseded.
func TestPapersAsPagesAreReadable(t *testing.T) {
	s := openShop(t)
	number := s.accepted(t)
	owner := s.person("Set-up Owner 2", "owner")
	needs := told[needsOf](s, owner, "/v1/orders/"+number+"/requirements")
	week := ""
	for _, n := range needs.Requirements {
		if n.Kind == "steel" {
			week = n.Week
		}
	}
	web := httptest.NewServer(s.api.As(owner))
	t.Cleanup(web.Close)
	b := s.openTab()
	papers := told[struct{ Papers []listedPaper }](s, owner, "/v1/orders/"+number+"/papers").Papers
	if len(papers) < 4 {
		t.Fatalf("%d papers", len(papers))
	}
	at := "/v1/orders/" + number
	pages := []string{at + "/acknowledgment?format=html", at + "/labels?format=html", at + "/papers/all?format=html&size=a4", at + "/papers/all?format=html&version=1",
		"/v1/requirements/" + week + "/cut-list?format=html"}
	for _, p := range papers {
		pages = append(pages, at+"/papers/"+p.Department+"?format=html")
	}
	for _, page := range pages {
		b.do(chromedp.Navigate(web.URL + page))
		if status := eval[int](b, `performance.getEntriesByType("navigation")[0].responseStatus`); status != http.StatusOK {
			t.Errorf("%s is answered %d: %s", page, status, b.text())
			continue
		}
		if kind := eval[string](b, `document.contentType`); kind != "text/html" {
			t.Errorf("%s comes as %s", page, kind)
		}
		b.obeysAxe(page)
	}
}
