package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Section is a steel section. Its weight and coated perimeter follow from its
// geometry unless the mill's own weight is given. The mass and perimeter
// functions stand in section.go.
type Section struct {
	Code       string       `yaml:"-"`
	Name       string       `yaml:"name,required" doc:"Name on cut lists, such as 1 in square bar."`
	Shape      string       `yaml:"shape,required" oneof:"round square flat angle round-tube square-tube rect-tube" doc:"Form of the section."`
	Size       *unit.Length `yaml:"size" doc:"Diameter or side, for round, square, round-tube and square-tube."`
	Width      *unit.Length `yaml:"width" doc:"Wider side, for flat, angle and rect-tube."`
	Height     *unit.Length `yaml:"height" doc:"Narrower side, for angle and rect-tube."`
	Thickness  *unit.Length `yaml:"thickness" doc:"Thickness, for flat and angle."`
	Wall       *unit.Length `yaml:"wall" doc:"Wall of a tube as a length, never as a gauge number."`
	Corners    string       `yaml:"corners" oneof:"square rounded" doc:"Corners of a square or rectangular tube: square, or rounded to twice the wall."`
	MillWeight *LinearMass  `yaml:"mill_weight" doc:"The mill's own weight by length, such as 1.5995 lb/ft; without it the geometry's."`
	Source     string       `yaml:"source" doc:"Source of the mill weight."`
	Stock      []StockBar   `yaml:"stock,required" doc:"Lengths it is bought in."`
	Pos        source.Pos   `yaml:"-"`

	steel Density // the standard steel_density
}

// StockBar is one length that a section is bought in.
type StockBar struct {
	Length   unit.Length `yaml:"length,required" doc:"Length of a bar."`
	Price    unit.Money  `yaml:"price" doc:"Price of a bar."`
	LeadDays int         `yaml:"lead_days" doc:"Working days until it is here; 0 is on the rack."`
}

// Rough is a rough lumber thickness and what it surfaces to.
type Rough struct {
	Code     string      `yaml:"-"`
	Nominal  unit.Length `yaml:"nominal,required" doc:"Thickness that board feet are reckoned from."`
	Surfaced unit.Length `yaml:"surfaced,required" doc:"Thickest finished top it makes."`
	Source   string      `yaml:"source,required" doc:"Where the surfaced thickness comes from."`
}

// Species is a top species.
type Species struct {
	Code     string      `yaml:"-"`
	Name     string      `yaml:"name,required" doc:"Name as printed."`
	Yield    unit.Ratio  `yaml:"yield,required" doc:"Share of the lumber bought that ends in blanks; what is bought is the blanks divided by it."`
	Density  Density     `yaml:"density,required" doc:"Density at shop moisture, such as 47 lb/ft3."`
	Movement unit.Ratio  `yaml:"movement,required" doc:"Change of width across the grain per percent of moisture, flat-sawn, such as 0.00365."`
	Rough    []string    `yaml:"rough,required" doc:"Rough thicknesses it is bought in."`
	Strip    unit.Length `yaml:"widest_strip,required" doc:"Widest strip that a blank is glued up from."`
	Source   string      `yaml:"source,required" doc:"Source of density and movement."`
	Pos      source.Pos  `yaml:"-"`
}

// Glass is a pane's make and thickness.
type Glass struct {
	Code      string      `yaml:"-"`
	Name      string      `yaml:"name,required" doc:"Name as printed."`
	Thickness unit.Length `yaml:"thickness,required" doc:"Nominal thickness; formulas read it as ATTRIBUTE.thickness."`
	Safety    string      `yaml:"safety,required" oneof:"tempered laminated none" doc:"Whether it is safety glass, and how."`
	Largest   *GlassLimit `yaml:"largest" doc:"Largest pane the vendor makes."`
	LeadDays  int         `yaml:"lead_days" doc:"Working days from order to receipt."`
	Pos       source.Pos  `yaml:"-"`
}

