package catalog

import (
	"fmt"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// wettest is the moisture at which wood's fibres are full: beyond it wood does
// not move (USDA Wood Handbook, chapter 13).
var wettest, _ = unit.NewRatio(30, 100)

func (s spot) climate(code string, x *Climate) {
	x.Code = code
	dry, okDry := s.in("dry").air(&x.Dry)
	damp, okDamp := s.in("damp").air(&x.Damp)
	if okDry && okDamp && dry.Cmp(damp) > 0 {
		s.in("dry").fault(fmt.Sprintf("wood has %s of moisture in the dry air and %s in the damp", dry, damp), "swap them")
	}
}

// air checks one end of a climate and gives what wood has of moisture in it.
func (s spot) air(a *Air) (unit.Ratio, bool) {
	if s.unread() {
		return unit.Ratio{}, false
	}
	degrees, within := a.Celsius, unit.RatioOf(70)
	if a.Fahrenheit != nil {
		degrees, within = a.Fahrenheit, unit.RatioOf(158)
	}
	switch {
	case a.Moisture != nil && (a.Humidity != nil || degrees != nil):
		s.fault("moisture is given together with humidity or temperature", "write the one or the other")
	case a.Moisture == nil && (a.Humidity == nil || degrees == nil):
		s.fault("neither moisture nor humidity with a temperature is given", "write moisture: 9 %, or humidity: 65 % and fahrenheit: 70")
	case a.Celsius != nil && a.Fahrenheit != nil:
		s.fault("the temperature is given twice", "write celsius or fahrenheit")
	case a.Humidity != nil && (a.Humidity.Sign() < 0 || a.Humidity.Cmp(unit.RatioOf(1)) >= 0):
		s.in("humidity").fault(fmt.Sprintf("%s is no humidity of air", a.Humidity), "write 0 or more and less than 1, such as 65 %")
	case degrees != nil && (degrees.Sign() < 0 || degrees.Cmp(within) > 0):
		s.fault(fmt.Sprintf("%s degrees is no room that furniture stands in", degrees), "write 0 to 70 °C, or 32 to 158 °F")
	default:
		content, err := a.Content()
		if err != nil || content.Sign() <= 0 || content.Cmp(wettest) > 0 {
			s.fault(fmt.Sprintf("wood has %s of moisture in it", content), "movement is reckoned for more than 0 and up to 30 %")
			return content, false
		}
		return content, true
	}
	return unit.Ratio{}, false
}

// beyondLinear warns of species that move by the percent where that holds no
// longer, from 6 to 14 % of moisture (USDA Wood Handbook, chapter 13).
func (r *reading) beyondLinear() {
	low, high := r.cat.Ratio("moisture_low"), r.cat.Ratio("moisture_high")
	from, _ := unit.NewRatio(6, 100)
	to, _ := unit.NewRatio(14, 100)
	if low.Cmp(from) >= 0 && high.Cmp(to) <= 0 {
		return
	}
	entries(r.spot("species"), r.cat.Species, func(s spot, code string, x *Species) {
		if x.Shrinks == nil && x.Movement.Sign() > 0 {
			s.at(x.Pos).warn(fmt.Sprintf("it moves by the percent from %s to %s of moisture, which holds from 6 to 14 %% alone", low, high), "write its shrinkage")
		}
	})
}

// sawn checks the climate and the sawing of a wood part; codes are the species
// that it may be of, nil if that cannot be said.
func (r *productReading) sawn(s spot, b branch, part *Part, codes []string) {
	w := part.Wood
	if w.Climate != nil && r.known.compile(s.in("climate"), w.Climate, formula.Text) {
		r.made(s.in("climate"), b, part, w.Climate, "climates")
	}
	if w.Sawing != Quarter {
		return
	}
	for _, code := range codes {
		if species, found := r.r.cat.Species.Get(code); found && species.Quarter == nil {
			s.in("sawing").fault(fmt.Sprintf("how quarter-sawn %s moves is not told", code), "write movement_quarter at the species")
			return
		}
	}
}
