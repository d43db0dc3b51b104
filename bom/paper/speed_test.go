package paper

import (
	"testing"
	"time"

	"billwright/bom/order"
	"billwright/catalog"
)

func BenchmarkPacket(b *testing.B) {
	job := fortyLines(b)
	b.ResetTimer()
	for b.Loop() {
		pdf, err := PDF(New(job), Letter)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(pdf)), "bytes")
		b.ReportMetric(float64(len(pagesOf(New(job)))), "pages")
	}
}

func fortyLines(t testing.TB) *Job {
	t.Helper()
	draft := &order.Draft{Dealer: "studio-tamsel", PO: "40", Sidemark: "Forty lines"}
	products := []string{"brackwater-table", "lodden-round", "sallow-bench", "pell-stool"}
	for i := range 40 {
		one := order.DraftLine{Product: products[i%4], Quantity: "2"}
		if i%4 == 1 {
			one.Picks = []catalog.Pick{{Attribute: "legs", Text: "bent"}}
		}
		draft.Lines = append(draft.Lines, one)
	}
	return jobOf(t, shops()[""], draft, time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC))
}

func BenchmarkPacketHTML(b *testing.B) {
	job := fortyLines(b)
	b.ResetTimer()
	for b.Loop() {
		html, err := HTML(New(job), Letter)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(html)), "bytes")
	}
}
