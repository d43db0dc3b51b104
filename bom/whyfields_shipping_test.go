package bom_test

func init() {
	covered = append(covered, "handling_units", "lifts")
	told = append(told, "scale_from", "pallet", "lift")
}
