package catalog

import (
	"billwright/catalog/source"
)

// locks checks that what is locked exists.
func (r *reading) locks() {
	entries(r.spot("locks"), r.cat.Locks, func(s spot, code string, l *Lock) {
		l.Code = code
		s = s.at(l.Pos)
		s.in("products").twice(values(l.Products))
		products := values(l.Products)
		for _, product := range l.Products {
			s.in("products").at(product.Pos).from("products", product.Value)
		}
		if len(products) == 0 {
			products = r.cat.Products.Keys()
		}
		s.in("attributes").twice(values(l.Attributes))
		s.in("attributes").anyOf(products, l.Attributes)
	})
}

// anyOf faults attributes that none of the products has.
func (s spot) anyOf(products []string, attributes []source.Text) {
	var known []string
	seen := map[string]bool{}
	for _, code := range products {
		product, found := s.r.cat.Products.Get(code)
		if !found {
			return // the product is told
		}
		for _, name := range product.Attributes.Keys() {
			if !seen[name] {
				seen[name] = true
				known = append(known, name)
			}
		}
	}
	for _, attribute := range attributes {
		s.at(attribute.Pos).known("attribute", attribute.Value, known)
	}
}
