package choices_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/choices"
)

// found picks the findings of a kind.
func found(all []choices.Finding, kind choices.FindingKind) []choices.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f choices.Finding) bool { return f.Kind != kind })
}

func TestLintFindsWhatIsWrongWithTheLamps(t *testing.T) {
	t.Parallel()
	b := lamps()
	is := func(field string, values ...string) choices.Term {
		return choices.Term{Field: field, Set: choices.Set{Values: values}}
	}
	b.Fields[0].Values = append(b.Fields[0].Values, "wall")
	b.Rules = append(b.Rules,
		choices.Rule{ID: "no-bare", Says: "There is no lamp without a shade.", Require: choices.Row{is("shade", "linen", "glass")}},
		choices.Rule{ID: "no-bare-floor", Says: "A floor lamp has a shade.", Forbid: []choices.Row{{is("model", "floor"), is("shade", "none")}}},
		choices.Rule{ID: "bare-cord", Says: "A bare lamp has a short cord.", Where: choices.Row{is("shade", "none")}, Require: choices.Row{{Field: "cord", Set: choices.Set{Numbers: []choices.Interval{{From: 0, To: 1000}}}}}},
		choices.Rule{ID: "wall-glass", Says: "A wall lamp is of glass.", Where: choices.Row{is("model", "wall")}, Require: choices.Row{is("shade", "glass")}},
		choices.Rule{ID: "wall-large", Says: "A wall lamp has the large bulb.", Where: choices.Row{is("model", "wall")}, Require: choices.Row{is("bulb", "large")}},
		choices.Rule{ID: "pairs", Says: "Shades go with bulbs.", Allow: []choices.Row{
			{is("shade", "linen"), is("bulb", "small", "large")},
			{is("shade", "linen"), is("bulb", "small")},
			{is("shade", "glass"), is("bulb", "small")},
			{is("shade", "none"), is("bulb", "small")},
		}},
	)
	c, err := choices.Compile(b, choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	all := c.Lint()
	rule := func(id string) int32 {
		return int32(slices.IndexFunc(b.Rules, func(r choices.Rule) bool { return r.ID == id }))
	}
	is1 := func(got []choices.Finding, want int) {
		t.Helper()
		if len(got) != want {
			t.Fatalf("%d findings, want %d: %+v\nof all %+v", len(got), want, got, all)
		}
	}
	wall := found(all, choices.HubUnbuildable)
	is1(wall, 1)
	if want := []int32{rule("wall-glass"), rule("wall-large"), rule("pairs")}; wall[0].Hub != 2 || !slices.Equal(wall[0].Because, want) {
		t.Errorf("the wall lamp: %+v, want because %v", wall[0], want)
	}
	dead := found(all, choices.DeadOption)
	is1(dead, 2) // no wall lamp, no shade "none"
	if want := []int32{rule("no-bare")}; dead[1].Field != 1 || dead[1].Value != 2 || !slices.Equal(dead[1].Because, want) {
		t.Errorf("no shade: %+v, want because %v", dead[1], want)
	}
	is1(found(all, choices.NeverApplies), 1) // bare-cord
	redundant := found(all, choices.Redundant)
	var which []string
	for _, f := range redundant {
		which = append(which, b.Rules[f.Rule].ID)
	}
	if want := []string{"glass-bulb", "desk-bulb", "no-bare-floor", "pairs"}; !slices.Equal(which, want) {
		t.Errorf("redundant are %v, want %v", which, want)
	}
	within := found(all, choices.RowWithinRow)
	is1(within, 1)
	if within[0].Rule != rule("pairs") || within[0].Row != 1 || within[0].Other != 0 {
		t.Errorf("the row within another: %+v", within[0])
	}
}

// TestLintAgreesWithEveryChoiceTried holds each kind of finding against the
// choices of the same base with the rule taken out.
func TestLintAgreesWithEveryChoiceTried(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *rapid.T, s *shop, c *choices.Compiled) {
		all := c.Lint()
		if got := len(found(all, choices.NothingBuildable)) > 0; got != (len(s.good) == 0) {
			t.Fatalf("nothing can be built: %v, while %d choices can\n%s", got, len(s.good), describe(s.base))
		}
		for _, f := range all {
			if f.Kind != choices.NothingBuildable && f.Kind != choices.DeadOption && f.Kind != choices.ForcedOption && f.Kind != choices.HubUnbuildable {
				continue
			}
			stands := func(rules []int32) bool {
				return !slices.ContainsFunc(s.without(rules).good, func(choice []int) bool {
					is := f.Field != choices.None && choice[f.Field] >= int(f.Value) && choice[f.Field] <= int(max(f.Value, f.To))
					return f.Field == choices.None || is != (f.Kind == choices.ForcedOption)
				})
			}
			if !stands(f.Because) || f.Bounded {
				t.Fatalf("%+v is not so\n%s", f, describe(s.base))
			}
			for i := range f.Because {
				if stands(slices.Delete(slices.Clone(f.Because), i, i+1)) {
					t.Fatalf("%+v: rule %d is needless\n%s", f, i, describe(s.base))
				}
			}
		}
		if len(s.good) == 0 {
			return
		}
		s.agreeOnOptions(t, all)
		for i := range s.base.Rules {
			s.agreeOnRule(t, int32(i), all)
		}
	})
}

