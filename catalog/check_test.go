package catalog_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog"
)

// shown is a finding as one line: pointer, code, message, and what it offers.
func shown(f catalog.Finding) string {
	text := fmt.Sprintf("%s %s: %s", f.Pointer, f.Code, f.Message)
	if len(f.Allowed) > 0 {
		text += " [" + strings.Join(f.Allowed, " ") + "]"
	}
	if f.Nearest != "" {
		text += " -> " + f.Nearest
	}
	return text
}

// sound is a table that is in order; what a case picks comes instead of or
// besides it.
const sound = "length=60 in; species=white-oak; metal_finish=black"

// with replaces picks of sound by those of a case; "-name" takes one out.
func with(text string) []catalog.Pick {
	list := picks(sound)
	for _, p := range picks(text) {
		list = slices.DeleteFunc(list, func(q catalog.Pick) bool { return q.Attribute == p.Attribute })
	}
	for pick := range strings.SplitSeq(text, ";") {
		if name, out := strings.CutPrefix(strings.TrimSpace(pick), "-"); out {
			list = slices.DeleteFunc(list, func(q catalog.Pick) bool { return q.Attribute == name })
		}
	}
	return append(list, picks(text)...)
}

var refused = []struct{ with, findings string }{
	// what cannot be read or lies outside the limits
	{"length=72", `/configuration/length length.unreadable: Length "72" cannot be read as a length: no unit: write 72 in or 72 mm.`},
	{"length=1,500 mm", `/configuration/length length.unreadable: Length "1,500 mm" cannot be read as a length: a comma may mean thousands or decimals: write 1500 mm, or 1.5 mm with a decimal point.`},
	{"length=47 15/16 in", `/configuration/length length.short: Length 47 15/16 in is too short: it may be 48 in to 96 in, in steps of 1/16 in. -> 48 in`},
	{"length=3 m", `/configuration/length length.long: Length 3 m is too long: it may be 1219.5 mm to 2438 mm, in steps of 0.5 mm. -> 2438 mm`},
	{"length=60 1/32 in", `/configuration/length length.off-step: Length 60 1/32 in is off the step of 1/16 in: it may be 48 in to 96 in, in steps of 1/16 in. -> 60 1/16 in`},
	{"length=1500.2 mm", `/configuration/length length.off-step: Length 1500.2 mm is off the step of 0.5 mm: it may be 1219.5 mm to 2438 mm, in steps of 0.5 mm. -> 1500 mm`},
	{"shelves=two", `/configuration/shelves count.unreadable: Shelves "two" cannot be read as a whole number: write digits only, 0 to 3.`},
	{"shelves=1.5", `/configuration/shelves count.unreadable: Shelves "1.5" cannot be read as a whole number: write digits only, 0 to 3.`},
	{"shelves=-1", `/configuration/shelves count.unreadable: Shelves "-1" cannot be read as a whole number: write digits only, 0 to 3.`},
	{"shelves=1000000000000000000000", `/configuration/shelves count.many: Shelves 1000000000000000000000 is out of range: it may be 0 to 3. -> 3`},
	{"species=White oke", `/configuration/species choice.unknown: Species cannot be "White oke": it is one of White oak (white-oak), Walnut (walnut). [white-oak walnut]`},
	{"species=Walnut", `/configuration/species choice.unknown: Species cannot be "Walnut": it is one of White oak (white-oak), Walnut (walnut). [white-oak walnut] -> walnut`},
	{"species=white oak", `/configuration/species choice.unknown: Species cannot be "white oak": it is one of White oak (white-oak), Walnut (walnut). [white-oak walnut] -> white-oak`},
	{"plate=a plate with more letters than fit", `/configuration/plate text.long: Name plate has 34 characters: it may have up to 20.`},
	{"plate=two\nlines", `/configuration/plate text.control-characters: Name plate holds control characters, such as line ends or tabs: write one line of plain text.`},
	{"plate=\xff", `/configuration/plate text.not-utf-8: Name plate is not text in UTF-8.`},
	// what is missing, unknown or not asked
	{"-length", `/configuration/length attribute.missing: Length is not given: write a length from 48 in to 96 in, in steps of 1/16 in.`},
	{"-species", `/configuration/species attribute.missing: Species is not given: pick one of White oak (white-oak), Walnut (walnut). [white-oak walnut]`},
	{"cushion=loose", `/configuration/cloth attribute.missing: Cloth is not given: pick one of Twill (twill), Stripe (stripe), Customer's own (own). [twill stripe own]`},
	{"colour=red", `/configuration/colour attribute.unknown: Tarn table has no attribute "colour"; it has Length (length), Width (width), Top (top), Species (species), Wood finish (wood_finish), Glass (glass), Metal finish (metal_finish), Seat cushion (cushion), Cloth (cloth), Width of your material (own_width), Pull (pull), Shelves (shelves) and 1 more. [length width top species wood_finish glass metal_finish cushion cloth own_width pull shelves plate]`},
	{"a/b~c=1", `/configuration/a~1b~0c attribute.unknown: Tarn table has no attribute "a/b~c"; it has Length (length), Width (width), Top (top), Species (species), Wood finish (wood_finish), Glass (glass), Metal finish (metal_finish), Seat cushion (cushion), Cloth (cloth), Width of your material (own_width), Pull (pull), Shelves (shelves) and 1 more. [length width top species wood_finish glass metal_finish cushion cloth own_width pull shelves plate]`},
	{"lenght=72 in", `/configuration/lenght attribute.unknown: Tarn table has no attribute "lenght"; did you mean Length (length)? [length width top species wood_finish glass metal_finish cushion cloth own_width pull shelves plate] -> length`},
	{"glass=clear-1-2", `/configuration/glass attribute.not-asked: Glass is not asked here: it is asked only when Top is Glass (glass).`},
	{"own_width=54 in", `/configuration/own_width attribute.not-asked: Width of your material is not asked here: it is asked only when Cloth is Customer's own (own).`},
	{"length=60 in; length=72 in", `/configuration/length attribute.twice: Length is picked twice, as "60 in" and as "72 in": leave one out.`},
	// nothing is said of what hangs on something wrong: whether glass is asked,
	// or a rule over the length, is not known
	{"top=wod", `/configuration/top choice.unknown: Top cannot be "wod": it is one of Wood (wood), Glass (glass). [wood glass] -> wood`},
	{"top=wod; glass=clear-7; -species", `/configuration/top choice.unknown: Top cannot be "wod": it is one of Wood (wood), Glass (glass). [wood glass] -> wood
		/configuration/glass choice.unknown: Glass cannot be "clear-7": it is one of 3/8 in clear (clear-3-8), 1/2 in clear (clear-1-2). [clear-3-8 clear-1-2]`},
	// broken rules
	{"width=48 in; length=48 in; shelves=1; top=glass; -species; glass=clear-3-8", `/configuration/shelves rule.broken: Shelves are not seen well under glass and are left out there. -> 0`},
	{"length=80 in; top=glass; -species; glass=clear-3-8", `/configuration/glass rule.broken: A glass top longer than 72 in is made 1/2 in thick. [clear-1-2] -> clear-1-2`},
	{"length=90 in; metal_finish=waxed", `/configuration/metal_finish rule.broken: A large frame is too heavy for the waxing bench. [black] -> black`},
	{"wood_finish=limed; species=walnut", `/configuration/wood_finish rule.broken: Limed does not go on Walnut; it goes on White oak (white-oak). [oiled] -> oiled`},
	{"cushion=loose; cloth=stripe; width=46 in", `/configuration/cloth rule.broken: The stripe cannot be turned, so that it is not made wider than 45 in. [twill] -> twill`},
	// a broken rule of lengths: the nearest that can be entered and mends it
	{"length=48 in; width=50 1/16 in", `/configuration/width rule.broken: A table is not wider than long. -> 48 in`},
	{"length=1300 mm; width=1400 mm", `/configuration/width rule.broken: A table is not wider than long. -> 1300 mm`},
	{"length=1300 mm; width=55 in", `/configuration/width rule.broken: A table is not wider than long. -> 51 1/8 in`},
	{"top=glass; -species; glass=clear-3-8; length=90 in; metal_finish=waxed; shelves=2", `/configuration/glass rule.broken: A glass top longer than 72 in is made 1/2 in thick. [clear-1-2] -> clear-1-2
		/configuration/shelves rule.broken: Shelves are not seen well under glass and are left out there. -> 0
		/configuration/metal_finish rule.broken: A large frame is too heavy for the waxing bench. [black] -> black`},
}

