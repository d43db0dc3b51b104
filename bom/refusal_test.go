package bom_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// oddity is a product of which each fault asks for something that cannot be
// made. Check takes all of them: only the explosion can tell.
const oddity = `
glass:
  annealed:
    name: Plain annealed glass
    thickness: 1/4 in
    safety: none
    largest: {length: 40 in, width: 30 in}
fabrics:
  ribbon:
    name: Ribbon
    grade: A
    goods_width: 12 in
    usable_width: 11 in
  narrow-roll:
    name: Narrow roll
    grade: A
    goods_width: 1 in
    usable_width: 1 in
    railroad: yes
products:
  oddity:
    name: Oddity
    lead_days: 1
    attributes:
      fault:
        name: Fault
        choose:
          values:
            none: None
            short: Nothing left
            mitre: Mitres meet
            long: Too long for a bar
            ring: Too tight a ring
            half: Half a piece
            minus: Pieces below nought
            many: Too many pieces
            nested: Too many in groups
            zero: Division by nought
            when: A condition that fails
            figure: A length that fails
            vast: Beyond anything made
            area: Beyond reckoning
            thick: Too thick a top
            unsafe: Glass that breaks
            pane: Too large a pane
            seam: Cloth too narrow
            welt: Cloth too narrow to join
            own: Own material of unknown width
            flat: A cushion of no height
            loose: A tab without a top
            box: Too large a carton
            heavy: Too heavy a carton
            stock: A section that is not stocked long
            depth: A carton of no depth
      size: {name: Size, size: {from: 0 in, to: 2000 in, step_inch: 1/64 in, step_metric: 1 mm}, default: 0 in}
      wood: {name: Wood, choose: {from: species, among: [white-oak]}, default: white-oak}
      coat: {name: Coat, choose: {from: wood_finishes, among: [tanbark]}, default: tanbark}
      cloth: {name: Cloth, choose: {from: fabrics, among: [ribbon, narrow-roll, own]}, default: ribbon}
      glass: {name: Glass, choose: {from: glass, among: [annealed]}, default: annealed}
    parts:
      short:
        when: fault == 'short'
        steel: {section: flat-bar-2, straight: size - len('5 in')}
      mitre:
        when: fault == 'mitre'
        steel: {section: flat-bar-2, mitred: {long_point: len('3 in'), across: 2 in, first: 45, second: 45}}
      long:
        when: fault == 'long'
        steel: {section: flat-bar-2, straight: len('239 1/32 in')}
      ring:
        when: fault == 'ring'
        steel: {section: round-bar-3-4, ring: {outside: len('1 1/2 in')}}
      half:
        when: fault == 'half'
        pieces: (size + len('1 in')) / len('2 in')
        steel: {section: flat-bar-2, straight: len('9 in')}
      minus:
        when: fault == 'minus'
        pieces: size / len('1 in') - 3
        hardware: {item: glide}
      many:
        when: fault == 'many'
        pieces: 10001
        hardware: {item: glide}
      nested:
        when: fault == 'nested'
        pieces: 101
        parts:
          inner:
            pieces: 100
            hardware: {item: glide}
      zero:
        when: fault == 'zero'
        pieces: len('1 in') / size
        hardware: {item: glide}
      when:
        when: fault == 'when' && len('1 in') / size > 2
        hardware: {item: glide}
      figure:
        when: fault == 'figure'
        steel: {section: flat-bar-2, straight: len('1 in') * (len('1 in') / size)}
      vast:
        when: fault == 'vast'
        steel: {section: flat-bar-2, straight: len('900 m') * 2}
      area:
        when: fault == 'area'
        pieces: 9999
        wood: {species: wood, finish: coat, length: len('999 m'), width: len('999 m'), thickness: len('1 in'), edge: "'sawn'"}
      thick:
        when: fault == 'thick'
        wood: {species: wood, finish: coat, length: len('20 in'), width: len('20 in'), thickness: len('1 49/64 in'), edge: "'sawn'"}
      unsafe:
        when: fault == 'unsafe'
        glass: {glass: glass, length: len('20 in'), width: len('20 in'), height: len('43 63/64 in'), edge: "'raw'"}
      pane:
        when: fault == 'pane'
        glass: {glass: glass, length: len('40 in'), width: len('31 in'), height: len('44 in'), edge: "'raw'"}
      seam:
        when: fault == 'seam'
        cushion: {form: boxed-plain, cloth: cloth, foam: seat-foam, length: len('12 in'), width: len('12 in'), height: len('3 in'), own_usable_width: len('5 in')}
      welt:
        when: fault == 'welt'
        cushion: {form: boxed-plain, cloth: cloth, foam: seat-foam, length: len('12 in'), width: len('12 in'), height: len('3 in'), own_usable_width: len('5 in')}
      own:
        when: fault == 'own'
        cushion: {form: boxed-plain, cloth: cloth, foam: seat-foam, length: len('12 in'), width: len('12 in'), height: len('3 in'), own_usable_width: size}
      flat:
        when: fault == 'flat'
        cushion: {form: boxed-plain, cloth: cloth, foam: seat-foam, length: len('12 in'), width: len('12 in'), height: size, own_usable_width: len('5 in')}
      top:
        when: fault == 'none' || fault == 'box'
        wood: {species: wood, finish: coat, length: len('20 in'), width: len('20 in'), thickness: len('3/4 in'), grain: width, edge: "'sawn'"}
      tab:
        when: fault == 'none' || fault == 'loose'
        hardware: {item: slotted-tab, under: top}
      anvil:
        when: fault == 'heavy'
        pieces: 3
        steel: {section: square-bar-1, straight: len('200 in')}
      bar:
        when: fault == 'stock'
        steel: {section: rect-tube-2-1, straight: len('287 1/32 in')}
    cartons:
      box:
        when: fault == 'box'
        packs: top
        board: furniture-pack
        length: len('90 in')
        width: len('80 in')
        depth: len('10 in')
      heavy:
        when: fault == 'heavy'
        packs: anvil
        board: single-c
        length: len('30 in')
        width: len('20 in')
        depth: len('20 in')
      depth:
        when: fault == 'depth'
        packs: top
        board: single-c
        length: len('30 in')
        width: len('20 in')
        depth: size
`

