package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

// longestSheet bounds the sides of sheets, as plans of them do.
const longestSheet = 100 * unit.Metre

// sheets checks how an item is bought in sheets; thick tells that its sheets come
// in thicknesses.
func (s spot) sheets(x *Sheets, thick bool) {
	if x == nil {
		return
	}
	s = s.in("sheets").at(x.Pos)
	if x.Kerf != nil {
		s.in("kerf").notBelow(*x.Kerf)
	}
	s.in("trim").notBelow(x.Trim)
	s.in("oversize").notBelow(x.Oversize)
	s.in("least_offcut").notBelow(x.Keep)
	if x.Stages != 0 && x.Stages < 2 || x.Stages > 100 {
		s.in("stages").fault(fmt.Sprintf("cuts in %d stages are none", x.Stages), "write 2 or more, such as 3, or leave it out for no limit")
	}
	s = s.in("sizes")
	if len(x.Sizes) == 0 && !s.unread() {
		s.fault("no size is listed", "write those it is bought in")
	}
	for i := range x.Sizes {
		s.item(i).sheetSize(x, i, thick)
	}
}

func (s spot) sheetSize(x *Sheets, i int, thick bool) {
	size := &x.Sizes[i]
	for _, side := range []struct {
		name   string
		length unit.Length
	}{{"length", size.Length}, {"width", size.Width}} {
		s.in(side.name).above(side.length)
		if side.length > longestSheet {
			s.in(side.name).fault(fmt.Sprintf("%s is longer than the %s that sheets are reckoned to", side.length, longestSheet), "")
		}
	}
	if least := min(size.Length, size.Width); least > 0 && least <= 2*x.Trim {
		s.fault(fmt.Sprintf("trims of %s at each edge leave nothing of it", x.Trim), "")
	}
	switch {
	case thick && size.Thickness == nil:
		s.fault("the sheet has no thickness", "write it under thickness, such as 3/4 in")
	case thick:
		s.in("thickness").above(*size.Thickness)
	case size.Thickness != nil:
		s.in("thickness").fault("the thickness is told by the item itself", "leave it out")
	}
	s.in("price").price(size.Price)
	if size.Limit < 0 {
		s.in("limit").fault(fmt.Sprintf("%d sheets are less than none", size.Limit), "leave it out for as many as are needed")
	}
	for _, before := range x.Sizes[:i] {
		if before.Length == size.Length && before.Width == size.Width && (before.Thickness == nil || size.Thickness == nil || *before.Thickness == *size.Thickness) {
			s.fault(fmt.Sprintf("%s x %s is listed twice", size.Length, size.Width), "leave one out")
		}
	}
}
