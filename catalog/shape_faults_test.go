package catalog_test

import (
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// straightLeg is a piece of the small catalog, which the shapes below take the
// place of.
const straightLeg = `section: bar-1, straight: 29 * len('1 in') - top_thickness`

// brokenShapes are shapes of steel in place of a straight leg, each with every
// fault that Read must then find: its column and what follows the leg's place.
var brokenShapes = []struct {
	steel  string
	faults []string
}{
	{`section: bar-1, hoop: {length: width, width: width}`, []string{
		`92 › hoop: the key "radius" is missing; Centre-line radius of the four corners, a length formula.`,
	}},
	{`section: angle-2, hoop: {length: width, width: width, radius: len('0 in')}`, []string{
		`69 › section: angle-2 is an angle, which is not bent to a hoop here; a hoop is of round, square or flat bar, or of tube`,
		`132 › hoop › radius: the formula comes to 0 in whatever is picked; a length is more than zero`,
	}},
	{`section: bar-1, hoop: {length: width, width: width, radius: len('2 in'), jig: wheel}`, []string{
		`69 › hoop › jig: there is no jig "wheel"; the catalog has none`,
	}},
	{`section: angle-2, scroll: {first: len('1 in'), last: len('2 in'), turns: 0}`, []string{
		`69 › scroll › turns: 0 turns; write more than 0 and up to 1000`,
		`69 › section: angle-2 is an angle, which is not bent to a scroll here; a scroll is of round, square or flat bar, or of tube`,
	}},
	{`section: bar-1, scroll: {first: len('1 in'), turns: 1001}`, []string{
		`69 › scroll › turns: 1001 turns; write more than 0 and up to 1000`,
		`94 › scroll: the key "last" is missing; Centre-line radius at the outer end, a length formula.`,
	}},
	{`section: pipe-1, drawn: {taper: len('2 in'), end: 1}, forging: {scale_loss: 50 %, hot_cut: -1 in, heats: 0}`, []string{
		`69 › drawn › end: a taper does not end at 1 of the bar; write 0 or more and less than 1, such as 1/2`,
		`69 › forging › heats: a piece is not forged in 0 heats; write 1 to 100`,
		`69 › forging › hot_cut: -1 in is less than zero`,
		`69 › forging › scale_loss: 1/2 is no share to lose; write 0 or more and less than 1/2, such as 0.04 or 4 %`,
		`69 › section: pipe-1 is of the shape round-tube, which is not drawn out; draw out square, round or flat bar`,
	}},
	{`section: rod-1-2, drawn: {taper: len('2 in') - len('3 in'), ways: one}, forging: {scale_loss: 4 %, heats: 101}`, []string{
		`69 › drawn › ways: rod-1-2 is round, and tapers on all sides; write two, or leave it out`,
		`69 › forging › heats: a piece is not forged in 101 heats; write 1 to 100`,
		`103 › drawn › taper: the formula comes to -1 in whatever is picked; a length is more than zero`,
	}},
	{`section: bar-1, drawn: {taper: len('2 in'), ways: three}`, []string{
		`69: a drawn or upset piece loses steel in the fire; write forging with its scale_loss and heats`,
		`120 › drawn › ways: expected one of two, one, width, found "three"`,
	}},
	{`section: flat-2, upset: {length: width, head: len('1 in'), size: 1 in}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`69 › section: flat-2 is of the shape flat, which is not upset here; upset square or round bar`,
	}},
	{`section: bar-1, upset: {length: width, head: len('1 in'), size: 1 in}, forging: {heats: 2}`, []string{
		`69 › upset › size: the head is 1 in and the bar 1 in; a head is larger than its bar`,
		`150 › forging: the key "scale_loss" is missing; Share of the heated steel that is lost as scale, such as 4 %: the stock is divided by what is left.`,
	}},
	{`section: bar-1, upset: {length: width, head: len('1 in')}, forging: {scale_loss: 4 %}`, []string{
		`93 › upset: the key "size" is missing; Side or diameter of the head.`,
		`138 › forging: the key "heats" is missing; Heats that a piece takes, 1 to 100.`,
	}},
	{`section: rod-1-2, twisted: {length: width, turns: -1, shortening: -1 %}`, []string{
		`69 › section: rod-1-2 is of the shape round, on which a twist does not show or which it would crush; twist square or flat bar`,
		`69 › twisted › shortening: -1/100 is no share to lose; write 0 or more and less than 1/2, such as 0.04 or 4 %`,
		`69 › twisted › turns: -1 turns; write more than 0 and up to 1000`,
	}},
	{`section: bar-1, twisted: {length: width, turns: 2, shortening: 2 %}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`69 › forging: only a drawn or upset piece is forged; leave it out`,
	}},
	{`section: bar-1, straight: width, twisted: {length: width, turns: 2, shortening: 1/2}`, []string{
		`69: straight and twisted are given together; write exactly one of straight, mitred, ring, bent, hoop, scroll, drawn, upset, twisted`,
		`69 › twisted › shortening: 1/2 is no share to lose; write 0 or more and less than 1/2, such as 0.04 or 4 %`,
	}},
	{`section: flat-2, bent: {runs: [{outside: width}, {angle: 90, inside: len('1/4 in')}, {outside: width, turn: 90}]}`, []string{
		`69 › bent: a bend by its inside radius needs the K-factor; write k_factor, such as standard.k_flat`,
		`69 › bent › runs › 3 › turn: a straight is not turned; write it on the bend before which the piece is turned`,
	}},
	{`section: flat-2, bent: {k_factor: frac('3/5'), runs: [{outside: width, straight: width}, {angle: 90, turn: 45, inside: len('1/4 in'), radius: len('1 in')}, {angle: 30, turn: 200, radius: len('1 in')}]}`, []string{
		`69 › bent › runs › 1: a run is a straight, a leg over the outside, or an angle with its radius; write exactly one of straight, outside and angle`,
		`69 › bent › runs › 2: a bend has one radius; write radius on the centre line, or inside for a flat with its k_factor`,
		`69 › bent › runs › 2 › turn: the first bend has no bend before it to be turned from; leave it out; the first bend sets the plane`,
		`69 › bent › runs › 3 › turn: a piece is not turned by 200 degrees; write -180 to 180`,
		`104 › bent › k_factor: the formula comes to a K-factor of 3/5; the neutral line lies between the inside and the middle: write more than 0 and up to 1/2`,
	}},
	{`section: bar-1, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 22.3, inside: len('1/4 in')}]}`, []string{
		`69 › bent: bar-1 is of the shape square, and the K-factor is for flats; write radius on the centre line, which bar and tube keep their length on`,
		`150 › bent › runs › 2 › angle: "22.3" is not an angle that is taken: write whole or half degrees, such as 45 or 22.5`,
	}},
	{`section: flat-2, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 90, radius: len('1 in')}]}`, []string{
		`69 › bent › k_factor: no bend goes by the K-factor; leave it out, or give a bend its inside radius under inside`,
	}},
	{`section: bar-1, drawn: {straight: width}, forging: {scale_loss: 4 %, heats: 2, temperature: 1200 F}`, []string{
		`69 › drawn: nothing is drawn out; write taper, or bar with its length and size`,
		`69 › forging › temperature: 649 C is 1200 F, below the forging range, which begins at 1600 F; 1200 C is usual; was the scale mistaken?`,
	}},
	{`section: bar-1, drawn: {taper: width, end: 1/2, ways: one, bar: {length: width, size: 1 in}}, forging: {scale_loss: 4 %, heats: 2, temperature: 1400 C}`, []string{
		`69 › drawn › bar: the bar drawn out has 1.0000 in2, and bar-1 that it is drawn from has 1.0000 in2; drawing out makes a bar thinner; upset it to make it thicker`,
		`69 › drawn › end: the taper ends at the size of bar; leave it out`,
		`69 › drawn › ways: the taper runs into the size of bar; leave it out`,
		`69 › forging › temperature: 1400 C is 2552 F, above white heat at 2400 F, where steel burns; 1200 C is usual`,
	}},
	{`section: bar-1, drawn: {taper: width, bar: {length: width, shape: round, size: 1/2 in}}, forging: {scale_loss: 4 %, heats: 2, temperature: 1200}`, []string{
		`69 › drawn › bar › shape: a taper of a square does not run into a round; leave the taper out, write the bar's own shape, or write square_first for a square that is drawn round`,
		`209 › forging › temperature: "1200" is not a temperature: write a number, a space and its scale, such as 1200 C or 2192 F`,
	}},
	{`section: flat-2, drawn: {taper: width, bar: {length: width, width: 3 in, thickness: 1/16 in}}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`69 › drawn › bar: a side of the bar drawn out is larger than the bar's, so that no taper runs into it; leave the taper out, or make each side smaller`,
	}},
	{`section: bar-1, drawn: {bar: {length: width, shape: flat, size: 1/2 in}, square_first: frac('5/6')}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`69 › drawn › bar: a flat needs "thickness"; it is described by width, thickness`,
		`69 › drawn › bar: a flat needs "width"; it is described by width, thickness`,
		`69 › drawn › bar › size: a flat has no "size"; it is described by width, thickness`,
		`69 › drawn › square_first: without a taper nothing is forged square first; leave it out, or write taper`,
	}},
	{`section: rod-1-2, drawn: {taper: width, square_first: frac('5/6')}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`69 › drawn › square_first: rod-1-2 is not square; leave it out; a taper has the shape of its bar`,
	}},
	{`section: bar-1, drawn: {taper: width, square_first: frac('3/4')}, forging: {scale_loss: 4 %, heats: 2}`, []string{
		`122 › drawn › square_first: a round taper is not forged from a square one of 3/4 of its length; write 0.7854 (a quarter of pi, by volume) to 1; 5/6 is taught`,
	}},
	{`section: bar-1, mitred: {long_point: width, across: 1 in, first: 60.5, second: 22.25, heel: inside}`, []string{
		`69 › mitred › first: an end cannot be cut 60.5 degrees off square; write 0 to 60`,
		`69 › mitred › heel: bar-1 has no heel; leave it out, or write the section of an angle`,
		`149 › mitred › second: "22.25" is not an angle that is taken: write whole or half degrees, such as 45 or 22.5`,
	}},
	{`section: bar-9, drawn: {taper: len('2 in')}`, []string{
		`69: a drawn or upset piece loses steel in the fire; write forging with its scale_loss and heats`,
		`69 › section: there is no section "bar-9"; did you mean "bar-1"?`,
	}},
}

