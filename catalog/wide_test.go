package catalog_test

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// wide is the catalog in testdata/wide.
func wide(t testing.TB) []source.File {
	t.Helper()
	files, faults := source.ReadDir(os.DirFS("testdata/wide"))
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	return files
}

func on(t testing.TB, day string) calendar.Date {
	t.Helper()
	d, err := calendar.ParseDate(day)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// ordered are orders of the wide catalog on a day, each with all that is found.
var ordered = []struct{ day, product, picks, findings string }{
	// nothing is withdrawn before its last day has passed
	{"2026-12-31", "kell-bench", "cloth=wool; top=pear", ``},
	{"2026-12-31", "kell-bench", "cloth=wool; edge=round", ``},
	{"2027-01-31", "kell-hook", "", ``},
	// what was picked, its successor, and that one's
	{"2027-01-01", "kell-bench", "cloth=wool; edge=eased; top=pear", `/configuration/top choice.withdrawn: Top Pear could be ordered until 2026-12-31; Cherry (cherry) takes its place. [ash slab-elm ply cherry] -> cherry`},
	{"2027-02-01", "kell-bench", "cloth=wool; edge=eased; top=pear", `/configuration/top choice.withdrawn: Top Pear could be ordered until 2026-12-31; Ash (ash) takes its place. [ash slab-elm ply] -> ash`},
	{"2027-01-01", "kell-bench", "cloth=wool; edge=round; top=peer", `/configuration/top choice.unknown: Top cannot be "peer": it is one of Ash (ash), Slab elm (slab-elm), Birch ply (ply), Cherry (cherry). [ash slab-elm ply cherry] -> cherry
		/configuration/edge choice.withdrawn: Edge Round could be ordered until 2026-12-31; Eased (eased) takes its place. [eased] -> eased`},
	// a default is never swapped silently for its successor
	{"2027-01-01", "kell-bench", "cloth=wool", `/configuration/edge choice.withdrawn: Edge was not picked, and its default, Round, could be ordered until 2026-12-31; Eased (eased) takes its place. [eased] -> eased`},
	// what nobody picked and the product is made of
	{"2027-01-01", "kell-bench", "cloth=wool; edge=eased", `/product part.withdrawn: Shelf of Kell bench is made of Pear, which could be ordered until 2026-12-31: the workshop has to change it to Cherry.`},
	{"2027-04-01", "kell-bench", "cloth=wool; edge=eased", `/product part.withdrawn: frame/leg of Kell bench is made of 12 mm round bar, which could be ordered until 2027-03-31: the workshop has to change it to 14 mm round bar.
		/product part.withdrawn: Shelf of Kell bench is made of Pear, which could be ordered until 2026-12-31: the workshop has to change it to Ash.`},
	// products, one without attributes
	{"2027-02-01", "kell-hook", "colour=red", `/product product.withdrawn: Kell hook could be ordered until 2027-01-31; Kell bench (kell-bench) takes its place. -> kell-bench
		/configuration/colour attribute.unknown: Kell hook has no attribute "colour"; it has none.`},
	{"2027-02-01", "bench", "", `/product product.unknown: There is no product "bench". [kell-bench]`},
	// something unlisted, and what it does not go with
	{"2026-12-01", "kell-bench", "cloth=wool; finish=driftwood wash over clear", ``},
	{"2026-12-01", "kell-bench", "cloth=wool; finish=driftwood wash; top=ply; length=1600 mm", `/configuration/top rule.broken: An unlisted finish is tried on a sample first, on ash up to 1500 mm. [ash] -> ash
		/configuration/length rule.broken: An unlisted finish is tried on a sample first, on ash up to 1500 mm. -> 1500 mm`},
	{"2026-12-01", "kell-bench", "cloth=wool; edge=wavy; top=ply", `/configuration/edge rule.broken: A dyed or unlisted edge is not made on ply. [eased round]`},
	{"2027-01-01", "kell-bench", "cloth=wool; edge=wavy; top=ply", `/configuration/edge rule.broken: A dyed or unlisted edge is not made on ply. [eased] -> eased`},
	{"2026-12-01", "kell-bench", "cloth=wool; edge=eased; top=ply", ``},
	// what reads like something listed is never taken for something unlisted
	{"2026-12-01", "kell-bench", "cloth=wool; finish=CLEAR", `/configuration/finish choice.unclear: Wood finish "CLEAR" reads like Clear (clear), which is listed: pick that, or say in other words what is wanted. [dyed clear] -> clear`},
	{"2026-12-01", "kell-bench", "cloth=wool; finish=deyd", `/configuration/finish choice.unclear: Wood finish "deyd" reads like Dyed (dyed), which is listed: pick that, or say in other words what is wanted. [dyed clear] -> dyed`},
	{"2026-12-01", "kell-bench", "cloth=wool; finish=clear, two coats", `/configuration/finish choice.unclear: Wood finish "clear, two coats" reads like Clear (clear), which is listed: pick that, or say in other words what is wanted. [dyed clear] -> clear`},
	{"2027-01-01", "kell-bench", "cloth=wool; edge=rounded; top=cherry", `/configuration/edge choice.withdrawn: Edge Round could be ordered until 2026-12-31; Eased (eased) takes its place. [eased] -> eased`},
	{"2026-12-01", "kell-bench", "cloth=wool; finish=clearest varnish there is and some more letters", `/configuration/finish text.long: Wood finish has 47 characters: it may have up to 40.`},
	{"2026-12-01", "kell-bench", "cloth=wool; finish= ", `/configuration/finish text.empty: Wood finish is empty: write something.`},
	{"2026-12-01", "kell-bench", "cloth=wool; finish=two\tcoats", `/configuration/finish text.control-characters: Wood finish holds control characters, such as line ends or tabs: write one line of plain text.`},
	// the sentence of the finish itself
	{"2026-12-01", "kell-bench", "cloth=wool; finish=dyed; top=ply", `/configuration/finish rule.broken: The dye is for solid wood; take clear on ply. [clear] -> clear`},
	// what the jig bends to
	{"2026-12-01", "kell-bench", "cloth=wool; bend=60 mm", ``},
	{"2026-12-01", "kell-bench", "cloth=wool; bend=45 mm", `/configuration/bend bend.no-jig: frame/leg is bent to a radius of 45 mm, and the small wheel bends to 40 mm, 60 mm only. -> 40 mm`},
	{"2026-12-01", "kell-bench", "cloth=wool; bend=55 mm", `/configuration/bend bend.no-jig: frame/leg is bent to a radius of 55 mm, and the small wheel bends to 40 mm, 60 mm only. -> 60 mm`},
	{"2026-12-01", "kell-bench", "cloth=wool; bend=2 in", `/configuration/bend bend.no-jig: frame/leg is bent to a radius of 50.8 mm, and the small wheel bends to 40 mm, 60 mm only.`},
	// leather, and own material with its repeat and without
	{"2026-12-01", "kell-bench", "cloth=hide", ``},
	{"2026-12-01", "kell-bench", "cloth=own; own_width=1400 mm", ``},
	{"2026-12-01", "kell-bench", "cloth=own; own_width=1400 mm; repeat_known=yes", `/configuration/own_repeat attribute.missing: Repeat of your material is not given: write a length from 0 mm to 1000 mm, in steps of 1 mm.`},
}

func TestOrdersByTheDay(t *testing.T) {
	c := read(t, wide(t))
	for _, o := range ordered {
		cfg, findings := c.Check(o.product, picks(o.picks), on(t, o.day))
		checkFindings(t, o.day+" "+o.product+" "+o.picks, findings, o.findings)
		if (cfg == nil) != (len(findings) > 0) {
			t.Errorf("%s: a configuration and findings exclude each other", o.picks)
		}
	}
}

// checkFindings compares findings with lines of text.
func checkFindings(t *testing.T, what string, findings []catalog.Finding, lines string) {
	t.Helper()
	var got, want []string
	for _, f := range findings {
		got = append(got, shown(f))
	}
	for line := range strings.SplitSeq(lines, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			want = append(want, line)
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("%s:\ngot\n  %s\nwant\n  %s", what, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

// The holds that a configuration calls for by itself, and what is kept of what
// was written.
func TestHoldsOfAConfiguration(t *testing.T) {
	c := read(t, wide(t))
	for entered, want := range map[string]string{
		"cloth=wool":                        ``,
		"cloth=wool; finish=Driftwood wash": `sample finish "Driftwood wash": Wood finish "Driftwood wash": An unlisted finish is tried on a sample first, on ash up to 1500 mm.`,
		"cloth=wool; finish=ebonized; edge=a wave": `sample finish "ebonized": Wood finish "ebonized": An unlisted finish is tried on a sample first, on ash up to 1500 mm.
			engineering edge "a wave": Edge "a wave": The edge needs a cutter made.`,
		"cloth=own; own_width=1400 mm":                                        `repeat Pad is reckoned as plain: the repeat of the customer's own material is not known. Ask the maker of the cloth.`,
		"cloth=own; own_width=1400 mm; repeat_known=yes; own_repeat=0 mm":     ``,
		"cloth=own; own_width=1400 mm; repeat_known=yes; own_repeat=200.0 mm": ``,
	} {
		cfg, findings := c.Check("kell-bench", picks(entered), today)
		if cfg == nil {
			t.Errorf("%s: %+v", entered, findings)
			continue
		}
		var got []string
		for _, hold := range cfg.Holds {
			text := hold.Kind.Code + " "
			if hold.Attribute != nil {
				text += fmt.Sprintf("%s %q: ", hold.Attribute.Code, hold.Entered)
			}
			got = append(got, text+hold.Says)
		}
		if lines := strings.Join(got, "\n\t\t\t"); lines != want {
			t.Errorf("%s: holds\n%s\nwant\n%s", entered, lines, want)
		}
		pad, _ := cfg.Product.Parts.Get("pad")
		if cfg.RepeatUnknown(pad) != strings.HasPrefix(want, "repeat") {
			t.Errorf("%s: the repeat is unknown %v", entered, cfg.RepeatUnknown(pad))
		}
	}
}

// What is unlisted is kept as entered and reckoned as the catalog says.
func TestWhatAnOpenChoiceIsReckonedAs(t *testing.T) {
	c := read(t, wide(t))
	cfg, findings := c.Check("kell-bench", picks("cloth=wool; finish= Driftwood Wash é"), today)
	if cfg == nil {
		t.Fatal(findings)
	}
	i := slices.IndexFunc(cfg.Settings, func(s catalog.Setting) bool { return s.Attribute.Code == "finish" })
	if s := cfg.Settings[i]; !s.Open || s.Entered != "Driftwood Wash é" || s.Name != s.Entered || s.Value.Text() != "clear" || s.Defaulted {
		t.Errorf("finish is settled as %+v", s)
	}
	for _, s := range cfg.Settings {
		if s.Attribute.Code != "finish" && s.Open {
			t.Errorf("%s is open", s.Attribute.Code)
		}
	}
	seat, _ := cfg.Product.Parts.Get("seat")
	if finish, err := seat.Wood.Finish.Eval(cfg.Env()); err != nil || finish.Text() != "clear" {
		t.Errorf("the seat is finished %v, %v", finish, err)
	}
	quote, findings := c.Price(cfg, "hall", today)
	if !quote.ToBeQuoted || len(quote.Lines) > 0 || len(findings) > 0 {
		t.Errorf("got %s, %+v, want to be quoted", quoted(quote), findings)
	}
}

// Brackets: low <= x < high, and the last row without a limit has no end.
func TestTables(t *testing.T) {
	c := read(t, wide(t))
	for entered, want := range map[string]string{
		"length=1490 mm": "30 mm 4", "length=1500 mm": "40 mm 4", "length=1990 mm": "40 mm 4", "length=2000 mm": "40 mm 6",
	} {
		cfg, findings := c.Check("kell-bench", picks("cloth=wool; "+entered), today)
		if cfg == nil {
			t.Errorf("%s: %+v", entered, findings)
			continue
		}
		shelf, _ := cfg.Product.Parts.Get("shelf")
		glide, _ := cfg.Product.Parts.Get("glide")
		length, err1 := shelf.Wood.Length.Eval(cfg.Env())
		legs, err2 := glide.Pieces.Eval(cfg.Env())
		if err := errors.Join(err1, err2); err != nil {
			t.Errorf("%s: %v", entered, err)
			continue
		}
		rail := (cfg.Env()[0].Length() - length.Length()) / 2
		if got := rail.String() + " " + legs.String(); got != want {
			t.Errorf("%s: %s, want %s", entered, got, want)
		}
	}
	table, _ := c.Tables.Get("repeat_share")
	for repeat, want := range map[unit.Length]string{
		0: "1/10", 100*unit.Millimetre - 1: "1/10", 100 * unit.Millimetre: "1/5", 300 * unit.Millimetre: "7/20", 1000 * unit.Metre: "7/20",
	} {
		if share, err := table.Share(repeat); err != nil || share.String() != want {
			t.Errorf("share for %s is %s, %v, want %s", repeat, share, err, want)
		}
	}
	short := read(t, edit(t, wide(t), change{"      - {gives: 35 %}\n", ""}))
	table, _ = short.Tables.Get("repeat_share")
	if share, err := table.Share(300 * unit.Millimetre); err == nil || err.Error() != "300 mm lies beyond the last row of the table repeat_share, which holds below 300 mm" {
		t.Errorf("beyond the last row: %s, %v", share, err)
	}
}
