package api

import (
	"testing"
	"time"

	"billwright/catalog"
	"billwright/catalog/demonstration"
)

// What an order costs before the database sees it.
func BenchmarkMakeOrder(b *testing.B) {
	cat, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		b.Fatal(faults)
	}
	var request orderRequest
	if faults := decodeStrict(demonstration.Order(), &request); len(faults) > 0 {
		b.Fatal(faults)
	}
	request.Lines = request.Lines[:3]
	who := &principal{dealer: demonstration.Dealer}
	now := time.Date(2026, 11, 25, 15, 0, 0, 0, time.UTC)
	b.ReportAllocs()
	for b.Loop() {
		if _, findings, err := makeOrder(&request, who, cat, now); err != nil || len(findings) > 0 {
			b.Fatal(findings, err)
		}
	}
}
