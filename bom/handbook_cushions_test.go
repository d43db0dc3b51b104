package bom_test

import (
	"fmt"
	"maps"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// handbookCushions are pieces of cloth and leather without seams, so that their
// sums are the handbook's figures.
const handbookCushions = `
fabrics:
  plain-54: {name: Plain, goods_width: 54 in, usable_width: 54 in}
  repeat-10-17: {name: Repeat of 10 and 17 in, goods_width: 54 in, usable_width: 54 in, repeat: 10 in, repeat_across: 17 in}
  repeat-18-13: {name: Repeat of 18 and 13 1/2 in, goods_width: 54 in, usable_width: 54 in, repeat: 18 in, repeat_across: 13 1/2 in}
  repeat-44: {name: Repeat of 44 in in all, goods_width: 54 in, usable_width: 53 in, repeat: 24 in, repeat_across: 20 in}
  narrow-plain: {name: Narrow and plain, goods_width: 51 in, usable_width: 50 in}
  narrow-27: {name: Narrow with a repeat of 27 in in all, goods_width: 51 in, usable_width: 50 in, repeat: 10 in, repeat_across: 17 in}
  hide-1: {name: Hide, leather: {hide: 50 ft2, clear_length: 84 in, clear_width: 60 in, factor: 1}}
  hide-4-3: {name: Hide, leather: {hide: 50 ft2, clear_length: 84 in, clear_width: 60 in, factor: 4/3}}
  hide-9-4: {name: Hide, leather: {hide: 50 ft2, clear_length: 84 in, clear_width: 60 in, factor: 9/4}}
cushion_forms:
  swatch:
    name: Swatch
    pattern: {by: table, table: repeat-share, narrow: {below: 52 in, table: repeat-share-narrow}}
    pieces:
      swatch: {pieces: 1, along: width, across: length}
products:
  swatch:
    name: Swatch
    lead_days: 1
    attributes:
      length: {name: Length, size: {from: 1 in, to: 300 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 54 in}
      width: {name: Width, size: {from: 1 in, to: 300 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 36 in}
      cloth: {name: Cloth, choose: {from: fabrics}, default: plain-54}
    rules:
      not-own: {says: No own material., forbid: {cloth: own}}
    parts:
      cut:
        cushion: {form: swatch, cloth: cloth, foam: seat-foam, length: length, width: width, height: len('1 in'), own_usable_width: len('54 in'), own_repeat: len('0 in')}
`

// clothOf is the cloth row of swatches.
func clothOf(t *testing.T, quantity int, text string) *bom.ClothRow {
	t.Helper()
	return &explode(t, readWith(t, handbookCushions), quantity, "swatch", text).Lines[0].Cloth[0]
}

func leatherFeet(quantity int, text string) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, _ *catalog.Catalog) float64 {
		return float64(clothOf(t, quantity, text).Area) / float64(unit.SquareFoot)
	}
}

// patternedYards is the net with the allowance for the pattern, before it is
// rounded.
func patternedYards(quantity int, text string) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, _ *catalog.Catalog) float64 {
		row := clothOf(t, quantity, text)
		return float64(row.Net+row.Pattern) / float64(unit.Yard)
	}
}

// bias is the side of the square, without the seam as the tables print it.
func bias(length, width string) func(*testing.T, *catalog.Catalog) float64 {
	return func(t *testing.T, _ *catalog.Catalog) float64 {
		side, err := bom.BiasSquare(mustLength(t, length), mustLength(t, width), 0)
		if err != nil {
			t.Fatal(err)
		}
		return side / float64(unit.Inch)
	}
}

func init() {
	maps.Copy(handbook, map[string]check{
		// Leather by area: what a cloth would take by the yard, times 18 / 13.5.
		"C-01": {"54 in running yard, ft2", leatherFeet(1, "cloth=hide-1"), 0},
		"C-02": {"yd -> leather ft2: 6 yd", leatherFeet(6, "cloth=hide-4-3"), 0},
		"C-03": {"6.5 yd", leatherFeet(13, "cloth=hide-4-3; width=18 in"), 0},
		"C-05": {"18/13.5", func(t *testing.T, cat *catalog.Catalog) float64 {
			return leatherFeet(1, "cloth=hide-4-3")(t, cat) / leatherFeet(1, "cloth=hide-1")(t, cat)
		}, 0},
		"C-06": {"six 24 x 24 in leather", leatherFeet(6, "cloth=hide-9-4; length=24 in; width=24 in"), 0},
		// A pattern by the table, 27 in of repeats and 31 1/2.
		"C-08": {"repeat V10 + H17 on 8 yd", patternedYards(8, "cloth=repeat-10-17"), 0},
		"C-09": {"repeat V18 + H13.5 on 7 yd", patternedYards(7, "cloth=repeat-18-13"), 0},
		// Strips on the bias.
		"C-16": {"bias: 250 in of 2 in -> square", bias("250 in", "2 in"), 0},
		"C-17": {"bias: 100 in of 3.5", bias("100 in", "3 1/2 in"), 0},
		"C-18": {"bias: 55 in of 2.5", bias("55 in", "2 1/2 in"), 0},
	})
}

// The rules in words: C-07 (hides), C-10 with surprise 14 (two charts differ at
// 44 and 45 in: this catalog's says 30 %), C-11 (narrow goods) and C-16, which
// is cut 23 in with its seam.
func TestHandbookCushionRules(t *testing.T) {
	cat := readWith(t, handbookCushions)
	for code, fabric := range cat.Fabrics.All() {
		if fabric.Leather == nil || len(code.Value) > 5 && code.Value[:5] == "hide-" {
			continue
		}
		if l := fabric.Leather; l.Length > 90*unit.Inch || l.Width > 72*unit.Inch || l.Hide > 55*unit.SquareFoot {
			t.Errorf("C-07: a hide of %s has a clear part of %s x %s", code.Value, l.Length, l.Width)
		}
	}
	for _, c := range []struct{ id, with, want string }{
		{"C-10", "cloth=plain-54", "360 in + 0 in"},
		{"C-10 and surprise 14", "cloth=repeat-44", "360 in + 108 in"}, // 30 %, where the other chart has 35 %, 126 in
		{"C-11", "cloth=narrow-plain; length=50 in", "360 in + 36 in"},
		{"C-11", "cloth=narrow-27; length=50 in", "360 in + 108 in"}, // 20 and 10 %
	} {
		text := c.with
		if c.with == "cloth=repeat-44" {
			text += "; length=53 in"
		}
		row := clothOf(t, 10, text)
		if got := fmt.Sprintf("%s + %s", row.Net, row.Pattern); got != c.want {
			t.Errorf("%s: %s: %s, want %s", c.id, c.with, got, c.want)
		}
	}
	side, err := bom.BiasSquare(250*unit.Inch, 2*unit.Inch, unit.Inch/2)
	if cut, _ := (unit.Rounding{Mode: unit.Up, To: unit.Inch}).Round(unit.Length(side)); err != nil || cut != 23*unit.Inch {
		t.Errorf("C-16: the square is cut %s, want 23 in", cut)
	}
}
