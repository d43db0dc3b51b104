package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// leastWithin is how near the weight of glass may be given at best: tables of
// one nominal thickness differ by 9 % (MIL-HDBK-1013/12 table 29 against 13.0 lb
// by square foot and inch).
var leastWithin, _ = unit.NewRatio(1, 10)

// weightOfGlass checks that no weight of glass is promised closer than it is
// known.
func (s spot) weightOfGlass(share unit.Ratio) {
	s.within(share)
	if share.Sign() > 0 && share.Cmp(leastWithin) < 0 {
		s.fault(fmt.Sprintf("the weight of glass is not known within %s: tables of one nominal thickness differ by nearly a tenth", share), "write 10 % or more")
	}
}

func (r *productReading) glass(b branch, part *Part) {
	s, p := b.s, part.Glass
	r.outline(s, p.Outline())
	r.standing(s, p.Support, p.Tip)
	r.lengths(s, namedExpr{"height", &p.Height})
	r.known.compile(s.in("edge"), &p.Edge, formula.Text)
	if r.known.compile(s.in("glass"), &p.Glass, formula.Text) {
		r.paneWork(s.in("work"), p, r.made(s.in("glass"), b, part, &p.Glass, "glass"))
	}
}

// paneWork faults work in the shop on a pane that is tempered whatever is
// picked; where only some of the glasses are, the order is refused.
func (r *productReading) paneWork(s spot, p *GlassPart, codes []string) {
	other := codes == nil || len(codes) == 0 || slices.ContainsFunc(codes, func(code string) bool {
		glass, found := r.r.cat.Glass.Get(code)
		return !found || !glass.Tempered()
	})
	for i, work := range p.Work {
		if work.By == ByWorkshop && !other {
			s.item(i).fault(fmt.Sprintf("a tempered pane is never %s in the workshop", workDone[work.Do]), "write by: vendor, who does it before tempering")
		}
	}
}

var workDone = map[string]string{"drill": "drilled", "notch": "notched", "cut": "cut", "edge": "edged"}
