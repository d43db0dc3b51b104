package catalog_test

import (
	"errors"
	"os"
	"slices"
	"testing"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// today is the day that most orders of these tests count for.
var today = calendar.Date{Year: 2026, Month: 11, Day: 25}

// small is the catalog in testdata/small.
func small(t testing.TB) []source.File {
	t.Helper()
	files, faults := source.ReadDir(os.DirFS("testdata/small"))
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	return files
}

func read(t testing.TB, files []source.File) *catalog.Catalog {
	t.Helper()
	c, faults := catalog.Read(files)
	for _, f := range faults {
		t.Error(f)
	}
	if c == nil {
		t.Fatal("the catalog is refused")
	}
	return c
}

func TestReadFillsCodesPathsAndCalendar(t *testing.T) {
	c := read(t, small(t))
	section, _ := c.Sections.Get("bar-1")
	finish, _ := c.WoodFinishes.Get("limed")
	product, _ := c.Products.Get("tarn-table")
	dealer, _ := c.Dealers.Get("friend")
	for got, want := range map[string]string{section.Code: "bar-1", finish.Code: "limed", product.Code: "tarn-table", dealer.Code: "friend"} {
		if got != want {
			t.Errorf("code %q, want %q", got, want)
		}
	}
	base, _ := product.Parts.Get("base")
	for code, part := range base.Parts.All() {
		if part.Path != "base/"+code.Value {
			t.Errorf("path of %s is %q", code, part.Path)
		}
	}
	if m, err := section.Mass(unit.Foot); err != nil || m.Pounds(4) != "3.4028" {
		t.Errorf("a foot of 1 in square bar is %s lb, %v: want 490/144", m.Pounds(4), err)
	}
	thanksgiving := calendar.Date{Year: 2026, Month: 11, Day: 26}
	if why, closed := c.Calendar.Closed(thanksgiving); !closed || why != "Thanksgiving" {
		t.Errorf("on %v the plant is closed %v because of %q", thanksgiving, closed, why)
	}
	if len(c.Files) != 4 || c.Files[0].Path != "materials.yaml" {
		t.Errorf("files are not kept sorted: %d, first %s", len(c.Files), c.Files[0].Path)
	}
}

func TestStandardsByName(t *testing.T) {
	c := read(t, small(t))
	for _, name := range catalog.StandardNames {
		switch name.Kind {
		case catalog.StandardLength:
			c.Length(name.Name)
		case catalog.StandardRatio:
			c.Ratio(name.Name)
		case catalog.StandardDensity:
			c.DensityOf(name.Name)
		case catalog.StandardChoice:
			c.Choice(name.Name)
		case catalog.StandardRounding:
			c.Rounding(name.Name)
		}
	}
	percent, _ := unit.NewRatio(6, 100)
	if c.Length("saw_kerf") != unit.Inch/8 || c.Ratio("moisture_low") != percent || c.Choice("bar_trim_ends") != "both" ||
		c.Rounding("steel_cut") != (unit.Rounding{Mode: unit.Up, To: unit.Inch / 32}) {
		t.Errorf("saw_kerf %v, moisture_low %v, bar_trim_ends %v, steel_cut %v",
			c.Length("saw_kerf"), c.Ratio("moisture_low"), c.Choice("bar_trim_ends"), c.Rounding("steel_cut"))
	}
	if m, err := c.DensityOf("steel_density").Mass(unit.CubicFoot); err != nil || m != 490*unit.Pound {
		t.Errorf("a cubic foot of steel is %v, %v", m, err)
	}
	defer func() {
		if recover() == nil {
			t.Error("a standard that the program has no name for was given a value")
		}
	}()
	c.Length("saw_curve")
}

// The cushion of 20 x 18 x 3 in with seams of 1/2 in: plates 2 of 21 x 19 in,
// boxing 4 in by 2 (20 + 18) = 76 in.
func TestCushionForm(t *testing.T) {
	c := read(t, small(t))
	form, _ := c.CushionForms.Get("boxed")
	env := form.Env(&catalog.Finished{Length: 20 * unit.Inch, Width: 18 * unit.Inch, Height: 3 * unit.Inch})
	want := map[string]string{"plate": "2 of 21 in x 19 in", "boxing": "1 of 4 in x 76 in"}
	for name, piece := range form.Pieces.All() {
		count, err1 := piece.Count.Eval(env)
		along, err2 := piece.Along.Eval(env)
		across, err3 := piece.Across.Eval(env)
		got := count.String() + " of " + along.String() + " x " + across.String()
		if err := errors.Join(err1, err2, err3); err != nil || got != want[name.Value] {
			t.Errorf("%s: %s, %v, want %s", name, got, err, want[name.Value])
		}
	}
	if zip, err := form.Zip.Eval(env); err != nil || zip.String() != "20 in" {
		t.Errorf("zip: %v, %v", zip, err)
	}
}

func TestOptionsOfAnAttribute(t *testing.T) {
	c := read(t, small(t))
	product, _ := c.Products.Get("tarn-table")
	for name, want := range map[string][]catalog.Option{
		"top":          {{Code: "wood", Name: "Wood"}, {Code: "glass", Name: "Glass"}},
		"pull":         {{Code: "pull-brass", Name: "Brass pull"}},
		"species":      {{Code: "white-oak", Name: "White oak"}, {Code: "walnut", Name: "Walnut"}},
		"metal_finish": {{Code: "black", Name: "Black"}, {Code: "waxed", Name: "Waxed"}},
		"length":       {},
	} {
		a, _ := product.Attributes.Get(name)
		if got := a.Options(); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
}

// Files that cannot be read as such hide nothing but what they would have said.
func TestAFileThatCannotBeReadIsTheOnlyFault(t *testing.T) {
	for name, files := range map[string][]source.File{
		"broken yaml":   edit(t, small(t), change{"boards:\n", "boards: [\n"}),
		"no files":      nil,
		"an empty file": {{Path: "empty.yaml"}},
		"unknown key":   edit(t, small(t), change{"boards:\n", "bords:\n"}),
	} {
		c, faults := catalog.Read(files)
		if c != nil || len(faults) == 0 {
			t.Errorf("%s: taken", name)
		}
		for _, f := range faults {
			if f.Where != "" {
				t.Errorf("%s: %v is told although the boards were not read", name, f)
			}
		}
	}
}

func TestReadIsTheSameEveryTime(t *testing.T) {
	files := edit(t, small(t), change{"section: bar-1, straight", "section: bar-7, straight"}, change{"packs: cushion", "packs: cusion"},
		change{"under: top", "under: topp"}, change{"saw_kerf: {length: 1/8 in", "saw_kerf: {length: 1/8 in, ratio: 1, choice: x"})
	_, first := catalog.Read(files)
	for range 20 {
		slices.Reverse(files)
		if _, faults := catalog.Read(files); !slices.Equal(faults, first) {
			t.Fatalf("got %v, the first time %v", faults, first)
		}
	}
}

func FuzzReadNeverPanics(f *testing.F) {
	catalogs := [][]source.File{small(f), wide(f)}
	for _, files := range catalogs {
		for _, file := range files {
			f.Add(file.Bytes)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		for _, files := range catalogs {
			for i := range files {
				changed := slices.Clone(files)
				changed[i].Bytes = text
				if c, faults := catalog.Read(changed); (c == nil) != (len(faults) > 0) {
					t.Errorf("a catalog %v with %d faults", c != nil, len(faults))
				}
			}
		}
	})
}
