package catalog

import (
	"fmt"
	"slices"
	"strings"
)

// buying checks in what an item is bought against what it is counted in.
func (s spot) buying(x *Buying, of ...Dimension) {
	if x == nil {
		return
	}
	s = s.in("buy").at(x.Pos)
	if x.By == nil && x.Least == nil && !s.in("by").unread() && !s.in("least").unread() {
		s.fault("nothing is said of how it is bought", `write under "by" what is bought in whole multiples, or under "least" the least that is bought`)
	}
	if x.Called != "" && x.By == nil {
		s.in("called").fault("there is nothing that could be called so", `write under "by" how much one of them is`)
	}
	for _, one := range []struct {
		name string
		is   *Quantity
	}{{"by", x.By}, {"least", x.Least}} {
		if one.is != nil && !slices.Contains(of, one.is.Of) {
			s.in(one.name).fault(fmt.Sprintf("%s is %s, and it is counted %s", one.is, dimensionNames[one.is.Of], countedIn(of)), "write it so, such as "+dimensionExamples[of[0]])
			return
		}
	}
	if x.By != nil && x.Least != nil && x.By.Of != x.Least.Of {
		s.in("least").fault(fmt.Sprintf("%s is %s, and it is bought by %s", x.Least, dimensionNames[x.Least.Of], x.By), "write both in one unit")
	}
}

var dimensionNames = map[Dimension]string{Pieces: "a number of pieces", Lengths: "a length", Areas: "an area", Volumes: "a volume", Masses: "a weight"}

var dimensionExamples = map[Dimension]string{Pieces: "10", Lengths: "1/4 yd", Areas: "40 ft2", Volumes: "5 gal", Masses: "25 lb"}

func countedIn(of []Dimension) string {
	names := make([]string, len(of))
	for i, d := range of {
		names[i] = map[Dimension]string{Pieces: "in pieces", Lengths: "by length", Areas: "by area", Volumes: "by volume", Masses: "by weight"}[d]
	}
	return strings.Join(names, " or ")
}
