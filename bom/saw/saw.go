// Package saw tells what to cut from which bar and from which sheet: the pieces
// of a list, each with the mark that is chalked on it, on the fewest or the
// cheapest bars of their section or sheets of their item (sheet.go). Package cutting finds the plan and proves how little any plan could
// take; this package gives it the catalog's bars and the shop's kerf and trim,
// and gives the pieces their marks back.
//
//	trims + pieces + kerfs <= bar
//
// Worked: 4 pieces of 57 in with 3 kerfs of 1/8 in and trims of 1/2 in at both
// ends take 228 + 3/8 + 1 = 229 3/8 in of a bar of 240 in; one cut more parts
// them from the 10 1/2 in that are left.
//
// Whole bars do not add: the bars of two orders together may be fewer than those
// of each. So a plan is always reckoned anew from all pieces at hand.
package saw

import (
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// List is what is to be cut of one section, and from what.
type List struct {
	// Section is its code, or the group of a list that people bring.
	Section string
	Name    string
	Pieces  []Piece
	Stock   []Stock
	Saw     Saw
}

// Piece is one line of a list: Count pieces of one length, marked alike.
type Piece struct {
	// Mark is what is written on each, such as 7K3M-9QXD 2/base/leg.
	Mark string
	// Order and Row lead back to the bill: the order's number and the row's
	// address, such as 2/base/leg. Both may be "".
	Order string
	Row   string
	// Length is the cut length, above 0; Count at least 1.
	Length unit.Length
	Count  int64

	line int // of the file it was read from, or 0
}

// Stock is bars of one length.
type Stock struct {
	Length unit.Length
	// Price is that of one bar; 0 is none given.
	Price unit.Money
	// Limit is how many there are, or cutting.Unlimited.
	Limit int64
	// Offcut: it lies on the rack and costs nothing.
	Offcut bool
	// LeadDays is how many working days it takes to come; 0 is on the rack.
	LeadDays int
}

// Saw is how the shop saws.
type Saw struct {
	Kerf unit.Length `json:"kerf"`
	// AfterEvery: the last piece of a bar is followed by a cut too.
	AfterEvery bool        `json:"after_every,omitzero" doc:"The last piece of a bar is followed by a cut too."`
	TrimStart  unit.Length `json:"trim_start"`
	TrimEnd    unit.Length `json:"trim_end"`
	// Keep is the least leftover worth keeping; 0 keeps none.
	Keep unit.Length `json:"least_offcut,omitzero"`
	// Lengths is the most different lengths that are set for one bar; 0 is no
	// limit. The bound of a plan stays that of the plan without it.
	Lengths int `json:"lengths_on_a_bar,omitzero"`
}

// What a plan has the least of.
const (
	LeastPrice  = "price"  // every bar to buy has a price
	LeastBars   = "bars"   // one length is bought, without a price
	LeastLength = "length" // several lengths are bought, not all with a price
)

// Plan is the bars of a list with their pieces in cutting order.
type Plan struct {
	Section string `json:"section"`
	Name    string `json:"name,omitempty"`
	Pieces  int64  `json:"pieces" doc:"Pieces of the whole list; each stands on one bar."`
	Least   string `json:"least" enum:"price,bars,length" doc:"What the plan has the least of: the price of the bars bought, their number, or their length."`
	// Cost and Bound are in what Least says.
	Cost      Amount         `json:"cost" doc:"What the bars bought cost in that, offcuts counting as nothing."`
	Bound     Amount         `json:"bound" doc:"The least that any plan costs."`
	Status    cutting.Status `json:"status" enum:"proved by bound,proved by search,not proved" doc:"Proved: no plan costs less. Not proved: one may, but none below the bound."`
	Bought    int64          `json:"bars" doc:"Bars bought."`
	LeastBars *int64         `json:"least_bars,omitempty" doc:"The fewest bars that any plan buys, where they come in one length."`
	Buy       []Bought       `json:"buy" doc:"Bars bought, by length."`
	Offcuts   []Bought       `json:"offcuts,omitempty" doc:"Offcuts used, by length."`
	// Waste is the bars' length less the pieces' and less what is kept.
	Waste unit.Length `json:"waste" doc:"Length thrown away, with kerf and trim."`
	Kept  unit.Length `json:"kept" doc:"Length of the leftovers worth keeping."`
	Saw   Saw         `json:"saw" doc:"How the bars are cut."`
	Bars  []Bar       `json:"plan" doc:"The bars with their pieces."`

	list    *List
	problem cutting.Problem
	solved  *cutting.Plan
}

// Amount is a plan's cost or bound; exactly one field is given.
type Amount struct {
	Price  *unit.Money  `json:"price,omitempty"`
	Bars   *int64       `json:"bars,omitempty"`
	Length *unit.Length `json:"length,omitempty"`
}

// Bought is how many bars of one length.
type Bought struct {
	Length unit.Length `json:"length"`
	Bars   int64       `json:"bars"`
	// Price is that of all of them, where bars have prices.
	Price    *unit.Money `json:"price,omitempty"`
	LeadDays int         `json:"lead_days,omitzero" doc:"Working days until they are here; absent where they are on the rack."`
}

// Bar is Count bars that are cut alike, numbered from Number on.
type Bar struct {
	Number   int64       `json:"bar" doc:"Number of the bar, of the first of those that are cut alike."`
	Count    int64       `json:"count" doc:"How many are cut alike."`
	Length   unit.Length `json:"length"`
	Offcut   bool        `json:"offcut,omitzero"`
	LeadDays int         `json:"lead_days,omitzero"`
	Cuts     []Cut       `json:"cuts" doc:"In cutting order."`
	Leftover unit.Length `json:"leftover" doc:"What stays of each behind its last cut."`
	Kept     bool        `json:"kept" doc:"Whether that is worth keeping."`
}

// Cut is Count pieces, one after another.
type Cut struct {
	Count  int64       `json:"count"`
	Length unit.Length `json:"length"`
	Mark   string      `json:"mark,omitempty"`
	Order  string      `json:"order,omitempty"`
	Row    string      `json:"row,omitempty" doc:"Address of the bill's row: line / position path."`
}

// Last is the number of the last bar that is cut alike.
func (b *Bar) Last() int64 { return b.Number + b.Count - 1 }
