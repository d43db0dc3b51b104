package difference_test

import (
	"slices"
	"testing"

	"billwright/catalog/difference"
)

// A weld uses its process and, by it, the wire; both also of a splice that a line
// may not need.
func TestWeldsAreUsed(t *testing.T) {
	from := read(t)
	for name, test := range map[string]struct{ edits, users []string }{
		"welding process cored (Cored wire) changed":           {[]string{"wire: cored-wire\n    efficiency: 80 %", "wire: cored-wire\n    efficiency: 81 %"}, []string{"ternholt-rail"}},
		"welding process solid (Solid wire under gas) changed": {[]string{"rate: 5 lb/h", "rate: 6 lb/h"}, []string{"marrick-trestle", "ternholt-rail"}},
		"filler wire cored-wire (0.045 in cored wire) changed": {[]string{"name: 0.045 in cored wire", "name: 1/16 in cored wire"}, []string{"ternholt-rail"}},
	} {
		use := difference.Touched(from, difference.Between(from, read(t, test.edits...)))
		var users []string
		for _, product := range from.Products.Keys() {
			if what := use.Of(difference.Line{Product: product}); len(what) > 0 {
				users = append(users, product)
				if what[0] != name {
					t.Errorf("%s: %q, want %s", product, what, name)
				}
			}
		}
		slices.Sort(users)
		if !slices.Equal(users, test.users) {
			t.Errorf("%s touches %q, want %q", name, users, test.users)
		}
	}
}
