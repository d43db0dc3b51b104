package formula

import (
	"strings"
	"testing"

	"billwright/catalog/unit"
)

func TestDeclare(t *testing.T) {
	s := NewScope()
	for want, name := range []string{"height", "standard.seam", "species", "species.density", "A_1"} {
		kind := Length
		if name == "species" {
			kind = Text
		}
		if slot, err := s.Declare(name, kind); err != nil || slot != want {
			t.Errorf("%s: slot %d, %v; want %d", name, slot, err, want)
		}
	}
	if slot, ok := s.Slot("species.density"); !ok || slot != 3 {
		t.Errorf("slot of species.density: %d, %v", slot, ok)
	}
	if _, ok := s.Slot("density"); ok {
		t.Error("density has a slot")
	}
	if n := len(s.NewEnv()); n != 5 {
		t.Errorf("environment of %d slots, want 5", n)
	}
	refused := []struct {
		name string
		kind Kind
		says string
	}{
		{"height", Number, `"height" is declared twice`},
		{"", Number, "use 1 to 100 letters"},
		{strings.Repeat("a", 101), Number, "use 1 to 100 letters"},
		{"seat-height", Number, `as in "seat_height"`},
		{"3legs", Number, `as in "n_3legs"`},
		{"a..b", Number, "use letters, digits and underscores"},
		{".", Number, "use letters, digits and underscores"},
		{"länge", Number, `as in "l_nge"`},
		{"if", Number, `"if" is a word of the formula language`},
		{"standard.in", Number, `"in" is a word of the formula language`},
		{"min", Number, "is the name of a function"},
		{"@unknown", Number, "use letters"},
		{"weight", Kind(0), "unknown kind"},
		{"weight", Kind(9), "unknown kind"},
	}
	for _, tt := range refused {
		if _, err := s.Declare(tt.name, tt.kind); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("Declare(%q, %v): %v, want %q", tt.name, tt.kind, err, tt.says)
		}
	}
	if _, err := s.DeclareChoice("finish", nil); err == nil || !strings.Contains(err.Error(), "no allowed values") {
		t.Errorf("choice without values: %v", err)
	}
}

// Every name Declare takes can be read by a formula, words of CEL's own
// standard library among them.
func TestDeclaredNamesCompile(t *testing.T) {
	for _, name := range []string{"a", "_", "int", "string", "list", "type", "size", "has", "all", "map", "dyn", "timestamp", "a.b.c", "google", "a.size", "e", "m", "mm", "ft"} {
		s := NewScope()
		if _, err := s.Declare(name, Length); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		f, err := s.Compile(name+" * 2", Length)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if v, err := f.Eval([]Value{inches(3, 1)}); err != nil || v != inches(6, 1) {
			t.Errorf("%s * 2 = %v, %v", name, v, err)
		}
	}
}

// A name may begin another: "top" beside "top.thickness".
func TestNameWithinName(t *testing.T) {
	s := NewScope()
	_, err := s.DeclareChoice("top", []string{"wood", "glass"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Declare("top.thickness", Length); err != nil {
		t.Fatal(err)
	}
	f, err := s.Compile("top == 'glass' ? top.thickness * 2 : top.thickness", Length)
	if err != nil {
		t.Fatal(err)
	}
	if v, err := f.Eval([]Value{TextOf("glass"), inches(1, 2)}); err != nil || v != inches(1, 1) {
		t.Errorf("got %v, %v", v, err)
	}
}

// A declaration made after a compile is seen by the next one, and leaves
// formulas already compiled as they are.
func TestDeclareAfterCompile(t *testing.T) {
	s := NewScope()
	if _, err := s.Declare("a", Number); err != nil {
		t.Fatal(err)
	}
	before, err := s.Compile("a + 1", Number)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Compile("a + b", Number); err == nil {
		t.Fatal("b is not declared")
	}
	if _, err := s.Declare("b", Number); err != nil {
		t.Fatal(err)
	}
	after, err := s.Compile("a + b", Number)
	if err != nil {
		t.Fatal(err)
	}
	env := []Value{number(3, 1), number(4, 1)}
	if v, _ := before.Eval(env); v != number(4, 1) {
		t.Errorf("a + 1 = %v", v)
	}
	if v, _ := after.Eval(env); v != number(7, 1) {
		t.Errorf("a + b = %v", v)
	}
}

func TestDeclareTable(t *testing.T) {
	good := []Bracket{{inches(24, 1), number(3, 1)}, {inches(48, 1), number(4, 1)}}
	tests := []struct {
		name string
		key  Kind
		rows []Bracket
		says string
	}{
		{"", Length, good, "use 1 to 64"},
		{"it's", Length, good, "use 1 to 64"},
		{"a\nb", Length, good, "use 1 to 64"},
		{strings.Repeat("x", 65), Length, good, "use 1 to 64"},
		{"springs", Length, good, `"springs" is declared twice`},
		{"t", Area, good, "its key must be a length or a number, not area"},
		{"t", Length, nil, "has no rows"},
		{"t", Number, good, "row 1: its limit is a length, it must be a number"},
		{"t", Length, []Bracket{{Below: inches(1, 1)}}, "row 1: it gives no value"},
		{"t", Length, []Bracket{good[0], {inches(48, 1), TextOf("four")}}, "row 2: it gives text, the first row a number"},
		{"t", Length, []Bracket{good[1], good[0]}, "row 2: its limit 24 in is not above the limit 48 in before it"},
		{"t", Length, []Bracket{good[0], good[0]}, "row 2: its limit 24 in is not above the limit 24 in before it"},
	}
	s := NewScope()
	if err := s.DeclareTable("springs", Length, good); err != nil {
		t.Fatal(err)
	}
	for _, tt := range tests {
		if err := s.DeclareTable(tt.name, tt.key, tt.rows); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("table %q: %v, want %q", tt.name, err, tt.says)
		}
	}
	// The scope keeps its own rows.
	good[0].Gives = number(99, 1)
	f, err := s.Compile("band('springs', len('1 in'))", Number)
	if err != nil {
		t.Fatal(err)
	}
	if v, err := f.Eval(nil); err != nil || v != number(3, 1) {
		t.Errorf("got %v, %v; the caller's slice reached the table", v, err)
	}
}

// The interval rule of every bracket table, against a plain search.
func TestBandAgainstSearch(t *testing.T) {
	limits := []int64{3, 7, 8, 20, 21, 50}
	var rows []Bracket
	for i, l := range limits {
		rows = append(rows, Bracket{LengthOf(unit.Length(l) * unit.Millimetre), number(int64(i), 1)})
	}
	s := NewScope()
	if err := s.DeclareTable("t", Length, rows); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Declare("x", Length); err != nil {
		t.Fatal(err)
	}
	f, err := s.Compile("band('t', x / 2)", Number)
	if err != nil {
		t.Fatal(err)
	}
	for half := int64(-4); half <= 110; half++ {
		want := int64(-1)
		for i, l := range limits {
			if half < 2*l { // x/2 < l
				want = int64(i)
				break
			}
		}
		v, err := f.Eval([]Value{LengthOf(unit.Length(half) * unit.Millimetre)})
		if (err != nil) != (want < 0) || err == nil && v != number(want, 1) {
			t.Errorf("x = %d mm: got %v, %v; want row %d", half, v, err, want)
		}
	}
}
