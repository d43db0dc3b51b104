package unit_test

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"billwright/catalog/unit"
	"pgregory.net/rapid"
)

// The units of the trade against exact arithmetic from 1 in = 25.4 mm and
// 1 lb = 0.453 592 37 kg (1959 agreement).
func TestUnitConstants(t *testing.T) {
	for what, c := range map[string]struct{ got, want int64 }{
		"in2 in um2":  {int64(unit.SquareInch), 25_400 * 25_400},
		"ft2 in um2":  {int64(unit.SquareFoot), 304_800 * 304_800},
		"yd2 in um2":  {int64(unit.SquareYard), 914_400 * 914_400},
		"m2 in um2":   {int64(unit.SquareMetre), 1_000_000 * 1_000_000},
		"cm2 in um2":  {int64(unit.SquareCentimetre), 10_000 * 10_000},
		"in3 in nL":   {int64(unit.CubicInch), 254 * 254 * 254}, // 0.1 mm cubed is 1 nL
		"ft3 in nL":   {int64(unit.CubicFoot), 3048 * 3048 * 3048},
		"m3 in nL":    {int64(unit.CubicMetre), 10_000 * 10_000 * 10_000},
		"bf x 12":     {int64(unit.BoardFoot) * 12, int64(unit.CubicFoot)},
		"gal in in3":  {int64(unit.Gallon), 231 * int64(unit.CubicInch)},
		"lb in ug":    {int64(unit.Pound), 453_592_370},
		"kg in g":     {int64(unit.Kilogram), 1000 * int64(unit.Gram)},
		"cm in mm":    {int64(unit.Centimetre), 10 * int64(unit.Millimetre)},
		"yd in 0.1mm": {int64(unit.Yard), 9144 * 100 * int64(unit.Micrometre)},
	} {
		if c.got != c.want {
			t.Errorf("%s: %d, want %d", what, c.got, c.want)
		}
	}
}

func TestTimes(t *testing.T) {
	for _, c := range []struct {
		l, w, thick string
		ft2, bf     string
	}{
		{"72 in", "36 in", "1 in", "18.00", "18.00"},
		{"96 1/2 in", "42 in", "1 1/4 in", "28.15", "35.18"}, // 4053 in2 / 144 = 28.1458; x 1.25 in = 35.1823 bf
		{"1 m", "1 m", "25.4 mm", "10.76", "10.76"},
		{"0 in", "36 in", "1 in", "0.00", "0.00"},
	} {
		a := must(must(unit.ParseLength(c.l)).Times(must(unit.ParseLength(c.w))))
		v := must(a.Times(must(unit.ParseLength(c.thick))))
		if a.SquareFeet(2) != c.ft2 || v.BoardFeet(2) != c.bf {
			t.Errorf("%s x %s x %s = %s ft2, %s bf; want %s, %s", c.l, c.w, c.thick, a.SquareFeet(2), v.BoardFeet(2), c.ft2, c.bf)
		}
	}
	if a, err := (unit.Length(math.MaxInt64)).Times(unit.Metre); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("an area too large = %v, %v", a, err)
	}
	if v, err := (unit.Area(math.MaxInt64)).Times(2 * unit.Metre); !errors.Is(err, unit.ErrOverflow) {
		t.Errorf("a volume too large = %v, %v", v, err)
	}
	for _, c := range []struct {
		side unit.Length
		want unit.Area
	}{{707, 0}, {708, 1}, {-708, 1}} { // 0.4998 and 0.5013 square micrometres
		if a := must(c.side.Times(c.side)); a != c.want {
			t.Errorf("%d nm squared is %d um2, want %d", c.side, a, c.want)
		}
	}
	if a := must((unit.Length(-500)).Times(1000)); a != -1 {
		t.Errorf("-0.5 um2 is rounded to %d, want -1 (half away from zero)", a)
	}
}

