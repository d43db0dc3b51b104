package api

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/bom/picture"
)

// pictureOf draws the row of an address, where there is something to look at: the
// blank of a wood part, a piece that is bent or forged, a cloth on the goods.
func pictureOf(trace *bom.Trace, address string) (*picture.Picture, bool) {
	first, path, _ := strings.Cut(address, "/")
	line, err := strconv.Atoi(first)
	if err != nil { // what belongs to the whole order has no line
		line, path = 0, address
	}
	for _, layout := range trace.Bill.Layouts() {
		if layout.Line == line && layout.Path == path {
			return picture.Cloth(&layout, trace.Bill.Units), true
		}
	}
	for i := range trace.Bill.Lines {
		if trace.Bill.Lines[i].Line == line {
			return partPicture(trace, &trace.Bill.Lines[i], path)
		}
	}
	return nil, false
}

// partPicture draws the wood or the steel of a line's row.
func partPicture(trace *bom.Trace, l *bom.LineBill, path string) (*picture.Picture, bool) {
	units := trace.Bill.Units
	for k := range l.Wood {
		if l.Wood[k].Path == path {
			return picture.Blank(&l.Wood[k], units), true
		}
	}
	for k := range l.Steel {
		row := &l.Steel[k]
		switch {
		case row.Path != path:
		case len(row.Bends) > 0:
			return picture.Bends(row, units), true
		case row.Shape != "straight" && row.Shape != "mitred":
			return picture.Forged(row, picture.FiguresOf(trace.Working, l.Line, path), units), true
		}
	}
	return nil, false
}

// drawRow answers with the picture of a row.
func drawRow(trace *bom.Trace, number, address string) (*document, error) {
	drawn, there := pictureOf(trace, address)
	if !there {
		return nil, notFound(fmt.Sprintf("There is no picture of %s of order %s: drawn are the blanks of wood, pieces of steel that are bent or forged, and cloth by the roll.", quoteShort(address), number))
	}
	return sendPicture(drawn)
}

// drawLayouts answers with the goods of all cloths, one below another.
func drawLayouts(bill *bom.Bill, number string) (*document, error) {
	var drawings []*picture.Picture
	for _, layout := range bill.Layouts() {
		drawings = append(drawings, picture.Cloth(&layout, bill.Units))
	}
	return sendPicture(picture.Stack("Order "+number+": cloth on the goods", "No cloth of this order is cut by the roll.", drawings))
}

func sendPicture(p *picture.Picture) (*document, error) {
	var svg bytes.Buffer
	if err := p.SVG(&svg); err != nil {
		return nil, err
	}
	return &document{Status: http.StatusOK, ContentType: svgType, Vary: "Accept", Body: svg.Bytes()}, nil
}

// drawLoad draws what orders take of the departments, in the order in which they
// first come up.
func drawLoad(first string, weeks []loadWeek) (*document, error) {
	var strips []picture.LoadStrip
	at := map[string]int{}
	for i := range weeks {
		for k := range weeks[i].Departments {
			d := &weeks[i].Departments[k]
			n, found := at[d.Department]
			if !found {
				n = len(strips)
				at[d.Department] = n
				strips = append(strips, picture.LoadStrip{Name: cmp.Or(d.Name, d.Department), Weeks: emptyWeeks(weeks)})
			}
			w := &strips[n].Weeks[i]
			if err := readMinutes(d, w); err != nil {
				return nil, err
			}
		}
	}
	return sendPicture(picture.Load(fmt.Sprintf("Load of departments from %s, %d weeks", first, len(weeks)), strips))
}

func emptyWeeks(weeks []loadWeek) []picture.LoadWeek {
	empty := make([]picture.LoadWeek, len(weeks))
	for i := range weeks {
		empty[i].Week = weeks[i].Week
	}
	return empty
}

// readMinutes reads the figures of the reply, so that the chart shows what it says.
func readMinutes(d *departmentLoad, w *picture.LoadWeek) error {
	for _, one := range []struct {
		text string
		into *bom.Minutes
	}{{d.Capacity, &w.Capacity}, {d.Planned, &w.Planned}, {d.Accepted, &w.Accepted}} {
		if err := one.into.UnmarshalText([]byte(one.text)); err != nil {
			return fmt.Errorf("read the load of %s: %w", d.Department, err)
		}
	}
	return nil
}
