package catalog_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
)

// change replaces a text that stands once in a catalog.
type change struct{ old, new string }

func edit(t testing.TB, files []source.File, changes ...change) []source.File {
	t.Helper()
	for _, c := range changes {
		edited, count := make([]source.File, len(files)), 0
		for i, f := range files {
			count += bytes.Count(f.Bytes, []byte(c.old))
			edited[i] = source.File{Path: f.Path, Bytes: bytes.Replace(f.Bytes, []byte(c.old), []byte(c.new), 1)}
		}
		if count != 1 {
			t.Fatalf("%q stands %d times in the catalog", c.old, count)
		}
		files = edited
	}
	return files
}

// broken are changes to the small catalog, each with every fault that Read must
// then find, word for word.
var broken = []struct {
	changes []change
	faults  []string
}{
	// the workshop and its days
	{[]change{{"code: tarn\n", "code: Tarn Shop\n"}}, []string{
		`workshop.yaml:4:3: workshop › code: "Tarn Shop" is not a code for a workshop; use lower-case letters and digits, in parts joined by -, such as front-leg`,
	}},
	{[]change{{`name: Tarn Workshop`, `name: " "`}}, []string{
		`workshop.yaml:4:3: workshop › name: the workshop has no name; write the name as printed on papers`,
	}},
	{[]change{{`zone: America/Denver`, `zone: America/Boulder`}}, []string{
		`workshop.yaml:11:3: calendar › zone: there is no time zone "America/Boulder"; write an IANA name, such as America/Denver`,
	}},
	{[]change{{`work_days: [mon, tue,`, `work_days: [mon, mon, tues,`}}, []string{
		`workshop.yaml:11:3: calendar › work_days: "mon" is listed twice; leave one out`,
		`workshop.yaml:11:3: calendar › work_days: there is no day of the week "tues"; did you mean "tue"?`,
	}},
	{[]change{{`cut_off: "15:00"`, `cut_off: "3pm"`}}, []string{
		`workshop.yaml:11:3: calendar › cut_off: "3pm": not a time of day: write hours and minutes from 00:00 to 23:59, such as 16:30`,
	}},
	{[]change{{`{from: 2026-12-25, why`, `{from: 2026-12-25, to: 2026-12-24, why`}}, []string{
		`workshop.yaml:11:3: calendar: closure Christmas Day (2026-12-25 to 2026-12-24) ends before it begins: swap its days`,
	}},
	{[]change{{`{from: 2026-12-25, why`, `{from: 2026-11-27, why`}}, []string{
		`workshop.yaml:11:3: calendar: closures Thanksgiving (2026-11-26 to 2026-11-27) and Christmas Day (2026-11-27) overlap: shorten one or write one closure`,
	}},

	// standards
	{[]change{{"  seam: {length: 1/2 in, source: made up}\n  cloth_rounding: {rounding: {mode: up, to: 9 in}, source: made up}\n", ``}}, []string{
		`workshop.yaml:21:3: standards: standards are missing: seam (a length), cloth_rounding (a rounding); write each with its value and its source`,
	}},
	{[]change{{`saw_kerf: {length: 1/8 in`, `saw_kurf: {length: 1/8 in`}}, []string{
		`workshop.yaml:21:3: standards: standards are missing: saw_kerf (a length); write each with its value and its source; is "saw_kurf" meant for saw_kerf?`,
	}},
	{[]change{{`saw_kerf: {length: 1/8 in`, `saw_kerf: {ratio: 1/8`}}, []string{
		`workshop.yaml:22:3: standards › saw_kerf: the standard saw_kerf is a length, not a ratio; Width that one saw cut turns to chips.`,
	}},
	{[]change{{`saw_kerf: {length: 1/8 in`, `saw_kerf: {length: 1/8 in, ratio: 1/8`}}, []string{
		`workshop.yaml:22:3: standards › saw_kerf: length and ratio are given together; write exactly one of length, ratio, density, choice, rounding, mass`,
	}},
	{[]change{{`kerf_placement: {choice: between pieces`, `kerf_placement: {choice: between peices`}}, []string{
		`workshop.yaml:23:3: standards › kerf_placement › choice: there is no choice "between peices"; did you mean "between pieces"?`,
	}},
	{[]change{{`strip_fraction: {length: 1/32 in`, `strip_fraction: {length: 0 in`}}, []string{
		`workshop.yaml:32:3: standards › strip_fraction › length: 0 in is not more than zero`,
	}},
	{[]change{{`bar_trim: {length: 1/4 in`, `bar_trim: {length: -1/4 in`}}, []string{
		`workshop.yaml:24:3: standards › bar_trim › length: -1/4 in is less than zero`,
	}},
	{[]change{{`moisture_low: {ratio: 6 %`, `moisture_low: {ratio: 12 %`}}, []string{
		`workshop.yaml:33:17: standards › moisture_low: moisture_low is 3/25, above moisture_high with 1/10; swap them`,
	}},
	{[]change{{`two_person_lift: {ratio: 51`, "lengths_on_a_bar: {ratio: 5/2, source: practice}\n  two_person_lift: {ratio: 51"}}, []string{
		`workshop.yaml:43:3: standards › lengths_on_a_bar › ratio: 5/2 is no whole number from 1 to 1000; Most different lengths that the saw is set to for one bar, a whole number; without it there is no limit. The plan then may take more bars, and its bound stays that of the plan without the limit.`,
	}},
	{[]change{{`two_person_lift: {ratio: 51`, `two_person_lift: {ratio: -51`}}, []string{
		`workshop.yaml:43:3: standards › two_person_lift › ratio: -51 is less than zero; Weight above which a carton is marked for two persons: a mass, such as 23 kg, or a plain ratio, which is a number of pounds in a metric catalog too. A carton that names a lift goes by that.`,
	}},
	{[]change{{`slot_rounding: {rounding: {mode: up, to: 1/16 in`, `slot_rounding: {rounding: {mode: up, to: 0 in`}}, []string{
		`workshop.yaml:36:3: standards › slot_rounding › rounding › to: 0 in is not more than zero`,
	}},
	{[]change{{`slot_rounding: {rounding: {mode: up`, `slot_rounding: {rounding: {mode: upwards`}}, []string{
		`workshop.yaml:36:36: standards › slot_rounding › rounding › mode: expected one of up, nearest, down, found "upwards"`,
	}},
	{[]change{{`  legs_at_end: {ratio`, `  legs-at-end: {ratio`}}, []string{
		`workshop.yaml:46:3: standards › legs-at-end: "legs-at-end" cannot be read by formulas; a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height`,
	}},
	{[]change{{"  # the workshop's own\n", "  in: {length: 1 in, source: made up}\n"}}, []string{
		`workshop.yaml:44:3: standards › in: name "standard.in": "in" is a word of the formula language: choose another`,
	}},

	// need-by days, dealers
	{[]change{{"  carton: 3\n", ``}}, []string{
		`workshop.yaml:53:3: need_by: carton is missing, which tarn-table uses; write how many working days before shipping it must be here`,
	}},
	{[]change{{"  carton: 3\n", "  cartons: 3\n"}}, []string{
		`workshop.yaml:53:3: need_by: carton is missing, which tarn-table uses; write how many working days before shipping it must be here`,
		`workshop.yaml:61:3: need_by › cartons: there is no kind of material "cartons"; did you mean "carton"?`,
	}},
	{[]change{{"  foam: 12\n", "  foam: -1\n"}}, []string{
		`workshop.yaml:57:3: need_by › foam: -1 working days; write 0 to 1000`,
	}},
	{[]change{{`terms: list`, `terms: 50/110`}}, []string{
		`workshop.yaml:65:35: dealers › friend › terms: terms "50/110": a discount is a percentage from 0 to less than 100`,
	}},

	// sections
	{[]change{{`shape: square, size: 1 in`, `shape: square, width: 1 in`}}, []string{
		`materials.yaml:2:10: sections › bar-1: a square needs "size"; it is described by size`,
		`materials.yaml:2:10: sections › bar-1 › width: a square has no "width"; it is described by size`,
	}},
	{[]change{{`shape: square, size: 1 in`, `shape: sqare, size: 1 in`}}, []string{
		`materials.yaml:2:41: sections › bar-1 › shape: expected one of round, square, hexagon, flat, angle, round-tube, square-tube, rect-tube, found "sqare"; did you mean "square"?`,
	}},
	{[]change{{`shape: square, size: 1 in`, `shape: square, size: 0 in`}}, []string{
		`materials.yaml:2:10: sections › bar-1 › size: 0 in is not more than zero`,
	}},
	{[]change{{`shape: square, size: 1 in`, `shape: square, size: 1`}}, []string{
		`materials.yaml:2:55: sections › bar-1 › size: "1": no unit: write 1 in or 1 mm`,
	}},
	{[]change{{`shape: flat, width: 2 in, thickness: 1/4 in`, `shape: flat, width: 2 in, thickness: 3 in`}}, []string{
		`materials.yaml:4:11: sections › flat-2: thickness is 3 in, more than the width of 2 in`,
	}},
	{[]change{{`height: 1 in, thickness: 1/8 in`, `height: 1 in, thickness: 1 in`}}, []string{
		`materials.yaml:5:12: sections › angle-2: thickness is 1 in, not less than the height of 1 in`,
	}},
	{[]change{{`size: 1 in, wall: 0.065 in`, `size: 1 in, wall: 1/2 in`}}, []string{
		`materials.yaml:6:11: sections › pipe-1: twice the wall is 1 in, not less than the size of 1 in`,
	}},
	{[]change{{`size: 2 in, wall: 1/4 in, corners: rounded, mill_weight: 5.41 lb/ft, source: handbook check S-64`, `size: 2 in, wall: 5/8 in, corners: rounded`}}, []string{
		`materials.yaml:7:11: sections › tube-2: four times the wall, which the two rounded corners take, is 2 1/2 in, more than the narrower side of 2 in`,
	}},
	{[]change{{`mill_weight: 5.41 lb/ft, source: handbook check S-64`, `mill_weight: 0.541 lb/ft`}}, []string{
		`materials.yaml:7:11: sections › tube-2 › mill_weight: 0.5410 lb/ft is more than 15 % off the 5.4072 lb/ft of the section's geometry; look for a misprint, or another wall`,
		`materials.yaml:7:11: sections › tube-2 › mill_weight: a mill weight without its source; write the table it was read from under source`,
	}},
	{[]change{{`width: 2 in, height: 1 in, wall: 0.083 in, corners: square`, `width: 1 in, height: 2 in, wall: 0.083 in`}}, []string{
		`materials.yaml:8:13: sections › tube-2-1: a rect-tube needs "corners"; write square or rounded`,
	}},
	{[]change{{`width: 2 in, height: 1 in, wall: 0.083 in, corners: square`, `width: 1 in, height: 2 in, wall: 1/2 in, corners: square`}}, []string{
		`materials.yaml:8:13: sections › tube-2-1: height is 2 in, more than the width of 1 in`,
	}},
	{[]change{{`shape: round, size: 1/2 in, stock: [{length: 12 ft}, {length: 20 ft, lead_days: 5}]`, `shape: round, size: 1/2 in, corners: square, stock: [{length: 12 ft, price: -1.00}, {length: 144 in, lead_days: -5}]`}}, []string{
		`materials.yaml:3:12: sections › rod-1-2 › corners: a round has no "corners"; leave it out`,
		`materials.yaml:3:12: sections › rod-1-2 › stock › 1 › price: the price -1.00 is less than zero`,
		`materials.yaml:3:12: sections › rod-1-2 › stock › 2: 144 in is listed twice; leave one out`,
		`materials.yaml:3:12: sections › rod-1-2 › stock › 2 › lead_days: -5 working days; write 0 to 1000`,
	}},
	{[]change{{`stock: [{length: 20 ft, price: 40.00}]`, `stock: []`}}, []string{
		`materials.yaml:2:10: sections › bar-1 › stock: no length is listed that it is bought in; write at least one bar`,
	}},

	// lumber, glass, coatings, finishes
	{[]change{{`4/4: {nominal: 1 in`, `4/4: {nominal: 1200 m`}}, []string{
		`materials.yaml:11:3: rough_thicknesses › 4/4 › nominal: 1200000 mm is longer than 1000000 mm`,
		`materials.yaml:12:3: rough_thicknesses › 5/4: 5/4 is not thicker than 4/4 before it, nominal and surfaced; write them from thin to thick`,
	}},
	{[]change{{`5/4: {nominal: 1 1/4 in, surfaced: 1 1/16 in`, `5/4: {nominal: 1 in, surfaced: 1 1/16 in`}}, []string{
		`materials.yaml:12:3: rough_thicknesses › 5/4: 5/4 is not thicker than 4/4 before it, nominal and surfaced; write them from thin to thick`,
		`materials.yaml:12:3: rough_thicknesses › 5/4: surfaced is 1 1/16 in, more than the nominal thickness of 1 in`,
	}},
	{[]change{{`yield: 70 %, density: 47 lb/ft3, movement: 0.00365, rough: [4/4, 5/4]`, `yield: 170 %, density: 47, movement: 0.365, rough: [4/4, 6/4]`}}, []string{
		`materials.yaml:15:14: species › white-oak › movement: 73/200 is not a change of width per percent of moisture; write it as a plain number, such as 0.00365`,
		`materials.yaml:15:14: species › white-oak › rough: there is no rough thickness "6/4"; did you mean "4/4"?`,
		`materials.yaml:15:14: species › white-oak › yield: 17/10 is not a share; write more than 0 and up to 1, such as 0.70 or 70 %`,
		`materials.yaml:15:55: species › white-oak › density: "47" is not a density: write a number, a space and one of lb/ft3, lb/in3, kg/m3 or g/cm3`,
	}},
	{[]change{{`movement: 0.00274, rough: [5/4]`, `movement: 0.00274, rough: []`}}, []string{
		`materials.yaml:16:11: species › walnut › rough: no rough thickness is listed; write those it is bought in`,
	}},
	{[]change{{`largest: {length: 84 in, width: 48 in}`, `largest: {length: 48 in, width: 84 in}`}}, []string{
		`materials.yaml:19:14: glass › clear-3-8 › largest: width is 84 in, more than the length of 48 in`,
	}},
	{[]change{{`kind: powder, specific_gravity: 1.6`, `kind: powder, volume_solids: 40 %`}}, []string{
		`materials.yaml:23:17: coatings › black-powder: a powder needs "specific_gravity"; take it from the data sheet`,
		`materials.yaml:23:17: coatings › black-powder › volume_solids: a powder has no "volume_solids"; leave it out`,
	}},
	{[]change{{`kind: powder, specific_gravity: 1.6`, `kind: powder, specific_gravity: -1.6`}}, []string{
		`materials.yaml:23:17: coatings › black-powder › specific_gravity: -8/5 is not more than zero`,
	}},
	{[]change{{`kind: liquid, volume_solids: 40 %`, `kind: liquid, volume_solids: 140 %`}}, []string{
		`materials.yaml:24:8: coatings › oil › volume_solids: 7/5 is not a share; write more than 0 and up to 1, such as 0.70 or 70 %`,
	}},
	{[]change{{`steps: [{do: brush}, {do: wipe, coating: oil}]`, `steps: [{do: brush}, {do: wipe, coating: black-powder}]`}}, []string{
		`materials.yaml:32:60: wood_finishes › limed › steps › 2 › coating: black-powder is a powder, and wood is finished with a liquid`,
	}},
	{[]change{{`steps: [{do: brush}, {do: wipe, coating: oil}]`, `steps: []`}}, []string{
		`materials.yaml:32:10: wood_finishes › limed › steps: the finish has no steps; write at least one`,
	}},
	{[]change{{`on: white-oak, steps`, `on: white-oke, steps`}}, []string{
		`materials.yaml:32:28: wood_finishes › limed › on: there is no species "white-oke"; did you mean "white-oak"?`,
	}},
	{[]change{{`on: white-oak, steps`, `steps`}}, []string{
		`materials.yaml:32:10: wood_finishes › limed › on: the finish says no species that it may go on; list them, so that no pair without steps can be ordered`,
	}},
	{[]change{{`black: {name: Black, steps`, `black: {name: Black, on: walnut, steps`}}, []string{
		`materials.yaml:27:10: metal_finishes › black › on: a metal finish goes on steel, not on species; leave it out`,
	}},
	{[]change{{`{do: powder, coating: black-powder}`, `{do: powder, coating: black-powdr, minutes: -1}`}}, []string{
		`materials.yaml:27:57: metal_finishes › black › steps › 2 › coating: there is no coating "black-powdr"; did you mean "black-powder"?`,
		`materials.yaml:27:57: metal_finishes › black › steps › 2 › minutes: -1 is less than zero`,
	}},

	// cloth, cushion forms, hardware
	{[]change{{`own: {name: Customer's own, own_material: yes}`, `own: {name: Customer's own}`}}, []string{
		`materials.yaml:37:8: fabrics › own: a cloth needs its goods_width and its usable_width; only own_material may leave both out, since they come with the order`,
	}},
	{[]change{{`usable_width: 54 in, repeat: 4 in`, `usable_width: 54 in, repeat: -4 in`}}, []string{
		`materials.yaml:36:11: fabrics › stripe › repeat: -4 in is less than zero`,
	}},
	{[]change{{`goods_width: 56 in, usable_width: 54 in, railroad`, `goods_width: 52 in, usable_width: 54 in, railroad`}}, []string{
		`materials.yaml:35:10: fabrics › twill: usable_width is 54 in, more than the goods width of 52 in`,
	}},
	{[]change{{`zip: length`, `zip: lenght`}}, []string{
		`materials.yaml:48:10: cushion_forms › boxed › zip: in the formula, at its column 1: unknown name lenght; did you mean length or height?`,
	}},
	{[]change{{`zip: length`, `zip: "2"`}}, []string{
		`materials.yaml:48:10: cushion_forms › boxed › zip: in the formula, at its column 1: the formula gives a number, and a length is needed here; multiply it by a length, as in n * len('1 in')`,
	}},
	{[]change{{`plate: {pieces: "2", along: length + 2 * standard.seam`, `plate: {pieces: length, along: length + 2`}}, []string{
		`materials.yaml:46:23: cushion_forms › boxed › pieces › plate › pieces: in the formula, at its column 1: the formula gives a length, and a number is needed here; divide it by a length, as in x / len('1 in')`,
		`materials.yaml:46:38: cushion_forms › boxed › pieces › plate › along: in the formula, at its column 10: length + number: a bare number has no unit; write len('2 in')`,
	}},
	{[]change{{`weight: 0.1 lb, shank: 0.190 in`, `weight: -0.1 lb, shank: 0 in`}}, []string{
		`materials.yaml:52:16: hardware › slotted-tab › shank: 0 in is not more than zero`,
		`materials.yaml:52:16: hardware › slotted-tab › weight: the weight -45.359237 g is less than zero`,
	}},

	// cartons and freight
	{[]change{{`joint: 1 1/4 in`, `joint: 0 in`}}, []string{
		`materials.yaml:58:5: boards › single-c › joint: 0 in is not more than zero`,
	}},
	{[]change{{`{grade: 44 ECT, gross: 95 lb, united: 95 in}`, `{grade: 44 ECT, gross: 60 lb, united: 95 in}`}}, []string{
		`materials.yaml:58:5: boards › single-c › grades › 2: 44 ECT holds no more than 32 ECT before it; write the grades from weak to strong`,
	}},
	{[]change{{`{below: 2 lb/ft3, class: "300"}`, `{below: 1 lb/ft3, class: "300"}`}}, []string{
		`materials.yaml:69:3: freight › classes › 2 › below: the limit of class 300 is not above that of class 400 before it; write the steps from the lightest`,
	}},
	{[]change{{`{below: 2 lb/ft3, class: "300"}`, `{class: "300"}`}}, []string{
		`materials.yaml:69:3: freight › classes › 2: class 300 has no limit, so that the steps after it are never reached; write the density below which it holds`,
	}},
	{[]change{{`{class: "50"}`, `{below: 50 lb/ft3, class: "50"}`}}, []string{
		`materials.yaml:69:3: freight › classes › 3 › below: the last step has a limit, so that nothing holds what is denser; leave it out`,
	}},
	{[]change{{"  from: 2025-07-19\n  source: made up\n", ``}}, []string{
		`materials.yaml:69:3: freight › from: a density scale without the day from which it holds; write its first day, such as 2025-07-19`,
		`materials.yaml:69:3: freight › source: a density scale without its source; write where it is published`,
	}},

	// attributes
	{[]change{{"  tarn-stool:\n", "  tarn/stool:\n"}}, []string{
		`products/stool.yaml:3:5: products › tarn/stool: "tarn/stool" is not a code for a product; use lower-case letters and digits, in parts joined by -, such as front-leg`,
	}},
	{[]change{{`length: {name: Length, size: {from: 48 in, to: 96 in,`, `length: {name: Length, size: {from: 96 in, to: 48 in,`}}, []string{
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size: from 96 in to 48 in is no range; swap them`,
	}},
	{[]change{{`from: 48 in, to: 96 in, step_inch: 1/16 in,`, `from: 48 in, to: 96 in, step_inch: 0 in,`}}, []string{
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size › step_inch: 0 in is not more than zero`,
	}},
	{[]change{{`from: 48 in, to: 96 in, step_inch: 1/16 in,`, `from: 48 1/32 in, to: 96 in, step_inch: 1/16 in,`}}, []string{
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size › from: 48 1/32 in is on neither step, so that nobody can enter it; the steps are 1/16 in and 0.5 mm`,
	}},
	{[]change{{`standard: [60 in, 72 in]`, `standard: [60 in, 60 in, 100 in, 50.01 in]`}}, []string{
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size › standard › 2: 60 in is listed twice; leave one out`,
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size › standard › 3: the standard size 100 in is not from 48 in to 96 in`,
		`products/table.yaml:6:15: products › tarn-table › attributes › length › size › standard › 4: 1270.254 mm is on neither step, so that nobody can enter it; the steps are 1/16 in and 0.5 mm`,
	}},
	{[]change{{`pull: {name: Pull`, `door-pull: {name: Pull`}}, []string{
		`products/table.yaml:16:18: products › tarn-table › attributes › door-pull: "door-pull" cannot be read by formulas; a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height`,
	}},
	{[]change{{`pull: {name: Pull`, `standard: {name: Pull`}}, []string{
		`products/table.yaml:16:17: products › tarn-table › attributes › standard: standard is what formulas read the shop standards by; choose another name`,
	}},
	{[]change{{`pull: {name: Pull`, `ceil: {name: Pull`}}, []string{
		`products/table.yaml:16:13: products › tarn-table › attributes › ceil: name "ceil" is the name of a function: choose another`,
	}},
	{[]change{{`default: 36 in}`, `default: 36}`}}, []string{
		`products/table.yaml:7:136: products › tarn-table › attributes › width › default: as a default: Width "36" cannot be read as a length: no unit: write 36 in or 36 mm`,
	}},
	{[]change{{`default: 36 in}`, `default: 70 in}`}}, []string{
		`products/table.yaml:7:136: products › tarn-table › attributes › width › default: as a default: Width 70 in is too long: it may be 24 in to 60 in, in steps of 1/16 in; did you mean "60 in"?`,
	}},
	{[]change{{`default: 36 in}`, `default: 36.01 in}`}}, []string{
		`products/table.yaml:7:136: products › tarn-table › attributes › width › default: as a default: Width 36.01 in is off the step of 1/16 in: it may be 24 in to 60 in, in steps of 1/16 in; did you mean "36 in"?`,
	}},
	{[]change{{`choose: {values: {wood: Wood, glass: Glass}}, default: wood`, `choose: {values: {wood: Wood, glass: Glass}}, default: woods`}}, []string{
		`products/table.yaml:8:79: products › tarn-table › attributes › top › default: as a default: Top cannot be "woods": it is one of Wood (wood), Glass (glass); did you mean "wood"?`,
	}},
	{[]change{{`default: pull-brass`, `default: brass pull`}}, []string{
		`products/table.yaml:16:80: products › tarn-table › attributes › pull › default: as a default: Pull cannot be "brass pull": it is one of Brass pull (pull-brass); did you mean "pull-brass"?`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species, choose: {from: species, among: [white-oak, walnut, walnt]},`}}, []string{
		`products/table.yaml:9:83: products › tarn-table › attributes › species › choose › among: there is no species "walnt"; did you mean "walnut"?`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species, choose: {from: species, among: white-oak},`}}, []string{
		`products/table.yaml:67:40: prices › tarn-table › options › 1 › where › species: species is never "walnut"; there are white-oak`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species, choose: {},`}}, []string{
		`products/table.yaml:9:16: products › tarn-table › attributes › species › choose: none of from, values is given; write exactly one of from, values`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species, choose: {from: specie},`}}, []string{
		`products/table.yaml:9:47: products › tarn-table › attributes › species › choose › from: expected one of species, wood_finishes, metal_finishes, fabrics, glass, stone, hardware, found "specie"; did you mean "species"?`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species,`}}, []string{
		`products/table.yaml:9:16: products › tarn-table › attributes › species: none of choose, size, count, write is given; write exactly one of choose, size, count, write`,
	}},
	{[]change{{`species: {name: Species, choose: {from: species},`, `species: {name: Species, choose: {from: species}, write: {longest: 5},`}}, []string{
		`products/table.yaml:9:16: products › tarn-table › attributes › species: choose and write are given together; write exactly one of choose, size, count, write`,
	}},
	{[]change{{`choose: {values: {none: None, loose: Loose}}`, `choose: {values: {none: None, loose: Loose}, among: loose}`}}, []string{
		`products/table.yaml:13:16: products › tarn-table › attributes › cushion › choose › among: among picks from a table, and none is named; name it under from`,
	}},
	{[]change{{`choose: {values: {none: None, loose: Loose}}`, `choose: {from: hardware, values: {none: None, loose: Loose}}`}}, []string{
		`products/table.yaml:13:16: products › tarn-table › attributes › cushion › choose: from and values are given together; write exactly one of from, values`,
	}},
	{[]change{{`choose: {from: fabrics}, asked_when: cushion == 'loose'`, `choose: {from: fabrics}, asked_when: cushion == 'lose'`}}, []string{
		`products/table.yaml:14:65: products › tarn-table › attributes › cloth › asked_when: in the formula, at its column 12: cushion is never 'lose'; did you mean loose or none?`,
	}},
	{[]change{{`choose: {from: glass}, asked_when: top == 'glass'`, `choose: {from: glass}, asked_when: cushion == 'loose'`}}, []string{
		`products/table.yaml:11:63: products › tarn-table › attributes › glass › asked_when: cushion is not settled yet when glass is asked; a condition reads only the attributes above it`,
	}},
	{[]change{{`choose: {from: glass}, asked_when: top == 'glass'`, `choose: {from: glass}, asked_when: is_large`}}, []string{
		`products/table.yaml:11:63: products › tarn-table › attributes › glass › asked_when: in the formula, at its column 1: unknown name is_large; a formula here reads only what stands above it`,
	}},
	{[]change{{`choose: {from: glass}, asked_when: top == 'glass'`, `choose: {from: glass}, asked_when: top`}}, []string{
		`products/table.yaml:11:63: products › tarn-table › attributes › glass › asked_when: in the formula, at its column 1: the formula gives text, and yes/no is needed here; compare it, as in species == 'oak'`,
	}},
	{[]change{{`count: {from: 0, to: 3}, default: "0"`, `count: {from: 3, to: 0}, default: "0"`}}, []string{
		`products/table.yaml:17:16: products › tarn-table › attributes › shelves › count: from 3 to 0 is no range; write 0 or more, and no less under to than under from`,
	}},
	{[]change{{`count: {from: 0, to: 3}, default: "0"`, `count: {from: 0, to: 3}, default: "4"`}}, []string{
		`products/table.yaml:17:66: products › tarn-table › attributes › shelves › default: as a default: Shelves 4 is out of range: it may be 0 to 3; did you mean "3"?`,
	}},
	{[]change{{`write: {longest: 20}`, `write: {longest: 0}`}}, []string{
		`products/table.yaml:18:14: products › tarn-table › attributes › plate › write › longest: 0 characters; write 1 to 2000`,
	}},

	// figures
	{[]change{{`frame_length: length - 2 * standard.overhang`, `frame_length: length - 2 * standard.overhung`}}, []string{
		`products/table.yaml:20:21: products › tarn-table › figures › frame_length: in the formula, at its column 14: unknown name standard.overhung; did you mean standard.overhang?`,
	}},
	{[]change{{`frame_length: length - 2 * standard.overhang`, `frame_length: length - frame_width`}}, []string{
		`products/table.yaml:20:21: products › tarn-table › figures › frame_length: in the formula, at its column 10: unknown name frame_width; a formula here reads only what stands above it`,
	}},
	{[]change{{`      is_large: length`, "      width: length * 2\n      is_large: length"}}, []string{
		`products/table.yaml:23:7: products › tarn-table › figures › width: "width" is an attribute already; choose another name`,
	}},
	{[]change{{`      is_large: length`, "      over: length / 0\n      is_large: length"}}, []string{
		`products/table.yaml:23:13: products › tarn-table › figures › over: in the formula, at its column 8: division by zero; write what it should be divided by`,
	}},
	{[]change{{`      is_large: length`, "      has-legs: length\n      is_large: length"}}, []string{
		`products/table.yaml:23:7: products › tarn-table › figures › has-legs: "has-legs" cannot be read by formulas; a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height`,
	}},

	// rules
	{[]change{{`need: width <= length`, `need: width - length`}}, []string{
		`products/table.yaml:27:15: products › tarn-table › rules › narrower-than-long › need: in the formula, at its column 1: the formula gives a length, and yes/no is needed here; compare it, as in length > len('60 in')`,
	}},
	{[]change{{`need: width <= length`, `forbid: {length: 60 in, widht: 36 in}`}}, []string{
		`products/table.yaml:27:33: products › tarn-table › rules › narrower-than-long › forbid › widht: there is no attribute "widht"; did you mean "width"?`,
	}},
	{[]change{{`need: width <= length`, "need: width <= length\n        allow: {top: wood}"}}, []string{
		`products/table.yaml:26:9: products › tarn-table › rules › narrower-than-long: allow and need are given together; write exactly one of allow, forbid, need`,
	}},
	{[]change{{`need: width <= length`, `where: {top: wood}`}}, []string{
		`products/table.yaml:26:9: products › tarn-table › rules › narrower-than-long: none of allow, forbid, need is given; write exactly one of allow, forbid, need`,
	}},
	{[]change{{`need: width <= length`, `need: width <= len('30 in')`}}, []string{
		`products/table.yaml:7:136: products › tarn-table › attributes › width › default: the defaults clash among themselves: A table is not wider than long. Width was not picked, and its default, 36 in, does not go with the rest.`,
	}},
	{[]change{{`where: {top: glass, length: over 72 in}`, `where: {top: glas, length: over 96 in}`}}, []string{
		`products/table.yaml:30:22: products › tarn-table › rules › long-glass › where › top: top is never "glas"; did you mean "glass"?`,
		`products/table.yaml:30:36: products › tarn-table › rules › long-glass › where › length: no length lies in this interval; it is from 48 in to 96 in`,
	}},
	{[]change{{`where: {top: glass, length: over 72 in}`, `where: {top: over 72 in, length: 50 ft}`}}, []string{
		`products/table.yaml:30:22: products › tarn-table › rules › long-glass › where › top: top is neither a length nor a number, so that nothing lies in an interval; write a value or a list of values`,
		`products/table.yaml:30:42: products › tarn-table › rules › long-glass › where › length: length is never 600 in; it is from 48 in to 96 in`,
	}},
	{[]change{{`where: {top: glass, length: over 72 in}`, `where: {top: glass, length: over 72}`}}, []string{
		`products/table.yaml:30:37: products › tarn-table › rules › long-glass › where › length: length is a length, and "over 72" has no unit; write such as up to 72 in`,
	}},
	{[]change{{`where: {top: glass, length: over 72 in}`, `where: {top: glass, length: over 72 in up to 60 in}`}}, []string{
		`products/table.yaml:30:37: products › tarn-table › rules › long-glass › where › length: nothing lies in the interval "over 72 in up to 60 in": it ends before it begins`,
	}},
	{[]change{{`where: {top: glass, length: over 72 in}`, `where: {top: glass, length: long}`}}, []string{
		`products/table.yaml:30:37: products › tarn-table › rules › long-glass › where › length: "long": no number at the start: write the number first, then its unit; write a length, or such as up to 72 in, over 72 in, at least 72 in`,
	}},
	{[]change{{`allow: {glass: clear-1-2}`, `allow: {glass: [clear-3-4, clear-1-2], plate: x}`}}, []string{
		`products/table.yaml:31:25: products › tarn-table › rules › long-glass › allow › glass: glass is never "clear-3-4"; did you mean "clear-3-8"?`,
		`products/table.yaml:31:55: products › tarn-table › rules › long-glass › allow › plate: plate is free text, of which nothing can hang`,
	}},
	{[]change{{`allow: {glass: clear-1-2}`, `allow: {glass: []}`}}, []string{
		`products/table.yaml:31:24: products › tarn-table › rules › long-glass › allow › glass: an empty list meets nothing: write at least one value`,
	}},
	{[]change{{`allow: {shelves: "0"}`, `allow: {shelves: "7"}`}}, []string{
		`products/table.yaml:35:26: products › tarn-table › rules › no-shelves-under-glass › allow › shelves: shelves is never "7"; it is from 0 to 3`,
	}},
	{[]change{{`allow: {shelves: "0"}`, `allow: {shelves: up to 7 in}`}}, []string{
		`products/table.yaml:35:26: products › tarn-table › rules › no-shelves-under-glass › allow › shelves: shelves is a whole number, and "up to 7 in" has a unit; write such as up to 3`,
	}},
	{[]change{{`allow: {shelves: "0"}`, `allow: {shelves: over 3}`}}, []string{
		`products/table.yaml:35:26: products › tarn-table › rules › no-shelves-under-glass › allow › shelves: no shelves lies in this interval; it is from 0 to 3`,
	}},
	{[]change{{`allow: {shelves: "0"}`, `allow: {shelves: at least 1 up to 72 in}`}}, []string{
		`products/table.yaml:35:26: products › tarn-table › rules › no-shelves-under-glass › allow › shelves: "at least 1 up to 72 in" has a length and a plain number: write both with a unit, or neither`,
	}},
	{[]change{{`allow: {shelves: "0"}`, `allow: {shelves: over 1 under 1}`}}, []string{
		`products/table.yaml:35:26: products › tarn-table › rules › no-shelves-under-glass › allow › shelves: nothing lies in the interval "over 1 under 1": it ends before it begins`,
	}},
	{[]change{{`says: A table is not wider than long.`, `sais: A table is not wider than long.`}}, []string{
		`products/table.yaml:26:9: products › tarn-table › rules › narrower-than-long: unknown key "sais"; did you mean "says"?`,
	}},

	// parts
	{[]change{{`leg: {name: Leg, pieces: 2 * standard.legs_at_end`, `leg: {name: Leg, pieces: standard.legs_at_end / 3`}}, []string{
		`products/table.yaml:48:36: products › tarn-table › parts › base › parts › leg › pieces: the formula comes to 2/3 pieces whatever is picked; pieces are a whole number; round it by ceil() or floor()`,
	}},
	{[]change{{`section: bar-1, straight: 29 * len('1 in') - top_thickness`, `section: bar-2, straight: len('1 in') - len('2 in')`}}, []string{
		`products/table.yaml:48:69: products › tarn-table › parts › base › parts › leg › steel › section: there is no section "bar-2"; did you mean "bar-1"?`,
		`products/table.yaml:48:96: products › tarn-table › parts › base › parts › leg › steel › straight: the formula comes to -1 in whatever is picked; a length is more than zero`,
	}},
	{[]change{{`section: bar-1, straight: 29 * len('1 in') - top_thickness`, `section: bar-1`}}, []string{
		`products/table.yaml:48:69: products › tarn-table › parts › base › parts › leg › steel: none of straight, mitred, ring, bent, hoop, scroll, drawn, upset, twisted is given; write exactly one of straight, mitred, ring, bent, hoop, scroll, drawn, upset, twisted`,
	}},
	{[]change{{`work: [{do: level, minutes: 3}]`, `work: [{do: level, minutes: -3}]`}}, []string{
		`products/table.yaml:48:69: products › tarn-table › parts › base › parts › leg › steel › work › 1 › minutes: -3 is less than zero`,
	}},
	{[]change{{`long_point: frame_length, across: 1 in, first: 45, second: 45`, `long_point: frame_length, across: 0 in, first: 75`}}, []string{
		`products/table.yaml:49:38: products › tarn-table › parts › base › parts › rail › steel › mitred › across: 0 in is not more than zero`,
		`products/table.yaml:49:38: products › tarn-table › parts › base › parts › rail › steel › mitred › first: an end cannot be cut 75 degrees off square; write 0 to 60`,
	}},
	{[]change{{`long_point: frame_length, across: 1 in, first: 45, second: 45`, `long_point: frame_length, across: 1 in`}}, []string{
		`products/table.yaml:49:38: products › tarn-table › parts › base › parts › rail › steel › mitred: both ends are square; write it as straight, or the angle of an end under first or second`,
	}},
	{[]change{{`rail: {pieces: "2", steel:`, `rail: {pieces: "2", hardware: {item: glide}, steel:`}}, []string{
		`products/table.yaml:49:17: products › tarn-table › parts › base › parts › rail: steel and hardware are given together; write exactly one of parts, steel, wood, leaf, glass, stone, cushion, hardware`,
	}},
	{[]change{{`ring: {steel: {section: rod-1-2, ring: {outside: width / 2}}}`, `ring: {}`}}, []string{
		`products/table.yaml:50:17: products › tarn-table › parts › base › parts › ring: none of parts, steel, wood, leaf, glass, stone, cushion, hardware is given; write exactly one of parts, steel, wood, leaf, glass, stone, cushion, hardware`,
	}},
	{[]change{{`steel: {section: rod-1-2, ring: {outside: width / 2}}`, `steel: {section: rod-1-2, straight: width, ring: {outside: width / 2}}`}}, []string{
		`products/table.yaml:50:25: products › tarn-table › parts › base › parts › ring › steel: straight and ring are given together; write exactly one of straight, mitred, ring, bent, hoop, scroll, drawn, upset, twisted`,
	}},
	{[]change{{`{angle: 90, radius: len('1 in')}, {straight: len('2 in')}`, `{angle: 90}, {straight: len('2 in')}, {straight: len('2 in')}, {}`}}, []string{
		`products/table.yaml:51:25: products › tarn-table › parts › base › parts › hook › steel › bent › runs › 2: a bend needs its centre-line radius; write radius, or for a flat its inside radius under inside`,
		`products/table.yaml:51:25: products › tarn-table › parts › base › parts › hook › steel › bent › runs › 4: two straights follow one another; write them as one`,
		`products/table.yaml:51:25: products › tarn-table › parts › base › parts › hook › steel › bent › runs › 5: a run is a straight, a leg over the outside, or an angle with its radius; write exactly one of straight, outside and angle`,
	}},
	{[]change{{`{angle: 90, radius: len('1 in')}, {straight: len('2 in')}`, `{angle: 400, radius: len('1 in')}`}}, []string{
		`products/table.yaml:51:25: products › tarn-table › parts › base › parts › hook › steel › bent › runs › 2 › angle: nothing is bent by 400 degrees; write 1 to 360`,
	}},
	{[]change{{`runs: [{straight: len('4 in')}, {angle: 90, radius: len('1 in')}, {straight: len('2 in')}]`, `runs: [{straight: len('4 in')}]`}}, []string{
		`products/table.yaml:51:25: products › tarn-table › parts › base › parts › hook › steel › bent › runs: nothing is bent; write a straight piece as straight`,
	}},
	{[]change{{"        metal_finish: metal_finish\n", "        metal_finish: \"'blak'\"\n"}}, []string{
		`products/table.yaml:46:23: products › tarn-table › parts › base › metal_finish: the formula may come to "blak", and there is no metal finish of that code; did you mean "black"?`,
	}},
	{[]change{{`          leg: {name: Leg, pieces`, "          inner: {metal_finish: metal_finish, parts: {lug: {steel: {section: bar-1, straight: width}}}}\n          leg: {name: Leg, pieces"}}, []string{
		`products/table.yaml:48:18: products › tarn-table › parts › base › parts › inner › metal_finish: base around it is finished as one already; leave one of the two out`,
	}},
	{[]change{{`leg: {name: Leg, pieces`, `leg: {name: Leg, metal_finish: metal_finish, welded: yes, pieces`}}, []string{
		`products/table.yaml:48:16: products › tarn-table › parts › base › parts › leg › metal_finish: only a group is finished as one; put the part in a group and write the finish there`,
		`products/table.yaml:48:16: products › tarn-table › parts › base › parts › leg › welded: only a group is welded together; write it on the group`,
	}},
	{[]change{{`wood: {species: species, finish: wood_finish`, `wood: {species: top, finish: "'limed'"`}}, []string{
		`products/table.yaml:52:50: products › tarn-table › parts › top › wood › species: the formula may come to "wood", and there is no species of that code; there are white-oak, walnut`,
	}},
	{[]change{{`wood: {species: species, finish: wood_finish`, `wood: {species: species, finish: "'limed'"`}}, []string{
		`products/table.yaml:52:40: products › tarn-table › parts › top › wood › finish: none of the finishes offered goes on walnut; offer one that does, add the species to a finish's "on", or do not offer the species`,
	}},
	{[]change{{`name: Limed, on: white-oak`, `name: Limed, on: walnut`}, {`name: Hand-rubbed oil, on: [white-oak, walnut]`, `name: Hand-rubbed oil, on: walnut`}}, []string{
		`products/table.yaml:52:40: products › tarn-table › parts › top › wood › finish: none of the finishes offered goes on white-oak; offer one that does, add the species to a finish's "on", or do not offer the species`,
	}},
	{[]change{{`length: length, width: width, thickness: top_thickness`, `length: length, shape: round, width: width, thickness: top_thickness`}}, []string{
		`products/table.yaml:52:40: products › tarn-table › parts › top › wood › width: a round has no width; its length is its diameter`,
	}},
	{[]change{{`length: length, width: width, height: len('29 in')`, `length: length, height: len('29 in')`}}, []string{
		`products/table.yaml:53:43: products › tarn-table › parts › pane › glass: a rectangle needs "width"; write it, or shape: round`,
	}},
	{[]change{{`glass: {glass: glass, length`, `glass: {glass: "'clear-1-4'", length`}}, []string{
		`products/table.yaml:53:51: products › tarn-table › parts › pane › glass › glass: the formula may come to "clear-1-4", and there is no glass of that code; did you mean "clear-1-2"?`,
	}},
	{[]change{{`cushion: {form: boxed, cloth: cloth, foam: firm`, `cushion: {form: boxd, cloth: cloth, foam: frim`}}, []string{
		`products/table.yaml:54:52: products › tarn-table › parts › cushion › cushion › foam: there is no foam "frim"; did you mean "firm"?`,
		`products/table.yaml:54:52: products › tarn-table › parts › cushion › cushion › form: there is no cushion form "boxd"; did you mean "boxed"?`,
	}},
	{[]change{{`, own_usable_width: own_width`, ``}}, []string{
		`products/table.yaml:54:52: products › tarn-table › parts › cushion › cushion: the cloth may be own, whose width is not known before it is ordered; write own_usable_width, a formula over what the order says of it`,
	}},
	{[]change{{`hardware: {item: slotted-tab, under: top}`, `hardware: {item: slotted-tab}`}}, []string{
		`products/table.yaml:55:57: products › tarn-table › parts › tab › hardware: slotted-tab sits in a slot, which is sized from the movement of a wood part; name that part under "under"`,
	}},
	{[]change{{`hardware: {item: slotted-tab, under: top}`, `hardware: {item: slotted-tab, under: base}`}}, []string{
		`products/table.yaml:55:57: products › tarn-table › parts › tab › hardware › under: there is no wood part "base"; there are top`,
	}},
	{[]change{{`hardware: {item: glide}`, `hardware: {item: glyde}`}}, []string{
		`products/table.yaml:56:38: products › tarn-table › parts › glide › hardware › item: there is no hardware "glyde"; did you mean "glide"?`,
	}},
	{[]change{{`      pane: {when`, "      g: {parts: {g: {parts: {g: {parts: {g: {parts: {g: {parts: {g: {parts: {g: {parts: {g: {parts: {g: {hardware: {item: glide}}}}}}}}}}}}}}}}}}\n      pane: {when"}}, []string{
		`products/table.yaml:53:103: products › tarn-table › parts › g › parts › g › parts › g › parts › g › parts › g › parts › g › parts › g › parts › g › parts › g: the part stands 9 deep; parts may stand at most 8 deep`,
	}},
	{[]change{{`packs: [base, top, pane, tab, glide], board: single-c`, `packs: [base, base, base/legs], board: double-c`}}, []string{
		`products/table.yaml:58:12: products › tarn-table › cartons › all › packs: "base" is listed twice; leave one out`,
		`products/table.yaml:58:33: products › tarn-table › cartons › all › packs: there is no part "base/legs"; did you mean "base/leg"?`,
		`products/table.yaml:58:52: products › tarn-table › cartons › all › board: there is no carton board "double-c"; there are single-c`,
	}},
	{[]change{{`depth: len('33 in'), packing: 8 lb`, `depth: len('3 in') - len('3 in'), packing: -8 lb`}}, []string{
		`products/table.yaml:58:12: products › tarn-table › cartons › all › packing: the weight -3628.73896 g is less than zero`,
		`products/table.yaml:58:133: products › tarn-table › cartons › all › depth: the formula comes to 0 in whatever is picked; a length is more than zero`,
	}},
	{[]change{{`soft: {when: cushion == 'loose'`, `so_ft: {when: cushon == 'none'`}}, []string{
		`products/table.yaml:59:14: products › tarn-table › cartons › so_ft: "so_ft" is not a code for a carton; use lower-case letters and digits, in parts joined by -, such as front-leg`,
		`products/table.yaml:59:21: products › tarn-table › cartons › so_ft › when: in the formula, at its column 1: unknown name cushon; did you mean cushion?`,
	}},

	// prices
	{[]change{{"prices:\n  tarn-table:\n", "prices:\n  tarn-tabel:\n"}}, []string{
		`products/table.yaml:62:3: prices › tarn-tabel: there is no product "tarn-tabel"; did you mean "tarn-table"?`,
	}},
	{[]change{{`{for: Up to 72 in, where: {length: up to 72 in}, list: 1999.99}`, `{for: Any, list: 0.00}`}}, []string{
		`products/table.yaml:64:9: prices › tarn-table › sizes › 1: Any fits always, so that the classes after it are never taken; move it to the end, or write when it fits under where`,
		`products/table.yaml:64:9: prices › tarn-table › sizes › 1 › list: 0.00 is not a price; leave the class out, which means to be quoted`,
	}},
	{[]change{{`{for: Walnut, where: {species: walnut}, add: 350.00}`, `{for: Walnut, where: {species: wallnut}, add: -350.00}`}}, []string{
		`products/table.yaml:67:9: prices › tarn-table › options › 1 › add: -350.00 is not a price; leave the option out, which adds nothing`,
		`products/table.yaml:67:40: prices › tarn-table › options › 1 › where › species: species is never "wallnut"; did you mean "walnut"?`,
	}},
	{[]change{{`of: [length, width], for: Custom size, charge: 250.00`, `of: [length, width, height, shelves, length], for: Custom size, charge: 0.00`}}, []string{
		`products/table.yaml:63:5: prices › tarn-table › custom_size › charge: 0.00 is not a price; leave the charge out`,
		`products/table.yaml:63:5: prices › tarn-table › custom_size › of: "length" is listed twice; leave one out`,
		`products/table.yaml:70:39: prices › tarn-table › custom_size › of: there is no attribute "height"; there are length, width, top, species, wood_finish, glass, metal_finish, cushion, cloth, own_width, pull, shelves and 1 more`,
		`products/table.yaml:70:47: prices › tarn-table › custom_size › of: shelves has no standard sizes; list them under its size`,
	}},
	{[]change{{`of: [length, width], for:`, `of: [], for:`}}, []string{
		`products/table.yaml:63:5: prices › tarn-table › custom_size › of: no attribute is named; name those whose standard sizes count`,
	}},
}