func TestWhatCannotBeMadeIsRefusedWithItsReason(t *testing.T) {
	cat := readWith(t, oddity)
	for _, c := range []struct{ picks, code, says string }{
		{"fault=short", "length.not-positive", "short: length comes to nothing or less; the formula is Size - 5 in = 0 in - 5 in = -5 in"},
		{"fault=short; size=1 mm", "length.not-positive", "the formula is Size - 127 mm = 1 mm - 127 mm = -126 mm."},
		{"fault=mitre", "length.not-positive", "mitres of 45 and 45 degrees across 2 in leave nothing of 3 in"},
		{"fault=long", "steel.too-long", "a cut length of 239 1/32 in is longer than any bar of 2 x 1/4 in flat bar gives: the longest is 240 in, and 239 in after its ends are trimmed"},
		{"fault=stock", "steel.too-long", "the longest is 288 in, and 287 in after"},
		{"fault=ring", "ring.too-small", "a ring of 1 1/2 in outside cannot be rolled from a bar 3/4 in deep"},
		{"fault=half", "count.not-whole", "pieces is not a whole number from 0 to 10000"},
		{"fault=minus", "count.not-whole", "= -3"},
		{"fault=many", "count.not-whole", "10001"},
		{"fault=nested", "part.too-many", "nested › inner: 10100 pieces in one unit; no more than 10000"},
		{"fault=zero", "formula.failed", "pieces cannot be reckoned: division by zero: Size is 0."},
		{"fault=when", "formula.failed", "whether it exists cannot be reckoned: division by zero: Size is 0."},
		{"fault=figure", "formula.failed", "length cannot be reckoned"},
		{"fault=vast", "size.too-large", "length is beyond anything that is made"},
		{"fault=area", "size.too-large", "beyond what can be reckoned"},
		{"fault=thick", "wood.too-thick", "White oak lumber surfaces to 1 3/4 in at most; a top of 1 49/64 in"},
		{"fault=unsafe", "glass.not-safe", "a pane 43 63/64 in over the floor lies under 44 in: choose a tempered or laminated one"},
		{"fault=pane", "glass.too-large", "40 in x 31 in of Plain annealed glass is over the vendor's limit of 40 in x 30 in"},
		{"fault=seam", "cloth.too-narrow", "seam › plate: it is 13 in across and Ribbon gives 11 in"},
		{"fault=welt; cloth=narrow-roll", "cloth.too-narrow", "welt › boxing: it is 49 in across and Narrow roll gives 1 in"},
		{"fault=own; cloth=own", "length.not-positive", "usable width of own material comes to nothing or less"},
		{"fault=flat", "length.not-positive", "height comes to nothing"},
		{"fault=loose", "fastener.no-top", "tab: it fastens top, which this configuration has not"},
		{"fault=box", "carton.too-large", "box: "},
		{"fault=heavy", "carton.too-large", "lb gross and"},
		{"fault=depth", "length.not-positive", "inside depth comes to nothing"},
	} {
		bill, working, findings := explodeLines(t, cat, "oddity", "fault=none", c.picks)
		if bill != nil || working != nil || len(findings) == 0 {
			t.Errorf("%s is taken", c.picks)
			continue
		}
		found := slices.ContainsFunc(findings, func(f catalog.Finding) bool {
			return f.Code == c.code && strings.Contains(f.Message, c.says) && f.Pointer == "/lines/1" && strings.HasPrefix(f.Message, "line 2 › ")
		})
		if !found {
			t.Errorf("%s: want %s %q of line 2, got %+v", c.picks, c.code, c.says, findings)
		}
	}
}

