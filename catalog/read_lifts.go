package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

// farthest are the ends of the lifting equation's ranges, beyond which nothing
// may be lifted at all: horizontal, vertical and travel.
func (s spot) farthest() [3]unit.Length {
	if s.r.cat.Workshop.Units == "metric" {
		return [3]unit.Length{630 * unit.Millimetre, 1750 * unit.Millimetre, 1750 * unit.Millimetre}
	}
	return [3]unit.Length{25 * unit.Inch, 70 * unit.Inch, 70 * unit.Inch}
}

func (s spot) lift(code string, l *Lift) {
	s.code("lift", code)
	ends := s.farthest()
	for i, one := range []struct {
		key string
		is  unit.Length
	}{{"horizontal", l.Horizontal}, {"vertical", l.Vertical}, {"travel", l.Travel}} {
		at := s.in(one.key)
		at.notBelow(one.is)
		if one.is > ends[i] && !at.unread() {
			at.fault(fmt.Sprintf("nothing may be lifted by hand at %s", lengthText(one.is, s.r.cat.entryUnit())),
				"the lifting equation ends at "+lengthText(ends[i], s.r.cat.entryUnit()))
		}
	}
	if l.Angle.Sign() < 0 || l.Angle.Cmp(unit.RatioOf(135)) > 0 {
		s.in("angle").fault(fmt.Sprintf("nothing may be lifted turned by %s degrees", l.Angle), "write 0 to 135")
	}
	if at := s.in("frequency"); !at.unread() {
		at.share(l.Frequency)
	}
}