// GlassLimit is the largest pane a vendor makes.
type GlassLimit struct {
	Length unit.Length `yaml:"length,required" doc:"Longer side."`
	Width  unit.Length `yaml:"width,required" doc:"Shorter side."`
}

// Coating is a powder or a liquid that finish steps put on.
type Coating struct {
	Code string `yaml:"-"`
	Name string `yaml:"name,required" doc:"Name as printed."`
	Kind string `yaml:"kind,required" oneof:"powder liquid" doc:"Powder is reckoned by mass, a liquid by volume."`
	// Gravity is the powder's specific gravity, its density over that of water.
	Gravity *unit.Ratio `yaml:"specific_gravity" doc:"Of a powder."`
	// Solids is the share of a liquid's volume that stays on the work.
	Solids    *unit.Ratio `yaml:"volume_solids" doc:"Of a liquid: share of its volume that stays, such as 45 %."`
	Film      unit.Length `yaml:"dry_film,required" doc:"Dry film of one coat, such as 0.002 in or 50 µm written 0.05 mm."`
	Transfer  unit.Ratio  `yaml:"transfer_efficiency,required" doc:"Share that reaches the work; what is bought is divided by it."`
	Flammable bool        `yaml:"flammable" doc:"Whether steps with it carry the flammable finish caution."`
	Source    string      `yaml:"source,required" doc:"Data sheet or practice the figures rest on."`
	Pos       source.Pos  `yaml:"-"`
}

// Finish is a metal or wood finish: its steps in order.
type Finish struct {
	Code  string                        `yaml:"-"`
	Name  string                        `yaml:"name,required" doc:"Name as printed."`
	On    source.OneOrMany[source.Text] `yaml:"on" doc:"Species it may go on; of a wood finish required."`
	Clear bool                          `yaml:"clear" doc:"yes for a clear coat that lets the bare wood show."`
	Steps []FinishStep                  `yaml:"steps,required" doc:"Steps in order."`
	Pos   source.Pos                    `yaml:"-"`
}

// FinishStep is one step of a finish.
type FinishStep struct {
	Work      string     `yaml:"do,required" doc:"What is done, such as blast, wash 1 of 5 or brush on."`
	Hand      bool       `yaml:"hand" doc:"yes for a step of the hand finishing bench."`
	Minutes   unit.Ratio `yaml:"minutes" doc:"Work minutes for each piece."`
	PerArea   unit.Ratio `yaml:"minutes_per_ft2" doc:"Further work minutes for each square foot."`
	Coating   string     `yaml:"coating" doc:"Powder or liquid put on."`
	WaitHours unit.Ratio `yaml:"wait_hours" doc:"Hours to wait before the next step."`
	Pos       source.Pos `yaml:"-"`
}

// Fabric is a cloth for cushions.
type Fabric struct {
	Code     string      `yaml:"-"`
	Name     string      `yaml:"name,required" doc:"Name as printed."`
	Grade    string      `yaml:"grade" doc:"Price grade."`
	Goods    unit.Length `yaml:"goods_width" doc:"Width of the goods from selvedge to selvedge."`
	Usable   unit.Length `yaml:"usable_width" doc:"Width that pieces may be cut from."`
	Repeat   unit.Length `yaml:"repeat" doc:"Pattern repeat along the roll; 0 or absent for a plain cloth."`
	Railroad bool        `yaml:"railroad" doc:"yes when pieces may be turned so that their width runs along the roll."`
	Own      bool        `yaml:"own_material" doc:"yes for customer's own material: width and repeat come with the order, and the line is held until it is here."`
	LeadDays int         `yaml:"lead_days" doc:"Working days from order to receipt."`
	Pos      source.Pos  `yaml:"-"`
}

// Foam is a cushion foam.
type Foam struct {
	Code    string  `yaml:"-"`
	Name    string  `yaml:"name,required" doc:"Name as printed."`
	Density Density `yaml:"density,required" doc:"Density, such as 2.8 lb/ft3."`
	Source  string  `yaml:"source,required" doc:"Data sheet or practice."`
}

