package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Carton is one carton of a unit. Its inside is given either as three formulas
// or as the envelope of what it packs.
type Carton struct {
	Code     string                        `yaml:"-"`
	When     *Expr                         `yaml:"when" doc:"Condition under which it is used."`
	Packs    source.OneOrMany[source.Text] `yaml:"packs,required" doc:"Paths of the parts that go in it, with all below them."`
	Board    source.OneOrMany[source.Text] `yaml:"board,required" doc:"Code of the board, or codes in order of preference: the first that has a grade for the weight and the size is taken."`
	Length   *Expr                         `yaml:"length" doc:"Inside length, a length formula, cushioning included. Length, width and depth are required unless envelope is given."`
	Width    *Expr                         `yaml:"width" doc:"Inside width, a length formula."`
	Depth    *Expr                         `yaml:"depth" doc:"Inside depth, a length formula."`
	Envelope *Envelope                     `yaml:"envelope" doc:"Takes the inside size from the sizes of what is packed, instead of length, width and depth."`
	Packing  unit.Mass                     `yaml:"packing" doc:"Weight of cushioning and pads."`
	Handling string                        `yaml:"handling" doc:"Code of the handling by which it travels: parcel or freight, pallets and stacking are then reckoned."`
	Lift     string                        `yaml:"lift" doc:"Code of the lift by which it is moved by hand: its lift index is then reckoned, instead of the standard two_person_lift."`
	Pos      source.Pos                    `yaml:"-"`
}

// Envelope is how packed parts lie in a carton. Wood, glass, stone and cushions
// have the finished size of their rows; hardware lies in the gaps and counts for
// nothing; whatever else is packed has its size here.
type Envelope struct {
	Lay        string                    `yaml:"lay" oneof:"stacked|side by side" doc:"stacked, if absent: on one another, so that the thicknesses add up over the largest length and width. side by side: the widths add up beside the largest length and thickness. Pieces lie as their own length and width say."`
	Cushioning Expr                      `yaml:"cushioning,required" doc:"Left on each of the six sides, a length formula."`
	Between    *Expr                     `yaml:"between" doc:"Pad between one piece and the next, a length formula; none if absent."`
	Sizes      source.Map[*EnvelopeSize] `yaml:"sizes" keys:"any" doc:"Sizes of packed parts by path: of groups and of steel, of which no row tells the room they take."`
	Pos        source.Pos                `yaml:"-"`
}

// EnvelopeSize is the room that a packed part takes.
type EnvelopeSize struct {
	Length Expr       `yaml:"length,required" doc:"Length over all, a length formula."`
	Width  Expr       `yaml:"width,required" doc:"Width over all, a length formula."`
	Depth  Expr       `yaml:"depth,required" doc:"Thickness or height over all as it lies, a length formula."`
	Pieces *Expr      `yaml:"pieces" doc:"How many of it are packed, a number formula; one if absent."`
	Pos    source.Pos `yaml:"-"`
}
