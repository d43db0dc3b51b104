package golden

import (
	"fmt"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/source"
)

// Defaults makes one unit of every product as its defaults say, on the
// catalog's first day, and gives a warning for each that the bill refuses. A
// product that asks for something without a default is passed over, and so is
// one whose defaults break a rule, which catalog.Read tells. What is made ready to
// judge a product is not kept: a large catalog has hundreds of them.
func Defaults(cat *catalog.Catalog) []source.Fault {
	var warnings []source.Fault
	for code, product := range cat.Products.All() {
		config, refused := cat.Limited(nil).Check(code.Value, nil, cat.Workshop.Effective)
		if len(refused) > 0 {
			continue
		}
		_, _, findings := bom.Explode(cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		for _, finding := range findings {
			warnings = append(warnings, source.Fault{Pos: product.Pos, Where: "products › " + code.Value,
				Message: fmt.Sprintf("%s cannot be made as its defaults say: %s", product.Name, finding.Message)})
		}
	}
	return warnings
}
