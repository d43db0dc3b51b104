package saw

import (
	"billwright/bom"
	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// Sheets are cut from edge to edge: a cut divides a rectangle in its length or
// in its width, and each part is cut further by itself.
//
//	parts + kerfs <= side of what is divided;  trim comes off all four edges first
//
// Worked: a sheet of 97 x 49 in, trimmed by 1/2 in, leaves 96 x 48 in. With a kerf
// of 1/8 in its length gives 3 pieces of 31 7/8 in: 3 x 31 7/8 + 2/8 = 95 7/8 in.

// SheetList is what is to be cut of one item in sheets, and from which.
type SheetList struct {
	// Kind and Item are those of the requirements, or "" and the group of a list
	// that people bring.
	Kind   string
	Item   string
	Name   string
	Pieces []SheetPiece
	Stock  []StockSheet
	Saw    SheetSaw
}

// SheetPiece is one line of a list: Count rectangles of one size, marked alike.
type SheetPiece struct {
	// Mark, Order and Row are as of a Piece.
	Mark  string
	Order string
	Row   string
	// Length lies along the sheet's length; so it must where Turn is false.
	Length, Width unit.Length
	Count         int64
	Turn          bool

	line int // of the file it was read from, or 0
}

// StockSheet is sheets of one size.
type StockSheet struct {
	Length, Width unit.Length
	// Price is that of one sheet; 0 is none given.
	Price unit.Money
	// Limit is how many there are, or cutting.Unlimited.
	Limit int64
	// Offcut: it lies in the rack and costs nothing.
	Offcut bool
}

// SheetSaw is how sheets are cut.
type SheetSaw struct {
	Kerf unit.Length `json:"kerf"`
	// Trim comes off each of the four edges, its own cut counted in.
	Trim unit.Length `json:"trim"`
	// Stages is how often the direction of cuts may change, plus one; 0 is no
	// limit. The bound of a plan stays that of the plan without it.
	Stages int `json:"stages,omitzero"`
	// Keep is the least side of a leftover worth keeping; 0 keeps none.
	Keep unit.Length `json:"least_offcut,omitzero"`
}

// LeastSheets and LeastArea are what a plan of sheets has the least of, beside
// LeastPrice.
const (
	LeastSheets = "sheets" // one size is bought, without a price
	LeastArea   = "area"   // several sizes are bought, not all with a price
)

// SheetPlan is the sheets of a list with where each piece lies and the cuts in
// their order.
type SheetPlan struct {
	Kind   string `json:"kind,omitempty"`
	Item   string `json:"item"`
	Name   string `json:"name,omitempty"`
	Pieces int64  `json:"pieces" doc:"Pieces of the whole list; each lies on one sheet."`
	Least  string `json:"least" enum:"price,sheets,area" doc:"What the plan has the least of: the price of the sheets bought, their number, or their area."`
	// Cost and Bound are in what Least says.
	Cost   SheetAmount    `json:"cost" doc:"What the sheets bought cost in that, offcuts counting as nothing."`
	Bound  SheetAmount    `json:"bound" doc:"The least that any plan costs."`
	Status cutting.Status `json:"status" enum:"proved by bound,not proved" doc:"Proved: no plan costs less. Not proved: one may, but none below the bound."`
	// AnyStages: the bound is that of plans without the limit of stages.
	AnyStages   bool           `json:"bound_of_any_stages,omitzero" doc:"The bound holds for plans whose cuts may change direction at will."`
	Bought      int64          `json:"sheets" doc:"Sheets bought."`
	FewestMay   *int64         `json:"least_sheets,omitempty" doc:"The fewest sheets that any plan buys, where they come in one size."`
	Buy         []BoughtSheets `json:"buy" doc:"Sheets bought, by size."`
	Offcuts     []BoughtSheets `json:"offcuts,omitempty" doc:"Offcuts used, by size."`
	Waste       bom.Surface    `json:"waste" doc:"Area thrown away, with kerf and trim."`
	Kept        bom.Surface    `json:"kept" doc:"Area of the leftovers worth keeping."`
	Saw         SheetSaw       `json:"saw" doc:"How the sheets are cut."`
	SheetLayout []SheetLayout  `json:"plan" doc:"The sheets with their pieces and cuts."`

	list    *SheetList
	problem cutting.SheetProblem
	solved  *cutting.SheetPlan
}

// SheetAmount is a plan's cost or bound; exactly one field is given.
type SheetAmount struct {
	Price  *unit.Money  `json:"price,omitempty"`
	Sheets *int64       `json:"sheets,omitempty"`
	Area   *bom.Surface `json:"area,omitempty"`
}

// BoughtSheets is how many sheets of one size.
type BoughtSheets struct {
	Length unit.Length `json:"length"`
	Width  unit.Length `json:"width"`
	Sheets int64       `json:"sheets"`
	// Price is that of all of them, where sheets have prices.
	Price *unit.Money `json:"price,omitempty"`
}

// Place is a rectangle of a sheet: X and Y are its corner's distances from the
// sheet's corner, along the length and along the width.
type Place struct {
	X      unit.Length `json:"x"`
	Y      unit.Length `json:"y"`
	Length unit.Length `json:"length" doc:"Along the sheet's length."`
	Width  unit.Length `json:"width"`
}

// SheetLayout is Count sheets that are cut alike, numbered from Number on.
type SheetLayout struct {
	Number    int64       `json:"sheet" doc:"Number of the sheet, of the first of those that are cut alike."`
	Count     int64       `json:"count" doc:"How many are cut alike."`
	Length    unit.Length `json:"length"`
	Width     unit.Length `json:"width"`
	Offcut    bool        `json:"offcut,omitzero"`
	Pieces    []Laid      `json:"pieces" doc:"Where each piece lies."`
	Cuts      []Division  `json:"cuts" doc:"In order, each from edge to edge of what it divides."`
	Leftovers []Leftover  `json:"leftovers,omitempty"`
}

// Laid is one piece where it lies.
type Laid struct {
	Place
	Turned bool   `json:"turned,omitzero" doc:"Its length lies along the sheet's width."`
	Mark   string `json:"mark,omitempty"`
	Order  string `json:"order,omitempty"`
	Row    string `json:"row,omitempty" doc:"Address of the bill's row: line / position path."`
}

// Division is the parallel cuts that divide one rectangle.
type Division struct {
	Place
	// Of is the side that is divided.
	Of string `json:"divide" enum:"length,width" doc:"The side that is divided; the cuts run across it."`
	// Into are the parts one behind the other, a kerf between each two; what is
	// left behind the last is not among them.
	Into []unit.Length `json:"into" doc:"The parts one behind the other, with a kerf between each two."`
}

// Leftover is a rectangle that no piece takes.
type Leftover struct {
	Place
	Kept bool `json:"kept" doc:"Whether it is worth keeping."`
}

// The sides that a Division divides.
const (
	OfLength = "length"
	OfWidth  = "width"
)

// Last is the number of the last sheet that is cut alike.
func (l *SheetLayout) Last() int64 { return l.Number + l.Count - 1 }
