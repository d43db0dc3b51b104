package choices_test

import (
	"fmt"
	"slices"
	"testing"

	"billwright/catalog/choices"
)

// models is a base of n models of which none takes glass, each by a rule of its
// own, and none a glass top on a thin frame, by one rule.
func models(n int) *choices.Base {
	is := func(field string, values ...string) choices.Term {
		return choices.Term{Field: field, Set: choices.Set{Values: values}}
	}
	b := &choices.Base{
		Hub:    "model",
		Fields: []choices.Field{{Code: "model"}, {Code: "top", Values: []string{"wood", "glass", "stone"}}, {Code: "frame", Values: []string{"thin", "thick"}}},
		Rules:  []choices.Rule{{ID: "thin", Says: "A thin frame bears wood only.", Forbid: []choices.Row{{is("frame", "thin"), is("top", "glass", "stone")}}}},
	}
	for i := range n {
		model := fmt.Sprint("m", i)
		b.Fields[0].Values = append(b.Fields[0].Values, model)
		b.Rules = append(b.Rules, choices.Rule{ID: model, Says: "This model takes no glass.", Where: choices.Row{is("model", model)}, Require: choices.Row{is("top", "wood", "stone")}})
	}
	return b
}

// TestAReasonThatWouldTakeARuleOfEveryBaseTakesThePickOfTheBase: without the
// model, that no model takes glass is a reason of as many rules as there are
// models; beside a model, one rule will do.
func TestAReasonThatWouldTakeARuleOfEveryBaseTakesThePickOfTheBase(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(models(40), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a := c.Asker()
	defer a.Done()
	why, err := a.WhyNot(c.Picks(), 1, 1, nil)
	if err != nil || len(why.Picks) != 0 || len(why.Rules) != 40 || !why.Whole {
		t.Errorf("without a model: %+v %v, want a rule of each model", why, err)
	}
	why, err = a.WhyNot(choices.Picks{7, choices.None, 1}, 1, 1, []int64{9, 0, 0})
	if err != nil || !slices.Equal(why.Picks, []int32{0}) || !slices.Equal(why.Rules, []int32{8}) || !why.Whole {
		t.Errorf("of model 7: %+v %v, want its own rule", why, err)
	}
	// Where a reason without the model is short, an easy pick is preferred to it.
	why, err = a.WhyNot(choices.Picks{7, choices.None, 0}, 1, 2, []int64{9, 0, 0})
	if err != nil || !slices.Equal(why.Picks, []int32{2}) || !slices.Equal(why.Rules, []int32{0}) {
		t.Errorf("stone on a thin frame: %+v %v", why, err)
	}
}

func TestDeadNumbersAreToldAsARun(t *testing.T) {
	t.Parallel()
	b := lamps()
	b.Rules = append(b.Rules, choices.Rule{ID: "low", Says: "No lamp is over 1500 mm.", Require: choices.Row{{Field: "height", Set: choices.Set{Numbers: []choices.Interval{{From: 0, To: 1500}}}}}})
	c, err := choices.Compile(b, choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	dead := found(c.Lint(), choices.DeadOption)
	if len(dead) != 1 || c.Name(3, dead[0].Value) != "1550" || c.Name(3, dead[0].To) != "1800" || !slices.Equal(dead[0].Because, []int32{4}) {
		t.Errorf("dead: %+v", dead)
	}
}

func TestWhatIsUsualIsTakenWhereItCanBe(t *testing.T) {
	t.Parallel()
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a := c.Asker()
	defer a.Done()
	// A floor lamp of 1800 mm, usually of glass with the large bulb, which is
	// forbidden, and on 500 mm of cord, which is too short.
	wish := &choices.Wish{Picks: choices.Picks{1, choices.None, choices.None, 30, choices.None}, Usual: choices.Picks{choices.None, 1, 1, choices.None, 0}}
	order, err := a.Nearest(wish)
	if err != nil || len(order.Changed) > 0 || order.Cost != 0 || !order.Proven {
		t.Fatalf("%+v %v", order, err)
	}
	if shade, bulb := order.Picks[1] == 1, order.Picks[2] == 1; shade == bulb {
		t.Errorf("of the usual shade and bulb not one was taken: %+v", order)
	}
	if n, _ := c.Number(4, order.Picks[4]); n < 1800 {
		t.Errorf("a cord of %d mm on 1800 mm", n)
	}
}
