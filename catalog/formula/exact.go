package formula

import (
	"math/big"

	"billwright/catalog/unit"
)

// exact is a rational number without limits: a unit.Ratio while it fits, a
// big.Rat beyond. Values are exact all the way through a formula, so a large
// product in the middle of it (an area in square nanometres, say) is no error
// when the end fits. The size limit on formulas bounds the size of b.
//
// The zero exact is 0. Values are never changed once made.
type exact struct {
	r unit.Ratio
	b *big.Rat // when not nil it is the value, and does not fit a Ratio
}

func whole(n int64) exact { return exact{r: unit.RatioOf(n)} }

func (x exact) rat() *big.Rat {
	if x.b != nil {
		return x.b
	}
	return big.NewRat(x.r.Num(), x.r.Den())
}

// fit brings a big result back to a Ratio where it fits one, so that equal
// values have one form.
func fit(b *big.Rat) exact {
	if b.Num().IsInt64() && b.Denom().IsInt64() {
		if r, err := unit.NewRatio(b.Num().Int64(), b.Denom().Int64()); err == nil {
			return exact{r: r}
		}
	}
	return exact{b: b}
}

func (x exact) small(y exact) bool { return x.b == nil && y.b == nil }

func (x exact) add(y exact) exact {
	if x.small(y) {
		if r, err := x.r.Add(y.r); err == nil {
			return exact{r: r}
		}
	}
	return fit(new(big.Rat).Add(x.rat(), y.rat()))
}

func (x exact) sub(y exact) exact {
	if x.small(y) {
		if r, err := x.r.Sub(y.r); err == nil {
			return exact{r: r}
		}
	}
	return fit(new(big.Rat).Sub(x.rat(), y.rat()))
}

func (x exact) mul(y exact) exact {
	if x.small(y) {
		if r, err := x.r.Mul(y.r); err == nil {
			return exact{r: r}
		}
	}
	return fit(new(big.Rat).Mul(x.rat(), y.rat()))
}

// div gives x / y; y must not be zero.
func (x exact) div(y exact) exact {
	if x.small(y) {
		if r, err := x.r.Div(y.r); err == nil {
			return exact{r: r}
		}
	}
	return fit(new(big.Rat).Quo(x.rat(), y.rat()))
}

func (x exact) neg() exact {
	if x.b == nil {
		if r, err := x.r.Neg(); err == nil {
			return exact{r: r}
		}
	}
	return fit(new(big.Rat).Neg(x.rat()))
}

func (x exact) abs() exact {
	if x.sign() < 0 {
		return x.neg()
	}
	return x
}

func (x exact) sign() int {
	if x.b != nil {
		return x.b.Sign()
	}
	return x.r.Sign()
}

func (x exact) cmp(y exact) int {
	if x.small(y) {
		return x.r.Cmp(y.r)
	}
	return x.rat().Cmp(y.rat())
}

// isWhole reports that x is a whole number of its grain.
func (x exact) isWhole() bool {
	if x.b != nil {
		return x.b.IsInt()
	}
	return x.r.Den() == 1
}

// round gives the whole number that m picks, by the rules of unit.Mode: down
// and up towards minus and plus infinity, nearest with halves away from zero.
func (x exact) round(m unit.Mode) exact {
	if x.b == nil {
		if n, err := x.r.Round(m); err == nil {
			return whole(n)
		}
	}
	return fit(new(big.Rat).SetInt(roundBig(x.rat(), m)))
}

// roundBig is unit.DivRound for values beyond int64.
func roundBig(x *big.Rat, m unit.Mode) *big.Int {
	shift := new(big.Rat) // moves x so that rounding down is what is left to do
	switch {
	case m == unit.Nearest && x.Sign() < 0:
		return new(big.Int).Neg(roundBig(new(big.Rat).Neg(x), m))
	case m == unit.Nearest:
		shift.SetFrac64(1, 2)
	case m == unit.Up:
		return new(big.Int).Neg(roundBig(new(big.Rat).Neg(x), unit.Down))
	}
	y := shift.Add(x, shift)
	// Div rounds towards minus infinity for a positive divisor, and a
	// denominator is always positive.
	return new(big.Int).Div(y.Num(), y.Denom())
}

// toStep gives the multiple of step that m picks for x; step must be positive.
func (x exact) toStep(step exact, m unit.Mode) exact { return x.div(step).round(m).mul(step) }
