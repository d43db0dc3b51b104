package unit

// Area is an area in square micrometres.
type Area int64

// The units of area, exact from 1 in = 25.4 mm.
const (
	SquareMillimetre Area = 1_000_000
	SquareCentimetre Area = 100_000_000
	SquareMetre      Area = 1_000_000_000_000
	SquareInch       Area = 645_160_000
	SquareFoot       Area = 144 * SquareInch
	SquareYard       Area = 9 * SquareFoot
)

// Add gives a + b or ErrOverflow.
func (a Area) Add(b Area) (Area, error) { return add(a, b) }

// Sub gives a - b or ErrOverflow.
func (a Area) Sub(b Area) (Area, error) { return sub(a, b) }

// Mul gives n times a or ErrOverflow.
func (a Area) Mul(n int64) (Area, error) { return mul(a, n) }

// Scale gives a * r rounded once to 1 square micrometre by m. Errors:
// ErrOverflow, ErrMode.
func (a Area) Scale(r Ratio, m Mode) (Area, error) { return scale(a, r, m) }

// Times gives the volume a * l, rounded half away from zero to 1 nanolitre, or
// ErrOverflow.
func (a Area) Times(l Length) (Volume, error) {
	v, err := MulDivRound(int64(a), int64(l), 1_000_000_000, Nearest)
	return Volume(v), err
}

// Over gives the exact ratio a / b. Errors: ErrDivideByZero, ErrOverflow.
func (a Area) Over(b Area) (Ratio, error) { return NewRatio(int64(a), int64(b)) }

// AreaFromFloat rounds a number of square micrometres half away from zero.
// Errors: ErrNotFinite, ErrOverflow.
func AreaFromFloat(um2 float64) (Area, error) { return fromFloat[Area](um2) }

// String is the exact text "92903.04 mm2" with up to six decimals.
func (a Area) String() string { return string(a.append(nil)) }

func (a Area) append(b []byte) []byte { return append(appendMicro(b, int64(a)), " mm2"...) }

// SquareInches gives decimal square inches without the unit, nearest, with 0
// to 9 decimals.
func (a Area) SquareInches(decimals int) string {
	return decimal(int64(a), int64(SquareInch), decimals)
}

// SquareFeet gives decimal square feet without the unit, nearest, with 0 to 9
// decimals.
func (a Area) SquareFeet(decimals int) string { return decimal(int64(a), int64(SquareFoot), decimals) }

// SquareYards gives decimal square yards without the unit, nearest, with 0 to
// 9 decimals.
func (a Area) SquareYards(decimals int) string { return decimal(int64(a), int64(SquareYard), decimals) }

// SquareMetres gives decimal square metres without the unit, nearest, with 0
// to 9 decimals.
func (a Area) SquareMetres(decimals int) string {
	return decimal(int64(a), int64(SquareMetre), decimals)
}

var areaUnits = map[string]measure{
	"mm2": {grains: int64(SquareMillimetre)}, "mm²": {grains: int64(SquareMillimetre)},
	"cm2": {grains: int64(SquareCentimetre)}, "cm²": {grains: int64(SquareCentimetre)},
	"m2": {grains: int64(SquareMetre)}, "m²": {grains: int64(SquareMetre)},
	"in2": {grains: int64(SquareInch)}, "in²": {grains: int64(SquareInch)}, "sq in": {grains: int64(SquareInch)},
	"ft2": {grains: int64(SquareFoot)}, "ft²": {grains: int64(SquareFoot)}, "sq ft": {grains: int64(SquareFoot)},
	"yd2": {grains: int64(SquareYard)}, "yd²": {grains: int64(SquareYard)}, "sq yd": {grains: int64(SquareYard)},
}

const areaHint = "write mm2, cm2, m2, in2, ft2 or yd2 after the number"

// ParseArea reads "929.03 mm2", "2 ft2", "1 1/2 sq ft", "1.5 m²": a number and
// one of mm2, cm2, m2, in2, ft2, yd2. Range 0 to the largest Area. Errors are
// *ParseError; a value between two square micrometres is refused (ErrNotExact),
// and so is a minus sign (ErrNegative).
func ParseArea(s string) (Area, error) {
	return parseQuantity[Area](s, "an area", areaHint, areaUnits, false)
}

func parseSignedArea(s string) (Area, error) {
	return parseQuantity[Area](s, "an area", areaHint, areaUnits, true)
}

// MarshalText gives String.
func (a Area) MarshalText() ([]byte, error) { return a.append(nil), nil }

// AppendText appends String.
func (a Area) AppendText(b []byte) ([]byte, error) { return a.append(b), nil }

// UnmarshalText reads what ParseArea reads, and also a leading minus, so that
// every marshalled area comes back.
func (a *Area) UnmarshalText(text []byte) error { return unmarshal(a, text, parseSignedArea) }
