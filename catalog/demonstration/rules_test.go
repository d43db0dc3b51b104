package demonstration

import (
	"slices"
	"strings"
	"testing"

	"billwright/catalog/source"
)

// broken breaks every rule of the catalog once, and only that rule.
var broken = []struct{ product, rule, with string }{
	{"brackwater-table", "room-between-ends", "length=60 in; width=40 1/8 in"},
	{"brackwater-table", "not-a-plank", "length=104 in; width=34 in; stretcher=h-stretcher"},
	{"brackwater-table", "long-needs-stretcher", "length=96 1/8 in"},
	{"brackwater-table", "clear-on-ash-only", "wood_finish=bare-clear; species=black-cherry"},
	{"brackwater-table", "black-edge-runs-thin", "wood_finish=coal-black; species=white-ash; edge=bullnose"},
	{"lodden-round", "large-pane-is-thick", "diameter=48 1/8 in; glass=clear-3-8"},
	{"lodden-round", "bent-leg-jigs", "legs=bent; height=29 1/2 in"},
	{"lodden-round", "bent-legs-reach", "legs=bent; diameter=54 1/8 in"},
	{"lodden-round", "clear-on-ash-only", "top=wood; wood_finish=bare-clear; species=white-oak"},
	{"sallow-bench", "stripe-without-seam", "cloth=sedge-stripe; length=52 1/8 in"},
	{"sallow-bench", "low-bench-is-short", "length=48 1/8 in; height=16 7/8 in"},
	{"pell-stool", "high-needs-footrest", "height=24 1/8 in"},
	{"pell-stool", "low-has-no-footrest", "height=18 in; footrest=bars"},
	{"pell-stool", "own-material-is-wide-enough", "cloth=own; side=18 in; own_width=19 7/8 in; own_repeat=0 in"},
	{"pell-stool", "own-repeat-fits", "cloth=own; own_width=54 in; own_repeat=36 1/8 in"},
}

// kept stands just on the near side of each limit.
var kept = []struct{ product, with string }{
	{"brackwater-table", "length=60 in; width=40 in"},
	{"brackwater-table", "length=102 in; width=34 in; stretcher=h-stretcher"},
	{"brackwater-table", "length=96 in"},
	{"brackwater-table", "wood_finish=bare-clear; species=white-ash"},
	{"brackwater-table", "wood_finish=coal-black; species=black-cherry"},
	{"lodden-round", "diameter=48 in; glass=clear-3-8"},
	{"lodden-round", "legs=bent; height=30 in; diameter=54 in"},
	{"lodden-round", "top=wood; wood_finish=hand-oiled; species=black-cherry"},
	{"sallow-bench", "cloth=sedge-stripe; length=52 in"},
	{"sallow-bench", "length=60 in; height=17 in"},
	{"pell-stool", "height=24 in; footrest=none"},
	{"pell-stool", "height=18 1/8 in; footrest=bars"},
	{"pell-stool", "cloth=own; side=18 in; own_width=20 in; own_repeat=36 in"},
	{"pell-stool", "cloth=own; own_width=18 in; own_repeat=0 in"},
}

func TestEachRuleRefusesWithItsSentence(t *testing.T) {
	cat := read(t)
	tried := map[string]bool{}
	for _, b := range broken {
		tried[b.product+"/"+b.rule] = true
		rule, found := product(t, cat, b.product).Rules.Get(b.rule)
		if !found {
			t.Errorf("%s has no rule %s", b.product, b.rule)
			continue
		}
		_, findings := cat.Check(b.product, picks(b.with))
		if len(findings) != 1 || !strings.HasPrefix(findings[0].Message, rule.Says) {
			t.Errorf("%s with %s:\n  %+v\nwant only: %s", b.product, b.with, findings, rule.Says)
		}
	}
	for code, p := range cat.Products.All() {
		for rule := range p.Rules.All() {
			if !tried[code.Value+"/"+rule.Value] {
				t.Errorf("rule %s of %s is broken by no case here", rule, code)
			}
		}
	}
}

func TestJustInsideEachLimitIsBuilt(t *testing.T) {
	cat := read(t)
	for _, k := range kept {
		check(t, cat, k.product, k.with)
	}
}

func TestTheClearCoatGoesOnAshAlone(t *testing.T) {
	cat := read(t)
	for _, on := range []struct{ product, with string }{
		{"brackwater-table", "wood_finish=bare-clear; species="},
		{"lodden-round", "top=wood; wood_finish=bare-clear; species="},
	} {
		rule, _ := product(t, cat, on.product).Rules.Get("clear-on-ash-only")
		for species := range cat.Species.All() {
			_, findings := cat.Check(on.product, picks(on.with+species.Value))
			switch {
			case species.Value == "white-ash":
				if len(findings) != 0 {
					t.Errorf("%s: the clear coat is refused on white ash: %+v", on.product, findings)
				}
			case len(findings) != 1 || !strings.HasPrefix(findings[0].Message, rule.Says):
				t.Errorf("%s: on %s: %+v, want only: %s", on.product, species, findings, rule.Says)
			}
		}
	}
}

// One fault, one finding: a pair that a finish's steps do not work on is refused
// by the finish itself, the clear coat on oak and cherry by the rule.
func TestFinishesGoOnTheirSpecies(t *testing.T) {
	cat := read(t)
	for code, finish := range cat.WoodFinishes.All() {
		for species := range cat.Species.All() {
			want := 1
			if on := texts(finish.On); slices.Contains(on, species.Value) && (!finish.Clear || species.Value == "white-ash") {
				want = 0
			}
			for _, with := range []string{"brackwater-table", "lodden-round; top=wood"} {
				product, rest, _ := strings.Cut(with, "; ")
				_, findings := cat.Check(product, picks(rest+"; wood_finish="+code.Value+"; species="+species.Value))
				if len(findings) != want {
					t.Errorf("%s: %s on %s has %d findings, want %d: %+v", product, code, species, len(findings), want, findings)
				}
			}
		}
	}
}

func texts(list []source.Text) (values []string) {
	for _, text := range list {
		values = append(values, text.Value)
	}
	return values
}

// The species default is white oak, so that the clear coat alone clashes with
// it: a finding, never a silent change to ash.
func TestADefaultThatClashesIsAFinding(t *testing.T) {
	cat := read(t)
	if _, findings := cat.Check("brackwater-table", picks("wood_finish=bare-clear")); len(findings) == 0 {
		t.Error("the clear coat was taken on a defaulted white oak")
	}
}

func TestOwnMaterialMustComeWithItsSizes(t *testing.T) {
	cat := read(t)
	_, findings := cat.Check("pell-stool", picks("cloth=own"))
	var pointers []string
	for _, f := range findings {
		pointers = append(pointers, f.Pointer)
	}
	if got := strings.Join(pointers, " "); got != "/configuration/own_width /configuration/own_repeat" {
		t.Errorf("own material without its sizes: findings at %q", got)
	}
	if _, findings := cat.Check("pell-stool", picks("cloth=slate-twill; own_width=54 in")); len(findings) == 0 {
		t.Error("a width of own material was taken beside stock cloth")
	}
}
