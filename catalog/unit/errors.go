package unit

import (
	"errors"
	"strconv"
)

// The kinds of failure of this package; test for them with errors.Is.
var (
	// ErrOverflow: the exact result does not fit the int64 grain of its type.
	ErrOverflow = errors.New("overflow: the result is outside the range of the quantity")
	// ErrDivideByZero: the divisor is zero.
	ErrDivideByZero = errors.New("division by zero")
	// ErrNotFinite: a float was NaN or infinite.
	ErrNotFinite = errors.New("not a finite number")
	// ErrNegative: a quantity that people enter was written with a minus sign.
	ErrNegative = errors.New("negative quantity")
	// ErrNotExact: the text names a value between two grains of its type.
	ErrNotExact = errors.New("not a whole number of grains")
	// ErrMode: the rounding mode is none of up, down and nearest.
	ErrMode = errors.New("unknown rounding mode: use up, down or nearest")
	// ErrStep: a rounding step of zero or less.
	ErrStep = errors.New("rounding step must be greater than zero")
)

// ParseError is the refusal of a text. Reason says what is wrong with it and
// Hint what to write instead (empty when there is nothing useful to add).
// Kind, when set, is one of the Err variables of this package.
type ParseError struct {
	Text   string // as entered, cut after 64 bytes
	Reason string
	Hint   string
	Kind   error
}

// Error gives text, reason and hint in one line.
func (e *ParseError) Error() string {
	s := strconv.Quote(e.Text) + ": " + e.Reason
	if e.Hint != "" {
		s += ": " + e.Hint
	}
	return s
}

// Unwrap returns Kind.
func (e *ParseError) Unwrap() error { return e.Kind }

// Refusal makes the refusal of a text by a parser elsewhere; the text is cut
// after 64 bytes.
func Refusal(text, reason, hint string) *ParseError { return refuse(reason, hint).of(text) }

// refuse makes a ParseError; of fills in the text.
func refuse(reason, hint string) *ParseError {
	return &ParseError{Reason: reason, Hint: hint}
}
