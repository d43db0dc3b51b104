package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// standards checks every standard and that none is missing.
func (r *reading) standards() {
	s := r.spot("standards").at(first(r.cat.Standards))
	entries(s, r.cat.Standards, func(s spot, name string, standard *Standard) {
		if s.name(name) && s.oneValue(standard) {
			s.fits(name, standard)
		}
	})
	r.missingStandards(s)
	r.moistures(s)
	if steel, found := r.cat.Standards.Get("steel_density"); found && steel.Density != nil {
		for _, section := range r.cat.Sections.All() {
			section.steel = *steel.Density
		}
	}
	r.own = s.readable()
}

func (s spot) oneValue(standard *Standard) bool {
	given := []string{}
	for kind, is := range map[StandardKind]bool{
		StandardLength: standard.Length != nil, StandardRatio: standard.Ratio != nil,
		StandardDensity: standard.Density != nil, StandardChoice: standard.Choice != "", StandardRounding: standard.Rounding != nil,
		StandardMass: standard.Mass != nil,
	} {
		if is {
			given = append(given, kind.String())
		}
	}
	if len(given) == 1 {
		return true
	}
	slices.Sort(given)
	s.exactly(given, standardKindNames[:])
	return false
}

// exactly faults that not exactly one of some keys is given.
func (s spot) exactly(given, of []string) {
	message := "none of " + listed(of) + " is given"
	if len(given) > 1 {
		message = strings.Join(given, " and ") + " are given together"
	}
	s.fault(message, "write exactly one of "+listed(of))
}

// fits checks a standard's value against what its name calls for.
func (s spot) fits(name string, standard *Standard) {
	if standard.Rounding != nil {
		s.in("rounding").in("to").above(standard.Rounding.To)
	}
	called, is := called(name)
	switch {
	case !is:
		return
	case standard.Mass != nil && alsoAs[name] == StandardMass:
		s.in("mass").weight(*standard.Mass)
	case called.Kind != standard.kind():
		s.fault(fmt.Sprintf("the standard %s is a %s, not a %s", name, called.Kind, standard.kind()), called.Doc)
	case called.Kind == StandardChoice:
		s.in("choice").known("choice", standard.Choice, called.Choices)
	case called.Kind == StandardLength && strings.HasSuffix(name, "_fraction"):
		s.in("length").above(*standard.Length)
	case called.Kind == StandardLength:
		s.in("length").notBelow(*standard.Length)
	case name == "lengths_on_a_bar" && (standard.Ratio.Den() != 1 || standard.Ratio.Num() < 1 || standard.Ratio.Num() > 1000):
		s.in("ratio").fault(fmt.Sprintf("%s is no whole number from 1 to 1000", standard.Ratio), called.Doc)
	case called.Kind == StandardRatio && standard.Ratio.Sign() < 0:
		s.in("ratio").fault(fmt.Sprintf("%s is less than zero", standard.Ratio), called.Doc)
	}
}

// missingStandards lists all that the arithmetic reads and the catalog lacks.
func (r *reading) missingStandards(s spot) {
	var missing []string
	hint := "write each with its value and its source"
	for _, called := range StandardNames {
		if _, given := r.cat.Standards.Get(called.Name); given {
			continue
		}
		missing = append(missing, fmt.Sprintf("%s (a %s)", called.Name, called.Kind))
		r.lacking = append(r.lacking, standardPrefix+called.Name)
		if near, found := source.Nearest(called.Name, r.cat.Standards.Keys()); found && !isStandardName(near) {
			hint += fmt.Sprintf("; is %q meant for %s?", near, called.Name)
		}
	}
	if len(missing) > 0 {
		s.fault("standards are missing: "+strings.Join(missing, ", "), hint)
	}
}

func isStandardName(name string) bool {
	_, is := called(name)
	return is
}

func (r *reading) moistures(s spot) {
	low, _ := r.cat.Standards.Get("moisture_low")
	high, _ := r.cat.Standards.Get("moisture_high")
	if low == nil || high == nil || low.Ratio == nil || high.Ratio == nil || low.Ratio.Cmp(*high.Ratio) <= 0 || s.in("moisture_high").unread() {
		return
	}
	s.in("moisture_low").at(low.Pos).fault(fmt.Sprintf("moisture_low is %s, above moisture_high with %s", low.Ratio, high.Ratio), "swap them")
}

// standardPrefix stands before the name of a standard in formulas.
const standardPrefix = "standard."

// ownStandard is a standard that formulas may read.
type ownStandard struct {
	name  string // with "standard." before it
	value formula.Value
}

// readable are the standards that formulas read: lengths and plain numbers.
func (s spot) readable() (list []*ownStandard) {
	scope := formula.NewScope()
	entries(s, s.r.cat.Standards, func(s spot, name string, standard *Standard) {
		own := &ownStandard{name: standardPrefix + name}
		switch {
		case !formulaName.MatchString(name):
			s.r.lacking = append(s.r.lacking, own.name)
			return
		case standard.Length != nil:
			own.value = formula.LengthOf(*standard.Length)
		case standard.Ratio != nil:
			own.value = formula.NumberOf(*standard.Ratio)
		default:
			s.r.lacking = append(s.r.lacking, own.name)
			return
		}
		if _, err := scope.Declare(own.name, own.value.Kind()); err != nil {
			s.fault(err.Error(), "")
			return
		}
		list = append(list, own)
	})
	return list
}