// CushionForm says how a cushion is cut. Its formulas read length, width and
// height (finished size) and the standards.
type CushionForm struct {
	Code   string                    `yaml:"-"`
	Name   string                    `yaml:"name,required" doc:"Name as printed."`
	Pieces source.Map[*CushionPiece] `yaml:"pieces,required" doc:"Cloth pieces by name."`
	Zip    *Expr                     `yaml:"zip" doc:"Length of zip, a length formula."`
	Cord   *Expr                     `yaml:"cord" doc:"Length of welt cord, a length formula."`
	Pos    source.Pos                `yaml:"-"`
	scope  *formScope
}

// CushionPiece is one cloth piece of a cushion.
type CushionPiece struct {
	Count  Expr `yaml:"pieces,required" doc:"How many in one cushion, a number formula."`
	Along  Expr `yaml:"along,required" doc:"Size along the roll, a length formula."`
	Across Expr `yaml:"across,required" doc:"Size across the goods, a length formula."`
	Match  bool `yaml:"match" doc:"yes when each piece starts at the same place of the pattern, so that its length along counts in whole repeats."`
	Join   bool `yaml:"may_join" doc:"yes when the size across may be sewn up from several widths, as boxing and welt are."`
}

// Hardware is a bought part counted by the piece.
type Hardware struct {
	Code   string       `yaml:"-"`
	Name   string       `yaml:"name,required" doc:"Name as printed."`
	Weight unit.Mass    `yaml:"weight" doc:"Weight of one."`
	Shank  *unit.Length `yaml:"shank" doc:"Screw shank of a slotted fastener; with it the slot is sized from the wood's movement."`
	Pos    source.Pos   `yaml:"-"`
}

// Board is a carton board.
type Board struct {
	Code       string       `yaml:"-"`
	Name       string       `yaml:"name,required" doc:"Name as printed, such as single wall C flute."`
	LengthGain unit.Length  `yaml:"length_gain,required" doc:"Added to each length and width panel for the board's own folds."`
	DepthGain  unit.Length  `yaml:"depth_gain,required" doc:"Added to the depth panel."`
	Joint      unit.Length  `yaml:"joint,required" doc:"Width of the glued joint."`
	Weight     AreaMass     `yaml:"weight,required" doc:"Weight by area, such as 0.14 lb/ft2."`
	Grades     []BoardGrade `yaml:"grades,required" doc:"Grades in rising order; the first that holds the load and the size is taken."`
	Source     string       `yaml:"source,required" doc:"Where allowances and grades come from."`
	Pos        source.Pos   `yaml:"-"`
}

// BoardGrade is a strength of board and what a carton of it may hold.
type BoardGrade struct {
	Grade  string      `yaml:"grade,required" doc:"Name of the grade, such as 32 ECT."`
	Gross  unit.Mass   `yaml:"gross,required" doc:"Heaviest gross weight."`
	United unit.Length `yaml:"united,required" doc:"Largest outside length plus width plus depth."`
}

// Freight is a density scale: the class of a handling unit by its weight over
// its volume.
type Freight struct {
	From    *calendar.Date `yaml:"from" doc:"First day on which the scale holds."`
	Source  string         `yaml:"source" doc:"Where the scale is published."`
	Classes []FreightClass `yaml:"classes" doc:"Steps from the lightest."`
	Pos     source.Pos     `yaml:"-"`
}

// FreightClass is one step of the scale: it holds below a density.
type FreightClass struct {
	Below *Density `yaml:"below" doc:"Density under which this class holds; the last step has none."`
	Class string   `yaml:"class,required" doc:"Name of the class."`
}

// HoldKind says what a hold blocks.
type HoldKind struct {
	Blocks string `yaml:"blocks,required" doc:"What may not happen while it stands, such as release."`
	Says   string `yaml:"says,required" doc:"The sentence people see."`
}
