package catalog

import (
	"slices"

	"billwright/catalog/source"
)

// locks checks that what is locked exists.
func (r *reading) locks() {
	entries(r.spot("locks"), r.cat.Locks, func(s spot, code string, l *Lock) {
		l.Code = code
		s = s.at(l.Pos)
		s.in("event").eventOfShop(l.Event)
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

// shopEvents gives each event its code.
func (r *reading) shopEvents() {
	entries(r.spot("events"), r.cat.Events, func(s spot, code string, e *Event) {
		e.Code = code
		s = s.at(e.Pos)
		s.code("event", code)
		if e.Scraps && e.Leads != "" {
			s.in("leads").fault("an event that spoils a piece takes the line nowhere", "leave leads out, or scraps")
		}
		s.in("uses").twice(values(e.Uses))
		for _, kind := range e.Uses {
			if kind.Value != ownMaterialKind {
				s.in("uses").at(kind.Pos).kindOfMaterial(kind.Value)
			}
		}
	})
}

// eventOfShop faults an event that the shop cannot tell.
func (s spot) eventOfShop(word string) {
	if _, found := s.r.cat.ShopEvent(word); found {
		return
	}
	var known []string
	for _, e := range s.r.cat.ShopEvents() {
		known = append(known, e.Code)
	}
	s.known("event", word, known)
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
		s.at(attribute.Pos).attributeAmong(known, attribute.Value)
	}
}

// attributeOf faults an attribute that a product does not have.
func (s spot) attributeOf(p *Product, name string) bool {
	return s.attributeAmong(p.Attributes.Keys(), name)
}

// attributeAmong faults an attribute that is not among those known, unless one
// of them is spelled as formulas cannot read it and this is how they could: that
// is told where it is written.
func (s spot) attributeAmong(known []string, name string) bool {
	if !slices.Contains(known, name) && slices.ContainsFunc(known, func(other string) bool { return !formulaName.MatchString(other) && spelled(other) == name }) {
		return false
	}
	return s.known("attribute", name, known)
}
