package catalog_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"billwright/catalog"
	"billwright/catalog/source"
)

// stumbles are slips of people who write their first catalog, each with the one
// fault that must come of it.
var stumbles = []struct {
	changes []change
	faults  []string
}{
	// percentages
	{[]change{{`terms: 50/10`, `terms: 0.5`}}, []string{
		`workshop.yaml:64:43: dealers › corner-shop › terms: terms "0.5": 0.5: a discount is in percent; write 50 for half`,
	}},
	{[]change{{`terms: 50/10`, `terms: 50/0.1 %`}}, []string{
		`workshop.yaml:64:43: dealers › corner-shop › terms: terms "50/0.1 %": 0.1 %: a discount is in percent; write 50 for half`,
	}},
	{[]change{{`terms: 50/10`, `terms: 50 %%`}}, []string{
		`workshop.yaml:64:43: dealers › corner-shop › terms: terms "50 %%": "50 %%": a percentage has one sign: write 6.5 or 6.5 %`,
	}},
	// texts in formulas, whose quotes YAML takes for its own
	{[]change{{`edge: "'eased'"`, `edge: 'eased'`}}, []string{
		`products/table.yaml:52:142: products › tarn-table › parts › top › wood › edge: in the formula, at its column 1: unknown name eased; if a text is meant, write "'eased'"; the names here are `,
	}},
	{[]change{{`edge: "'eased'"`, `edge: 'half eased'`}}, []string{
		`products/table.yaml:52:142: products › tarn-table › parts › top › wood › edge: in the formula, at its column 6: `,
	}},
	{[]change{{`wood: {species: species, finish`, `wood: {species: 'white-oak', finish`}}, []string{
		`products/table.yaml:52:50: products › tarn-table › parts › top › wood › species: in the formula, at its column 1: white-oak is a value of species: a text is written in quotes; write "'white-oak'"`,
	}},
	// commas in numbers
	{[]change{{`movement: 0.00365`, `movement: "0,00365"`}}, []string{
		`materials.yaml:15:75: species › white-oak › movement: "0,00365": a comma may mean thousands or decimals: write 0.00365`,
	}},
	{[]change{{`movement: 0.00365`, `movement: 0,00365`}}, []string{
		`materials.yaml:15:75: species › white-oak › movement: a comma in the number "0,00365"; write 0.00365`,
	}},
	{[]change{{`list: 1999.99`, `list: $1,999.99`}}, []string{
		`products/table.yaml:64:64: prices › tarn-table › sizes › 1 › list: a comma in the number "$1,999.99"; write 1999.99`,
	}},
	{[]change{{`list: 1999.99`, `list: "$1,900"`}}, []string{
		`products/table.yaml:64:64: prices › tarn-table › sizes › 1 › list: "$1,900": not a sum of money: write 1900, without currency sign or grouping`,
	}},
	// keys
	{[]change{{`cloth: cloth, foam: firm`, `fabric: cloth, foam: firm`}}, []string{
		`products/table.yaml:54:66: products › tarn-table › parts › cushion › cushion: unknown key "fabric"; is "cloth" meant? Fabric, a text formula.`,
	}},
	// names that formulas cannot read
	{[]change{
		{`own_width: {name: Width of your`, `own-width: {name: Width of your`}, {`own_usable_width: own_width`, `own_usable_width: own-width`},
		{`says: A table is not wider than long.`, "says: A table is not wider than long.\n        where: {own_width: up to 100 in}"},
		{`of: [length, width], for`, `of: [length, own-width], for`},
	}, []string{
		`products/table.yaml:15:18: products › tarn-table › attributes › own-width: "own-width" cannot be read by formulas; a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height`,
	}},
	{[]change{{`frame_length: length -`, `frame-length: length -`}}, []string{
		`products/table.yaml:20:7: products › tarn-table › figures › frame-length: "frame-length" cannot be read by formulas; a name is up to 60 lower-case letters, digits and _, and begins with a letter, such as seat_height`,
	}},
	// values that cannot be read
	{[]change{{`{from: 2026-12-25, why`, `{from: 25.12.2026, why`}}, []string{
		`workshop.yaml:17:14: calendar › closures › 2 › from: "25.12.2026": not a date: write year, month and day as 2026-11-25`,
	}},
	{[]change{{`to: 2026-11-27`, `to: Friday`}}, []string{
		`workshop.yaml:16:30: calendar › closures › 1 › to: "Friday": not a date: write year, month and day as 2026-11-25`,
	}},
	{[]change{{`name: White oak, yield: 70 %`, `name: White oak, blanks: buy`}}, []string{
		`materials.yaml:15:40: species › white-oak › blanks: expected one of made, bought, found "buy"`,
	}},
	{[]change{{`count: {from: 0, to: 3}`, `count: {from: 0, to: three}`}}, []string{
		`products/table.yaml:17:53: products › tarn-table › attributes › shelves › count › to: expected a whole number, found "three"; write digits only, such as 1200`,
	}},
	// gauges
	{[]change{{`wall: 0.065 in`, `wall: 16 ga`}}, []string{
		`materials.yaml:6:72: sections › pipe-1 › wall: "16 ga": a gauge number is not a length: write the thickness itself, such as 0.120 in: a gauge means another one for sheet, tube and wire`,
	}},
	{[]change{{`wall: 0.065 in`, `wall: "16"`}}, []string{
		`materials.yaml:6:72: sections › pipe-1 › wall: "16": no unit: write 16 in or 16 mm; a wall is a length, never a gauge number`,
	}},
	// zip and cord are bought as hardware is
	{[]change{{"  hardware: 8\n", ""}, {"      glide: {pieces: \"4\", hardware: {item: glide}}\n", ""},
		{"      tab: {when: top == 'wood', pieces: \"8\", hardware: {item: slotted-tab, under: top}}\n", ""}, {`pane, tab, glide]`, `pane]`}}, []string{
		`workshop.yaml:53:3: need_by: hardware is missing, which tarn-table uses; write how many working days before shipping it must be here`,
	}},
	// golden orders
	{[]change{{"dealers:\n", `golden_orders:
  one:
    product: tarn-stol
    quantity: 1
    dealer: corner-shp
    day: 2026-11-25
    expect: {net: 1.00}
  two:
    product: tarn-stool
    quantity: 1
    configuration:
      height: 18 in
      hight: 18 in
    dealer: friend
    day: 2026-11-25
    expect: {net: 1.00}
dealers:
`}}, []string{
		`workshop.yaml:65:14: golden_orders › one › product: there is no product "tarn-stol"; did you mean "tarn-stool"?`,
		`workshop.yaml:67:13: golden_orders › one › dealer: there is no dealer "corner-shp"; did you mean "corner-shop"?`,
		`workshop.yaml:75:7: golden_orders › two › configuration › hight: there is no attribute "hight"; did you mean "height"?`,
	}},
}

