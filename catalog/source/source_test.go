package source

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// book is a small catalog with a field of every kind.
type book struct {
	Plant    plant                `yaml:"plant" doc:"Where the work is done."`
	Parts    Map[*part]           `yaml:"parts" doc:"Parts by code."`
	Notes    Map[Text]            `yaml:"notes" keys:"any" doc:"Remarks by heading."`
	Limits   Map[OneOrMany[word]] `yaml:"limits" oneof:"low high" doc:"Which ends of a range are watched."`
	Closures []string             `yaml:"closures" doc:"Closed days."`
	Carriers OneOrMany[Text]      `yaml:"carriers" doc:"Who fetches the boxes."`
	Edition  int                  `yaml:"edition" doc:"Counts up."`
}

type word string

type plant struct {
	Pos   Pos    `yaml:"-"`
	Zone  string `yaml:"zone,required" doc:"Time zone, such as Europe/Oslo."`
	Night *bool  `yaml:"night" doc:"Whether there is a night shift."`
}

// common lends its keys to the structs it is embedded in.
type common struct {
	Pos  Pos    `yaml:"-"`
	Name string `yaml:"name,required" doc:"Name as printed."`
}

type part struct {
	common
	Length inches          `yaml:"length" doc:"Finished length."`
	Shape  string          `yaml:"shape" oneof:"round square flat" doc:"Cross-section."`
	Count  uint8           `yaml:"count" doc:"How many."`
	Offset int8            `yaml:"offset" doc:"Steps to the left."`
	Bent   bool            `yaml:"bent" doc:"Whether it is bent."`
	Holes  OneOrMany[hole] `yaml:"holes" doc:"Holes."`
	Needs  *need           `yaml:"needs" doc:"What must be at hand."`
	Parts  Map[*part]      `yaml:"parts" doc:"Parts of the part."`
	slot   int
}

// inches reads its own text, "72 in".
type inches int

func (l *inches) UnmarshalText(text []byte) error {
	digits, isInches := strings.CutSuffix(string(text), " in")
	number, err := strconv.Atoi(digits)
	if !isInches || err != nil {
		return fmt.Errorf("%q is not a length: write 72 in", text)
	}
	*l = inches(number)
	return nil
}

// hole may be written as its face alone.
type hole struct {
	At   string  `yaml:"at,required" doc:"Face it is drilled in."`
	Wide *inches `yaml:"wide" doc:"Diameter."`
	Pos  Pos     `yaml:"-"`
}

func (h *hole) FromText(t Text) error {
	switch t.Value {
	case "nowhere":
		return Fault{Message: "no such face", Hint: "use top or side"}
	case "twice wrong":
		return errors.Join(errors.New("first reason"), errors.New("second reason"))
	}
	*h = hole{At: t.Value}
	return nil
}

// need has no long form: it is a word or a list of words.
type need struct {
	Words []Text
}

func (n *need) FromText(t Text) error { n.Words = []Text{t}; return nil }

func (n *need) FromTexts(list []Text) error {
	if len(list) == 0 {
		return errors.New("an empty list asks for nothing")
	}
	n.Words = list
	return nil
}

// tell writes a book on lines, each value with its place where it has one.
func tell(b book) string {
	var out strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&out, format+"\n", args...) }
	if b.Plant.Pos != (Pos{}) {
		line("plant at %s: %s, night %s", b.Plant.Pos, b.Plant.Zone, optional(b.Plant.Night))
	}
	tellParts(line, "", b.Parts)
	for key, note := range b.Notes.All() {
		line("note %q: %q at %s", key, note.Value, note.Pos)
	}
	for key, ends := range b.Limits.All() {
		line("limit %s: %v", key, ends)
	}
	if b.Closures != nil {
		line("closures %q", b.Closures)
	}
	for _, carrier := range b.Carriers {
		line("carrier %s at %s", carrier, carrier.Pos)
	}
	if b.Edition != 0 {
		line("edition %d", b.Edition)
	}
	return out.String()
}

