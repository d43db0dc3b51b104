package bom

import "billwright/catalog"

// Twisted bars.
//
//	bar = finished length / (1 - shortening)
//
// Mass and surface are the bar's (common practice).
//
// Worked: 490 mm after a twist that takes 2 % of the bar are 490 / 0.98 = 500 mm.

func (r *reckoning) twisted(path string, t *catalog.Twisted) (shaped, bool) {
	length, ok := r.length(path, "length", &t.Length)
	if !ok {
		return shaped{}, false
	}
	bar, err := BeforeLoss(length, t.Shortening)
	x := exact{err: err}
	if !r.settled(path, &x) {
		return shaped{}, false
	}
	if r.trace {
		r.note(path, "bar before twisting", "%s / (1 - %s) = %s", length, t.Shortening, bar)
	}
	return shaped{name: "twisted", developed: length, parent: bar, blank: bar, ends: "square, square", form: r.says("%s turns", plain(t.Turns))}, true
}