func TestFirstSlipsAreToldOnce(t *testing.T) {
	for _, s := range stumbles {
		c, faults := catalog.Read(edit(t, small(t), s.changes...))
		got := sentences(faults)
		if c != nil || !slices.EqualFunc(got, s.faults, func(got, want string) bool {
			// Lists of names and the words of the formula parser are not of interest here.
			return got == want || strings.HasPrefix(got, want) && (strings.HasSuffix(want, "here are ") || strings.HasSuffix(want, ": "))
		}) {
			t.Errorf("changed %q:\ngot\n  %s\nwant\n  %s", s.changes, strings.Join(got, "\n  "), strings.Join(s.faults, "\n  "))
		}
	}
}

// A text of several words is told to be one, whatever the parser makes of it.
func TestATextOfSeveralWordsIsToldHowToBeWritten(t *testing.T) {
	for _, text := range []string{"half eased", "half-round", "eased", "bull nose 2"} {
		_, faults := catalog.Read(edit(t, small(t), change{`edge: "'eased'"`, `edge: '` + text + `'`}))
		if len(faults) == 0 || !strings.Contains(faults[0].Hint, `write "'`+text+`'"`) {
			t.Errorf("edge: '%s': %v", text, sentences(faults))
		}
	}
}

func TestPercentagesOfTerms(t *testing.T) {
	for text, want := range map[string]string{
		"50 %": "1/2", "50%": "1/2", "40%": "3/5", "50 %/10 %": "9/20", "50/10": "9/20", "50 / 7.5": "37/80", "0": "1", "1": "99/100", "list": "1",
	} {
		c := read(t, edit(t, small(t), change{`terms: 50/10`, `terms: ` + text}))
		dealer, _ := c.Dealers.Get("corner-shop")
		if got := dealer.Terms.Multiplier().String(); got != want {
			t.Errorf("terms %s leave %s, want %s", text, got, want)
		}
	}
}