func tellParts(line func(string, ...any), indent string, parts Map[*part]) {
	for key, p := range parts.All() {
		line("%spart %s at %s, keys at %s: %s, %d in, %s, count %d, offset %d, bent %t", indent,
			key, key.Pos, p.Pos, p.Name, p.Length, p.Shape, p.Count, p.Offset, p.Bent)
		for _, h := range p.Holes {
			line("%s  hole %s at %s, wide %s", indent, h.At, h.Pos, optional(h.Wide))
		}
		if p.Needs != nil {
			line("%s  needs %v", indent, p.Needs.Words)
		}
		tellParts(line, indent+"  ", p.Parts)
	}
}

func optional[T any](value *T) string {
	if value == nil {
		return "not said"
	}
	return fmt.Sprint(*value)
}

var goodDocuments = []struct{ name, doc, want string }{
	{"nothing", "", ""},
	{"remarks only", "# nothing yet\n\n---\n# still nothing\n", ""},
	{"a struct with its place", "plant:\n  zone: Europe/Oslo\n  night: no\n", "plant at a.yaml:2:3: Europe/Oslo, night false\n"},
	{"yes and true", "plant: {zone: x, night: true}\n", "plant at a.yaml:1:8: x, night true\n"},
	{"an optional value left out", "plant: {zone: x}\n", "plant at a.yaml:1:8: x, night not said\n"},
	{"scalars stay as written", `notes:
  Depth of Cut: 1/8 in
  number: 0072
  country: no
  quoted: '~'
  empty: ''
  time: 12:30
  '<<': in quotes a key like any other
`, `note "Depth of Cut": "1/8 in" at a.yaml:2:17
note "number": "0072" at a.yaml:3:11
note "country": "no" at a.yaml:4:12
note "quoted": "~" at a.yaml:5:11
note "empty": "" at a.yaml:6:10
note "time": "12:30" at a.yaml:7:9
note "<<": "in quotes a key like any other" at a.yaml:8:9
`},
	{"a part with all its fields", `
parts:
  leg-1:
    name: Leg
    length: 28 in
    shape: round
    count: 4
    offset: -3
    bent: yes
    holes:
      - top
      - {at: side, wide: 1 in}
    needs: [file, vice]
    parts:
      cap.b/2:
        name: Cap
        holes: end
        needs: glue
`, `part leg-1 at a.yaml:3:3, keys at a.yaml:4:5: Leg, 28 in, round, count 4, offset -3, bent true
  hole top at a.yaml:11:9, wide not said
  hole side at a.yaml:12:9, wide 1
  needs [file vice]
  part cap.b/2 at a.yaml:15:7, keys at a.yaml:16:9: Cap, 0 in, , count 0, offset 0, bent false
    hole end at a.yaml:17:16, wide not said
    needs [glue]
`},
	{"order of writing", "parts: {b: {name: B}, a: {name: A}, 10: {name: ten}}\n",
		`part b at a.yaml:1:9, keys at a.yaml:1:12: B, 0 in, , count 0, offset 0, bent false
part a at a.yaml:1:23, keys at a.yaml:1:26: A, 0 in, , count 0, offset 0, bent false
part 10 at a.yaml:1:37, keys at a.yaml:1:41: ten, 0 in, , count 0, offset 0, bent false
`},
	{"one stands for a list of one", "carriers: Ox and Cart\nlimits: {a: low, b: [low, high]}\n", "limit a: [low]\nlimit b: [low high]\ncarrier Ox and Cart at a.yaml:1:11\n"},
	{"an empty list is a list", "closures: []\n", "closures []\n"},
	{"quotes, folds and blocks", "closures:\n- 'it''s'\n- \"tab \\t, snow \\u2603\"\n- >\n  folded\n  text\n- |\n  two\n  lines\n",
		`closures ["it's" "tab \t, snow ☃" "folded text\n" "two\nlines\n"]` + "\n"},
	{"columns count characters", "notes: {é: ü, b: c}\n", "note \"é\": \"ü\" at a.yaml:1:12\nnote \"b\": \"c\" at a.yaml:1:18\n"},
	{"lines ended by CR LF", "closures:\r\n- a\r\nedition: 12\r\n", "closures [\"a\"]\nedition 12\n"},
	{"an exclamation mark in text", "notes: {a: b !c, d: \"!e\", f!: g}\n", "note \"a\": \"b !c\" at a.yaml:1:12\nnote \"d\": \"!e\" at a.yaml:1:21\nnote \"f!\": \"g\" at a.yaml:1:31\n"},
	{"end of document", "--- # catalog\nedition: 3\n...\n", "edition 3\n"},
}

