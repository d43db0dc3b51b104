package order

import (
	"cmp"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// ProposeChange is the act of proposing a change, ApproveChange that of applying
// it; a change that is declined is no act on the order.
const (
	ProposeChange Act = "propose change"
	ApproveChange Act = "approve change"
)

// Change is what somebody asks to have otherwise. What is nil stays as it is.
type Change struct {
	Sidemark, ShipTo, Requested *string
	ShipComplete                *bool
	// Agreed is another ship date that was agreed; with an empty date the one
	// agreed before is taken back.
	Agreed    *AgreedEntry
	Lines     []LineChange
	Overrides []Override
	// Repin is the catalog that the order is pinned to from now on, with every
	// line checked and priced anew under it; nil leaves it where it is.
	Repin *catalog.Catalog
	// Substitute tells that the order is exploded with these substitutions from
	// now on, which may be none; without it, with those it has.
	Substitute    bool
	Substitutions []catalog.Substitution
}

// LineChange is a change of a line, or a line to be added for line 0.
type LineChange struct {
	Line   int
	Remove bool
	// Product is of an added line only.
	Product string
	// Quantity is empty where it stays.
	Quantity string
	// Picks are what is picked otherwise; an empty text goes back to the default.
	Picks []catalog.Pick
	// Ways are the ways chosen otherwise, by the path of the part.
	Ways map[string]string
	// Price is a price typed for it. One typed before stays as long as only the
	// quantity is otherwise.
	Price *PriceEntry
}

// Changed is an order as a change would make it.
type Changed struct {
	// After is the order's document, its version still that of before.
	After *Document
	// Catalog is the one that it is pinned to.
	Catalog *catalog.Catalog
	Bill    *bom.Bill
	// BillDocument is what is stored of Bill.
	BillDocument []byte
	// NewBill tells that the bill is another.
	NewBill bool
	Lines   []Line
	Fields  []FieldChange
	// Placed are the holds that the change calls for.
	Placed []Hold
}

// Change reckons what a change would make of the order, under the catalog that
// it is pinned to, and changes nothing. Lines that are left alone keep their
// price; the promise is never sooner than it was, and counts from now where more
// is to be made. Findings tell all that keeps the changed order from being made.
// Errors: *OutOfOrder, *NoSuchLine, *LockedChange, *NotTheirs, *NoSuchHold.
func (d *Document) Change(cat *catalog.Catalog, c Change, events []ShopEvent, role string, now time.Time) (*Changed, []catalog.Finding, error) {
	if err := d.Allows(ProposeChange); err != nil {
		return nil, nil, err
	}
	asked, err := d.changedDraft(c, role)
	if err != nil {
		return nil, nil, err
	}
	to, at := cat, d.ReceivedAt
	if c.Repin != nil {
		if c.Repin.Revision == d.Revision {
			return nil, []catalog.Finding{{Pointer: "/repin", Code: "repin.nothing", Message: fmt.Sprintf("The order is pinned to revision %d, which is the one in force.", d.Revision)}}, nil
		}
		day := c.Repin.Calendar.DayOf(now)
		to, at, asked.CheckedOn = c.Repin, now, &day
	}
	o, findings := Reckon(to, asked, at)
	findings = append(findings, overrideFindings(c.Overrides)...)
	if len(findings) > 0 {
		return nil, findings, nil
	}
	changed := &Changed{Bill: o.Bill, Lines: o.Lines, Catalog: to}
	if err := changed.merge(d, o, c); err != nil {
		return nil, nil, err
	}
	if findings := d.shippedStays(changed.After); len(findings) > 0 {
		return nil, findings, nil
	}
	changed.After.restate(to, events)
	changed.Fields = fieldsChanged(d, changed.After)
	if len(changed.Fields) == 0 {
		return nil, []catalog.Finding{{Code: "change.nothing", Message: "This is what the order says already; there is nothing to change."}}, nil
	}
	if err := passes(d.touched(cat, changed, events), c.Overrides, role); err != nil {
		return nil, nil, err
	}
	if err := changed.promise(to, d, o, now); err != nil {
		return nil, []catalog.Finding{{Code: "promise.none", Message: fmt.Sprintf("No ship date can be promised: %v.", err)}}, nil
	}
	return changed, nil, nil
}

// changedDraft is the order as it is asked for now. Lines keep their numbers.
func (d *Document) changedDraft(c Change, role string) (*Draft, error) {
	draft := &Draft{Dealer: d.Dealer, PO: d.PO, Sidemark: d.Sidemark, ShipTo: d.ShipTo, ShipComplete: d.ShipComplete, CheckedOn: d.CheckedOn, Of: d.Of, Role: role, agreed: d.Agreed, Substitutions: d.substitutions(c)}
	if draft.Agreed = c.Agreed; c.Agreed != nil && c.Agreed.Date == "" {
		draft.Agreed, draft.agreed = nil, nil
	}
	if d.Requested != nil {
		draft.Requested = d.Requested.String()
	}
	for _, f := range []struct{ to, from *string }{{&draft.Sidemark, c.Sidemark}, {&draft.ShipTo, c.ShipTo}, {&draft.Requested, c.Requested}} {
		if f.from != nil {
			*f.to = *f.from
		}
	}
	if c.ShipComplete != nil {
		draft.ShipComplete = *c.ShipComplete
	}
	last := d.LastLine
	for i := range d.Lines {
		l := &d.Lines[i]
		last = max(last, l.Line)
		draft.Lines = append(draft.Lines, DraftLine{Number: l.Line, Product: l.Product, Quantity: strconv.Itoa(l.Quantity), Picks: l.picks(), Ways: maps.Clone(l.Ways), Part: l.Part, Of: l.Of, Agreed: l.agreed(), typed: l.typed()})
	}
	for _, change := range c.Lines {
		if change.Line == 0 {
			last++
			draft.Lines = append(draft.Lines, DraftLine{Number: last, Product: change.Product, Quantity: cmp.Or(change.Quantity, "1"), Picks: change.Picks, Ways: change.Ways, Price: change.Price})
			continue
		}
		at := slices.IndexFunc(draft.Lines, func(l DraftLine) bool { return l.Number == change.Line })
		if at < 0 || d.line(change.Line) == nil {
			return nil, &NoSuchLine{change.Line, d.lineNumbers()}
		}
		if change.Remove {
			draft.Lines = slices.Delete(draft.Lines, at, at+1)
			continue
		}
		draft.Lines[at].change(change)
	}
	return draft, nil
}

// substitutions are those that the changed order is exploded with: its own, unless
// it is pinned anew or others are asked for.
func (d *Document) substitutions(c Change) []catalog.Substitution {
	switch {
	case c.Substitute:
		return append([]catalog.Substitution{}, c.Substitutions...)
	case c.Repin != nil:
		return append([]catalog.Substitution{}, c.Repin.Substitutions()...)
	}
	return append([]catalog.Substitution{}, d.Substitutions...)
}

// agreed is the price of a linked line that was agreed and does not follow from
// the price list.
func (l *DocumentLine) agreed() *AgreedPrice {
	if l.Price == nil || l.Of == nil || l.Of.Agreed == "" {
		return nil
	}
	return &AgreedPrice{l.Of.Agreed, l.Price.NetUnit}
}

func (l *DraftLine) change(c LineChange) {
	l.Quantity = cmp.Or(c.Quantity, l.Quantity)
	if l.Price = c.Price; c.Price != nil || len(c.Picks) > 0 || len(c.Ways) > 0 {
		l.typed = nil
	}
	for _, pick := range c.Picks {
		l.Picks = slices.DeleteFunc(l.Picks, func(p catalog.Pick) bool { return p.Attribute == pick.Attribute })
		if pick.Text != "" {
			l.Picks = append(l.Picks, pick)
		}
	}
	for path, way := range c.Ways {
		if l.Ways == nil {
			l.Ways = map[string]string{}
		}
		l.Ways[path] = way
		if way == "" {
			delete(l.Ways, path)
		}
	}
}

// merge puts what is changed into the order as it is: what nobody touched keeps
// its state, its price and its mark.
func (c *Changed) merge(d *Document, o *Order, asked Change) (err error) {
	if c.BillDocument, err = o.Bill.Document(); err != nil {
		return err
	}
	hash := bom.Hash(c.BillDocument)
	fresh := o.Document(hash)
	after := *d
	after.Sidemark, after.ShipTo, after.Requested, after.ShipComplete = fresh.Sidemark, fresh.ShipTo, fresh.Requested, fresh.ShipComplete
	after.LeadDays, after.WaitsFor, after.Substitutions, after.Warnings, after.Agreed = fresh.LeadDays, fresh.WaitsFor, fresh.Substitutions, fresh.Warnings, fresh.Agreed
	if asked.Repin != nil {
		after.Revision, after.CheckedOn = fresh.Revision, fresh.CheckedOn
	}
	after.Lines = make([]DocumentLine, len(fresh.Lines))
	after.LastLine = d.LastLine
	for i := range d.Lines {
		after.LastLine = max(after.LastLine, d.Lines[i].Line)
	}
	for i := range fresh.Lines {
		line := fresh.Lines[i]
		after.LastLine = max(after.LastLine, line.Line)
		line.State = Received
		if d.AcceptedAt != nil {
			line.State = Accepted
		}
		if old := d.line(line.Line); old != nil {
			line.State, line.StartFrame = old.State, old.StartFrame
			if asked.Repin == nil && sameConfiguration(old, &line) && old.Quantity == line.Quantity && sameTyped(old.Price, line.Price) {
				line = *old
			}
		}
		after.Lines[i] = line
	}
	if c.NewBill = hex.EncodeToString(hash[:]) != d.Bill.SHA256; c.NewBill {
		after.Bill = BillReference{Version: d.Bill.Version + 1, Arithmetic: fresh.Bill.Arithmetic, SHA256: fresh.Bill.SHA256}
	}
	after.Charges = append(slices.DeleteFunc(slices.Clone(d.Charges), func(c Charge) bool { return c.Code == chargeMinimum }), fresh.Charges...)
	for _, o := range asked.Overrides {
		if o.Charge != nil {
			after.Charges = append(after.Charges, Charge{For: "what was made before lock " + o.Lock + " was overridden: " + o.Reason, Amount: *o.Charge})
		}
	}
	if err := after.total(); err != nil {
		return err
	}
	c.hold(d, &after, fresh.Holds)
	if d.AcceptedAt != nil {
		after.State = after.Standing()
	}
	c.After = &after
	return nil
}

// hold places the holds that the changed order calls for and did not before.
func (c *Changed) hold(d, after *Document, called []Hold) {
	after.Holds = slices.Clone(d.Holds)
	for _, h := range called {
		same := func(o Hold) bool { return o.Line == h.Line && o.Kind == h.Kind && o.Reason == h.Reason }
		if slices.ContainsFunc(d.Holds, same) || slices.ContainsFunc(d.Lifted, same) {
			continue
		}
		h.Seq = len(after.Holds) + len(d.Lifted) + 1
		after.Holds = append(after.Holds, h)
		c.Placed = append(c.Placed, h)
	}
}

// shippedStays finds what a change would take away of a line of which something
// has left the shop.
func (d *Document) shippedStays(after *Document) (findings []catalog.Finding) {
	for i := range d.Lines {
		was := &d.Lines[i]
		units := d.ShippedUnits(was.Line)
		if len(units) == 0 {
			continue
		}
		is := after.line(was.Line)
		if is == nil || !sameConfiguration(was, is) || is.Quantity < units[len(units)-1] {
			findings = append(findings, catalog.Finding{Pointer: "/lines", Code: "line.shipped",
				Message: fmt.Sprintf("Of line %d the units %s have left the shop: it stays as it is. Add another line, or ask for a re-make.", was.Line, strings.Trim(fmt.Sprint(units), "[]"))})
		}
	}
	return findings
}

// restate takes lines whose quantity changed to where their cartons have come.
func (d *Document) restate(cat *catalog.Catalog, events []ShopEvent) {
	var shipped []int
	for i := range d.Lines {
		line := &d.Lines[i]
		all := boxed(cat, line, events)
		switch {
		case len(d.ShippedUnits(line.Line)) > 0:
			shipped = append(shipped, line.Line)
		case line.State == Ready && !all:
			line.State = InWork
		case line.State == InWork && all && closable(cat):
			line.State = Ready
		}
	}
	d.shipLines(shipped)
	if d.AcceptedAt != nil {
		d.State = d.Standing()
	}
}

// total sums the lines and the charges beside them; while one is to be quoted there is no sum.
func (d *Document) total() error {
	var sum unit.Money
	d.Net = nil
	for i := range d.Lines {
		if d.Lines[i].Price == nil || d.Lines[i].Price.Net == nil {
			return nil
		}
		var err error
		if sum, err = sum.Add(*d.Lines[i].Price.Net); err != nil {
			return fmt.Errorf("sum the lines: %w", err)
		}
	}
	for _, c := range d.Charges {
		var err error
		if sum, err = sum.Add(c.Amount); err != nil {
			return fmt.Errorf("sum the charges: %w", err)
		}
	}
	d.Net = &sum
	return nil
}

// promise moves the ship date where the changed order needs longer: it counts
// from now where there is more to make, else from where it counted before.
func (c *Changed) promise(cat *catalog.Catalog, d *Document, o *Order, now time.Time) error {
	from := d.ReceivedAt
	if d.AcceptedAt != nil {
		from = *d.AcceptedAt
	}
	for i := range c.After.Lines {
		line := &c.After.Lines[i]
		if old := d.line(line.Line); old == nil || line.Quantity > old.Quantity {
			from = now
		}
	}
	promise, err := promiseFrom(cat, from, o.LeadDays, o.WaitsFor)
	if err != nil {
		return err
	}
	if d.Agreed == nil && o.Agreed == nil {
		promise = later(promise, d.Promise)
	}
	c.After.Agreed, c.After.Promise, c.After.Warnings = agree(o.Agreed, promise, c.After.Warnings)
	return nil
}

func sameConfiguration(a, b *DocumentLine) bool {
	return a.Product == b.Product && a.Part == b.Part && slices.Equal(a.Configuration, b.Configuration) && maps.Equal(a.Ways, b.Ways)
}
