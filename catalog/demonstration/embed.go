// Package demonstration is the catalog of an invented workshop, Corrindale Metal
// and Wood, and an order for it: for trying the program out and for its tests.
// Its people, dealers, names and prices are no real ones.
package demonstration

import (
	"embed"
	"fmt"
	"slices"

	"billwright/catalog/source"
)

//go:embed *.yaml cloth/*.yaml finishes/*.yaml prices/*.yaml products/*.yaml
var folder embed.FS

//go:embed order.json
var order []byte

// Files are the catalog's files, sorted by path. The caller may change them.
func Files() []source.File {
	files, faults := source.ReadDir(folder)
	if len(faults) > 0 { // the folder is part of the program
		panic(fmt.Sprintf("demonstration catalog: %v", faults[0]))
	}
	return files
}

// Order is the body of the example order, as studio-tamsel would post it to
// /v1/orders. The caller may change it.
func Order() []byte { return slices.Clone(order) }

// Dealer is the code of the dealer who places the example order.
const Dealer = "studio-tamsel"
