package order

import (
	"fmt"

	"billwright/catalog"
)

// Hold is a flag beside the state. Its kind and what it blocks are the
// catalog's words.
type Hold struct {
	// Line is 0 for the whole order.
	Line   int      `json:"line"`
	Kind   string   `json:"kind"`
	Blocks []string `json:"blocks"`
	Reason string   `json:"reason"`
}

// placeHolds places what the catalog's kinds of hold say is placed by itself:
// for a dealer on credit hold, what the configurations call for, and own
// material. A kind the catalog does not have is not placed.
func (o *Order) placeHolds(cat *catalog.Catalog) {
	if dealer, found := cat.Dealers.Get(o.Dealer); found && dealer.CreditHold {
		if kind, found := cat.HoldPlaced(catalog.PlacedCredit); found {
			o.hold(0, kind, kind.Says)
		}
	}
	own, ownHeld := cat.HoldPlaced(catalog.PlacedOwnMaterial)
	for i := range o.Lines {
		line := &o.Lines[i]
		for _, hold := range line.Config.Holds {
			o.hold(line.Number, hold.Kind, hold.Says)
		}
		bill := &o.Bill.Lines[i]
		for k := range bill.Cloth {
			if cloth := &bill.Cloth[k]; cloth.Own && ownHeld {
				o.hold(line.Number, own, fmt.Sprintf("%s of customer's own material needed, none received; the promise date counts from its receipt.", cloth.Needed(o.Bill.Units)))
			}
		}
	}
}

func (o *Order) hold(line int, kind *catalog.HoldKind, reason string) {
	blocks := make([]string, len(kind.Blocks))
	for i, word := range kind.Blocks {
		blocks[i] = word.Value
	}
	o.Holds = append(o.Holds, Hold{Line: line, Kind: kind.Code, Blocks: blocks, Reason: reason})
}

// Held tells whether a hold stands on a line or on the whole order.
func (o *Order) Held(line int) bool {
	for _, hold := range o.Holds {
		if hold.Line == 0 || hold.Line == line {
			return true
		}
	}
	return false
}
