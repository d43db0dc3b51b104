package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Sample marks a product that is a chip to choose by: it ships alone, and no more
// than so many of them at once.
type Sample struct {
	Limit int        `yaml:"limit,required" doc:"Most chips of one order, over all samples."`
	Free  bool       `yaml:"free" doc:"yes when nothing is charged for it; else it has a price like any product."`
	Pos   source.Pos `yaml:"-"`
}

// sampleQuote is the price of a free sample.
func sampleQuote(p *Product, terms string) *Quote {
	return &Quote{Lines: []PriceLine{{For: p.Name + ", free"}}, Terms: terms, ListUnit: unit.Money(0)}
}

// sample checks a product that is a sample: no steel is cut for a chip.
func (r *productReading) sample() {
	sample := r.p.Sample
	if sample == nil {
		return
	}
	s := r.s.in("sample").at(sample.Pos)
	if sample.Limit < 1 {
		s.in("limit").fault("an order takes at least one chip", "write how many at most, such as 8")
	}
	if path := firstSteel(r.p.Parts); path != "" {
		s.fault(path+" is of steel, which no sample is cut from", "make the chip of what is bought for it")
	}
	if _, priced := r.r.cat.Prices.Get(r.p.Code); priced && sample.Free {
		s.in("free").fault("it is free and has a price list", "leave one of them out")
	}
}

// firstSteel is the code of the first part of steel, or empty.
func firstSteel(parts source.Map[*Part]) string {
	for code, p := range parts.All() {
		if p.Steel != nil {
			return code.Value
		}
		if below := firstSteel(p.Parts); below != "" {
			return below
		}
	}
	return ""
}
