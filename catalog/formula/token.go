package formula

import (
	"strings"
	"unicode"
)

// The text is split into tokens before the parser sees it: to bound its
// nesting, and to say in plain words what the parser could only call a syntax
// error. The tokens follow the CEL grammar where a formula is well written.

type tokenKind uint8

const (
	tokenName   tokenKind = iota // name, or names joined by dots
	tokenNumber                  // 15, 0.5
	tokenText                    // 'white-oak'
	tokenSign                    // + == && ? in ..
	tokenOpen                    // ( [
	tokenClose                   // ) ]
	tokenComma
)

type token struct {
	kind       tokenKind
	text       string
	start, end int // characters of the text as written
}

func (t token) is(texts ...string) bool {
	for _, s := range texts {
		if t.text == s && t.kind != tokenText {
			return true
		}
	}
	return false
}

// ends reports a token that can end a value; begins, one that can begin it.
func (t token) ends() bool {
	return t.kind == tokenName || t.kind == tokenNumber || t.kind == tokenText || t.kind == tokenClose
}

func (t token) begins() bool {
	return t.kind == tokenName || t.kind == tokenNumber || t.kind == tokenText || t.kind == tokenOpen
}

// joins reports a sign that needs a value on its left.
func (t token) joins() bool { return t.kind == tokenSign && !t.is("-", "!") }

// scanner splits a text and notes the slips it can name.
type scanner struct {
	src    *source
	pos    int
	tokens []token
	faults []*Fault
	broken bool // a slip that leaves nothing sensible to parse
	fixes  []fix
}

// fix replaces characters start..end by what was most likely meant, so that
// the rest of the formula can be checked in the same go.
type fix struct {
	start, end int
	by         string
}

func (s *scanner) at(i int) rune {
	if i < len(s.src.runes) {
		return s.src.runes[i]
	}
	return 0
}

func (s *scanner) slice(start, end int) string { return string(s.src.runes[start:end]) }

func (s *scanner) fault(pos int, message, hint string) {
	s.faults = append(s.faults, s.src.faultAsWritten(pos, message, hint))
}

// slip notes a fault at start..end with the text it should have been.
func (s *scanner) slip(start, end int, by, message, hint string) {
	s.fault(start, message, hint)
	s.fixes = append(s.fixes, fix{start, end, by})
}

// fatal notes a fault that leaves nothing to parse.
func (s *scanner) fatal(pos int, message, hint string) {
	s.fault(pos, message, hint)
	s.broken = true
}

func (s *scanner) push(kind tokenKind, start int) {
	s.tokens = append(s.tokens, token{kind, s.slice(start, s.pos), start, s.pos})
}

// scan reads the whole text.
func (s *scanner) scan() {
	for s.pos < len(s.src.runes) && !s.broken {
		switch r := s.at(s.pos); {
		case r == ' ' || r == '\t' || r == '\n' || r == '\r':
			s.pos++
		case isDigit(r) || r == '.' && isDigit(s.at(s.pos+1)):
			s.number()
		case isLetter(r):
			s.word()
		case r == '\'' || r == '"':
			s.quote()
		default:
			s.sign(r)
		}
	}
}

func (s *scanner) number() {
	start := s.pos
	for isDigit(s.at(s.pos)) || s.at(s.pos) == '.' {
		s.pos++
	}
	if text := s.slice(start, s.pos); strings.Count(text, ".") > 1 || strings.HasSuffix(text, ".") {
		s.fatal(start, quoted(text)+" is not a number", "write it with one decimal point and a digit behind it, as in frac('0.5')")
	}
	s.push(tokenNumber, start)
}

func (s *scanner) word() {
	start := s.pos
	for {
		for isLetter(s.at(s.pos)) || isDigit(s.at(s.pos)) {
			s.pos++
		}
		if s.at(s.pos) != '.' || !isLetter(s.at(s.pos+1)) {
			break
		}
		s.pos++
	}
	text := s.slice(start, s.pos)
	if fixed, isSlip := wordSlips[text]; isSlip {
		s.slip(start, s.pos, fixed, text+" is not a word of a formula", "write "+fixed)
		s.tokens = append(s.tokens, token{tokenSign, fixed, start, s.pos})
		return
	}
	if text == "if" || text == "then" || text == "else" {
		s.fatal(start, text+" is not a word of a formula", "write condition ? value when yes : value when no")
		return
	}
	if text == "in" {
		s.push(tokenSign, start)
		return
	}
	s.push(tokenName, start)
}

var wordSlips = map[string]string{"and": "&&", "or": "||", "not": "!", "AND": "&&", "OR": "||", "NOT": "!"}

