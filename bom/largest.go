package bom

import (
	"fmt"
	"maps"
	"slices"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// The largest size that works, of a piece that is longer than every bar: for
// each size that drives its length, found by halving the steps on which it may
// be entered, reckoning the piece itself at each try. A size is only named when
// the catalog takes it with everything else as it is.

// largest gives the sizes that would do, one for each attribute by which the
// piece becomes short enough.
func (r *reckoning) largest(p *catalog.Part) []catalog.WayOut {
	var ways []catalog.WayOut
	config := r.line.Config
	for i := range config.Settings {
		s := &config.Settings[i]
		grid, ok := config.Grid(s)
		if !ok || s.Value.Length() <= grid.From {
			continue
		}
		fits := func(size unit.Length) bool { return r.fitsWith(p, config.With(s.Attribute, size)) }
		size, found := halve(grid, s.Value.Length(), fits)
		if !found {
			continue
		}
		text := grid.Text(size)
		if taken, findings := r.cat.Check(config.Product.Code, config.Picks(s.Attribute, text), calendar.Date{}); len(findings) > 0 || !r.fitsWith(p, taken.Env()) {
			continue
		}
		ways = append(ways, catalog.WayOut{Pointer: fmt.Sprintf("/lines/%d/configuration/%s", r.line.Number-1, s.Attribute.Code), Value: text,
			Says: fmt.Sprintf("%s up to %s", s.Attribute.Name, text)})
	}
	return ways
}

// halve finds the largest size of a grid, under one that does not fit, that
// fits, if the smallest does.
func halve(g catalog.Grid, over unit.Length, fits func(unit.Length) bool) (unit.Length, bool) {
	if !fits(g.From) {
		return 0, false
	}
	low, high := unit.Length(0), (min(over, g.To)-g.From+g.Step-1)/g.Step // fits, does not
	for high-low > 1 {
		if middle := (low + high) / 2; fits(g.From + middle*g.Step) {
			low = middle
		} else {
			high = middle
		}
	}
	return g.From + low*g.Step, true
}

// fitsWith tells that a piece could be cut in another environment, with no way
// chosen.
func (r *reckoning) fitsWith(p *catalog.Part, env []formula.Value) bool {
	try := reckoning{cat: r.cat, units: r.units, line: r.line, env: env}
	section, found := r.cat.Sections.Get(p.Steel.Section)
	if !found {
		return false
	}
	_, _, cut, ok := try.cutOf(p, section)
	if !ok {
		return false
	}
	_, way := try.supplyOf(p, section, cut, "")
	return way != noWay
}

func sortedKeys(of map[string]string) []string { return slices.Sorted(maps.Keys(of)) }
