package unit

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxText is the longest text any parser of this package reads, in bytes. The
// longest honest entry, a whole number, a fraction, feet and inches, is about
// 30.
const maxText = 64

// maxDecimals keeps 10^n inside an int64.
const maxDecimals = 18

const reasonNoUnit = "no unit"

// of sets the text a refusal is about.
func (e *ParseError) of(text string) *ParseError {
	e.Text = cut(text)
	return e
}

// cut shortens a text to quote it in an error, never inside a character.
func cut(s string) string {
	if len(s) <= maxText {
		return s
	}
	n := maxText
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n] + "…"
}

// typed replaces the characters people's keyboards and word processors make of
// inches, feet and fractions. A vulgar fraction gets spaces around it so that
// it can never fuse with the digits beside it.
var typed = strings.NewReplacer(
	"''", `"`, "′′", `"`, "’’", `"`, "″", `"`, "”", `"`, "′", "'", "’", "'", "⁄", "/", "\u2212", "-",
	"-½", "-1/2 ", "-¼", "-1/4 ", "-¾", "-3/4 ",
	"-⅛", "-1/8 ", "-⅜", "-3/8 ", "-⅝", "-5/8 ", "-⅞", "-7/8 ",
	"½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ",
	"⅛", " 1/8 ", "⅜", " 3/8 ", "⅝", " 5/8 ", "⅞", " 7/8 ",
)

// clean refuses what no parser reads and gives the text in plain characters
// without outer spaces.
func clean(s string) (string, *ParseError) {
	if len(s) > maxText {
		return "", refuse("text longer than 64 bytes", "write one value")
	}
	if !utf8.ValidString(s) {
		return "", refuse("text is not valid UTF-8", "")
	}
	for _, r := range s {
		if r < ' ' || r == 0x7f {
			return "", refuse("text contains a control character", "use plain characters and spaces")
		}
	}
	t := strings.Trim(typed.Replace(s), " ")
	if t == "" {
		return "", refuse("nothing written", "write a number")
	}
	return t, nil
}

// takeSign splits a leading minus off.
func takeSign(t string) (minus, rest string) {
	if rest, ok := strings.CutPrefix(t, "-"); ok {
		return "-", rest
	}
	return "", t
}

// scanNumber reads a whole number, a decimal, a fraction or a mixed number
// from the front of t and gives what follows it. The sign is applied to the
// digits as they are read, so that the smallest int64 can be read back.
func scanNumber(t, minus string) (r Ratio, rest string, perr *ParseError) {
	whole, rest := spanDigits(t)
	switch {
	case whole == "" && !strings.HasPrefix(rest, "."):
		return r, "", noNumber(rest)
	case strings.HasPrefix(rest, ","):
		return r, "", comma("write 1500 mm, or 1.5 mm with a decimal point")
	case strings.HasPrefix(rest, "."):
		return scanDecimal(whole, rest[1:], minus)
	case strings.HasPrefix(rest, "/"):
		return scanFraction(whole, rest[1:], minus)
	}
	n, perr := digits(minus, whole)
	if perr != nil {
		return r, "", perr
	}
	part, dashed, found := fractionPart(rest)
	if dashed && !found {
		return r, "", refuse("a dash joins a whole number only to a fraction", "write 72-1/2 in")
	}
	if !found {
		return RatioOf(n), rest, nil
	}
	return scanMixed(n, part, minus)
}

// fractionPart finds the fraction of a mixed number after its whole part.
func fractionPart(rest string) (part string, dashed, found bool) {
	part, dashed = strings.CutPrefix(rest, "-")
	if !dashed {
		part = strings.TrimLeft(rest, " ")
		if part == rest {
			return "", false, false
		}
	}
	num, after := spanDigits(part)
	return part, dashed, num != "" && strings.HasPrefix(after, "/")
}