// Times against math/big: never off by more than half a grain.
func TestTimesIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, m := anyLength().Draw(t, "l"), anyLength().Draw(t, "m")
		exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(l)), big.NewInt(int64(m))), big.NewInt(1_000_000))
		a, err := l.Times(m)
		if err != nil {
			limit := new(big.Rat).SetInt64(math.MaxInt64)
			if new(big.Rat).Abs(exact).Cmp(limit) < 0 {
				t.Fatalf("%d x %d nm: %v", l, m, err)
			}
			return
		}
		off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(int64(a)))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("%d x %d nm = %d um2, off by %v", l, m, a, off)
		}
	})
}

// quantity is what every int64 quantity offers beside its own units.
type quantity[Q any] interface {
	~int64
	Add(Q) (Q, error)
	Sub(Q) (Q, error)
	Mul(int64) (Q, error)
	Scale(unit.Ratio, unit.Mode) (Q, error)
	encoding.TextMarshaler
	String() string
}

type unmarshaler[Q any] interface {
	*Q
	encoding.TextUnmarshaler
}

func TestQuantities(t *testing.T) {
	t.Run("Length", testQuantity[unit.Length])
	t.Run("Area", testQuantity[unit.Area])
	t.Run("Volume", testQuantity[unit.Volume])
	t.Run("Mass", testQuantity[unit.Mass])
	t.Run("Money", testQuantity[unit.Money])
}

// testQuantity holds the arithmetic of one type against math/big, with an
// error exactly when the result does not fit, and its text against reading
// back.
func testQuantity[Q quantity[Q], P unmarshaler[Q]](t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amount := rapid.OneOf(rapid.Int64Range(-1000, 1000), rapid.Int64())
		a, b := amount.Draw(t, "a"), amount.Draw(t, "b")
		bigA, bigB := big.NewInt(a), big.NewInt(b)
		same := func(op string, got Q, err error, want *big.Int) {
			if want.IsInt64() != (err == nil) || err == nil && int64(got) != want.Int64() {
				t.Fatalf("%d %s %d = %d, %v; want %v", a, op, b, int64(got), err, want)
			}
			if err != nil && (!errors.Is(err, unit.ErrOverflow) || got != 0) {
				t.Fatalf("%d %s %d = %d, %v; want 0 and ErrOverflow", a, op, b, int64(got), err)
			}
		}
		sum, err := Q(a).Add(Q(b))
		same("+", sum, err, new(big.Int).Add(bigA, bigB))
		diff, err := Q(a).Sub(Q(b))
		same("-", diff, err, new(big.Int).Sub(bigA, bigB))
		product, err := Q(a).Mul(b)
		same("x", product, err, new(big.Int).Mul(bigA, bigB))
		scaled, err := Q(a).Scale(unit.RatioOf(b), unit.Nearest)
		same("scaled by", scaled, err, new(big.Int).Mul(bigA, bigB))

		text := must(Q(a).MarshalText())
		back := Q(b)
		if err := P(&back).UnmarshalText(text); err != nil || int64(back) != a || string(text) != Q(a).String() {
			t.Fatalf("%d prints as %q and reads back as %d, %v", a, text, int64(back), err)
		}
		if err := P(&back).UnmarshalText([]byte("7,")); err == nil || int64(back) != a {
			t.Fatalf("a refused text leaves %d and %v, want %d and an error", int64(back), err, a)
		}
	})
}

// A bill is written without an allocation for each figure.
func TestAppendedTexts(t *testing.T) {
	buffer := make([]byte, 0, 64)
	for _, q := range []interface {
		encoding.TextAppender
		fmt.Stringer
	}{
		72*unit.Inch + unit.Inch/2, unit.Length(1), unit.Length(math.MinInt64), -unit.Inch / 64, unit.SquareFoot, unit.Area(-1), unit.Gallon, unit.Volume(0),
		unit.Pound, unit.Mass(math.MaxInt64), unit.Money(-7), unit.Money(4120), must(unit.NewRatio(-5, 8)), unit.Ratio{},
	} {
		text, err := q.AppendText([]byte("so: "))
		if err != nil || string(text) != "so: "+q.String() {
			t.Errorf("appended %q, %v, want %s", text, err, q)
		}
		if n := testing.AllocsPerRun(100, func() { buffer, _ = q.AppendText(buffer[:0]) }); n != 0 {
			t.Errorf("%s: %v allocations, want none", q, n)
		}
	}
	if text := string((5 * unit.Millimetre / 2).AppendMillimetres([]byte("d "))); text != "d 2.5" {
		t.Errorf("appended %q", text)
	}
	if text := string(unit.AppendDecimal([]byte("m "), -1_999_999, 1_000_000, 2)); text != "m -2.00" {
		t.Errorf("appended %q", text)
	}
}