// explodeLines explodes lines of one product.
func explodeLines(t *testing.T, cat *catalog.Catalog, product string, texts ...string) (*bom.Bill, []bom.Working, []catalog.Finding) {
	t.Helper()
	var lines []bom.Line
	for i, text := range texts {
		config, findings := cat.Check(product, picks(text), cat.Workshop.Effective)
		if config == nil {
			t.Fatalf("%s with %s: %+v", product, text, findings)
		}
		lines = append(lines, bom.Line{Number: i + 1, Quantity: 1, Config: config})
	}
	return bom.Explode(cat, lines, true)
}

func TestEveryLinesFaultsComeAtOnce(t *testing.T) {
	cat := readWith(t, oddity)
	_, _, findings := explodeLines(t, cat, "oddity", "fault=thick", "fault=none", "fault=loose", "fault=seam")
	var got []string
	for _, f := range findings {
		got = append(got, f.Pointer+" "+f.Code)
	}
	want := []string{"/lines/0 wood.too-thick", "/lines/2 fastener.no-top", "/lines/3 cloth.too-narrow"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// Grain along the width: the blank and the movement turn, the size does not.
func TestGrainAlongTheWidthTurnsTheBlank(t *testing.T) {
	const turned = `
products:
  shelf:
    name: Shelf
    lead_days: 1
    attributes:
      wood: {name: Wood, choose: {from: species, among: [white-oak]}, default: white-oak}
      coat: {name: Coat, choose: {from: wood_finishes, among: [tanbark]}, default: tanbark}
    parts:
      along:
        wood: {species: wood, finish: coat, length: len('30 in'), width: len('10 in'), thickness: len('3/4 in'), edge: "'sawn'"}
      across:
        wood: {species: wood, finish: coat, length: len('30 in'), width: len('10 in'), thickness: len('3/4 in'), grain: width, edge: "'sawn'"}
      none:
        pieces: 0
        wood: {species: wood, finish: coat, length: len('30 in'), width: len('10 in'), thickness: len('3/4 in'), edge: "'sawn'"}
`
	wood := explode(t, readWith(t, turned), 1, "shelf", "").Lines[0].Wood
	if len(wood) != 2 {
		t.Fatalf("%d wood rows; a part of no pieces has none", len(wood))
	}
	along, across := wood[0], wood[1]
	if got := fmt.Sprint(along.Blank.Length, " x ", along.Blank.Width, " ", along.Grain); got != "31 in x 10 1/2 in along the length" {
		t.Errorf("grain along the length: %s", got)
	}
	if got := fmt.Sprint(across.Blank.Length, " x ", across.Blank.Width, " ", across.Grain); got != "11 in x 30 1/2 in along the width" {
		t.Errorf("grain along the width: %s", got)
	}
	// 10 · 0.00365 · 6 = 0.219 in and 30 · 0.00365 · 6 = 0.657 in, rounded up to
	// 1/64: 15/64 is 0.234 and 43/64 is 0.672.
	if along.Movement != 15*unit.Inch/64 || across.Movement != 43*unit.Inch/64 || across.Length != along.Length || across.Area != along.Area {
		t.Errorf("movement %s and %s over 10 and 30 in; areas %s and %s", along.Movement, across.Movement, along.Area.In(bom.Inch), across.Area.In(bom.Inch))
	}
}
