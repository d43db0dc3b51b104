package source

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Each document has the faults listed, and no others.
var faultyDocuments = []struct {
	name, doc string
	faults    []string
}{
	// what the text is made of
	{"not UTF-8", "edition: 1\nclosures: [caf\xe9]\n", []string{
		`a.yaml:2:15: not UTF-8; save the file as UTF-8`}},
	{"UTF-16", "\xff\xfee\x00", []string{
		`a.yaml:1:1: not UTF-8 but UTF-16; save the file as UTF-8`}},
	{"byte order mark", "\ufeffedition: 1\n", []string{
		`a.yaml:1:1: a byte order mark; save the file as UTF-8 without a byte order mark`}},
	{"NUL", "edition: 1\nclosures: [a\x00b]\n", []string{
		`a.yaml:2:13: the control character U+0000; leave the character out`}},
	{"escaped NUL", `closures: ["a\0b"]`, []string{
		`a.yaml:1:12: closures › 1: the text holds the control character U+0000; leave the escape out`}},
	{"line separator", "notes: {a: b\u2028}\n", []string{
		`a.yaml:1:13: the control character U+2028; leave the character out`}},
	{"carriage return alone", "edition: 1\rclosures: []\n", []string{
		`a.yaml:1:11: the control character U+000D; leave the character out`}},
	{"directive", "# about\n\n%TAG ! tag:\n---\nedition: 1\n", []string{
		`a.yaml:3:1: YAML directives are not read; leave the line out`}},

	// YAML's own grammar
	{"tab", "plant:\n  zone: x\n\tnight: no\n", []string{
		`a.yaml:3:1: a tab in the indentation; indent with spaces`}},
	{"tab after spaces", "parts:\n  leg:\n  \t  name: x\n", []string{
		`a.yaml:3:3: a tab in the indentation; indent with spaces`}},
	{"uneven keys", "parts:\n  leg:\n    name: Leg\n   count: 3\n", []string{
		`a.yaml:4:4: not readable as YAML: did not find expected key; indent the keys of one mapping alike`}},
	{"uneven items", "closures:\n  - a\n - b\n", []string{
		`a.yaml:3:2: not readable as YAML: did not find expected key; indent the keys of one mapping alike`}},
	{"colon in a value", "edition: 1\nclosures:\n  - a\nnotes:\n  a: b: c\n", []string{
		`a.yaml:5:3: not readable as YAML: mapping values are not allowed in this context; indent the keys of one mapping alike, and put a value that holds ": " in quotes`}},
	{"quote left open in the first line", "closures: [\"a\nedition: 1\nplant: {}\n", []string{
		`a.yaml:1:1: not readable as YAML: found unexpected end of stream; close the quote that opens here`}},
	{"quote left open further down", "edition: 1\nnotes:\n  a: 'b\n  c: d\n", []string{
		`a.yaml:3:3: not readable as YAML: found unexpected end of stream; close the quote that opens here`}},
	{"bracket left open", "edition: 1\nclosures: [a, b\nnotes: {}\n", []string{
		`a.yaml:2:1: not readable as YAML: did not find expected ',' or ']'; close the bracket, and put commas between the items`}},
	{"special character", "edition: 1\nnotes:\n  a: @b\n", []string{
		`a.yaml:3:3: not readable as YAML: found character that cannot start any token; put a value that begins with a special character in quotes`}},
	{"key without colon", "edition: 1\nclosures\nnotes: {}\n", []string{
		`a.yaml:2:1: not readable as YAML: could not find expected ':'; write "key: value", with a space after the colon`}},
	{"list beside its key", "closures: - a\n", []string{
		`a.yaml:1:1: not readable as YAML: block sequence entries are not allowed in this context; begin a list on the line below its key, or put a value that begins with "- " in quotes`}},
	{"two documents", "edition: 1\n---\nplant: {zone: x}\n", []string{
		`a.yaml:2:1: a second document begins here; one file is one document: leave the line "---" out`}},
	{"text after the end", "edition: 1\n...\nplant: {zone: x}\n", []string{
		`a.yaml:3:1: not readable as YAML: did not find expected <document start>; one file is one document, and nothing follows it`}},

	// what YAML has and a catalog has not
	{"anchor and alias", "closures:\n- &day mon\n- *day\nedition: 1\n", []string{
		`a.yaml:2:3: closures › 1: the anchor &day is not read; leave it out and write the value out where it is used`,
		`a.yaml:3:3: closures › 2: the alias *day is not read; write the value out`}},
	{"alias of nothing", "edition: 1\nclosures: [a, *day]\n", []string{
		`a.yaml:2:15: the alias *day is not read; write the value out`}},
	{"alias as a key", "notes:\n  &a b: c\n  *a : d\n", []string{
		`a.yaml:2:3: notes: the anchor &a is not read; leave it out and write the value out where it is used`,
		`a.yaml:3:3: notes: the alias *a is not read; write the value out`}},
	{"merge key", "plant:\n  zone: x\n  <<: {night: no}\n", []string{
		`a.yaml:3:3: plant: a merge key (<<) is not read; write the keys out`}},
	{"tags", "closures:\n- !!str 1\n- !own a\n- ! b\n- !!binary aGk=\n", []string{
		`a.yaml:2:3: closures › 1: a tag (!) is not read; leave it out, or put the text in quotes`,
		`a.yaml:3:3: closures › 2: a tag (!) is not read; leave it out, or put the text in quotes`,
		`a.yaml:4:3: closures › 3: a tag (!) is not read; leave it out, or put the text in quotes`,
		`a.yaml:5:3: closures › 4: a tag (!) is not read; leave it out, or put the text in quotes`}},
	{"tag on a mapping", "plant: !own\n  zone: x\n", []string{
		`a.yaml:1:8: plant: a tag (!) is not read; leave it out, or put the text in quotes`}},

	// keys
	{"unknown key, nearly known", "parts:\n  leg: {name: Leg, lenght: 2 in}\n", []string{
		`a.yaml:2:20: parts › leg: unknown key "lenght"; did you mean "length"?`}},
	{"unknown key", "plant: {zone: x, weather: fine}\n", []string{
		`a.yaml:1:18: plant: unknown key "weather"; the keys here are zone, night`}},
	{"unknown key where one is missing", "parts:\n  leg: {title: Leg, length: 2 in}\n", []string{
		`a.yaml:2:9: parts › leg: unknown key "title"; is "name" meant? Name as printed.`}},
	{"two unknown keys where one is missing", "parts:\n  leg: {title: Leg, length: 2 in, colour: red}\n", []string{
		`a.yaml:2:8: parts › leg: the key "name" is missing; Name as printed.`,
		`a.yaml:2:9: parts › leg: unknown key "title"; the keys here are name, length, shape, count, offset, bent, holes, needs, parts`,
		`a.yaml:2:35: parts › leg: unknown key "colour"; the keys here are name, length, shape, count, offset, bent, holes, needs, parts`}},
	{"a comma in a number between braces", "parts:\n  leg: {name: Leg, count: 1,200, length: 2 in}\n", []string{
		`a.yaml:2:27: parts › leg › count: a comma in the number "1,200"; write 1200`}},
	{"a comma in a formula between braces", "parts:\n  leg: {name: Leg, length: up(perimeter, len('1/8 in')) + max(a, b, 2), count: 3}\n", []string{
		`a.yaml:2:28: parts › leg › length: a comma between braces ends the value in "up(perimeter, len('1/8 in')) + max(a, b, 2)"; put the whole of it in double quotes`}},
	{"a bracket that is not closed between braces", "parts:\n  leg: {name: Leg (long, length: 2 in, (odd: 3}\n", []string{
		`a.yaml:2:40: parts › leg: unknown key "(odd"; the keys here are name, length, shape, count, offset, bent, holes, needs, parts`}},
	{"a value that is missing at the end", "edition:", []string{
		`a.yaml:1:9: edition: empty value; write a value or leave the key out`}},
	{"a key without value at the end", "? plant", []string{
		`a.yaml:1:3: plant: empty value; write a value or leave the key out`}},
	{"unknown key at the top", "colour: red\n", []string{
		`a.yaml:1:1: unknown key "colour"; the keys here are plant, parts, notes, limits, closures, carriers, edition`}},
	{"missing key", "parts:\n  leg:\n    count: 3\n", []string{
		`a.yaml:3:5: parts › leg: the key "name" is missing; Name as printed.`}},
	{"a misspelt key is not missing too", "plant: {zoen: x}\n", []string{
		`a.yaml:1:9: plant: unknown key "zoen"; did you mean "zone"?`}},
	{"key twice", "plant:\n  zone: x\n  zone: y\n", []string{
		`a.yaml:3:3: plant: the key "zone" is given twice; it stands first at a.yaml:2:3`}},
	{"key twice, its value wrong as well", "edition: 1\nedition: two\n", []string{
		`a.yaml:2:1: the key "edition" is given twice; it stands first at a.yaml:1:1`,
		`a.yaml:2:10: edition: expected a whole number, found "two"; write digits only, such as 1200`}},
	{"a map twice in one file", "notes: {a: b}\nnotes: {c: d}\n", []string{
		`a.yaml:2:1: the key "notes" is given twice; it stands first at a.yaml:1:1`}},
	{"code twice", "parts:\n  leg: {name: A}\n  leg: {name: B}\n", []string{
		`a.yaml:3:3: parts: the key "leg" is given twice; it stands first at a.yaml:2:3`}},
	{"not a code", "parts:\n  Left Leg: {name: A}\n  a--b: {name: B}\n", []string{
		`a.yaml:2:3: parts: "Left Leg" is not a code; a code is lower-case letters and digits, in parts joined by - _ . or /, such as oak-2.5/left`,
		`a.yaml:3:3: parts: "a--b" is not a code; a code is lower-case letters and digits, in parts joined by - _ . or /, such as oak-2.5/left`}},
	{"empty key", "notes:\n  '': a\n  ~: b\n", []string{
		`a.yaml:2:3: notes: an empty key; write "key: value"`,
		`a.yaml:3:3: notes: an empty key; write "key: value"`}},
	{"a list as a key", "notes:\n  [a]: b\n", []string{
		`a.yaml:2:3: notes: a key must be text, found a list`}},

	// values
	{"empty values", "plant:\nclosures:\n-\n- ~\n- null\nnotes: {a: , b}\n", []string{
		`a.yaml:1:7: plant: empty value; write a value or leave the key out`,
		`a.yaml:3:2: closures › 1: empty value; write a value or leave the key out`,
		`a.yaml:4:3: closures › 2: empty value; write a value or leave the key out`,
		`a.yaml:5:3: closures › 3: empty value; write a value or leave the key out`,
		`a.yaml:6:12: notes › a: empty value; write a value or leave the key out`,
		`a.yaml:6:15: notes › b: empty value; write a value or leave the key out`}},
	{"text for a list", "closures: monday\n", []string{
		`a.yaml:1:11: closures: expected a list, found text; write the items as lines that begin with "- ", or as [a, b]`}},
	{"keys for a list", "closures: {a: b}\n", []string{
		`a.yaml:1:11: closures: expected a list, found keys and values; write the items as lines that begin with "- ", or as [a, b]`}},
	{"list for keys", "plant: [a]\nparts: [b]\n", []string{
		`a.yaml:1:8: plant: expected keys and values, found a list; write lines of "key: value", indented alike`,
		`a.yaml:2:8: parts: expected keys and values, found a list; write lines of "key: value", indented alike`}},
	{"list for text", "plant: {zone: [x]}\nedition: [1]\nparts: {a: {name: n, length: {in: 3}}}\n", []string{
		`a.yaml:1:15: plant › zone: expected text, found a list`,
		`a.yaml:2:10: edition: expected text, found a list`,
		`a.yaml:3:30: parts › a › length: expected text, found keys and values`}},
	{"list for a file", "- a\n", []string{
		`a.yaml:1:1: expected keys and values, found a list; write lines of "key: value", indented alike`}},
	{"text for a file", "hello\n", []string{
		`a.yaml:1:1: expected keys and values, found text; write lines of "key: value", indented alike`}},
	{"not yes or no", "plant: {zone: x, night: \"on\"}\n", []string{
		`a.yaml:1:25: plant › night: expected yes or no, found "on"`}},
	{"numbers written another way", "parts: {a: {name: n, count: 0x10}, b: {name: n, count: 1e2}, c: {name: n, count: 1_0}, d: {name: n, count: 010}}\n", []string{
		`a.yaml:1:29: parts › a › count: expected a whole number, found "0x10"; write digits only, such as 1200`,
		`a.yaml:1:56: parts › b › count: expected a whole number, found "1e2"; write digits only, such as 1200`,
		`a.yaml:1:82: parts › c › count: expected a whole number, found "1_0"; write digits only, such as 1200`,
		`a.yaml:1:108: parts › d › count: expected a whole number, found "010"; write digits only, such as 1200`}},
	{"numbers out of range", "parts: {a: {name: n, count: 256, offset: -129}, b: {name: n, count: -1}}\nedition: 9223372036854775808\n", []string{
		`a.yaml:1:29: parts › a › count: the number "256" is out of range; it may be 0 to 255`,
		`a.yaml:1:42: parts › a › offset: the number "-129" is out of range; it may be -128 to 127`,
		`a.yaml:1:69: parts › b › count: the number "-1" is out of range; it may be 0 to 255`,
		`a.yaml:2:10: edition: the number "9223372036854775808" is out of range; it may be -9223372036854775808 to 9223372036854775807`}},
	{"word not allowed", "parts: {a: {name: n, shape: sqare}, b: {name: n, shape: hexagonal}}\nlimits: {c: [low, hihg]}\n", []string{
		`a.yaml:1:29: parts › a › shape: expected one of round, square, flat, found "sqare"; did you mean "square"?`,
		`a.yaml:1:57: parts › b › shape: expected one of round, square, flat, found "hexagonal"`,
		`a.yaml:2:19: limits › c › 2: expected one of low, high, found "hihg"; did you mean "high"?`}},
	{"a type's own reading", "parts: {a: {name: n, length: 72}}\n", []string{
		`a.yaml:1:30: parts › a › length: "72" is not a length: write 72 in`}},
	{"a short form's own reading", "parts: {a: {name: n, holes: [top, nowhere, {wide: 1 in}, twice wrong]}}\n", []string{
		`a.yaml:1:35: parts › a › holes › 2: no such face; use top or side`,
		`a.yaml:1:44: parts › a › holes › 3: the key "at" is missing; Face it is drilled in.`,
		`a.yaml:1:58: parts › a › holes › 4: first reason`,
		`a.yaml:1:58: parts › a › holes › 4: second reason`}},
	{"a short form that has no other", "parts: {a: {name: n, needs: {x: y}}, b: {name: n, needs: []}, c: {name: n, needs: [a, [b], ~]}}\n", []string{
		`a.yaml:1:29: parts › a › needs: expected text or a list of texts, found keys and values`,
		`a.yaml:1:58: parts › b › needs: an empty list asks for nothing`,
		`a.yaml:1:87: parts › c › needs › 2: expected text, found a list`,
		`a.yaml:1:92: parts › c › needs › 3: empty value; write a value or leave the key out`}},
	{"far down", "parts:\n  a:\n    name: A\n    parts:\n      b:\n        name: B\n        holes:\n        - top\n        - at: side\n          wide: 1 inch\n", []string{
		`a.yaml:10:17: parts › a › parts › b › holes › 2 › wide: "1 inch" is not a length: write 72 in`}},
	{"long text is cut in the sentence", "closures: []\n" + strings.Repeat("k", 100) + ": x\n", []string{
		`a.yaml:2:1: unknown key "` + strings.Repeat("k", 60) + `…"; the keys here are plant, parts, notes, limits, closures, carriers, edition`}},
}

