package catalog

import "billwright/catalog/unit"

// Drawn is a bar of which one end or both are drawn out: to a taper, to a
// smaller bar of one section along its length, or to a taper and from there on.
type Drawn struct {
	Straight    *Expr      `yaml:"straight" doc:"Length left as the bar is, a length formula."`
	Taper       *Expr      `yaml:"taper" doc:"Finished length of the taper, a length formula; needed unless bar is given."`
	Ways        string     `yaml:"ways" oneof:"two one width" doc:"Whether both sides taper (two, if absent), to a point, or one alone, to an edge: the thickness (one) or the width. A round tapers two ways."`
	End         unit.Ratio `yaml:"end" doc:"Size at the end over the size of the bar, such as 1/2; 0, if absent, is a point or an edge. Not with bar, whose size it then is."`
	SquareFirst *Expr      `yaml:"square_first" doc:"Makes the taper of a square bar round: the share of its length at which it is first forged square, a number formula such as standard.square_first, before its corners are brought in and it comes to its length. At least 0.7854 (a quarter of pi), which the volume alone takes, and at most 1."`
	Bar         *DrawnBar  `yaml:"bar" doc:"Smaller bar that it is drawn to, after the taper if there is one."`
	BothEnds    bool       `yaml:"both_ends" doc:"yes when both ends are drawn out alike, on either side of the straight."`
}

// DrawnBar is the parallel part of a drawn piece.
type DrawnBar struct {
	Length    Expr         `yaml:"length,required" doc:"Finished length of the smaller bar, a length formula."`
	Shape     string       `yaml:"shape" oneof:"square round flat" doc:"Its shape; that of the bar if absent."`
	Size      *unit.Length `yaml:"size" doc:"Its side or diameter, of a square or a round."`
	Width     *unit.Length `yaml:"width" doc:"Its width, of a flat."`
	Thickness *unit.Length `yaml:"thickness" doc:"Its thickness, of a flat."`
}

// Section is the smaller bar drawn from a section.
func (b *DrawnBar) Section(from *Section) *Section {
	drawn := &Section{Code: from.Code, Shape: b.Shape, Size: b.Size, Width: b.Width, Thickness: b.Thickness}
	if drawn.Shape == "" {
		drawn.Shape = from.Shape
	}
	return drawn
}

// Upset is a bar of which one end is upset to a head of its own shape.
type Upset struct {
	Length Expr        `yaml:"length,required" doc:"Finished length, the head included, a length formula."`
	Head   Expr        `yaml:"head,required" doc:"Finished length of the head, a length formula."`
	Size   unit.Length `yaml:"size,required" doc:"Side or diameter of the head."`
}

// Forging is what a drawn or upset piece loses in the fire.
type Forging struct {
	ScaleLoss   unit.Ratio   `yaml:"scale_loss,required" doc:"Share of the heated steel that is lost as scale, such as 4 %: the stock is divided by what is left."`
	HotCut      unit.Length  `yaml:"hot_cut" doc:"Length lost to cutting the piece off hot; added after the scale."`
	Heats       int          `yaml:"heats,required" doc:"Heats that a piece takes, 1 to 100."`
	Temperature *Temperature `yaml:"temperature" doc:"Temperature that it is worked at, such as 1200 C or 2192 F; from 1600 F to 2400 F."`
}
