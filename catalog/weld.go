package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Wire is a filler wire for welding, bought by weight.
type Wire struct {
	Code     string     `yaml:"-"`
	Name     string     `yaml:"name,required" doc:"Name as the papers say it, such as 0.035 in solid wire."`
	Density  Density    `yaml:"density,required" doc:"Density of the weld that it lays, such as 0.283 lb/in3 or 7830 kg/m3."`
	Source   string     `yaml:"source,required" doc:"Data sheet or practice."`
	LeadDays int        `yaml:"lead_days" doc:"Working days from order to receipt."`
	Vendor   string     `yaml:"vendor" doc:"Who it is bought from, as closures name him."`
	Buy      *Buying    `yaml:"buy" doc:"In what whole multiples it is bought, and the least."`
	Pos      source.Pos `yaml:"-"`

	// InPlaceOf is the code of the item that this one substitutes, or empty.
	InPlaceOf string `yaml:"-"`
}

// Process is a way of welding.
type Process struct {
	Code       string     `yaml:"-"`
	Name       string     `yaml:"name,required" doc:"Name as the shop says it, such as solid wire under gas."`
	Wire       string     `yaml:"wire,required" doc:"Code of the filler wire."`
	Efficiency unit.Ratio `yaml:"efficiency,required" doc:"Share of the wire that ends in the weld, such as 93 %; what is bought is the weld divided by it."`
	Rate       *MassRate  `yaml:"rate" doc:"Weld laid in an hour of arc; without it arc minutes are not reckoned."`
	Source     string     `yaml:"source,required" doc:"Where efficiency and rate come from."`
	Pos        source.Pos `yaml:"-"`
}

// Joint is where parts of a welded group are welded together. Exactly one of
// Length and AllRound is given, but of a plug neither.
type Joint struct {
	Code     string                        `yaml:"-"`
	Name     string                        `yaml:"name,required" doc:"Name on the papers."`
	When     *Expr                         `yaml:"when" doc:"Condition under which the joint is made."`
	Joins    source.OneOrMany[source.Text] `yaml:"joins,required" doc:"Paths of the parts below the group that it joins. Where a configuration has not all of them, it has not the joint."`
	Pieces   *Expr                         `yaml:"pieces" doc:"How many such joints in one of the group, a number formula; without it, one."`
	Length   *Expr                         `yaml:"length" doc:"Length welded at one joint on one side, a length formula."`
	AllRound string                        `yaml:"all_round" doc:"Instead of a length, the path of the steel part that is welded all round: the length is the perimeter of its section, cut square."`
	Weld     Weld                          `yaml:"weld,required" doc:"How it is welded."`
	Pos      source.Pos                    `yaml:"-"`
}

// Weld is how a joint is welded. A fillet has a leg or a throat, a groove a
// depth, a plug its hole and a depth.
type Weld struct {
	Kind          string       `yaml:"kind,required" oneof:"fillet|square groove|bevel groove|V groove|plug" doc:"Form of the weld. A fillet has equal legs; a plug fills a round hole, or is an arc spot of that size."`
	Process       string       `yaml:"process,required" doc:"Code of the welding process."`
	Leg           *unit.Length `yaml:"leg" doc:"Leg of a fillet; its cross-section is leg x leg / 2."`
	Throat        *unit.Length `yaml:"throat" doc:"Throat of a fillet, instead of its leg; its cross-section is throat x throat."`
	Depth         *unit.Length `yaml:"depth" doc:"Depth that a groove or a plug is filled over: the thickness, where it is welded through."`
	Gap           unit.Length  `yaml:"gap" doc:"Opening of a groove at its root; 0, if absent, is closed."`
	RootFace      unit.Length  `yaml:"root_face" doc:"Depth of a bevel or V groove that is left square."`
	Angle         int          `yaml:"angle" doc:"Angle of a groove in degrees: of a V between its sides, up to 120; of a bevel of its one side, up to 60."`
	Hole          *unit.Length `yaml:"hole" doc:"Diameter of a plug."`
	Reinforcement unit.Ratio   `yaml:"reinforcement" doc:"Share that is laid over the cross-section, such as 10 % for the cap of a groove; 0 if absent."`
	Sides         int          `yaml:"sides" doc:"Sides welded alike, 1 or 2; 1 if absent."`
	GrindFlush    bool         `yaml:"grind_flush" doc:"yes when the weld is ground flush, as on a face that shows."`
	GrindMinutes  unit.Ratio   `yaml:"grind_minutes" doc:"Work minutes for grinding one joint flush."`
	Work          []Operation  `yaml:"work" doc:"Operations on each joint beside welding and grinding, in order, such as clamp and tack."`
	Pos           source.Pos   `yaml:"-"`
}

// The words of Weld.Kind.
const (
	Fillet       = "fillet"
	SquareGroove = "square groove"
	BevelGroove  = "bevel groove"
	VGroove      = "V groove"
	Plug         = "plug"
)

// Splice allows a straight or mitred piece that is longer than the bars on the
// rack to be cut in several and welded end to end.
type Splice struct {
	Most        int         `yaml:"most,required" doc:"Most splices in one piece, 1 to 9; no more are made than the bars call for."`
	At          []Expr      `yaml:"at" doc:"Places at which alone the piece may be spliced, measured from its datum end along its longest side, length formulas; the fewest are taken, each as far as a bar reaches. Without them it is cut as evenly as the saw's fraction allows."`
	FromEnds    unit.Length `yaml:"from_ends" doc:"Length at either end of the piece in which it may not be spliced; 0 if absent."`
	Preparation unit.Length `yaml:"preparation" doc:"Length added to the cut at each spliced end for what its preparation takes away; 0 if absent."`
	Taken       string      `yaml:"taken" oneof:"by choice|by itself" doc:"Whether a piece that is too long is spliced only where the order's line chooses splice for it (by choice, if absent), or by itself."`
	Length      *Expr       `yaml:"length" doc:"Length welded at one splice on one side, a length formula; without it, the perimeter of the section."`
	Weld        Weld        `yaml:"weld,required" doc:"How it is welded."`
	Pos         source.Pos  `yaml:"-"`
}

// By whom a way out of a bar that is too short is taken: Splice.Taken and
// StockBar.Taken.
const (
	ByChoice = "by choice"
	ByItself = "by itself"
)

// ByItself tells that nobody need choose the splice.
func (s *Splice) ByItself() bool { return s.Taken == ByItself }

// ByItself tells that nobody need choose the bar.
func (b *StockBar) ByItself() bool { return b.Taken != ByChoice }

// MassRate is a mass by time, exact, in micrograms by minute.
type MassRate struct{ perMinute unit.Ratio }

var rateUnits = map[string][2]int64{
	"lb/h": {int64(unit.Pound), 60},
	"kg/h": {int64(unit.Kilogram), 60},
}

// UnmarshalText reads "5 lb/h" or "2.3 kg/h".
func (m *MassRate) UnmarshalText(text []byte) error {
	r, err := ratioWithUnit(string(text), "weight by time", rateUnits, "lb/h or kg/h")
	if err != nil {
		return err
	}
	m.perMinute = r
	return nil
}

// Ratio is the rate in micrograms by minute.
func (m MassRate) Ratio() unit.Ratio { return m.perMinute }

// String writes the rate as Density.String does a density.
func (m MassRate) String() string { return textWithUnit(m.perMinute, rateUnits, "lb/h", "kg/h") }

// Metric writes the rate in kilograms by hour where that is finite.
func (m MassRate) Metric() string { return textWithUnit(m.perMinute, rateUnits, "kg/h", "lb/h") }