func TestFaults(t *testing.T) {
	for _, test := range faultyDocuments {
		t.Run(test.name, func(t *testing.T) {
			checkFaults(t, []File{{"a.yaml", []byte(test.doc)}}, test.faults)
		})
	}
}

func checkFaults(t *testing.T, files []File, want []string) {
	t.Helper()
	var into book
	var got []string
	for _, fault := range Decode(files, &into) {
		got = append(got, fault.Error())
	}
	if !slices.Equal(got, want) {
		t.Errorf("faults\n  %s\nwant\n  %s", strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

// Eight different faults in two files: those eight, by file and line.
func TestEightFaults(t *testing.T) {
	files := []File{
		{"legs.yaml", []byte(`parts:
  leg:
    name: Leg
    lenght: 28 in
    count: four
  foot:
    name: Foot
    shape: rund
  Cap: {name: Cap, bent: maybe}
`)},
		{"base.yaml", []byte(`plant: {zone: x}
closures: monday
notes: {a: }
parts: {top: {name: Top, length: 72}}
`)},
	}
	checkFaults(t, files, []string{
		`base.yaml:2:11: closures: expected a list, found text; write the items as lines that begin with "- ", or as [a, b]`,
		`base.yaml:3:12: notes › a: empty value; write a value or leave the key out`,
		`base.yaml:4:34: parts › top › length: "72" is not a length: write 72 in`,
		`legs.yaml:4:5: parts › leg: unknown key "lenght"; did you mean "length"?`,
		`legs.yaml:5:12: parts › leg › count: expected a whole number, found "four"; write digits only, such as 1200`,
		`legs.yaml:8:12: parts › foot › shape: expected one of round, square, flat, found "rund"; did you mean "round"?`,
		`legs.yaml:9:3: parts: "Cap" is not a code; a code is lower-case letters and digits, in parts joined by - _ . or /, such as oak-2.5/left`,
		`legs.yaml:9:26: parts › Cap › bent: expected yes or no, found "maybe"`,
	})
}

func TestFaultsOverFiles(t *testing.T) {
	t.Run("a code in two files", func(t *testing.T) {
		checkFaults(t, []File{
			{"a.yaml", []byte("parts: {leg: {name: A}}\n")},
			{"b.yaml", []byte("edition: 2\nparts:\n  leg: {name: B}\n")},
		}, []string{`b.yaml:3:3: parts: the key "leg" is given twice; it stands first at a.yaml:1:9`})
	})
	t.Run("a single value in two files", func(t *testing.T) {
		checkFaults(t, []File{
			{"a.yaml", []byte("edition: 1\nplant: {zone: x}\n")},
			{"b.yaml", []byte("plant: {zone: y}\nedition: 1\n")},
		}, []string{
			`b.yaml:1:1: the key "plant" is given twice; it stands first at a.yaml:2:1`,
			`b.yaml:2:1: the key "edition" is given twice; it stands first at a.yaml:1:1`,
		})
	})
	t.Run("one file unreadable, the others are read", func(t *testing.T) {
		checkFaults(t, []File{
			{"a.yaml", []byte("edition: [\n")},
			{"b.yaml", []byte("edition: one\n")},
		}, []string{
			`a.yaml:1:1: not readable as YAML: did not find expected node content; put commas only between items, and a value that begins with a special character in quotes`,
			`b.yaml:1:10: edition: expected a whole number, found "one"; write digits only, such as 1200`,
		})
	})
}

// A required top-level key may stand in any file; with a file that could not
// be read nobody knows whether it does.
func TestRequiredAtTheTop(t *testing.T) {
	type top struct {
		Zone string   `yaml:"zone,required" doc:"Time zone."`
		Days []string `yaml:"days,required"`
	}
	for _, test := range []struct{ docs, want string }{
		{"zone: x\n|days: []\n", ""},
		{"days: []\n", `no file has the key "zone"; Time zone.`},
		{"", "no file has the key \"days\"\nno file has the key \"zone\"; Time zone."},
		{"days: []\n|zon: x\n", `1.yaml:1:1: unknown key "zon"; did you mean "zone"?`},
		{"days: []\n|\xff", `1.yaml:1:1: not UTF-8; save the file as UTF-8`},
	} {
		var files []File
		for i, doc := range strings.Split(test.docs, "|") {
			files = append(files, File{fmt.Sprintf("%d.yaml", i), []byte(doc)})
		}
		var into top
		var got []string
		for _, fault := range Decode(files, &into) {
			got = append(got, fault.Error())
		}
		if joined := strings.Join(got, "\n"); joined != test.want {
			t.Errorf("%q: %s\nwant %s", test.docs, joined, test.want)
		}
	}
}

func TestFaultText(t *testing.T) {
	for _, test := range []struct {
		fault Fault
		want  string
	}{
		{Fault{Message: "m"}, "m"},
		{Fault{Pos: Pos{File: "a.yaml"}, Message: "m", Hint: "h"}, "a.yaml: m; h"},
		{Fault{Pos: Pos{"a.yaml", 3, 4}, Where: "b › c", Message: "m", Hint: "h"}, "a.yaml:3:4: b › c: m; h"},
	} {
		if got := test.fault.Error(); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"length", "lengths", "width", "no", "kerf"}
	for text, want := range map[string]string{
		"lenght": "length", "lngth": "length", "lengthss": "lengths", "widht": "width",
		"krf": "kerf", "kref": "kerf", "kxxf": "", "na": "", "breadth": "", "": "",
		strings.Repeat("length", 20): "",
	} {
		if got, found := Nearest(text, words); got != want || found != (want != "") {
			t.Errorf("nearest to %q is %q, %t; want %q", text, got, found, want)
		}
	}
}