func TestGoodDocuments(t *testing.T) {
	for _, test := range goodDocuments {
		t.Run(test.name, func(t *testing.T) {
			var got book
			for _, fault := range Decode([]File{{"a.yaml", []byte(test.doc)}}, &got) {
				t.Error(fault)
			}
			if told := tell(got); told != test.want {
				t.Errorf("read\n%swant\n%s", told, test.want)
			}
		})
	}
}

func TestMap(t *testing.T) {
	var got book
	if faults := Decode([]File{{"a.yaml", []byte("notes: {b: two, a: one}\n")}}, &got); faults != nil {
		t.Fatal(faults)
	}
	notes := got.Notes
	if notes.Len() != 2 || !slices.Equal(notes.Keys(), []string{"b", "a"}) {
		t.Errorf("%d keys, %q", notes.Len(), notes.Keys())
	}
	if one, found := notes.Get("a"); !found || one.Value != "one" {
		t.Errorf("under a stands %q, %t", one, found)
	}
	if none, found := notes.Get("c"); found || none != (Text{}) {
		t.Errorf("under c stands %q, %t", none, found)
	}
	if at := notes.Pos("a"); at != (Pos{"a.yaml", 1, 17}) {
		t.Errorf("a stands at %s", at)
	}
	if at := notes.Pos("c"); at != (Pos{}) {
		t.Errorf("c, which is absent, stands at %s", at)
	}
	for key := range notes.All() {
		if key.Value != "b" {
			t.Errorf("going on to %s after the end was asked for", key)
		}
		break
	}
	var empty Map[int]
	if _, found := empty.Get("a"); found || empty.Len() != 0 || len(empty.Keys()) != 0 {
		t.Error("the zero Map is not empty")
	}
}

// A folder split in any way reads as the same catalog.
func TestMergeOverFiles(t *testing.T) {
	files := []File{
		{"a.yaml", []byte("plant: {zone: x}\nparts: {leg: {name: Leg}}\nclosures: [mon]\ncarriers: Ox\n")},
		{"b/empty.yaml", []byte("# later\n")},
		{"b/more.yaml", []byte("parts:\n  top: {name: Top}\nclosures: [tue, wed]\ncarriers: [Cart, Barge]\nnotes: {a: b}\n")},
	}
	var got book
	if faults := Decode(files, &got); faults != nil {
		t.Fatal(faults)
	}
	want := `plant at a.yaml:1:8: x, night not said
part leg at a.yaml:2:9, keys at a.yaml:2:14: Leg, 0 in, , count 0, offset 0, bent false
part top at b/more.yaml:2:3, keys at b/more.yaml:2:8: Top, 0 in, , count 0, offset 0, bent false
note "a": "b" at b/more.yaml:5:12
closures ["mon" "tue" "wed"]
carrier Ox at a.yaml:4:11
carrier Cart at b/more.yaml:4:12
carrier Barge at b/more.yaml:4:18
`
	if told := tell(got); told != want {
		t.Errorf("read\n%swant\n%s", told, want)
	}
}

// What could be read is there in spite of faults, and no entry is nil, so that
// a caller can go on and look for faults of meaning.
func TestReadsOnAfterFaults(t *testing.T) {
	doc := "parts:\n  leg:\n    name: Leg\n    length: long\n    count: 4\n  top:\n  foot: [a]\n"
	var got book
	faults := Decode([]File{{"a.yaml", []byte(doc)}}, &got)
	if len(faults) != 3 {
		t.Errorf("%d faults: %v", len(faults), faults)
	}
	leg, found := got.Parts.Get("leg")
	if !found || leg.Name != "Leg" || leg.Count != 4 {
		t.Errorf("the leg is %+v", leg)
	}
	for _, key := range []string{"top", "foot"} {
		if entry, found := got.Parts.Get(key); !found || entry == nil {
			t.Errorf("%s is %v, %t", key, entry, found)
		}
	}
}