func TestEachFaultOfAShapeIsFound(t *testing.T) {
	for _, b := range brokenShapes {
		var want []string
		for _, fault := range b.faults {
			rest := strings.TrimLeft(fault, "0123456789")
			want = append(want, `products/table.yaml:48:`+strings.TrimSuffix(fault, rest)+`: products › tarn-table › parts › base › parts › leg › steel`+rest)
		}
		checkFaults(t, want, change{straightLeg, b.steel})
	}
}

func TestEachFaultOfAnOperationIsFound(t *testing.T) {
	const at, leg = `products/table.yaml:48:69: `, `products › tarn-table › parts › base › parts › leg › steel › work › 1`
	checkFaults(t, []string{
		at + leg + `: minutes are given by the foot and by the metre; write one of the two`,
		at + leg + ` › minutes: -1 is less than zero`,
		at + leg + ` › minutes_per_bend: what is worked on has no bends; write minutes`,
		at + leg + ` › minutes_per_heat: what is worked on has no heats; write minutes`,
	}, change{`{do: level, minutes: 3}`, `{do: level, minutes: -1, minutes_per_ft: 1, minutes_per_m: 1, minutes_per_bend: 1, minutes_per_heat: 2}`})
}

// Tables of mills count in their own units: a perimeter in square metres by foot,
// or the inside of a tube with it, is far off the geometry.
func TestAMillPerimeterIsHeldAgainstTheGeometry(t *testing.T) {
	const tube = `mill_weight: 5.41 lb/ft, source: handbook check S-64`
	cat, faults := catalog.Read(edit(t, small(t), change{tube, tube + `, mill_perimeter: 7.2 in`}))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	section, _ := cat.Sections.Get("tube-2")
	if p, err := section.Perimeter(); err != nil || p != 72*unit.Inch/10 {
		t.Errorf("the mill's 7.2 in comes to %s, %v", p, err)
	}
	checkFaults(t, []string{`materials.yaml:7:11: sections › tube-2 › mill_perimeter: 12 in is more than 15 % off the 181.396453 mm of the section's geometry; look for a misprint, or for another unit of the table`},
		change{tube, tube + `, mill_perimeter: 12 in`})
	checkFaults(t, []string{`materials.yaml:8:13: sections › tube-2-1 › mill_perimeter: a mill perimeter without its source; write the table it was read from under source`},
		change{`wall: 0.083 in, corners: square`, `wall: 0.083 in, corners: square, mill_perimeter: 6 in`})
}

