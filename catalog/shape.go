package catalog

import "billwright/catalog/unit"

// Shapes of steel beyond straight, mitred, rolled and bent pieces.

// Hoop is a closed rounded rectangle.
type Hoop struct {
	Length Expr   `yaml:"length,required" doc:"Outside length, a length formula. A flat is bent over its thickness, a rectangular tube over its height."`
	Width  Expr   `yaml:"width,required" doc:"Outside width, a length formula."`
	Radius Expr   `yaml:"radius,required" doc:"Centre-line radius of the four corners, a length formula."`
	Jig    string `yaml:"jig" doc:"Jig that the corners are bent on; their radius must then be one of the jig's."`
}

// Scroll is an Archimedean scroll: its radius grows evenly with the angle.
type Scroll struct {
	First Expr       `yaml:"first,required" doc:"Centre-line radius at the inner end, a length formula."`
	Last  Expr       `yaml:"last,required" doc:"Centre-line radius at the outer end, a length formula."`
	Turns unit.Ratio `yaml:"turns,required" doc:"Turns between them, such as 1.5."`
}

// Twisted is a bar twisted about its own axis along its whole length.
type Twisted struct {
	Length     Expr       `yaml:"length,required" doc:"Finished length, a length formula."`
	Turns      unit.Ratio `yaml:"turns,required" doc:"Full turns over that length, such as 3 or 2.5."`
	Shortening unit.Ratio `yaml:"shortening,required" doc:"Share of the bar's length that twisting takes, such as 2 %: the bar is cut to the finished length divided by what is left. 0 if twisting is taken to change nothing."`
}

// Drawn is a bar of which one end is drawn out to a taper.
type Drawn struct {
	Straight *Expr      `yaml:"straight" doc:"Length left as the bar is, before the taper, a length formula."`
	Taper    Expr       `yaml:"taper,required" doc:"Finished length of the taper, a length formula."`
	Ways     string     `yaml:"ways" oneof:"two one" doc:"Whether both sides taper (two, if absent), to a point, or the thickness alone, to an edge. A round tapers two ways."`
	End      unit.Ratio `yaml:"end" doc:"Size at the end over the size of the bar, such as 1/2; 0, if absent, is a point or an edge."`
}

// Upset is a bar of which one end is upset to a head of its own shape.
type Upset struct {
	Length Expr        `yaml:"length,required" doc:"Finished length, the head included, a length formula."`
	Head   Expr        `yaml:"head,required" doc:"Finished length of the head, a length formula."`
	Size   unit.Length `yaml:"size,required" doc:"Side or diameter of the head."`
}

// Forging is what a drawn or upset piece loses in the fire.
type Forging struct {
	ScaleLoss unit.Ratio  `yaml:"scale_loss,required" doc:"Share of the heated steel that is lost as scale, such as 4 %: the stock is divided by what is left."`
	HotCut    unit.Length `yaml:"hot_cut" doc:"Length lost to cutting the piece off hot; added after the scale."`
	Heats     int         `yaml:"heats,required" doc:"Heats that a piece takes, 1 to 100."`
}
