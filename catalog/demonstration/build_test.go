package demonstration

import (
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/source"
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
		f.put(path+" end width", w.EndWidth)
	}
	if l := part.Leaf; l != nil {
		f.put(path+" width", &l.Width)
	}
	if s := part.Stone; s != nil {
		f.put(path+" length", &s.Length)
		f.put(path+" width", s.Width)
	}
	if g := part.Glass; g != nil {
		f.put(path+" length", &g.Length)
		f.put(path+" width", g.Width)
		f.put(path+" end width", g.EndWidth)
	}
	if c := part.Cushion; c != nil {
		f.put(path+" length", &c.Length)
		f.put(path+" width", c.Width)
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
		f.put("carton "+code.Value+" length", carton.Length)
		f.put("carton "+code.Value+" width", carton.Width)
		f.put("carton "+code.Value+" depth", carton.Depth)
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
