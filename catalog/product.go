package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Product is something the workshop makes, described by what may be chosen
// (Attributes), what must hold (Rules) and what it is made of (Parts, Cartons).
type Product struct {
	Code       string                 `yaml:"-"`
	Name       string                 `yaml:"name,required" doc:"Name as printed."`
	Collection string                 `yaml:"collection" doc:"Collection it belongs to."`
	LeadDays   int                    `yaml:"lead_days,required" doc:"Working days from acceptance to shipping."`
	Attributes source.Map[*Attribute] `yaml:"attributes" doc:"What may be chosen, in the order it is asked; none for a product that is always the same."`
	Figures    source.Map[*Expr]      `yaml:"figures" doc:"Named formulas that later formulas may read."`
	Rules      source.Map[*Rule]      `yaml:"rules" doc:"What must hold between the choices, each with its sentence."`
	Parts      source.Map[*Part]      `yaml:"parts,required" doc:"What it is made of, as a tree of named parts."`
	Cartons    source.Map[*Carton]    `yaml:"cartons" doc:"How it is boxed."`
	Sample     *Sample                `yaml:"sample" doc:"Marks a chip to choose a finish or a cloth by: it ships alone."`
	LastOrder  *calendar.Date         `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor  string                 `yaml:"successor" doc:"Code of the product that takes its place, which is offered after the last day."`
	Pos        source.Pos             `yaml:"-"`

	scope *productScope
}

// Attribute is one thing that may be chosen: exactly one of Choose, Size, Count
// and Write is given.
type Attribute struct {
	Code      string       `yaml:"-"`
	Name      string       `yaml:"name,required" doc:"Name as printed."`
	Choose    *Choose      `yaml:"choose" doc:"One of a list."`
	Size      *Size        `yaml:"size" doc:"A length within limits and on a step."`
	Count     *CountRange  `yaml:"count" doc:"A whole number within limits."`
	Write     *Write       `yaml:"write" doc:"Text kept as entered."`
	Default   *source.Text `yaml:"default" doc:"Taken, and shown as taken, when nothing is picked."`
	AskedWhen *Expr        `yaml:"asked_when" doc:"Condition under which it is asked at all; it may read the attributes above."`
	Pos       source.Pos   `yaml:"-"`

	slot          int
	firstProperty int // slot of the first property of what is chosen; 0 for none
	options       []option
	byCode        map[string]int
	byDefault     entry // what Default comes to
	askedBy       []int // attributes that AskedWhen reads, by index
}

// Choose is a choice from a table of the catalog or from the attribute's own
// values.
type Choose struct {
	From   string                        `yaml:"from" oneof:"species wood_finishes metal_finishes fabrics glass stone hardware" doc:"Table of the catalog that the values come from."`
	Among  source.OneOrMany[source.Text] `yaml:"among" doc:"Which of that table; without it, all of it."`
	Values source.Map[*Named]            `yaml:"values" doc:"The attribute's own values, when they come from no table."`
	Open   *Open                         `yaml:"open" doc:"Lets people write something that is not listed, which is then held and quoted."`
}

// Named is a value with the name people read. It may be written as the name
// alone.
type Named struct {
	Name      string         `yaml:"name,required" doc:"Name as printed."`
	LastOrder *calendar.Date `yaml:"last_order" doc:"Last day on which it may be ordered; without one it is not withdrawn."`
	Successor string         `yaml:"successor" doc:"Code of the value that takes its place, which is offered after the last day."`
}

// FromText reads the short form.
func (n *Named) FromText(t source.Text) error {
	n.Name = t.Value
	return nil
}

// Size is a length to choose.
type Size struct {
	From     unit.Length   `yaml:"from,required" doc:"Shortest."`
	To       unit.Length   `yaml:"to,required" doc:"Longest."`
	StepInch unit.Length   `yaml:"step_inch,required" doc:"Step of an entry in inches or feet."`
	StepMM   unit.Length   `yaml:"step_metric,required" doc:"Step of an entry in millimetres, centimetres or metres."`
	Standard []unit.Length `yaml:"standard" doc:"Standard sizes, which bear no custom charge."`
}

// CountRange is a whole number to choose.
type CountRange struct {
	From int `yaml:"from,required" doc:"Least."`
	To   int `yaml:"to,required" doc:"Most."`
}

// Write is free text.
type Write struct {
	Longest int `yaml:"longest,required" doc:"Most characters."`
}

// Rule is one condition between choices. Where says when it applies (always, if
// absent); exactly one of Allow, Forbid and Need says what must then hold.
type Rule struct {
	Code   string                 `yaml:"-"`
	Says   string                 `yaml:"says,required" doc:"The sentence people see when it is broken."`
	Where  source.Map[*Condition] `yaml:"where" doc:"Attributes and the values for which the rule applies."`
	Allow  source.Map[*Condition] `yaml:"allow" doc:"Attributes and the only values then allowed."`
	Forbid source.Map[*Condition] `yaml:"forbid" doc:"Attributes and values that may then not stand together."`
	Need   *Expr                  `yaml:"need" doc:"A condition as a formula, such as width <= length."`
	Pos    source.Pos             `yaml:"-"`
}

// Part is a named part of a product: either a group of further parts or exactly
// one of Steel, Wood, Leaf, Glass, Stone, Cushion and Hardware.
type Part struct {
	Path         string             `yaml:"-"`
	Name         string             `yaml:"name" doc:"Name on the papers; without it the part's code."`
	When         *Expr              `yaml:"when" doc:"Condition under which the part exists."`
	Pieces       *Expr              `yaml:"pieces" doc:"How many in one unit of the product, a number formula; without it, one."`
	MetalFinish  *Expr              `yaml:"metal_finish" doc:"On a group: the metal finish of all steel below it, finished as one piece; a text formula, the name of an attribute or \"'black'\"."`
	Match        *Expr              `yaml:"match" doc:"On a group with a metal finish, or a wood part: name of its match set, a text formula, such as \"'suite'\" or an attribute that is written in. Parts of one order whose match sets and finishes are the same make one finish batch and travel together; an empty text is none. Case, spaces and signs do not tell two sets apart."`
	Welded       bool               `yaml:"welded" doc:"On a group: yes when its parts are welded together."`
	Joints       source.Map[*Joint] `yaml:"joints" doc:"Of a welded group: where its parts are welded together."`
	AfterWelding []Operation        `yaml:"after_welding" doc:"Of a welded group: what is done to the whole of it once it is welded, in order, such as check for level."`
	Parts        source.Map[*Part]  `yaml:"parts" doc:"Further parts, of a group."`
	Steel        *SteelPart         `yaml:"steel" doc:"A piece cut from a steel section."`
	Wood         *WoodPart          `yaml:"wood" doc:"A wood top or shelf."`
	Leaf         *LeafPart          `yaml:"leaf" doc:"An extension leaf of a wood top."`
	Glass        *GlassPart         `yaml:"glass" doc:"A pane."`
	Stone        *StonePart         `yaml:"stone" doc:"A stone top or shelf."`
	Cushion      *CushionPart       `yaml:"cushion" doc:"A cushion."`
	Hardware     *HardwarePart      `yaml:"hardware" doc:"A bought part."`
	Lift         string             `yaml:"lift" doc:"Code of the lift by which one of it, with all below it, is moved by hand in the shop: its lift index is then reckoned."`
	Pos          source.Pos         `yaml:"-"`
}

// SteelPart is a piece of steel: a section and exactly one shape.
type SteelPart struct {
	Section  string      `yaml:"section,required" doc:"Code of the section."`
	Straight *Straight   `yaml:"straight" doc:"Cut square at both ends."`
	Mitred   *Mitred     `yaml:"mitred" doc:"Cut at an angle at one or both ends."`
	Ring     *Ring       `yaml:"ring" doc:"Rolled to a closed ring."`
	Bent     *Bent       `yaml:"bent" doc:"Straights and bends in turn."`
	Hoop     *Hoop       `yaml:"hoop" doc:"Bent to a closed rounded rectangle."`
	Scroll   *Scroll     `yaml:"scroll" doc:"Scrolled: a radius that grows evenly."`
	Drawn    *Drawn      `yaml:"drawn" doc:"One end or both drawn out hot to a taper, to a smaller bar, or to one after the other."`
	Upset    *Upset      `yaml:"upset" doc:"One end upset hot to a head."`
	Twisted  *Twisted    `yaml:"twisted" doc:"Twisted about its own axis."`
	Forging  *Forging    `yaml:"forging" doc:"What a drawn or upset piece loses in the fire; needed for these and for no other."`
	Splice   *Splice     `yaml:"splice" doc:"Whether and how a piece longer than the bars may be spliced."`
	Work     []Operation `yaml:"work" doc:"Operations after cutting, in order."`
	Pos      source.Pos  `yaml:"-"`
}

// Straight is a piece cut square.
type Straight struct {
	Length Expr `yaml:"length,required" doc:"Finished length, a length formula."`
}

// FromText reads the short form: the length formula alone.
func (s *Straight) FromText(t source.Text) error { return s.Length.FromText(t) }

// WoodPart is a wood top, shelf or seat.
type WoodPart struct {
	Species   Expr       `yaml:"species,required" doc:"Species, a text formula: mostly the name of the attribute."`
	Finish    Expr       `yaml:"finish,required" doc:"Wood finish, a text formula."`
	Shape     string     `yaml:"shape" oneof:"rectangle round ellipse racetrack boat" doc:"Outline; rectangle if absent. A round takes its diameter from length. A racetrack has two straight sides and half circles at its ends, as wide as it; a boat has straight ends, end_width wide, and sides that are arcs of a circle, width apart in the middle. Blanks are the rectangle around any of them."`
	Length    Expr       `yaml:"length,required" doc:"Finished length, or diameter, a length formula."`
	Width     *Expr      `yaml:"width" doc:"Finished width, a length formula; not for a round."`
	EndWidth  *Expr      `yaml:"end_width" doc:"Width of the straight ends of a boat, a length formula; for no other shape."`
	Halves    bool       `yaml:"halves" doc:"yes for a top made of two half-tops that meet in the middle of its length, and part there for leaves."`
	Thickness Expr       `yaml:"thickness,required" doc:"Finished thickness, a length formula."`
	Edge      Expr       `yaml:"edge,required" doc:"Edge profile, a text formula."`
	Edges     *Edges     `yaml:"edges" doc:"Profiles of sides that differ from edge; the row then gives the length of each profile."`
	Support   *Support   `yaml:"support" doc:"What it lies on: the row then gives its overhang."`
	Tip       *Tip       `yaml:"tip" doc:"Asks for the static tip check of the product with a load at the edge of this top."`
	Sawing    string     `yaml:"sawing" oneof:"flat quarter" doc:"How its strips are sawn, which decides how the width moves; flat if absent."`
	Climate   *Expr      `yaml:"climate" doc:"Climate that it is made for, a text formula; without it that of the standards moisture_low and moisture_high."`
	Grain     string     `yaml:"grain" oneof:"length width" doc:"Direction of the grain; along the length if absent."`
	Pos       source.Pos `yaml:"-"`
}

// GlassPart is a pane.
type GlassPart struct {
	Glass    Expr        `yaml:"glass,required" doc:"Glass, a text formula: mostly the name of the attribute."`
	Shape    string      `yaml:"shape" oneof:"rectangle round ellipse racetrack boat" doc:"Outline, as of a wood part; rectangle if absent. A round takes its diameter from length."`
	Length   Expr        `yaml:"length,required" doc:"Finished length, or diameter, a length formula."`
	Width    *Expr       `yaml:"width" doc:"Finished width, a length formula; not for a round."`
	EndWidth *Expr       `yaml:"end_width" doc:"Width of the straight ends of a boat, a length formula; for no other shape."`
	Height   Expr        `yaml:"height,required" doc:"Height of the pane over the floor, a length formula; it decides whether safety glass is called for."`
	Position string      `yaml:"position" oneof:"horizontal upright" doc:"How it is set; horizontal if absent. The standard glass_safety_height speaks of horizontal panes alone."`
	Edge     Expr        `yaml:"edge,required" doc:"Edge work, a text formula."`
	Work     []GlassWork `yaml:"work" doc:"Holes, notches and the like beside outline and edge."`
	Support  *Support    `yaml:"support" doc:"What it lies on: the row then gives its overhang, and any overhang is told as a reason for safety glass."`
	Tip      *Tip        `yaml:"tip" doc:"Asks for the static tip check of the product with a load at the edge of this top."`
	Pos      source.Pos  `yaml:"-"`
}

// CushionPart is a cushion.
type CushionPart struct {
	Form      string     `yaml:"form,required" doc:"Code of the cushion form."`
	Cloth     Expr       `yaml:"cloth,required" doc:"Fabric, a text formula."`
	Contrast  *Expr      `yaml:"contrast" doc:"Fabric of the pieces that the form cuts from the contrast, such as piping, a text formula; without it they are cut from the cloth."`
	Foam      string     `yaml:"foam,required" doc:"Code of the foam."`
	Shape     string     `yaml:"shape" oneof:"rectangle round trapezoid t-shape polygon" doc:"Outline; rectangle if absent. Each stands in a rectangle of length along the front and width towards the back, which plates and foam are cut to."`
	Length    Expr       `yaml:"length,required" doc:"Finished length, or the diameter of a round, a length formula."`
	Width     *Expr      `yaml:"width" doc:"Finished width, a length formula; not for a round."`
	Rear      *Expr      `yaml:"rear_length" doc:"Length at the back of a trapezoid or a t-shape, not more than the length, a length formula."`
	Ears      *Expr      `yaml:"ears" doc:"How deep the ears of a t-shape are, from the front, a length formula."`
	Corners   []Corner   `yaml:"corners" doc:"Corners of a polygon in turn, 3 to 40; they reach all four sides of its length and width."`
	Height    Expr       `yaml:"height,required" doc:"Finished height, a length formula."`
	OwnUsable *Expr      `yaml:"own_usable_width" doc:"Usable width of customer's own material, a length formula."`
	OwnAcross *Expr      `yaml:"own_repeat_across" doc:"Pattern repeat across customer's own material, a length formula; without it none."`
	OwnRepeat *Expr      `yaml:"own_repeat" doc:"Pattern repeat of customer's own material, a length formula. Without it, or where the attribute it reads was not asked (its asked_when says so, such as repeat_known == 'yes'), the repeat is unknown: the cushion is reckoned as plain, and held by the kind of hold that is placed by unknown repeat."`
	Pos       source.Pos `yaml:"-"`
}

// HardwarePart is a bought part.
type HardwarePart struct {
	Item string `yaml:"item,required" doc:"Code of the hardware."`
	// Top names the wood part whose movement sizes the slot of a slotted item.
	Top string     `yaml:"under" doc:"Path of the wood part that a slotted fastener holds."`
	Pos source.Pos `yaml:"-"`
}

// PriceList is the price of one product.
type PriceList struct {
	Sizes   []SizePrice            `yaml:"sizes,required" doc:"Size classes; the first that fits is taken. None that fits: to be quoted."`
	Options []OptionPrice          `yaml:"options" doc:"Additions; all that fit are taken."`
	Custom  *CustomCharge          `yaml:"custom_size" doc:"Charge when a size is not one of its attribute's standard sizes."`
	Parts   source.Map[unit.Money] `yaml:"parts" doc:"List price of a replacement part by its path, such as base or base/leg. A part without one is to be quoted."`
	Pos     source.Pos             `yaml:"-"`
}

// SizePrice is the list price of a size class.
type SizePrice struct {
	For   string                 `yaml:"for,required" doc:"What the price line says."`
	Where source.Map[*Condition] `yaml:"where" doc:"Attributes and the values of the class."`
	List  unit.Money             `yaml:"list,required" doc:"List price of one unit."`
	Pos   source.Pos             `yaml:"-"`

	tests []test
}

// OptionPrice is an addition to the list price.
type OptionPrice struct {
	For   string                 `yaml:"for,required" doc:"What the price line says."`
	Where source.Map[*Condition] `yaml:"where,required" doc:"Attributes and values for which it is added."`
	Add   unit.Money             `yaml:"add,required" doc:"Addition to the list price of one unit."`
	Pos   source.Pos             `yaml:"-"`

	tests []test
}

// CustomCharge is the charge for a size that is not a standard one.
type CustomCharge struct {
	Of     source.OneOrMany[source.Text] `yaml:"of,required" doc:"Attributes whose standard sizes count."`
	For    string                        `yaml:"for,required" doc:"What the price line says."`
	Charge unit.Money                    `yaml:"charge,required" doc:"Charge on one unit, once however many sizes are custom."`

	of []*Attribute
}

// Dealer is a customer of the workshop.
type Dealer struct {
	Code       string     `yaml:"-"`
	Name       string     `yaml:"name,required" doc:"Name as printed."`
	Terms      Terms      `yaml:"terms,required" doc:"Discounts in percent in a chain, such as 50/10: half, then a tenth off what is left. Half is 50 or 50 %, never 0.5."`
	CreditHold bool       `yaml:"credit_hold" doc:"yes places the hold for dealers on credit hold on every order of his."`
	Pos        source.Pos `yaml:"-"`
}
