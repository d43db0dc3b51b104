// Package formula reads and evaluates the formulas of a workshop's catalog:
// "length - len('15 in')", "species == 'white-oak' ? 4 : 3".
//
// The text is parsed and type-checked by CEL (the Common Expression Language)
// in an environment of our own that holds only the signs and functions listed
// in grammar.go: no macros, no comprehensions, and so a cost that is linear in
// the text. The checked tree is then turned into closures over exact values.
// Nothing in a formula can reach a file, the network, the clock or the
// environment.
//
// # Values
//
// A value is a number, a length, an area, yes/no, or text. Numbers are exact
// rationals; lengths and areas are exact rationals of one nanometre and one
// square micrometre while a formula is being evaluated, so that
// "length / 3 * 3" is the length again. Only a length or an area that ends a
// formula is brought to its whole grain, once, half away from zero, and the
// value then says that it was rounded.
//
// # Signs and functions
//
//	a + b   a - b   a * b   a / b   -a
//	a == b   a != b   a < b   a <= b   a > b   a >= b
//	c && d   c || d   !c   c ? a : b   x in ['a', 'b']
//	len('14 3/4 in')  a written length      frac('3/8')  an exact fraction
//	up(x, step)  down(x, step)  nearest(x, step)   a length to a multiple of step
//	ceil(n)  floor(n)   a number to a whole number, upwards or downwards
//	min(a, b, ..)  max(a, b, ..)  abs(x)
//	band('table', x)    the row of a bracket table with low <= x < high
//
// "&&" and "||" stop at the first part that decides; "c ? a : b" evaluates
// only the side it takes; everything else is evaluated left to right and the
// first error ends it.
//
// # Limits
//
// A text of more than 2,000 bytes is refused unread, and brackets nested more
// than 50 deep before the text is parsed; a formula has at most 500 steps and
// 50 one inside another. A Formula is immutable; evaluating it allocates
// nothing as long as its sums of fractions are few and its values fit int64.
package formula
