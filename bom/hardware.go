package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Hardware: bought parts by the piece. A slotted fastener carries the length of
// its slot (see wood.go).

// HardwareRow is one bought part.
type HardwareRow struct {
	Path   string       `json:"path"`
	Name   string       `json:"name"`
	Item   string       `json:"item"`
	Each   int          `json:"each"`
	Pieces int          `json:"pieces"`
	Slot   *unit.Length `json:"slot,omitempty"`
	Weight Weight       `json:"weight"`
	// SubstitutedFor is the item whose place the material of the row takes.
	SubstitutedFor string `json:"substituted_for,omitempty"`
}

func (r *reckoning) hardware(p *catalog.Part, each int) {
	item, found := r.cat.Hardware.Get(p.Hardware.Item)
	if !found {
		r.refuse("hardware.unknown", p.Path, "there is no hardware %q", p.Hardware.Item)
		return
	}
	pieces := r.all(each)
	row := HardwareRow{Path: p.Path, Name: name(p), Item: item.Name, Each: each, Pieces: pieces, SubstitutedFor: r.inPlace(item.InPlaceOf)}
	if item.Shank != nil && p.Hardware.Top != "" {
		slot, ok := r.slot(p.Path, p.Hardware.Top, *item.Shank)
		if !ok {
			return
		}
		row.Slot = &slot
	}
	var x exact
	row.Weight = Weight(x.times(int64(item.Weight), pieces))
	unitMass := x.times(int64(item.Weight), each)
	if !r.settled(p.Path, &x) {
		return
	}
	r.note(p.Path, "weight", "%d pieces · %s each = %s", pieces, Weight(item.Weight), row.Weight)
	r.bill.Hardware = append(r.bill.Hardware, row)
	r.need(p.Path, KindHardware, item.Code, pieces, int64(pieces), Each)
	r.weigh(p.Path, unit.Mass(unitMass))
}
