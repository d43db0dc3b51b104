package bom_test

import (
	"encoding"
	"encoding/json"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

// papers are one of each quantity.
type papers struct {
	W bom.Weight
	B bom.Lumber
	S bom.Surface
	C bom.Cloth
	L bom.Liquid
	M bom.Minutes
}

// Written as the trade writes it, to the usual decimals, and read back the same
// from either unit.
func TestMeasuresReadBack(t *testing.T) {
	const want = `{"W":"12.50 lb","B":"11.67 bf","S":"9.87 ft2","C":"2.25 yd","L":"0.31 gal","M":"7.5 min"}`
	var p papers
	if err := json.Unmarshal([]byte(want), &p); err != nil {
		t.Fatal(err)
	}
	if p.C != bom.Cloth(81*unit.Inch) || p.M != 75 || p.W != bom.Weight(unit.Pound*25/2) {
		t.Errorf("read as %+v", p)
	}
	if got, err := json.Marshal(p); err != nil || string(got) != want {
		t.Errorf("written as %s, %v", got, err)
	}
	const metric = `{"W":"12.50 kg","B":"0.0275 m3","S":"0.92 m2","C":"2.06 m","L":"1.17 L","M":"0.1 min"}`
	if err := json.Unmarshal([]byte(metric), &p); err != nil {
		t.Fatal(err)
	}
	if p != (papers{bom.Weight(unit.Kilogram * 25 / 2), bom.Lumber(275 * unit.CubicMetre / 10000), bom.Surface(92 * unit.SquareMetre / 100),
		bom.Cloth(206 * unit.Centimetre), bom.Liquid(117 * unit.Litre / 100), 1}) {
		t.Errorf("metric read as %+v", p)
	}
	before := p
	for _, bad := range []string{`{"B":"12"}`, `{"B":"12 lb"}`, `{"S":"x ft2"}`, `{"C":"1 ft"}`, `{"L":"1 m3"}`, `{"M":"99999999999999999999 min"}`, `{"M":"1 h"}`, `{"W":"12"}`} {
		if err := json.Unmarshal([]byte(bad), &p); err == nil || p != before {
			t.Errorf("%s is taken, or leaves %+v", bad, p)
		}
	}
}

func TestQuantitiesInBothUnits(t *testing.T) {
	for _, c := range []struct {
		quantity interface {
			In(bom.Units) string
			Number(bom.Units) string
		}
		inch, metric string
	}{
		{bom.Weight(unit.Pound), "1.00 lb", "0.45 kg"},
		{bom.Lumber(100 * unit.BoardFoot), "100.00 bf", "0.2360 m3"}, // 100 bf are 0.23597 m3
		{bom.Surface(unit.SquareMetre), "10.76 ft2", "1.00 m2"},
		{bom.Cloth(unit.Metre), "1.09 yd", "1.00 m"},
		{bom.Liquid(unit.Gallon), "1.00 gal", "3.79 L"},
		{bom.Weight(0), "0.00 lb", "0.00 kg"},
		// What is not nothing never reads as nothing: two significant digits,
		// at most six decimals, and never less than the last of them.
		{bom.Weight(unit.Pound / 100), "0.01 lb", "0.0045 kg"},
		{bom.Weight(unit.Pound / 200), "0.0050 lb", "0.0023 kg"},
		{bom.Liquid(unit.Gallon / 300), "0.0033 gal", "0.01 L"},
		{bom.Lumber(unit.CubicMetre / 20000), "0.02 bf", "0.000050 m3"},
		{bom.Lumber(unit.CubicMetre / 400000), "0.0011 bf", "0.000003 m3"},
		{bom.Surface(unit.SquareMillimetre), "0.000011 ft2", "0.000001 m2"},
		{bom.Surface(1), "0.000001 ft2", "0.000001 m2"},
		{bom.Cloth(99 * unit.Millimetre / 10), "0.01 yd", "0.0099 m"},
		{bom.Cloth(9_999_999), "0.01 yd", "0.01 m"},
		{bom.Cloth(999_999), "0.0011 yd", "0.0010 m"},
	} {
		for units, want := range map[bom.Units]string{bom.Inch: c.inch, "": c.inch, bom.Metric: c.metric} {
			if got := c.quantity.In(units); got != want {
				t.Errorf("in %q: %s, want %s", units, got, want)
			}
			if number, _, _ := strings.Cut(want, " "); c.quantity.Number(units) != number {
				t.Errorf("number in %q: %s, want %s", units, c.quantity.Number(units), number)
			}
		}
	}
}

func TestWhatIsNotNothingNeverReadsAsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.OneOf(rapid.Int64Range(1, 10_000_000), rapid.Int64Range(1, 1<<62)).Draw(t, "grains")
		for _, units := range []bom.Units{bom.Inch, bom.Metric} {
			for _, text := range []string{bom.Weight(n).Number(units), bom.Lumber(n).Number(units), bom.Surface(n).Number(units), bom.Cloth(n).Number(units), bom.Liquid(n).Number(units)} {
				if strings.Trim(text, "0.") == "" {
					t.Fatalf("%d grains read as %s", n, text)
				}
				var back bom.Weight
				if err := back.UnmarshalText([]byte(bom.Weight(n).In(units))); err != nil || back.In(units) != bom.Weight(n).In(units) {
					t.Fatalf("%s reads back as %s, %v", bom.Weight(n).In(units), back.In(units), err)
				}
				if _, decimals, _ := strings.Cut(text, "."); len(decimals) < 2 || len(decimals) > 6 {
					t.Fatalf("%d grains read as %s", n, text)
				}
			}
		}
	})
}

func TestLengthsInBothUnits(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{bom.Inch.Length(72 * unit.Inch), "72 in"},
		{bom.Metric.Length(72 * unit.Inch), "1828.8 mm"},
		{bom.Inch.Length(unit.Millimetre), "1 mm"},
		{bom.Metric.Sides(unit.Metre, unit.Inch), "1000 mm x 25.4 mm"},
		{bom.Inch.Shaped("round", 42*unit.Inch, 42*unit.Inch), "round 42 in"},
		{bom.Inch.Shaped("rectangle", 42*unit.Inch, 20*unit.Inch), "rectangle 42 in x 20 in"},
		{bom.Inch.Density(unit.Pound, unit.CubicFoot), "1.00 lb/ft3"},
		{bom.Metric.Density(unit.Pound, unit.CubicFoot), "16.02 kg/m3"}, // 1 lb/ft3 = 16.018463 kg/m3 (NIST SP 811, B.9; from memory)
		{bom.Metric.Density(unit.Kilogram, 0), ""},
		{bom.Inch.Tape(3_351_451_043), "131 61/64 in"}, // pi · 42 in is 131.947
		{bom.Metric.Tape(3_351_451_043), "3351.5 mm"},
		{bom.Metric.Names().Lumber + bom.Inch.Names().Lumber, "m3bf"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// A bill of hundreds of figures is written without an allocation for each.
func TestFiguresAreAppendedWithoutAllocation(t *testing.T) {
	buffer := make([]byte, 0, 64)
	for _, q := range []encoding.TextAppender{bom.Weight(unit.Pound / 3), bom.Lumber(unit.BoardFoot), bom.Surface(7), bom.Cloth(unit.Yard), bom.Liquid(unit.Gallon), bom.Minutes(75)} {
		if n := testing.AllocsPerRun(100, func() { buffer, _ = q.AppendText(buffer[:0]) }); n != 0 {
			t.Errorf("%s: %v allocations, want none", buffer, n)
		}
	}
}