// Of a count, an interval is one of whole numbers: at least 2 is 2 or 3.
func TestIntervalsOfWholeNumbers(t *testing.T) {
	for interval, want := range map[string]string{"at least 2": "0011", "over 2": "0001", "up to 1": "1100", "under 1": "1000", "at least 1 up to 2": "0110", "over 0 under 2": "0100"} {
		c := read(t, edit(t, small(t), change{`where: {shelves: ["1", "2", "3"]}, add: 90.00`, `where: {shelves: ` + interval + `}, add: 90.00`}))
		got := ""
		for _, shelves := range []string{"0", "1", "2", "3"} {
			cfg, findings := c.Check("tarn-table", []catalog.Pick{{Attribute: "length", Text: "60 in"}, {Attribute: "species", Text: "white-oak"},
				{Attribute: "metal_finish", Text: "black"}, {Attribute: "shelves", Text: shelves}}, today)
			if len(findings) > 0 {
				t.Fatal(findings)
			}
			quote, findings := c.Price(cfg, "friend", today)
			if len(findings) > 0 {
				t.Fatal(findings)
			}
			charged := "0"
			if quote.ListUnit == 199999+9000 {
				charged = "1"
			}
			got += charged
		}
		if got != want {
			t.Errorf("%s: charged for 0 to 3 shelves %s, want %s", interval, got, want)
		}
	}
}

// scalars are the places of the values of a file that begin with a digit.
func scalars(t *testing.T, f source.File) (found []*yaml.Node) {
	var top yaml.Node
	if err := yaml.Unmarshal(f.Bytes, &top); err != nil {
		t.Fatal(err)
	}
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		for i, child := range n.Content {
			switch {
			case n.Kind == yaml.MappingNode && i%2 == 0: // a key
			case child.Kind == yaml.ScalarNode && child.Style == 0 && strings.Contains("0123456789", child.Value[:1]):
				found = append(found, child)
			default:
				walk(child)
			}
		}
	}
	walk(&top)
	return found
}

// Whatever value cannot be read, that is the only fault.
func TestAValueThatCannotBeReadIsOneFault(t *testing.T) {
	step := 1
	if raced {
		step = 7
	}
	tried := 0
	for _, files := range [][]source.File{small(t), wide(t)} {
		for at, f := range files {
			for i, n := range scalars(t, f) {
				if i%step != 0 {
					continue
				}
				lines := bytes.SplitAfter(f.Bytes, []byte("\n"))
				line := []rune(string(lines[n.Line-1]))
				begin, end := n.Column-1, n.Column-1+len([]rune(n.Value))
				lines[n.Line-1] = []byte(string(line[:begin]) + "12 parsecs" + string(line[end:]))
				changed := slices.Clone(files)
				changed[at].Bytes = bytes.Join(lines, nil)
				_, faults := catalog.Read(changed)
				// In a table the first row says what the others are to be.
				if len(faults) > 1 && !strings.HasPrefix(faults[0].Where, "tables") {
					t.Errorf("%s:%d:%d: %s made 12 parsecs:\n  %s", f.Path, n.Line, n.Column, n.Value, strings.Join(sentences(faults), "\n  "))
				}
				if len(faults) == 1 {
					tried++
				}
			}
		}
	}
	if tried < 20 {
		t.Errorf("only %d values could not be read", tried)
	}
}
