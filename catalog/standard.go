package catalog

import (
	"fmt"

	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Standard is one figure of shop practice. Exactly one of its values is given,
// of the kind that the standard's name calls for (see StandardNames), and a
// standard of the workshop's own naming may be of any kind and be used in
// formulas as standard.NAME.
type Standard struct {
	Length   *unit.Length `yaml:"length" doc:"A length, such as 1/8 in or 3 mm."`
	Ratio    *unit.Ratio  `yaml:"ratio" doc:"A plain number, fraction or percentage."`
	Density  *Density     `yaml:"density" doc:"A mass by volume, such as 490 lb/ft3."`
	Mass     *unit.Mass   `yaml:"mass" doc:"A weight, such as 51 lb or 23 kg."`
	Choice   string       `yaml:"choice" doc:"One of the words that the standard's name allows."`
	Rounding *Rounding    `yaml:"rounding" doc:"How a length is rounded."`
	Source   string       `yaml:"source,required" doc:"Where the figure comes from: a handbook, a data sheet, or common practice."`
	Pos      source.Pos   `yaml:"-"`
}

// Rounding is a rounding rule as written.
type Rounding struct {
	Mode string      `yaml:"mode,required" oneof:"up nearest down" doc:"Direction."`
	To   unit.Length `yaml:"to,required" doc:"Fraction that results are multiples of."`
}

// StandardKind is what sort of value a standard carries.
type StandardKind uint8

// The kinds of standard.
const (
	StandardLength StandardKind = iota
	StandardRatio
	StandardDensity
	StandardChoice
	StandardRounding
	StandardMass
)

// StandardName describes a standard that the arithmetic asks for by name.
type StandardName struct {
	Name string
	Kind StandardKind
	// Choices are the words allowed for a StandardChoice.
	Choices []string
	// Doc is one sentence for the reference.
	Doc string
}

// StandardNames are the standards that the arithmetic reads. A catalog that
// lacks one is refused, so that no figure of shop practice hides in the code.
var StandardNames = []StandardName{
	{"steel_density", StandardDensity, nil, "Density of the steel that sections are made of."},
	{"saw_kerf", StandardLength, nil, "Width that one saw cut turns to chips."},
	{"kerf_placement", StandardChoice, []string{"between pieces", "after every piece"}, "Whether the last piece of a bar is followed by a cut."},
	{"bar_trim", StandardLength, nil, "Length cut off an end of a bar before use."},
	{"bar_trim_ends", StandardChoice, []string{"none", "one", "both"}, "Which ends of a bar are trimmed."},
	{"steel_finished", StandardRounding, nil, "Rounding of a steel piece's finished length."},
	{"steel_cut", StandardRounding, nil, "Rounding of a steel piece's cut length."},
	{"ring_allowance", StandardLength, nil, "Straight left at the ends of a rolled ring by the rolls and trimmed off after rolling, both ends together."},
	{"blank_length_allowance", StandardLength, nil, "Extra length of a wood blank over the finished top."},
	{"blank_width_allowance", StandardLength, nil, "Extra width of a wood blank over the finished top."},
	{"strip_joint_allowance", StandardLength, nil, "Width lost on each strip to jointing its two edges."},
	{"strip_fraction", StandardLength, nil, "Fraction to which strip widths are laid out; the strips of a blank still sum to it exactly."},
	{"moisture_low", StandardRatio, nil, "Driest moisture content that a top meets in use."},
	{"moisture_high", StandardRatio, nil, "Dampest moisture content that a top meets in use."},
	{"slot_clearance", StandardLength, nil, "Play left in a fastening slot beside the wood's movement."},
	{"slot_rounding", StandardRounding, nil, "Rounding of a fastening slot's length."},
	{"glass_density", StandardDensity, nil, "Density of glass, for its weight."},
	{"glass_safety_height", StandardLength, nil, "Height under which a horizontal pane must be of safety glass."},
	{"seam", StandardLength, nil, "Seam allowance of cushion pieces, one side."},
	{"cloth_rounding", StandardRounding, nil, "Rounding of a line's cloth to what is bought."},
	{"foam_oversize", StandardLength, nil, "How much larger than the finished cushion its foam is cut, both ends together."},
	{"hot_work_caution", StandardChoice, []string{"yes", "no"}, "Whether welded work carries the hot work caution."},
	{"two_person_lift", StandardRatio, nil, "Weight above which a carton is marked for two persons: a mass, such as 23 kg, or a plain ratio, which is a number of pounds in a metric catalog too. A carton that names a lift goes by that."},
}

// OptionalStandardNames are standards that the arithmetic reads where a catalog
// has them, and does without where it has not.
var OptionalStandardNames = []StandardName{
	{nearStandard, StandardLength, nil, "A size entered within this of a standard one gets a hint and is made as entered; without it nothing is said."},
	{"least_offcut", StandardLength, nil, "Least leftover of a bar worth keeping; without it none is kept."},
	{"lengths_on_a_bar", StandardRatio, nil, "Most different lengths that the saw is set to for one bar, a whole number; without it there is no limit. The plan then may take more bars, and its bound stays that of the plan without the limit."},
	{"hot_work_clearance", StandardLength, nil, "How far combustibles are cleared from welding; the hot work caution names it, without it the 35 ft of 29 CFR 1910.252."},
	{"fire_watch_minutes", StandardRatio, nil, "Minutes that a fire watch stays after welding, a plain number; with it the hot work caution names them."},
	{"wood_dust_size", StandardLength, nil, "Grain up to which wood dust can explode, such as 0.42 mm; with wood_dust_moisture the wood dust caution names them."},
	{"wood_dust_moisture", StandardRatio, nil, "Moisture under which wood dust can explode, such as 25 %."},
}

// MaybeLength is the value of a standard of OptionalStandardNames of kind
// StandardLength, and whether the catalog has it.
func (c *Catalog) MaybeLength(name string) (unit.Length, bool) {
	s, found := c.maybe(name)
	if !found || s.Length == nil {
		return 0, false
	}
	return *s.Length, true
}

// MaybeRatio is the value of a standard of OptionalStandardNames of kind
// StandardRatio, and whether the catalog has it.
func (c *Catalog) MaybeRatio(name string) (unit.Ratio, bool) {
	s, found := c.maybe(name)
	if !found || s.Ratio == nil {
		return unit.Ratio{}, false
	}
	return *s.Ratio, true
}

func (c *Catalog) maybe(name string) (*Standard, bool) {
	s, found := c.Standards.Get(name)
	if found && c.watch != nil {
		c.watch(name)
	}
	return s, found
}

// called gives the description of a standard that the arithmetic asks for.
func called(name string) (StandardName, bool) {
	for _, list := range [][]StandardName{StandardNames, OptionalStandardNames} {
		for _, s := range list {
			if s.Name == name {
				return s, true
			}
		}
	}
	return StandardName{}, false
}

// standard gives a standard that Read made sure of. Asking for one that is not
// in StandardNames, or as another kind, is a mistake in the program.
func (c *Catalog) standard(name string, kind StandardKind) *Standard {
	if c.watch != nil {
		c.watch(name)
	}
	s, found := c.Standards.Get(name)
	if !found || s.kind() != kind {
		panic(fmt.Sprintf("catalog: %q is not a standard of kind %s", name, kind))
	}
	return s
}

// Watched is the same catalog, which tells watch of every standard that is
// asked for by name, so that a working can name those it rests on.
func (c *Catalog) Watched(watch func(standard string)) *Catalog {
	watched := *c
	watched.watch = watch
	return &watched
}

// Length is the value of a standard of StandardNames of kind StandardLength.
func (c *Catalog) Length(name string) unit.Length { return *c.standard(name, StandardLength).Length }

// Ratio is the value of a standard of StandardNames of kind StandardRatio.
func (c *Catalog) Ratio(name string) unit.Ratio { return *c.standard(name, StandardRatio).Ratio }

// DensityOf is the value of a standard of StandardNames of kind StandardDensity.
func (c *Catalog) DensityOf(name string) Density { return *c.standard(name, StandardDensity).Density }

// Choice is the word of a standard of StandardNames of kind StandardChoice.
func (c *Catalog) Choice(name string) string { return c.standard(name, StandardChoice).Choice }

// Rounding is the value of a standard of StandardNames of kind StandardRounding.
func (c *Catalog) Rounding(name string) unit.Rounding {
	r := c.standard(name, StandardRounding).Rounding
	by, err := r.Rounding()
	if err != nil {
		panic(fmt.Sprintf("catalog: standard %q: %v", name, err)) // Read refused any other word
	}
	return by
}

// Rounding is the rule as the unit package rounds by it.
func (r *Rounding) Rounding() (unit.Rounding, error) {
	mode, err := unit.ParseMode(r.Mode)
	return unit.Rounding{Mode: mode, To: r.To}, err
}

// TwoPersonLift is the weight above which a carton is marked for two persons.
// Errors: unit.ErrOverflow.
func (c *Catalog) TwoPersonLift() (unit.Mass, error) {
	if s, found := c.Standards.Get("two_person_lift"); found && s.Mass != nil {
		return *c.standard("two_person_lift", StandardMass).Mass, nil
	}
	return unit.Pound.Scale(c.Ratio("two_person_lift"), unit.Nearest)
}

// alsoAs are standards of StandardNames that may be given as another kind, too.
var alsoAs = map[string]StandardKind{"two_person_lift": StandardMass}

// kind is the kind of the value given, the first if there are several.
func (s *Standard) kind() StandardKind {
	switch {
	case s.Length != nil:
		return StandardLength
	case s.Ratio != nil:
		return StandardRatio
	case s.Density != nil:
		return StandardDensity
	case s.Rounding != nil:
		return StandardRounding
	case s.Mass != nil:
		return StandardMass
	}
	return StandardChoice
}

var standardKindNames = [...]string{"length", "ratio", "density", "choice", "rounding", "mass"}

// String is the key under which a value of the kind is written.
func (k StandardKind) String() string {
	if int(k) < len(standardKindNames) {
		return standardKindNames[k]
	}
	return fmt.Sprintf("StandardKind(%d)", uint8(k))
}