func TestScaleRoundsOnce(t *testing.T) {
	third := must(unit.NewRatio(1, 3))
	for mode, want := range map[unit.Mode]unit.Money{unit.Down: 333, unit.Up: 334, unit.Nearest: 333} {
		if got := must(unit.Money(1000).Scale(third, mode)); got != want {
			t.Errorf("a third of 10.00 %v is %v, want %v", mode, got, want)
		}
	}
	if got := must(unit.Inch.Scale(third, unit.Nearest)); got != 8_466_667 {
		t.Errorf("a third of an inch is %d nm, want 8466667", got)
	}
	if _, err := unit.Inch.Scale(third, 9); !errors.Is(err, unit.ErrMode) {
		t.Errorf("an unknown mode: %v", err)
	}
}

func TestOver(t *testing.T) {
	// 2438.4 mm / 25.4 mm is 96 exactly; in binary floats it is 96.00000000000001.
	if r := must((2438_400 * unit.Micrometre).Over(unit.Inch)); r != unit.RatioOf(96) {
		t.Errorf("2438.4 mm / 1 in = %v, want 96", r)
	}
	if r := must(unit.SquareInch.Over(unit.SquareFoot)); r.String() != "1/144" {
		t.Errorf("in2 / ft2 = %v", r)
	}
	if r := must(unit.Gallon.Over(unit.CubicInch)); r.String() != "231" {
		t.Errorf("gal / in3 = %v", r)
	}
	if _, err := unit.Pound.Over(0); !errors.Is(err, unit.ErrDivideByZero) {
		t.Errorf("lb / 0: %v", err)
	}
}

func TestParseQuantities(t *testing.T) {
	for _, c := range []struct {
		text string
		got  func(string) (string, error)
		want string
	}{
		{"929.0304 mm2", area, "929.0304 mm2"},
		{"2 ft2", area, "185806.08 mm2"},
		{"1 1/2 sq ft", area, "139354.56 mm2"},
		{"1½ FT²", area, "139354.56 mm2"},
		{"1 in²", area, "645.16 mm2"},
		{"1 sq in", area, "645.16 mm2"},
		{"1 yd2", area, "836127.36 mm2"},
		{"1 sq yd", area, "836127.36 mm2"},
		{"1.5 m²", area, "1500000 mm2"},
		{"2 cm2", area, "200 mm2"},
		{"1 gal", volume, "3785.411784 mL"},
		{"12 1/2 bf", volume, "29496.7152 mL"}, // 1800 in3
		{"1/3 gal", volume, "1261.803928 mL"},  // 77 in3
		{"1 bd ft", volume, "2359.737216 mL"},
		{"1 in3", volume, "16.387064 mL"},
		{"1 cu ft", volume, "28316.846592 mL"},
		{"0.5 L", volume, "500 mL"},
		{"250 mL", volume, "250 mL"},
		{"1 mm³", volume, "0.001 mL"},
		{"1 m3", volume, "1000000 mL"},
		{"1 cm3", volume, "1 mL"},
		{"1 lb", mass, "453.59237 g"},
		{"1.3517 lb", mass, "613.120807 g"}, // 613.120 806 529 g, rounded to 1 ug
		{"1/3 lbs", mass, "151.197457 g"},   // 151.197 456 667 g
		{"1.5 kg", mass, "1500 g"},
		{"0.000001 g", mass, "0.000001 g"},
	} {
		got, err := c.got(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q = %q, %v; want %q", c.text, got, err, c.want)
		}
	}
}

