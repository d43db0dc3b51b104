package catalog

// Bent is a piece of straights and bends in turn.
type Bent struct {
	Runs []Run `yaml:"runs,required" doc:"Straights and bends from the datum end."`
	K    *Expr `yaml:"k_factor" doc:"Where the neutral line lies in a flat that is bent by its inside radius: its depth from the inside over the thickness, a number formula of more than 0 and up to 1/2, such as standard.k_flat or band('k', inside / thickness)."`
}

// Run is a straight or a bend of a bent piece: exactly one of straight, outside
// or an angle with one of its two radii.
type Run struct {
	Straight *Expr   `yaml:"straight" doc:"Length of a straight between the bends beside it, a length formula."`
	Outside  *Expr   `yaml:"outside" doc:"Length of a leg over the outside, from its end or the outside of the bend before it to the outside of the bend after it, a length formula; each bend beside it is taken off by its setback."`
	Angle    Degrees `yaml:"angle" doc:"Angle of a bend in whole or half degrees, up to 360."`
	Radius   *Expr   `yaml:"radius" doc:"Centre-line radius of a bend, a length formula, for bar and tube; the centre line keeps its length."`
	Inside   *Expr   `yaml:"inside" doc:"Inside radius of a bend of a flat over its thickness, a length formula; the length goes by k_factor."`
	Turn     Degrees `yaml:"turn" doc:"How far the piece is turned about its own axis before this bend, in degrees clockwise seen from the datum end, -180 to 180; 0, if absent, keeps it in the plane of the bend before."`
	Jig      string  `yaml:"jig" doc:"Jig that the bend is made on; its radius must then be one of the jig's."`
}