func TestEachFaultIsFoundWithItsPlaceAndSentence(t *testing.T) {
	for _, b := range broken {
		checkFaults(t, b.faults, b.changes...)
	}
}

func checkFaults(t *testing.T, want []string, changes ...change) {
	t.Helper()
	checkFaultsOf(t, small(t), want, changes...)
}

func checkFaultsOf(t *testing.T, files []source.File, want []string, changes ...change) {
	t.Helper()
	c, faults := catalog.Read(edit(t, files, changes...))
	if got := sentences(faults); !slices.Equal(got, want) {
		t.Errorf("changed %q:\ngot\n  %s\nwant\n  %s", changes, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
	if c != nil {
		t.Errorf("changed %q: a catalog with faults is taken", changes)
	}
}

func sentences(faults []source.Fault) (list []string) {
	for _, f := range faults {
		list = append(list, f.Error())
	}
	return list
}

// Ten mistakes, each of its own sort, are ten faults: none hides another, and
// none is told twice because something else hangs on it.
func TestTenFaultsAreTen(t *testing.T) {
	checkFaults(t, []string{
		`materials.yaml:11:34: rough_thicknesses › 4/4 › surfaced: "13/15 in": not a whole nanometre: the nearest 1/64 is 55/64 in`,
		`materials.yaml:23:17: coatings › black-powder: a powder needs "specific_gravity"; take it from the data sheet`,
		`materials.yaml:48:10: cushion_forms › boxed › zip: in the formula, at its column 1: unknown name lenght; did you mean length or height?`,
		`products/table.yaml:18:14: products › tarn-table › attributes › plate: choose and write are given together; write exactly one of choose, size, count, write`,
		`products/table.yaml:20:21: products › tarn-table › figures › frame_length: in the formula, at its column 10: length - number: a bare number has no unit; write len('2 in')`,
		`products/table.yaml:31:24: products › tarn-table › rules › long-glass › allow › glass: glass is never "clear-1-3"; did you mean "clear-1-2"?`,
		`products/table.yaml:48:69: products › tarn-table › parts › base › parts › leg › steel › section: there is no section "bar-7"; did you mean "bar-1"?`,
		`workshop.yaml:21:3: standards: standards are missing: saw_kerf (a length); write each with its value and its source; is "saw_kurf" meant for saw_kerf?`,
		`workshop.yaml:39:10: standards › seam: unknown key "lenght"; did you mean "length"?`,
		`workshop.yaml:53:3: need_by: carton is missing, which tarn-table uses; write how many working days before shipping it must be here`,
	},
		change{"4/4: {nominal: 1 in, surfaced: 13/16 in", "4/4: {nominal: 1 in, surfaced: 13/15 in"},
		change{"kind: powder, specific_gravity: 1.6, dry_film", "kind: powder, dry_film"},
		change{"saw_kerf: {length: 1/8 in", "saw_kurf: {length: 1/8 in"},
		change{"seam: {length: 1/2 in", "seam: {lenght: 1/2 in"},
		change{"  carton: 3\n", ""},
		change{"zip: length", "zip: lenght"},
		change{"name: Name plate, write", "name: Name plate, choose: {from: glass}, write"},
		change{"frame_length: length - 2 * standard", "frame_length: length - 2 + standard"},
		change{"allow: {glass: clear-1-2}", "allow: {glass: clear-1-3}"},
		change{"section: bar-1, straight", "section: bar-7, straight"},
	)
}
