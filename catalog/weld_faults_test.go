package catalog_test

import (
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
)

// welded is a file with a welded product, whole by itself.
const welded = `need_by: {wire: 5}
wires:
  solid: {name: Solid wire, density: 0.283 lb/in3, source: made up, lead_days: 2}
processes:
  gas: {name: Under gas, wire: solid, efficiency: 93 %, rate: 5 lb/h, source: made up}
products:
  gate:
    name: Gate
    lead_days: 5
    attributes:
      width: {name: Width, size: {from: 20 in, to: 400 in, step_inch: 1 in, step_metric: 1 mm}, default: 40 in}
    parts:
      frame:
        welded: yes
        joints:
          corner: {name: Corner, joins: [frame/rail, frame/post], pieces: 4, length: "len('2 in')", weld: {kind: V groove, depth: 1/4 in, angle: 60, process: gas}}
          pin: {name: Pin, joins: [frame/pin, frame/post], all_round: frame/pin, weld: {kind: fillet, leg: 1/8 in, process: gas}}
          plug: {name: Plug, joins: [frame/pin, frame/post], weld: {kind: plug, hole: 1/4 in, depth: 1/8 in, process: gas}}
        after_welding: [{do: level, minutes: 3}]
        parts:
          rail: {pieces: 2, steel: {section: bar-1, straight: width, splice: {most: 2, from_ends: 10 in, weld: {kind: V groove, depth: 1/2 in, angle: 60, process: gas}}}}
          post: {pieces: 2, steel: {section: flat-2, straight: "len('30 in')"}}
          pin: {steel: {section: rod-1-2, straight: "len('3 in')"}}
      top: {steel: {section: bar-1, straight: width}}
prices:
  gate: {sizes: [{for: Gate, list: 100.00}]}
`

