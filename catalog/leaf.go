package catalog

import "billwright/catalog/source"

// LeafPart is an extension leaf of a wood top: a rectangle as long across the
// table as the top is wide, of the top's species, finish, thickness and grain.
// How many there are is the part's pieces.
type LeafPart struct {
	Of    string     `yaml:"of,required" doc:"Path of the wood top that the leaf extends, which stands above it."`
	Width Expr       `yaml:"width,required" doc:"Width of one leaf, by which it makes the table longer, a length formula."`
	Pos   source.Pos `yaml:"-"`

	top *Part
}

// Top is the wood part that the leaf extends; Read made sure of it.
func (l *LeafPart) Top() *Part { return l.top }
