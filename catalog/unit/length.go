package unit

// Length is a length in nanometres.
type Length int64

// The units of length. The inch is exact by the international yard and pound
// agreement of 1959: 1 yd = 0.9144 m, so 1 in = 25.4 mm.
const (
	Nanometre  Length = 1
	Micrometre Length = 1_000
	Millimetre Length = 1_000_000
	Centimetre Length = 10_000_000
	Metre      Length = 1_000_000_000
	Inch       Length = 25_400_000
	Foot       Length = 12 * Inch
	Yard       Length = 36 * Inch
)

// inch64 is 1/64 in, the finest binary fraction of an inch that is a whole
// number of nanometres.
const inch64 = Inch / 64

// Add gives l + m or ErrOverflow.
func (l Length) Add(m Length) (Length, error) { return add(l, m) }

// Sub gives l - m or ErrOverflow.
func (l Length) Sub(m Length) (Length, error) { return sub(l, m) }

// Mul gives n times l or ErrOverflow.
func (l Length) Mul(n int64) (Length, error) { return mul(l, n) }

// Scale gives l * r rounded once to 1 nm by m. Errors: ErrOverflow, ErrMode.
func (l Length) Scale(r Ratio, m Mode) (Length, error) { return scale(l, r, m) }

// Times gives the area l * m, rounded half away from zero to 1 square
// micrometre, or ErrOverflow.
func (l Length) Times(m Length) (Area, error) {
	v, err := MulDivRound(int64(l), int64(m), 1_000_000, Nearest)
	return Area(v), err
}

// Over gives the exact ratio l / m. Errors: ErrDivideByZero, ErrOverflow.
func (l Length) Over(m Length) (Ratio, error) { return NewRatio(int64(l), int64(m)) }

// LengthFromFloat rounds a number of nanometres half away from zero. Errors:
// ErrNotFinite, ErrOverflow.
func LengthFromFloat(nm float64) (Length, error) { return fromFloat[Length](nm) }

// String is the canonical text, which ParseSignedLength reads back to the same
// value: inches with a reduced fraction, "72 1/2 in", for a whole multiple of
// 1/64 in, otherwise millimetres with up to six decimals, "1828.853 mm".
func (l Length) String() string { return string(l.append(nil)) }

func (l Length) append(b []byte) []byte {
	if q, rem := magnitude(int64(l))/uint64(inch64), magnitude(int64(l))%uint64(inch64); rem == 0 {
		return append(appendMixed(b, q, l < 0), " in"...)
	}
	return append(appendMicro(b, int64(l)), " mm"...)
}

// Millimetres gives the exact number of millimetres without its unit,
// "1828.8", with no more decimals than needed (at most six).
func (l Length) Millimetres() string { return string(l.AppendMillimetres(nil)) }

// AppendMillimetres appends Millimetres.
func (l Length) AppendMillimetres(b []byte) []byte { return appendMicro(b, int64(l)) }

// Inches64 gives the nearest number of inches in 64ths without its unit,
// "72 1/2", halves away from zero; exact says whether it is the very length.
func (l Length) Inches64() (text string, exact bool) {
	q, rem := magnitude(int64(l))/uint64(inch64), magnitude(int64(l))%uint64(inch64)
	if rem > uint64(inch64)/2 {
		q++
	}
	return string(appendMixed(nil, q, l < 0)), rem == 0
}

// Inches gives decimal inches without the unit, nearest, with 0 to 9 decimals.
func (l Length) Inches(decimals int) string { return decimal(int64(l), int64(Inch), decimals) }

// Feet gives decimal feet without the unit, nearest, with 0 to 9 decimals.
func (l Length) Feet(decimals int) string { return decimal(int64(l), int64(Foot), decimals) }

// Yards gives decimal yards without the unit, nearest, with 0 to 9 decimals.
func (l Length) Yards(decimals int) string { return decimal(int64(l), int64(Yard), decimals) }

// MarshalText gives String.
func (l Length) MarshalText() ([]byte, error) { return l.append(nil), nil }

// AppendText appends String.
func (l Length) AppendText(b []byte) ([]byte, error) { return l.append(b), nil }

// UnmarshalText reads what ParseSignedLength reads: the whole range and the
// sign, so that every marshalled length comes back. What people enter goes
// through ParseLength.
func (l *Length) UnmarshalText(text []byte) error { return unmarshal(l, text, ParseSignedLength) }
