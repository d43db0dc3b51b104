package catalog

import (
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Climate is the air that a top lives in, from its driest to its dampest, where
// it differs from that of the standards moisture_low and moisture_high.
type Climate struct {
	Code   string     `yaml:"-"`
	Name   string     `yaml:"name,required" doc:"Name as printed, such as Sea coast."`
	Dry    Air        `yaml:"dry,required" doc:"The driest that a top meets."`
	Damp   Air        `yaml:"damp,required" doc:"The dampest that a top meets."`
	Source string     `yaml:"source,required" doc:"Where the figures come from."`
	Pos    source.Pos `yaml:"-"`
}

// Air is given by the moisture that wood takes on in it, or by its humidity and
// temperature, from which that follows.
type Air struct {
	Moisture   *unit.Ratio `yaml:"moisture" doc:"Moisture content of wood in it, such as 9 %; else humidity and a temperature are given."`
	Humidity   *unit.Ratio `yaml:"humidity" doc:"Relative humidity, such as 65 %."`
	Celsius    *unit.Ratio `yaml:"celsius" doc:"Temperature in degrees Celsius, such as 21."`
	Fahrenheit *unit.Ratio `yaml:"fahrenheit" doc:"Temperature in degrees Fahrenheit, such as 70."`
}

// Content is the moisture content of wood in the air, as a fraction to 0.01 %.
func (a *Air) Content() (unit.Ratio, error) {
	if a.Moisture != nil {
		return *a.Moisture, nil
	}
	celsius := 0.0
	switch {
	case a.Celsius != nil:
		celsius = asFloat(*a.Celsius)
	case a.Fahrenheit != nil:
		celsius = float64((asFloat(*a.Fahrenheit)-32)*5) / 9
	}
	return unit.RatioFromFloat(EquilibriumMoisture(celsius, asFloat(*a.Humidity))/100, 10_000)
}

func asFloat(r unit.Ratio) float64 { return float64(r.Num()) / float64(r.Den()) }

// EquilibriumMoisture is the moisture content in percent that wood comes to in
// air of a temperature in degrees Celsius and a relative humidity as a fraction
// (Hailwood and Horrobin, USDA Wood Handbook eq. 4-5):
//
//	M = 1800/W · [K·h/(1 - K·h) + (K1·K·h + 2·K1·K2·K²·h²)/(1 + K1·K·h + K1·K2·K²·h²)]
//
// Worked: 21.1 °C and 50 %: 9.24 %.
func EquilibriumMoisture(celsius, humidity float64) float64 {
	t, tt := celsius, float64(celsius*celsius)
	w := 349 + float64(1.29*t) + float64(0.0135*tt)
	k := 0.805 + float64(0.000736*t) - float64(0.00000273*tt)
	k1 := 6.27 - float64(0.00938*t) - float64(0.000303*tt)
	k2 := 1.91 + float64(0.0407*t) - float64(0.000293*tt)
	kh := float64(k * humidity)
	first := float64(k1 * kh)
	second := float64(float64(k1*k2) * float64(kh*kh))
	return float64(1800 / w * (kh/(1-kh) + (first+float64(2*second))/(1+first+second)))
}