func TestParseQuantitiesRefuse(t *testing.T) {
	for _, c := range []struct {
		text  string
		parse func(string) (string, error)
		says  string
		kind  error
	}{
		{"2", area, "no unit: write mm2, cm2, m2, in2, ft2 or yd2", nil},
		{"2 ft", area, `unknown unit "ft"`, nil},
		{"-2 ft2", area, "an area cannot be negative", unit.ErrNegative},
		{"0.0000001 mm2", area, "finer than the smallest amount kept", unit.ErrNotExact},
		{"1/7 in2", area, "finer than the smallest amount kept", unit.ErrNotExact},
		{"1,5 m2", area, "comma", nil},
		{"1 500 m2", area, "a space inside the number", nil},
		{"9223373 m2", area, "number too large", unit.ErrOverflow},
		{"2 pt", volume, `unknown unit "pt"`, nil},
		{"-1 gal", volume, "a volume cannot be negative", unit.ErrNegative},
		{"1/7 bf", volume, "finer", unit.ErrNotExact},
		{"2 oz", mass, `unknown unit "oz": write g, kg or lb`, nil},
		{"-1 lb", mass, "a mass cannot be negative", unit.ErrNegative},
		{"1/3 g", mass, "finer", unit.ErrNotExact},
		{"1 * g", mass, `unexpected "* g"`, nil},
		{"lb", mass, "no number at the start", nil},
		{"1\x00lb", mass, "control character", nil},
	} {
		checkSays(t, c.text, c.parse, c.says, c.kind)
	}
}

func TestParseMoney(t *testing.T) {
	for text, want := range map[string]unit.Money{
		"41": 4100, "41.2": 4120, "41.20": 4120, "+41.20": 4120, "-41.20": -4120, "\u221241.20": -4120,
		"0": 0, "-0.05": -5, "0.05": 5, " 7.00 ": 700, "1234.50": 123450,
		"92233720368547758.07": math.MaxInt64, "-92233720368547758.08": math.MinInt64,
	} {
		if got, err := unit.ParseMoney(text); err != nil || got != want {
			t.Errorf("%q = %d, %v; want %d cents", text, got, err, want)
		}
	}
	for m, want := range map[unit.Money]string{
		0: "0.00", 5: "0.05", -5: "-0.05", 123450: "1234.50", -100: "-1.00",
		math.MinInt64: "-92233720368547758.08", math.MaxInt64: "92233720368547758.07",
	} {
		if got := m.String(); got != want {
			t.Errorf("%d cents print as %q, want %q", m, got, want)
		}
	}
}

func TestParseMoneyRefuses(t *testing.T) {
	parse := func(s string) (string, error) { m, err := unit.ParseMoney(s); return m.String(), err }
	for _, c := range []struct {
		text, says string
		kind       error
	}{
		{"", "nothing written", nil},
		{"41.205", "more than two decimals", unit.ErrNotExact},
		{"41.200", "more than two decimals", unit.ErrNotExact},
		{"1,234.50", "comma may mean thousands or decimals", nil},
		{"$41.20", "not a sum of money: write 41.20, without currency sign or grouping", nil},
		{"$1,900", "not a sum of money: write 1900, without", nil},
		{"-€1,234,567.50", "not a sum of money: write -1234567.50, without", nil},
		{"$1,90", "comma may mean thousands or decimals", nil},
		{"$", "write units and cents", nil},
		{"41.", "not a sum of money", nil},
		{".50", "not a sum of money", nil},
		{"--1", "not a sum of money", nil},
		{"+-1", "not a sum of money", nil},
		{"-+1", "not a sum of money", nil},
		{"1e3", "not a sum of money", nil},
		{"½", "not a sum of money", nil},
		{"1.2.3", "not a sum of money", nil},
		{"92233720368547758.08", "number too large", unit.ErrOverflow},
	} {
		checkSays(t, c.text, parse, c.says, c.kind)
	}
}

// Dealer terms: 50/10 off a list of 1,999.99 is the ratio 0.45, rounded once.
func TestMoneyTerms(t *testing.T) {
	half, ninety := must(unit.ParseRatio("50 %")), must(unit.ParseRatio("90 %"))
	net := must(unit.Money(199999).Scale(must(half.Mul(ninety)), unit.Nearest))
	if net != 90000 { // 899.9955
		t.Errorf("1999.99 less 50/10 is %v, want 900.00", net)
	}
}

