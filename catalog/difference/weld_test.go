package difference_test

import "testing"

// A weld uses its process and, by it, the wire; both also of a splice that a line
// may not need.
func TestWeldsAreUsed(t *testing.T) {
	usedBy(t, nil, "welding process cored (Cored wire) changed", edit{"wire: cored-wire\n    efficiency: 80 %", "wire: cored-wire\n    efficiency: 81 %"}, "ternholt-rail")
	usedBy(t, nil, "welding process solid (Solid wire under gas) changed", edit{"rate: 5 lb/h", "rate: 6 lb/h"}, "marrick-trestle", "ternholt-rail")
	usedBy(t, nil, "filler wire cored-wire (0.045 in cored wire) changed", edit{"name: 0.045 in cored wire", "name: 1/16 in cored wire"}, "ternholt-rail")
}
