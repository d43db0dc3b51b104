package catalog

import "billwright/catalog/unit"

// Shapes of steel that are rolled, scrolled or twisted; bent ones stand in
// bend.go, mitred ones in mitre.go, forged ones in forging.go.

// Ring is a closed rolled ring.
type Ring struct {
	Outside Expr `yaml:"outside,required" doc:"Outside diameter, a length formula."`
}

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
