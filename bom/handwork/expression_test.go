package handwork

import (
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strings"
)

// evaluate reckons an expression exactly. earlier are the results that long
// numbers in it may come from.
func evaluate(text string, earlier []step) (*big.Rat, error) {
	e := expression{rest: text, earlier: earlier}
	value := e.sum()
	if e.err == nil && strings.TrimSpace(e.rest) != "" {
		e.fail("%q is left over", e.rest)
	}
	return value, e.err
}

// expression is an expression in progress; after a fault it reckons on with
// nought, and the first fault counts.
type expression struct {
	rest    string
	earlier []step
	err     error
}

// pi to 50 decimals, from memory and checked against its first 15 in math.Pi by
// the workings, which would fail otherwise.
var pi, _ = new(big.Rat).SetString("3.14159265358979323846264338327950288419716939937510")

func (e *expression) fail(format string, args ...any) {
	if e.err == nil {
		e.err = fmt.Errorf(format, args...)
	}
}

func (e *expression) take(sign string) bool {
	trimmed := strings.TrimLeft(e.rest, " ")
	if !strings.HasPrefix(trimmed, sign) {
		return false
	}
	e.rest = trimmed[len(sign):]
	return true
}

func (e *expression) sum() *big.Rat {
	value := e.product()
	for e.err == nil {
		switch {
		case e.take("+ "):
			value = new(big.Rat).Add(value, e.product())
		case e.take("- "):
			value = new(big.Rat).Sub(value, e.product())
		default:
			return value
		}
	}
	return value
}

func (e *expression) product() *big.Rat {
	value := e.operand()
	for e.err == nil {
		switch {
		case e.take("* "):
			value = new(big.Rat).Mul(value, e.operand())
		case e.take("/ "):
			by := e.operand()
			if by.Sign() == 0 {
				e.fail("a division by nought")
				return value
			}
			value = new(big.Rat).Quo(value, by)
		default:
			return value
		}
	}
	return value
}

var (
	leading  = regexp.MustCompile(`^ *(\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\d+)`)
	function = regexp.MustCompile(`^ *(ceil|floor|up|nearest)\(`)
)

func (e *expression) operand() *big.Rat {
	if e.take("(") {
		value := e.sum()
		if !e.take(")") {
			e.fail("a parenthesis is not closed")
		}
		return value
	}
	if m := function.FindStringSubmatch(e.rest); m != nil {
		e.rest = e.rest[len(m[0]):]
		return e.call(m[1])
	}
	if e.take("pi") {
		return pi
	}
	m := leading.FindStringSubmatch(e.rest)
	if m == nil {
		e.fail("a number is missing before %q", e.rest)
		return new(big.Rat)
	}
	e.rest = e.rest[len(m[0]):]
	value, ok := number(m[1])
	if !ok {
		e.fail("%q is no number", m[1])
		return new(big.Rat)
	}
	e.known(m[1], value)
	return value
}

// known refuses a long number that fell from the sky.
func (e *expression) known(text string, value *big.Rat) {
	_, fraction, decimal := strings.Cut(text, ".")
	if !decimal || len(fraction) < 4 || slices.Contains(constants, text) {
		return
	}
	if !slices.ContainsFunc(e.earlier, func(s step) bool { return s.value.Cmp(value) == 0 }) {
		e.fail("no earlier step comes to %s", text)
	}
}

func (e *expression) call(name string) *big.Rat {
	value := e.sum()
	grain := big.NewRat(1, 1)
	if name == "up" || name == "nearest" {
		if !e.take(",") {
			e.fail("%s takes what it rounds to", name)
		}
		grain = e.sum()
	}
	if !e.take(")") {
		e.fail("a parenthesis is not closed")
	}
	if grain.Sign() <= 0 {
		e.fail("%s to nothing", name)
		return value
	}
	scaled := new(big.Rat).Quo(value, grain)
	if name == "nearest" {
		scaled.Add(scaled, big.NewRat(1, 2))
	}
	// big.Int.Div rounds towards minus infinity for a positive divisor.
	whole := new(big.Int).Div(scaled.Num(), scaled.Denom())
	if (name == "ceil" || name == "up") && !scaled.IsInt() {
		whole.Add(whole, big.NewInt(1))
	}
	return new(big.Rat).Mul(new(big.Rat).SetInt(whole), grain)
}