// A mill's page prints 0.5584 lb/ft for 3 x 4 x 0.238 in, whose 3.1054 in2 weigh
// 10.5584 (S-74; surprise 5 of the handbook): a table is not loaded unchecked.
func TestAMisprintOfAMillIsFound(t *testing.T) {
	const tube = "  big: {name: Big, shape: rect-tube, width: 4 in, height: 3 in, wall: 0.238 in, corners: square, mill_weight: WEIGHT lb/ft, source: S-74, stock: [{length: 24 ft}]}\n"
	for weight, faults := range map[string]int{"10.5584": 0, "0.5584": 1} {
		files := edit(t, small(t), change{"sections:\n", "sections:\n" + strings.Replace(tube, "WEIGHT", weight, 1)})
		if _, got := catalog.Read(files); len(got) != faults || faults > 0 && !strings.Contains(got[0].Error(), "look for a misprint, or another wall") {
			t.Errorf("%s lb/ft: %v", weight, got)
		}
	}
}

// A gauge is 0.065 in as tube and 0.0598 in as sheet (checks S-100 and S-108), 8.7 %
// apart, so that it is no wall (surprise 4 of the handbook).
func TestAGaugeIsNoWall(t *testing.T) {
	for _, gauge := range []string{"16 ga", "16"} {
		if _, faults := catalog.Read(edit(t, small(t), change{`wall: 0.083 in`, `wall: ` + gauge})); len(faults) != 1 || !strings.Contains(faults[0].Where, "tube-2-1 › wall") {
			t.Errorf("the wall %q has the faults %v", gauge, faults)
		}
	}
}

