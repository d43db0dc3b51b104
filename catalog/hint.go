package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// nearStandard is the standard within which of a standard size one is hinted at.
const nearStandard = "near_standard_size"

// Hints tell of sizes entered so near to a standard one that that may have been
// meant. Nothing is changed: the size is made as entered.
func (c *Catalog) Hints(cfg *Config) (hints []Finding) {
	hair, found := c.MaybeLength(nearStandard)
	if !found {
		return nil
	}
	for i := range cfg.Settings {
		s := &cfg.Settings[i]
		if s.Attribute.Size == nil || s.Defaulted || s.Value.Kind() != formula.Length {
			continue
		}
		if standard, near := s.Attribute.Size.nearStandard(s.Value.Length(), hair); near {
			hints = append(hints, s.hint(cfg, standard))
		}
	}
	return hints
}

// nearStandard is the standard size nearest to a length that is none itself; of
// two as near, the longer one.
func (s *Size) nearStandard(l, hair unit.Length) (nearest unit.Length, near bool) {
	for _, standard := range s.Standard {
		if standard == l {
			return 0, false
		}
		if off := apart(standard, l); off <= hair && (!near || off < apart(nearest, l) || off == apart(nearest, l) && standard > nearest) {
			nearest, near = standard, true
		}
	}
	return nearest, near
}

func (s *Setting) hint(cfg *Config, standard unit.Length) Finding {
	u := unit.InchEntry
	if read, err := unit.ParseEntry(s.Entered); err == nil {
		u = read.Unit
	}
	u = oneUnit(u, s.Value.Length(), standard)
	than := "longer"
	if s.Value.Length() < standard {
		than = "shorter"
	}
	f := s.Attribute.finding("size.near-standard", "%s %s is %s %s than the standard %s. It is made as entered", s.Attribute.Name, lengthText(s.Value.Length(), u), lengthText(apart(s.Value.Length(), standard), u), than, lengthText(standard, u))
	if list := cfg.Product.scope.prices; list != nil && list.Custom != nil && s.Attribute.custom(cfg.env) && slices.Contains(list.Custom.of, s.Attribute) {
		f.Message += fmt.Sprintf(", for which %s is charged", list.Custom.For)
	}
	f.Message += "; order the standard size if that is meant."
	f.Nearest = lengthText(standard, u)
	return f
}
