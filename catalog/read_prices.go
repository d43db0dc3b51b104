package catalog

import (
	"fmt"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// prices makes the price list ready.
func (r *reading) prices() {
	entries(r.spot("prices"), r.cat.Prices, func(s spot, code string, list *PriceList) {
		if !s.from("products", code) {
			return
		}
		product, _ := r.cat.Products.Get(code)
		product.scope.prices = list
		one := productReading{r: r, s: s.at(list.Pos), p: product, scope: product.scope}
		one.priceList(list)
	})
}

func (r *productReading) priceList(list *PriceList) {
	if len(list.Sizes) == 0 {
		r.s.in("sizes").fault("the price list has no size class", "write at least one, or no price list, which means to be quoted")
	}
	for i := range list.Sizes {
		class := &list.Sizes[i]
		s := r.s.in("sizes").item(i).at(class.Pos)
		s.in("list").sum(class.List, "leave the class out, which means to be quoted")
		class.tests = r.conditions(s.in("where"), class.Where)
		if class.Where.Len() == 0 && i < len(list.Sizes)-1 {
			s.fault(fmt.Sprintf("%s fits always, so that the classes after it are never taken", class.For), "move it to the end, or write when it fits under where")
		}
	}
	for i := range list.Options {
		option := &list.Options[i]
		s := r.s.in("options").item(i).at(option.Pos)
		s.in("add").sum(option.Add, "leave the option out, which adds nothing")
		option.tests = r.conditions(s.in("where"), option.Where)
	}
	paths := partPaths(r.p.Parts)
	entries(r.s.in("parts"), list.Parts, func(s spot, path string, price unit.Money) {
		s.known("part", path, paths)
		s.sum(price, "leave the part out, which means to be quoted")
	})
	if list.Custom != nil {
		r.custom(r.s.in("custom_size"), list.Custom)
	}
}

// partPaths are the paths of all parts of a product.
func partPaths(parts source.Map[*Part]) (paths []string) {
	for _, p := range parts.All() {
		paths = append(append(paths, p.Path), partPaths(p.Parts)...)
	}
	return paths
}

// sum faults a price of nothing or less.
func (s spot) sum(m unit.Money, instead string) {
	if m <= 0 {
		s.fault(fmt.Sprintf("%s is not a price", m), instead)
	}
}

func (r *productReading) custom(s spot, c *CustomCharge) {
	s.in("charge").sum(c.Charge, "leave the charge out")
	s = s.in("of")
	if len(c.Of) == 0 {
		s.fault("no attribute is named", "name those whose standard sizes count")
	}
	s.twice(values(c.Of))
	for _, name := range c.Of {
		s := s.at(name.Pos)
		if !s.attributeOf(r.p, name.Value) {
			continue
		}
		i, sound := r.scope.index[name.Value]
		if !sound {
			continue
		}
		a := r.scope.attributes[i]
		if a.Size == nil || len(a.Size.Standard) == 0 {
			s.fault(fmt.Sprintf("%s has no standard sizes", name.Value), "list them under its size")
			continue
		}
		c.of = append(c.of, a)
	}
}
