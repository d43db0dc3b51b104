package catalog

import (
	"billwright/catalog/unit"
)

// EdgeCrush is a board's edge crush strength, exact, as the weight that a length
// of its edge bears, in micrograms by nanometre.
type EdgeCrush struct{ perLength unit.Ratio }

// A kilonewton bears 1000/9.80665 kg, by the standard acceleration of gravity
// (3rd CGPM, 1901), and a pound-force one pound.
var crushUnits = map[string][2]int64{
	"lb/in": {int64(unit.Pound), int64(unit.Inch)},
	"kN/m":  {100_000_000, 980_665},
}

// UnmarshalText reads "44 lb/in" or "7.7 kN/m".
func (e *EdgeCrush) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "strength by length", crushUnits, "lb/in or kN/m")
	if err == nil {
		e.perLength = r
	}
	return err
}

// String writes the strength as Density.String does a density.
func (e EdgeCrush) String() string { return textWithUnit(e.perLength, crushUnits, "lb/in", "kN/m") }

// Ratio is the strength in micrograms by nanometre.
func (e EdgeCrush) Ratio() unit.Ratio { return e.perLength }
