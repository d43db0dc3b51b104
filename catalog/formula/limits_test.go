package formula

import (
	"errors"
	"runtime"
	"strings"
	"testing"
	"time"
)

// The bar for hostile text is 100 ms and 10 MB. The time is asserted at ten
// times the bar, since other work may share the machine; memory is asserted at
// the bar.
const (
	hostileTime  = time.Second
	hostileBytes = 10 << 20
)

func TestHostileText(t *testing.T) {
	s := newShop(t)
	s.compile(t, "length", Length) // the language itself is made once, on first use
	repeat := strings.Repeat
	tests := []struct{ name, text, says string }{
		{"1 MB of brackets", repeat("(", 1<<20), "the formula is 1048576 bytes long; the limit is 2000"},
		{"1 MB of one name", repeat("a", 1<<20), "1048576 bytes long"},
		{"1 MB that is not UTF-8", repeat("\xff", 1<<20), "1048576 bytes long"},
		{"a sum of 100,000 terms", repeat("length+", 100_000) + "length", "700006 bytes long"},
		{"one byte over", "length" + repeat(" ", maxBytes-5), "2001 bytes long"},
		{"deep brackets", repeat("(", 900) + "length" + repeat(")", 900), "brackets are nested more than 50 deep"},
		{"deep calls", repeat("abs(", 300) + "length" + repeat(")", 300), "brackets are nested more than 50 deep"},
		{"deep lists", repeat("[", 900) + "1" + repeat("]", 900), "brackets are nested more than 50 deep"},
		{"brackets never closed", repeat("(", 2000), "brackets are nested more than 50 deep"},
		{"brackets never opened", repeat(")", 2000), "closes a bracket that was never opened"},
		{"a sum of 900 terms", repeat("1+", 900) + "1", "too many steps one inside another"},
		{"a sum of 60 terms", repeat("1+", 60) + "1", "more than 50 steps one inside another"},
		{"a chain of choices", repeat("glass?1:", 200) + "1", "too many steps one inside another"},
		{"a short chain of choices", repeat("glass?1:", 60) + "1", "more than 50 steps one inside another"},
		{"a chain of comparisons", repeat("1<", 900) + "1", "too many steps one inside another"},
		{"minus signs", repeat("-", 1990) + "zz", "unknown name zz"},
		{"exclamation marks", repeat("!", 1990) + "zz", "unknown name zz"},
		{"plus signs", repeat("+ ", 1000), "a formula cannot begin with +"},
		{"names side by side", repeat("a ", 1000), "a sign is missing between a and a"},
		{"a name of many parts", repeat("a.", 900) + "a", "one inside another"},
		{"question marks", repeat("?", 2000), "a formula cannot begin with ?"},
		{"a long list", "legs in [" + repeat("1,", 900) + "1]", "more than 500 steps"},
		{"conditions side by side", repeat("zz&&", 450) + "zz", "more than 500 steps"},
		{"a long text", "species == '" + repeat("x", 1900) + "'", "species is never 'xxx"},
		{"quotes", repeat("'", 1999), "no closing '"},
		{"a long number", repeat("9", 2000), "too many digits"},
		{"a long fraction", "frac('" + repeat("9", 1900) + "')", "frac('999"},
		{"a long length", "len('" + repeat("9", 1900) + " in')", "len('999"},
		{"dots", repeat(".", 2000), ". is not a sign of a formula"},
		{"unknown names", repeat("zz+(", 45) + "zz" + repeat(")", 45), "unknown name zz"},
		{"large products", repeat("9000000000000000000*", 45) + "1", "too large or too finely divided"},
		{"NUL", repeat("\x00", 2000), "a character that cannot be shown"},
	}
	for _, tt := range tests {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		_, err := s.Compile(tt.text, 0)
		took := time.Since(start)
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %.200v, want %q", tt.name, err, tt.says)
		}
		used := after.TotalAlloc - before.TotalAlloc
		if took > hostileTime || used > hostileBytes {
			t.Errorf("%s: took %v and %d bytes", tt.name, took, used)
		}
		t.Logf("%-28s %10v %8d KB", tt.name, took.Round(time.Microsecond), used>>10)
		all, _ := errors.AsType[Faults](err)
		if len(all) == 0 || len(all) > maxFaults+1 || len(all[0].Text) > maxBytes {
			t.Errorf("%s: %d faults", tt.name, len(all))
		}
	}
}

// A text over the size limit is refused without being read or copied.
func TestOversizeAllocation(t *testing.T) {
	s := newShop(t)
	text := strings.Repeat("length+", 1<<20)
	if n := testing.AllocsPerRun(10, func() {
		if _, err := s.Compile(text, 0); err == nil {
			t.Error("7 MB of text compiled")
		}
	}); n > 30 {
		t.Errorf("%v allocations to refuse an oversize text", n)
	}
}

// What stands just inside each limit still compiles.
func TestInsideLimits(t *testing.T) {
	s := newShop(t)
	for _, text := range []string{
		"length" + strings.Repeat(" ", maxBytes-6),
		strings.Repeat("(", maxDepth) + "length" + strings.Repeat(")", maxDepth),
		strings.Repeat("length+", maxDepth-1) + "length",
		"legs in [" + strings.Repeat("1,", maxNodes-4) + "1]",
		"species == '" + "ash" + "'" + strings.Repeat(" || glass", 200),
		"min(1,2,3,4,5,6,7,8,9,10)",
	} {
		if _, err := s.Compile(text, 0); err != nil {
			t.Errorf("%.40s (%d bytes): %v", text, len(text), err)
		}
	}
}

// The steps of a formula that fit a Ratio need no memory.
func TestEvalAllocates(t *testing.T) {
	s := newShop(t)
	for _, text := range []string{
		"length - len('15 in')",
		"up(width / 3, len('1/16 in'))",
		"length * width / 2",
		"species in ['ash', 'white-oak'] && !glass",
		"band('springs', width) * legs",
		"glass ? length : max(width, thickness, standard.seam)",
		"ceil(length / width)",
	} {
		f := s.compile(t, text, 0)
		if n := testing.AllocsPerRun(100, func() {
			if _, err := f.Eval(s.env); err != nil {
				t.Error(err)
			}
		}); n != 0 {
			t.Errorf("%s: %v allocations an evaluation", text, n)
		}
	}
}
