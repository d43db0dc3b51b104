package bom

import (
	"billwright/catalog"
	"billwright/catalog/unit"
)

// Overhang of a top past what it lies on, which stands in the middle under it:
//
//	ends   (length of the top - length of the support) / 2, at either end
//	sides  (width of the top - width of the support) / 2, at either side
//
// and nothing where the support reaches farther. What is over the catalog's
// greatest overhang is refused; what is over its caution carries one.
//
// Worked: a top of 72 x 40 in on a base of 60 x 30 in: 6 and 5 in.

// Overhang is how far a top reaches past its support.
type Overhang struct {
	Ends  unit.Length `json:"ends"`
	Sides unit.Length `json:"sides"`
}

func (o *Overhang) greatest() unit.Length { return max(o.Ends, o.Sides) }

// overhang reckons the overhang of a top of the given length and width, and
// notes whether it takes a caution. It is nil where no support is written.
func (r *reckoning) overhang(path string, length, width unit.Length, s *catalog.Support) (*Overhang, bool) {
	if s == nil {
		return nil, true
	}
	supportLength, ok := r.length(path, "length of the support", &s.Length)
	supportWidth := supportLength
	if ok && s.Width != nil {
		supportWidth, ok = r.length(path, "width of the support", s.Width)
	}
	if !ok {
		return nil, false
	}
	over := &Overhang{Ends: past(length, supportLength), Sides: past(width, supportWidth)}
	r.note(path, "overhang at the ends", "(%s - %s) / 2 = %s", length, supportLength, over.Ends)
	r.note(path, "overhang at the sides", "(%s - %s) / 2 = %s", width, supportWidth, over.Sides)
	if s.Most != nil {
		most, known := r.limit(path, "greatest overhang", s.Most)
		if !known || !r.carried(path, over, most, supportLength, supportWidth) {
			return nil, false
		}
	}
	if s.Caution != nil {
		limit, known := r.limit(path, "overhang that takes a caution", s.Caution)
		if !known {
			return nil, false
		}
		if over.greatest() > limit {
			r.overhangs = append(r.overhangs, overhangs{path, over.greatest(), limit})
		}
	}
	return over, true
}

// past is half of what a top is longer than its support.
func past(top, support unit.Length) unit.Length { return max(0, (top-support+1)/2) }

// limit is a length that may be nothing.
func (r *reckoning) limit(path, figure string, e *catalog.Expr) (unit.Length, bool) {
	v, ok := r.value(path, figure, e)
	if !ok {
		return 0, false
	}
	if v.Length() < 0 || v.Length() > unit.MaxEntry {
		r.refuseFormula("length.not-positive", path, figure, e, "is not a length from 0 to "+r.units.Length(unit.MaxEntry))
		return 0, false
	}
	return v.Length(), true
}

func (r *reckoning) carried(path string, over *Overhang, most, supportLength, supportWidth unit.Length) bool {
	if over.greatest() <= most {
		return true
	}
	r.refuse("top.overhang", path, "it reaches %s past what it lies on, and %s is the most that is made: it may be %s by %s at most on a support of %s by %s",
		over.greatest(), most, supportLength+2*most, supportWidth+2*most, supportLength, supportWidth)
	return false
}
