package demonstration

import (
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// formulas are those of a product's parts and cartons that exist under a
// configuration, by the path and key under which they stand.
type formulas map[string]*catalog.Expr

func (f formulas) parts(t *testing.T, cfg *catalog.Config, below string, parts source.Map[*catalog.Part]) {
	for code, part := range parts.All() {
		path := below + code.Value
		if part.When != nil && !truth(t, cfg, part.When) {
			continue
		}
		f.put(path+" pieces", part.Pieces)
		f.piece(path, part)
		f.parts(t, cfg, path+"/", part.Parts)
	}
}

func (f formulas) piece(path string, part *catalog.Part) {
	if s := part.Steel; s != nil {
		f.steel(path, s)
	}
	if w := part.Wood; w != nil {
		f.put(path+" length", &w.Length)
		f.put(path+" width", w.Width)
		f.put(path+" thickness", &w.Thickness)
	}
	if g := part.Glass; g != nil {
		f.put(path+" length", &g.Length)
		f.put(path+" width", g.Width)
	}
	if c := part.Cushion; c != nil {
		f.put(path+" length", &c.Length)
		f.put(path+" width", &c.Width)
		f.put(path+" height", &c.Height)
	}
}

func (f formulas) steel(path string, s *catalog.SteelPart) {
	switch {
	case s.Straight != nil:
		f.put(path+" straight", &s.Straight.Length)
	case s.Mitred != nil:
		f.put(path+" long point", &s.Mitred.LongPoint)
	case s.Ring != nil:
		f.put(path+" outside", &s.Ring.Outside)
	case s.Bent != nil:
		for i, run := range s.Bent.Runs {
			name := path + " run " + string(rune('1'+i))
			f.put(name, run.Straight)
			f.put(name, run.Radius)
		}
	}
}

func (f formulas) cartons(t *testing.T, cfg *catalog.Config) {
	for code, carton := range cfg.Product.Cartons.All() {
		if carton.When != nil && !truth(t, cfg, carton.When) {
			continue
		}
		f.put("carton "+code.Value+" length", &carton.Length)
		f.put("carton "+code.Value+" width", &carton.Width)
		f.put("carton "+code.Value+" depth", &carton.Depth)
	}
}

func (f formulas) put(name string, e *catalog.Expr) {
	if e != nil {
		f[name] = e
	}
}

func truth(t *testing.T, cfg *catalog.Config, e *catalog.Expr) bool {
	t.Helper()
	v, err := e.Eval(cfg.Env())
	if err != nil {
		t.Fatalf("%s: %v", e.Value, err)
	}
	return v.Bool()
}

func allOf(t *testing.T, cfg *catalog.Config) formulas {
	t.Helper()
	f := formulas{}
	f.parts(t, cfg, "", cfg.Product.Parts)
	f.cartons(t, cfg)
	return f
}

// By hand, in the words at the head of each product's file.
var byHand = []struct{ product, with, gives string }{
	{"brackwater-table", "", `
		top length = 72 in
		top width = 36 in
		top thickness = 1 1/4 in
		base/leg straight = 25 1/2 in
		base/long-rail long point = 57 in
		base/end-rail long point = 28 in
		base/crossbar pieces = 1
		base/crossbar straight = 26 in
		base/tab pieces = 10
		carton top length = 76 in
		carton top width = 40 in
		carton top depth = 5 1/4 in
		carton base length = 61 in
		carton base width = 32 in
		carton base depth = 31 3/4 in`},
	// 84 - 15 = 69, 69/30 and 69/18 upwards are 3 and 4; 36 1/2 - 8 = 28 1/2
	{"brackwater-table", "length=7 ft; width=36 1/2 in; stretcher=h-stretcher", `
		base/long-rail long point = 69 in
		base/end-rail long point = 28 1/2 in
		base/crossbar pieces = 2
		base/crossbar straight = 26 1/2 in
		base/tab pieces = 10
		tab-screw pieces = 10
		base/stretcher/end-bar straight = 24 1/2 in
		base/stretcher/long-bar straight = 66 in`},
	{"lodden-round", "legs=bent", `
		base/ring pieces = 1
		base/ring outside = 12 in
		base/bent-leg pieces = 3
		base/bent-leg run 1 = 24 5/8 in
		base/bent-leg run 2 = 3 in
		base/bent-leg run 3 = 5 1/2 in
		bumper pieces = 6
		carton glass length = 46 in
		carton glass depth = 4 1/2 in`},
	{"lodden-round", "glass=clear-3-8", `
		base/ring pieces = 2
		base/ring outside = 28 in
		base/leg pieces = 3
		base/leg straight = 28 1/4 in`},
	// under wood: 29 - 1 1/4 - 1/4, nothing for bumpers, and tabs instead
	{"lodden-round", "top=wood; diameter=60 in", `
		base/leg pieces = 4
		base/leg straight = 27 1/2 in
		base/tab pieces = 8
		wood-top length = 60 in
		wood-top thickness = 1 1/4 in`},
	{"sallow-bench", "", `
		base/leg pieces = 4
		base/leg straight = 14 5/8 in
		base/long-rail long point = 48 in
		base/end-rail long point = 16 in
		base/slat pieces = 5
		base/slat straight = 15 3/4 in
		cushion length = 48 in
		cushion width = 16 in
		cushion height = 3 in
		strap pieces = 4`},
	{"sallow-bench", "length=5 ft", `
		base/leg pieces = 6
		base/slat pieces = 7
		strap pieces = 6`},
	{"pell-stool", "", `
		base/bent-frame run 1 = 12 3/8 in
		base/bent-frame run 2 = 2 in
		base/bent-frame run 3 = 11 1/4 in
		base/bent-frame run 5 = 12 3/8 in
		base/rail straight = 14 1/2 in
		base/slat straight = 14 1/2 in
		cushion length = 16 in`},
}

func TestPartsComeOutAsByHand(t *testing.T) {
	cat := read(t)
	for _, h := range byHand {
		cfg := check(t, cat, h.product, h.with)
		f := allOf(t, cfg)
		for _, row := range strings.Split(strings.TrimSpace(h.gives), "\n") {
			name, want, _ := strings.Cut(strings.TrimSpace(row), " = ")
			e, found := f[name]
			if !found {
				t.Errorf("%s with %q has no %s", h.product, h.with, name)
				continue
			}
			if v, err := e.Eval(cfg.Env()); err != nil || v.String() != want {
				t.Errorf("%s with %q: %s is %s (%v), want %s", h.product, h.with, name, v, err, want)
			}
		}
	}
}

// The base follows the top: what stands only under the one is not there under
// the other.
func TestTheBaseFollowsTheTop(t *testing.T) {
	cat := read(t)
	for top, absent := range map[string][]string{
		"glass": {"base/tab pieces", "tab-screw pieces", "wood-top length", "carton wood length"},
		"wood":  {"bumper pieces", "glass-top length", "carton glass length", "carton glass-oversize length"},
	} {
		f := allOf(t, check(t, cat, "lodden-round", "top="+top))
		for _, name := range absent {
			if _, found := f[name]; found {
				t.Errorf("a %s top has %s", top, name)
			}
		}
	}
}

// corners are the smallest and largest of each product, and every branch
// between them.
var corners = map[string][]string{
	"brackwater-table": {
		"length=60 in; width=34 in; height=28 in", "length=102 in; width=34 in; height=31 in; stretcher=h-stretcher",
		"length=108 in; width=44 in; height=31 in; stretcher=h-stretcher", "length=64 in; width=44 in; stretcher=h-stretcher"},
	"lodden-round": {
		"diameter=36 in; height=28 in; legs=bent", "diameter=36 in; height=31 in", "diameter=45 in; height=31 in",
		"diameter=54 in; height=30 in; legs=bent", "diameter=60 in; height=31 in",
		"diameter=36 in; height=28 in; top=wood; legs=bent", "diameter=60 in; height=31 in; top=wood"},
	"sallow-bench": {"length=36 in; height=16 in", "length=60 in; height=20 in"},
	"pell-stool":   {"height=16 in; side=14 in", "height=30 in; side=18 in; footrest=bars"},
}

func TestEverySizeCanBeCutFromItsBars(t *testing.T) {
	cat := read(t)
	for code := range cat.Products.All() {
		for _, with := range corners[code.Value] {
			cfg := check(t, cat, code.Value, with)
			for name, e := range allOf(t, cfg) {
				v, err := e.Eval(cfg.Env())
				if err != nil {
					t.Errorf("%s with %s: %s: %v", code, with, name, err)
					continue
				}
				if strings.HasSuffix(name, " pieces") {
					continue
				}
				// 240 in less 1/2 in of trim at both ends
				if l := v.Length(); l <= 0 || strings.HasPrefix(name, "base/") && l > 239*unit.Inch {
					t.Errorf("%s with %s: %s is %s", code, with, name, l)
				}
			}
		}
	}
}

// A carton is at most as large, outside, as its board's strongest grade holds.
// Outside is taken as inside and twice the board's gain, common practice.
func TestEveryCartonHasAGradeForItsSize(t *testing.T) {
	cat := read(t)
	for code, p := range cat.Products.All() {
		for _, with := range corners[code.Value] {
			cfg := check(t, cat, code.Value, with)
			f := allOf(t, cfg)
			for carton, c := range p.Cartons.All() {
				if c.When != nil && !truth(t, cfg, c.When) {
					continue
				}
				board, _ := cat.Boards.Get(c.Board)
				united := 4*board.LengthGain + 2*board.DepthGain
				for _, side := range []string{" length", " width", " depth"} {
					v, err := f["carton "+carton.Value+side].Eval(cfg.Env())
					if err != nil {
						t.Fatal(err)
					}
					united += v.Length()
				}
				if most := board.Grades[len(board.Grades)-1].United; united > most {
					t.Errorf("%s with %s: carton %s is %s in all, its board holds %s", code, with, carton, united, most)
				}
			}
		}
	}
}
