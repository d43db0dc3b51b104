// Package load reckons roughly what orders take of the departments of the shop,
// week by week: the minutes of the operations on their bills, counted for the
// department that does them in the week of the working day so many before the
// ship date. A week that holds more than a department has is told, and keeps
// nobody from promising it. The package is pure.
//
// Worked: 4 legs at 5 min to tap and 2 rails at 2.5 min to drill are 25.0 min of
// the forge; shipped on Friday 2026-12-18 and 10 working days before it, they
// are counted in the week of 2026-12-04, 2026-W49.
package load

import (
	"fmt"
	"strings"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Row is what an order takes of a department, all of it in one week.
type Row struct {
	Department string
	// Week is the Monday of the ISO week.
	Week calendar.Date
	// Minutes is above zero.
	Minutes bom.Minutes
}

// Of reckons what a bill that ships on a day takes of the catalog's departments,
// in their order. Work that no department does is left out. Errors: the
// calendar's, when a day lies beyond its horizon.
func Of(cat *catalog.Catalog, bill *bom.Bill, ship calendar.Date) ([]Row, error) {
	if cat.Departments.Len() == 0 {
		return nil, nil
	}
	sums := map[*catalog.Department]bom.Minutes{}
	for i := range bill.Lines {
		addLine(cat, &bill.Lines[i], sums)
	}
	var rows []Row
	for _, d := range cat.Departments.All() {
		if sums[d] > 0 {
			rows = append(rows, Row{Department: d.Code, Minutes: sums[d]})
		}
	}
	return rows, Redate(cat, rows, ship)
}

// addLine adds the minutes of a line's operations. What is done to a batch is
// done to its parts, and is counted there.
func addLine(cat *catalog.Catalog, line *bom.LineBill, sums map[*catalog.Department]bom.Minutes) {
	add := func(m bom.Minutes, words ...string) {
		if d, found := cat.Doing(words...); found {
			sums[d] += m
		}
	}
	operations := func(rows []bom.OperationRow, kind string) {
		for i := range rows {
			add(rows[i].Minutes, rows[i].Work, kind)
		}
	}
	for i := range line.Steel {
		operations(line.Steel[i].Work, catalog.WorkSteel)
	}
	for i := range line.Welds {
		add(line.Welds[i].Arc, catalog.WorkWelding)
		operations(line.Welds[i].Work, catalog.WorkWelding)
	}
	for i := range line.Welded { // whose arc minutes are those of its joints
		operations(line.Welded[i].Work, catalog.WorkWelding)
	}
	wood := map[string]bool{}
	for i := range line.Wood {
		wood[line.Wood[i].Path] = true
	}
	for i := range line.Finish {
		row := &line.Finish[i]
		hand, kind := "", catalog.WorkMetalFinish
		if row.Hand {
			hand = catalog.WorkHandFinish
		}
		if path, _, _ := strings.Cut(row.Path, "/finish/"); wood[path] {
			kind = catalog.WorkWoodFinish
		}
		add(row.Minutes, row.Work, row.Station, hand, kind)
	}
}

// Redate counts rows in other weeks, for another ship date. A department that
// the catalog does not have is counted in the week of shipping. Errors as of Of.
func Redate(cat *catalog.Catalog, rows []Row, ship calendar.Date) error {
	for i := range rows {
		before := 0
		if d, found := cat.Departments.Get(rows[i].Department); found {
			before = d.DaysBefore
		}
		day, err := cat.Calendar.NeedBy(ship, before)
		if err != nil {
			return fmt.Errorf("the week of %s: %w", rows[i].Department, err)
		}
		rows[i].Week = day.Week().Monday()
	}
	return nil
}

// Capacity is what a department has in a week: as much less as the plant has
// fewer working days in it, rounded down to a tenth of a minute.
func Capacity(cat *catalog.Catalog, d *catalog.Department, week calendar.Week) bom.Minutes {
	worked, usual := cat.Calendar.WorkedDays(week)
	tenths, err := unit.MulDivRound(int64(d.Minutes)*10, int64(worked), int64(usual), unit.Down)
	if err != nil { // catalog.Read bounds the minutes, and a plant works some day
		panic("load: " + err.Error())
	}
	return bom.Minutes(tenths)
}

// Overfull is a week in which a department has less than it is asked for.
type Overfull struct {
	Department *catalog.Department
	Week       calendar.Week
	// Asked is what all orders take, Capacity what there is.
	Asked, Capacity bom.Minutes
}

// Full gives the weeks that rows of one order make overfull, or find so: planned
// tells what other orders take of a department in the week of a Monday.
func Full(cat *catalog.Catalog, rows []Row, planned func(department string, monday calendar.Date) bom.Minutes) (full []Overfull) {
	for _, r := range rows {
		d, found := cat.Departments.Get(r.Department)
		if !found {
			continue
		}
		o := Overfull{Department: d, Week: r.Week.Week(), Asked: planned(r.Department, r.Week) + r.Minutes}
		if o.Capacity = Capacity(cat, d, o.Week); o.Asked > o.Capacity {
			full = append(full, o)
		}
	}
	return full
}
