package desk

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"billwright/catalog/calendar"
)

// loadWeek is what orders take of the departments in a week, as the interface
// tells it.
type loadWeek struct {
	Week        string           `json:"week"`
	Monday      calendar.Date    `json:"monday"`
	Departments []departmentLoad `json:"departments"`
}

type departmentLoad struct {
	Department string `json:"department"`
	Name       string `json:"name"`
	Capacity   string `json:"capacity"`
	Planned    string `json:"planned"`
	Accepted   string `json:"accepted"`
	Free       string `json:"free"`
	Full       bool   `json:"full"`
	Orders     int    `json:"orders"`
}

// loadPage is the body of the page of the departments' load.
type loadPage struct {
	Weeks         []loadWeek
	Rows          []loadRow
	Chart         loadChart
	Before, After string
	Full          int // departments and weeks that are full
}

// loadRow is a department with its weeks.
type loadRow struct {
	Name  string
	Weeks []departmentLoad
}

// The chart's measures, in its own units.
const (
	chartLeft   = 180
	chartWeek   = 112
	chartBand   = 96
	chartHeight = 56 // of the tallest bar of a band
	chartTop    = 30
	chartBar    = 64
)

// loadChart is the load drawn: a band for each department, a bar for each week.
type loadChart struct {
	Width, Height int
	Says          string
	Weeks         []chartWord
	Bands         []loadBand
}

type chartWord struct {
	X    int
	Text string
}

type loadBand struct {
	Name     string
	Y, NameY int // of its foot, and of its name above that
	Bars     []loadBar
}

// loadBar is one week: accepted orders at the bottom, the others above them, and
// a line where the department has no more time.
type loadBar struct {
	X, Middle           int
	Accepted, Planned   int // heights
	CapacityY           int
	AcceptedY, Planned0 int // upper edges
	LabelY              int
	Label               string
	Full                bool
}

// showLoad shows what orders take of the departments in the weeks from one on.
func (v *visit) showLoad() {
	from := v.URL.Query().Get("from")
	var load struct {
		Weeks []loadWeek `json:"weeks"`
	}
	if err := v.get("/v1/load?weeks=8&from="+url.QueryEscape(from), &load); err != nil {
		v.fail(err)
		return
	}
	page := &loadPage{Weeks: load.Weeks, Rows: loadRows(load.Weeks)}
	page.Chart = chartOf(page)
	if n := len(load.Weeks); n > 0 {
		first := load.Weeks[0].Monday
		page.Before, page.After = first.AddDays(-7*n).Week().String(), first.AddDays(7*n).Week().String()
	}
	for _, r := range page.Rows {
		for _, w := range r.Weeks {
			if w.Full {
				page.Full++
			}
		}
	}
	v.show("load", shell{Title: fmt.Sprint("Load of the departments: ", page.Full, " full"), Place: "/weeks", Body: page,
		Keys: []key{{"←", "weeks before"}, {"→", "weeks after"}, {"F8", "next full"}, {"Esc", "back"}}})
}

// loadRows turns the weeks into rows of departments, in the catalog's order.
func loadRows(weeks []loadWeek) []loadRow {
	at := map[string]int{}
	var rows []loadRow
	for w := range weeks {
		for _, d := range weeks[w].Departments {
			i, known := at[d.Department]
			if !known {
				i, at[d.Department] = len(rows), len(rows)
				name := d.Name
				if name == "" {
					name = d.Department
				}
				rows = append(rows, loadRow{name, make([]departmentLoad, len(weeks))})
			}
			rows[i].Weeks[w] = d
		}
	}
	return rows
}

// tenths reads minutes such as 3840.0 min in tenths; what is none is 0.
func tenths(minutes string) int {
	whole, tenth, _ := strings.Cut(strings.TrimSuffix(minutes, " min"), ".")
	n, err := strconv.Atoi(whole + (tenth + "0")[:1])
	if err != nil {
		return 0
	}
	return n
}

func chartOf(page *loadPage) loadChart {
	c := loadChart{Width: chartLeft + chartWeek*len(page.Weeks), Height: chartTop + chartBand*len(page.Rows)}
	for i := range page.Weeks {
		c.Weeks = append(c.Weeks, chartWord{chartLeft + chartWeek*i + chartBar/2, page.Weeks[i].Week[5:]})
	}
	var says []string
	for i, r := range page.Rows {
		band := bandOf(&r, chartTop+chartBand*(i+1)-8)
		c.Bands = append(c.Bands, band)
		for k, bar := range band.Bars {
			if r.Weeks[k].Planned != "" {
				says = append(says, fmt.Sprintf("%s, %s: %s", r.Name, page.Weeks[k].Week, bar.Label))
			}
		}
	}
	c.Says = strings.Join(says, "; ") + "."
	return c
}

// bandOf draws a department, its foot at a height. What is tallest of it, the
// time that it has or what is planned, fills the band.
func bandOf(r *loadRow, foot int) loadBand {
	band := loadBand{Name: r.Name, Y: foot, NameY: foot - 6}
	most := 1
	for i := range r.Weeks {
		most = max(most, tenths(r.Weeks[i].Capacity), tenths(r.Weeks[i].Planned))
	}
	for i := range r.Weeks {
		w := &r.Weeks[i]
		capacity, planned, accepted := tenths(w.Capacity), tenths(w.Planned), tenths(w.Accepted)
		b := loadBar{X: chartLeft + chartWeek*i, Full: w.Full, Accepted: accepted * chartHeight / most}
		b.Planned = planned*chartHeight/most - b.Accepted
		b.Middle = b.X + chartBar/2
		b.AcceptedY, b.CapacityY = foot-b.Accepted, foot-capacity*chartHeight/most
		b.Planned0 = b.AcceptedY - b.Planned
		b.LabelY = min(b.Planned0, b.CapacityY) - 6
		switch {
		case capacity > 0:
			b.Label = fmt.Sprintf("%d %%", (planned*100+capacity/2)/capacity)
		case planned > 0:
			b.Label = "closed, " + w.Planned
		default:
			b.Label = "closed"
		}
		if w.Full {
			b.Label += " full"
		}
		band.Bars = append(band.Bars, b)
	}
	return band
}
