package catalog_test

import (
	"strings"
	"testing"
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
