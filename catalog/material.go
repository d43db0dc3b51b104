package catalog

import (
	"fmt"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Section is a steel section. Its weight and coated perimeter follow from its
// geometry unless the mill's own weight is given. The mass and perimeter
// functions stand in section.go.
type Section struct {
	Code          string         `yaml:"-"`
	Name          string         `yaml:"name,required" doc:"Name on cut lists, such as 1 in square bar."`
	Shape         string         `yaml:"shape,required" oneof:"round square hexagon flat angle round-tube square-tube rect-tube" doc:"Form of the section."`
	Size          *unit.Length   `yaml:"size" doc:"Diameter or side, for round, square, round-tube and square-tube; width across the flats, for hexagon."`
	Width         *unit.Length   `yaml:"width" doc:"Wider side, for flat, angle and rect-tube."`
	Height        *unit.Length   `yaml:"height" doc:"Narrower side, for angle and rect-tube."`
	Thickness     *unit.Length   `yaml:"thickness" doc:"Thickness, for flat and angle."`
	Wall          *unit.Length   `yaml:"wall" doc:"Wall of a tube as a length, never as a gauge number."`
	Corners       string         `yaml:"corners" oneof:"square rounded" doc:"Corners of a square or rectangular tube: square, or rounded to twice the wall."`
	MillWeight    *LinearMass    `yaml:"mill_weight" doc:"The mill's own weight by length, such as 1.5995 lb/ft; without it the geometry's."`
	MillPerimeter *unit.Length   `yaml:"mill_perimeter" doc:"The mill's own outside of the section, by which its coated area goes: 3.93 ft2/ft of a table are 3.93 ft, 0.25 m2/m are 0.25 m; without it the geometry's."`
	Source        string         `yaml:"source" doc:"Source of the mill weight and perimeter."`
	Stock         []StockBar     `yaml:"stock,required" doc:"Lengths it is bought in."`
	LastOrder     *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor     string         `yaml:"successor" doc:"Code of the section that takes its place, which is offered after the last day."`
	Buy           *Buying        `yaml:"buy" doc:"In what bundles of bars it is bought, and the least number of bars, of each length."`
	Pos           source.Pos     `yaml:"-"`

	steel Density // the standard steel_density

	// InPlaceOf is the code of the item that this one substitutes, or empty.
	InPlaceOf string `yaml:"-"`
}

// StockBar is one length that a section is bought in.
type StockBar struct {
	Length   unit.Length `yaml:"length,required" doc:"Length of a bar."`
	Price    unit.Money  `yaml:"price" doc:"Price of a bar."`
	LeadDays int         `yaml:"lead_days" doc:"Working days until it is here; 0 is on the rack."`
	Taken    string      `yaml:"taken" oneof:"by itself|by choice" doc:"Of a bar with lead_days: whether a piece that is too long for the bars on the rack is cut from it by itself, if absent, or only where the order's line chooses stock to order for it."`
	Vendor   string      `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
}

// Rough is a rough lumber thickness and what it surfaces to.
type Rough struct {
	Code     string      `yaml:"-"`
	Nominal  unit.Length `yaml:"nominal,required" doc:"Thickness that board feet are reckoned from."`
	Surfaced unit.Length `yaml:"surfaced,required" doc:"Thickest finished top it makes."`
	Source   string      `yaml:"source,required" doc:"Where the surfaced thickness comes from."`
}

// Species is a top species. Its blanks are made in the shop from lumber, glued
// up from strips or in one piece, or they are bought.
type Species struct {
	Code      string         `yaml:"-"`
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	Blanks    string         `yaml:"blanks" oneof:"made bought" doc:"Whether blanks are made in the shop from lumber or bought, such as panels; made if absent. Bought blanks are bought in blank size: the blank allowances are added to the finished size."`
	Yield     unit.Ratio     `yaml:"yield" doc:"Share of the lumber bought that ends in blanks; what is bought is the blanks divided by it. Required unless blanks are bought."`
	Density   Density        `yaml:"density,required" doc:"Density at shop moisture, such as 47 lb/ft3."`
	Movement  unit.Ratio     `yaml:"movement,required" doc:"Change of width across the grain per percent of moisture, flat-sawn, such as 0.00365; 0 for what does not move, such as a panel."`
	Quarter   *unit.Ratio    `yaml:"movement_quarter" doc:"The same of quarter-sawn wood, such as 0.0018; needed by parts that are quarter-sawn."`
	Shrinks   *Shrinkage     `yaml:"shrinkage" doc:"How much it shrinks from green to oven-dry; needed where moisture goes beyond 6 to 14 %, where movement by the percent holds no longer."`
	Rough     []string       `yaml:"rough" doc:"Rough thicknesses it is bought in. Required unless blanks are bought."`
	Strip     unit.Length    `yaml:"widest_strip" doc:"Widest strip that a blank is glued up from; without it a blank is one piece."`
	LeadDays  int            `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor    string         `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	Source    string         `yaml:"source,required" doc:"Source of density and movement."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the species that takes its place, which is offered after the last day."`
	Sheets    *Sheets        `yaml:"sheets" doc:"Sheets that panels are cut from in the workshop, by thickness; only where blanks are bought. A panel that no sheet gives is bought in blank size."`
	Buy       *Buying        `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos       source.Pos     `yaml:"-"`
}

// Shrinkage is how much of its green width wood loses until it is oven-dry.
type Shrinkage struct {
	Flat    unit.Ratio `yaml:"flat,required" doc:"Of flat-sawn wood (tangential), such as 10.5 %."`
	Quarter unit.Ratio `yaml:"quarter,required" doc:"Of quarter-sawn wood (radial), such as 5.6 %."`
}

// Glass is a pane's make and thickness.
type Glass struct {
	Code      string         `yaml:"-"`
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	Thickness unit.Length    `yaml:"thickness,required" doc:"Nominal thickness; formulas read it as ATTRIBUTE.thickness."`
	Safety    string         `yaml:"safety,required" oneof:"tempered laminated none" doc:"Whether it is safety glass, and how."`
	Largest   *GlassLimit    `yaml:"largest" doc:"Largest pane the vendor makes."`
	Within    unit.Ratio     `yaml:"weight_within" doc:"Share by which a pane's weight may be more or less, 10 % or more: rows then give a range of weight. Without it they give the weight alone."`
	Large     unit.Area      `yaml:"large_over" doc:"Area over which a pane is of the large class, such as 9 ft2; rows then tell which class it is of."`
	Billed    string         `yaml:"billed_by" oneof:"outline|bounding rectangle" doc:"What the vendor bills of a shaped pane: its own area, or that of the rectangle around it; rows then give the billed area and the length of the edge work."`
	LeadDays  int            `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor    string         `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the glass that takes its place, which is offered after the last day."`
	Sheets    *Sheets        `yaml:"sheets" doc:"Sheets that panes are cut from in the workshop, but for those with work by the vendor and those that no sheet gives, which are bought to size; not of tempered glass, which is never cut."`
	Buy       *Buying        `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos       source.Pos     `yaml:"-"`
}

// GlassLimit is the largest pane a vendor makes.
type GlassLimit struct {
	Length unit.Length `yaml:"length,required" doc:"Longer side."`
	Width  unit.Length `yaml:"width,required" doc:"Shorter side."`
}

// Fabric is a cloth for cushions.
type Fabric struct {
	Code      string         `yaml:"-"`
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	Grade     string         `yaml:"grade" doc:"Price grade."`
	Goods     unit.Length    `yaml:"goods_width" doc:"Width of the goods from selvedge to selvedge."`
	Usable    unit.Length    `yaml:"usable_width" doc:"Width that pieces may be cut from."`
	Repeat    unit.Length    `yaml:"repeat" doc:"Pattern repeat along the roll; 0 or absent for a plain cloth."`
	Across    unit.Length    `yaml:"repeat_across" doc:"Pattern repeat across the goods; 0 or absent where there is none."`
	Bolt      unit.Length    `yaml:"bolt" doc:"Longest piece that comes in one length, such as 50 yd; a pattern repeat or a piece longer than that is refused. Without it nothing is."`
	Railroad  bool           `yaml:"railroad" doc:"yes when pieces may be turned so that their width runs along the roll."`
	Direction string         `yaml:"direction" oneof:"any|up the roll" doc:"Way that the cloth must run: up the roll for nap or a pattern with a top, which is never turned, even if it may be railroaded; any if absent."`
	Flaws     unit.Ratio     `yaml:"flaws" doc:"Share added to the net for flaws in the goods, such as 5 %; it adds to that of the cushion form. Cloth by length only; leather has its factor."`
	DyeLot    bool           `yaml:"dye_lot" doc:"yes when all cloth of an order must be of one dye lot: what its lines need of it is cut together and rounded once for the order, and never bought together with other orders'."`
	Leather   *Leather       `yaml:"leather" doc:"Makes it leather, reckoned by area and bought in hides instead of by length."`
	Vendor    string         `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the fabric that takes its place, which is offered after the last day."`
	Own       bool           `yaml:"own_material" doc:"yes for customer's own material: width and repeat come with the order, and the line is held until it is here."`
	LeadDays  int            `yaml:"lead_days" doc:"Working days from order to receipt."`
	Buy       *Buying        `yaml:"buy" doc:"In what whole multiples it is bought, and the least: a length, or a number of hides. Leather is bought in whole hides anyhow."`
	Pos       source.Pos     `yaml:"-"`
}

// Leather is reckoned by area: the sum of the pieces' areas times Factor, in
// whole hides.
type Leather struct {
	Hide   unit.Area   `yaml:"hide,required" doc:"Area of a hide, such as 50 ft2."`
	Length unit.Length `yaml:"clear_length,required" doc:"Length of the clear part of a hide, which each piece must fit in, either way round."`
	Width  unit.Length `yaml:"clear_width,required" doc:"Width of the clear part of a hide."`
	Factor unit.Ratio  `yaml:"factor,required" doc:"Leather bought for each area of pieces, 1 or more, such as 1.5 for a third lost."`
}

// Foam is a cushion foam.
type Foam struct {
	Code     string     `yaml:"-"`
	Name     string     `yaml:"name,required" doc:"Name as printed."`
	Density  Density    `yaml:"density,required" doc:"Density, such as 2.8 lb/ft3."`
	Source   string     `yaml:"source,required" doc:"Data sheet or practice."`
	LeadDays int        `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor   string     `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	Sheets   *Sheets    `yaml:"sheets" doc:"Sheets that foam is cut from, by thickness; what no sheet gives is bought by volume."`
	Buy      *Buying    `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos      source.Pos `yaml:"-"`

	// InPlaceOf is the code of the item that this one substitutes, or empty.
	InPlaceOf string `yaml:"-"`
}

// CushionForm says how a cushion is cut. Its formulas read length, width and
// height (finished size) and the standards.
type CushionForm struct {
	Code      string                    `yaml:"-"`
	Name      string                    `yaml:"name,required" doc:"Name as printed."`
	Pieces    source.Map[*CushionPiece] `yaml:"pieces,required" doc:"Cloth pieces by name."`
	Zip       *Expr                     `yaml:"zip" doc:"Length of zip, a length formula."`
	Cord      *Expr                     `yaml:"cord" doc:"Length of welt cord, a length formula."`
	Pattern   *Pattern                  `yaml:"pattern" doc:"How cloth with a pattern is reckoned; by whole repeats if absent."`
	Flaws     unit.Ratio                `yaml:"flaws" doc:"Share added to the net before rounding, such as 5 %; it adds to that of the cloth. Cloth by length only; leather has its factor."`
	Rounding  *Rounding                 `yaml:"rounding" doc:"Rounding of the cloth to what is bought; without it the standard cloth_rounding."`
	Trimmings source.Map[*Trimming]     `yaml:"trimmings" doc:"What else is sewn in or put around the foam, by name: zip chain and sliders, cord, thread, fibre wrap, labels."`
	Pos       source.Pos                `yaml:"-"`
	scope     *formScope
}

// Pattern is how cloth with a pattern is reckoned. It may be written as the
// words whole repeats alone.
type Pattern struct {
	By     string       `yaml:"by,required" oneof:"whole repeats|table" doc:"whole repeats: each piece that must match is cut in whole repeats. table: the cloth of a plain fabric, and a share of it more that the table gives."`
	Table  string       `yaml:"table" doc:"Table by length that gives the share for the repeat along and the repeat across added up."`
	Narrow *NarrowGoods `yaml:"narrow" doc:"Another table for narrow goods."`
}

// FromText reads the short form.
func (p *Pattern) FromText(t source.Text) error {
	if t.Value != WholeRepeats {
		return fmt.Errorf("a pattern is reckoned by whole repeats, or by a table: write {by: table, table: NAME}")
	}
	p.By = t.Value
	return nil
}

// The words of Pattern.By.
const (
	WholeRepeats = "whole repeats"
	ByTable      = "table"
)

// CushionPiece is one cloth piece of a cushion.
type CushionPiece struct {
	Count  Expr      `yaml:"pieces,required" doc:"How many in one cushion, a number formula."`
	Along  Expr      `yaml:"along,required" doc:"Size along the roll, a length formula."`
	Across Expr      `yaml:"across,required" doc:"Size across the goods, a length formula."`
	Match  bool      `yaml:"match" doc:"yes when each piece starts at the same place of the pattern, so that its length along counts in whole repeats."`
	Beside bool      `yaml:"match_across" doc:"yes when pieces beside each other start at the same place of the pattern across the goods, so that each counts in whole repeats across, but for the last in a row."`
	From   string    `yaml:"from" oneof:"cloth contrast" doc:"What the piece is cut from: the cushion's cloth, which it is if absent, or its contrast."`
	Bias   *Rounding `yaml:"bias" doc:"Makes it a strip cut on the bias, along wide and across long: the strips of all cushions of a part are cut from squares of the goods, whose side is the root of length times width, and a seam, rounded so."`
	Join   bool      `yaml:"may_join" doc:"yes when the size across may be sewn up from several widths, as boxing and welt are."`
}

// Hardware is a bought part counted by the piece.
type Hardware struct {
	Code      string         `yaml:"-"`
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	Weight    unit.Mass      `yaml:"weight" doc:"Weight of one."`
	ByLength  *LinearMass    `yaml:"weight_by_length" doc:"Weight by length of what a cushion form takes by length, such as 0.02 lb/ft."`
	ByArea    *AreaMass      `yaml:"weight_by_area" doc:"Weight by area of what a cushion form takes by area, such as 0.06 lb/ft2."`
	LeadDays  int            `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor    string         `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	Shank     *unit.Length   `yaml:"shank" doc:"Screw shank of a slotted fastener; with it the slot is sized: shank + slot_clearance + half the movement between moisture_low and moisture_high, the top being held in its middle; rounded by slot_rounding."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the hardware that takes its place, which is offered after the last day."`
	Buy       *Buying        `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos       source.Pos     `yaml:"-"`

	// InPlaceOf is the code of the item that this one substitutes, or empty.
	InPlaceOf string `yaml:"-"`
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
	Caliper    *unit.Length `yaml:"caliper" doc:"Thickness of the board. With it the outside of a carton is its inside and the board twice over in length and width, and four times over in depth, where two flaps lie on one another at either end; without it, the panels are taken for the outside."`
	Source     string       `yaml:"source,required" doc:"Where allowances and grades come from."`
	Buy        *Buying      `yaml:"buy" doc:"In what bundles cartons of one size are bought, and the least number of them; of a grade in sheets it is their number."`
	Pos        source.Pos   `yaml:"-"`
}

// BoardGrade is a strength of board and what a carton of it may hold.
type BoardGrade struct {
	Grade  string      `yaml:"grade,required" doc:"Name of the grade, such as 32 ECT."`
	Gross  unit.Mass   `yaml:"gross,required" doc:"Heaviest gross weight."`
	United unit.Length `yaml:"united,required" doc:"Largest outside length plus width plus depth."`
	Crush  *EdgeCrush  `yaml:"ect" doc:"Edge crush strength, such as 44 lb/in or 7.7 kN/m, from which is reckoned how many cartons stand on one another; it asks for the board's caliper."`
	Sheets *Sheets     `yaml:"sheets" doc:"Sheets that blanks of cartons of this grade are cut from in the workshop; a carton whose blank no sheet gives is bought."`
}

// Bought tells that blanks of the species are bought and not made of lumber.
func (s *Species) Bought() bool { return s.Blanks == "bought" }

// UpTheRoll tells that pieces of the cloth may never be turned.
func (f *Fabric) UpTheRoll() bool { return f.Direction == "up the roll" }
