package unit

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Ratio is an exact fraction of two int64, always reduced, with the sign on
// the numerator. The zero value is 0. Equal ratios are equal under ==.
//
// Ratio's own methods are exact: a result whose reduced form does not fit is
// ErrOverflow, never an approximation.
type Ratio struct {
	num int64
	den int64 // 0 in the zero value only, where it stands for 1; else > 0
}

// NewRatio gives num/den in lowest terms. Errors: ErrDivideByZero; ErrOverflow
// when the reduced fraction does not fit (only with the smallest int64).
func NewRatio(num, den int64) (Ratio, error) {
	if den == 0 {
		return Ratio{}, ErrDivideByZero
	}
	n, d := magnitude(num), magnitude(den)
	g := gcd(n, d)
	return makeRatio(n/g, d/g, (num < 0) != (den < 0))
}

// makeRatio builds the canonical form of a reduced fraction.
func makeRatio(n, d uint64, neg bool) (Ratio, error) {
	if n == 0 {
		return Ratio{}, nil
	}
	num, err := signed(n, neg)
	if err != nil {
		return Ratio{}, err
	}
	den, err := signed(d, false)
	if err != nil {
		return Ratio{}, err
	}
	return Ratio{num, den}, nil
}

// RatioOf gives the whole number n.
func RatioOf(n int64) Ratio {
	if n == 0 {
		return Ratio{}
	}
	return Ratio{n, 1}
}

// Num is the numerator in lowest terms; it carries the sign.
func (r Ratio) Num() int64 { return r.num }

// Den is the denominator in lowest terms, always at least 1.
func (r Ratio) Den() int64 {
	if r.den == 0 {
		return 1
	}
	return r.den
}

// Add gives r + s, exact or ErrOverflow.
func (r Ratio) Add(s Ratio) (Ratio, error) {
	if r.Den() == 1 && s.Den() == 1 {
		n, err := add(r.num, s.num)
		return RatioOf(n), err
	}
	if sum, fits := overCommon(r, s.num, s.Den()); fits {
		return sum, nil
	}
	return fromBig(new(big.Rat).Add(r.big(), s.big()))
}

// Sub gives r - s, exact or ErrOverflow.
func (r Ratio) Sub(s Ratio) (Ratio, error) {
	if r.Den() == 1 && s.Den() == 1 {
		n, err := sub(r.num, s.num)
		return RatioOf(n), err
	}
	if s.num != math.MinInt64 {
		if sum, fits := overCommon(r, -s.num, s.Den()); fits {
			return sum, nil
		}
	}
	return fromBig(new(big.Rat).Sub(r.big(), s.big()))
}

// overCommon gives r + num/den over the least common denominator, unless that or
// a product on the way to it leaves int64: the reduced sum may fit even so, which
// only big.Rat can tell.
func overCommon(r Ratio, num, den int64) (sum Ratio, fits bool) {
	g := int64(gcd(uint64(r.Den()), uint64(den)))
	a, err1 := mul(r.num, den/g)
	b, err2 := mul(num, r.Den()/g)
	common, err3 := mul(den, r.Den()/g)
	if err1 != nil || err2 != nil || err3 != nil {
		return Ratio{}, false
	}
	n, err := add(a, b)
	if err != nil {
		return Ratio{}, false
	}
	sum, err = NewRatio(n, common)
	return sum, err == nil
}

// Mul gives r * s, exact or ErrOverflow.
func (r Ratio) Mul(s Ratio) (Ratio, error) {
	return mulFractions(magnitude(r.num), uint64(r.Den()), magnitude(s.num), uint64(s.Den()),
		(r.num < 0) != (s.num < 0))
}

// Div gives r / s, exact, ErrDivideByZero or ErrOverflow.
func (r Ratio) Div(s Ratio) (Ratio, error) {
	if s.num == 0 {
		return Ratio{}, ErrDivideByZero
	}
	return mulFractions(magnitude(r.num), uint64(r.Den()), uint64(s.Den()), magnitude(s.num),
		(r.num < 0) != (s.num < 0))
}

// mulFractions multiplies a/b by c/d. Cancelling crosswise first keeps the
// products as small as the reduced result, so an overflow is a real one.
func mulFractions(a, b, c, d uint64, neg bool) (Ratio, error) {
	if a == 0 || c == 0 {
		return Ratio{}, nil
	}
	g, h := gcd(a, d), gcd(c, b)
	nhi, n := bits.Mul64(a/g, c/h)
	dhi, m := bits.Mul64(b/h, d/g)
	if nhi != 0 || dhi != 0 {
		return Ratio{}, ErrOverflow
	}
	return makeRatio(n, m, neg)
}

