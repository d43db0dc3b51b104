package demonstration

// The products that show boxing and shipping.
func init() {
	broken = append(broken, []struct{ product, rule, with string }{
		{"quarle-wall-shelf", "long-shelf-goes-alone", "shelves=3; length=30 1/8 in"},
		{"wenlow-coat-rail", "hooks-have-room", "length=53 7/8 in; hooks=9"},
		{"brackwater-work-table", "long-is-deep", "length=72 1/8 in; width=29 7/8 in"},
	}...)
	kept = append(kept, []struct{ product, with string }{
		{"quarle-wall-shelf", "shelves=3; length=30 in"},
		{"wenlow-coat-rail", "length=54 in; hooks=9"},
		{"brackwater-work-table", "length=72 in; width=24 in"},
	}...)
	byHand = append(byHand, []struct{ product, with, gives string }{
		{"quarle-wall-shelf", "shelves=2", `
			shelf pieces = 2
			shelf length = 24 in
			shelf width = 8 in
			base pieces = 2
			base/rail straight = 20 in
			shelf-screw pieces = 8`},
		{"wenlow-coat-rail", "", `
			base/rail straight = 72 in
			base/hook run 2 = 1 1/2 in
			wall-screw pieces = 6`},
		{"brackwater-work-table", "", `
			top thickness = 1 3/4 in
			base/leg straight = 32 in
			base/long-rail long point = 56 in
			base/end-rail long point = 26 in
			base/stretcher straight = 52 in
			base/tab pieces = 10`},
	}...)
}