func TestWhatIsRefusedSaysWhyAndWhatWouldDo(t *testing.T) {
	c := read(t, small(t))
	for _, r := range refused {
		cfg, findings := c.Check("tarn-table", with(r.with), today)
		var got []string
		for _, f := range findings {
			got = append(got, shown(f))
		}
		var want []string
		for line := range strings.SplitSeq(r.findings, "\n") {
			if line != "" {
				want = append(want, strings.TrimSpace(line))
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\ngot\n  %s\nwant\n  %s", r.with, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
		}
		if (cfg == nil) != (len(findings) > 0) {
			t.Errorf("%s: a configuration and findings exclude each other", r.with)
		}
	}
}

// Four mistakes in one configuration, in the order of the product.
func TestFourFaultsAreFourFindings(t *testing.T) {
	c := read(t, small(t))
	_, findings := c.Check("tarn-table", picks("plate=seven and twenty letters in all; species=elm; lenght=72 in; length=72 in; metal_finish=black; width=20 in"), today)
	var got []string
	for _, f := range findings {
		got = append(got, f.Pointer+" "+f.Code)
	}
	want := []string{
		"/configuration/lenght attribute.unknown",
		"/configuration/width length.short",
		"/configuration/species choice.unknown",
		"/configuration/plate text.long",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestUnknownProduct(t *testing.T) {
	c := read(t, small(t))
	for code, want := range map[string]string{
		"tarn-tabel":                      `/product product.unknown: There is no product "tarn-tabel"; did you mean Tarn table (tarn-table)? [tarn-stool tarn-table] -> tarn-table`,
		"":                                `/product product.unknown: There is no product "". [tarn-stool tarn-table]`,
		strings.Repeat("x", 100) + "\x00": `/product product.unknown: There is no product "` + strings.Repeat("x", 60) + `…". [tarn-stool tarn-table]`,
	} {
		_, findings := c.Check(code, picks(sound), today)
		if len(findings) != 1 || shown(findings[0]) != want {
			t.Errorf("%q: got %+v, want %s", code, findings, want)
		}
	}
}

func TestTooManyPicks(t *testing.T) {
	c := read(t, small(t))
	_, findings := c.Check("tarn-table", make([]catalog.Pick, 1001), today)
	if len(findings) != 1 || findings[0].Code != "configuration.too-many" {
		t.Errorf("got %+v, want one finding", findings)
	}
}

// A default that clashes with what was picked is a finding and is never
// swapped for one that fits.
func TestADefaultThatClashes(t *testing.T) {
	c := read(t, edit(t, small(t), change{"default: oiled", "default: limed"}))
	toldOnce(t, c, map[string]string{
		"species=walnut":                       "/configuration/wood_finish default.clashes: Limed does not go on Walnut; it goes on White oak (white-oak). Wood finish was not picked, and its default, Limed, does not go with the rest. [oiled] -> oiled",
		"species=walnut; wood_finish=limed":    "/configuration/wood_finish rule.broken: Limed does not go on Walnut; it goes on White oak (white-oak). [oiled] -> oiled",
		"species=white-oak":                    "",
		"top=glass; -species; glass=clear-3-8": "",
	})
}

// toldOnce checks that what is entered for a tarn table is told one finding, or
// none where nothing is wanted.
func toldOnce(t *testing.T, c *catalog.Catalog, cases map[string]string) {
	t.Helper()
	for entered, want := range cases {
		_, findings := c.Check("tarn-table", with(entered), today)
		got := ""
		if len(findings) > 0 {
			got = shown(findings[0])
		}
		if got != want || len(findings) > 1 {
			t.Errorf("%s:\ngot  %s\nwant %s", entered, got, want)
		}
	}
}

// A rule of the product's own that speaks of the same two attributes has the
// better sentence; the one that follows from the finish is then not told too.
func TestOneMistakeIsToldOnce(t *testing.T) {
	c := read(t, edit(t, small(t), change{"      large-is-black:", `      lime-stays-white:
        says: Lime only shows on white oak; take white oak or the oil.
        forbid: {species: walnut, wood_finish: limed}
      large-is-black:`}))
	_, findings := c.Check("tarn-table", with("species=walnut; wood_finish=limed"), today)
	if len(findings) != 1 || shown(findings[0]) != "/configuration/wood_finish rule.broken: Lime only shows on white oak; take white oak or the oil. [oiled] -> oiled" {
		t.Errorf("got %+v", findings)
	}
}

// A formula that fails for a configuration is told; one that fails only
// because what it reads is not asked is not.
func TestAFormulaThatFails(t *testing.T) {
	c := read(t, edit(t, small(t),
		change{"      is_large: length", "      by_shelf: length / shelves\n      by_glass: length / glass.thickness\n      is_large: length"},
		change{"need: width <= length", "need: 1 / (shelves - 2) < 5"}))
	toldOnce(t, c, map[string]string{
		"shelves=1": "",
		"shelves=0": "/configuration formula.failed: The figure by_shelf cannot be reckoned: division by zero: Shelves is 0.",
		"shelves=2": "/configuration formula.failed: The rule \"A table is not wider than long.\" cannot be reckoned: division by zero: what stands right of / comes to 0.",
	})
}

var taken = []struct{ with, settings string }{
	{"", `
		length = 60 in (60 in)
		width = 36 in by default
		top = Wood by default
		species = White oak (white-oak)
		wood_finish = Hand-rubbed oil by default
		metal_finish = Black (black)
		cushion = None by default
		pull = Brass pull by default
		shelves = 0 by default
		plate =  by default`},
	{"length=6 ft 0 1/2 in; width=914.5 mm; top=glass; -species; glass=clear-1-2; cushion=loose; cloth=own; own_width=54 in; plate=שלום\u200f", `
		length = 72 1/2 in (6 ft 0 1/2 in)
		width = 914.5 mm (914.5 mm)
		top = Glass (glass)
		glass = 1/2 in clear (clear-1-2)
		metal_finish = Black (black)
		cushion = Loose (loose)
		cloth = Customer's own (own)
		own_width = 54 in (54 in)
		pull = Brass pull by default
		shelves = 0 by default
		plate = שלום` + "\u200f (שלום\u200f)"},
}

func TestWhatIsTakenIsEchoedWithItsDefaultsMarked(t *testing.T) {
	c := read(t, small(t))
	for _, k := range taken {
		cfg, findings := c.Check("tarn-table", with(k.with), today)
		if cfg == nil {
			t.Errorf("%s: %+v", k.with, findings)
			continue
		}
		var got strings.Builder
		for _, s := range cfg.Settings {
			how := " (" + s.Entered + ")"
			if s.Defaulted {
				how = " by default"
			}
			fmt.Fprintf(&got, "\n\t\t%s = %s%s", s.Attribute.Code, s.Name, how)
		}
		if got.String() != k.settings {
			t.Errorf("%s: got%s\nwant%s", k.with, got.String(), k.settings)
		}
	}
}

func TestFormulasOfAConfiguration(t *testing.T) {
	c := read(t, small(t))
	cfg, findings := c.Check("tarn-table", with("length=72 in; top=glass; -species; glass=clear-1-2"), today)
	if cfg == nil {
		t.Fatal(findings)
	}
	base, _ := cfg.Product.Parts.Get("base")
	leg, _ := base.Parts.Get("leg")
	if got := leg.Steel.Straight.Length.Working(cfg.Env()); got != "29 * 1 in - top_thickness = 29 * 1 in - 1/2 in = 28 1/2 in" {
		t.Errorf("leg under glass: %s", got)
	}
	if n, err := leg.Pieces.Eval(cfg.Env()); err != nil || n.String() != "4" {
		t.Errorf("legs: %v, %v", n, err)
	}
	if leg.Path != "base/leg" {
		t.Errorf("path of the leg is %q", leg.Path)
	}
}

// A default that only says when a rule applies is suspected if one pick alone
// breaks the rule with it, and not if two picks do.
func TestWhichAttributeABrokenRulePointsTo(t *testing.T) {
	c := read(t, edit(t, small(t), change{"      large-is-black:", `      loose-on-oak:
        says: With no cushion an oak table is black.
        where: {cushion: none, species: white-oak}
        allow: {metal_finish: black}
      shelf-for-each-pull:
        says: A brass pull takes exactly two shelves.
        where: {pull: pull-brass, plate_wanted: yes}
        need: shelves == 2
      large-is-black:`},
		change{"      plate: {name", "      plate_wanted: {name: Plate, choose: {values: {yes: Yes, no: No}}, default: no}\n      plate: {name"}))
	toldOnce(t, c, map[string]string{
		"metal_finish=waxed":                   "/configuration/metal_finish rule.broken: With no cushion an oak table is black. [black] -> black",
		"metal_finish=waxed; cushion=none":     "/configuration/metal_finish rule.broken: With no cushion an oak table is black. [black] -> black",
		"plate_wanted=yes":                     "/configuration/shelves default.clashes: A brass pull takes exactly two shelves. Shelves was not picked, and its default, 0, does not go with the rest. -> 2",
		"plate_wanted=yes; shelves=3":          "/configuration/shelves rule.broken: A brass pull takes exactly two shelves. -> 2",
		"plate_wanted=yes; shelves=2; plate=A": "",
	})
}

// Two tops of one species and finish follow one rule and give one finding.
func TestTwoTopsOfOneFinish(t *testing.T) {
	shelf := "      shelf: {when: top == 'wood', wood: {species: species, finish: wood_finish, length: length, width: width, thickness: len('1 in'), edge: \"'eased'\"}}\n      pane: {when"
	c := read(t, edit(t, small(t), change{"      pane: {when", shelf}))
	_, findings := c.Check("tarn-table", with("species=walnut; wood_finish=limed"), today)
	if len(findings) != 1 {
		t.Errorf("got %+v, want one finding", findings)
	}
}

func TestTextThatMustBeWritten(t *testing.T) {
	c := read(t, edit(t, small(t), change{`write: {longest: 20}, default: ""`, "write: {longest: 20}"}))
	toldOnce(t, c, map[string]string{
		"":            "/configuration/plate attribute.missing: Name plate is not given: write up to 20 characters.",
		"plate=":      `/configuration/plate text.empty: Name plate is empty: write something.`,
		"plate=Birch": "",
	})
}

func TestManyAtOnceCheckAgainstOneCatalog(t *testing.T) {
	c := read(t, small(t))
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 50 {
				if cfg, findings := c.Check("tarn-table", picks(tenAttributes), today); cfg == nil {
					t.Error(findings)
				} else if quote, _ := c.Price(cfg, "corner-shop", today); quote.NetUnit == 0 {
					t.Error("no price")
				}
				if cfg, _ := c.Check("tarn-table", with("length=90 in; metal_finish=waxed"), today); cfg != nil {
					t.Error("a broken rule is taken")
				}
			}
		})
	}
	all.Wait()
}

