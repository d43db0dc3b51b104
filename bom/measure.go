package bom

import (
	"fmt"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// The quantities of a bill row are exact inside and are written as the trade
// writes them, with the unit, to the usual decimals. Exact amounts to buy stand
// in Material.

// Units is how a workshop's bills write lengths and quantities.
type Units string

// The units of bills. Inch writes in, lb, bf, ft2, yd and gal; Metric writes mm,
// kg, m3, m2, m and L. Whatever is not Metric is written as Inch.
const (
	Inch   Units = "inch"
	Metric Units = "metric"
)

// Weight is a mass, written in pounds or kilograms.
type Weight unit.Mass

// Lumber is a volume of lumber, written in board feet (144 in3) or cubic metres.
type Lumber unit.Volume

// Surface is an area, written in square feet or square metres.
type Surface unit.Area

// Cloth is a length of cloth, written in yards or metres.
type Cloth unit.Length

// Liquid is a volume of liquid, written in US gallons or litres.
type Liquid unit.Volume

// Minutes is work time in tenths of a minute.
type Minutes int64

// scale is how a kind of quantity is written: grain is how many of its grains
// the unit of that name has.
type scale struct {
	name     string
	grain    int64
	decimals int
}

// scales are those of a kind of quantity: first in inch, then in metric units.
type scales [2]scale

var (
	weights  = scales{{"lb", int64(unit.Pound), 2}, {"kg", int64(unit.Kilogram), 2}}
	lumbers  = scales{{"bf", int64(unit.BoardFoot), 2}, {"m3", int64(unit.CubicMetre), 4}}
	surfaces = scales{{"ft2", int64(unit.SquareFoot), 2}, {"m2", int64(unit.SquareMetre), 2}}
	cloths   = scales{{"yd", int64(unit.Yard), 2}, {"m", int64(unit.Metre), 2}}
	liquids  = scales{{"gal", int64(unit.Gallon), 2}, {"L", int64(unit.Litre), 2}}
)

func (s *scales) in(u Units) *scale {
	if u == Metric {
		return &s[1]
	}
	return &s[0]
}

// mostDecimals is how fine a small quantity is written at most.
const mostDecimals = 6

var powers = [mostDecimals + 1]int64{1, 10, 100, 1_000, 10_000, 100_000, 1_000_000}

// number writes an amount without its unit. An amount under the usual decimals
// is written to two significant digits, at most six decimals, and one that is
// still finer as the least that can be written: what is not nothing never
// reads as nothing.
func (s *scale) number(b []byte, amount int64) []byte {
	if amount <= 0 || amount >= s.grain/powers[s.decimals] {
		return unit.AppendDecimal(b, amount, s.grain, s.decimals)
	}
	places := s.decimals + 1
	for places < mostDecimals && amount < 10*s.grain/powers[places] {
		places++
	}
	digits := (amount*powers[places] + s.grain/2) / s.grain
	switch {
	case digits == 0:
		amount = s.grain / powers[mostDecimals]
	case digits == 100 && places == s.decimals+2: // rounded up to where the usual decimals do
		places = s.decimals
	case digits == 100:
		places--
	}
	return unit.AppendDecimal(b, amount, s.grain, places)
}

func (s *scale) text(b []byte, amount int64) []byte {
	b = append(s.number(b, amount), ' ')
	return append(b, s.name...)
}

// parse reads an amount in either unit.
func (s *scales) parse(text []byte) (int64, error) {
	for i := range s {
		if number, found := strings.CutSuffix(string(text), " "+s[i].name); found {
			return unscale(number, s[i].grain)
		}
	}
	return 0, fmt.Errorf("%q: expected a number and %q or %q", text, s[0].name, s[1].name)
}

func unscale(number string, grain int64) (int64, error) {
	r, err := unit.ParseRatio(number)
	if err != nil {
		return 0, err
	}
	return unit.MulDivRound(grain, r.Num(), r.Den(), unit.Nearest)
}

// UnitNames are the names of the units that a workshop's bills are written in.
type UnitNames struct{ Length, Weight, Lumber, Surface, Cloth, Liquid, Density string }

// Names are the units' names, for the heads of a sheet.
func (u Units) Names() UnitNames {
	if u == Metric {
		return UnitNames{"mm", weights[1].name, lumbers[1].name, surfaces[1].name, cloths[1].name, liquids[1].name, "kg/m3"}
	}
	return UnitNames{"in", weights[0].name, lumbers[0].name, surfaces[0].name, cloths[0].name, liquids[0].name, "lb/ft3"}
}

// Length writes a length: its canonical text in inch units, "25 1/2 in", and
// always millimetres in metric ones, "1828.8 mm".
func (u Units) Length(l unit.Length) string { return string(u.appendLength(nil, l)) }

func (u Units) appendLength(b []byte, l unit.Length) []byte {
	if u == Metric {
		return append(l.AppendMillimetres(b), " mm"...)
	}
	b, _ = l.AppendText(b) // it has no error
	return b
}

// Tape writes a length as a tape shows it, to the nearest 1/64 in or 0.1 mm,
// where an exact one, such as the girth of a round, would have no such text.
func (u Units) Tape(l unit.Length) string {
	shown := u.tape(unit.Nearest)
	if near, err := shown.Round(l); err == nil {
		l = near
	}
	return u.Length(l)
}

// tape rounds to what a shop can see.
func (u Units) tape(mode unit.Mode) unit.Rounding {
	if u == Metric {
		return unit.Rounding{Mode: mode, To: 100 * unit.Micrometre}
	}
	return unit.Rounding{Mode: mode, To: unit.Inch / 64}
}

// Sides writes the sides of a thing, "72 in x 36 in".
func (u Units) Sides(lengths ...unit.Length) string {
	var b []byte
	for i, l := range lengths {
		if i > 0 {
			b = append(b, " x "...)
		}
		b = u.appendLength(b, l)
	}
	return string(b)
}

// Shaped writes a flat shape as the shop says it: "round 42 in" by its
// diameter, else by its sides, "rectangle 72 in x 36 in".
func (u Units) Shaped(shape string, length, width unit.Length) string {
	if shape == catalog.Round {
		return shape + " " + u.Length(length)
	}
	return shape + " " + u.Sides(length, width)
}

// Density writes a mass over a volume in lb/ft3 or kg/m3 to two decimals; it is
// empty where there is none.
func (u Units) Density(mass unit.Mass, volume unit.Volume) string {
	by, grain := unit.CubicFoot, int64(unit.Pound)
	if u == Metric {
		by, grain = unit.CubicMetre, int64(unit.Kilogram)
	}
	if volume <= 0 {
		return ""
	}
	of, err := unit.MulDivRound(int64(mass), int64(by), int64(volume), unit.Nearest)
	if err != nil {
		return ""
	}
	return string(unit.AppendDecimal(nil, of, grain, 2)) + " " + u.Names().Density
}

// In writes "12.50 lb" or "5.67 kg".
func (m Weight) In(u Units) string { return string(weights.in(u).text(nil, int64(m))) }

// In writes "11.67 bf" or "0.0275 m3".
func (v Lumber) In(u Units) string { return string(lumbers.in(u).text(nil, int64(v))) }

// In writes "9.87 ft2" or "0.92 m2".
func (a Surface) In(u Units) string { return string(surfaces.in(u).text(nil, int64(a))) }

// In writes "2.25 yd" or "2.06 m".
func (l Cloth) In(u Units) string { return string(cloths.in(u).text(nil, int64(l))) }

// In writes "0.31 gal" or "1.17 L".
func (v Liquid) In(u Units) string { return string(liquids.in(u).text(nil, int64(v))) }

// Number is In without the unit, for a sheet.
func (m Weight) Number(u Units) string { return string(weights.in(u).number(nil, int64(m))) }

// Number is In without the unit, for a sheet.
func (v Lumber) Number(u Units) string { return string(lumbers.in(u).number(nil, int64(v))) }

// Number is In without the unit, for a sheet.
func (a Surface) Number(u Units) string { return string(surfaces.in(u).number(nil, int64(a))) }

// Number is In without the unit, for a sheet.
func (l Cloth) Number(u Units) string { return string(cloths.in(u).number(nil, int64(l))) }

// Number is In without the unit, for a sheet.
func (v Liquid) Number(u Units) string { return string(liquids.in(u).number(nil, int64(v))) }

// AppendText writes in inch units; Bill.Document writes a metric bill's.
func (m Weight) AppendText(b []byte) ([]byte, error) { return weights[0].text(b, int64(m)), nil }

// AppendText writes in inch units; Bill.Document writes a metric bill's.
func (v Lumber) AppendText(b []byte) ([]byte, error) { return lumbers[0].text(b, int64(v)), nil }

// AppendText writes in inch units; Bill.Document writes a metric bill's.
func (a Surface) AppendText(b []byte) ([]byte, error) { return surfaces[0].text(b, int64(a)), nil }

// AppendText writes in inch units; Bill.Document writes a metric bill's.
func (l Cloth) AppendText(b []byte) ([]byte, error) { return cloths[0].text(b, int64(l)), nil }

// AppendText writes in inch units; Bill.Document writes a metric bill's.
func (v Liquid) AppendText(b []byte) ([]byte, error) { return liquids[0].text(b, int64(v)), nil }

// MarshalText writes in inch units.
func (m Weight) MarshalText() ([]byte, error) { return m.AppendText(nil) }

// MarshalText writes in inch units.
func (v Lumber) MarshalText() ([]byte, error) { return v.AppendText(nil) }

// MarshalText writes in inch units.
func (a Surface) MarshalText() ([]byte, error) { return a.AppendText(nil) }

// MarshalText writes in inch units.
func (l Cloth) MarshalText() ([]byte, error) { return l.AppendText(nil) }

// MarshalText writes in inch units.
func (v Liquid) MarshalText() ([]byte, error) { return v.AppendText(nil) }

// UnmarshalText reads either unit.
func (m *Weight) UnmarshalText(text []byte) error { return read(m, &weights, text) }

// UnmarshalText reads either unit.
func (v *Lumber) UnmarshalText(text []byte) error { return read(v, &lumbers, text) }

// UnmarshalText reads either unit.
func (a *Surface) UnmarshalText(text []byte) error { return read(a, &surfaces, text) }

// UnmarshalText reads either unit.
func (l *Cloth) UnmarshalText(text []byte) error { return read(l, &cloths, text) }

// UnmarshalText reads either unit.
func (v *Liquid) UnmarshalText(text []byte) error { return read(v, &liquids, text) }

func read[Q ~int64](into *Q, s *scales, text []byte) error {
	amount, err := s.parse(text)
	if err == nil {
		*into = Q(amount)
	}
	return err
}

// AppendText writes "7.5 min".
func (m Minutes) AppendText(b []byte) ([]byte, error) {
	return append(unit.AppendDecimal(b, int64(m), 10, 1), " min"...), nil
}

// MarshalText writes "7.5 min".
func (m Minutes) MarshalText() ([]byte, error) { return m.AppendText(nil) }

func (m Minutes) String() string {
	b, _ := m.AppendText(nil) // it has no error
	return string(b)
}

// UnmarshalText reads what MarshalText wrote.
func (m *Minutes) UnmarshalText(text []byte) error {
	number, found := strings.CutSuffix(string(text), " min")
	if !found {
		return fmt.Errorf("%q: expected a number and %q", text, "min")
	}
	n, err := unscale(number, 10)
	if err == nil {
		*m = Minutes(n)
	}
	return err
}

// metric writes the quantities of a metric bill. An inch bill is written by the
// types' own AppendText, which takes no allocation at all.
var metric = json.WithMarshalers(json.JoinMarshalers(
	inMetric(func(b []byte, l unit.Length) []byte { return Metric.appendLength(b, l) }),
	inMetric(func(b []byte, m Weight) []byte { return weights[1].text(b, int64(m)) }),
	inMetric(func(b []byte, v Lumber) []byte { return lumbers[1].text(b, int64(v)) }),
	inMetric(func(b []byte, a Surface) []byte { return surfaces[1].text(b, int64(a)) }),
	inMetric(func(b []byte, l Cloth) []byte { return cloths[1].text(b, int64(l)) }),
	inMetric(func(b []byte, v Liquid) []byte { return liquids[1].text(b, int64(v)) }),
))

func inMetric[Q any](text func([]byte, Q) []byte) *json.Marshalers {
	return json.MarshalToFunc(func(enc *jsontext.Encoder, q Q) error {
		b := append(enc.AvailableBuffer(), '"')
		return enc.WriteValue(append(text(b, q), '"'))
	})
}

// Measure tells what an amount to buy is counted in, always in the grain of the
// unit package: pieces, nm, um2, nl or ug.
type Measure string

// The measures.
const (
	Each   Measure = "each"
	Length Measure = "length"
	Area   Measure = "area"
	Volume Measure = "volume"
	Mass   Measure = "mass"
)

// plus writes lengths as a sum, "4 3/4 in + 4 11/16 in".
func (u Units) plus(lengths []unit.Length) string {
	var b []byte
	for i, l := range lengths {
		if i > 0 {
			b = append(b, " + "...)
		}
		b = u.appendLength(b, l)
	}
	return string(b)
}
