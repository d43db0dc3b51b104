package unit

// Mass is a mass in micrograms.
type Mass int64

// The units of mass. The pound is exact by the international yard and pound
// agreement of 1959: 0.453 592 37 kg.
const (
	Gram     Mass = 1_000_000
	Kilogram Mass = 1_000_000_000
	Pound    Mass = 453_592_370
)

// Add gives m + n or ErrOverflow.
func (m Mass) Add(n Mass) (Mass, error) { return add(m, n) }

// Sub gives m - n or ErrOverflow.
func (m Mass) Sub(n Mass) (Mass, error) { return sub(m, n) }

// Mul gives n times m or ErrOverflow.
func (m Mass) Mul(n int64) (Mass, error) { return mul(m, n) }

// Scale gives m * r rounded once to 1 microgram by mode. Errors: ErrOverflow,
// ErrMode.
func (m Mass) Scale(r Ratio, mode Mode) (Mass, error) { return scale(m, r, mode) }

// Over gives the exact ratio m / n. Errors: ErrDivideByZero, ErrOverflow.
func (m Mass) Over(n Mass) (Ratio, error) { return NewRatio(int64(m), int64(n)) }

// MassFromFloat rounds a number of micrograms half away from zero. Errors:
// ErrNotFinite, ErrOverflow.
func MassFromFloat(ug float64) (Mass, error) { return fromFloat[Mass](ug) }

// String is the exact text "453.59237 g" with up to six decimals.
func (m Mass) String() string { return string(m.append(nil)) }

func (m Mass) append(b []byte) []byte { return append(appendMicro(b, int64(m)), " g"...) }

// Pounds gives decimal pounds without the unit, nearest, with 0 to 9 decimals.
func (m Mass) Pounds(decimals int) string { return decimal(int64(m), int64(Pound), decimals) }

// Kilograms gives decimal kilograms without the unit, nearest, with 0 to 9
// decimals.
func (m Mass) Kilograms(decimals int) string { return decimal(int64(m), int64(Kilogram), decimals) }

var massUnits = map[string]measure{
	"g": {grains: int64(Gram)}, "kg": {grains: int64(Kilogram)},
	"lb": {grains: int64(Pound), round: true}, "lbs": {grains: int64(Pound), round: true},
}

const massHint = "write g, kg or lb after the number"

// ParseMass reads "613.1 g", "1.5 kg", "1.3517 lb": a number and one of g, kg,
// lb. Range 0 to the largest Mass. Pounds are rounded half away from zero to 1
// microgram, which is far below what any scale shows; grams and kilograms are
// exact or refused (ErrNotExact). Errors are *ParseError; a minus sign is
// refused (ErrNegative).
func ParseMass(s string) (Mass, error) {
	return parseQuantity[Mass](s, "a mass", massHint, massUnits, false)
}

func parseSignedMass(s string) (Mass, error) {
	return parseQuantity[Mass](s, "a mass", massHint, massUnits, true)
}

// MarshalText gives String.
func (m Mass) MarshalText() ([]byte, error) { return m.append(nil), nil }

// AppendText appends String.
func (m Mass) AppendText(b []byte) ([]byte, error) { return m.append(b), nil }

// UnmarshalText reads what ParseMass reads, and also a leading minus, so that
// every marshalled mass comes back.
func (m *Mass) UnmarshalText(text []byte) error { return unmarshal(m, text, parseSignedMass) }
