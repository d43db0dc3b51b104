package unit

// Volume is a volume in nanolitres (1 nL = 0.001 mm³).
type Volume int64

// The units of volume, exact from 1 in = 25.4 mm. A board foot is 144 in³ and
// the US liquid gallon 231 in³ (NIST Handbook 44, appendix C; from memory).
const (
	CubicMillimetre Volume = 1_000
	Millilitre      Volume = 1_000_000
	Litre           Volume = 1_000_000_000
	CubicMetre      Volume = 1_000_000_000_000
	CubicInch       Volume = 16_387_064
	CubicFoot       Volume = 1728 * CubicInch
	BoardFoot       Volume = 144 * CubicInch
	Gallon          Volume = 231 * CubicInch
)

// Add gives v + w or ErrOverflow.
func (v Volume) Add(w Volume) (Volume, error) { return add(v, w) }

// Sub gives v - w or ErrOverflow.
func (v Volume) Sub(w Volume) (Volume, error) { return sub(v, w) }

// Mul gives n times v or ErrOverflow.
func (v Volume) Mul(n int64) (Volume, error) { return mul(v, n) }

// Scale gives v * r rounded once to 1 nanolitre by m. Errors: ErrOverflow,
// ErrMode.
func (v Volume) Scale(r Ratio, m Mode) (Volume, error) { return scale(v, r, m) }

// Over gives the exact ratio v / w. Errors: ErrDivideByZero, ErrOverflow.
func (v Volume) Over(w Volume) (Ratio, error) { return NewRatio(int64(v), int64(w)) }

// VolumeFromFloat rounds a number of nanolitres half away from zero. Errors:
// ErrNotFinite, ErrOverflow.
func VolumeFromFloat(nl float64) (Volume, error) { return fromFloat[Volume](nl) }

// String is the exact text "3785.411784 mL" with up to six decimals.
func (v Volume) String() string { return string(v.append(nil)) }

func (v Volume) append(b []byte) []byte { return append(appendMicro(b, int64(v)), " mL"...) }

// CubicInches gives decimal cubic inches without the unit, nearest, with 0 to
// 9 decimals.
func (v Volume) CubicInches(decimals int) string {
	return decimal(int64(v), int64(CubicInch), decimals)
}

// CubicFeet gives decimal cubic feet without the unit, nearest, with 0 to 9
// decimals.
func (v Volume) CubicFeet(decimals int) string { return decimal(int64(v), int64(CubicFoot), decimals) }

// BoardFeet gives decimal board feet without the unit, nearest, with 0 to 9
// decimals.
func (v Volume) BoardFeet(decimals int) string { return decimal(int64(v), int64(BoardFoot), decimals) }

// Gallons gives decimal US liquid gallons without the unit, nearest, with 0 to
// 9 decimals.
func (v Volume) Gallons(decimals int) string { return decimal(int64(v), int64(Gallon), decimals) }

// Litres gives decimal litres without the unit, nearest, with 0 to 9 decimals.
func (v Volume) Litres(decimals int) string { return decimal(int64(v), int64(Litre), decimals) }

var volumeUnits = map[string]measure{
	"ml": {grains: int64(Millilitre)}, "l": {grains: int64(Litre)},
	"mm3": {grains: int64(CubicMillimetre)}, "mm³": {grains: int64(CubicMillimetre)},
	"cm3": {grains: int64(Millilitre)}, "cm³": {grains: int64(Millilitre)},
	"m3": {grains: int64(CubicMetre)}, "m³": {grains: int64(CubicMetre)},
	"in3": {grains: int64(CubicInch)}, "in³": {grains: int64(CubicInch)}, "cu in": {grains: int64(CubicInch)},
	"ft3": {grains: int64(CubicFoot)}, "ft³": {grains: int64(CubicFoot)}, "cu ft": {grains: int64(CubicFoot)},
	"bf": {grains: int64(BoardFoot)}, "bd ft": {grains: int64(BoardFoot)},
	"gal": {grains: int64(Gallon)},
}

const volumeHint = "write mL, L, mm3, cm3, m3, in3, ft3, bf (board feet) or gal after the number"

// ParseVolume reads "946.352946 mL", "1 gal", "12 1/2 bf", "3 ft3": a number
// and one of mL, L, mm3, cm3, m3, in3, ft3, bf, gal (US liquid). Range 0 to the
// largest Volume. Errors are *ParseError; a value between two nanolitres is
// refused (ErrNotExact), and so is a minus sign (ErrNegative).
func ParseVolume(s string) (Volume, error) {
	return parseQuantity[Volume](s, "a volume", volumeHint, volumeUnits, false)
}

func parseSignedVolume(s string) (Volume, error) {
	return parseQuantity[Volume](s, "a volume", volumeHint, volumeUnits, true)
}

// MarshalText gives String.
func (v Volume) MarshalText() ([]byte, error) { return v.append(nil), nil }

// AppendText appends String.
func (v Volume) AppendText(b []byte) ([]byte, error) { return v.append(b), nil }

// UnmarshalText reads what ParseVolume reads, and also a leading minus, so that
// every marshalled volume comes back.
func (v *Volume) UnmarshalText(text []byte) error { return unmarshal(v, text, parseSignedVolume) }