// Cmp is -1, 0 or +1 as r is less than, equal to or greater than s. It never
// overflows.
func (r Ratio) Cmp(s Ratio) int {
	if d := r.Sign() - s.Sign(); d != 0 || r.num == 0 {
		return sign(int64(d))
	}
	ahi, alo := bits.Mul64(magnitude(r.num), uint64(s.Den()))
	bhi, blo := bits.Mul64(magnitude(s.num), uint64(r.Den()))
	c := 0
	switch {
	case ahi > bhi || ahi == bhi && alo > blo:
		c = 1
	case ahi < bhi || alo < blo:
		c = -1
	}
	return c * r.Sign()
}

// Sign is -1, 0 or +1.
func (r Ratio) Sign() int { return sign(r.num) }

// Neg gives -r; ErrOverflow only for the smallest int64.
func (r Ratio) Neg() (Ratio, error) { return makeRatio(magnitude(r.num), uint64(r.Den()), r.num > 0) }

// Round gives the whole number that m picks. Errors: ErrMode.
func (r Ratio) Round(m Mode) (int64, error) { return DivRound(r.num, r.Den(), m) }

// String gives "3/8", "5/2", "-1/8", and whole numbers without a denominator.
func (r Ratio) String() string { return string(r.append(nil)) }

func (r Ratio) append(b []byte) []byte {
	b = strconv.AppendInt(b, r.num, 10)
	if r.Den() == 1 {
		return b
	}
	return strconv.AppendInt(append(b, '/'), r.den, 10)
}

// Decimal gives the exact decimal, "0.375", when it is finite (no prime but 2
// and 5 in the denominator); otherwise "" and false.
func (r Ratio) Decimal() (string, bool) {
	twos := bits.TrailingZeros64(uint64(r.Den()))
	d, fives := r.Den()>>twos, 0
	for d%5 == 0 {
		d, fives = d/5, fives+1
	}
	if d != 1 {
		return "", false
	}
	return r.big().FloatString(max(twos, fives)), true
}

// ParseRatio reads a number: "3", "0.70", "70 %", "1/8", "2 1/2", "2-1/2",
// "2½", each with an optional leading minus. Errors are *ParseError, of kind
// ErrOverflow when the exact value does not fit.
func ParseRatio(s string) (Ratio, error) {
	t, perr := clean(s)
	if perr != nil {
		return Ratio{}, perr.of(s)
	}
	minus, t := takeSign(t)
	r, rest, perr := scanNumber(t, minus)
	if perr != nil {
		if hint, only := pointed(minus, t); only {
			perr.Hint = hint
		}
		return Ratio{}, perr.of(s)
	}
	rest = strings.TrimLeft(rest, " ")
	if rest == "%" {
		hundredth, err := r.Div(RatioOf(100))
		if err != nil {
			return Ratio{}, tooLarge().of(s)
		}
		return hundredth, nil
	}
	if rest != "" {
		return Ratio{}, afterNumber(rest, "write a bare number such as 3, 0.7, 70 % or 2 1/2").of(s)
	}
	return r, nil
}

// pointed tells how a number with a single comma would be written; of three
// digits behind it nobody can say whether they are thousands.
func pointed(minus, t string) (hint string, only bool) {
	whole, after, comma := strings.Cut(t, ",")
	digits, rest := spanDigits(after)
	if !comma || digits == "" || strings.ContainsAny(rest, ",.") || whole != "" && !allDigits(whole) {
		return "", false
	}
	decimal := minus + cmp.Or(whole, "0") + "." + after
	if len(digits) == 3 && strings.Trim(whole, "0") != "" {
		return "write " + decimal + ", or " + minus + whole + after + " for thousands", true
	}
	return "write " + decimal, true
}

// MarshalText gives String.
func (r Ratio) MarshalText() ([]byte, error) { return r.append(nil), nil }

// AppendText appends String.
func (r Ratio) AppendText(b []byte) ([]byte, error) { return r.append(b), nil }

// UnmarshalText reads what ParseRatio reads.
func (r *Ratio) UnmarshalText(text []byte) error { return unmarshal(r, text, ParseRatio) }

func (r Ratio) big() *big.Rat { return big.NewRat(r.num, r.Den()) }

func fromBig(b *big.Rat) (Ratio, error) {
	if !b.Num().IsInt64() || !b.Denom().IsInt64() {
		return Ratio{}, ErrOverflow
	}
	return NewRatio(b.Num().Int64(), b.Denom().Int64())
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func sign(v int64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