// entries are texts as people and others enter them.
func entries() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"wood", "glass", "white-oak", "walnut", "oiled", "limed", "clear-3-8", "clear-1-2", "black", "waxed",
			"none", "loose", "twill", "stripe", "own", "pull-brass", "0", "1", "3", "4", "-1", "", " ", "nobody"}),
		rapid.Custom(func(t *rapid.T) string {
			return fmt.Sprintf("%d 1/%d in", rapid.IntRange(0, 130).Draw(t, "in"), rapid.SampledFrom([]int{2, 4, 16, 32, 3}).Draw(t, "part"))
		}),
		rapid.Custom(func(t *rapid.T) string {
			return fmt.Sprintf("%d.%d mm", rapid.IntRange(0, 3000).Draw(t, "mm"), rapid.IntRange(0, 9).Draw(t, "tenth"))
		}),
		rapid.String(),
	)
}

var names = []string{"length", "width", "top", "species", "wood_finish", "glass", "metal_finish", "cushion", "cloth", "own_width", "pull", "shelves", "plate"}

// fits are texts that an attribute of the small table mostly takes.
var fits = map[string][]string{
	"length": {"48 in", "72 in", "90 in", "1500.5 mm"}, "width": {"36 in", "46 in", "50 in", "1000 mm"},
	"top": {"wood", "glass"}, "species": {"white-oak", "walnut"}, "wood_finish": {"oiled", "limed"}, "glass": {"clear-3-8", "clear-1-2"},
	"metal_finish": {"black", "waxed"}, "cushion": {"none", "loose"}, "cloth": {"twill", "stripe", "own"}, "own_width": {"54 in", "1400 mm"},
	"pull": {"pull-brass"}, "shelves": {"0", "2"}, "plate": {"Birch", ""},
}

