package api

import (
	"fmt"
	"testing"
)

// What a change makes otherwise, of an order of five lines, through the interface
// and stored: the whole difference.
func BenchmarkProposeChange(b *testing.B) {
	s := openShop(b, shopSettings{})
	rep := s.key("rep")
	number := s.placed(s.key("dealer studio-tamsel"), "first", `{"po":"PO 1","lines":[{"product":"sallow-bench","quantity":2},{"product":"lodden-round","quantity":1},
		{"product":"sallow-bench","quantity":1},{"product":"lodden-round","quantity":4},{"product":"sallow-bench","quantity":3}]}`)
	s.done(rep, number, "accept", 1, `{}`).want(b, 200)
	for i := 0; b.Loop(); i++ {
		s.proposed(rep, fmt.Sprint("c", i), number, 2, fmt.Sprintf(`{"reason":"x","lines":[{"line":1,"configuration":{"length":"5 ft"}},{"line":5,"quantity":%d}]}`, 4+i%20)).want(b, 201)
	}
}
