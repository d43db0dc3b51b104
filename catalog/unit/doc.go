// Package unit holds the exact quantities of the workshop: Length, Area,
// Volume, Mass, Money and Ratio, and the one place where any of them is
// rounded.
//
// Every quantity is an int64 with a written grain:
//
//	Length   1 nanometre          ±9.2 million km
//	Area     1 square micrometre  ±9.2 million m²
//	Volume   1 nanolitre          ±9.2 million m³
//	Mass     1 microgram          ±9.2 million t
//	Money    1 cent               ±92 thousand million million
//
// The grains are chosen so that the units of the trade are whole: 1 in is
// exactly 25 400 000 nm, so every multiple of 1/64 in and of 0.000 001 mm is
// an exact Length (international yard and pound agreement, 1959). Thirds of an
// inch and 1/128 in are not, and are refused at entry rather than bent.
//
// Overflow is always an error ([ErrOverflow]), never a wrap. Floats enter only
// by the FromFloat functions, where something needed pi or a root, and are
// rounded there once.
//
// The package uses the standard library only and knows no clock, network,
// database or log.
package unit