// anyPicks are mostly picks that go together, often with one thing changed, and
// sometimes anything at all.
func anyPicks(t *rapid.T) (list []catalog.Pick) {
	draw := func(name string) string { return rapid.SampledFrom(fits[name]).Draw(t, name) }
	how := rapid.IntRange(0, 3).Draw(t, "how")
	picked := map[string]string{}
	for _, name := range names {
		asked := true
		switch name {
		case "species", "wood_finish":
			asked = picked["top"] == "wood"
		case "glass":
			asked = picked["top"] == "glass"
		case "cloth":
			asked = picked["cushion"] == "loose"
		case "own_width":
			asked = picked["cloth"] == "own"
		}
		if how == 0 {
			asked = rapid.Bool().Draw(t, "given")
		}
		if asked {
			picked[name] = draw(name)
			list = append(list, catalog.Pick{Attribute: name, Text: picked[name]})
		}
	}
	if how == 1 && len(list) > 0 {
		at := rapid.IntRange(0, len(list)-1).Draw(t, "changed")
		list[at].Text = entries().Draw(t, "text")
	}
	if how == 0 && rapid.Bool().Draw(t, "odd") {
		list = append(list, catalog.Pick{Attribute: rapid.String().Draw(t, "name"), Text: rapid.String().Draw(t, "text")})
	}
	return list
}

