package catalog

import (
	"fmt"

	"billwright/catalog/unit"
)

func (s spot) coating(code string, x *Coating) {
	x.Code = code
	s.in("transfer_efficiency").share(x.Transfer)
	s.film(x)
	switch x.Kind {
	case "powder":
		s.figureOf(x, "specific_gravity", x.Gravity, "volume_solids", x.Solids)
		if x.Gravity != nil && x.Gravity.Sign() <= 0 {
			s.in("specific_gravity").fault(fmt.Sprintf("%s is not more than zero", x.Gravity), "")
		}
	case "liquid":
		s.figureOf(x, "volume_solids", x.Solids, "specific_gravity", x.Gravity)
		if x.Solids != nil {
			s.in("volume_solids").share(*x.Solids)
		}
	}
	if x.Coverage != nil {
		s.coverage(x)
	}
	s.mix(x)
	switch x.Kind {
	case "powder":
		s.buying(x.Buy, Masses)
	case "liquid":
		s.buying(x.Buy, Volumes)
	}
	if x.Kind == "powder" && x.Isocyanate {
		s.in("isocyanate").fault("a powder has no isocyanate to breathe in before it is cured", "leave it out")
	}
	if x.Kind == "liquid" && x.Dust {
		s.in("combustible_dust").fault("a liquid makes no dust", "write dust: sanding on the step that sands it")
	}
}

// film checks the dry film, which only a coverage may take the place of.
func (s spot) film(x *Coating) {
	switch {
	case x.Film != 0:
		s.in("dry_film").above(x.Film)
	case x.Coverage == nil && !s.in("dry_film").unread() && !s.in("coverage").unread():
		s.fault("neither dry_film nor coverage is given", "write the dry film of one coat, or the coverage of the data sheet")
	}
}

// figureOf checks that a coating has the figure its kind is reckoned by, and
// not the other's.
func (s spot) figureOf(x *Coating, needed string, value *unit.Ratio, other string, otherValue *unit.Ratio) {
	if value == nil && x.Coverage == nil && !s.in("coverage").unread() {
		s.fault(fmt.Sprintf("a %s needs %q", x.Kind, needed), "take it from the data sheet")
	}
	if otherValue != nil {
		s.in(other).fault(fmt.Sprintf("a %s has no %q", x.Kind, other), "leave it out")
	}
}

// coverage checks a data sheet's coverage against what its own film and solids
// can give: sheets are known that print more.
func (s spot) coverage(x *Coating) {
	s = s.in("coverage")
	if x.Coverage.Powder() != (x.Kind == "powder") {
		s.fault(fmt.Sprintf("%s is not the coverage of a %s", x.Coverage, x.Kind), "write ft2/gal or m2/L of a liquid, ft2/lb, m2/kg, lb/ft2 or g/m2 of a powder")
		return
	}
	least, given := x.amountByFilm()
	if given && x.Coverage.Amount().Cmp(least) < 0 {
		s.fault(fmt.Sprintf("%s is more than its own film of %s can give, which is %s at best", x.Coverage, x.Film, x.Coverage.sized(least)),
			"leave the coverage out and let it be reckoned from the film, or leave the film out if the sheet's coverage is known to be right")
	}
}

// amountByFilm is what an area takes by film and solids or gravity, where these
// are given: their nanolitres or micrograms by square micrometre. 1 um2 of
// 1 nm is a thousand-millionth of a nanolitre; 1 g/cm3 is 1 microgram by
// nanolitre.
func (c *Coating) amountByFilm() (unit.Ratio, bool) {
	film, err := unit.NewRatio(int64(c.Film), 1_000_000_000)
	if err != nil || c.Film <= 0 {
		return unit.Ratio{}, false
	}
	switch {
	case c.Kind == "powder" && c.Gravity != nil:
		film, err = film.Mul(*c.Gravity)
	case c.Kind == "liquid" && c.Solids != nil && c.Solids.Sign() > 0:
		film, err = film.Div(*c.Solids)
	default:
		return unit.Ratio{}, false
	}
	return film, err == nil
}

// mix checks the components that a liquid is mixed of.
func (s spot) mix(x *Coating) {
	s = s.in("mix")
	if x.Mix.Len() == 0 {
		return
	}
	if x.Kind == "powder" {
		s.fault("a powder is not mixed", "leave it out")
	}
	if x.Mix.Len() == 1 {
		s.fault("one component is no mix", "write each with its parts, such as {base: 4, hardener: 1}")
	}
	entries(s, x.Mix, func(s spot, name string, parts unit.Ratio) {
		s.code("component", name)
		if parts.Sign() <= 0 || parts.Cmp(unit.RatioOf(1000)) > 0 {
			s.fault(fmt.Sprintf("%s parts", parts), "write more than 0 and up to 1000")
		}
	})
}
