package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Lift is how something is lifted, as the lifting equation of NIOSH asks.
type Lift struct {
	Code       string      `yaml:"-"`
	Name       string      `yaml:"name,required" doc:"Name as printed, such as from the floor to the packing bench."`
	Horizontal unit.Length `yaml:"horizontal,required" doc:"Distance of the hands from the ankles, forwards, up to 25 in; under 10 in counts as 10 in. A metric workshop's limits are 63 and 25 cm."`
	Vertical   unit.Length `yaml:"vertical,required" doc:"Height of the hands over the floor where the lift begins, up to 70 in or 175 cm."`
	Travel     unit.Length `yaml:"travel,required" doc:"How far it is lifted up or down, up to 70 in or 175 cm; under 10 in or 25 cm counts as that."`
	Angle      unit.Ratio  `yaml:"angle" doc:"How far the body turns, in degrees, 0 to 135; 0 if absent."`
	Coupling   string      `yaml:"coupling,required" oneof:"good fair poor" doc:"How well the hands hold it: good with handles, poor where it is held under its edges."`
	Frequency  unit.Ratio  `yaml:"frequency,required" doc:"Multiplier for how often it is lifted, from the equation's frequency table: more than 0 and up to 1."`
	Source     string      `yaml:"source,required" doc:"Where these come from: measured in the shop, common practice."`
	Pos        source.Pos  `yaml:"-"`
}
