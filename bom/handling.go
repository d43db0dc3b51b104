package bom

import (
	"slices"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// How a carton travels: as a parcel within its limits, else as freight, on a
// pallet or by itself. It is done only where the catalog names a handling.

// The ways of shipping, as rows write them.
const (
	shipParcel  = "parcel"
	shipFreight = "freight"
)

// Outside is the size of a closed carton over all.
type Outside struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	Depth  unit.Length `json:"depth"`
}

// PackageType is the type of a package of outside sides and gross weight by the
// definitions of ISTA 3B (check R-33): elongated where the longest side is 36 in
// or more and both others are at most a fifth of it; else flat where the
// shortest is at most 8 in, the next at least four times that, and the volume at
// least 800 in3; else standard up to 200 lb. It is empty for what is none.
func PackageType(outside [3]unit.Length, gross unit.Mass) string {
	sides := outside
	slices.Sort(sides[:])
	shortest, next, longest := sides[0], sides[1], sides[2]
	volume := float64(float64(inchesOf(shortest)*inchesOf(next)) * inchesOf(longest))
	switch {
	case longest >= 36*unit.Inch && 5*next <= longest:
		return "elongated"
	case shortest <= 8*unit.Inch && next >= 4*shortest && volume >= 800:
		return "flat"
	case gross <= 200*unit.Pound:
		return "standard"
	}
	return ""
}

func inchesOf(l unit.Length) float64 { return float64(l) / float64(unit.Inch) }

// ship decides how the cartons of a row travel, and fills what follows from it.
func (r *reckoning) ship(row *CartonRow, made *box, h *catalog.Handling) bool {
	row.Outside = &Outside{made.outside[0], made.outside[1], made.outside[2]}
	row.Package = PackageType(made.outside, made.gross)
	stack, ok := r.stack(row, made, h.Stacking)
	if !ok {
		return false
	}
	row.Stack, row.Ship = stack, shipFreight
	if h.Parcels() {
		terms, _ := r.cat.Parcels.Get(h.Parcel) // Read made sure of it
		parcel, over, ok := r.parcel(row, made, terms)
		switch {
		case !ok:
			return false
		case over == "":
			row.Ship, row.Parcel, row.Class = shipParcel, parcel, ""
			r.noteParcel(row.Path, parcel, made, row.Gross)
			return true
		case !h.Freighted():
			r.refuse("carton.over-parcel", row.Path, "%s by %s: pack it in parts, or let the catalog ship it by limits or by freight", over, terms.Name)
			return false
		case r.trace:
			r.note(row.Path, "ship", "%s: freight", over)
		}
	}
	return r.freight(row, made, h)
}
