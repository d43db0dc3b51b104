package catalog_test

import "testing"

// brokenWide are changes to the wide catalog, each with every fault that Read
// must then find, word for word.
var brokenWide = []struct {
	changes []change
	faults  []string
}{
	// the workshop
	{[]change{{`units: metric`, `units: metrc`}}, []string{
		`workshop.yaml:4:49: workshop › units: expected one of inch, metric, found "metrc"; did you mean "metric"?`,
	}},
	{[]change{{`units: metric, currency: EUR`, `currency: Euro`}}, []string{
		`workshop.yaml:4:11: workshop: the key "units" is missing; How lengths, weights, areas and volumes are written on bills: inch for in, lb, ft2, bf, yd and gal; metric for mm, kg, m2, m3, m and L. Either may be entered anywhere.`,
		`workshop.yaml:4:11: workshop › currency: "Euro" is not a currency; write its three capital letters (ISO 4217), such as USD, CAD or EUR`,
	}},
	// tables, and the patterns and formulas that read them
	{[]change{{`{below: 300 mm, gives: 20 %}`, `{below: 90 mm, gives: 20 %}`}}, []string{
		`workshop.yaml:44:9: tables › repeat_share › rows › 2 › below: 90 mm is not above the 100 mm of the row before it; write the rows from the lowest`,
	}},
	{[]change{{`{below: 300 mm, gives: 20 %}`, `{below: 3, gives: 20 %}`}}, []string{
		`workshop.yaml:44:17: tables › repeat_share › rows › 2 › below: "3": no unit: write 3 in or 3 mm; the table is looked up by length`,
	}},
	{[]change{{`{below: 300 mm, gives: 20 %}`, `{gives: 20 %}`}}, []string{
		`workshop.yaml:44:9: tables › repeat_share › rows › 2: the row has no limit, so that the rows after it are never reached; write under "below" what it holds for`,
	}},
	{[]change{{`{below: 300 mm, gives: 20 %}`, `{below: 300 mm, gives: a fifth}`}}, []string{
		`workshop.yaml:44:32: tables › repeat_share › rows › 2 › gives: "a fifth" is a text, and the first row gives a number, "10 %"; let all rows give numbers, all lengths or all texts`,
	}},
	{[]change{{`{below: 300 mm, gives: 20 %}`, `{below: 300 mm, gives: 120 %}`}}, []string{
		`workshop.yaml:44:9: tables › repeat_share › rows › 2 › gives: 6/5 is not a share to add; write 0 to 1, such as 0.05 or 5 %`,
	}},
	{[]change{{`legs: {by: number, rows: [{below: "2", gives: "4"}, {below: "4", gives: "6"}]}`, `legs: {by: number, rows: []}`}}, []string{
		`workshop.yaml:46:9: tables › legs › rows: the table has no rows; write at least one`,
	}},
	{[]change{{`legs: {by: number`, `legs: {by: area`}}, []string{
		`workshop.yaml:46:14: tables › legs › by: expected one of length, number, found "area"`,
	}},
	{[]change{{`rail: band('rail', length)`, `rail: band('rial', length)`}}, []string{
		`products.yaml:27:13: products › kell-bench › figures › rail: in the formula, at its column 6: unknown table 'rial'; did you mean rail?`,
	}},
	{[]change{{`rail: band('rail', length)`, `rail: band('rail', 2)`}}, []string{
		`products.yaml:27:13: products › kell-bench › figures › rail: in the formula, at its column 14: table 'rail' is looked up by a length, and this is a number; write len('2 in')`,
	}},
	{[]change{{`table: repeat_share`, `table: repeat_shares`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern › table: there is no table "repeat_shares"; did you mean "repeat_share"?`,
	}},
	{[]change{{`table: repeat_share`, `table: legs`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern › table: the table legs is looked up by number and gives a number; a pattern needs one that is looked up by length, the repeats along and across added up, and gives a number, the share to add`,
	}},
	{[]change{{`pattern: {by: table, table: repeat_share}`, `pattern: {by: table}`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern: no table is named; write which under "table"`,
	}},
	{[]change{{`pattern: {by: table, table: repeat_share}`, `pattern: {by: whole repeats, table: repeat_share}`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern › table: whole repeats are reckoned without a table; leave it out, or write by: table`,
	}},
	{[]change{{`pattern: {by: table, table: repeat_share}`, `pattern: half repeats`}}, []string{
		`materials.yaml:43:14: cushion_forms › pad › pattern: a pattern is reckoned by whole repeats, or by a table: write {by: table, table: NAME}`,
	}},
	{[]change{{`flaws: 2 %
    rounding: {mode: up, to: 50 mm}`, `flaws: -2 %
    rounding: {mode: up, to: 0 mm}`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › flaws: -1/50 is not a share to add; write 0 to 1, such as 0.05 or 5 %`,
		`materials.yaml:41:5: cushion_forms › pad › rounding › to: 0 in is not more than zero`,
	}},
	// jigs and rings
	{[]change{{`radii: [40 mm, 60 mm], angles: [45, 90]`, `radii: [40 mm, 40 mm, 0 mm], angles: [45, 45, 0]`}}, []string{
		`products.yaml:37:38: products › kell-bench › parts › frame › parts › leg › steel › bent › runs › 2 › jig: the small wheel does not bend by 90 degrees; it bends by 45, 45, 0`,
		`workshop.yaml:50:16: jigs › small-wheel › angles: "45" is listed twice; leave one out`,
		`workshop.yaml:50:16: jigs › small-wheel › angles › 3: nothing is bent by 0 degrees; write 1 to 360`,
		`workshop.yaml:50:16: jigs › small-wheel › radii › 2: 40 mm is listed twice; leave one out`,
		`workshop.yaml:50:16: jigs › small-wheel › radii › 3: 0 in is not more than zero`,
	}},
	{[]change{{`radii: [40 mm, 60 mm], angles: [45, 90]`, `radii: [], angles: [45]`}}, []string{
		`products.yaml:37:38: products › kell-bench › parts › frame › parts › leg › steel › bent › runs › 2 › jig: the small wheel does not bend by 90 degrees; it bends by 45`,
		`workshop.yaml:50:16: jigs › small-wheel › radii: the jig has no radius; write at least one`,
	}},
	{[]change{{`radius: bend, jig: small-wheel`, `radius: len('55 mm'), jig: small-wheel`}}, []string{
		`products.yaml:37:117: products › kell-bench › parts › frame › parts › leg › steel › bent › runs › 2 › jig: the small wheel does not bend to a radius of 55 mm; it bends to 40 mm, 60 mm`,
	}},
	{[]change{{`radius: bend, jig: small-wheel`, `radius: bend, jig: smal-wheel`}}, []string{
		`products.yaml:37:38: products › kell-bench › parts › frame › parts › leg › steel › bent › runs › 2 › jig: there is no jig "smal-wheel"; did you mean "small-wheel"?`,
	}},
	{[]change{{`{straight: len('100 mm')}`, `{straight: len('100 mm'), jig: small-wheel}`}}, []string{
		`products.yaml:37:38: products › kell-bench › parts › frame › parts › leg › steel › bent › runs › 3 › jig: a straight is made on no jig; write it on a bend`,
	}},
	{[]change{{`{section: rod-14, ring:`, `{section: angle-30, ring:`}}, []string{
		`products.yaml:38:25: products › kell-bench › parts › frame › parts › ring › steel › section: angle-30 is an angle, which is not rolled to a ring here; a ring is of round, square or flat bar, or of tube`,
	}},
	// open choices
	{[]change{{`hold: sample
            reckoned_as: clear
            longest: 40
            where: {top: ash, length: up to 1500 mm}`, `hold: sampel
            reckoned_as: claer
            longest: 0
            where: {top: oak, finish: dyed, lenght: 1 m}`}}, []string{
		`products.yaml:14:13: products › kell-bench › attributes › finish › choose › open › hold: there is no kind of hold "sampel"; did you mean "sample"?`,
		`products.yaml:14:13: products › kell-bench › attributes › finish › choose › open › longest: 0 characters; write 1 to 2000`,
		`products.yaml:14:13: products › kell-bench › attributes › finish › choose › open › reckoned_as: there is no value "claer"; did you mean "clear"?`,
		`products.yaml:14:13: products › kell-bench › attributes › finish › choose › open › where › finish: the attribute itself is what is unlisted; name other attributes only`,
		`products.yaml:18:26: products › kell-bench › attributes › finish › choose › open › where › top: top is never "oak"; there are ash, slab-elm, ply, pear, cherry`,
		`products.yaml:18:45: products › kell-bench › attributes › finish › choose › open › where › lenght: there is no attribute "lenght"; did you mean "length"?`,
	}},
	{[]change{{`says: The drawing is to be settled., placed: open choice`, `says: The drawing is to be settled.`}}, []string{
		`products.yaml:20:129: products › kell-bench › attributes › edge › choose › open: no kind of hold is named, and no kind of hold is placed by it; write placed: open choice at one of the holds`,
	}},
	{[]change{{`default: clear
`, `default: lacquered
`}}, []string{
		`products.yaml:19:18: products › kell-bench › attributes › finish › default: the default "lacquered" is not listed; a default is one of dyed, clear`,
	}},
	// holds and locks
	{[]change{{`sample: {blocks: [release, line],`, `sample: {blocks: [], placed: own material,`}}, []string{
		`workshop.yaml:55:11: holds › sample › blocks: the hold blocks nothing; write at least one thing that may not happen while it stands`,
		`workshop.yaml:57:8: holds › own › placed: sample is placed by own material already; let only one kind of hold be placed by it`,
	}},
	{[]change{{`credit: {blocks: [release, shipping],`, `credit: {blocks: [relase, shipping, invoicing],`}}, []string{
		`workshop.yaml:56:21: holds › credit › blocks: "relase" is nearly "release" and not the same; did you mean "release"?`,
	}},
	{[]change{{`placed: own material`, `placed: own materials`}}, []string{
		`workshop.yaml:57:71: holds › own › placed: expected one of by hand, own material, dealer on credit hold, open choice, unknown repeat, found "own materials"; did you mean "own material"?`,
	}},
	{[]change{{`, placed: dealer on credit hold`, ``}}, []string{
		`workshop.yaml:68:9: dealers › late › credit_hold: late is on credit hold, and no kind of hold is placed by it; write placed: dealer on credit hold at one of the holds`,
	}},
	{[]change{{`own: {blocks: cushion, says: The material is not here yet., placed: own material}`, `own: {blocks: [cushion, cushion], says: The material is not here yet.}`}}, []string{
		`materials.yaml:34:8: fabrics › own: own is customer's own material, which the order has to wait for, and no kind of hold is placed by it; write placed: own material at one of the holds`,
		`workshop.yaml:57:8: holds › own › blocks: "cushion" is listed twice; leave one out`,
	}},
	{[]change{{`attributes: [length, top], says`, `attributes: [length, lentgh], says`}}, []string{
		`workshop.yaml:61:67: locks › cut › attributes: there is no attribute "lentgh"; did you mean "length"?`,
	}},
	{[]change{{`attributes: cloth, products: kell-bench`, `attributes: [cloth, colour], products: [kell-bench, kell-bank]`}}, []string{
		`workshop.yaml:62:83: locks › sewn › products: there is no product "kell-bank"; there are kell-bench, kell-hook`,
	}},
	// withdrawals
	{[]change{{`last_order: 2027-03-31, successor: rod-14`, `successor: rod-14`}}, []string{
		`materials.yaml:2:11: sections › rod-12 › successor: rod-14 takes the place of rod-12, which is not withdrawn; write the last day under last_order, or leave it out`,
	}},
	{[]change{{`last_order: 2027-03-31, successor: rod-14`, `last_order: 2027-03-31, successor: rod-12`}}, []string{
		`materials.yaml:2:11: sections › rod-12 › successor: rod-12 is to take its own place; name another, or leave it out`,
	}},
	{[]change{{`last_order: 2027-03-31, successor: rod-14`, `last_order: 31.3.2027, successor: rod-15`}}, []string{
		`materials.yaml:2:11: sections › rod-12 › successor: there is no section "rod-15"; did you mean "rod-14"?`,
		`materials.yaml:2:116: sections › rod-12 › last_order: "31.3.2027": not a date: write year, month and day as 2026-11-25`,
	}},
	{[]change{{`round: {name: Round, last_order: 2026-12-31, successor: eased}`, `round: {name: Round, last_order: 2026-12-31, successor: esaed}`}}, []string{
		`products.yaml:20:58: products › kell-bench › attributes › edge › choose › values › round › successor: there is no value "esaed"; did you mean "eased"?`,
	}},
	{[]change{{`    successor: kell-bench
`, `    successor: kell-bunch
`}}, []string{
		`products.yaml:47:5: products › kell-hook › successor: there is no product "kell-bunch"; did you mean "kell-bench"?`,
	}},
	// species, cloth and leather, finishes, cartons, need-by days
	{[]change{{`ash: {name: Ash, yield: 60 %,`, `ash: {name: Ash,`}}, []string{
		`materials.yaml:10:8: species › ash › yield: how much of the lumber ends in blanks is not told; write the yield, such as 70 %, or blanks: bought for what comes in size`,
	}},
	{[]change{{`blanks: bought, density`, `blanks: bought, yield: 60 %, rough: ["30"], widest_strip: 100 mm, density`}}, []string{
		`materials.yaml:12:8: species › ply › rough: blanks that are bought are not made of lumber; leave it out, or write blanks: made`,
		`materials.yaml:12:8: species › ply › widest_strip: blanks that are bought are not made of lumber; leave it out, or write blanks: made`,
		`materials.yaml:12:8: species › ply › yield: blanks that are bought are not made of lumber; leave it out, or write blanks: made`,
	}},
	{[]change{{`movement: "0", vendor`, `movement: -0.001, vendor`}}, []string{
		`materials.yaml:12:8: species › ply › movement: -1/1000 is not a change of width per percent of moisture; write it as a plain number, such as 0.00365`,
	}},
	{[]change{{`repeat_across: 40 mm`, `repeat_across: -40 mm`}}, []string{
		`materials.yaml:32:9: fabrics › wool › repeat_across: -40 mm is less than zero`,
	}},
	{[]change{{`direction: up the roll, flaws: 3 %`, `direction: up, flaws: 300 %`}}, []string{
		`materials.yaml:32:9: fabrics › wool › flaws: 3 is not a share to add; write 0 to 1, such as 0.05 or 5 %`,
		`materials.yaml:32:115: fabrics › wool › direction: expected one of any, up the roll, found "up"`,
	}},
	{[]change{{`leather: {hide: 4 m2, clear_length: 1500 mm, clear_width: 900 mm, factor: 1.4}`, `goods_width: 1 m, railroad: yes, leather: {hide: 0 m2, clear_length: 900 mm, clear_width: 1500 mm, factor: 0.9}`}}, []string{
		`materials.yaml:33:9: fabrics › hide › goods_width: leather comes in hides and not from a roll; leave it out`,
		`materials.yaml:33:9: fabrics › hide › leather: clear_width is 1500 mm, more than the clear length of 900 mm`,
		`materials.yaml:33:9: fabrics › hide › leather › factor: 9/10 times the area of the pieces is not what is bought; write 1 or more and up to 10, such as 1.5`,
		`materials.yaml:33:9: fabrics › hide › leather › hide: 0 mm2 is not more than zero`,
		`materials.yaml:33:9: fabrics › hide › railroad: leather comes in hides and not from a roll; leave it out`,
	}},
	{[]change{{`leather: {hide: 4 m2, clear_length: 1500 mm`, `leather: {hide: 1 m2, clear_length: 1500 mm`}}, []string{
		`materials.yaml:33:9: fabrics › hide › leather: the clear part is larger than the hide`,
	}},
	{[]change{{`steps: [{do: powder, coating: powder}], source: data sheet`, `steps: [{do: powder, coating: powder}], says: Not for ply.`}}, []string{
		`materials.yaml:25:10: metal_finishes › black › says: a metal finish goes on steel, so that it cannot be picked for the wrong species; leave it out`,
	}},
	{[]change{{`board: [light, heavy]`, `board: [light, light, havy]`}}, []string{
		`products.yaml:44:12: products › kell-bench › cartons › all › board: "light" is listed twice; leave one out`,
		`products.yaml:44:76: products › kell-bench › cartons › all › board: there is no carton board "havy"; did you mean "heavy"?`,
	}},
	{[]change{{`board: [light, heavy]`, `board: []`}}, []string{
		`products.yaml:44:12: products › kell-bench › cartons › all › board: no board is named; write at least one`,
	}},
	{[]change{{`blank: 10, `, ``}}, []string{
		`workshop.yaml:64:11: need_by: blank is missing, which kell-bench uses; write how many working days before shipping it must be here`,
	}},
	{[]change{{`leather: 12, `, ``}}, []string{
		`workshop.yaml:64:11: need_by: leather is missing, which kell-bench uses; write how many working days before shipping it must be here`,
	}},
	// surcharges
	{[]change{{`to: 2026-12-31, percent: 6.5, basis: list, where: {collections: kell}`, `to: 2026-11-01, percent: 0, basis: gross, where: {collections: kel}`}}, []string{
		`workshop.yaml:71:15: surcharges › steel-2026 › percent: nothing is charged; leave the surcharge out, or write its percentage`,
		`workshop.yaml:71:15: surcharges › steel-2026 › to: the surcharge ends on 2026-11-01, before it begins on 2026-11-02; swap them`,
		`workshop.yaml:71:91: surcharges › steel-2026 › basis: expected one of list, net, found "gross"`,
		`workshop.yaml:71:119: surcharges › steel-2026 › where › collections: there is no collection "kel"; did you mean "kell"?`,
	}},
	{[]change{{`percent: 4 %, basis: net, where: {products: [kell-bench]}`, `percent: 4 lb, basis: net, where: {products: [kell-bank]}`}}, []string{
		`workshop.yaml:72:65: surcharges › steel-2027 › percent: "4 lb": unexpected "lb": write a bare number such as 3, 0.7, 70 % or 2 1/2`,
		`workshop.yaml:72:102: surcharges › steel-2027 › where › products: there is no product "kell-bank"; there are kell-bench, kell-hook`,
	}},
	{[]change{{`percent: -2.5`, `percent: -100`}}, []string{
		`workshop.yaml:73:11: surcharges › winter › percent: -100 % is not a surcharge; write more than -100 and up to 1000, in percent`,
	}},
	{[]change{{`where: {collections: kell}`, `where: {}`}}, []string{
		`workshop.yaml:71:15: surcharges › steel-2026 › where: it is charged on nothing; name products or collections, or leave where out, which charges everything`,
	}},
}

func TestEachFaultOfTheRarerThingsIsFound(t *testing.T) {
	for _, b := range brokenWide {
		checkFaultsOf(t, wide(t), b.faults, b.changes...)
	}
}

// A key that is missing hides nothing that is wrong with the keys beside it.
func TestAMissingKeyHidesOnlyWhatHangsOnIt(t *testing.T) {
	checkFaultsOf(t, wide(t), []string{
		`materials.yaml:12:8: species › ply: the key "density" is missing; Density at shop moisture, such as 47 lb/ft3.`,
		`materials.yaml:12:8: species › ply › lead_days: -5 working days; write 0 to 1000`,
		`materials.yaml:12:8: species › ply › movement: -2 is not a change of width per percent of moisture; write it as a plain number, such as 0.00365`,
	}, change{`density: 680 kg/m3, movement: "0", vendor: Platten, lead_days: 5`, `movement: "-2", vendor: Platten, lead_days: -5`})
}
