// Package reference writes the reference of the catalog format out of the very
// tags that the catalog is read by, so that the two cannot part.
package reference

import (
	"fmt"
	"io"
	"strings"

	"billwright/catalog"
	"billwright/catalog/source"
)

// Write writes the whole reference as Markdown.
func Write(w io.Writer) error {
	tables, err := source.Outline(new(catalog.Plan))
	if err != nil {
		return err
	}
	r := writer{w: w}
	r.print(opening)
	for i, table := range tables {
		r.table(table, i == 0)
	}
	r.standards()
	r.print(formulas)
	return r.err
}

type writer struct {
	w   io.Writer
	err error
}

func (r *writer) print(text string) {
	if r.err == nil {
		_, r.err = io.WriteString(r.w, text)
	}
}

func (r *writer) printf(format string, args ...any) { r.print(fmt.Sprintf(format, args...)) }

func (r *writer) table(t source.Table, top bool) {
	if top {
		r.print("\n## A catalog file\n\nEach of these is a key at the left edge of a file.\n")
	} else {
		r.printf("\n## %s\n", t.Name)
		if t.Short {
			r.print("\nMay also be written as one text; see \"Short forms\".\n")
		}
	}
	r.print("\n| key | needed | written as | what it is |\n|---|---|---|---|\n")
	for _, f := range t.Fields {
		needed := ""
		if f.Required {
			needed = "yes"
		}
		r.printf("| `%s` | %s | %s | %s |\n", f.Key, needed, written(f), strings.ReplaceAll(f.Doc, "|", `\|`))
	}
}

// written says how a value is written, with a link to the mapping that it is or
// holds.
func written(f source.TableField) string {
	if len(f.Words) > 0 {
		words := strings.Join(f.Words, "`, `")
		if f.Kind != "text" {
			return f.Kind + ": `" + words + "`"
		}
		return "`" + words + "`"
	}
	kind := f.Kind
	if f.Of != "" {
		kind = strings.Replace(kind, "mapping", fmt.Sprintf("[%s](#%s)", f.Of, strings.ReplaceAll(f.Of, " ", "-")), 1)
	}
	for _, s := range scalars {
		if kind == s.name || strings.HasSuffix(kind, " "+s.name) || strings.HasPrefix(kind, s.name+",") {
			return strings.Replace(kind, s.name, s.example, 1)
		}
	}
	return kind
}

// scalars are the kinds of single value with an example of each, the longer
// names first: "linear mass" ends in "mass".
var scalars = []struct{ name, example string }{
	{"linear mass", "weight by length such as `1.6 lb/ft` or `2.4 kg/m`"},
	{"mass rate", "weight by time such as `5 lb/h` or `2.3 kg/h`"},
	{"area mass", "weight by area such as `0.14 lb/ft2` or `700 g/m2`"},
	{"temperature", "temperature such as `400 F` or `200 C`"},
	{"coverage", "coverage such as `400 ft2/gal`, `10 m2/L`, `60 ft2/lb` or `90 g/m2`"},
	{"edge crush", "strength by length such as `44 lb/in` or `7.7 kN/m`"},
	{"divisor", "volume by weight such as `139 in3/lb` or `5000 cm3/kg`"},
	{"condition", "condition"},
	{"quantity", "quantity such as `100`, `1/4 yd`, `100 bf`, `5 gal` or `25 lb`"},
	{"density", "density such as `490 lb/ft3` or `7850 kg/m3`"},
	{"length", "length such as `72 1/2 in` or `1840 mm`"},
	{"ratio", "number such as `3`, `0.7`, `5/8` or `70 %`"},
	{"money", "sum of money such as `41.20`"},
	{"terms", "discounts such as `50/10`, or `list`"},
	{"date", "day such as `2026-11-02`"},
	{"mass", "weight such as `12 lb` or `5.4 kg`"},
	{"area", "area such as `50 ft2` or `4.6 m2`"},
	{"expr", "formula"},
}

func (r *writer) standards() {
	r.print("\n## Standards that the arithmetic asks for\n\nEvery catalog has them all, each with its `source`; what belongs to work that a workshop does not do is written all the same.\n" +
		"A standard of your own name may be read in formulas as `standard.NAME`, and so may these where they are a length or a ratio.\n\n" +
		"| name | given as | what it is |\n|---|---|---|\n")
	r.standardRows(catalog.StandardNames)
	r.print("\nThese may be left out:\n\n| name | given as | what it is |\n|---|---|---|\n")
	r.standardRows(catalog.OptionalStandardNames)
}

