package catalogdb

import (
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

func (s *storing) products(cat *catalog.Catalog) {
	var codes, names, collections []string
	var leads []int32
	var lasts []*time.Time
	var successors []*string
	for code, product := range cat.Products.All() {
		codes, names, collections, leads = append(codes, code.Value), append(names, product.Name), append(collections, product.Collection), append(leads, int32(product.LeadDays))
		lasts, successors = append(lasts, day(product.LastOrder)), append(successors, textOrNull(product.Successor))
	}
	s.queue(`
insert into catalog_product (workshop_id, revision, product, name, collection, lead_days, last_order, successor)
select $1, $2, p.product, p.name, p.collection, p.lead_days, p.last_order, p.successor
from unnest($3::text[], $4::text[], $5::text[], $6::integer[], $7::date[], $8::text[]) as p (product, name, collection, lead_days, last_order, successor)`,
		codes, names, collections, leads, lasts, successors)
}

// items are the entries of the tables that attributes choose from, or that may be
// withdrawn.
func (s *storing) items(cat *catalog.Catalog) {
	var sources, codes, names []string
	var positions []int32
	var lasts []*time.Time
	var successors []*string
	add := func(table string, position int, code, name string, last *calendar.Date, successor string) {
		sources, codes, names, positions = append(sources, table), append(codes, code), append(names, name), append(positions, int32(position))
		lasts, successors = append(lasts, day(last)), append(successors, textOrNull(successor))
	}
	each(cat.Species, func(i int, code string, x *catalog.Species) {
		add("species", i, code, x.Name, x.LastOrder, x.Successor)
	})
	each(cat.WoodFinishes, func(i int, code string, x *catalog.Finish) {
		add("wood_finishes", i, code, x.Name, x.LastOrder, x.Successor)
	})
	each(cat.MetalFinishes, func(i int, code string, x *catalog.Finish) {
		add("metal_finishes", i, code, x.Name, x.LastOrder, x.Successor)
	})
	each(cat.Fabrics, func(i int, code string, x *catalog.Fabric) { add("fabrics", i, code, x.Name, x.LastOrder, x.Successor) })
	each(cat.Glass, func(i int, code string, x *catalog.Glass) { add("glass", i, code, x.Name, x.LastOrder, x.Successor) })
	each(cat.Stone, func(i int, code string, x *catalog.Stone) { add("stone", i, code, x.Name, x.LastOrder, x.Successor) })
	each(cat.Hardware, func(i int, code string, x *catalog.Hardware) {
		add("hardware", i, code, x.Name, x.LastOrder, x.Successor)
	})
	each(cat.Sections, func(i int, code string, x *catalog.Section) {
		add("sections", i, code, x.Name, x.LastOrder, x.Successor)
	})
	s.queue(`
insert into catalog_item (workshop_id, revision, source, item, position, name, last_order, successor)
select $1, $2, i.source, i.item, i.position, i.name, i.last_order, i.successor
from unnest($3::text[], $4::text[], $5::integer[], $6::text[], $7::date[], $8::text[]) as i (source, item, position, name, last_order, successor)`,
		sources, codes, positions, names, lasts, successors)
}

// each goes through a table, counting from 1.
func each[T any](table source.Map[T], visit func(position int, code string, value T)) {
	position := 0
	for code, value := range table.All() {
		position++
		visit(position, code.Value, value)
	}
}

func (s *storing) attributes(cat *catalog.Catalog) {
	var products, codes, names, kinds []string
	var positions []int16
	var defaults, all []*string
	var smallest, largest []*int64
	var least, most []*int32
	for product, p := range cat.Products.All() {
		each(p.Attributes, func(position int, code string, a *catalog.Attribute) {
			row := attributeRow(a)
			products, codes, names, positions = append(products, product.Value), append(codes, code), append(names, a.Name), append(positions, int16(position))
			kinds, defaults, all = append(kinds, row.kind), append(defaults, row.text), append(all, row.all)
			smallest, largest = append(smallest, row.smallest), append(largest, row.largest)
			least, most = append(least, row.least), append(most, row.most)
		})
	}
	s.queue(`
insert into catalog_attribute (workshop_id, revision, product, attribute, position, name, kind, smallest_nm, largest_nm, least, most, default_text, chooses_all)
select $1, $2, a.product, a.attribute, a.position, a.name, a.kind, a.smallest_nm, a.largest_nm, a.least, a.most, a.default_text, a.chooses_all
from unnest($3::text[], $4::text[], $5::smallint[], $6::text[], $7::text[], $8::bigint[], $9::bigint[], $10::integer[], $11::integer[], $12::text[], $13::text[])
    as a (product, attribute, position, name, kind, smallest_nm, largest_nm, least, most, default_text, chooses_all)`,
		products, codes, positions, names, kinds, smallest, largest, least, most, defaults, all)
}

type attribute struct {
	kind              string
	smallest, largest *int64
	least, most       *int32
	text              *string
	all               *string // the table of which every item may be chosen
}

func attributeRow(a *catalog.Attribute) attribute {
	row := attribute{kind: "choice"}
	switch {
	case choosesAll(a):
		row.all = &a.Choose.From
	case a.Size != nil:
		row.kind, row.smallest, row.largest = "length", (*int64)(&a.Size.From), (*int64)(&a.Size.To)
	case a.Count != nil:
		least, most := int32(a.Count.From), int32(a.Count.To)
		row.kind, row.least, row.most = "count", &least, &most
	case a.Write != nil:
		most := int32(a.Write.Longest)
		row.kind, row.most = "text", &most
	}
	if a.Default != nil {
		row.text = &a.Default.Value
	}
	return row
}

func choosesAll(a *catalog.Attribute) bool {
	return a.Choose != nil && a.Choose.From != "" && len(a.Choose.Among) == 0
}

// choices are the values that are named at an attribute itself, of its own or
// out of a table.
func (s *storing) choices(cat *catalog.Catalog) {
	var products, attributes, codes, names []string
	var positions []int32
	var lasts []*time.Time
	var successors []*string
	for product, p := range cat.Products.All() {
		for attribute, a := range p.Attributes.All() {
			if a.Choose == nil || choosesAll(a) {
				continue
			}
			for i, option := range a.Options() {
				products, attributes, codes, names, positions = append(products, product.Value), append(attributes, attribute.Value), append(codes, option.Code), append(names, option.Name), append(positions, int32(i+1))
				own, _ := a.Choose.Values.Get(option.Code) // of one out of a table, the table tells
				if own == nil {
					own = &catalog.Named{}
				}
				lasts, successors = append(lasts, day(own.LastOrder)), append(successors, textOrNull(own.Successor))
			}
		}
	}
	s.queue(`
insert into catalog_choice (workshop_id, revision, product, attribute, choice, position, name, last_order, successor)
select $1, $2, c.product, c.attribute, c.choice, c.position, c.name, c.last_order, c.successor
from unnest($3::text[], $4::text[], $5::text[], $6::integer[], $7::text[], $8::date[], $9::text[]) as c (product, attribute, choice, position, name, last_order, successor)`,
		products, attributes, codes, positions, names, lasts, successors)
}

func (s *storing) rules(cat *catalog.Catalog) {
	var products, codes, sentences []string
	for product, p := range cat.Products.All() {
		for code, rule := range p.Rules.All() {
			products, codes, sentences = append(products, product.Value), append(codes, code.Value), append(sentences, rule.Says)
		}
	}
	s.queue(`
insert into catalog_rule (workshop_id, revision, product, rule, says)
select $1, $2, r.product, r.rule, r.says
from unnest($3::text[], $4::text[], $5::text[]) as r (product, rule, says)`, products, codes, sentences)
}
