package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
)

// TakeOwnMaterial is the act of telling what came of customer's own material, or
// what is awaited.
const TakeOwnMaterial Act = "own material"

// What may be told of customer's own material.
const (
	OwnExpected = "expected"
	OwnReceived = "received"
	OwnShort    = "short"
	OwnDamaged  = "damaged"
)

// OwnActs are all that may be told of customer's own material.
var OwnActs = []string{OwnExpected, OwnReceived, OwnShort, OwnDamaged}

// OwnReceipt is what was told of one line's own material at a path of its bill.
type OwnReceipt struct {
	// Seq numbers an order's receipts from 1.
	Seq  int
	Act  string
	Line int
	Path string
	// Came is the amount; of what is damaged, how much of what came before.
	Came bom.Received
	// Entered is the amount as it was written.
	Entered string
	// Due is the day on which what is expected should be here.
	Due  *calendar.Date
	Note string
	At   time.Time
	By   string
}

// OwnThere adds up what came of a line's own material at a path: what was
// received less what is damaged. Width and repeat are as they were told last.
// pieces counts the receipts, since what is cut cannot run over from one to the
// next.
func OwnThere(receipts []OwnReceipt, line int, path string) (came bom.Received, pieces int) {
	for i := range receipts {
		r := &receipts[i]
		if r.Line != line || r.Path != path {
			continue
		}
		switch r.Act {
		case OwnReceived:
			came.Length, came.Area, came.Flaws = came.Length+r.Came.Length, came.Area+r.Came.Area, came.Flaws+r.Came.Flaws
			pieces++
			if r.Came.Usable > 0 {
				came.Usable = r.Came.Usable
			}
			if r.Came.Repeat != nil {
				came.Repeat = r.Came.Repeat
			}
			if r.Came.Across != nil {
				came.Across = r.Came.Across
			}
		case OwnDamaged:
			came.Flaws += r.Came.Length
			came.Area = max(came.Area-r.Came.Area, 0)
		}
	}
	return came, pieces
}

// ownAmount is as much of a receipt as its measure has.
func ownAmount(r bom.Received, units bom.Units) string {
	if r.Area > 0 {
		return bom.Surface(r.Area).In(units)
	}
	return bom.Cloth(r.Length).In(units)
}

// OwnMaterialHold is the standing hold of a line's n-th row of own material,
// counted from 0, or nil. The service placed them in the order of the rows.
func (d *Document) OwnMaterialHold(cat *catalog.Catalog, line, n int) *Hold {
	kind, found := cat.HoldPlaced(catalog.PlacedOwnMaterial)
	if !found {
		return nil
	}
	var seqs []int
	for _, holds := range [][]Hold{d.Holds, d.Lifted} {
		for i := range holds {
			if holds[i].Line == line && holds[i].Kind == kind.Code {
				seqs = append(seqs, holds[i].Seq)
			}
		}
	}
	slices.Sort(seqs)
	if n < 0 || n >= len(seqs) {
		return nil
	}
	at := slices.IndexFunc(d.Holds, func(h Hold) bool { return h.Seq == seqs[n] })
	if at < 0 {
		return nil
	}
	return &d.Holds[at]
}

// TakeOwn settles the hold of a row of own material by what is there of it now:
// enough lifts it, whoever tells, and the promise counts again from now; else its
// reason tells what is short. n is as in OwnMaterialHold. It gives the lifted
// hold, if one is. Errors: *OutOfOrder, the calendar's.
func (d *Document) TakeOwn(cat *catalog.Catalog, check *bom.OwnMaterialCheck, there bom.Received, n int, now time.Time) (lifted []Hold, err error) {
	if err := d.Allows(TakeOwnMaterial); err != nil {
		return nil, err
	}
	h := d.OwnMaterialHold(cat, check.Line, n)
	if h == nil {
		return lifted, nil
	}
	units := bom.Units(cat.Workshop.Units)
	says := fmt.Sprintf("%s of customer's own material needed, %s received. %s", check.Said.Needed(units), ownAmount(there, units), strings.Join(check.Says, " "))
	if check.Verdict != bom.OwnEnough {
		h.Reason = says + " The promise date counts from its receipt."
		return lifted, nil
	}
	one, err := d.lift(cat, h.Seq, says, now)
	if err != nil {
		return nil, err
	}
	return append(lifted, one), nil
}
