package choices_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"billwright/catalog/choices"
)

func TestAllFaultsOfABaseAreToldAtOnce(t *testing.T) {
	t.Parallel()
	set := choices.Set{Values: []string{"red"}}
	b := &choices.Base{
		Hub: "model",
		Fields: []choices.Field{
			{Code: "colour", Values: []string{"red", "red"}},
			{Code: "colour", Values: []string{"blue"}},
			{Code: "nothing"},
			{Code: "width", Grid: []choices.Grid{{Min: 5, Max: 1, Step: 1}}},
			{Code: "depth", Grid: []choices.Grid{{Min: 0, Max: 9, Step: 0}}},
			{Code: "long", Grid: []choices.Grid{{Min: math.MinInt64, Max: math.MaxInt64, Step: 1}}},
			{Code: "below", Grid: []choices.Grid{{Min: -3, Max: 3, Step: 1}}},
			{Code: "huge", Grid: []choices.Grid{{Min: math.MaxInt64 - 3, Max: math.MaxInt64, Step: 1}}},
		},
		Rules: []choices.Rule{
			{ID: "twice", Forbid: []choices.Row{}},
			{ID: "twice", Forbid: []choices.Row{{{Field: "shape", Set: set}, {Field: "colour", Set: choices.Set{Values: []string{"green"}}}}}},
			{ID: "both", Forbid: []choices.Row{}, Allow: []choices.Row{}},
			{ID: "neither"},
			{Forbid: []choices.Row{{{Field: "colour", Set: set}, {Field: "colour", Set: set}}}},
			{ID: "interval", Require: choices.Row{{Field: "below", Set: choices.Set{Numbers: []choices.Interval{{From: 2, To: 1}}}}}},
			{ID: "text", AtMost: &choices.AtMost{A: "colour", B: "below"}},
			{ID: "self", AtMost: &choices.AtMost{A: "below", B: "below"}},
			{ID: "minus", AtMost: &choices.AtMost{A: "below", B: "huge", TimesA: -1}},
			{ID: "product", Product: &choices.Product{A: "below", B: "huge"}},
		},
	}
	_, err := choices.Compile(b, choices.Options{})
	var faults choices.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("the error is %v", err)
	}
	want := []string{
		`field colour: it has the value "red" twice`,
		`field colour: there are two fields of this code`,
		`field nothing: it has no values`,
		`field width: its numbers end at 1 before they begin at 5`,
		`field width: it has no values`,
		`field depth: its step is 0: a step is more than nothing`,
		`field depth: it has no values`,
		`field long: it has more than 131072 numbers: make the step coarser`,
		`field long: it has no values`,
		`field model: there is no such field`,
		`rule twice: there are two rules of this ID`,
		`rule twice: row 1: field shape: there is no such field`,
		`rule twice: row 1: field colour: it has no value "green"`,
		`rule both: it says 2 things: exactly one of Allow, Forbid, Require, AtMost and Product is given`,
		`rule neither: it says 0 things: exactly one of Allow, Forbid, Require, AtMost and Product is given`,
		`rule number 5: it has no ID`,
		`rule number 5: row 1: field colour: it stands twice in one row: write one set`,
		`rule interval: row 1: field below: the interval 2 to 1 ends before it begins`,
		`rule text: field colour: it has no numbers`,
		`rule self: field below: it is compared with itself: write an interval`,
		`rule minus: a factor is negative: write the rule the other way about`,
		`rule minus: field huge: the number 9223372036854775804 times 1 is too large to be compared`,
		`rule product: field below: it may be negative: a product is limited of what is not`,
	}
	if got := strings.Split(faults.Error(), "\n"); !slices.Equal(got, want) {
		t.Errorf("faults:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestWhatThereIsNotIsTold(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	height, _ := c.Field("height")
	shade, _ := c.Field("shade")
	_, noField := c.Field("colour")
	_, noValue := c.Value(shade, "paper")
	_, off := c.NumberValue(height, 620)
	_, above := c.NumberValue(height, 9000)
	for _, x := range []struct {
		err  error
		want string
	}{
		{noField, `there is no field "colour"`},
		{noValue, `shade has no value "paper"`},
		{off, "height cannot be 620: the nearest on its grid is 600 or 650"},
		{above, "height cannot be 9000: the nearest on its grid is 1800"},
	} {
		var unknown *choices.UnknownError
		if !errors.As(x.err, &unknown) || x.err.Error() != x.want {
			t.Errorf("%v, want %s", x.err, x.want)
		}
	}
	a := c.Asker()
	defer a.Done()
	wild := c.Picks()
	wild[shade] = 77
	into := c.NoValues()
	_, whyNot := a.WhyNot(wild, choices.None, choices.None, nil)
	_, whyValue := a.WhyNot(c.Picks(), shade, 77, nil)
	_, nearest := a.Nearest(&choices.Wish{Picks: wild})
	_, usual := a.Nearest(&choices.Wish{Picks: c.Picks(), Usual: wild})
	_, weight := a.Nearest(&choices.Wish{Picks: c.Picks(), Weights: []int64{0, -1, 0, 0, 0}})
	_, few := a.Nearest(&choices.Wish{Picks: c.Picks(), Weights: []int64{1}})
	_, cheapest := a.Cheapest(wild, func(int32, int32) int64 { return 0 })
	_, dear := a.Cheapest(c.Picks(), func(int32, int32) int64 { return math.MaxInt64 })
	_, violations := c.Violations(choices.Picks{0})
	for name, err := range map[string]error{
		"remaining": a.Remaining(wild, into), "may change": a.MayChange(wild, into), "why not": whyNot, "why not the value": whyValue,
		"nearest": nearest, "usual": usual, "weight": weight, "few weights": few, "cheapest": cheapest, "dear": dear, "violations": violations,
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestPicksThatContradictAreAnsweredWithTheirReason(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a := c.Asker()
	defer a.Done()
	picks := choices.Picks{0, 1, 1, 0, 0} // a desk lamp of glass with the large bulb
	if err := a.Remaining(picks, c.NoValues()); !errors.Is(err, choices.ErrContradiction) {
		t.Errorf("remaining: %v", err)
	}
	why, err := a.WhyNot(picks, choices.None, choices.None, nil)
	if err != nil || !slices.Equal(why.Picks, []int32{1, 2}) || !slices.Equal(why.Rules, []int32{1}) || !why.Whole {
		t.Errorf("why: %+v %v", why, err)
	}
	broken, err := c.Violations(picks)
	if err != nil || len(broken) != 1 || broken[0].Rule != 1 || broken[0].Row != 0 || !slices.Equal(broken[0].Fields, []int32{1, 2}) {
		t.Errorf("broken: %+v %v", broken, err)
	}
}

// TestWhyNotPrefersPicksThatAreEasyToChange: two picks forbid the value, each
// alone.
func TestWhyNotPrefersPicksThatAreEasyToChange(t *testing.T) {
	t.Parallel()
	is := func(field string) choices.Term {
		return choices.Term{Field: field, Set: choices.Set{Values: []string{"yes"}}}
	}
	b := &choices.Base{
		Fields: []choices.Field{{Code: "a", Values: []string{"yes", "no"}}, {Code: "b", Values: []string{"yes", "no"}}, {Code: "c", Values: []string{"yes", "no"}}},
		Rules:  []choices.Rule{{ID: "ac", Forbid: []choices.Row{{is("a"), is("c")}}}, {ID: "bc", Forbid: []choices.Row{{is("b"), is("c")}}}},
	}
	for _, options := range []choices.Options{{}, {Nodes: 1}} {
		c, err := choices.Compile(b, options)
		if err != nil {
			t.Fatal(err)
		}
		a := c.Asker()
		for _, effort := range [][]int64{{1, 9, 0}, {9, 1, 0}} {
			why, err := a.WhyNot(choices.Picks{0, 0, choices.None}, 2, 0, effort)
			want := int32(0)
			if effort[0] > effort[1] {
				want = 1
			}
			if err != nil || !slices.Equal(why.Picks, []int32{want}) || !slices.Equal(why.Rules, []int32{want}) {
				t.Errorf("effort %v: %+v %v, want pick and rule %d", effort, why, err, want)
			}
		}
		a.Done()
	}
}

// pigeons is a rule base made to be slow: n+1 letters each in one of n holes,
// none shared. No resolution is short of it (Haken 1985).
func pigeons(n int) *choices.Base {
	b := &choices.Base{}
	var holes []string
	for h := range n {
		holes = append(holes, fmt.Sprint(h))
	}
	for p := range n + 1 {
		b.Fields = append(b.Fields, choices.Field{Code: fmt.Sprint("p", p), Values: holes})
	}
	b.Fields = append(b.Fields, choices.Field{Code: "aside", Values: []string{"x", "y"}})
	for p := range n + 1 {
		for q := range p {
			r := choices.Rule{ID: fmt.Sprintf("%d-%d", p, q), Says: "No two share a hole."}
			for _, h := range holes {
				r.Forbid = append(r.Forbid, choices.Row{{Field: b.Fields[p].Code, Set: choices.Set{Values: []string{h}}}, {Field: b.Fields[q].Code, Set: choices.Set{Values: []string{h}}}})
			}
			b.Rules = append(b.Rules, r)
		}
	}
	return b
}

func TestABaseMadeToBeSlowStopsAtItsBoundAndSaysSo(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(pigeons(14), choices.Options{Nodes: 2000, Work: 50_000, Search: 20_000})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Count(choices.None); !errors.Is(err, choices.ErrBound) {
		t.Errorf("count: %v", err)
	}
	if _, over, _ := c.Size(); over != 1 {
		t.Errorf("%d diagrams given up, want 1", over)
	}
	a := c.Asker()
	defer a.Done()
	left := c.NoValues()
	if err := a.Remaining(c.Picks(), left); !errors.Is(err, choices.ErrBound) || c.HowMany(left, 0) != 14 {
		t.Errorf("remaining: %v, %d values not ruled out", err, c.HowMany(left, 0))
	}
	if _, err := a.WhyNot(c.Picks(), 0, 0, nil); !errors.Is(err, choices.ErrBound) {
		t.Errorf("why not: %v", err)
	}
	if _, err := a.Nearest(&choices.Wish{Picks: c.Picks()}); !errors.Is(err, choices.ErrBound) {
		t.Errorf("nearest: %v", err)
	}
	if got := found(c.Lint(), choices.GivenUp); len(got) != 1 {
		t.Errorf("lint: %+v", got)
	}
	// Two letters in one hole contradict at once, bound or no bound.
	picks := c.Picks()
	picks[0], picks[1] = 3, 3
	why, err := a.WhyNot(picks, choices.None, choices.None, nil)
	if err != nil || !slices.Equal(why.Picks, []int32{0, 1}) || len(why.Rules) != 1 {
		t.Errorf("why: %+v %v", why, err)
	}
}
