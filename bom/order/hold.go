package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/catalog"
)

// Hold is a flag beside the state. Its kind and what it blocks are the
// catalog's words.
type Hold struct {
	// Seq numbers an order's holds from 1.
	Seq int `json:"seq"`
	// Line is 0 for the whole order.
	Line   int      `json:"line"`
	Kind   string   `json:"kind"`
	Blocks []string `json:"blocks"`
	Reason string   `json:"reason"`
	// LiftedAt and LiftReason are of a hold that no longer stands.
	LiftedAt   *time.Time `json:"lifted_at,omitempty"`
	LiftReason string     `json:"lift_reason,omitempty"`
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
	o.Holds = append(o.Holds, Hold{Seq: len(o.Holds) + 1, Line: line, Kind: kind.Code, Blocks: blockedBy(kind), Reason: reason})
}

func blockedBy(kind *catalog.HoldKind) []string {
	blocks := make([]string, len(kind.Blocks))
	for i, word := range kind.Blocks {
		blocks[i] = word.Value
	}
	return blocks
}

// NotTheirs tells that a role may not place or lift a kind of hold.
type NotTheirs struct {
	Kind, Act string
	Roles     []string
}

func (e *NotTheirs) Error() string {
	return fmt.Sprintf("a hold of kind %s is %s by: %s", e.Kind, e.Act, strings.Join(e.Roles, ", "))
}

// NoSuchHold tells that an act names a kind of hold that the catalog does not
// have, or a hold that does not stand.
type NoSuchHold struct{ Says string }

func (e *NoSuchHold) Error() string { return e.Says }

// PlaceHold puts a hold on a line, or on the whole order for line 0. Errors:
// *OutOfOrder, *NoSuchLine, *NoSuchHold, *NotTheirs.
func (d *Document) PlaceHold(cat *catalog.Catalog, kind string, line int, reason, role string) (Hold, error) {
	if err := d.Allows(PlaceHold); err != nil {
		return Hold{}, err
	}
	if line != 0 && d.line(line) == nil {
		return Hold{}, &NoSuchLine{line, d.lineNumbers()}
	}
	k, found := cat.Holds.Get(kind)
	if !found {
		return Hold{}, &NoSuchHold{fmt.Sprintf("there is no kind of hold %q; the catalog has %s", kind, strings.Join(cat.Holds.Keys(), ", "))}
	}
	if roles := k.Placers(); !slices.Contains(roles, role) {
		return Hold{}, &NotTheirs{kind, "placed", roles}
	}
	if reason == "" {
		reason = k.Says
	}
	h := Hold{Seq: len(d.Holds) + len(d.Lifted) + 1, Line: line, Kind: kind, Blocks: blockedBy(k), Reason: reason}
	d.Holds = append(d.Holds, h)
	return h, nil
}

// LiftHold takes a standing hold away. When the last hold for own material of an
// accepted order is lifted, the promise counts again from now; the first
// promise stays. Errors: *OutOfOrder, *NoSuchHold, *NotTheirs, the calendar's.
func (d *Document) LiftHold(cat *catalog.Catalog, seq int, reason, role string, now time.Time) (Hold, error) {
	if err := d.Allows(LiftHold); err != nil {
		return Hold{}, err
	}
	at := slices.IndexFunc(d.Holds, func(h Hold) bool { return h.Seq == seq })
	if at < 0 {
		return Hold{}, &NoSuchHold{fmt.Sprintf("no hold %d stands on this order", seq)}
	}
	if k, known := cat.Holds.Get(d.Holds[at].Kind); known {
		if roles := k.Lifters(); !slices.Contains(roles, role) {
			return Hold{}, &NotTheirs{k.Code, "lifted", roles}
		}
	}
	return d.lift(cat, seq, reason, now)
}

// lift is LiftHold for a hold that stands, whoever asks.
func (d *Document) lift(cat *catalog.Catalog, seq int, reason string, now time.Time) (Hold, error) {
	at := slices.IndexFunc(d.Holds, func(h Hold) bool { return h.Seq == seq })
	h := d.Holds[at]
	k, known := cat.Holds.Get(h.Kind)
	lastOwn := known && k.Placed == catalog.PlacedOwnMaterial && !slices.ContainsFunc(d.Holds, func(o Hold) bool { return o.Kind == h.Kind && o.Seq != seq })
	if lastOwn && d.AcceptedAt != nil {
		if err := d.promiseFrom(cat, now); err != nil {
			return Hold{}, err
		}
	}
	lifted := now.UTC()
	h.LiftedAt, h.LiftReason = &lifted, reason
	d.Holds = slices.Delete(d.Holds, at, at+1)
	d.Lifted = append(d.Lifted, h)
	return h, nil
}

// frameWaitsNot are the kinds of material that belong to a cushion: they wait for
// own material though its frame was started.
var frameWaitsNot = []string{bom.KindCloth, bom.KindLeather, bom.KindOwnMaterial, bom.KindFoam}

// Firm tells whether what a line needs of a kind of material may be bought: the
// order is accepted and nothing but shipping is held. A hold for own material
// leaves the frame firm where it may be started.
func (d *Document) Firm(cat *catalog.Catalog, line int, kind string) bool {
	l := d.line(line)
	if l == nil || d.AcceptedAt == nil || d.State == Cancelled {
		return false
	}
	for _, h := range d.Holds {
		if h.Line != 0 && h.Line != line || len(h.Blocks) == 1 && h.Blocks[0] == blocksShipping {
			continue
		}
		k, known := cat.Holds.Get(h.Kind)
		waits := slices.Contains(frameWaitsNot, kind)
		if l.StartFrame && known && k.Placed == catalog.PlacedOwnMaterial && !waits {
			continue
		}
		return false
	}
	return true
}
