package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Handling units: what is lifted by a fork as one, measured over its outside
// extremes with its pallet (check R-31).
//
//	in a layer   = as many cartons as lie in rows on the deck, all one way round
//	layers       = the least of what the height leaves, what may be stacked, and
//	               what the pallet bears
//	height       = pallet + layers · outside depth
//	sides        = deck and height, rounded up by measured_to
//	weight       = pallet + cartons
//	class        = step of the scale of the order's day for weight / product of sides
//
// A skid is made to the size of one carton, and takes one stack. Each kind of
// carton has pallets of its own; those of a line that are full are alike, and
// one more takes what is left.
//
// Worked: 6 cartons of 24 x 20 x 18 in on a deck of 48 x 40 x 5-1/2 in up to 60 in:
// 4 in a layer, 3 layers, so all 6 on one in 2 layers, 48 x 40 x 41-1/2, up to 42 in.

// UnitRow is some handling units of a line that are alike.
type UnitRow struct {
	Path    string      `json:"path"`
	Pallet  string      `json:"pallet,omitempty"` // empty for a carton by itself
	Units   int         `json:"units"`
	Cartons int         `json:"cartons_on_each"`
	Layers  int         `json:"layers"`
	Length  unit.Length `json:"length"`
	Width   unit.Length `json:"width"`
	Height  unit.Length `json:"height"`
	Weight  Weight      `json:"weight"` // of each
	Density string      `json:"density"`
	Class   string      `json:"freight_class"`
	Scale   string      `json:"scale_from"`
}

// pallet is a pallet as a kind of carton loads it.
type pallet struct {
	name          string
	length, width unit.Length // of the deck, or of the carton by itself
	height        unit.Length
	bare          unit.Mass
	inLayer, full int // cartons in a layer, and at most on one
}

// freight puts the cartons of a row on handling units.
func (r *reckoning) freight(row *CartonRow, made *box, h *catalog.Handling) bool {
	load, ok := r.palletFor(row, made, h)
	if !ok {
		return false
	}
	if full := row.Pieces / load.full; full > 0 && !r.handlingUnits(row, made, h, load, full, load.full) {
		return false
	}
	if rest := row.Pieces % load.full; rest > 0 {
		return r.handlingUnits(row, made, h, load, 1, rest)
	}
	return true
}

// palletFor takes the first pallet, in the handling's order, that a carton fits
// on; with none named, the carton is a unit by itself.
func (r *reckoning) palletFor(row *CartonRow, made *box, h *catalog.Handling) (pallet, bool) {
	if len(h.Pallets) == 0 {
		return pallet{length: made.outside[0], width: made.outside[1], inLayer: 1, full: 1}, true
	}
	why := ""
	for _, code := range h.Pallets {
		p, _ := r.cat.Pallets.Get(code.Value) // Read made sure of it
		var x exact
		load, reason := loaded(p, made, row.Stack.Layers, &x, r.units)
		if !r.settled(row.Path, &x) {
			return pallet{}, false
		}
		if reason == "" {
			if r.trace {
				r.note(row.Path, "pallet", "%s: %d in a layer, at most %d on one", p.Name, load.inLayer, load.full)
			}
			return load, true
		}
		why = p.Name + " " + reason
	}
	r.refuse("carton.no-pallet", row.Path, "no pallet takes it; the last, %s: name a larger pallet, or a skid without length and width, which is made to size", why)
	return pallet{}, false
}

// loaded reckons how a pallet takes cartons, or says why it takes none.
func loaded(p *catalog.Pallet, made *box, stacked int, x *exact, in Units) (load pallet, reason string) {
	load = pallet{name: p.Name, length: made.outside[0], width: made.outside[1], height: p.Height, inLayer: 1}
	if !p.Skid() {
		load.length, load.width = *p.Length, *p.Width
		load.inLayer = InLayer(load.length, load.width, made.outside[0], made.outside[1])
	}
	if load.inLayer == 0 {
		return load, fmt.Sprintf("has a deck of %s, and the carton is %s", in.Sides(load.length, load.width), in.Sides(made.outside[0], made.outside[1]))
	}
	layers := int(min((p.Highest-p.Height)/made.outside[2], unit.Length(stacked)))
	if layers == 0 {
		return load, fmt.Sprintf("goes up to %s with its %s of height, and the carton is %s", in.Length(p.Highest), in.Length(p.Height), in.Length(made.outside[2]))
	}
	load.full = int(min(int64(load.inLayer)*int64(layers), int64(p.Load/made.gross)))
	if load.full == 0 {
		return load, fmt.Sprintf("bears %s, and the carton weighs %s", Weight(p.Load).In(in), Weight(made.gross).In(in))
	}
	bare, err := p.Bare(x.area(load.length, load.width))
	x.keep(err)
	load.bare = bare
	return load, ""
}

// InLayer is how many cartons lie flat on a deck in rows, all the same way
// round: the better of both ways.
func InLayer(deckLength, deckWidth, length, width unit.Length) int {
	if length <= 0 || width <= 0 {
		return 0
	}
	return int(max((deckLength/length)*(deckWidth/width), (deckLength/width)*(deckWidth/length)))
}

// handlingUnits adds a row of handling units, each with the same cartons on it.
func (r *reckoning) handlingUnits(row *CartonRow, made *box, h *catalog.Handling, load pallet, units, cartons int) bool {
	layers := (cartons + load.inLayer - 1) / load.inLayer
	up := unit.Rounding{Mode: unit.Up, To: h.Measured}
	var x exact
	u := UnitRow{
		Path: fmt.Sprintf("%s/unit/%d", row.Path, 1+r.unitsOf(row.Path)), Pallet: load.name, Units: units, Cartons: cartons, Layers: layers,
		Length: x.round(up, load.length), Width: x.round(up, load.width), Height: x.round(up, load.height+unit.Length(layers)*made.outside[2]),
		Weight: Weight(load.bare + unit.Mass(x.times(int64(made.gross), cartons))),
	}
	volume := x.volume(x.area(u.Length, u.Width), u.Height)
	if !r.settled(row.Path, &x) {
		return false
	}
	scale := r.cat.Freight.On(r.line.Config.Day())
	u.Density, u.Class, u.Scale = r.units.Density(unit.Mass(u.Weight), volume), FreightClass(unit.Mass(u.Weight), volume, scale.Classes), scale.From.String()
	row.Class = "" // that of its handling unit counts
	if r.trace {
		r.note(u.Path, "height", "%s + %d x %s, rounded up = %s", load.height, layers, made.outside[2], u.Height)
		r.note(u.Path, "weight", "%s + %d x %s = %s", Weight(load.bare), cartons, row.Gross, u.Weight)
		r.note(u.Path, "freight class", "%s over %s x %s x %s = %s: class %s of the scale from %s", u.Weight, u.Length, u.Width, u.Height, u.Density, u.Class, u.Scale)
	}
	r.bill.Units = append(r.bill.Units, u)
	return true
}

// unitsOf counts the rows of handling units that a carton has so far.
func (r *reckoning) unitsOf(carton string) (n int) {
	for i := range r.bill.Units {
		if within(r.bill.Units[i].Path, carton) {
			n++
		}
	}
	return n
}
