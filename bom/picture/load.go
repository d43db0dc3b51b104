package picture

import (
	"fmt"
	"strings"

	"billwright/bom"
)

// The load of departments as a chart: for each a strip with a column a week.
// What accepted orders take is hatched, what others take stands on it in white,
// and a heavy line is what the department has. A week that takes more than there
// is says FULL. Below stands what is behind at the week's end, when every week
// before it in the chart was worked to the full:
//
//	behind = max(0, behind of the week before + planned - capacity)
//
// Worked: 40 h to do where there are 32 h leave 8 h; with 20 h to do in the next
// week nothing is behind.

// LoadWeek is what orders take of a department in a week.
type LoadWeek struct {
	Week string
	// Planned is what all orders take, Accepted the part of those accepted.
	Capacity, Planned, Accepted bom.Minutes
}

// LoadStrip is a department with its weeks, in their order.
type LoadStrip struct {
	Name  string
	Weeks []LoadWeek
}

const (
	loadLeft  = 40 * Pt
	loadWidth = 488 * Pt
	loadTall  = 64 * Pt
	loadStep  = 116 * Pt
	loadTop   = 28 * Pt
)

// Load draws the load of departments week by week.
func Load(title string, strips []LoadStrip) *Picture {
	p := &Picture{Width: 532 * Pt, Height: loadTop + Dot(len(strips))*loadStep + 8*Pt, Title: title}
	p.Write(0, 14*Pt, 12*Pt, true, Start, title)
	p.Write(532*Pt, 14*Pt, small, false, End, "hatched: accepted; white: not yet accepted; heavy line: what there is")
	var says []string
	for i := range strips {
		says = append(says, p.strip(&strips[i], loadTop+Dot(i)*loadStep))
	}
	if len(strips) == 0 {
		says = []string{"The catalog has no departments."}
		p.Write(0, 30*Pt, 11*Pt, false, Start, says[0])
		p.Height = 40 * Pt
	}
	p.Says = strings.Join(says, " ")
	return p
}

// strip draws a department and tells it in words.
func (p *Picture) strip(s *LoadStrip, top Dot) string {
	p.Write(0, top+11*Pt, 11*Pt, true, Start, s.Name)
	base := top + 18*Pt + loadTall
	p.Line(Thin, loadLeft, base, loadLeft+loadWidth, base)
	most := bom.Minutes(1)
	for i := range s.Weeks {
		most = max(most, s.Weeks[i].Planned, s.Weeks[i].Capacity)
	}
	p.Write(loadLeft-4*Pt, base-loadTall+3*Pt, small, false, End, Hours(most))
	p.Write(loadLeft-4*Pt, base, small, false, End, "0 h")
	high := func(m bom.Minutes) Dot { return Dot(int64(m) * int64(loadTall) / int64(most)) }
	behind := bom.Minutes(0)
	texts := make([]string, len(s.Weeks))
	for i := range s.Weeks {
		w := &s.Weeks[i]
		behind = max(0, behind+w.Planned-w.Capacity)
		p.week(s, i, base, behind, high)
		texts[i] = fmt.Sprintf("%s %s of %s, accepted %s%s, behind %s", w.Week, Hours(w.Planned), Hours(w.Capacity), Hours(w.Accepted), map[bool]string{true: ", FULL"}[w.Planned > w.Capacity], Hours(behind))
	}
	return s.Name + ": " + strings.Join(texts, "; ") + "."
}

// week draws the column of one week.
func (p *Picture) week(s *LoadStrip, i int, base Dot, behind bom.Minutes, high func(bom.Minutes) Dot) {
	w := &s.Weeks[i]
	n := Dot(len(s.Weeks))
	x, next := loadLeft+loadWidth*Dot(i)/n, loadLeft+loadWidth*Dot(i+1)/n
	left, wideness := x+(next-x)/8, (next-x)*3/4
	accepted := min(w.Accepted, w.Planned)
	if accepted > 0 {
		p.Box(Thin, Hatch, left, base-high(accepted), wideness, high(accepted))
	}
	if rest := high(w.Planned) - high(accepted); rest > 0 {
		p.Box(Thin, White, left, base-high(w.Planned), wideness, rest)
	}
	p.Line(Heavy, x, base-high(w.Capacity), next, base-high(w.Capacity))
	if w.Planned > w.Capacity {
		p.Write((x+next)/2, base-high(w.Planned)-2*Pt, small, true, Middle, "FULL")
	}
	if every := 1 + int(50*Pt*n/loadWidth); i%every == 0 {
		p.Write(x, base+11*Pt, small, false, Start, w.Week)
		p.Write(x, base+22*Pt, small, false, Start, "behind "+Hours(behind))
	}
}

// Hours is a time of minutes in hours, to a tenth.
func Hours(m bom.Minutes) string {
	tenths := (int64(m) + 30) / 60 // Minutes are tenths of a minute
	if tenths%10 == 0 {
		return fmt.Sprintf("%d h", tenths/10)
	}
	return fmt.Sprintf("%d.%d h", tenths/10, tenths%10)
}
