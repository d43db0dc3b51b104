package catalog

import "billwright/catalog/unit"

// Operation is one thing done to a piece. Its minutes are those of each piece,
// of its length, of its bends and of its heats added up.
type Operation struct {
	Work     string     `yaml:"do,required" doc:"What is done, such as drill or level."`
	Minutes  unit.Ratio `yaml:"minutes" doc:"Work minutes for each piece."`
	PerFoot  unit.Ratio `yaml:"minutes_per_ft" doc:"Further work minutes for each foot of the finished length, or of the weld."`
	PerMetre unit.Ratio `yaml:"minutes_per_m" doc:"Further work minutes for each metre of the finished length, or of the weld, in place of minutes_per_ft."`
	PerBend  unit.Ratio `yaml:"minutes_per_bend" doc:"Further work minutes for each bend of a bent piece or a hoop."`
	PerHeat  unit.Ratio `yaml:"minutes_per_heat" doc:"Further work minutes for each heat of a forged piece."`
	Note     string     `yaml:"note" doc:"What the shop must know."`
}

// goesBy is what the minutes of an operation may go by beside the piece.
type goesBy struct{ length, bends, heats bool }

func (p *SteelPart) goesBy() goesBy {
	return goesBy{length: true, bends: p.Bent != nil || p.Hoop != nil, heats: p.Forging != nil}
}

// operations checks the minutes of operations.
func (s spot) operations(work []Operation, by goesBy) {
	for i := range work {
		s.item(i).operation(&work[i], by)
	}
}

func (s spot) operation(work *Operation, by goesBy) {
	for _, m := range []struct {
		key     string
		minutes unit.Ratio
		may     bool
		lacks   string
	}{
		{"minutes", work.Minutes, true, ""},
		{"minutes_per_ft", work.PerFoot, by.length, "length"}, {"minutes_per_m", work.PerMetre, by.length, "length"},
		{"minutes_per_bend", work.PerBend, by.bends, "bends"}, {"minutes_per_heat", work.PerHeat, by.heats, "heats"},
	} {
		s.in(m.key).time(m.minutes)
		if m.minutes.Sign() > 0 && !m.may {
			s.in(m.key).fault("what is worked on has no "+m.lacks, "write minutes")
		}
	}
	if work.PerFoot.Sign() != 0 && work.PerMetre.Sign() != 0 {
		s.fault("minutes are given by the foot and by the metre", "write one of the two")
	}
}