func TestDisplayTexts(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{unit.SquareFoot.SquareInches(0), "144"},
		{unit.SquareMetre.SquareFeet(4), "10.7639"},
		{unit.SquareMetre.SquareYards(4), "1.1960"},
		{unit.SquareYard.SquareMetres(8), "0.83612736"},
		{unit.CubicFoot.CubicInches(1), "1728.0"},
		{unit.Gallon.CubicFeet(6), "0.133681"}, // 231/1728
		{unit.CubicFoot.Gallons(4), "7.4805"},
		{unit.Gallon.Litres(9), "3.785411784"},
		{unit.Kilogram.Pounds(4), "2.2046"},
		{unit.Pound.Kilograms(8), "0.45359237"},
		{unit.Area(-1).SquareFeet(2), "0.00"},
		{(-unit.SquareFoot / 2).SquareFeet(0), "-1"},
		{unit.Mass(math.MinInt64).Kilograms(9), "-9223372036.854775808"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The types in a JSON document, as the catalog and the orders keep them.
func TestJSON(t *testing.T) {
	type part struct {
		Length  unit.Length   `json:"length"`
		Area    unit.Area     `json:"area"`
		Mass    unit.Mass     `json:"mass"`
		Price   unit.Money    `json:"price"`
		Waste   unit.Ratio    `json:"waste"`
		Cut     unit.Rounding `json:"cut"`
		Coating unit.Volume   `json:"coating"`
	}
	in := part{72 * unit.Inch, unit.SquareFoot, unit.Pound, 4120, must(unit.NewRatio(1, 8)),
		unit.Rounding{Mode: unit.Up, To: unit.Inch / 32}, unit.Gallon}
	data := must(json.Marshal(in))
	const want = `{"length":"72 in","area":"92903.04 mm2","mass":"453.59237 g","price":"41.20","waste":"1/8",` +
		`"cut":{"mode":"up","to":"1/32 in"},"coating":"3785.411784 mL"}`
	if string(data) != want {
		t.Errorf("JSON is %s\nwant    %s", data, want)
	}
	var out part
	if err := json.Unmarshal(data, &out); err != nil || out != in {
		t.Errorf("read back %+v, %v", out, err)
	}
	if err := json.Unmarshal([]byte(`{"length":"72"}`), &out); err == nil {
		t.Error("a length without unit is read from JSON")
	}
}

func FuzzParseMoney(f *testing.F) {
	for _, seed := range []string{"41.20", "-0.05", "+7", "1,234.50", "41.205", "", "92233720368547758.08"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := unit.ParseMoney(text)
		if err != nil {
			checkRefusal(t, text, err)
			return
		}
		if back, err := unit.ParseMoney(m.String()); err != nil || back != m {
			t.Fatalf("%q is %v, which reads back as %v, %v", text, m, back, err)
		}
	})
}

func FuzzParseQuantity(f *testing.F) {
	for _, seed := range []string{"2 ft2", "1½ m²", "12 1/2 bf", "1.3517 lb", "-1 g", "1/0 gal", "9223373 m2", "1 sq ft"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, parse := range []func(string) (string, error){area, volume, mass} {
			canonical, err := parse(text)
			if err != nil {
				checkRefusal(t, text, err)
				continue
			}
			if back, err := parse(canonical); err != nil || back != canonical {
				t.Fatalf("%q is %q, which reads back as %q, %v", text, canonical, back, err)
			}
		}
	})
}

func area(s string) (string, error)   { a, err := unit.ParseArea(s); return a.String(), err }
func volume(s string) (string, error) { v, err := unit.ParseVolume(s); return v.String(), err }
func mass(s string) (string, error)   { m, err := unit.ParseMass(s); return m.String(), err }

// checkSays asserts that a text is refused in the words and with the kind
// given.
func checkSays(t *testing.T, text string, parse func(string) (string, error), says string, kind error) {
	t.Helper()
	got, err := parse(text)
	var refusal *unit.ParseError
	if !errors.As(err, &refusal) {
		t.Errorf("%q = %s, %v; want a ParseError", text, got, err)
		return
	}
	if !strings.Contains(err.Error(), says) || refusal.Kind != kind {
		t.Errorf("%q: %v (kind %v); want %q (kind %v)", text, err, refusal.Kind, says, kind)
	}
}
