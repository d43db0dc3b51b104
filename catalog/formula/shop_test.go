package formula

import (
	"testing"

	"billwright/catalog/unit"
)

// shop is the scope the tests of this package share: a table with a forged
// base, a wood or glass top, and a cushion bench beside it.
type shop struct {
	*Scope
	env []Value
}

func newShop(t testing.TB) *shop {
	t.Helper()
	s := &shop{Scope: NewScope()}
	must := func(_ int, err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.Declare("length", Length))
	must(s.Declare("width", Length))
	must(s.Declare("thickness", Length))
	must(s.Declare("legs", Number))
	must(s.Declare("loss", Number))
	must(s.Declare("panel", Area))
	must(s.Declare("glass", Bool))
	must(s.Declare("note", Text))
	must(s.Declare("standard.seam", Length))
	must(s.Declare("standard.kerf", Length))
	must(s.DeclareChoice("species", []string{"white-oak", "walnut", "ash"}))
	must(s.DeclareChoice("edge", []string{"eased", "live"}))
	s.table(t, "springs", Length, []Bracket{
		{inches(24, 1), number(3, 1)}, {inches(48, 1), number(4, 1)}, {inches(96, 1), number(6, 1)},
	})
	s.table(t, "leg stock", Length, []Bracket{
		{inches(1, 1), inches(28, 1)}, {inches(2, 1), inches(27, 1)},
	})
	s.table(t, "grade", Number, []Bracket{{number(10, 1), TextOf("light")}, {number(20, 1), TextOf("heavy")}})
	s.table(t, "braced", Length, []Bracket{{inches(60, 1), BoolOf(false)}, {inches(120, 1), BoolOf(true)}})
	s.env = s.NewEnv()
	s.set(t, "length", inches(72, 1))
	s.set(t, "width", inches(73, 2)) // 36 1/2 in
	s.set(t, "thickness", inches(7, 4))
	s.set(t, "legs", number(4, 1))
	s.set(t, "loss", number(3, 10))
	s.set(t, "panel", AreaOf(144*unit.SquareInch))
	s.set(t, "glass", BoolOf(false))
	s.set(t, "standard.seam", inches(1, 2))
	s.set(t, "standard.kerf", inches(1, 8))
	s.set(t, "species", TextOf("white-oak"))
	s.set(t, "edge", TextOf("eased"))
	return s // note stays unset
}

func (s *shop) table(t testing.TB, name string, key Kind, rows []Bracket) {
	t.Helper()
	if err := s.DeclareTable(name, key, rows); err != nil {
		t.Fatal(err)
	}
}

func (s *shop) set(t testing.TB, name string, v Value) {
	t.Helper()
	slot, ok := s.Slot(name)
	if !ok {
		t.Fatalf("%s is not declared", name)
	}
	s.env[slot] = v
}

func (s *shop) compile(t testing.TB, text string, want Kind) *Formula {
	t.Helper()
	f, err := s.Compile(text, want)
	if err != nil {
		t.Fatalf("%s\n%v", text, err)
	}
	return f
}

// inches gives n/d in, which must be a whole number of nanometres.
func inches(n, d int64) Value { return LengthOf(unit.Length(n * int64(unit.Inch) / d)) }

func number(n, d int64) Value {
	r, err := unit.NewRatio(n, d)
	if err != nil {
		panic(err)
	}
	return NumberOf(r)
}

func squareInches(n int64) Value { return AreaOf(unit.Area(n) * unit.SquareInch) }

// nm gives a length in nanometres that had to be rounded to get there.
func roundedNm(n int64) Value {
	v := LengthOf(unit.Length(n))
	v.rounded = true
	return v
}
