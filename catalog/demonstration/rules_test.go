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
	{"wenlow-console", "not-top-heavy", "depth=12 in; height=30 1/8 in"},
	{"wenlow-console", "long-needs-shelf", "length=72 1/8 in"},
	{"wenlow-console", "clear-on-ash-only", "wood_finish=bare-clear; species=black-walnut"},
	{"wenlow-console", "ground-runs-off-a-knife-edge", "wood_finish=hedge-green; species=beech; edge=knife"},
	{"wenlow-coffee", "long-pane-is-thick", "top=glass; length=54 1/8 in; glass=smoke-3-8"},
	{"wenlow-coffee", "smoked-pane-is-edged-flat", "top=glass; glass=smoke-3-8; glass_edge=pencil-polish"},
	{"wenlow-coffee", "frosted-pane-is-edged-flat", "top=glass; glass=frost-3-8; glass_edge=pencil-polish"},
	{"wenlow-coffee", "shelf-needs-height", "shelf=bars; height=14 7/8 in"},
	{"wenlow-coffee", "longer-than-wide", "length=39 7/8 in; width=36 in"},
	{"wenlow-coffee", "clear-on-ash-only", "wood_finish=bare-clear; species=beech"},
	{"wenlow-coffee", "ground-runs-thin-on-a-bullnose", "wood_finish=coal-black; species=white-ash; edge=bullnose"},
	{"wenlow-desk", "long-needs-back", "length=66 1/8 in"},
	{"wenlow-desk", "holes-need-room", "length=59 7/8 in; cable_holes=3"},
	{"wenlow-desk", "waterfall-needs-length", "edge=waterfall; length=55 7/8 in"},
	{"wenlow-desk", "ground-runs-off-a-round-edge", "wood_finish=hedge-green; species=white-ash; edge=waterfall"},
	{"wenlow-desk", "soap-runs-into-the-holes", "wood_finish=pale-soap; species=beech"},
	{"wenlow-desk", "clear-on-ash-only", "wood_finish=bare-clear"},
	{"lodden-side", "not-top-heavy", "diameter=16 in; height=24 1/8 in"},
	{"lodden-side", "large-pane-is-thick", "diameter=18 1/8 in; glass=clear-1-4"},
	{"lodden-side", "clear-on-ash-only", "top=wood; wood_finish=bare-clear"},
	{"lodden-nest", "three-need-length", "length=19 7/8 in"},
	{"lodden-nest", "three-need-height", "height=18 7/8 in"},
	{"lodden-nest", "clear-on-ash-only", "wood_finish=bare-clear; species=beech"},
	{"lodden-nest", "end-grain-takes-no-lime", "wood_finish=limed-grain"},
	{"osmere-etagere", "room-between-shelves", "height=59 7/8 in; shelves=5"},
	{"osmere-etagere", "posts-are-held", "height=72 1/8 in; shelves=3"},
	{"osmere-etagere", "wide-shelf-is-thick", "width=30 1/8 in; glass=clear-1-4"},
	{"osmere-etagere", "tall-needs-back", "height=78 1/8 in; depth=16 in"},
	{"osmere-etagere", "not-a-mast", "height=66 1/8 in; depth=12 in"},
	{"osmere-mirror", "low-mirror-is-laminated", "hung_at=43 1/2 in"},
	{"osmere-mirror", "hoop-rolls", "shape=round; width=42 1/8 in"},
	{"osmere-mirror", "not-a-strip", "width=18 in; height=54 1/8 in"},
	{"osmere-mirror", "heavy-needs-cleat", "hanging=hooks; width=36 1/8 in"},
	{"quarle-hall-stand", "hooks-to-the-height", "height=63 7/8 in; hooks=7"},
	{"sorrel-wall-shelf", "rod-needs-depth", "rod=bent; depth=9 7/8 in"},
	{"garrow-candle-stand", "tall-has-few-arms", "height=44 1/8 in; arms=4"},
	{"hollin-bench", "not-top-heavy", "depth=12 in; height=18 1/8 in"},
	{"hesselow-extension", "three-leaves-need-length", "length=83 7/8 in; leaves=3"},
	{"hesselow-extension", "oil-on-oak-and-cherry", "wood_finish=hand-oiled; species=white-ash"},
	{"hesselow-pedestal", "thin-stone-is-small", "stone=slate-3-4; length=40 1/8 in"},
	{"hesselow-pedestal", "boat-is-longer-than-wide", "top=stone-boat; length=36 in; width=32 1/8 in"},
	{"hesselow-screen", "wide-pane-is-thick", "width=30 1/8 in; glass=clear-1-4"},
	{"osmere-plant-stand", "not-a-mast", "diameter=10 in; height=30 1/8 in"},
	{"osmere-plant-stand", "room-for-pots", "diameter=12 in; height=29 7/8 in; rings=3"},
	{"osmere-plant-stand", "saucers-stay-out-of-frost", "metal_finish=lichen-bloom; saucer=glass"},
	{"ternholt-rail", "coats-have-room", "length=95 7/8 in; pegs=12"},
	{"marrick-trestle", "high-has-plates", "height=34 1/8 in; top=heavy"},
	{"tarrend-stool", "high-is-wide", "height=30 1/8 in; width=14 7/8 in"},
	{"tarrend-stool", "back-needs-width", "back=low; width=14 7/8 in"},
	{"tarrend-stool", "own-material-is-wide-enough", "cloth=own; own_width=24 in; own_repeat=0 in; width=15 1/8 in"},
	{"tarrend-stool", "soaped-beech-spots", "seat=wood; wood_finish=pale-soap"},
	{"tarrend-stool", "clear-on-ash-only", "seat=wood; wood_finish=bare-clear"},
	{"tarrend-chair", "back-has-height", "back_height=36 1/8 in"},
	{"tarrend-chair", "arms-need-width", "arms=bent; width=18 7/8 in"},
	{"tarrend-chair", "high-back-has-slats", "seat_height=19 in; back_height=36 1/8 in; back=rails"},
	{"tarrend-chair", "own-material-is-wide-enough", "cloth=own; width=20 in; own_width=21 7/8 in; own_repeat=0 in"},
	{"tarrend-footstool", "low-and-long", "length=20 1/8 in; height=9 7/8 in"},
	{"mallin-stool", "leather-is-piped-in-leather", "cloth=oxbow-tan; piped=contrast"},
	{"mallin-stool", "high-stool-is-wide", "height=24 1/8 in; diameter=15 7/8 in"},
	{"orrest-settee", "three-seats-are-not-the-widest", "seats=3; seat_width=26 1/8 in"},
	{"orrest-settee", "own-material-is-wide-enough", "cloth=own; arms=set-back; seat_width=28 in; own_width=33 7/8 in; own_repeat=0 in; own_repeat_across=0 in"},
	{"orrest-armchair", "wide-chair-is-deep", "width=26 1/8 in; depth=21 7/8 in"},
	{"fendrel-bed", "head-rises", "head_height=38 3/4 in"},
	{"fendrel-bed", "panel-fits-its-board", "head=panel; head_height=57 1/4 in"},
	{"fendrel-bed", "king-needs-a-high-rail", "mattress=king; rail_height=10 7/8 in"},
	{"fendrel-bed", "gilt-rubs-off-on-cloth", "head=panel; metal_finish=wheat-gilt"},
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
	{"wenlow-console", "depth=12 in; height=30 in"},
	{"wenlow-console", "length=84 in; shelf=wood; species=beech; wood_finish=hedge-green; edge=bevel"},
	{"wenlow-coffee", "top=glass; length=54 in; glass=frost-3-8"},
	{"wenlow-coffee", "length=40 in; width=36 in; height=15 in; shelf=bars"},
	{"wenlow-desk", "length=66 in; cable_holes=3; edge=waterfall"},
	{"wenlow-desk", "length=56 in; edge=waterfall"},
	{"lodden-side", "diameter=16 in; height=24 in; glass=clear-1-4"},
	{"lodden-nest", "length=20 in; height=19 in; species=white-oak; wood_finish=limed-grain"},
	{"lodden-nest", "tables=2; length=18 in; height=18 in"},
	{"osmere-etagere", "height=60 in; shelves=5; depth=12 in"},
	{"osmere-etagere", "height=72 in; shelves=3; width=30 in; glass=clear-1-4"},
	{"osmere-mirror", "hung_at=44 in; width=24 in; height=72 in"},
	{"osmere-mirror", "hung_at=2 in; mirror=mirror-backed-1-4; hanging=hooks; width=36 in; height=60 in"},
	{"osmere-mirror", "shape=round; width=42 in"},
	{"osmere-plant-stand", "diameter=10 in; height=30 in; rings=3"},
	{"hollin-bench", "depth=12 in; height=18 in; match_set=hall"},
	{"quarle-hall-stand", "height=64 in; hooks=8"},
	{"sorrel-wall-shelf", "rod=bent; depth=10 in; length=60 in"},
	{"garrow-candle-stand", "height=44 in; arms=5"},
	{"garrow-candle-stand", "height=54 in; arms=3"},
	{"quarle-hall-stand", "height=60 in; hooks=6"},
	{"ternholt-rail", "length=96 in; pegs=12"},
	{"ternholt-rail", "length=156 in"},
	{"marrick-trestle", "height=34 in; top=heavy"},
	{"marrick-trestle", "height=40 in; top=heavy; feet=plates"},
	{"tarrend-stool", "height=32 in; width=15 in; back=low"},
	{"tarrend-stool", "cloth=own; own_width=24 in; own_repeat=0 in"},
	{"tarrend-chair", "back_height=36 in; arms=bent; width=19 in; back=rails"},
	{"tarrend-chair", "cloth=own; width=20 in; own_width=22 in; own_repeat=36 in"},
	{"hesselow-extension", "length=84 in; leaves=3; leaf_width=20 in"},
	{"hesselow-extension", "wood_finish=hand-oiled; species=black-cherry; leaves=0; shape=ellipse"},
	{"hesselow-pedestal", "stone=slate-3-4; length=40 in"},
	{"hesselow-pedestal", "top=glass-boat; length=36 in; width=32 in"},
	{"hesselow-screen", "width=30 in; glass=clear-1-4"},
	{"tarrend-footstool", "length=20 in; height=9 in"},
	{"mallin-stool", "cloth=oxbow-tan; height=24 in; diameter=14 in"},
	{"mallin-stool", "piped=contrast; piping=oxbow-tan; height=26 in; diameter=16 in"},
	{"orrest-settee", "seats=3; seat_width=26 in; arms=set-back"},
	{"orrest-settee", "cloth=own; arms=set-back; seat_width=28 in; own_width=34 in; own_repeat=0 in; own_repeat_across=60 in"},
	{"orrest-armchair", "width=26 in; depth=20 in; arms=set-back"},
	{"fendrel-bed", "head_height=39 in"},
	{"fendrel-bed", "head=panel; head_height=57 in; mattress=king"},
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
		_, findings := cat.Check(b.product, picks(b.with), cat.Workshop.Effective)
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
		{"wenlow-console", "wood_finish=bare-clear; species="},
		{"wenlow-coffee", "wood_finish=bare-clear; species="},
		{"wenlow-desk", "wood_finish=bare-clear; species="},
		{"lodden-side", "top=wood; wood_finish=bare-clear; species="},
		{"lodden-nest", "wood_finish=bare-clear; species="},
		{"tarrend-stool", "seat=wood; wood_finish=bare-clear; species="},
	} {
		rule, _ := product(t, cat, on.product).Rules.Get("clear-on-ash-only")
		for species := range cat.Species.All() {
			_, findings := cat.Check(on.product, picks(on.with+species.Value), cat.Workshop.Effective)
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
				_, findings := cat.Check(product, picks(rest+"; wood_finish="+code.Value+"; species="+species.Value), cat.Workshop.Effective)
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
	if _, findings := cat.Check("brackwater-table", picks("wood_finish=bare-clear"), cat.Workshop.Effective); len(findings) == 0 {
		t.Error("the clear coat was taken on a defaulted white oak")
	}
}

func TestOwnMaterialMustComeWithItsSizes(t *testing.T) {
	cat := read(t)
	_, findings := cat.Check("pell-stool", picks("cloth=own"), cat.Workshop.Effective)
	var pointers []string
	for _, f := range findings {
		pointers = append(pointers, f.Pointer)
	}
	if got := strings.Join(pointers, " "); got != "/configuration/own_width /configuration/own_repeat" {
		t.Errorf("own material without its sizes: findings at %q", got)
	}
	if _, findings := cat.Check("pell-stool", picks("cloth=slate-twill; own_width=54 in"), cat.Workshop.Effective); len(findings) == 0 {
		t.Error("a width of own material was taken beside stock cloth")
	}
}
