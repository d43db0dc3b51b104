package unit

import (
	"strconv"
	"strings"
)

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

// fixed writes v / 10^places with exactly that many decimals.
func fixed(v int64, places int) string {
	d := strconv.FormatUint(magnitude(v), 10)
	if len(d) <= places {
		d = strings.Repeat("0", places+1-len(d)) + d
	}
	if places > 0 {
		d = d[:len(d)-places] + "." + d[len(d)-places:]
	}
	if v < 0 {
		return "-" + d
	}
	return d
}

// micro writes v / 1 000 000 exactly, without trailing zeros: the four
// physical grains are each a millionth of mm, mm², mL or g.
func micro(v int64) string {
	return strings.TrimSuffix(strings.TrimRight(fixed(v, 6), "0"), ".")
}

// decimal writes v / unit with the given decimals (kept within 0 to 9), nearest,
// halves away from zero, by integers only. The whole part is split off first
// so that no product leaves 128 bits.
func decimal(v, unit int64, places int) string {
	places = min(max(places, 0), maxPlaces)
	one := uint64(pow10(places))
	whole, rem := magnitude(v)/uint64(unit), magnitude(v)%uint64(unit)
	// rem < unit, so the quotient is at most 10^9 and cannot overflow.
	frac, _ := MulDivRound(int64(rem), int64(one), unit, Nearest)
	if uint64(frac) == one {
		whole, frac = whole+1, 0
	}
	text := strconv.FormatUint(whole, 10)
	if places > 0 {
		text += "." + fixed(frac, places)[2:]
	}
	if v < 0 && (whole != 0 || frac != 0) {
		return "-" + text
	}
	return text
}

// mixed writes a number of 64ths as "72 1/2", reduced.
func mixed(n64 uint64, neg bool) string {
	whole, f := n64/64, n64%64
	text := strconv.FormatUint(whole, 10)
	if f != 0 {
		g := gcd(f, 64)
		frac := strconv.FormatUint(f/g, 10) + "/" + strconv.FormatUint(64/g, 10)
		if text += " " + frac; whole == 0 {
			text = frac
		}
	}
	if neg && n64 != 0 {
		return "-" + text
	}
	return text
}