// repicked are the picks that a configuration came of.
func repicked(cfg *catalog.Config) (list []catalog.Pick) {
	for _, s := range cfg.Settings {
		if !s.Defaulted {
			list = append(list, catalog.Pick{Attribute: s.Attribute.Code, Text: s.Entered})
		}
	}
	return list
}

// Whatever is picked, Check gives a configuration or findings and does not
// panic; a configuration checks to itself again; and what a finding calls
// nearest mends that finding.
func TestCheckOfAnything(t *testing.T) {
	c := read(t, small(t))
	configs, mended := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		list := anyPicks(t)
		cfg, findings := c.Check("tarn-table", list, today)
		if (cfg == nil) != (len(findings) > 0) {
			t.Fatalf("%+v: configuration %v with findings %+v", list, cfg != nil, findings)
		}
		if cfg != nil {
			configs++
			checksToItself(t, c, cfg)
			return
		}
		for _, f := range findings {
			mended += nearestMends(t, c, list, f)
		}
	})
	if !testing.Short() && (configs == 0 || mended == 0) {
		t.Errorf("%d configurations and %d findings mended: the picks drawn show nothing", configs, mended)
	}
}

func checksToItself(t *rapid.T, c *catalog.Catalog, cfg *catalog.Config) {
	again, findings := c.Check("tarn-table", repicked(cfg), today)
	if again == nil {
		t.Fatalf("%+v is refused the second time: %+v", repicked(cfg), findings)
	}
	if !slices.Equal(again.Settings, cfg.Settings) || !slices.Equal(again.Env(), cfg.Env()) {
		t.Fatalf("got %+v, the first time %+v", again.Settings, cfg.Settings)
	}
}

func nearestMends(t *rapid.T, c *catalog.Catalog, list []catalog.Pick, f catalog.Finding) int {
	name := strings.TrimPrefix(f.Pointer, "/configuration/")
	if f.Nearest == "" || !slices.Contains(names, name) {
		return 0
	}
	changed := slices.DeleteFunc(slices.Clone(list), func(p catalog.Pick) bool { return p.Attribute == name })
	_, findings := c.Check("tarn-table", append(changed, catalog.Pick{Attribute: name, Text: f.Nearest}), today)
	for _, left := range findings {
		if left.Code == f.Code && left.Pointer == f.Pointer && left.Message == f.Message {
			t.Fatalf("%+v: %s is called nearest and leaves %+v", list, f.Nearest, left)
		}
	}
	return 1
}
