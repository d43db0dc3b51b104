package api

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
)

// BenchmarkPlaceOrder takes the example order of four lines, without a socket:
// decoding, reckoning, documents and the transaction.
func BenchmarkPlaceOrder(b *testing.B) {
	s := openShop(b, shopSettings{})
	key := s.key("dealer studio-tamsel")
	body := s.order(nil)
	n := 0
	b.ReportAllocs()
	for b.Loop() {
		n++
		r := httptest.NewRequest("POST", "/v1/orders", strings.NewReader(strings.Replace(body, "ST-2207", fmt.Sprint("B ", n), 1)))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Authorization", "Bearer "+key)
		r.Header.Set("Idempotency-Key", fmt.Sprint(n))
		w := httptest.NewRecorder()
		s.server.Handler().ServeHTTP(w, r)
		if w.Code != 201 {
			b.Fatal(w.Code, w.Body)
		}
	}
}
