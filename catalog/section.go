package catalog

import (
	"fmt"
	"math"

	"billwright/catalog/unit"
)

// The geometry of steel sections, with D a size or side, W and H the sides, t
// the thickness or wall:
//
//	square       A = D²              P = 4 D
//	round        A = π D²/4          P = π D
//	hexagon      A = √3 D²/2         P = 2 √3 D, D across the flats
//	flat         A = W t             P = 2 (W + t)
//	angle        A = t (W + H - t)   P = 2 (W + H), legs and root square
//	round tube   A = π (D - t) t     P = π D
//	square tube  A = 4 t (D - t)     P = 4 D
//	rect tube    A = 2 t (W + H - 2t)  P = 2 (W + H)
//
// and for tubes with rounded corners, outside radius R = 2t, inside r = t:
//
//	A less (4 - π)(R² - r²) = 3 (4 - π) t²,  P less (8 - 2π) R
//
// P is the outside, the part that is coated. Source of the forms and of the
// corner model: the handbook checks S-60 to S-96 in testdata/handbook, where a
// 2 x 2 x 1/4 in tube with rounded corners comes to 5.41 lb/ft at 490 lb/ft3.

// CrossSection is the area of steel that a cut across the section lays bare,
// to 1 um2. Errors: unit.ErrOverflow.
func (s *Section) CrossSection() (unit.Area, error) {
	switch s.Shape {
	case "square":
		return s.Size.Times(*s.Size)
	case "flat":
		return s.Width.Times(*s.Thickness)
	case "angle":
		return s.Thickness.Times(*s.Width + *s.Height - *s.Thickness)
	case "round":
		d := float64(*s.Size)
		return areaFromNanometres(float64(math.Pi/4) * float64(d*d))
	case "hexagon":
		d := float64(*s.Size)
		return areaFromNanometres(float64(math.Sqrt(3)/2) * float64(d*d))
	case "round-tube":
		mean := float64(*s.Size - *s.Wall)
		return areaFromNanometres(math.Pi * float64(mean*float64(*s.Wall)))
	case "square-tube", "rect-tube":
		return s.tubeArea()
	}
	return 0, s.noShape()
}

// tubeArea is exact for square corners; rounded ones call for pi.
func (s *Section) tubeArea() (unit.Area, error) {
	w, h := s.sides()
	round := w + h - 2**s.Wall
	if s.Corners != "rounded" {
		return (2 * *s.Wall).Times(round)
	}
	t := float64(*s.Wall)
	whole := float64(2 * float64(t*float64(round)))
	corners := float64(3 * (4 - math.Pi) * float64(t*t))
	return areaFromNanometres(whole - corners)
}

// areaFromNanometres rounds square nanometres once, to 1 um2.
func areaFromNanometres(nm2 float64) (unit.Area, error) { return unit.AreaFromFloat(nm2 / 1e6) }

// Perimeter is the outside of the section, by which the coated area goes, to
// 1 nm: the mill's own where it is given. Errors: unit.ErrOverflow.
func (s *Section) Perimeter() (unit.Length, error) {
	if s.MillPerimeter != nil {
		return *s.MillPerimeter, nil
	}
	return s.geometricPerimeter()
}

func (s *Section) geometricPerimeter() (unit.Length, error) {
	switch s.Shape {
	case "round", "round-tube":
		return unit.LengthFromFloat(math.Pi * float64(*s.Size))
	case "square":
		return s.Size.Mul(4)
	case "hexagon":
		return unit.LengthFromFloat(float64(2*math.Sqrt(3)) * float64(*s.Size))
	case "flat":
		return 2 * (*s.Width + *s.Thickness), nil
	case "angle":
		return 2 * (*s.Width + *s.Height), nil
	case "square-tube", "rect-tube":
		w, h := s.sides()
		if s.Corners != "rounded" {
			return 2 * (w + h), nil
		}
		saved := float64((8 - 2*math.Pi) * float64(2**s.Wall))
		return unit.LengthFromFloat(float64(2*(w+h)) - saved)
	}
	return 0, s.noShape()
}

// Mass is the mass of a length of the section: by the mill's own weight where
// it is given, otherwise by the geometry and the standard steel_density.
// Errors: unit.ErrOverflow.
func (s *Section) Mass(l unit.Length) (unit.Mass, error) {
	if s.MillWeight != nil {
		return s.MillWeight.Mass(l)
	}
	return s.geometricMass(l)
}

func (s *Section) geometricMass(l unit.Length) (unit.Mass, error) {
	area, err := s.CrossSection()
	if err != nil {
		return 0, err
	}
	volume, err := area.Times(l)
	if err != nil {
		return 0, err
	}
	return s.steel.Mass(volume)
}

// LongestBar is the longest length that the section is bought in.
func (s *Section) LongestBar() unit.Length {
	var longest unit.Length
	for _, bar := range s.Stock {
		longest = max(longest, bar.Length)
	}
	return longest
}

// sides are the outside width and height of a square or rectangular tube.
func (s *Section) sides() (w, h unit.Length) {
	if s.Shape == "square-tube" {
		return *s.Size, *s.Size
	}
	return *s.Width, *s.Height
}

func (s *Section) noShape() error {
	return fmt.Errorf("section %s has the shape %q, of which nothing is known", s.Code, s.Shape)
}
