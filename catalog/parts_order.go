package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// PartsOrders says what holds of orders of replacement parts.
type PartsOrders struct {
	Minimum unit.Money `yaml:"minimum" doc:"Least net price of an order of parts, such as 40.00: what it falls short of is charged besides. Without it there is none."`
	For     string     `yaml:"for" doc:"What the price line says; minimum charge for parts, if absent."`
	Pos     source.Pos `yaml:"-"`
}

// PartsCharge is what an order of parts is charged besides its lines, which come
// to net, so that it reaches the minimum; there is none where it does.
func (c *Catalog) PartsCharge(net unit.Money) (line PriceLine, charged bool) {
	if net >= c.PartsOrders.Minimum {
		return PriceLine{}, false
	}
	line = PriceLine{For: c.PartsOrders.For, List: c.PartsOrders.Minimum - net}
	if line.For == "" {
		line.For = "minimum charge for parts"
	}
	return line, true
}

func (r *reading) partsOrders() {
	p := &r.cat.PartsOrders
	s := r.spot("parts").at(p.Pos)
	switch {
	case p.Minimum < 0:
		s.in("minimum").fault(p.Minimum.String()+" is less than zero", "leave it out, or write the least that parts are charged")
	case p.Minimum == 0 && p.For != "":
		s.in("for").fault("there is no minimum that it could be for", "write the minimum besides")
	}
}
