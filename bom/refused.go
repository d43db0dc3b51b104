package bom

import (
	"strings"

	"billwright/catalog"
)

// Refused tells what keeps one part of one unit from being made, by the part's
// path, whatever the rest of the product comes to: its ancestors are looked at
// for whether it is there, and how often. The configuration may be a trial in
// which only what the part reads is set. A part that is not there is not refused.
func Refused(cat *catalog.Catalog, config *catalog.Config, path string) []catalog.Finding {
	r := reckoning{cat: cat, units: unitsOf(cat), line: Line{Number: 1, Quantity: 1, Config: config}, env: config.Env()}
	at, times := config.Product.Parts, 1
	for code, rest, below := strings.Cut(path, "/"); ; code, rest, below = strings.Cut(rest, "/") {
		part, found := at.Get(code)
		if !found {
			return nil
		}
		if !below {
			r.part(part, times)
			r.cloth()
			return r.findings
		}
		if !r.holds(part.Path, part.When) {
			return r.findings
		}
		if part.Pieces != nil {
			n, ok := r.count(part.Path, piecesFigure, part.Pieces)
			if times *= n; !ok || times == 0 {
				return r.findings
			}
		}
		at = part.Parts
	}
}
