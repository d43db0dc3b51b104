package bom_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"billwright/bom"
	"billwright/catalog/unit"
)

const mitres = `
products:
  mitres:
    name: Mitres
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 90 in, step_inch: 1/64 in, step_metric: 0.1 mm}, default: 30 in}
    parts:
      frame: {steel: {section: flat-bar-2, mitred: {long_point: length, across: 2 in, first: 45, second: 45}}}
      half: {steel: {section: square-tube-2, mitred: {long_point: length, across: 2 in, first: 22.5, second: 0}}}
      heel-out: {steel: {section: angle-1-1-2, mitred: {long_point: length, across: 1 1/2 in, first: 45, second: 45}}}
      heel-in: {steel: {section: angle-1-1-2, mitred: {long_point: length, across: 1 1/2 in, first: 45, second: 45, heel: inside}}}
`

// strip is a strip of a section that runs along the piece: how far it lies from
// the side of the long points, and how thick it is.
type strip struct{ from, to, thick float64 }

// sliced is the volume in in3 of a piece mitred at 45 degrees at both ends, added
// up over thin slices, each as long as it is at its depth.
func sliced(length float64, strips ...strip) (volume float64) {
	const n = 4000
	for _, s := range strips {
		d := (s.to - s.from) / n
		for i := range n {
			depth := s.from + (float64(i)+0.5)*d
			volume += d * s.thick * (length - 2*depth)
		}
	}
	return volume
}

// A mitred piece weighs what is left of it. Sliced apart from the program's form;
// by hand, 30 in of 2 in flat have 28 in in the middle: 28 x 2 x 1/4 = 14 in3, 3.970 lb.
// One end at 22.5 degrees across 2 in is 0.828427 in short: 29.585786 in in the
// middle of a tube of 0.254432 lb by the inch.
func TestAMitredPieceWeighsWhatIsLeft(t *testing.T) {
	rows := rowsOf(t, mitres, "mitres", "")
	leg := []strip{{0, 1.5, 0.125}, {0, 0.125, 1.375}} // an angle from its heel
	in := []strip{{0, 1.5, 0.125}, {1.375, 1.5, 1.375}}
	for path, volume := range map[string]float64{
		"frame": sliced(30, strip{0, 2, 0.25}), "heel-out": sliced(30, leg...), "heel-in": sliced(30, in...),
	} {
		if got := float64(rows[path].Weight) / float64(unit.Pound); math.Abs(got-volume*490/1728) > 1e-5 {
			t.Errorf("%s weighs %v lb, its slices %v lb", path, got, volume*490/1728)
		}
	}
	if got := float64(rows["frame"].Weight) / float64(unit.Pound); math.Abs(got-14*490/1728.0) > 1e-6 {
		t.Errorf("the flat weighs %v lb", got)
	}
	half := rows["half"]
	if got := float64(half.Weight) / float64(unit.Pound); math.Abs(got-29.585786*0.254431978) > 1e-5 || half.Ends != "22.5° off square, square" {
		t.Errorf("a tube cut at half degrees weighs %v lb, ends %q", got, half.Ends)
	}
	// Outline: the flat's is 4 1/2 in, 28 in long in the middle, and both cut faces are
	// 1/2 in2 x root 2.
	if got := float64(rows["frame"].Coated) / float64(unit.SquareInch); math.Abs(got-(126+math.Sqrt2)) > 1e-5 {
		t.Errorf("the flat is coated over %v in2", got)
	}
	out, inside := float64(rows["heel-out"].Coated), float64(rows["heel-in"].Coated)
	if out <= inside || rows["heel-out"].Weight <= rows["heel-in"].Weight {
		t.Errorf("an angle with its heel outside has %v um2, inside %v: its long side is its outside", out, inside)
	}
	// The two together are as a symmetric section: both outlines average halfway.
	if mean := (out + inside) / 2 / float64(unit.SquareInch); math.Abs(mean-(6*28.5+2*23.0/64*math.Sqrt2)) > 1e-4 {
		t.Errorf("heel out and heel in average %v in2", mean)
	}
}

// Two pieces that a saw cut at an angle parts weigh what the bar did before the
// cut but for nothing: the corner cut off one is the corner that the other has.
func TestMitresShareTheirCorner(t *testing.T) {
	cat := readWith(t, mitres)
	rapid.Check(t, func(t *rapid.T) {
		row := explodeRapid(t, cat, "mitres", fmt.Sprintf("length=%d/32 in", rapid.Int64Range(5*32, 90*32).Draw(t, "length")))["frame"]
		section, _ := cat.Sections.Get("flat-bar-2")
		long, err := section.Mass(row.Finished)
		short, serr := section.Mass(*row.ShortPoint)
		if err != nil || serr != nil {
			t.Fatal(err, serr)
		}
		if off := float64(long) + float64(short) - 2*float64(row.Weight); math.Abs(off) > 4 {
			t.Fatalf("%s over the long points weighs %d, %s over the short ones %d, the piece %d", row.Finished, long, row.ShortPoint, short, row.Weight)
		}
	})
}

func TestAMitreThatLeavesNothingSaysHowMuchIsNeeded(t *testing.T) {
	f := finding(t, readWith(t, handbookProducts), "smithing", "length=3 in")
	if f.Code != "length.not-positive" || f.Message != "line 1 › mitred: mitres of 45 and 45 degrees across 1 1/2 in leave nothing of 3 in over the long points; more than 3 in is needed." {
		t.Errorf("%+v", f)
	}
	explode(t, readWith(t, handbookProducts), 1, "smithing", "length=3 1/64 in")
	if bom.Arithmetic < 2 {
		t.Error("mitred pieces weighed their corners too in arithmetic 1")
	}
}
