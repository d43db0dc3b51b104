package catalogdb

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

func (s *storing) standards(cat *catalog.Catalog) error {
	var names, values, sources []string
	for name, standard := range cat.Standards.All() {
		value, err := standardText(standard)
		if err != nil {
			return fmt.Errorf("standard %s: %w", name, err)
		}
		names, values, sources = append(names, name.Value), append(values, value), append(sources, standard.Source)
	}
	s.queue(`
insert into catalog_standard (workshop_id, revision, standard, value, source)
select $1, $2, c.standard, c.value, c.source
from unnest($3::text[], $4::text[], $5::text[]) as c (standard, value, source)`, names, values, sources)
	return nil
}

// standardText is a standard's value as people read it.
func standardText(s *catalog.Standard) (string, error) {
	switch {
	case s.Length != nil:
		return s.Length.String(), nil
	case s.Ratio != nil:
		if text, finite := s.Ratio.Decimal(); finite {
			return text, nil
		}
		return s.Ratio.String(), nil
	case s.Density != nil:
		return densityText(*s.Density)
	case s.Rounding != nil:
		return s.Rounding.Mode + " to " + s.Rounding.To.String(), nil
	case s.Mass != nil:
		return massText(*s.Mass), nil
	}
	return s.Choice, nil
}

// massText writes a weight in whole pounds or kilograms where it is one, else
// in grams.
func massText(m unit.Mass) string {
	switch {
	case m%unit.Pound == 0:
		return m.Pounds(0) + " lb"
	case m%unit.Kilogram == 0:
		return m.Kilograms(0) + " kg"
	}
	return m.String()
}

// densityText writes a density in the unit in which it comes out finite, pounds
// by cubic foot before kilograms by cubic metre.
func densityText(d catalog.Density) (string, error) {
	perCubicFoot, err := unit.NewRatio(int64(unit.CubicFoot), int64(unit.Pound))
	if err != nil {
		return "", err
	}
	pounds, err := d.Ratio().Mul(perCubicFoot)
	if err != nil {
		return "", err
	}
	if text, finite := pounds.Decimal(); finite {
		return text + " lb/ft3", nil
	}
	kilograms, err := d.Ratio().Mul(unit.RatioOf(1000))
	if err != nil {
		return "", err
	}
	if text, finite := kilograms.Decimal(); finite {
		return text + " kg/m3", nil
	}
	return pounds.String() + " lb/ft3", nil
}
