package formula

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// reader is a text ready for the parser, with what is already known to be
// wrong with it.
type reader struct {
	src    *source
	parse  string // the text with its slips repaired
	tokens []token
	faults []*Fault
	broken bool // faults leave nothing sensible to parse
}

// read checks size, characters, brackets and nesting, and finds the slips that
// can be named from the tokens alone.
func read(text string) *reader {
	if f := oversize(text); f != nil {
		return &reader{faults: []*Fault{f}, broken: true}
	}
	s := &scanner{src: &source{text: text, runes: []rune(text)}}
	if !utf8.ValidString(text) {
		s.fatal(0, "the formula holds bytes that are not UTF-8 text", "save the file as UTF-8")
	}
	s.scan()
	if !s.broken {
		s.brackets()
	}
	if !s.broken {
		s.measures()
		s.pairs()
	}
	r := &reader{src: s.src, tokens: s.tokens, faults: s.faults, broken: s.broken}
	if !r.broken {
		r.parse = s.repair()
	}
	return r
}

// oversize judges a text by its length alone, without reading it.
func oversize(text string) *Fault {
	if len(text) <= maxBytes {
		return nil
	}
	return &Fault{
		Text: quoted(strings.ToValidUTF8(text[:4*40], "")), Line: 1, Column: 1,
		Message: fmt.Sprintf("the formula is %d bytes long; the limit is %d", len(text), maxBytes),
		Hint:    "split it into several named formulas, or use a table with band()",
	}
}

// brackets pairs them, bounds their nesting and refuses stray commas.
func (s *scanner) brackets() {
	if len(s.tokens) == 0 {
		s.fatal(0, "the formula is empty", "write a value, a name or a calculation")
		return
	}
	var open []token
	for _, t := range s.tokens {
		switch t.kind {
		case tokenOpen:
			if open = append(open, t); len(open) > maxDepth {
				s.fatal(t.start, fmt.Sprintf("brackets are nested more than %d deep", maxDepth), "split the formula into several named formulas")
				return
			}
		case tokenClose:
			if len(open) == 0 {
				s.fatal(t.start, t.text+" closes a bracket that was never opened", "leave it out, or open it before")
				return
			}
			if o := open[len(open)-1]; closing(o) != t.text {
				s.fatal(t.start, t.text+" does not close the "+o.text+" before it", "write "+closing(o))
				return
			}
			open = open[:len(open)-1]
		case tokenComma:
			if len(open) == 0 {
				s.strayComma(t)
				return
			}
		}
	}
	for _, o := range open {
		s.fatal(o.start, "the "+o.text+" that stands here is never closed", "write "+closing(o)+" where it ends")
	}
}

func closing(open token) string {
	if open.text == "[" {
		return "]"
	}
	return ")"
}

func (s *scanner) strayComma(comma token) {
	i := slices.Index(s.tokens, comma)
	hint := "leave it out"
	if i > 0 && i+1 < len(s.tokens) {
		if before, after := s.tokens[i-1], s.tokens[i+1]; before.kind == tokenNumber && after.kind == tokenNumber {
			hint = fmt.Sprintf("write %s%s for thousands, frac('%s.%s') for decimals", before.text, after.text, before.text, after.text)
		}
	}
	s.fatal(comma.start, "a comma only separates values inside brackets, as in min(a, b)", hint)
}

// unitWords are the units len() reads, as people put them behind a number.
var unitWords = map[string]string{
	"in": "in", "inch": "in", "inches": "in", `"`: "in", "ft": "ft", "foot": "ft", "feet": "ft", "'": "ft",
	"yd": "yd", "mm": "mm", "cm": "cm", "m": "m",
}

// measures finds lengths written bare, 72 1/2 in, and repairs them to len().
func (s *scanner) measures() {
	for i := 0; i < len(s.tokens); i++ {
		u, isUnit := unitWords[s.tokens[i].text]
		if !isUnit || s.tokens[i].kind == tokenText || i == 0 || s.tokens[i-1].kind != tokenNumber {
			continue
		}
		if s.tokens[i].text == "in" && i+1 < len(s.tokens) && s.tokens[i+1].is("[") {
			continue // legs == 3 in [..]: the sign, not the inch
		}
		first := s.numberBefore(i)
		text := s.measureText(first, i) + " " + u
		if feet, isFeet := s.feetBefore(first); isFeet {
			first, text = first-1, feet+" "+text
			s.faults, s.fixes = s.faults[:len(s.faults)-1], s.fixes[:len(s.fixes)-1]
		}
		start, end := s.tokens[first].start, s.tokens[i].end
		length := "len('" + text + "')"
		s.slip(start, end, length, s.slice(start, end)+": a length cannot be written bare", "write "+length)
		s.tokens = slices.Replace(s.tokens, first, i+1, token{tokenName, length, start, end})
		i = first
	}
}

