package formula_test

import (
	"strings"
	"testing"

	"billwright/catalog/formula"
)

// A formula in a sentence has names and values in words; a calculation stays one.
func TestFormulasInWords(t *testing.T) {
	scope := formula.NewScope()
	for name, kind := range map[string]formula.Kind{"top": formula.Text, "cloth": formula.Text, "length": formula.Length, "leaves": formula.Number, "gliding": formula.Bool} {
		if _, err := scope.Declare(name, kind); err != nil {
			t.Fatal(err)
		}
	}
	words := formula.Words{
		Name:  func(v string) string { return strings.ToUpper(v[:1]) + v[1:] },
		Value: func(v, text string) string { return v + "'s " + text },
	}
	for _, c := range []struct{ written, want string }{
		{"top == 'glass'", "Top is top's glass"},
		{"'glass' == top", "Top is top's glass"},
		{"top != 'glass-boat'", "Top is not top's glass-boat"},
		{"top in ['wood', 'stone', 'glass']", "Top is top's wood, top's stone or top's glass"},
		{"top == 'wood' && (cloth == 'own' || leaves > 0)", "Top is top's wood and (Cloth is cloth's own or Leaves is more than 0)"},
		{"!gliding", "not (Gliding)"},
		{"length - len('5 in') <= len('2 in') * leaves", "Length - 5 in is at most 2 in * Leaves"},
		{"leaves >= 2 || length < len('1 ft')", "Leaves is at least 2 or Length is less than 1 ft"},
		{"top == cloth", "Top is Cloth"},
	} {
		f, err := scope.Compile(c.written, formula.Bool)
		if err != nil {
			t.Fatal(c.written, err)
		}
		if got := f.Said(words); got != c.want {
			t.Errorf("%s: %s, want %s", c.written, got, c.want)
		}
	}
	words.Metric = true
	f, err := scope.Compile("length > len('6 in')", formula.Bool)
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Said(words); got != "Length is more than 152.4 mm" {
		t.Errorf("in millimetres: %s", got)
	}
}
