package unit

import "strings"

// Money is a sum in cents of the workshop's one currency.
type Money int64

// Add gives m + n or ErrOverflow.
func (m Money) Add(n Money) (Money, error) { return add(m, n) }

// Sub gives m - n or ErrOverflow.
func (m Money) Sub(n Money) (Money, error) { return sub(m, n) }

// Mul gives n times m or ErrOverflow.
func (m Money) Mul(n int64) (Money, error) { return mul(m, n) }

// Scale gives m * r rounded once to the cent by mode. Errors: ErrOverflow, ErrMode.
func (m Money) Scale(r Ratio, mode Mode) (Money, error) { return scale(m, r, mode) }

// String gives "1234.50", "-0.05": two decimals, no grouping, no currency sign.
func (m Money) String() string { return string(m.append(nil)) }

func (m Money) append(b []byte) []byte { return appendFixed(b, int64(m), 2) }

// ParseMoney reads "41", "41.2", "41.20", "-41.20", "+41.20", exact to the
// cent. More than two decimals, grouping and currency signs are refused with a
// *ParseError.
func ParseMoney(s string) (Money, error) {
	t, perr := clean(s)
	if perr != nil {
		return 0, perr.of(s)
	}
	minus, unsigned := takeSign(t)
	if minus == "" {
		unsigned = strings.TrimPrefix(t, "+")
	}
	v, perr := parseCents(minus, unsigned)
	if perr != nil {
		return 0, perr.of(s)
	}
	return Money(v), nil
}

// MarshalText gives String.
func (m Money) MarshalText() ([]byte, error) { return m.append(nil), nil }

// AppendText appends String.
func (m Money) AppendText(b []byte) ([]byte, error) { return m.append(b), nil }

// UnmarshalText reads what ParseMoney reads.
func (m *Money) UnmarshalText(text []byte) error { return unmarshal(m, text, ParseMoney) }

var currencySign = strings.NewReplacer("$", "", "€", "", "£", "", " ", "")

// withoutSign gives a sum as it would be written for one such as $1,900.
func withoutSign(t string) (plain string, is bool) {
	bare := currencySign.Replace(t)
	groups := strings.Split(bare, ",")
	for i, group := range groups[1:] {
		whole, cents, point := strings.Cut(group, ".")
		last := i == len(groups)-2
		if len(whole) != 3 || !allDigits(whole) || point && (!last || len(cents) != 2 || !allDigits(cents)) {
			return "", false
		}
	}
	plain = strings.Join(groups, "")
	whole, cents, point := strings.Cut(plain, ".")
	return plain, bare != t && groups[0] != "" && allDigits(whole) && (!point || len(cents) <= 2 && allDigits(cents))
}

func parseCents(minus, t string) (int64, *ParseError) {
	whole, frac, point := strings.Cut(t, ".")
	switch plain, is := withoutSign(t); {
	case is:
		return 0, refuse("not a sum of money", "write "+minus+plain+", without currency sign or grouping")
	case strings.Contains(t, ","):
		return 0, comma("write 1500.00")
	case !allDigits(whole) || point && !allDigits(frac):
		return 0, refuse("not a sum of money", "write units and cents with a point and no currency sign, such as 41.20")
	case len(frac) > 2:
		return 0, &ParseError{Reason: "more than two decimals", Hint: "money is exact to the cent, write 41.20", Kind: ErrNotExact}
	}
	return digits(minus, whole+(frac + "00")[:2])
}