func scanMixed(n int64, part, minus string) (Ratio, string, *ParseError) {
	num, after := spanDigits(part)
	f, rest, perr := scanFraction(num, after[1:], minus)
	if perr != nil {
		return Ratio{}, "", perr
	}
	if magnitude(f.num) >= uint64(f.Den()) {
		return Ratio{}, "", refuse("the fraction of a mixed number must be less than one", "write 2 1/4, not 1 5/4")
	}
	sum, err := RatioOf(n).Add(f)
	if err != nil {
		return Ratio{}, "", tooLarge()
	}
	return sum, rest, nil
}

func scanFraction(num, after, minus string) (Ratio, string, *ParseError) {
	den, rest := spanDigits(after)
	if den == "" {
		return Ratio{}, "", refuse("a fraction needs digits after the stroke", "write 1/2")
	}
	n, perr := digits(minus, num)
	if perr != nil {
		return Ratio{}, "", perr
	}
	d, perr := digits("", den)
	if perr != nil {
		return Ratio{}, "", perr
	}
	r, err := NewRatio(n, d)
	if err != nil {
		e := refuse("a fraction cannot be over zero", "write 1/2")
		e.Kind = err
		return Ratio{}, "", e
	}
	return r, rest, nil
}

func scanDecimal(whole, after, minus string) (Ratio, string, *ParseError) {
	frac, rest := spanDigits(after)
	switch {
	case frac == "":
		return Ratio{}, "", refuse("a point needs digits after it", "write 72.5")
	case strings.HasPrefix(rest, ".") || strings.HasPrefix(rest, ","):
		return Ratio{}, "", refuse("more than one point or comma in the number", "write 1500.5")
	case strings.HasPrefix(rest, "/"):
		return Ratio{}, "", refuse("a decimal inside a fraction", "write 72.5 or 72 1/2")
	}
	if _, _, mixed := fractionPart(rest); mixed {
		return Ratio{}, "", refuse("a decimal and a fraction together", "write 72.5 or 72 1/2")
	}
	frac = strings.TrimRight(frac, "0")
	if len(frac) > maxDecimals {
		return Ratio{}, "", refuse("more than 18 decimals", "write fewer decimals")
	}
	n, perr := digits(minus, "0"+whole+frac)
	if perr != nil {
		return Ratio{}, "", perr
	}
	r, err := NewRatio(n, pow10(len(frac)))
	if err != nil {
		return Ratio{}, "", tooLarge()
	}
	return r, rest, nil
}

// digits reads a run of decimal digits with a sign.
func digits(minus, run string) (int64, *ParseError) {
	n, err := strconv.ParseInt(minus+run, 10, 64)
	if err != nil {
		return 0, tooLarge()
	}
	return n, nil
}

func spanDigits(s string) (run, rest string) {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return s[:n], s[n:]
}

func allDigits(s string) bool {
	run, rest := spanDigits(s)
	return run != "" && rest == ""
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func tooLarge() *ParseError {
	return &ParseError{Reason: "number too large", Hint: "write fewer digits", Kind: ErrOverflow}
}

func comma(hint string) *ParseError {
	return refuse("a comma may mean thousands or decimals", hint)
}

func noNumber(rest string) *ParseError {
	switch {
	case strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "+"):
		return refuse("a sign where a number should be", "write one number without a sign")
	case strings.HasPrefix(rest, ","):
		return comma("write 0.5 with a decimal point")
	}
	return refuse("no number at the start", "write the number first, then its unit")
}

// afterNumber explains text that follows a complete number.
func afterNumber(rest, hint string) *ParseError {
	t := strings.TrimLeft(rest, " ")
	switch {
	case t != "" && isDigit(t[0]):
		return refuse("a space inside the number", "write 1500, not 1 500, and 72 1/2 for a fraction")
	case t != "" && t[0] == ',':
		return comma("write 1500.5 with a decimal point and no grouping")
	}
	return refuse("unexpected "+strconv.Quote(t), hint)
}

// unmarshal sets *v only when the text is read without fault.
func unmarshal[T any](v *T, text []byte, parse func(string) (T, error)) error {
	got, err := parse(string(text))
	if err == nil {
		*v = got
	}
	return err
}
