package formula

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/unit"
)

// Formulas as product files write them, and such as are hard to tell of over
// many values at once.
var overFormulas = []string{
	"length - width >= len('20 in')",
	"height <= frac('5/2') * width",
	"length >= holes * len('20 in')",
	"length + width <= len('100 in')",
	"length * width <= len('60 in') * len('30 in')",
	"top == 'glass' ? length <= len('72 in') : length <= len('96 in')",
	"length <= len('48 in') ? width <= len('30 in') : width <= height",
	"!(length > width && height > len('30 in')) || top == 'wood'",
	"length > width || height > width && holes != 2",
	"ceil(length / len('20 in')) - 1 >= holes",
	"min(length, width) >= max(height, len('20 in'))",
	"length / holes > len('20 in')",
	"holes == 0 || length / holes > len('20 in')",
	"width / length < frac('2/3')",
	"length == width",
	"length != width",
	"holes in [1, 3]",
	"length in [len('48 in'), len('60 in')]",
	"abs(length - width) <= len('3 in')",
	"band('legs', length) > holes",
	"band('legs', length) > 3 && top in ['wood', 'glass']",
	"up(length, len('6 in')) <= len('60 in') && nearest(width, len('1 in')) > len('24 in')",
	"length / 3 * 3 == length",
	"length * 2 - length - length == len('0 in')",
	"length * width / height < len('80 in')",
	"(length <= width) == (width >= length)",
	"height > len('1 in') / (holes - 2) || length > width",
}

func overScope(t *testing.T) *Scope {
	t.Helper()
	s := NewScope()
	for _, name := range []string{"length", "width", "height"} {
		declared(t, s, name, Length)
	}
	declared(t, s, "holes", Number)
	if _, err := s.DeclareChoice("top", []string{"glass", "wood"}); err != nil {
		t.Fatal(err)
	}
	inches := func(n int64) Value { return LengthOf(unit.Length(n) * unit.Inch) }
	number := func(n int64) Value { return NumberOf(unit.RatioOf(n)) }
	if err := s.DeclareTable("legs", Length, []Bracket{{inches(40), number(2)}, {inches(60), number(4)}, {inches(80), number(6)}}); err != nil {
		t.Fatal(err)
	}
	return s
}

func declared(t *testing.T, s *Scope, name string, k Kind) {
	t.Helper()
	if _, err := s.Declare(name, k); err != nil {
		t.Fatal(err)
	}
}

// What is told over many values holds of each of them.
func TestOverHoldsOfEveryValue(t *testing.T) {
	s := overScope(t)
	clauses, sure := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SampledFrom(overFormulas).Draw(t, "formula")
		f, err := s.Compile(text, Bool)
		if err != nil {
			t.Fatal(err)
		}
		known, lows, highs := box(t)
		over := f.Over(known)
		all, told := over.Clauses()
		value, certain := over.Value()
		if told {
			clauses++
		}
		if certain {
			sure++
		}
		for range 20 {
			env, slots := point(t, known, lows, highs)
			got, err := f.Eval(env)
			switch {
			case err != nil && !over.MayFail():
				t.Fatalf("%s at %v: %v, and it was said not to fail", text, env, err)
			case err == nil && over.Fails():
				t.Fatalf("%s at %v is %v, and it was said to fail", text, env, got)
			case err != nil:
			case certain && got != value:
				t.Fatalf("%s at %v is %v, and was said to be %v", text, env, got, value)
			case told && got.Bool() != hold(all, slots):
				t.Fatalf("%s at %v is %v, and the clauses %v say otherwise", text, env, got, all)
			}
		}
	})
	if clauses == 0 || sure == 0 {
		t.Errorf("%d boxes told by clauses and %d for sure: the test does not reach what it is for", clauses, sure)
	}
}

// box draws what is known of each name: lengths between two sixteenths, a
// count, and a choice that is known or not set.
func box(t *rapid.T) (known []Known, lows, highs []int64) {
	known, lows, highs = make([]Known, 5), make([]int64, 4), make([]int64, 4)
	for slot := range 4 {
		kind, grain, most := Length, int64(unit.Inch)/16, int64(90*16)
		if slot == 3 {
			kind, grain, most = Number, 1, 5
		}
		low := rapid.Int64Range(0, most).Draw(t, "low")
		high := low + rapid.SampledFrom([]int64{0, 1, 2, 40, 600}).Draw(t, "wide")
		if slot == 3 {
			high = min(high, low+3)
		}
		lows[slot], highs[slot] = low*grain, high*grain
		known[slot] = Between(slot, kind, lows[slot], highs[slot])
	}
	if rapid.IntRange(0, 9).Draw(t, "top") > 0 {
		known[4] = Exactly(TextOf(rapid.SampledFrom([]string{"glass", "wood"}).Draw(t, "which top")))
	}
	return known, lows, highs
}

func point(t *rapid.T, known []Known, lows, highs []int64) (env []Value, slots []int64) {
	env, slots = make([]Value, 5), make([]int64, 4)
	for slot := range 4 {
		slots[slot] = rapid.Int64Range(lows[slot], highs[slot]).Draw(t, "value")
		if slot == 3 {
			env[slot] = NumberOf(unit.RatioOf(slots[slot]))
			continue
		}
		env[slot] = LengthOf(unit.Length(slots[slot]))
	}
	env[4], _ = known[4].Value()
	return env, slots
}

func hold(all []Clause, slots []int64) bool {
	return !slices.ContainsFunc(all, func(c Clause) bool {
		return !slices.ContainsFunc(c, func(a Atom) bool {
			sum := big.NewInt(a.Plus)
			for _, t := range a.Terms {
				if t.With == NoSlot {
					sum.Add(sum, new(big.Int).Mul(big.NewInt(t.Times), big.NewInt(slots[t.Slot])))
					continue
				}
				both := new(big.Int).Mul(big.NewInt(slots[t.Slot]), big.NewInt(slots[t.With]))
				sum.Add(sum, both.Mul(both, big.NewInt(t.Times)))
			}
			return sum.Sign() <= 0
		})
	})
}

// Figures are reckoned as Eval reckons them: brought to a whole grain once.
func TestOverBringsLengthsToTheirGrain(t *testing.T) {
	s := overScope(t)
	third, err := s.Compile("length / 3", Length)
	if err != nil {
		t.Fatal(err)
	}
	known := make([]Known, 5)
	known[0] = Exactly(LengthOf(10))
	if v, sure := third.Over(known).Value(); !sure || v.Length() != 3 || !v.Rounded() {
		t.Errorf("a third of 10 nm is %v, want 3 nm and rounded", v)
	}
	known[0] = Between(0, Length, 10, 20)
	if low, high, bounded := third.Over(known).Bounds(); !bounded || low != 3 || high != 7 {
		t.Errorf("a third of 10 to 20 nm is %d to %d, want 3 to 7", low, high)
	}
	if over := third.Over(make([]Known, 5)); !over.Fails() {
		t.Error("a third of a length that is not set is reckoned")
	}
}
