package unit

import "strconv"

// maxPlaces is the most decimals a display text carries.
const maxPlaces = 9

func pow10(n int) int64 {
	p := int64(1)
	for range n {
		p *= 10
	}
	return p
}

func quote(s string) string { return strconv.Quote(s) }

// appendFixed writes v / 10^places with exactly that many decimals.
func appendFixed(b []byte, v int64, places int) []byte {
	if v < 0 {
		b = append(b, '-')
	}
	whole, fraction := magnitude(v), uint64(0)
	if places > 0 {
		one := uint64(pow10(places))
		whole, fraction = whole/one, whole%one
	}
	b = strconv.AppendUint(b, whole, 10)
	return appendFraction(b, fraction, places)
}

// appendFraction writes ".05": so many digits behind a point, none for 0.
func appendFraction(b []byte, fraction uint64, places int) []byte {
	if places == 0 {
		return b
	}
	b = append(b, '.')
	for range places {
		b = append(b, '0')
	}
	for i := len(b) - 1; fraction > 0; i-- {
		b[i] = byte('0' + fraction%10)
		fraction /= 10
	}
	return b
}

// appendMicro writes v / 1 000 000 exactly, without trailing zeros: the four
// physical grains are each a millionth of mm, mm², mL or g.
func appendMicro(b []byte, v int64) []byte {
	b = appendFixed(b, v, 6)
	end := len(b)
	for b[end-1] == '0' {
		end--
	}
	if b[end-1] == '.' {
		end--
	}
	return b[:end]
}

// AppendDecimal writes v / grain with the given decimals (kept within 0 to 9),
// nearest, halves away from zero, by integers only: v counts grains, of which
// one unit of the text has grain, above 0. The whole part is split off first so
// that no product leaves 128 bits.
func AppendDecimal(b []byte, v, grain int64, decimals int) []byte {
	places := min(max(decimals, 0), maxPlaces)
	one := uint64(pow10(places))
	whole, rem := magnitude(v)/uint64(grain), magnitude(v)%uint64(grain)
	// rem < grain, so the quotient is at most 10^9 and cannot overflow.
	fraction, _ := MulDivRound(int64(rem), int64(one), grain, Nearest)
	if uint64(fraction) == one {
		whole, fraction = whole+1, 0
	}
	if v < 0 && (whole != 0 || fraction != 0) {
		b = append(b, '-')
	}
	return appendFraction(strconv.AppendUint(b, whole, 10), uint64(fraction), places)
}

func decimal(v, grain int64, places int) string { return string(AppendDecimal(nil, v, grain, places)) }

// appendMixed writes a number of 64ths as "72 1/2", reduced.
func appendMixed(b []byte, n64 uint64, neg bool) []byte {
	if neg && n64 != 0 {
		b = append(b, '-')
	}
	whole, f := n64/64, n64%64
	if whole != 0 || f == 0 {
		b = strconv.AppendUint(b, whole, 10)
	}
	if f == 0 {
		return b
	}
	if whole != 0 {
		b = append(b, ' ')
	}
	g := gcd(f, 64)
	b = append(strconv.AppendUint(b, f/g, 10), '/')
	return strconv.AppendUint(b, 64/g, 10)
}
