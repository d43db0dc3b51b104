package bom_test

import (
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog/source"
)

const metricTops = `
stone:
  marble: {name: 30 mm marble, thickness: 30 mm, density: 2700 kg/m3, weight_within: 5 %, source: Made for the tests}
glass:
  shaped: {name: 12 mm shaped, thickness: 12 mm, safety: tempered, weight_within: 10 %, large_over: 0.84 m2, billed_by: bounding rectangle}
products:
  metric-tops:
    name: Metric tops
    lead_days: 1
    parts:
      top:
        wood: {species: "'elm-panel'", finish: "'oiled'", shape: boat, length: len('2400 mm'), width: len('1100 mm'), end_width: len('900 mm'), halves: yes, thickness: len('25 mm'), edge: "'eased'",
          edges: {ends: "'square'"}, support: {length: len('1800 mm'), width: len('900 mm'), caution_over: len('200 mm')}, tip: {base: len('900 mm')}}
      leaf: {pieces: 2, leaf: {of: top, width: len('450 mm')}}
      slab: {stone: {stone: "'marble'", shape: ellipse, length: len('1000 mm'), width: len('600 mm'), edge: "'eased'", support: {length: len('800 mm'), width: len('600 mm')}}}
      pane: {glass: {glass: "'shaped'", shape: racetrack, length: len('1200 mm'), width: len('800 mm'), height: len('740 mm'), edge: "'polished'"}}
`

// A metric bill of shaped tops, by hand: the boat rises 100 mm over 2400, R =
// 2400²/800 + 50 = 7250 mm, t = 2·atan(1/12) = 0.1662825, side 2411.096 mm; a
// half has 2411.096 + 900 of edge. The ellipse of 1000 x 600 mm is pi·0.15 =
// 0.4712 m2, 38.17 kg of marble 30 mm thick, 36.26 to 40.08 kg. The racetrack is
// 0.32 + pi·0.16 = 0.8227 m2 in a rectangle of 0.96 m2.
func TestMetricTopsByHand(t *testing.T) {
	cat := metricShop(t, source.File{Path: "tops.yaml", Bytes: []byte(metricTops)})
	bill := explode(t, cat, 1, "metric-tops", "")
	l := &bill.Lines[0]
	if got := bom.Metric.Tape(l.Wood[0].EdgeRun); got != "3311.1 mm" || l.Wood[1].Mating.Millimetres() != "2200" {
		t.Errorf("a half has %s of edge, a leaf %s mating", got, l.Wood[1].Mating)
	}
	slab, pane := &l.Stone[0], &l.Glass[0]
	for _, c := range []struct{ what, got, want string }{
		{"slab", slab.Weight.In(bom.Metric), "38.17 kg"}, {"least", slab.Range.Least.In(bom.Metric), "36.26 kg"}, {"most", slab.Range.Most.In(bom.Metric), "40.08 kg"},
		{"pane", pane.Area.In(bom.Metric), "0.82 m2"}, {"billed", pane.Billed.In(bom.Metric), "0.96 m2"}, {"class", pane.AreaClass, "up to 0.84 m2"},
		{"reason", pane.Reason, "a horizontal pane under 1100 mm"},
	} {
		if c.got != c.want {
			t.Errorf("%s is %s, want %s", c.what, c.got, c.want)
		}
	}
	text := string(document(t, bill))
	for _, imperial := range []string{` in"`, ` in x`, ` lb`, ` ft2"`, " in past", " in "} {
		if at := strings.Index(text, imperial); at >= 0 && !strings.Contains(text[at:min(len(text), at+12)], "in the") {
			t.Errorf("%q in %s", imperial, text[max(0, at-80):at+8])
		}
	}
}
