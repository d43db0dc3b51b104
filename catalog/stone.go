package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Stone is a slab material in one thickness.
type Stone struct {
	Code      string         `yaml:"-"`
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	Thickness unit.Length    `yaml:"thickness,required" doc:"Thickness of the slab; formulas read it as ATTRIBUTE.thickness."`
	Density   Density        `yaml:"density,required" doc:"Density, such as 168 lb/ft3."`
	Within    unit.Ratio     `yaml:"weight_within" doc:"Share by which the weight may be more or less, such as 5 %: rows then give a range of weight. Without it they give the weight alone."`
	Largest   *GlassLimit    `yaml:"largest" doc:"Largest piece that a slab gives, in one."`
	LeadDays  int            `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor    string         `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	Source    string         `yaml:"source,required" doc:"Where the density comes from."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the stone that takes its place, which is offered after the last day."`
	Sheets    *Sheets        `yaml:"sheets" doc:"Slabs that pieces are cut from in the workshop; a piece that no slab gives is bought to size."`
	Buy       *Buying        `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos       source.Pos     `yaml:"-"`
}

// StonePart is a stone top or shelf, bought to size.
type StonePart struct {
	Stone    Expr       `yaml:"stone,required" doc:"Stone, a text formula: mostly the name of the attribute."`
	Shape    string     `yaml:"shape" oneof:"rectangle round ellipse racetrack boat" doc:"Outline, as of a wood part; rectangle if absent."`
	Length   Expr       `yaml:"length,required" doc:"Finished length, or diameter, a length formula."`
	Width    *Expr      `yaml:"width" doc:"Finished width, a length formula; not for a round."`
	EndWidth *Expr      `yaml:"end_width" doc:"Width of the straight ends of a boat, a length formula; for no other shape."`
	Edge     Expr       `yaml:"edge,required" doc:"Edge work, a text formula."`
	Support  *Support   `yaml:"support" doc:"What it lies on: the row then gives its overhang."`
	Tip      *Tip       `yaml:"tip" doc:"Asks for the static tip check of the product with a load at the edge of this top."`
	Pos      source.Pos `yaml:"-"`
}
