package catalog_test

import "testing"

// What is wrong with sheets and units of purchase, in the small catalog.
var brokenPurchase = []struct {
	changes []change
	faults  []string
}{
	{[]change{{`safety: tempered}`, `safety: tempered, sheets: {sizes: [{length: 96 in, width: 48 in}]}}`}}, []string{
		`materials.yaml:20:80: glass › clear-1-2 › sheets: tempered glass is never cut: the vendor cuts it before it is tempered; leave it out, so that panes are bought to size`,
	}},
	{[]change{{`density: 47 lb/ft3, movement`, `density: 47 lb/ft3, sheets: {sizes: [{length: 96 in, width: 48 in, thickness: 3/4 in}]}, movement`}}, []string{
		`materials.yaml:15:73: species › white-oak › sheets: blanks that are made of lumber are not cut from sheets; write blanks: bought, or leave it out`,
	}},
	{[]change{{`density: 2.8 lb/ft3, source`, `density: 2.8 lb/ft3, sheets: {sizes: [{length: 82 in, width: 54 in}]}, source`}}, []string{
		`materials.yaml:40:56: foams › firm › sheets › sizes › 1: the sheet has no thickness; write it under thickness, such as 3/4 in`,
	}},
	{[]change{{`density: 2.8 lb/ft3, source`, `density: 2.8 lb/ft3, sheets: {sizes: [], stages: 1, trim: -1 in}, source`}}, []string{
		`materials.yaml:40:56: foams › firm › sheets › sizes: no size is listed; write those it is bought in`,
		`materials.yaml:40:56: foams › firm › sheets › stages: cuts in 1 stages are none; write 2 or more, such as 3, or leave it out for no limit`,
		`materials.yaml:40:56: foams › firm › sheets › trim: -1 in is less than zero`,
	}},
	{[]change{{`density: 2.8 lb/ft3, source`, `density: 2.8 lb/ft3, sheets: {trim: 30 in, sizes: [{length: 82 in, width: 54 in, thickness: 3 in, limit: -2}, {length: 82 in, width: 54 in, thickness: 3 in, price: -1.00}]}, source`}}, []string{
		`materials.yaml:40:56: foams › firm › sheets › sizes › 1: trims of 30 in at each edge leave nothing of it`,
		`materials.yaml:40:56: foams › firm › sheets › sizes › 1 › limit: -2 sheets are less than none; leave it out for as many as are needed`,
		`materials.yaml:40:56: foams › firm › sheets › sizes › 2: 82 in x 54 in is listed twice; leave one out`,
		`materials.yaml:40:56: foams › firm › sheets › sizes › 2: trims of 30 in at each edge leave nothing of it`,
		`materials.yaml:40:56: foams › firm › sheets › sizes › 2 › price: the price -1.00 is less than zero`,
	}},
	{[]change{{`price: 40.00}]}`, `price: 40.00}], buy: {by: 100 lb}}`}}, []string{
		`materials.yaml:2:106: sections › bar-1 › buy › by: 100 lb is a weight, and it is counted in pieces; write it so, such as 10`,
	}},
	{[]change{{`transfer_efficiency: 60 %, source`, `transfer_efficiency: 60 %, buy: {by: 5 gal, called: pail}, source`}}, []string{
		`materials.yaml:23:127: coatings › black-powder › buy › by: 5 gal is a volume, and it is counted by weight; write it so, such as 25 lb`,
	}},
	{[]change{{`transfer_efficiency: 60 %, source`, `transfer_efficiency: 60 %, buy: {called: pail}, source`}}, []string{
		`materials.yaml:23:127: coatings › black-powder › buy: nothing is said of how it is bought; write under "by" what is bought in whole multiples, or under "least" the least that is bought`,
		`materials.yaml:23:127: coatings › black-powder › buy › called: there is nothing that could be called so; write under "by" how much one of them is`,
	}},
	{[]change{{`usable_width: 54 in, railroad: yes}`, `usable_width: 54 in, railroad: yes, buy: {by: 1/4 yd, least: 2}}`}}, []string{
		`materials.yaml:35:95: fabrics › twill › buy › least: 2 is a number of pieces, and it is counted by length; write it so, such as 1/4 yd`,
	}},
	{[]change{{`own_material: yes}`, `own_material: yes, buy: {least: 1 yd}}`}}, []string{
		`materials.yaml:37:55: fabrics › own › buy: customer's own material is not bought; leave it out`,
	}},
	{[]change{{`usable_width: 54 in, railroad: yes}`, `usable_width: 54 in, railroad: yes, buy: {by: some}}`}}, []string{
		`materials.yaml:35:100: fabrics › twill › buy › by: "some" is no quantity: write a whole number of pieces, or a number with its unit, such as 1/4 yd, 100 bf, 5 gal or 25 lb`,
	}},
}

func TestFaultsOfSheetsAndPurchase(t *testing.T) {
	for _, b := range brokenPurchase {
		checkFaults(t, b.faults, b.changes...)
	}
}
