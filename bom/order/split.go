package order

import (
	"fmt"
	"slices"
	"strconv"

	"billwright/catalog"
)

// SplitLine moves a line, or some units of it, to another order.
type SplitLine struct {
	Line int
	// Quantity is 0 for all of it.
	Quantity int
}

// SplitOff makes the draft of the order that lines are moved to and the change
// that takes them off this one. Only what is not in the shop yet moves, and
// something must stay. Errors: *OutOfOrder.
func (d *Document) SplitOff(cat *catalog.Catalog, moved []SplitLine, events []ShopEvent) (*Draft, Change, []catalog.Finding, error) {
	if err := d.Allows(Split); err != nil {
		return nil, Change{}, nil, err
	}
	draft := d.linked(cat, RelationSplit, "")
	draft.ShipComplete, draft.agreed, draft.Substitutions = d.ShipComplete, d.Agreed, append([]catalog.Substitution{}, d.Substitutions...)
	if d.Requested != nil {
		draft.Requested = d.Requested.String()
	}
	var change Change
	var findings []catalog.Finding
	if len(moved) == 0 {
		findings = append(findings, catalog.Finding{Pointer: "/lines", Code: "lines.missing", Message: "Say which lines are moved."})
	}
	whole := 0
	for i, m := range moved {
		line, finding := d.movable(m, moved[:i], events)
		if finding != nil {
			finding.Pointer = fmt.Sprintf("/lines/%d%s", i, finding.Pointer)
			findings = append(findings, *finding)
			continue
		}
		quantity := m.Quantity
		off := LineChange{Line: m.Line, Quantity: strconv.Itoa(line.Quantity - quantity)}
		if quantity == 0 || quantity == line.Quantity {
			quantity, off = line.Quantity, LineChange{Line: m.Line, Remove: true}
			whole++
		}
		change.Lines = append(change.Lines, off)
		draft.Lines = append(draft.Lines, DraftLine{Number: m.Line, Product: line.Product, Quantity: strconv.Itoa(quantity), Picks: line.picks(), Ways: line.Ways,
			Part: line.Part, Of: line.Of, Agreed: line.agreed(), typed: line.typed()})
	}
	if len(findings) == 0 && whole == len(d.lineNumbers()) {
		findings = append(findings, catalog.Finding{Pointer: "/lines", Code: "split.all", Message: "Something must stay: leave a line or a unit on this order."})
	}
	return draft, change, findings, nil
}

func (d *Document) movable(m SplitLine, before []SplitLine, events []ShopEvent) (*DocumentLine, *catalog.Finding) {
	refuse := func(pointer, code, format string, args ...any) (*DocumentLine, *catalog.Finding) {
		return nil, &catalog.Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)}
	}
	line := d.line(m.Line)
	switch {
	case line == nil:
		return refuse("/line", "line.unknown", "%s.", (&NoSuchLine{m.Line, d.lineNumbers()}).Error())
	case slices.ContainsFunc(before, func(o SplitLine) bool { return o.Line == m.Line }):
		return refuse("/line", "line.twice", "Line %d is named twice.", m.Line)
	case m.Quantity < 0 || m.Quantity > line.Quantity:
		return refuse("/quantity", "quantity.too-many", "Line %d has %d units.", m.Line, line.Quantity)
	case line.State != Received && line.State != Accepted:
		return refuse("/line", "line.released", "Line %d is %s: an order is split before its lines are released.", m.Line, line.State)
	case slices.ContainsFunc(events, func(e ShopEvent) bool { return e.Line == m.Line }):
		return refuse("/line", "line.told", "The shop has told of line %d already; it stays on its order.", m.Line)
	}
	return line, nil
}

// SplitTo makes the order that lines were moved to stand as they stood: with
// their state, their promise, their holds and, where a line moved whole, its very
// price. It takes both order and document there.
func (d *Document) SplitTo(o *Order, hash [32]byte) (*Document, error) {
	fresh := o.Document(hash)
	fresh.ReceivedAt, fresh.AcceptedAt, fresh.FirstPromise, fresh.Promise = d.ReceivedAt, d.AcceptedAt, d.FirstPromise, d.Promise
	fresh.Holds, fresh.Lifted = []Hold{}, nil
	for i := range fresh.Lines {
		line, old := &fresh.Lines[i], d.line(fresh.Lines[i].Line)
		line.State, line.StartFrame = old.State, old.StartFrame
		if line.Quantity == old.Quantity {
			line.Price = old.Price
		}
	}
	for _, h := range d.Holds {
		if h.Line == 0 || fresh.line(h.Line) != nil {
			h.Seq = len(fresh.Holds) + 1
			fresh.Holds = append(fresh.Holds, h)
		}
	}
	fresh.State = Received
	if d.AcceptedAt != nil {
		fresh.State = fresh.Standing()
	}
	if err := fresh.total(); err != nil {
		return nil, err
	}
	o.State, o.Promise, o.Holds, o.Net, o.ReceivedAt = fresh.State, fresh.Promise, fresh.Holds, fresh.Net, fresh.ReceivedAt
	for i := range o.Lines {
		if p := fresh.Lines[i].Price; p != nil {
			o.Lines[i].Net = p.Net
		}
	}
	return &fresh, nil
}