func (s *shop) agreeOnOptions(t *rapid.T, all []choices.Finding) {
	for f := range s.options {
		forced := slices.ContainsFunc(all, func(x choices.Finding) bool { return x.Kind == choices.ForcedOption && x.Field == int32(f) })
		for v := range s.options[f] {
			alive := slices.ContainsFunc(s.good, func(choice []int) bool { return choice[f] == v })
			said := slices.ContainsFunc(all, func(x choices.Finding) bool {
				return x.Field == int32(f) && (x.Kind == choices.DeadOption && x.Value <= int32(v) && int32(v) <= x.To || x.Kind == choices.ForcedOption && x.Value != int32(v))
			})
			if said == alive {
				t.Fatalf("field %d value %d (forced %v): said to be dead %v, alive %v\n%s", f, v, forced, said, alive, describe(s.base))
			}
		}
	}
}

func (s *shop) agreeOnRule(t *rapid.T, i int32, all []choices.Finding) {
	var others []int32
	for j := range s.base.Rules {
		if int32(j) != i {
			others = append(others, int32(j))
		}
	}
	r := &s.base.Rules[i]
	rest := s.without(others).good
	says := func(kind choices.FindingKind, row int32) bool {
		return slices.ContainsFunc(all, func(x choices.Finding) bool { return x.Kind == kind && x.Rule == i && x.Row == row })
	}
	applies := slices.ContainsFunc(rest, func(choice []int) bool { return s.met(r.Where, choice) })
	never := says(choices.NeverApplies, choices.None)
	if never == applies && (len(r.Where) > 0 || never) {
		t.Fatalf("rule %d never applies: said %v, applies %v\n%s", i, never, applies, describe(s.base))
	}
	broken := slices.ContainsFunc(rest, func(choice []int) bool { return !s.keeps(r, choice) })
	if said := says(choices.Redundant, choices.None) || never; said == broken {
		t.Fatalf("rule %d is redundant: said %v, something breaks it alone %v\n%s", i, said, broken, describe(s.base))
	}
	if !broken {
		return
	}
	for row, terms := range slices.Concat(r.Allow, r.Forbid) {
		among := rest
		if r.Allow != nil {
			among = s.good
		}
		used := len(r.Allow) == 1 || slices.ContainsFunc(among, func(choice []int) bool { return s.met(r.Where, choice) && s.met(terms, choice) })
		if said := says(choices.RowNeverUsed, int32(row)); said == used {
			t.Fatalf("rule %d row %d is never used: said %v, used %v\n%s", i, row, said, used, describe(s.base))
		}
	}
}

func TestLintOfOneHubTellsWhatIsDeadThereOnly(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	height, _ := c.Field("height")
	tall, err := c.NumberValue(height, 650)
	if err != nil {
		t.Fatal(err)
	}
	all := c.LintHub(0)
	at := slices.IndexFunc(all, func(f choices.Finding) bool {
		return f.Field == height && f.Value == tall && c.Name(height, f.To) == "1800"
	})
	if at < 0 || all[at].Kind != choices.DeadOption || !slices.Equal(all[at].Because, []int32{0}) {
		t.Errorf("a desk lamp of 650 mm: %+v", all)
	}
	if len(all) != 1 {
		t.Errorf("%d findings of the desk lamp, want the heights over 600 mm as one: %+v", len(all), all)
	}
	if all := c.LintHub(1); len(all) > 0 {
		t.Errorf("findings of the floor lamp: %+v", all)
	}
}
