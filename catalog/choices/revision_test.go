package choices_test

import (
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/choices"
)

func TestOnlyWhatAChangeTouchesIsCompiledAgain(t *testing.T) {
	t.Parallel()
	before, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := lamps()
	b.Rules[0].Says = "Said otherwise."
	b.Rules[0].Require[0].Set.Numbers[0].To = 500
	after, err := choices.Compile(b, choices.Options{Previous: before})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, reused := after.Size(); reused != 1 {
		t.Errorf("%d diagrams taken over, want the floor lamp's alone", reused)
	}
	same, err := choices.Compile(b, choices.Options{Previous: after})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, reused := same.Size(); reused != 2 {
		t.Errorf("%d diagrams taken over of the same rules, want both", reused)
	}
	changes := after.Since(before)
	if len(changes) != 1 || changes[0].Hub != "desk" || changes[0].Before.Cmp(changes[0].After) <= 0 {
		t.Fatalf("changes: %+v", changes)
	}
	if want := []choices.Option{{Field: "height", Value: "550"}, {Field: "height", Value: "600"}}; !slices.Equal(changes[0].Lost, want) || len(changes[0].Gained) > 0 {
		t.Errorf("lost %v, want %v; gained %v", changes[0].Lost, want, changes[0].Gained)
	}
	if back := before.Since(after); len(back) != 1 || len(back[0].Gained) != 2 {
		t.Errorf("the other way about: %+v", back)
	}
	if none := same.Since(after); len(none) > 0 {
		t.Errorf("nothing changed, but %+v", none)
	}
}

// TestWhatIsTakenOverAnswersAsIfMadeAnew changes one rule of a drawn base and
// holds the new revision against the same base compiled from nothing.
func TestWhatIsTakenOverAnswersAsIfMadeAnew(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := drawBase(t)
		before, err := choices.Compile(b, choices.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Rules) == 0 {
			return
		}
		at := rapid.IntRange(0, len(b.Rules)-1).Draw(t, "changed")
		b.Rules = slices.Clone(b.Rules)
		b.Rules[at] = drawRule(t, b, at)
		s := newShop(b)
		after, err := choices.Compile(b, choices.Options{Previous: before})
		if err != nil {
			t.Fatal(err)
		}
		a := after.Asker()
		defer a.Done()
		left := after.NoValues()
		picks := drawPicks(t, s)
		_ = a.Remaining(picks, left)
		good := s.with(picks)
		for f := range s.options {
			for v := range s.options[f] {
				want := slices.ContainsFunc(good, func(choice []int) bool { return choice[f] == v })
				if got := after.Has(left, int32(f), int32(v)); got != want {
					t.Fatalf("picks %v: field %d value %d: %v, want %v\n%s", picks, f, v, got, want, describe(b))
				}
			}
		}
	})
}

func TestManyMayAskAtOnce(t *testing.T) {
	t.Parallel()
	for _, options := range []choices.Options{{}, {Nodes: 1}} {
		c, err := choices.Compile(lamps(), options)
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		for g := range 8 {
			all.Go(func() {
				a := c.Asker()
				defer a.Done()
				left := c.NoValues()
				for i := range 200 {
					picks := c.Picks()
					picks[1] = int32((g + i) % 3)
					if err := a.Remaining(picks, left); err != nil {
						t.Error(err)
					}
					if want := 2 - (g+i)%3%2; c.HowMany(left, 2) != want {
						t.Errorf("shade %d: %d bulbs, want %d", picks[1], c.HowMany(left, 2), want)
					}
				}
			})
		}
		all.Wait()
	}
}

func TestWhereAValueIsUsed(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	bulb, _ := c.Field("bulb")
	height, _ := c.Field("height")
	large, _ := c.Value(bulb, "large")
	if got, want := c.WhereUsed(bulb, large), []choices.Use{{Rule: 1, Row: 0}, {Rule: 2, Row: 0}}; !slices.Equal(got, want) {
		t.Errorf("the large bulb is used at %v, want %v", got, want)
	}
	if got, want := c.WhereUsed(height, choices.None), []choices.Use{{Rule: 0, Row: 0}, {Rule: 3, Row: choices.None}}; !slices.Equal(got, want) {
		t.Errorf("the height is used at %v, want %v", got, want)
	}
	if got := c.Rule(3); got.ID != "cord" || !slices.Equal(got.Fields, []int32{3, 4}) || c.Rules() != 4 {
		t.Errorf("rule 3: %+v of %d", got, c.Rules())
	}
}

func TestAskingAllocatesNothing(t *testing.T) {
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	intervals := make([]choices.Interval, 0, 8)
	for _, model := range []int32{0, choices.None} {
		picks := c.Picks()
		picks[0], picks[2] = model, 1
		n := testing.AllocsPerRun(100, func() {
			_ = a.Remaining(picks, left)
			_ = a.MayChange(picks, left)
			intervals = c.Intervals(left, 3, intervals[:0])
		})
		if n != 0 {
			t.Errorf("model %d: %v allocations", model, n)
		}
	}
}
