package bom_test

import (
	"errors"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

func checkOwn(t *testing.T, cat *catalog.Catalog, quantity int, product, with, path string, came bom.Received) (*bom.OwnMaterialCheck, error) {
	t.Helper()
	config, findings := cat.Check(product, picks(with), cat.Workshop.Effective)
	if config == nil {
		t.Fatal(findings)
	}
	return bom.CheckOwnMaterial(cat, bom.Line{Number: 2, Quantity: quantity, Config: config}, path, came)
}

// Four stools in the customer's own material, as in hand-stool-own-material:
// from 53 in, in a repeat of 13 1/2 in, 8 plates lie 3 in a row: 3 rows of 27 in;
// boxing 4 full widths and one row of rests of 13 in, 4 in each: 81 + 20 = 101 in.
// From 48 in plates lie 2 in a row: 108 in; the rest of the boxing is 65 - 47 =
// 18 in, two in a row: 16 + 8 = 24 in; 132 in in all. In a repeat of 9 in a run is
// 18 in: 54 + 20 = 74 in.
func TestWhatCameOfOwnMaterial(t *testing.T) {
	cat := read(t)
	const with = "height=24 in; footrest=bars; cloth=own; own_width=54 in; own_repeat=13 1/2 in"
	nine, none := 9*unit.Inch, unit.Length(0)
	for _, c := range []struct {
		name, verdict string
		came          bom.Received
		short, send   unit.Length
		says          []string
	}{
		{"just enough", bom.OwnEnough, bom.Received{Length: 101 * unit.Inch}, 0, 0, []string{"Enough: 101 in are cut, 101 in came; 0 in are left."}},
		{"a yard short", bom.OwnShort, bom.Received{Length: 65 * unit.Inch}, 36 * unit.Inch, unit.Yard, []string{
			"Short by 36 in: 101 in are cut (3 of 27 in for plate + 4 of 4 in for boxing + 1 of 4 in for boxing, rest of 13 in), 65 in came; send 1.00 yd more."}},
		{"one nanometre short", bom.OwnShort, bom.Received{Length: 101*unit.Inch - 1}, 1, unit.Yard / 4, nil},
		{"narrower and flawed", bom.OwnShort, bom.Received{Length: 3 * unit.Yard, Usable: 48 * unit.Inch, Flaws: 12 * unit.Inch}, 36 * unit.Inch, unit.Yard, []string{
			"The usable width is 48 in and not 53 in as said with the order.", "By that 3.75 yd are needed instead of 3.00 yd.",
			"Short by 36 in: 132 in are cut (4 of 27 in for plate + 4 of 4 in for boxing + 2 of 4 in for boxing, rest of 18 in), 108 in came, of which 12 in are flawed; send 1.00 yd more."}},
		{"another repeat", bom.OwnEnough, bom.Received{Length: 75 * unit.Inch, Repeat: &nine}, 0, 0, []string{
			"The repeat is 9 in and not 13 1/2 in as said with the order.", "By that 2.25 yd are needed instead of 3.00 yd.", "Enough: 74 in are cut, 75 in came; 1 in are left."}},
		{"plain after all", bom.OwnEnough, bom.Received{Length: 71 * unit.Inch, Repeat: &none}, 0, 0, nil}, // 3 rows of 17 and 20
		{"too narrow", bom.OwnUnfit, bom.Received{Length: 9 * unit.Yard, Usable: 16 * unit.Inch}, 0, 0, []string{
			"The usable width is 16 in and not 53 in as said with the order.",
			"line 2 › cushion › plate: it is 17 in across and Customer's own material gives 16 in: it needs a seam that the pattern does not have; choose a cloth with 1 in more of usable width, one that may be railroaded, or a size that makes it 1 in less."}},
		{"all flawed", bom.OwnShort, bom.Received{Length: unit.Yard, Flaws: 2 * unit.Yard}, 101 * unit.Inch, 3 * unit.Yard, nil},
	} {
		check, err := checkOwn(t, cat, 4, "pell-stool", with, "cushion/cloth", c.came)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if check.Verdict != c.verdict || check.Short != c.short || check.Send != bom.Cloth(c.send) || (check.Came == nil) != (c.verdict == bom.OwnUnfit) {
			t.Errorf("%s: %s, short by %s, send %s", c.name, check.Verdict, check.Short, check.Send.In(bom.Inch))
		}
		if got := strings.Join(check.Says, "\n"); c.says != nil && got != strings.Join(c.says, "\n") {
			t.Errorf("%s: it says\n%s\nwant\n%s", c.name, got, strings.Join(c.says, "\n"))
		}
		if check.Said.Net != 101*unit.Inch || check.Verdict != bom.OwnUnfit && len(check.Working) < 4 {
			t.Errorf("%s: said %+v with %d steps", c.name, check.Said, len(check.Working))
		}
	}
}

// Cushions cut from one material are all reckoned by what came: a settee's seats
// and backs.
func TestOwnMaterialOfSeveralCushions(t *testing.T) {
	const with = "cloth=own; own_width=54 in; own_repeat=0 in; own_repeat_across=0 in"
	check, err := checkOwn(t, read(t), 1, "orrest-settee", with, "seat-cushion/cloth", bom.Received{Length: 9 * unit.Yard, Usable: 60 * unit.Inch})
	if err != nil || check.Verdict != bom.OwnEnough {
		t.Fatalf("%v, %+v", err, check)
	}
	// From 60 in: seat plates 4 of 25 two in a row, 50 in; boxing 2 of 69 from 60:
	// 2 rows and a rest of 10 in, 6 in each: 18; strips 4 of 29 by 3 1/2, 2 in a
	// row: 7; piping 4 of 1 1/2 x 98: 60 and a rest of 39: 4 + 4 rows: 12; back
	// plates 4 of 19 x 25: 38; piping 2 of 86, a rest of 27, two in a row: 2 + 1 rows:
	// 4 1/2 in: 129 1/2 in.
	if check.Needed != mustLength(t, "129 1/2 in") || check.Came.Usable != 60*unit.Inch || check.Said.Usable != 53*unit.Inch {
		t.Errorf("needed %s of %s: %+v", check.Needed, check.Came.Usable, check.Came.Rows)
	}
}

func TestOwnLeather(t *testing.T) {
	cat := readWith(t, `
fabrics:
  own-hide: {name: Own hide, own_material: yes, leather: {hide: 50 ft2, clear_length: 72 in, clear_width: 48 in, factor: 1.5}}
`)
	check, err := checkOwn(t, cat, 1, "tarrend-chair", "cloth=own-hide", "cushion/cloth", bom.Received{Area: 10 * unit.SquareFoot})
	if err != nil || check.Verdict != bom.OwnShort || check.NeededArea.In(bom.Inch) != "11.86 ft2" || check.ShortArea.In(bom.Inch) != "1.86 ft2" {
		t.Errorf("%v, %+v", err, check)
	}
	if check, err = checkOwn(t, cat, 1, "tarrend-chair", "cloth=own-hide", "cushion/cloth", bom.Received{Area: 12 * unit.SquareFoot}); err != nil || check.Verdict != bom.OwnEnough {
		t.Errorf("%v, %+v", err, check)
	}
}

func TestWhatIsNotOwnMaterial(t *testing.T) {
	cat := read(t)
	for _, c := range []struct{ with, path, says string }{
		{"cloth=own; own_width=54 in; own_repeat=0 in", "cushion", "line 2 has it at cushion/cloth"},
		{"cloth=ink-twill", "cushion/cloth", "line 2 has none"},
	} {
		if _, err := checkOwn(t, cat, 1, "pell-stool", c.with, c.path, bom.Received{}); !errors.Is(err, bom.ErrNotOwnMaterial) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s at %s: %v", c.with, c.path, err)
		}
	}
}
