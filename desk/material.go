package desk

import (
	"billwright/bom"
)

// materialCheck is what came of customer's own material, held against what its
// line needs.
type materialCheck struct {
	Line    int       `json:"line"`
	Path    string    `json:"path"`
	Cloth   string    `json:"cloth"`
	Verdict string    `json:"verdict"`
	Says    []string  `json:"says"`
	Units   bom.Units `json:"units"`
	Typed   string    `json:"-"`
}

// materialRow is a row of customer's own material of an order.
type materialRow struct {
	Line     int    `json:"line"`
	Path     string `json:"path"`
	Receipts []struct {
		Entered string `json:"entered"`
		Note    string `json:"note"`
	} `json:"receipts"`
	Check *materialCheck `json:"check"`
}
