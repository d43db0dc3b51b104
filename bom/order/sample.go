package order

import (
	"fmt"

	"billwright/catalog"
)

// checkSamples finds samples that are ordered with other things, or too many of
// them: chips ship alone, at most as many as the catalog says.
func (d *Draft) checkSamples(cat *catalog.Catalog) (findings []catalog.Finding) {
	chips, others, limit, name := 0, 0, 0, ""
	for i := range d.Lines {
		product, found := cat.Products.Get(d.Lines[i].Product)
		switch {
		case !found:
		case product.Sample == nil:
			others++
		default:
			chips += max(d.Lines[i].quantity, 1)
			if limit == 0 || product.Sample.Limit < limit {
				limit, name = product.Sample.Limit, product.Name
			}
		}
	}
	if chips > 0 && others > 0 {
		findings = append(findings, catalog.Finding{Pointer: "/lines", Code: "sample.alone", Message: fmt.Sprintf("%s is a sample, and samples ship alone: order them by themselves.", name)})
	}
	if chips > limit {
		findings = append(findings, catalog.Finding{Pointer: "/lines", Code: "sample.limit", Message: fmt.Sprintf("%d samples; an order takes at most %d.", chips, limit)})
	}
	return findings
}