// brokenWelds are changes to it, each with every fault that Read must then find:
// the line and what follows the file's name.
var brokenWelds = []struct {
	old, new string
	faults   []string
}{
	{"need_by: {wire: 5}\n", "\n", []string{
		`workshop.yaml:53:3: need_by: wire is missing, which gate uses; write how many working days before shipping it must be here`,
	}},
	{"wire: solid,", "wire: sold,", []string{
		`5:8: processes › gas › wire: there is no filler wire "sold"; did you mean "solid"?`,
	}},
	{"efficiency: 93 %", "efficiency: 120 %", []string{
		`5:8: processes › gas › efficiency: 6/5 is not a share; write more than 0 and up to 1, such as 0.70 or 70 %`,
	}},
	{"rate: 5 lb/h", "rate: 5 lb", []string{
		`5:63: processes › gas › rate: "5 lb" is not a weight by time: write a number, a space and one of lb/h or kg/h`,
	}},
	{"welded: yes", "welded: no", []string{
		`14:9: products › gate › parts › frame: joints and what is done after welding belong to a welded group; write welded: yes`,
	}},
	{"joins: [frame/rail, frame/post], pieces: 4", "joins: [frame/rail, top, frame/rail], pieces: 1/2", []string{
		`16:19: products › gate › parts › frame › joints › corner › joins: "frame/rail" is listed twice; leave one out`,
		`16:54: products › gate › parts › frame › joints › corner › joins: "top" is no part below frame; there are frame/pin, frame/post, frame/rail`,
		`16:80: products › gate › parts › frame › joints › corner › pieces: in the formula, at its column 1: 1 / 2: bare integer division; write frac('1/2')`,
	}},
	{"pieces: 4, length: \"len('2 in')\"", "pieces: 4", []string{
		`16:19: products › gate › parts › frame › joints › corner: none of length, all_round is given; write exactly one of length, all_round`,
	}},
	{"all_round: frame/pin", "all_round: frame/pin, length: \"len('2 in')\"", []string{
		`17:16: products › gate › parts › frame › joints › pin: length and all_round are given together; write exactly one of length, all_round`,
	}},
	{"all_round: frame/pin", "all_round: frame/pen", []string{
		`17:16: products › gate › parts › frame › joints › pin › all_round: "frame/pen" is no part below frame; did you mean "frame/pin"?`,
	}},
	{"weld: {kind: plug,", "length: \"len('2 in')\", weld: {kind: plug,", []string{
		`18:17: products › gate › parts › frame › joints › plug: a plug has no length; leave length and all_round out; pieces tells how many plugs`,
	}},
	{"kind: fillet, leg: 1/8 in", "kind: fillet", []string{
		`17:88: products › gate › parts › frame › joints › pin › weld: none of leg, throat is given; write exactly one of leg, throat`,
	}},
	{"kind: fillet, leg: 1/8 in", "kind: fillet, leg: 1/8 in, throat: 0 in, depth: 1 in", []string{
		`17:88: products › gate › parts › frame › joints › pin › weld: leg and throat are given together; write exactly one of leg, throat`,
		`17:88: products › gate › parts › frame › joints › pin › weld › depth: a fillet weld has no "depth"; leave it out`,
		`17:88: products › gate › parts › frame › joints › pin › weld › throat: 0 in is not more than zero`,
	}},
	{"kind: fillet, leg: 1/8 in", "kind: fillet, leg: -1/8 in, sides: 3, reinforcement: 2, grind_minutes: 2", []string{
		`17:88: products › gate › parts › frame › joints › pin › weld › grind_minutes: the weld is not ground flush; write grind_flush: yes, or leave the minutes out`,
		`17:88: products › gate › parts › frame › joints › pin › weld › leg: -1/8 in is not more than zero`,
		`17:88: products › gate › parts › frame › joints › pin › weld › reinforcement: 2 is not laid over a weld; write 0 to 1, such as 10 %`,
		`17:88: products › gate › parts › frame › joints › pin › weld › sides: nothing is welded on 3 sides; write 1 or 2`,
	}},
	{"kind: V groove, depth: 1/4 in, angle: 60", "kind: V groove, depth: 1/4 in, root_face: 1/2 in, angle: 130, gap: -1 in", []string{
		`16:107: products › gate › parts › frame › joints › corner › weld › angle: a V groove is not opened to 130 degrees; write 1 to 120`,
		`16:107: products › gate › parts › frame › joints › corner › weld › gap: -1 in is less than zero`,
		`16:107: products › gate › parts › frame › joints › corner › weld › root_face: 1/2 in are left square of a depth of 1/4 in; leave less than the depth`,
	}},
	{"kind: V groove, depth: 1/4 in, angle: 60", "kind: square groove, depth: 1/4 in", []string{
		`16:107: products › gate › parts › frame › joints › corner › weld: a square groove without a gap takes no filler; write its gap, or weld it as a bevel or V groove`,
	}},
	{"kind: V groove, depth: 1/4 in, angle: 60", "kind: bevel groove, depth: 1/4 in, angle: 61, hole: 1 in", []string{
		`16:107: products › gate › parts › frame › joints › corner › weld › angle: a bevel groove is not opened to 61 degrees; write 1 to 60`,
		`16:107: products › gate › parts › frame › joints › corner › weld › hole: a bevel groove weld has no "hole"; leave it out`,
	}},
	{"kind: V groove, depth: 1/4 in, angle: 60", "kind: groove, depth: 1/4 in, angle: 60", []string{
		`16:114: products › gate › parts › frame › joints › corner › weld › kind: expected one of fillet, square groove, bevel groove, V groove, plug, found "groove"; did you mean "V groove"?`,
	}},
	{"process: gas}}\n          plug", "process: gass}}\n          plug", []string{
		`17:88: products › gate › parts › frame › joints › pin › weld › process: there is no welding process "gass"; did you mean "gas"?`,
	}},
	{"after_welding: [{do: level, minutes: 3}]", "after_welding: [{do: level, minutes: -3}]", []string{
		`14:9: products › gate › parts › frame › after_welding › 1 › minutes: -3 is less than zero`,
	}},
	{"pin: {steel:", "weld: {steel:", []string{
		`17:16: products › gate › parts › frame › joints › pin › all_round: "frame/pin" is no part below frame; there are frame/post, frame/rail, frame/weld`,
		`17:36: products › gate › parts › frame › joints › pin › joins: "frame/pin" is no part below frame; there are frame/post, frame/rail, frame/weld`,
		`18:38: products › gate › parts › frame › joints › plug › joins: "frame/pin" is no part below frame; there are frame/post, frame/rail, frame/weld`,
		`23:17: products › gate › parts › frame › parts › weld: the rows of the group's joints stand under frame/weld; give the part another code`,
	}},
	{"most: 2, from_ends: 10 in", "most: 10, from_ends: -1 in, preparation: -1 in, at: [\"len('0 in')\", width]", []string{
		`21:78: products › gate › parts › frame › parts › rail › steel › splice › from_ends: -1 in is less than zero`,
		`21:78: products › gate › parts › frame › parts › rail › steel › splice › most: a piece is not spliced 10 times; write 1 to 9`,
		`21:78: products › gate › parts › frame › parts › rail › steel › splice › preparation: -1 in is less than zero`,
		`21:132: products › gate › parts › frame › parts › rail › steel › splice › at › 1: the formula comes to 0 in whatever is picked; a length is more than zero`,
	}},
	{"straight: width, splice", "ring: {outside: width}, splice", []string{
		`21:85: products › gate › parts › frame › parts › rail › steel › splice: only a straight or mitred piece is spliced; leave it out`,
	}},
	{"weld: {kind: V groove, depth: 1/2 in, angle: 60, process: gas}", "weld: {kind: plug, hole: 1/4 in, depth: 1/2 in, process: gas}", []string{
		`21:78: products › gate › parts › frame › parts › rail › steel › splice › weld › kind: a plug does not join two ends; weld them by a groove, or by a fillet round a sleeve`,
	}},
	{"pin: {steel: {section: rod-1-2, straight: \"len('3 in')\"}}", "pin: {glass: {glass: \"'clear-1-2'\", shape: round, length: width, height: width, edge: \"'raw'\"}}", []string{
		`17:16: products › gate › parts › frame › joints › pin › all_round: frame/pin is not welded; name a piece of steel, hardware, or a group of them`,
		`17:36: products › gate › parts › frame › joints › pin › joins: frame/pin is not welded; name a piece of steel, hardware, or a group of them`,
		`18:38: products › gate › parts › frame › joints › plug › joins: frame/pin is not welded; name a piece of steel, hardware, or a group of them`,
	}},
	{"top: {steel: {section: bar-1", "top: {joints: {a: {name: A, joins: [top], length: width, weld: {kind: fillet, leg: 1 in, process: gas}}}, steel: {section: bar-1", []string{
		`24:12: products › gate › parts › top: joints and what is done after welding belong to a welded group; write welded: yes`,
	}},
	{"processes:\n", "sections:\n  bar-9: {name: Bar, shape: round, size: 1 in, stock: [{length: 9 ft, taken: by choice}]}\nprocesses:\n", []string{
		`5:10: sections › bar-9 › stock › 1 › taken: a bar on the rack is always taken; leave it out, or write lead_days`,
	}},
}

func TestWeldFaultsAreFoundWordForWord(t *testing.T) {
	files := small(t)
	for _, b := range brokenWelds {
		if strings.Count(welded, b.old) == 0 {
			t.Fatalf("%q does not stand in the file", b.old)
		}
		text := strings.Replace(welded, b.old, b.new, 1)
		_, faults := catalog.Read(append(slices.Clone(files), source.File{Path: "welded.yaml", Bytes: []byte(text)}))
		var got []string
		for _, f := range faults {
			got = append(got, strings.TrimPrefix(f.Error(), "welded.yaml:"))
		}
		if !slices.Equal(got, b.faults) {
			t.Errorf("%s:\n\t\t`%s`,", b.new, strings.Join(got, "`,\n\t\t`"))
		}
	}
}
