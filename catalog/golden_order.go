package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// GoldenOrder is an order of one line kept with the catalog, with figures that
// must come out: it tells, before a revision is stored, which known order would
// be made, priced or promised otherwise. Package bom/golden reckons it.
type GoldenOrder struct {
	Product       string                                    `yaml:"product,required" doc:"Code of the product."`
	Quantity      int                                       `yaml:"quantity,required" doc:"How many."`
	Configuration source.Map[source.Text]                   `yaml:"configuration" doc:"Attributes as a dealer would enter them; what is left out takes its default."`
	Dealer        string                                    `yaml:"dealer,required" doc:"Code of the dealer who orders."`
	Day           calendar.Date                             `yaml:"day,required" doc:"Day on which it is ordered, at noon of the plant."`
	Expect        source.Map[source.OneOrMany[source.Text]] `yaml:"expect" keys:"any" doc:"Figures that must come out, by address: net, promise, holds, cautions, unit_weight, or the path and field of a bill row such as base/leg cut_length; or findings, the codes with which the order is refused."`
	Pos           source.Pos                                `yaml:"-"`
}

// goldenOrders warns of golden orders that tell nothing.
func (r *reading) goldenOrders() {
	entries(r.spot("golden_orders"), r.cat.GoldenOrders, func(s spot, name string, g *GoldenOrder) {
		if g.Expect.Len() == 0 {
			s.warn("nothing is expected of it, so that it tells nothing", "billwright catalog check DIR --print "+name+" prints what comes out")
		}
	})
}
