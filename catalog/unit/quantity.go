package unit

import "strings"

// measure is one unit of an area, volume or mass: how many grains it holds.
type measure struct {
	grains int64
	round  bool // a value between two grains is rounded, half away from zero
}

// parseQuantity reads one number and one unit. Signed also reads a leading
// minus, as the machine text of a negative quantity has it.
func parseQuantity[Q ~int64](s, what, hint string, units map[string]measure, signed bool) (Q, error) {
	t, perr := clean(s)
	if perr != nil {
		return 0, perr.of(s)
	}
	minus, t := takeSign(t)
	if minus != "" && !signed {
		return 0, negative(what).of(s)
	}
	r, rest, perr := scanNumber(t, minus)
	if perr != nil {
		return 0, perr.of(s)
	}
	word := strings.ToLower(strings.Trim(rest, " "))
	m, ok := units[word]
	if !ok {
		return 0, unknownUnit(word, hint).of(s)
	}
	v, perr := m.grainsOf(r)
	if perr != nil {
		return 0, perr.of(s)
	}
	return Q(v), nil
}

func unknownUnit(word, hint string) *ParseError {
	switch {
	case word == "":
		return refuse(reasonNoUnit, hint)
	case 'a' <= word[0] && word[0] <= 'z':
		return refuse("unknown unit "+quote(word), hint)
	}
	return afterNumber(word, hint)
}

func (m measure) grainsOf(r Ratio) (int64, *ParseError) {
	v, err := MulDivRound(r.Num(), m.grains, r.Den(), Nearest)
	if err != nil {
		return 0, tooLarge()
	}
	_, rem, _, _ := mulDiv(r.Num(), m.grains, r.Den())
	if rem != 0 && !m.round {
		return 0, &ParseError{Reason: "finer than the smallest amount kept", Hint: "write fewer decimals", Kind: ErrNotExact}
	}
	return v, nil
}

// mul gives n times q.
func mul[Q ~int64](q Q, n int64) (Q, error) {
	v, err := MulDivRound(int64(q), n, 1, Nearest)
	return Q(v), err
}
