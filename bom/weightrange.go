package bom

import "billwright/catalog/unit"

// Ranges of weight, where a material is known no closer:
//
//	least = weight · (1 - share), rounded down;  most = weight · (1 + share), up
//
// Worked: 81.7 lb of glass within 10 %: 73.5 to 89.9 lb.

// WeightRange is what a weight lies between.
type WeightRange struct {
	Least Weight `json:"least"`
	Most  Weight `json:"most"`
}

// weightRange is nil where no share is given.
func (x *exact) weightRange(weight Weight, share unit.Ratio) *WeightRange {
	if share.Sign() == 0 {
		return nil
	}
	less, err := unit.RatioOf(1).Sub(share)
	x.keep(err)
	more, err := unit.RatioOf(1).Add(share)
	x.keep(err)
	least, err := unit.Mass(weight).Scale(less, unit.Down)
	x.keep(err)
	most, err := unit.Mass(weight).Scale(more, unit.Up)
	x.keep(err)
	return &WeightRange{Weight(least), Weight(most)}
}