// quote reads a text, or the unit mark of a number such as 15".
func (s *scanner) quote() {
	mark, start := s.at(s.pos), s.pos
	if last := len(s.tokens) - 1; last >= 0 && s.tokens[last].kind == tokenNumber && s.tokens[last].end == start {
		s.pos++
		s.push(tokenName, start) // judged as a unit by pairs
		return
	}
	for s.pos++; ; s.pos++ {
		switch r := s.at(s.pos); {
		case s.pos >= len(s.src.runes) || r == '\n':
			s.fatal(start, "the text that begins here has no closing "+string(mark), "write "+string(mark)+" at its end")
			return
		case r == '\\':
			s.fatal(s.pos, "\\ cannot be used inside a text", "write the text without it")
			return
		case r == mark:
			s.pos++
			s.push(tokenText, start)
			return
		}
	}
}

// twoLetterSigns and oneLetterSigns are those of the language.
const (
	twoLetterSigns = "== != <= >= && ||"
	oneLetterSigns = "+-*/<>!?:"
)

// signSlips are signs people write, the sign meant (empty when there is none)
// and what to say. Longer ones come first.
var signSlips = []struct{ wrong, right, hint string }{
	{"===", "==", "write =="},
	{"//", "/", "write / to divide; a formula has no remarks"},
	{"**", "*", "there are no powers; write x * x"},
	{"<>", "!=", "write !="},
	{"=>", ">=", "write >="},
	{"=<", "<=", "write <="},
	{"=", "==", "write == to compare"},
	{"&", "&&", "write &&"},
	{"|", "||", "write ||"},
	{"≤", "<=", "write <="}, {"≥", ">=", "write >="}, {"≠", "!=", "write !="},
	{"×", "*", "write *"}, {"·", "*", "write *"}, {"÷", "/", "write /"},
	{"−", "-", "write the plain - of the keyboard"}, {"–", "-", "write the plain - of the keyboard"},
	{"^", "*", "there are no powers; write x * x"},
	{"%", "*", "there is no remainder; a percentage is written frac('70 %')"},
	{"\u00a0", " ", "write the plain space of the keyboard"},
}

var curlyQuotes = "‘’“”`´"

func (s *scanner) sign(r rune) {
	start := s.pos
	switch {
	case r == '(' || r == '[':
		s.pos++
		s.push(tokenOpen, start)
		return
	case r == ')' || r == ']':
		s.pos++
		s.push(tokenClose, start)
		return
	case r == ',':
		s.pos++
		s.push(tokenComma, start)
		return
	case strings.ContainsRune(curlyQuotes, r):
		s.fatal(start, string(r)+" is not the quote of a formula", "write the plain ' of the keyboard before and after a text")
		return
	case s.slipSign(start):
		return
	}
	for _, n := range []int{2, 1} {
		if end := start + n; end <= len(s.src.runes) && isSignText(s.slice(start, end), n) {
			s.pos = end
			s.push(tokenSign, start)
			return
		}
	}
	hint := "leave it out"
	if unicode.IsNumber(r) {
		hint = "write frac('" + string(r) + "')"
	}
	s.fatal(start, unknownSign(r), hint)
}

func isSignText(text string, letters int) bool {
	if letters == 2 {
		return strings.Contains(" "+twoLetterSigns+" ", " "+text+" ")
	}
	return strings.Contains(oneLetterSigns, text)
}

// slipSign recognizes a wrong sign; it must not take "==" for "=".
func (s *scanner) slipSign(start int) bool {
	for _, slip := range signSlips {
		end := start + len([]rune(slip.wrong))
		if end > len(s.src.runes) || s.slice(start, end) != slip.wrong {
			continue
		}
		if next := start + 2; len(slip.wrong) == 1 && next <= len(s.src.runes) && isSignText(s.slice(start, next), 2) {
			continue
		}
		s.pos = end
		message := slip.wrong + " is not a sign of a formula"
		if slip.right == " " {
			message = "a space of another kind stands here"
		}
		s.slip(start, end, slip.right, message, slip.hint)
		if slip.right != " " {
			s.tokens = append(s.tokens, token{tokenSign, slip.right, start, end})
		}
		return true
	}
	return false
}

func unknownSign(r rune) string {
	if r < ' ' || r == 0x7f || r == '\ufffd' {
		return "a character that cannot be shown stands here"
	}
	if unicode.IsLetter(r) {
		return string(r) + " is not a letter of a formula: names are written with a to z, A to Z, 0 to 9, _ and dots"
	}
	return string(r) + " is not a sign of a formula"
}
