package choices

import "math/bits"

func has(words []uint64, i int32) bool { return words[i>>6]>>(uint(i)&63)&1 != 0 }

func put(words []uint64, i int32) { words[i>>6] |= 1 << (uint(i) & 63) }

func wordsFor(n int) int { return (n + 63) / 64 }

// fill sets the first n bits.
func fill(words []uint64, n int) {
	for i := range words {
		words[i] = ^uint64(0)
	}
	if n%64 != 0 {
		words[len(words)-1] = 1<<(uint(n)%64) - 1
	}
}

func meets(a, b []uint64) bool {
	for i, w := range a {
		if w&b[i] != 0 {
			return true
		}
	}
	return false
}

// within tells whether all of a is in b.
func within(a, b []uint64) bool {
	for i, w := range a {
		if w&^b[i] != 0 {
			return false
		}
	}
	return true
}

func empty(a []uint64) bool {
	for _, w := range a {
		if w != 0 {
			return false
		}
	}
	return true
}

func count(a []uint64) int {
	n := 0
	for _, w := range a {
		n += bits.OnesCount64(w)
	}
	return n
}

// single tells whether exactly one bit is set.
func single(a []uint64) bool {
	seen := false
	for _, w := range a {
		switch {
		case w == 0:
		case seen || w&(w-1) != 0:
			return false
		default:
			seen = true
		}
	}
	return seen
}

// lowest gives the first bit set, or None.
func lowest(a []uint64) int32 {
	for i, w := range a {
		if w != 0 {
			return int32(i*64 + bits.TrailingZeros64(w))
		}
	}
	return None
}

// ones calls back with every bit set, rising.
func ones(a []uint64, yield func(int32)) {
	for i, w := range a {
		for ; w != 0; w &= w - 1 {
			yield(int32(i*64 + bits.TrailingZeros64(w)))
		}
	}
}

// fingerprint stands for a content. Two contents that differ have the same one
// with odds of about 1 in 2^128; contents are compared by it alone.
type fingerprint [2]uint64

// mix is the finaliser of splitmix64 (Steele, Lea, Flood 2014).
func mix(x uint64) uint64 {
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// with gives the fingerprint of a content followed by a word.
func (p fingerprint) with(word uint64) fingerprint {
	return fingerprint{mix(p[0]*0x9e3779b97f4a7c15 + word + 0x632be59bd9b4e019), mix((p[1]^bits.RotateLeft64(word, 32))*0xd1342543de82ef95 + 0x2545f4914f6cdd1d)}
}

func (p fingerprint) withAll(words []uint64) fingerprint {
	for _, w := range words {
		p = p.with(w)
	}
	return p
}

func (p fingerprint) withText(text string) fingerprint {
	p = p.with(uint64(len(text)))
	for i := 0; i < len(text); i++ {
		p = p.with(uint64(text[i]))
	}
	return p
}

func (p fingerprint) and(q fingerprint) fingerprint { return p.with(q[0]).with(q[1]) }

// plus joins contents whose order says nothing.
func (p fingerprint) plus(q fingerprint) fingerprint {
	return fingerprint{p[0] + q[0], p[1] + q[1]}
}
