package formula

import (
	"errors"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// Any text either compiles, and then evaluates without a panic, or is refused
// with faults that lie inside it.
func FuzzCompile(f *testing.F) {
	for _, seed := range []string{
		"length - len('15 in')", "length / 3 - up(width / 3, len('1/16 in'))", "3 / 4", "length - 6' 0 1/2\"",
		"glass ? length - len('12 in') : length - len('15 in')", "species in ['ash', 'white-oak'] && !glass",
		"band('springs', width) * legs", "band('grade', legs) == 'light'", "species == white-oak and 1,5", "length ≤ width // x",
		"frac('70 %') * panel / length", "min(length, 3) + ceil(0.5)", "((((", "a.b.c[0].d(1)", "'x", "length = \n\t 72-1/2 in",
		"- - -3 + !!glass", "1 in [1, 2]", "legs in [-3, frac('1/2')]", "x ? y : z ? 1 : 2", "{}", "a\x00b", "b'x' + r\"y\"", "0x1F + 3u + 1e9",
	} {
		f.Add(seed)
	}
	s := newShop(f)
	f.Fuzz(func(t *testing.T, text string) {
		start := time.Now()
		formula, err := s.Compile(text, 0)
		if took := time.Since(start); took > hostileTime {
			t.Fatalf("%q took %v", text, took)
		}
		if err != nil {
			all, ok := errors.AsType[Faults](err)
			if !ok || len(all) == 0 {
				t.Fatalf("%q: %v is no fault", text, err)
			}
			for _, fault := range all {
				checkFault(t, text, fault)
			}
			return
		}
		v, err := formula.Eval(s.env)
		if _, isFault := errors.AsType[*Fault](err); err != nil && !isFault {
			t.Fatalf("%q: %v is no fault", text, err)
		}
		if err == nil && v.Kind() != formula.Kind() {
			t.Fatalf("%q gives %v, said %v", text, v.Kind(), formula.Kind())
		}
		if err == nil && len(formula.Names()) == 0 && formula.root.constant() {
			checkWrittenAgain(t, s, text, formula, v)
		}
		if !utf8.ValidString(formula.Working(s.env)) {
			t.Fatalf("%q: working is not text", text)
		}
	})
}

func checkFault(t *testing.T, text string, fault *Fault) {
	lines := strings.Split(text, "\n")
	if fault.Line < 1 || fault.Line > len(lines) || fault.Column < 1 {
		t.Fatalf("%q: fault at %d:%d", text, fault.Line, fault.Column)
	}
	if n := len([]rune(lines[fault.Line-1])); fault.Column > n+1 && len(text) <= maxBytes {
		t.Fatalf("%q: fault at column %d of %d", text, fault.Column, n)
	}
	if fault.Message == "" || !utf8.ValidString(fault.Sentence()) || strings.Contains(fault.Message, "@") && !strings.Contains(text, "@") {
		t.Fatalf("%q: message %q", text, fault.Message)
	}
	for _, foreign := range []string{"overload", "ERROR", "Syntax error", "cannot be checked", "_+_"} {
		if strings.Contains(fault.Message, foreign) && !strings.Contains(text, foreign) {
			t.Fatalf("%q: message in the parser's words: %q", text, fault.Message)
		}
	}
}

// checkWrittenAgain: spaces around a constant formula change nothing.
func checkWrittenAgain(t *testing.T, s *shop, text string, formula *Formula, v Value) {
	again, err := s.Compile(" ("+text+") ", formula.Kind())
	if err != nil {
		return // one bracket deeper or a few bytes longer than allowed
	}
	if w, err := again.Eval(nil); err != nil || w != v {
		t.Fatalf("%q = %v, in brackets %v, %v", text, v, w, err)
	}
}
