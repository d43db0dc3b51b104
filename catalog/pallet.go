package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Pallet is what cartons stand on as freight.
type Pallet struct {
	Code    string       `yaml:"-"`
	Name    string       `yaml:"name,required" doc:"Name as printed, such as Pallet 48 x 40 in."`
	Length  *unit.Length `yaml:"length" doc:"Length of the deck. Without length and width it is a skid, made as large as the one stack of cartons that stands on it."`
	Width   *unit.Length `yaml:"width" doc:"Width of the deck."`
	Height  unit.Length  `yaml:"height,required" doc:"Height of the bare pallet."`
	Weight  *unit.Mass   `yaml:"weight" doc:"Weight of the bare pallet; one of weight and weight_by_area is given."`
	ByArea  *AreaMass    `yaml:"weight_by_area" doc:"Weight of the bare pallet by the area of its deck, such as 3 lb/ft2; for a skid made to size."`
	Highest unit.Length  `yaml:"highest,required" doc:"Greatest height of the loaded pallet, the pallet itself included."`
	Load    unit.Mass    `yaml:"load,required" doc:"Most that may stand on it."`
	Source  string       `yaml:"source,required" doc:"Where size and limits come from."`
	Pos     source.Pos   `yaml:"-"`
}

// Skid tells that the pallet is made to the size of what stands on it.
func (p *Pallet) Skid() bool { return p.Length == nil }

// Bare is what the pallet weighs with a deck of the given area.
func (p *Pallet) Bare(deck unit.Area) (unit.Mass, error) {
	if p.Weight != nil {
		return *p.Weight, nil
	}
	return p.ByArea.Mass(deck)
}