func (r *writer) standardRows(names []catalog.StandardName) {
	for _, s := range names {
		given := "`" + s.Kind.String() + "`"
		if len(s.Choices) > 0 {
			given = "`choice`: `" + strings.Join(s.Choices, "`, `") + "`"
		}
		r.printf("| `%s` | %s | %s |\n", s.Name, given, s.Doc)
	}
}

const opening = `# The catalog format: reference

This page is written by the program out of what it reads (` + "`go test ./catalog/reference -update`" + `); [BEGIN.md](BEGIN.md) is the page to begin with.

A catalog is a folder of YAML files, split and named as you like; subfolders are read too. The same key in two files adds up. A code (of a species, a part, a
product) is of small letters and digits, joined by hyphens; a name that formulas read (of an attribute, a figure, a standard) is joined by underscores instead.
Anchors, tags and several documents in a file are not used. ` + "`billwright catalog check FOLDER`" + ` tells everything that is wrong, with file and line.

## Short forms

- A **formula** is one text; see "Formulas" at the end.
- A **condition** on a choice is a value or a list of values: ` + "`white-oak`, `[white-oak, white-ash]`" + `. On a length it is ` + "`up to 72 in`, `over 72 in`,\n`over 72 in up to 96 in`, `at least 60 in`, `under 96 in` or `at least 60 in up to 96 in`; on a whole\nnumber the same without a unit, `up to 3`" + `.
- Where *text, or a list of them* is written, one text alone will do. Any other list is written as one even of one thing: ` + "`[{length: 24 ft}]`" + `.
- What may also be written as one text is then its first key: ` + "`straight: leg_length`" + ` is ` + "`straight: {length: leg_length}`" + `.
- Between braces or brackets a comma ends a value; a formula with a comma in it goes in double quotes there.
- A length has its unit with it: ` + "`14 3/4 in`, `6 ft 0 1/2 in`, `72.5 in`, `1840 mm`, `1.84 m`" + `. It is exact; a third of an inch is refused.
`

const formulas = `
## Formulas

A formula is reckoned exactly: a length times a number is a length, a length times a length an area, a length by a length a number. A number has no unit, so a
length is written with ` + "`len`" + `, and a fraction with ` + "`frac`" + `.

| written | gives |
|---|---|
| ` + "`length - 2 * standard.end_overhang`" + ` | lengths and numbers with ` + "`+ - * /`" + ` and brackets |
| ` + "`len('14 3/4 in')`" + ` | a written length |
| ` + "`frac('3/8')`" + ` | an exact fraction; ` + "`3 / 8`" + ` of two written numbers is refused |
| ` + "`up(x, len('1/16 in'))`, `down(…)`, `nearest(…)`" + ` | a length brought to a multiple of a step |
| ` + "`ceil(n)`, `floor(n)`" + ` | a number brought to a whole one |
| ` + "`min(a, b)`, `max(a, b)`, `abs(x)`" + ` | the least, the most, the size without its sign |
| ` + "`band('legs', length)`" + ` | the row of the table ` + "`legs`" + ` (key ` + "`tables`" + `) that the value falls in: its lower end belongs to it, its upper end to the next |
| ` + "`\"'eased'\"`" + ` | a text by itself: in single quotes, and these in double ones, since YAML takes the outer pair for its own |
| ` + "`species == 'white-oak'`, `!=`, `<`, `<=`, `>`, `>=`" + ` | yes or no; a code stands in single quotes |
| ` + "`edge in ['eased', 'bevel']`, `a && b`, `a || b`, `!a`" + ` | one of; and; or; not |
| ` + "`top == 'glass' ? glass.thickness : len('1 1/4 in')`" + ` | the first when it holds, else the second (put the whole formula in double quotes: YAML reads ` + "`: `" + ` as its own) |

A product's formulas read its attributes by name, ` + "`ATTRIBUTE.thickness`" + ` of an attribute that chooses a glass, ` + "`ATTRIBUTE.usable_width` and\n`ATTRIBUTE.repeat`" + ` of one that chooses a fabric, ` + "`ATTRIBUTE.open`" + ` (yes or no) of one that may be unlisted, ` + "`standard.NAME`" + `, and the figures above them. A cushion form's formulas read ` + "`length`, `width`, `height`, `perimeter`" + ` and
` + "`area`" + ` (of the finished cushion; an outline that is round or slanted has a perimeter of no whole fraction, so bring it to one by ` + "`up(perimeter, len('1/8 in'))`" + `) and the standards. A formula has at most 2,000 bytes and reaches no file, network or clock.
`
