package catalog

// Outlines of tops, shelves and panes, of wood, glass or stone alike.

// The outlines. Rectangle may be left out where a shape is written.
const (
	Rectangle = "rectangle"
	Round     = "round"
	Ellipse   = "ellipse"
	Racetrack = "racetrack"
	Boat      = "boat"
)

// Quarter is the word of WoodPart.Sawing for quarter-sawn strips.
const Quarter = "quarter"

// Outline is the finished shape of a top as a part writes it. Width is nil for
// a round, EndWidth for all but a boat.
type Outline struct {
	Shape                   string
	Length, Width, EndWidth *Expr
}

// Outline is the shape of the wood part.
func (w *WoodPart) Outline() Outline {
	return Outline{Shape: shapeOr(w.Shape), Length: &w.Length, Width: w.Width, EndWidth: w.EndWidth}
}

// Outline is the shape of the pane.
func (g *GlassPart) Outline() Outline {
	return Outline{Shape: shapeOr(g.Shape), Length: &g.Length, Width: g.Width, EndWidth: g.EndWidth}
}

// Outline is the shape of the stone.
func (t *StonePart) Outline() Outline {
	return Outline{Shape: shapeOr(t.Shape), Length: &t.Length, Width: t.Width, EndWidth: t.EndWidth}
}

func shapeOr(shape string) string {
	if shape == "" {
		return Rectangle
	}
	return shape
}

// Edges are edge profiles by side, where not all sides have the same.
type Edges struct {
	Front *Expr `yaml:"front" doc:"Edge profile of the side that runs along the length at the front, a text formula; without it that of edge."`
	Back  *Expr `yaml:"back" doc:"Edge profile of the side that runs along the length at the back, a text formula; without it that of edge."`
	Ends  *Expr `yaml:"ends" doc:"Edge profile of both ends, a text formula; without it that of edge. The ends of a racetrack are its half circles, those of a boat its straight ends."`
}

// Support is what a top lies on, which tells how far it reaches past it.
type Support struct {
	Length  Expr  `yaml:"length,required" doc:"Outside size of what the top lies on, along the top's length; it stands in the middle under it. Of a round base its diameter. A length formula."`
	Width   *Expr `yaml:"width" doc:"Outside size of what the top lies on, across the top's length, a length formula; as its length if absent."`
	Caution *Expr `yaml:"caution_over" doc:"Overhang over which the row of the top carries the overhang caution, a length formula such as standard.overhang_caution; without it none is carried."`
	Most    *Expr `yaml:"most" doc:"Greatest overhang that is made, a length formula such as standard.overhang_most; a top that reaches farther is refused with the largest size that the support carries."`
}

// Tip asks for the static tip check: the load at the edge of the top at which
// the product begins to tip over the edge of its base.
type Tip struct {
	Base  Expr  `yaml:"base,required" doc:"Radius of the base from the middle of the top, to its rim or to the middle of its feet, a length formula."`
	Feet  *Expr `yaml:"feet" doc:"Feet that stand evenly around that radius, 3 to 100, a number formula: it then tips over the line between two of them, at radius · cos(180° / feet). Without it the base is a full ring."`
	Reach *Expr `yaml:"reach" doc:"Radius from the middle at which the load is set down, a length formula, such as the half of a table with its leaves in; without it the half of the top's length or width, whichever is more."`
}
