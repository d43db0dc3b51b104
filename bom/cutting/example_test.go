package cutting_test

import (
	"fmt"

	"billwright/bom/cutting"
)

// Lengths are in eighths of an inch and costs in cents: two orders' rails from
// 20 ft and 24 ft bars, an offcut of 70 in on the rack used first.
func Example() {
	problem := cutting.Problem{
		Pieces: []cutting.Piece{
			{Length: 48 * 8, Count: 8, Order: "A"},
			{Length: 29*8 + 4, Count: 8, Order: "A"},
			{Length: 66 * 8, Count: 3, Order: "B"},
		},
		Stock: []cutting.Stock{
			{Length: 240 * 8, Cost: 4150, Limit: cutting.Unlimited},
			{Length: 288 * 8, Cost: 4800, Limit: cutting.Unlimited},
			{Length: 70 * 8, Cost: 0, Limit: 1},
		},
		Kerf: 1, TrimStart: 2, TrimEnd: 2, Keep: 24 * 8,
	}
	plan, err := cutting.Solve(problem, cutting.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := cutting.Verify(&problem, plan); err != nil {
		fmt.Println(err)
	}
	fmt.Println(plan.Count(), "bars,", plan.Cost, "cents")
	// Output: 4 bars, 13100 cents
}