// A die has its radii on the inside of the bend and a jig on the centre line; a
// bend made on the one is not given by the other.
func TestADieIsNoJig(t *testing.T) {
	const jigs = "jigs: {die: {name: The die, inside: yes, radii: [1/4 in], angles: [22.5, 90]}, wheel: {name: The wheel, radii: [1 in], angles: [90]}}\n"
	for steel, want := range map[string]string{
		`section: flat-2, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 22.5, inside: len('1/4 in'), jig: die}, {angle: 90, radius: len('1 in'), jig: wheel}]}`: "",
		`section: flat-2, bent: {runs: [{straight: width}, {angle: 90, radius: len('1/4 in'), jig: die}]}`:                                                                        "jig: the radii of The die are those of inside, and the bend is given by radius; write the bend by inside, or another jig",
		`section: flat-2, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 90, inside: len('1 in'), jig: wheel}]}`:                                                 "jig: the radii of The wheel are those of radius, and the bend is given by inside; write the bend by radius, or another jig",
		`section: flat-2, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 90, inside: len('3/8 in'), jig: die}]}`:                                                 "jig: The die does not bend to a radius of 3/8 in; it bends to 1/4 in",
		`section: flat-2, bent: {k_factor: frac('2/5'), runs: [{straight: width}, {angle: 45, inside: len('1/4 in'), jig: die}]}`:                                                 "jig: The die does not bend by 45 degrees; it bends by 22.5, 90",
	} {
		files := append(edit(t, small(t), change{straightLeg, steel}), source.File{Path: "jigs.yaml", Bytes: []byte(jigs)})
		_, faults := catalog.Read(files)
		switch {
		case want == "" && len(faults) > 0:
			t.Errorf("%s: %v", steel, faults)
		case want != "" && (len(faults) != 1 || !strings.HasSuffix(faults[0].Error(), want)):
			t.Errorf("%s:\n%v\nwant %s", steel, faults, want)
		}
	}
}
