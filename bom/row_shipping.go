package bom

import (
	"encoding/json"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// dated is a catalog whose freight scale is that of a day.
func dated(cat *catalog.Catalog, day calendar.Date) *catalog.Catalog {
	of := *cat
	of.Freight.Source = cat.Freight.On(day).Source
	return &of
}

// citeShipping cites the pallet or the lift that a row names.
func citeShipping(cite func(name, from string), cat *catalog.Catalog, field, named string) {
	if field == "pallet" {
		citeItem(cite, cat.Pallets, named, func(p *catalog.Pallet) (string, string) { return p.Name, p.Source })
		return
	}
	citeItem(cite, cat.Lifts, named, func(l *catalog.Lift) (string, string) { return l.Name, l.Source })
}

// citeParcel cites the terms that a parcel goes by, and its rule of the day.
func citeParcel(cite func(name, from string), cat *catalog.Catalog, value json.RawMessage) {
	var parcel struct {
		Terms string
		From  string `json:"rule_from"`
	}
	if json.Unmarshal(value, &parcel) != nil {
		return
	}
	citeItem(cite, cat.Parcels, parcel.Terms, func(p *catalog.Parcel) (string, string) {
		for i := range p.Rules {
			if p.Rules[i].From.String() == parcel.From {
				cite(p.Name+", rule from "+parcel.From, p.Rules[i].Source)
			}
		}
		return p.Name, p.Source
	})
}
