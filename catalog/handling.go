package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// How packed cartons travel: as parcels, or as freight on pallets.

// Handling is how a packed carton travels and how it may be stacked.
type Handling struct {
	Code     string                        `yaml:"-"`
	Ship     string                        `yaml:"ship,required" oneof:"parcel|freight|by limits" doc:"parcel: as a parcel, and a carton over the limits of one is refused. freight: on a pallet, or loose. by limits: as a parcel where it is within the limits of one, else by freight."`
	Parcel   string                        `yaml:"parcel" doc:"Code of the parcel terms. Required unless it ships by freight."`
	Pallets  source.OneOrMany[source.Text] `yaml:"pallets" doc:"Code of the pallet, or codes in order of preference: the first that the carton fits on is taken. Without any, each carton is a handling unit by itself. Each kind of carton has pallets of its own."`
	Measured unit.Length                   `yaml:"measured_to,required" doc:"Step that the outside sides of a handling unit, its pallet included, are rounded up to, such as 1 in."`
	Stacking *Stacking                     `yaml:"stacking" doc:"How many may stand on one another; without it, cartons are not stacked."`
	Pos      source.Pos                    `yaml:"-"`
}

// Parcels tells that cartons may go as parcels, Freighted that they may not all.
func (h *Handling) Parcels() bool   { return h.Ship != "freight" }
func (h *Handling) Freighted() bool { return h.Ship != "parcel" }

// Stacking is how many cartons may stand on one another: by the strength of
// the board, or because what is in them bears the load.
type Stacking struct {
	Formula string      `yaml:"formula,required" oneof:"simplified exponents contents" doc:"simplified: 5.87 x ECT x root of thickness x perimeter. exponents: 5.87 x ECT x thickness^0.5076 x perimeter^0.4924. The two differ by some percent. contents: what is packed bears what stands on it, such as a flat top."`
	Factor  *unit.Ratio `yaml:"safety_factor" doc:"What the strength is divided by for humidity, time and crooked stacks, 1 or more, such as 4. Required for simplified and exponents."`
	Layers  int         `yaml:"layers" doc:"How many may lie on one another, 1 to 100. Required for contents, and not for the others."`
	Source  string      `yaml:"source,required" doc:"Where formula and figures come from."`
}