// numberBefore gives the first token of the number that ends before token i:
// 72, 1/2, 72 1/2 or 72-1/2.
func (s *scanner) numberBefore(i int) int {
	number := func(j int) bool { return j >= 0 && s.tokens[j].kind == tokenNumber }
	first := i - 1
	if first < 2 || !s.tokens[first-1].is("/") || !number(first-2) {
		return first
	}
	first -= 2
	switch {
	case number(first - 1):
		first--
	case first >= 2 && s.tokens[first-1].is("-") && number(first-2) && s.tokens[first-1].end == s.tokens[first].start:
		first -= 2
	}
	return first
}

// feetBefore gives the feet that stand right before token i, already repaired:
// of 6' 0 1/2" they are the 6 ft.
func (s *scanner) feetBefore(i int) (feet string, found bool) {
	if i == 0 || len(s.fixes) == 0 || s.fixes[len(s.fixes)-1].by != s.tokens[i-1].text {
		return "", false
	}
	feet, found = strings.CutPrefix(s.tokens[i-1].text, "len('")
	return strings.TrimSuffix(feet, "')"), found && strings.HasSuffix(feet, " ft')")
}

func (s *scanner) measureText(first, unit int) string {
	text := s.slice(s.tokens[first].start, s.tokens[unit].start)
	return strings.Join(strings.Fields(text), " ")
}

// pairs finds neighbours that cannot stand together.
func (s *scanner) pairs() {
	last := len(s.tokens) - 1
	if first := s.tokens[0]; first.joins() {
		s.fatal(first.start, "a formula cannot begin with "+first.text, "write a value before it")
	}
	for i, t := range s.tokens[:last] {
		if call := i > 0 && s.tokens[i-1].kind == tokenName; t.is("(") && s.tokens[i+1].is(")") && !call {
			s.fatal(t.start, "nothing stands between ( and )", "write a value there, or leave them out")
		}
		s.pair(t, s.tokens[i+1])
	}
	if t := s.tokens[last]; t.kind == tokenSign && (last > 0 || !t.joins()) {
		s.fatal(t.start, "the formula ends with "+t.text, "write a value after it")
	}
}

func (s *scanner) pair(t, next token) {
	switch {
	case t.kind == tokenName && next.is("("):
		return // a call
	case t.ends() && next.is("["):
		s.fatal(next.start, "[ ] only stands after in", "write x in ['a', 'b']")
	case t.ends() && next.begins():
		hint := "write the sign between them, such as " + quoted(t.text) + " * " + quoted(next.text)
		if t.kind == tokenClose || next.kind == tokenOpen {
			hint = "write the sign between them, such as *"
		}
		s.fatal(next.start, "a sign is missing between "+quoted(t.text)+" and "+quoted(next.text), hint)
	case (t.kind == tokenSign || t.kind == tokenComma || t.kind == tokenOpen) && (next.joins() || next.kind == tokenComma):
		s.fatal(next.start, "a value is missing between "+t.text+" and "+next.text, "write it, or leave one of them out")
	case (t.kind == tokenSign || t.kind == tokenComma) && next.kind == tokenClose:
		s.fatal(next.start, "a value is missing between "+t.text+" and "+next.text, "write it, or leave "+t.text+" out")
	case t.ends() && next.is("!"):
		s.fatal(next.start, "! stands before a condition, not after "+quoted(t.text), "write && or || between two conditions, != to compare")
	}
}

// repair gives the text with its fixes made, and notes where each character of
// it came from.
func (s *scanner) repair() string {
	if len(s.fixes) == 0 {
		return s.src.text
	}
	slices.SortFunc(s.fixes, func(a, b fix) int { return a.start - b.start })
	var out []rune
	take := func(from int, text []rune, step int) {
		for i, r := range text {
			out = append(out, r)
			s.src.origin = append(s.src.origin, from+i*step)
		}
	}
	pos := 0
	for _, f := range s.fixes {
		if f.start < pos {
			continue // inside a fix already made
		}
		take(pos, s.src.runes[pos:f.start], 1)
		take(f.start, []rune(" "+f.by+" "), 0)
		pos = f.end
	}
	take(pos, s.src.runes[pos:], 1)
	s.src.origin = append(s.src.origin, len(s.src.runes))
	return string(out)
}
