package bom

import "slices"

// inPlace keeps that an item was put in the place of another, and gives the other.
func (r *reckoning) inPlace(of string) string {
	if of != "" && !slices.Contains(r.bill.substituted, of) {
		r.bill.substituted = append(r.bill.substituted, of)
	}
	return of
}

// Substituted are the items of the bill whose place others took.
func (b *Bill) Substituted() (items []string) {
	for i := range b.Lines {
		for _, item := range b.Lines[i].substituted {
			if !slices.Contains(items, item) {
				items = append(items, item)
			}
		}
	}
	return items
}
