package catalog_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"billwright/catalog"
	"billwright/catalog/source"
)

// picks reads "length=72 in; top=glass" as picks.
func picks(text string) (list []catalog.Pick) {
	for pick := range strings.SplitSeq(text, ";") {
		name, value, found := strings.Cut(pick, "=")
		if found {
			list = append(list, catalog.Pick{Attribute: strings.TrimSpace(name), Text: strings.TrimSpace(value)})
		}
	}
	return list
}

const tenAttributes = "length=72 1/2 in; width=914.5 mm; top=wood; species=walnut; wood_finish=oiled; metal_finish=black; cushion=loose; cloth=twill; shelves=2; plate=Birch"

func BenchmarkCheckTenAttributes(b *testing.B) {
	c := read(b, small(b))
	list := picks(tenAttributes)
	if cfg, findings := c.Check("tarn-table", list, today); cfg == nil || len(cfg.Settings) != 11 {
		b.Fatal(findings)
	}
	b.ReportAllocs()
	for b.Loop() {
		if cfg, _ := c.Check("tarn-table", list, today); cfg == nil {
			b.Fatal("refused")
		}
	}
}

func BenchmarkCheckBrokenRule(b *testing.B) {
	c := read(b, small(b))
	list := picks("length=90 in; top=glass; glass=clear-3-8; metal_finish=black; shelves=2")
	b.ReportAllocs()
	for b.Loop() {
		if cfg, _ := c.Check("tarn-table", list, today); cfg != nil {
			b.Fatal("taken")
		}
	}
}

// many is the small catalog with its table under further codes.
func many(t testing.TB, products int) []source.File {
	files := small(t)
	for _, f := range files {
		if f.Path != "products/table.yaml" {
			continue
		}
		table, _, _ := bytes.Cut(f.Bytes, []byte("\nprices:"))
		for i := range products {
			files = append(files, source.File{
				Path:  fmt.Sprintf("products/table-%d.yaml", i),
				Bytes: bytes.Replace(table, []byte("  tarn-table:"), fmt.Appendf(nil, "  tarn-table-%d:", i), 1),
			})
		}
	}
	return files
}

// The engineer waits for this each time he saves a file.
func TestFiveHundredProductsAreReadWithinSeconds(t *testing.T) {
	files := many(t, 500)
	began := time.Now()
	c := read(t, files)
	took := time.Since(began)
	if c.Products.Len() != 502 {
		t.Fatalf("%d products, want 502", c.Products.Len())
	}
	t.Logf("read %d products in %v", c.Products.Len(), took)
	// Ten times the bar, so that a busy machine does not fail it; the bar itself
	// is measured by go run ./cmd/measure catalog.
	if took > 100*time.Second && !raced {
		t.Errorf("read 502 products in %v, want under 100 s", took)
	}
}
