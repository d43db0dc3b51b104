package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/unit"
)

// shapeSizes are the measures that each shape of section is described by.
var shapeSizes = map[string][]string{
	"round":       {"size"},
	"square":      {"size"},
	"hexagon":     {"size"},
	"flat":        {"width", "thickness"},
	"angle":       {"width", "height", "thickness"},
	"round-tube":  {"size", "wall"},
	"square-tube": {"size", "wall"},
	"rect-tube":   {"width", "height", "wall"},
}

func (s spot) section(code string, section *Section) {
	section.Code = code
	sizes, known := shapeSizes[section.Shape]
	if known && s.measures(section, sizes) {
		s.proportions(section)
		s.millWeight(section)
		s.millPerimeter(section)
	}
	s.stock(section.Stock)
	s.buying(section.Buy, Pieces)
	s.withdrawal("sections", code, section.LastOrder, section.Successor)
}

// measures checks that exactly those measures are given that the shape has.
func (s spot) measures(section *Section, sizes []string) bool {
	before := len(s.r.faults)
	for _, m := range []struct {
		name  string
		value *unit.Length
	}{{"size", section.Size}, {"width", section.Width}, {"height", section.Height}, {"thickness", section.Thickness}, {"wall", section.Wall}} {
		switch called := slices.Contains(sizes, m.name); {
		case called && m.value == nil:
			s.fault(fmt.Sprintf("a %s needs %q", section.Shape, m.name), "it is described by "+listed(sizes))
		case !called && m.value != nil:
			s.in(m.name).fault(fmt.Sprintf("a %s has no %q", section.Shape, m.name), "it is described by "+listed(sizes))
		case called:
			s.in(m.name).above(*m.value)
		}
	}
	cornered := section.Shape == "square-tube" || section.Shape == "rect-tube"
	if cornered && section.Corners == "" {
		s.fault(fmt.Sprintf("a %s needs %q", section.Shape, "corners"), "write square or rounded")
	}
	if !cornered && section.Corners != "" {
		s.in("corners").fault(fmt.Sprintf("a %s has no %q", section.Shape, "corners"), "leave it out")
	}
	return len(s.r.faults) == before
}

// proportions checks that the measures make a section at all.
func (s spot) proportions(section *Section) {
	switch section.Shape {
	case "flat":
		s.notMore("thickness", *section.Thickness, "width", *section.Width)
	case "angle":
		s.notMore("height", *section.Height, "width", *section.Width)
		s.less("thickness", *section.Thickness, "height", *section.Height)
	case "round-tube":
		s.less("twice the wall", 2**section.Wall, "size", *section.Size)
	case "square-tube", "rect-tube":
		width, height := section.sides()
		s.notMore("height", height, "width", width)
		if section.Corners == "rounded" {
			s.notMore("four times the wall, which the two rounded corners take,", 4**section.Wall, "narrower side", height)
			return
		}
		s.less("twice the wall", 2**section.Wall, "narrower side", height)
	}
}

func (s spot) notMore(name string, small unit.Length, than string, large unit.Length) {
	if small > large {
		s.fault(fmt.Sprintf("%s is %s, more than the %s of %s", name, small, than, large), "")
	}
}

func (s spot) less(name string, small unit.Length, than string, large unit.Length) {
	if small >= large {
		s.fault(fmt.Sprintf("%s is %s, not less than the %s of %s", name, small, than, large), "")
	}
}

// millWeight checks a mill's weight against the geometry. Mills' tables differ
// from it by up to about 10 %; a figure further off is a misprint or another
// wall (testdata/handbook, S-74, has a table that prints 0.5584 for 10.5584).
func (s spot) millWeight(section *Section) {
	if section.MillWeight == nil {
		return
	}
	s = s.in("mill_weight")
	if section.Source == "" {
		s.fault("a mill weight without its source", "write the table it was read from under source")
	}
	mill, err := section.MillWeight.Mass(unit.Foot)
	geometry, gerr := section.geometricMass(unit.Foot)
	if err != nil || gerr != nil {
		s.fault("the weight is too large to be reckoned with", "")
		return
	}
	apart := max(mill-geometry, geometry-mill)
	if geometry > 0 && apart > geometry/100*millTolerance {
		s.fault(fmt.Sprintf("%s lb/ft is more than %d %% off the %s lb/ft of the section's geometry", mill.Pounds(4), millTolerance, geometry.Pounds(4)),
			"look for a misprint, or another wall")
	}
}

// millTolerance is how far a mill's figure may be off the geometry, in percent.
const millTolerance = 15

// millPerimeter checks a mill's perimeter as millWeight does its weight: a table
// by the inch, or one that counts the inside of a tube, is far off.
func (s spot) millPerimeter(section *Section) {
	mill := section.MillPerimeter
	if mill == nil {
		return
	}
	s = s.in("mill_perimeter")
	if section.Source == "" {
		s.fault("a mill perimeter without its source", "write the table it was read from under source")
	}
	geometry, err := section.geometricPerimeter()
	if err != nil {
		s.fault("the section is too large to be reckoned with", "")
		return
	}
	if apart := max(*mill-geometry, geometry-*mill); apart > geometry/100*millTolerance {
		s.fault(fmt.Sprintf("%s is more than %d %% off the %s of the section's geometry", mill, millTolerance, geometry), "look for a misprint, or for another unit of the table")
	}
}

func (s spot) stock(bars []StockBar) {
	s = s.in("stock")
	if len(bars) == 0 {
		s.fault("no length is listed that it is bought in", "write at least one bar")
	}
	for i, bar := range bars {
		s := s.item(i)
		s.in("length").above(bar.Length)
		s.in("price").price(bar.Price)
		s.in("lead_days").days(bar.LeadDays)
		if bar.Taken != "" && bar.LeadDays == 0 {
			s.in("taken").fault("a bar on the rack is always taken", "leave it out, or write lead_days")
		}
		if slices.ContainsFunc(bars[:i], func(b StockBar) bool { return b.Length == bar.Length }) {
			s.fault(fmt.Sprintf("%s is listed twice", bar.Length), "leave one out")
		}
	}
}

// price faults a price below zero.
func (s spot) price(m unit.Money) {
	if m < 0 {
		s.fault(fmt.Sprintf("the price %s is less than zero", m), "")
	}
}
