package order

import (
	"fmt"
	"slices"
	"time"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cancel is the act of cancelling an order.
const Cancel Act = "cancel"

// Cancellation is how an order was cancelled.
type Cancellation struct {
	At     time.Time `json:"at"`
	By     string    `json:"by"`
	Reason string    `json:"reason"`
	// Charge is what is charged in all; absent while it is to be settled.
	Charge *unit.Money    `json:"charge,omitempty"`
	Lines  []CancelCharge `json:"lines"`
	// Surplus is what was used up of the order's material and is of no more use
	// to it.
	Surplus []SurplusRow `json:"surplus"`
}

// CancelCharge is what a line is charged, and why.
type CancelCharge struct {
	Line  int    `json:"line"`
	State State  `json:"state"`
	Stage string `json:"stage,omitempty"`
	Says  string `json:"says"`
	// Percent is of Net, the line's net price; the charge is rounded half up to
	// the cent.
	Percent string      `json:"percent,omitempty"`
	Net     *unit.Money `json:"net,omitempty"`
	Charge  *unit.Money `json:"charge,omitempty"`
}

// SurplusRow is material that was used up and is not needed any more.
type SurplusRow struct {
	Line        int    `json:"line"`
	Unit        int    `json:"unit"`
	Path        string `json:"path"`
	Kind        string `json:"kind"`
	Item        string `json:"item"`
	Length      string `json:"length,omitempty"`
	Pieces      int    `json:"pieces"`
	Amount      string `json:"amount"`
	Disposition string `json:"disposition,omitempty"`
}

// Cancel ends the order: every line is charged by how far it has come, by the
// catalog's stages of cancellation. Before it was accepted nothing was agreed,
// and nothing is charged. Errors: *OutOfOrder; unit.ErrOverflow.
func (d *Document) Cancel(cat *catalog.Catalog, reason string, events []ShopEvent, now time.Time, by string) error {
	if err := d.Allows(Cancel); err != nil {
		return err
	}
	c := &Cancellation{At: now.UTC(), By: by, Reason: reason, Lines: []CancelCharge{}, Surplus: []SurplusRow{}}
	var sum unit.Money
	settled := true
	for i := range d.Lines {
		line := &d.Lines[i]
		if line.State == Cancelled {
			continue
		}
		charge, err := d.cancelCharge(cat, line, events)
		if err != nil {
			return fmt.Errorf("charge line %d: %w", line.Line, err)
		}
		c.Lines = append(c.Lines, charge)
		if charge.Charge == nil {
			settled = false
		} else if sum, err = sum.Add(*charge.Charge); err != nil {
			return fmt.Errorf("sum the charges: %w", err)
		}
	}
	if settled {
		c.Charge = &sum
	}
	d.setLines(d.lineNumbers(), Cancelled)
	d.State, d.Cancelled = Cancelled, c
	return nil
}

func (d *Document) cancelCharge(cat *catalog.Catalog, line *DocumentLine, events []ShopEvent) (CancelCharge, error) {
	c := CancelCharge{Line: line.Line, State: line.State}
	if d.AcceptedAt == nil {
		c.Says, c.Charge = "The order was not accepted: nothing is charged.", new(unit.Money)
		return c, nil
	}
	stage := cancelStage(cat, line, events)
	if stage == nil {
		c.Says = "The catalog says nothing of what a cancelled line is charged; it is to be settled."
		return c, nil
	}
	c.Stage, c.Says, c.Percent = stage.Code, stage.Says, stage.Charge.String()
	if line.Price == nil || line.Price.Net == nil {
		if stage.Charge.Share().Sign() == 0 {
			c.Charge = new(unit.Money)
		}
		return c, nil
	}
	c.Net = line.Price.Net
	charge, err := line.Price.Net.Scale(stage.Charge.Share(), unit.Nearest)
	c.Charge = &charge
	return c, err
}

// cancelStage is the stage with the least charge of those that have not ended for
// a line.
func cancelStage(cat *catalog.Catalog, line *DocumentLine, events []ShopEvent) (least *catalog.CancelStage) {
	for _, stage := range cat.Cancellation.All() {
		if !stageEnded(cat, stage, line, events) && (least == nil || stage.Charge.Share().Cmp(least.Charge.Share()) < 0) {
			least = stage
		}
	}
	return least
}

func stageEnded(cat *catalog.Catalog, stage *catalog.CancelStage, line *DocumentLine, events []ShopEvent) bool {
	switch {
	case stage.Until == "":
		return false
	case stage.EndsByState():
		return reached(line.State, stage.Until)
	}
	waits, found := cat.ShopEvent(stage.Until)
	return found && slices.ContainsFunc(events, func(e ShopEvent) bool { return e.Line == line.Line && e.Event == waits.Code })
}

// Cancel ends a draft, which nobody is charged for.
func (d *DraftDocument) Cancel(reason string, now time.Time, by string) {
	nothing := unit.Money(0)
	d.State = Cancelled
	d.Cancelled = &Cancellation{At: now.UTC(), By: by, Reason: reason, Charge: &nothing, Lines: []CancelCharge{}, Surplus: []SurplusRow{}}
}
