package catalog_test

import "testing"

const (
	padPieces  = `pieces: {plate: {pieces: "2", along: length + 2 * standard.seam, across: width + 2 * standard.seam, match: yes}}`
	padPattern = `pattern: {by: table, table: repeat_share}`
	padPart    = `cushion: {form: pad, cloth: cloth, foam: firm, length: length, width: len('350 mm'), height: len('40 mm'), own_usable_width: own_width, own_repeat: own_repeat}`
)

// brokenCushions are changes to the cushions of the wide catalog, each with every
// fault that Read must then find, word for word.
var brokenCushions = []struct {
	changes []change
	faults  []string
}{
	{[]change{{`match: yes}}`, `match: yes, bias: {mode: down, to: 0 mm}}}`}}, []string{
		`materials.yaml:42:14: cushion_forms › pad › pieces › plate › bias › mode: a square rounded down may be too small for its strips; write up`,
		`materials.yaml:42:14: cushion_forms › pad › pieces › plate › bias › to: 0 in is not more than zero`,
		`materials.yaml:42:14: cushion_forms › pad › pieces › plate › match: a strip on the bias runs across the pattern and is always joined; leave it out`,
	}},
	{[]change{{padPieces, padPieces + "\n    trimmings: {foam: {item: glid, pieces: \"1\", length: length}, tag: {item: glide}, wrap: {item: glide, pieces: \"1\", width: length}}"}}, []string{
		`materials.yaml:43:17: cushion_forms › pad › trimmings › foam: foam is what a row of every cushion is called; give the trimming another name, such as zip-chain`,
		`materials.yaml:43:23: cushion_forms › pad › trimmings › foam: pieces and length are given together; write exactly one of pieces, length`,
		`materials.yaml:43:23: cushion_forms › pad › trimmings › foam › item: there is no hardware "glid"; did you mean "glide"?`,
		`materials.yaml:43:71: cushion_forms › pad › trimmings › tag: none of pieces, length is given; write exactly one of pieces, length`,
		`materials.yaml:43:92: cushion_forms › pad › trimmings › wrap › width: a width without a length; write both, for what is bought by area`,
	}},
	{[]change{{padPattern, `pattern: {by: whole repeats, narrow: {below: 1 m, table: repeat_share}}`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern › narrow: whole repeats are reckoned without a table; leave it out, or write by: table`,
	}},
	{[]change{{padPattern, `pattern: {by: table, table: repeat_share, narrow: {below: 0 mm, table: legs}}`}}, []string{
		`materials.yaml:41:5: cushion_forms › pad › pattern › narrow › below: 0 in is not more than zero`,
		`materials.yaml:41:5: cushion_forms › pad › pattern › narrow › table: the table legs is looked up by number and gives a number; a pattern needs one that is looked up by length, the repeats along and across added up, and gives a number, the share to add`,
	}},
	{[]change{{`repeat: 50 mm, repeat_across`, `bolt: -1 m, repeat: 50 mm, repeat_across`}, {`factor: 1.4}}`, `factor: 1.4}, bolt: 3 m}`}}, []string{
		`materials.yaml:32:9: fabrics › wool › bolt: -1000 mm is less than zero`,
		`materials.yaml:33:9: fabrics › hide › bolt: leather comes in hides and not from a roll; leave it out`,
	}},
	{[]change{{`length: length, width: len('350 mm'), height: len('40 mm')`, `contrast: "'wool'", shape: round, length: length, width: len('350 mm'), ears: len('3 mm'), height: len('40 mm')`}}, []string{
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion › contrast: the form pad cuts nothing from a contrast; leave it out, or write from: contrast at a piece of the form`,
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion › ears: a round has no "ears"; leave it out, or write the shape that has it: t-shape`,
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion › width: a round has no "width"; its length is its diameter`,
	}},
	{[]change{{`length: length, width: len('350 mm'), height: len('40 mm')`, `shape: t-shape, length: length, height: len('40 mm')`}}, []string{
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion: a t-shape needs "ears"; write it, or another shape`,
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion: a t-shape needs "rear_length"; write it, or another shape`,
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion: a t-shape needs "width"; write it, or another shape`,
	}},
	{[]change{{`length: length, width: len('350 mm'), height: len('40 mm')`, `shape: polygon, length: length, width: len('350 mm'), corners: [{right: "2", back: len('0 mm')}], height: len('40 mm')`}}, []string{
		`products.yaml:41:33: products › kell-bench › parts › pad › cushion › corners: it has 1 of them; a polygon has 3 to 40`,
		`products.yaml:41:143: products › kell-bench › parts › pad › cushion › corners › 1 › right: in the formula, at its column 1: the formula gives a number, and a length is needed here; multiply it by a length, as in n * len('1 in')`,
	}},
	{[]change{{`length + 2 * standard.seam, across: width`, `perimeter * perimeter, across: area / width`}}, []string{
		`materials.yaml:42:42: cushion_forms › pad › pieces › plate › along: in the formula, at its column 1: the formula gives an area, and a length is needed here; divide it by a length`,
	}},
}

func TestEachFaultOfACushionIsFound(t *testing.T) {
	for _, b := range brokenCushions {
		checkFaultsOf(t, wide(t), b.faults, b.changes...)
	}
}
