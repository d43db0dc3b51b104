package saw

import (
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// Number writes a length without its unit, as a spreadsheet takes it.
type Number func(unit.Length) string

// NumberIn writes decimal inches to a millionth, which is exact for
// sixty-fourths and never read as a date as 1/2 would be, or millimetres.
func NumberIn(units bom.Units) Number {
	if units == bom.Metric {
		return unit.Length.Millimetres
	}
	return func(l unit.Length) string {
		text := string(unit.AppendDecimal(nil, int64(l), int64(unit.Inch), 6))
		return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
}
