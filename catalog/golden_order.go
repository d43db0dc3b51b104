package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// GoldenOrder is an order of one line kept with the catalog, with figures that
// must come out: it tells, before a revision is stored, which known order would
// be made, priced or promised otherwise. Package bom/golden reckons it.
type GoldenOrder struct {
	Product       source.Text                               `yaml:"product,required" doc:"Code of the product."`
	Quantity      int                                       `yaml:"quantity,required" doc:"How many."`
	Configuration source.Map[source.Text]                   `yaml:"configuration" doc:"Attributes as a dealer would enter them; what is left out takes its default."`
	Ways          source.Map[source.Text]                   `yaml:"ways" doc:"How a piece of steel is made that is longer than the bars on the rack, by the path of the part: stock to order or splice."`
	Dealer        source.Text                               `yaml:"dealer,required" doc:"Code of the dealer who orders."`
	Day           calendar.Date                             `yaml:"day,required" doc:"Day on which it is ordered, at noon of the plant."`
	Expect        source.Map[source.OneOrMany[source.Text]] `yaml:"expect" keys:"any" doc:"Figures that must come out, by address: net, promise, holds, cautions, or unit_weight; or the path of a bill row and a field of it, such as base/leg cut_length; or findings, the codes with which the order is refused. A field is named as in the bill's JSON: pieces and weight of most rows; finished_length, cut_length and coated_area of steel; length, width, blank.length, lumber_gross and seasonal_movement of wood; length, width and safety of glass; foam_size.length and welt_cord of a cushion; net_length, length and hides of its cloth (PATH/cloth); slot of hardware; total_length, deposit and wire_weight of a weld (GROUP/weld/CODE); minutes, powder, liquid and ready of a finish step (PATH/finish/1); inside_length, grade, gross and freight_class of a carton (carton/CODE). billwright catalog check DIR --print NAME writes all that come out."`
	Pos           source.Pos                                `yaml:"-"`
}

// goldenNames faults golden orders of what the catalog does not have: nothing
// would come out of them.
func (r *reading) goldenNames() {
	entries(r.spot("golden_orders"), r.cat.GoldenOrders, func(s spot, name string, g *GoldenOrder) {
		s.in("dealer").at(g.Dealer.Pos).known("dealer", g.Dealer.Value, r.cat.Dealers.Keys())
		if !s.in("product").at(g.Product.Pos).from("products", g.Product.Value) {
			return
		}
		product, _ := r.cat.Products.Get(g.Product.Value)
		entries(s.in("configuration"), g.Configuration, func(s spot, attribute string, _ source.Text) {
			s.attributeOf(product, attribute)
		})
	})
}

// goldenOrders warns of golden orders that tell nothing.
func (r *reading) goldenOrders() {
	entries(r.spot("golden_orders"), r.cat.GoldenOrders, func(s spot, name string, g *GoldenOrder) {
		if g.Expect.Len() == 0 {
			s.warn("nothing is expected of it, so that it tells nothing", "billwright catalog check DIR --print "+name+" prints what comes out")
		}
	})
}
