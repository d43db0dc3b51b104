package bom_test

import (
	"testing"

	"billwright/bom"
)

// A bill of three lines, as a dealer's order mostly has.
func BenchmarkDocument(b *testing.B) {
	cat := read(b)
	bill, _, findings := bom.Explode(cat, randomLines(b, cat, 1, 3), false)
	if len(findings) > 0 {
		b.Fatal(findings)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bill.Document(); err != nil {
			b.Fatal(err)
		}
	}
}
