package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// Freight is a density scale: the class of a handling unit by its weight over
// its volume.
type Freight struct {
	From    *calendar.Date `yaml:"from" doc:"First day on which the scale holds."`
	Source  string         `yaml:"source" doc:"Where the scale is published."`
	Classes []FreightClass `yaml:"classes" doc:"Steps from the lightest."`
	Scales  []FreightScale `yaml:"scales" doc:"Further scales, earlier or later ones: the day that an order counts for picks the one that holds on it. An order before the first goes by the first."`
	Pos     source.Pos     `yaml:"-"`

	scales []FreightScale // all, from the first
}

// FreightScale is one density scale more.
type FreightScale struct {
	From    calendar.Date  `yaml:"from,required" doc:"First day on which the scale holds."`
	Source  string         `yaml:"source,required" doc:"Where the scale is published."`
	Classes []FreightClass `yaml:"classes,required" doc:"Steps from the lightest."`
}

// FreightClass is one step of the scale: it holds below a density.
type FreightClass struct {
	Below *Density `yaml:"below" doc:"Density under which this class holds; the last step has none."`
	Class string   `yaml:"class,required" doc:"Name of the class."`
}

// On is the scale that holds on a day, the latest that has begun; before the
// first of them, the first. A catalog without a scale has none of classes.
func (f *Freight) On(day calendar.Date) FreightScale {
	var taken FreightScale
	for i, scale := range f.scales {
		if i == 0 || !day.Before(scale.From) {
			taken = scale
		}
	}
	return taken
}

// freight checks that each scale rises and ends open, and that no two begin on
// one day.
func (r *reading) freight() {
	f := &r.cat.Freight
	s := r.spot("freight").at(f.Pos)
	if len(f.Classes) == 0 {
		if len(f.Scales) > 0 {
			s.in("scales").fault("further scales stand beside none", "write one of them as the freight scale itself")
		}
		return
	}
	if f.Source == "" {
		s.in("source").fault("a density scale without its source", "write where it is published")
	}
	if f.From == nil {
		s.in("from").fault("a density scale without the day from which it holds", "write its first day, such as 2025-07-19")
		return
	}
	s.in("classes").classes(f.Classes)
	f.scales = []FreightScale{{From: *f.From, Source: f.Source, Classes: f.Classes}}
	for i, scale := range f.Scales {
		s := s.in("scales").item(i)
		s.in("classes").classes(scale.Classes)
		if len(scale.Classes) == 0 {
			s.in("classes").fault("the scale has no classes", "write its steps")
		}
		if slices.ContainsFunc(f.scales, func(other FreightScale) bool { return other.From == scale.From }) {
			s.in("from").fault(fmt.Sprintf("two scales begin on %s", scale.From), "give each its own first day")
		}
		f.scales = append(f.scales, scale)
	}
	slices.SortStableFunc(f.scales, func(a, b FreightScale) int { return a.From.Compare(b.From) })
}

// classes checks that a scale rises and ends open.
func (s spot) classes(classes []FreightClass) {
	last := len(classes) - 1
	for i, class := range classes {
		s := s.item(i)
		switch {
		case i == last && class.Below != nil:
			s.in("below").fault("the last step has a limit, so that nothing holds what is denser", "leave it out")
		case i < last && class.Below == nil:
			s.fault(fmt.Sprintf("class %s has no limit, so that the steps after it are never reached", class.Class), "write the density below which it holds")
		case i > 0 && i < last && classes[i-1].Below != nil && class.Below.Ratio().Cmp(classes[i-1].Below.Ratio()) <= 0:
			s.in("below").fault(fmt.Sprintf("the limit of class %s is not above that of class %s before it", class.Class, classes[i-1].Class), "write the steps from the lightest")
		}
	}
}
