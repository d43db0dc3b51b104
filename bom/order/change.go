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
	"billwright/catalog/calendar"
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

// Override lets a change pass by a lock.
type Override struct {
	Lock        string `json:"lock"`
	Reason      string `json:"reason"`
	Disposition string `json:"disposition"`
	// Charge is what the dealer pays for what was made, by the disposition charge
	// only.
	Charge *unit.Money `json:"charge,omitempty"`
}

// Dispositions are what may become of what was made, by an override.
var Dispositions = []string{"keep", "recut", "stock", "scrap", "charge"}

// Overriders are the roles that may override a lock.
var Overriders = []string{"owner", "engineer"}

// LockedChange tells that a change touches what is locked.
type LockedChange struct{ Locks []Locked }

func (e *LockedChange) Error() string {
	says := make([]string, len(e.Locks))
	for i := range e.Locks {
		l := &e.Locks[i]
		says[i] = fmt.Sprintf("line %d, %s since %s by %s: %s", l.Line, l.Event, l.At.UTC().Format(time.RFC3339), l.By, l.Says)
	}
	return "the change touches what is locked: " + strings.Join(says, " ")
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

// FieldChange is a field of the order or of a line that is not what it was.
type FieldChange struct {
	// Line is 0 for the order itself.
	Line  int    `json:"line"`
	Field string `json:"field"`
	Was   string `json:"was"`
	Is    string `json:"is"`
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

// fieldsChanged lists what an order says otherwise, in the order of its fields
// and lines.
func fieldsChanged(was, is *Document) []FieldChange {
	var fields []FieldChange
	add := func(line int, field, a, b string) {
		if a != b {
			fields = append(fields, FieldChange{line, field, a, b})
		}
	}
	add(0, "catalog_revision", strconv.Itoa(was.Revision), strconv.Itoa(is.Revision))
	add(0, "substitutions", substitutionsText(was.Substitutions), substitutionsText(is.Substitutions))
	add(0, "sidemark", was.Sidemark, is.Sidemark)
	add(0, "ship_to", was.ShipTo, is.ShipTo)
	add(0, "requested", dayText(was.Requested), dayText(is.Requested))
	add(0, "agreed", was.agreedText(), is.agreedText())
	add(0, "ship_complete", strconv.FormatBool(was.ShipComplete), strconv.FormatBool(is.ShipComplete))
	for i := range was.Lines {
		old := &was.Lines[i]
		line := is.line(old.Line)
		if line == nil {
			add(old.Line, "product", old.Product, "")
			add(old.Line, "quantity", strconv.Itoa(old.Quantity), "0")
			continue
		}
		add(old.Line, "quantity", strconv.Itoa(old.Quantity), strconv.Itoa(line.Quantity))
		add(old.Line, "price", old.typedText(), line.typedText())
		for _, code := range settingCodes(old, line) {
			add(old.Line, code, old.setting(code), line.setting(code))
		}
		if !maps.Equal(old.Ways, line.Ways) {
			add(old.Line, "ways", fmt.Sprint(old.Ways), fmt.Sprint(line.Ways))
		}
	}
	for i := range is.Lines {
		line := &is.Lines[i]
		if was.line(line.Line) != nil {
			continue
		}
		add(line.Line, "product", "", line.Product)
		add(line.Line, "quantity", "0", strconv.Itoa(line.Quantity))
		add(line.Line, "price", "", line.typedText())
		for k := range line.Configuration {
			add(line.Line, line.Configuration[k].Attribute, "", line.Configuration[k].ValueName)
		}
	}
	return fields
}

func substitutionsText(list []catalog.Substitution) string {
	texts := make([]string, len(list))
	for i, s := range list {
		texts[i] = s.By + " for " + s.Item
	}
	return strings.Join(texts, ", ")
}

func dayText(d *calendar.Date) string {
	if d == nil {
		return ""
	}
	return d.String()
}

func settingCodes(lines ...*DocumentLine) (codes []string) {
	for _, l := range lines {
		for i := range l.Configuration {
			if code := l.Configuration[i].Attribute; !slices.Contains(codes, code) {
				codes = append(codes, code)
			}
		}
	}
	return codes
}

func (l *DocumentLine) setting(code string) string {
	for i := range l.Configuration {
		if s := &l.Configuration[i]; s.Attribute == code {
			return s.ValueName
		}
	}
	return ""
}

// touched are the locks that stand in the way of a change. Fewer units are free
// as long as none of those given up is locked; a way chosen otherwise is another
// making of the steel and touches every lock of its line, and another catalog
// every lock of the order.
func (d *Document) touched(cat *catalog.Catalog, c *Changed, events []ShopEvent) (touched []Locked) {
	for _, l := range d.Locks(cat, events) {
		in := func(f FieldChange) bool {
			switch {
			case f.Field == "catalog_revision": // it touches all that is made
				return true
			case f.Line != l.Line, f.Field == "price":
				return false
			case l.Whole, f.Field == "ways", f.Field == "product":
				return true
			case f.Field != "quantity":
				return slices.Contains(l.Attributes, f.Field)
			}
			left, err := strconv.Atoi(f.Is)
			old, oldErr := strconv.Atoi(f.Was)
			return err == nil && oldErr == nil && left < old && (l.Unit == 0 || l.Unit > left)
		}
		if slices.ContainsFunc(c.Fields, in) {
			touched = append(touched, l)
		}
	}
	return touched
}

// passes tells whether every lock touched is overridden by somebody who may.
func passes(touched []Locked, overrides []Override, role string) error {
	left := slices.DeleteFunc(touched, func(l Locked) bool {
		return slices.ContainsFunc(overrides, func(o Override) bool { return o.Lock == l.Lock })
	})
	if len(left) > 0 {
		return &LockedChange{left}
	}
	if len(overrides) > 0 && !slices.Contains(Overriders, role) {
		return &NotTheirOverride{Overriders}
	}
	return nil
}

// NotTheirOverride tells that a role may not override a lock.
type NotTheirOverride struct{ Roles []string }

func (e *NotTheirOverride) Error() string {
	return "a lock is overridden by: " + strings.Join(e.Roles, ", ")
}

func overrideFindings(overrides []Override) (findings []catalog.Finding) {
	for i, o := range overrides {
		at := fmt.Sprintf("/overrides/%d", i)
		if strings.TrimSpace(o.Reason) == "" {
			findings = append(findings, catalog.Finding{Pointer: at + "/reason", Code: "reason.missing", Message: "Say why the lock is overridden."})
		}
		if !slices.Contains(Dispositions, o.Disposition) {
			findings = append(findings, catalog.Finding{Pointer: at + "/disposition", Code: "disposition.unknown", Allowed: Dispositions,
				Message: fmt.Sprintf("%s is no disposition: say what becomes of what was made.", clip(o.Disposition))})
		}
		switch charged := o.Disposition == "charge"; {
		case charged && (o.Charge == nil || *o.Charge <= 0):
			findings = append(findings, catalog.Finding{Pointer: at + "/charge", Code: "charge.missing", Message: "Say what is charged for what was made, such as 85.00."})
		case !charged && o.Charge != nil:
			findings = append(findings, catalog.Finding{Pointer: at + "/charge", Code: "charge.not", Message: "Something is charged by the disposition charge only; leave it out, or choose that."})
		}
	}
	return findings
}
