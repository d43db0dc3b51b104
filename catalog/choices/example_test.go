package choices_test

import (
	"fmt"
	"strings"

	"billwright/catalog/choices"
)

// lamps is a small rule base: numbers are lengths in millimetres.
func lamps() *choices.Base {
	is := func(field string, values ...string) choices.Term {
		return choices.Term{Field: field, Set: choices.Set{Values: values}}
	}
	return &choices.Base{
		Hub: "model",
		Fields: []choices.Field{
			{Code: "model", Values: []string{"desk", "floor"}},
			{Code: "shade", Values: []string{"linen", "glass", "none"}},
			{Code: "bulb", Values: []string{"small", "large"}},
			{Code: "height", Grid: []choices.Grid{{Min: 300, Max: 1800, Step: 50}}},
			{Code: "cord", Grid: []choices.Grid{{Min: 500, Max: 3000, Step: 500}}},
		},
		Rules: []choices.Rule{
			{ID: "desk-height", Says: "A desk lamp is up to 600 mm high.", Where: choices.Row{is("model", "desk")},
				Require: choices.Row{{Field: "height", Set: choices.Set{Numbers: []choices.Interval{{From: 0, To: 600}}}}}},
			{ID: "glass-bulb", Says: "A glass shade takes the small bulb only.", Forbid: []choices.Row{{is("shade", "glass"), is("bulb", "large")}}},
			{ID: "desk-bulb", Says: "A bare desk lamp has the small bulb.", Forbid: []choices.Row{{is("model", "desk"), is("shade", "none"), is("bulb", "large")}}},
			{ID: "cord", Says: "The cord is at least as long as the lamp is high.", AtMost: &choices.AtMost{A: "height", B: "cord"}},
		},
	}
}

func Example() {
	c, err := choices.Compile(lamps(), choices.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	a := c.Asker()
	defer a.Done()
	picks := c.Picks()
	pick := func(field, value string) {
		f, _ := c.Field(field)
		picks[f], _ = c.Value(f, value)
	}
	pick("model", "desk")
	pick("bulb", "large")

	left := c.NoValues()
	if err := a.Remaining(picks, left); err != nil {
		fmt.Println(err)
		return
	}
	shade, _ := c.Field("shade")
	height, _ := c.Field("height")
	for v := range c.Each(left, shade) {
		fmt.Println("shade may be", c.Name(shade, v))
	}
	fmt.Println("height may be", c.Intervals(left, height, nil))

	glass, _ := c.Value(shade, "glass")
	why, _ := a.WhyNot(picks, shade, glass, nil)
	for _, f := range why.Picks {
		fmt.Println("no glass beside", c.Code(f), c.Name(f, picks[f]))
	}
	for _, r := range why.Rules {
		fmt.Println("because:", c.Rule(r).Says)
	}

	picks[shade] = glass
	order, _ := a.Nearest(&choices.Wish{Picks: picks, Weights: []int64{9, 1, 3, 3, 1}})
	var changed []string
	for _, f := range order.Changed {
		changed = append(changed, c.Code(f)+" "+c.Name(f, order.Picks[f]))
	}
	fmt.Println("nearest:", strings.Join(changed, ", "))
	// Output:
	// shade may be linen
	// height may be [{300 600}]
	// no glass beside bulb large
	// because: A glass shade takes the small bulb only.
	// nearest: shade linen
}
