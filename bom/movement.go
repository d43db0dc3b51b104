package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Seasonal movement of wood across its grain, between the driest and the dampest
// that it meets: by the standards moisture_low and moisture_high, or by the
// climate that the part is made for.
//
//	from 6 to 14 %  width · coefficient · (damp - dry), the moisture in percent
//	                (USDA Wood Handbook eq. 13-2)
//	beyond          width · (damp - dry) / (30·100 / S - 30 + dry), S the
//	                shrinkage in percent from green to oven-dry (eq. 13-3, which
//	                holds below 30 %); where the catalog gives none, the standards
//	                keep the first form and a climate is refused
//
// Coefficient and shrinkage are those of flat-sawn or of quarter-sawn wood.
//
// Worked: 40 in of flat-sawn white oak from 6 to 12 %: 40·0.00365·6 = 0.876 in;
// from 4 to 16 %, S = 10.5: 40·12 / (285.714 - 30 + 4) = 1.848 in.

// seasons is what a part's moisture goes between.
type seasons struct {
	dry, damp unit.Ratio
	climate   *catalog.Climate
}

func (r *reckoning) seasons(path string, w *catalog.WoodPart) (seasons, bool) {
	if w.Climate == nil {
		return seasons{dry: r.cat.Ratio("moisture_low"), damp: r.cat.Ratio("moisture_high")}, true
	}
	code, ok := r.text(path, "climate", w.Climate)
	if !ok {
		return seasons{}, false
	}
	climate, found := r.cat.Climates.Get(code)
	if !found {
		r.refuse("climate.unknown", path, "there is no climate %q", code)
		return seasons{}, false
	}
	var x exact
	dry, err := climate.Dry.Content()
	x.keep(err)
	damp, err := climate.Damp.Content()
	x.keep(err)
	return seasons{dry, damp, climate}, r.settled(path, &x)
}

// linearFrom and linearTo bound the moisture in which movement goes by the
// percent (USDA Wood Handbook, chapter 13).
var (
	linearFrom = hundredths(6)
	linearTo   = hundredths(14)
)

// hundredths are so many percent as a fraction.
func hundredths(n int64) unit.Ratio {
	r, err := unit.NewRatio(n, 100)
	if err != nil {
		panic("bom: " + err.Error())
	}
	return r
}

// movement is how much a width across the grain of a part moves, and how that
// came about, for the working.
func (r *reckoning) movement(path string, across unit.Length, species *catalog.Species, w *catalog.WoodPart, s seasons, x *exact) (moved unit.Length, how string, ok bool) {
	coefficient, shrinkage := species.Movement, unit.Ratio{}
	if species.Shrinks != nil {
		shrinkage = species.Shrinks.Flat
	}
	if w.Sawing == catalog.Quarter {
		if species.Quarter == nil {
			r.refuse("wood.not-quartered", path, "how quarter-sawn %s moves is not told: have it flat-sawn, or of another species", species.Name)
			return 0, "", false
		}
		coefficient = *species.Quarter
		if species.Shrinks != nil {
			shrinkage = species.Shrinks.Quarter
		}
	}
	beyond := s.dry.Cmp(linearFrom) < 0 || s.damp.Cmp(linearTo) > 0
	var err error
	switch still := coefficient.Sign() == 0; {
	case beyond && shrinkage.Sign() > 0 && !still:
		moved, err = WideMovement(across, shrinkage, s.dry, s.damp)
		how = r.saying("%s across the grain · (%s - %s) / (0.30 / %s - 0.30 + %s)", across, s.damp, s.dry, shrinkage, s.dry)
	case beyond && s.climate != nil && !still:
		r.refuse("wood.no-shrinkage", path, "%s goes from %s to %s of moisture, and how %s moves beyond 6 to 14 %% is not told: choose another climate or species", s.climate.Name, s.dry, s.damp, species.Name)
		return 0, "", false
	default:
		moved, err = Movement(across, coefficient, s.dry, s.damp)
		how = r.saying("%s across the grain · %s a percent · (%s - %s)", across, coefficient, s.damp, s.dry)
	}
	x.keep(err)
	return moved, how, true
}

// saying is a text for the working, empty where none is wanted.
func (r *reckoning) saying(format string, args ...any) string {
	if !r.trace {
		return ""
	}
	return fmt.Sprintf(format, r.written(args)...)
}

// Movement is how much a width across the grain changes between two moisture
// contents given as fractions (0.06 for 6 %), rounded to 1 nm. The coefficient
// is by percent of moisture.
func Movement(across unit.Length, coefficient, low, high unit.Ratio) (unit.Length, error) {
	change, err := high.Sub(low)
	if err != nil {
		return 0, err
	}
	percent, err := change.Mul(unit.RatioOf(100))
	if err != nil {
		return 0, err
	}
	share, err := percent.Mul(coefficient)
	if err != nil {
		return 0, err
	}
	return across.Scale(share, unit.Nearest)
}

// WideMovement is Movement beyond 6 to 14 %, by the shrinkage from green to
// oven-dry as a fraction; both moistures are at most 30 %. The width is that at
// the lower one.
func WideMovement(across unit.Length, shrinkage, low, high unit.Ratio) (unit.Length, error) {
	change, err := high.Sub(low)
	if err != nil {
		return 0, err
	}
	full := hundredths(30) // fibre saturation
	by, err := full.Div(shrinkage)
	if err != nil {
		return 0, err
	}
	// In fractions: (damp - dry) / (0.30/S - 0.30 + dry).
	if by, err = by.Add(low); err != nil {
		return 0, err
	}
	if by, err = by.Sub(full); err != nil {
		return 0, err
	}
	share, err := change.Div(by)
	if err != nil {
		return 0, err
	}
	return across.Scale(share, unit.Nearest)
}
