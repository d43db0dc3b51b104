package order

import (
	"encoding/binary"
	"errors"
	"strings"

	"github.com/google/uuid"
)

// An order number is what people say on the telephone: eight signs without I,
// L, O and U, in two groups, such as 7K3M-9QXD. Seven carry 35 random bits of
// the order's UUID (a clash is refused by the database and another UUID is
// drawn), the eighth checks them: any one wrong sign and any two exchanged
// signs are found, since the weights are distinct and not zero in the field of
// 32 elements.

const signs = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// ErrNumber tells that a text is no order number.
var ErrNumber = errors.New("not an order number: eight letters and digits such as 7K3M-9QXD, of which one was misheard or left out")

// NumberOf is the number of the order with this UUID.
func NumberOf(id uuid.UUID) string {
	bits := binary.BigEndian.Uint64(id[8:])
	var digits [7]byte
	for i := range digits {
		digits[i] = byte(bits>>(5*uint(i))) & 31
	}
	return spell(digits)
}

// ParseNumber reads a number as people write it: case, spaces and the hyphen do
// not matter, I and L are read as 1 and O as 0. It gives the number as spelled
// by NumberOf, or ErrNumber.
func ParseNumber(text string) (string, error) {
	var digits [8]byte
	n := 0
	for _, c := range strings.ToUpper(text) {
		switch c {
		case '-', ' ':
			continue
		case 'I', 'L':
			c = '1'
		case 'O':
			c = '0'
		}
		at := strings.IndexRune(signs, c)
		if at < 0 || n == len(digits) {
			return "", ErrNumber
		}
		digits[n] = byte(at)
		n++
	}
	if n < len(digits) || check([7]byte(digits[:7])) != digits[7] {
		return "", ErrNumber
	}
	return spell([7]byte(digits[:7])), nil
}

func spell(digits [7]byte) string {
	text := make([]byte, 0, 9)
	for i, d := range digits {
		if i == 4 {
			text = append(text, '-')
		}
		text = append(text, signs[d])
	}
	return string(append(text, signs[check(digits)]))
}

// check is the sum of weight·digit in the field of 32 elements with the
// polynomial x^5 + x^2 + 1; the weights are 2, 3, ... 8.
func check(digits [7]byte) byte {
	var sum byte
	for i, d := range digits {
		sum ^= multiply(byte(i+2), d)
	}
	return sum
}

func multiply(a, b byte) byte {
	var product byte
	for range 5 {
		if b&1 != 0 {
			product ^= a
		}
		b >>= 1
		a <<= 1
		if a&32 != 0 {
			a ^= 0b100101
		}
	}
	return product
}
