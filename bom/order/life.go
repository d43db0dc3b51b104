package order

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// State is where an order, or a line of it, stands.
type State string

// The states. A hold is no state: it stands beside one.
const (
	Drafted       State = "draft"
	Quoted        State = "quoted"
	Received      State = "received"
	Accepted      State = "accepted"
	Released      State = "released"
	InWork        State = "in work"
	Ready         State = "ready"
	ShippedInPart State = "shipped in part"
	Shipped       State = "shipped"
	Closed        State = "closed"
	Cancelled     State = "cancelled"
)

// States are all states in the order of an order's life.
var States = []State{Drafted, Quoted, Received, Accepted, Released, InWork, Ready, ShippedInPart, Shipped, Closed, Cancelled}

// Act is something done to an order.
type Act string

// The acts of an order's own life.
const (
	Place      Act = "place"
	Accept     Act = "accept"
	Release    Act = "release"
	StartFrame Act = "start frame"
	PlaceHold  Act = "place hold"
	LiftHold   Act = "lift hold"
	Close      Act = "close"
)

// taken says in which states each act may be done. Where it leads is the act's
// own affair, since a release may concern some lines only.
var taken = []struct {
	act Act
	in  []State
}{
	{Place, []State{Drafted, Quoted}},
	{Accept, []State{Received}},
	{Release, []State{Accepted, Released, InWork, Ready}},
	{StartFrame, []State{Received, Accepted, Released, InWork}},
	{PlaceHold, []State{Received, Accepted, Released, InWork, Ready, ShippedInPart}},
	{LiftHold, []State{Received, Accepted, Released, InWork, Ready, ShippedInPart, Shipped}},
	{TakeOwnMaterial, []State{Received, Accepted, Released, InWork, Ready}},
	{TellEvent, []State{Accepted, Released, InWork, Ready, ShippedInPart}},
	{Ship, []State{InWork, Ready, ShippedInPart}},
	{Split, []State{Received, Accepted, Released, InWork}},
	{AskParts, []State{ShippedInPart, Shipped, Closed}},
	{Remake, []State{ShippedInPart, Shipped, Closed}},
	{Cancel, []State{Drafted, Quoted, Received, Accepted, Released, InWork, Ready}},
	{ProposeChange, []State{Received, Accepted, Released, InWork, Ready, ShippedInPart}},
	{ApproveChange, []State{Received, Accepted, Released, InWork, Ready, ShippedInPart}},
	{Close, []State{Shipped}},
}

// OutOfOrder tells that an act does not fit the state.
type OutOfOrder struct {
	Act   Act
	State State
	// Possible are the acts that would fit.
	Possible []Act
}

func (e *OutOfOrder) Error() string {
	words := make([]string, len(e.Possible))
	for i, act := range e.Possible {
		words[i] = string(act)
	}
	possible := "nothing more can be done to it"
	if len(words) > 0 {
		possible = "possible now: " + strings.Join(words, ", ")
	}
	return fmt.Sprintf("an order that is %s cannot take the act %s; %s", e.State, e.Act, possible)
}

// Allows tells whether an act fits the order's state: nil, or *OutOfOrder.
func (d *Document) Allows(act Act) error {
	refused := &OutOfOrder{Act: act, State: d.State}
	for _, t := range taken {
		if !slices.Contains(t.in, d.State) {
			continue
		}
		if t.act == act {
			return nil
		}
		refused.Possible = append(refused.Possible, t.act)
	}
	return refused
}

// Blocked tells that holds keep an act from being done.
type Blocked struct {
	Act   Act
	Holds []Hold
}

func (e *Blocked) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "the act %s is blocked by", e.Act)
	for i := range e.Holds {
		h := &e.Holds[i]
		where := "the whole order"
		if h.Line > 0 {
			where = fmt.Sprintf("line %d", h.Line)
		}
		fmt.Fprintf(&b, " hold %d (%s, %s): %s", h.Seq, h.Kind, where, h.Reason)
	}
	return b.String()
}

// The words of what holds block that acts of the order's own life ask about.
const (
	blocksAcceptance = "acceptance"
	blocksRelease    = "release"
	blocksShipping   = "shipping"
)

// blocking gives the standing holds that block a word for some lines; a hold on
// the whole order blocks each of them.
func (d *Document) blocking(word string, lines []int) (holds []Hold) {
	for _, h := range d.Holds {
		if slices.Contains(h.Blocks, word) && (h.Line == 0 || slices.Contains(lines, h.Line)) {
			holds = append(holds, h)
		}
	}
	return holds
}

// Accept freezes the order as it stands: configuration, revision, price and bill
// stay as they are whatever the catalog says later. The promise counts from the
// acceptance, in working days of the plant's calendar. Errors: *OutOfOrder,
// *Blocked, *AgreedPassed, the calendar's.
func (d *Document) Accept(cat *catalog.Catalog, now time.Time) error {
	if err := d.Allows(Accept); err != nil {
		return err
	}
	if holds := d.blocking(blocksAcceptance, d.lineNumbers()); len(holds) > 0 {
		return &Blocked{Accept, holds}
	}
	if err := d.agreedStands(cat, now); err != nil {
		return err
	}
	if err := d.promiseFrom(cat, now); err != nil {
		return err
	}
	first, at := d.Promise, now.UTC()
	d.FirstPromise, d.AcceptedAt, d.State = &first, &at, Accepted
	d.setLines(d.lineNumbers(), Accepted)
	return nil
}

// promiseFrom sets the promise to the order's lead time after an instant, or to
// the ship date that was agreed.
func (d *Document) promiseFrom(cat *catalog.Catalog, now time.Time) error {
	promise, err := promiseFrom(cat, now, d.LeadDays, d.WaitsFor)
	if err != nil {
		return fmt.Errorf("no ship date can be promised: %w", err)
	}
	d.Agreed, d.Promise, d.Warnings = agree(d.Agreed, promise, d.Warnings)
	return nil
}

// Expired tells that a quote was placed after its last day.
type Expired struct{ ValidUntil, Today calendar.Date }

func (e *Expired) Error() string {
	return fmt.Sprintf("the quote held until %s and today is %s: copy it to have it checked and priced anew", e.ValidUntil, e.Today)
}

// NoPO tells that a quote is placed without a purchase order number.
type NoPO struct{}

func (*NoPO) Error() string {
	return "a purchase order number is needed: it guards against taking the same order twice"
}

// PlaceQuote makes an order of a quote, at its price and its catalog revision.
// The promise counts from now. Errors: *OutOfOrder, *Expired, *NoPO,
// *AgreedPassed, the calendar's.
func (d *Document) PlaceQuote(cat *catalog.Catalog, po string, now time.Time) error {
	if err := d.Allows(Place); err != nil {
		return err
	}
	if today := cat.Calendar.DayOf(now); d.ValidUntil != nil && today.After(*d.ValidUntil) {
		return &Expired{*d.ValidUntil, today}
	}
	if po = cmp.Or(po, d.PO); strings.TrimSpace(po) == "" {
		return &NoPO{}
	}
	if err := d.agreedStands(cat, now); err != nil {
		return err
	}
	if err := d.promiseFrom(cat, now); err != nil {
		return err
	}
	if d.CheckedOn == nil { // what was quoted stays good
		day := cat.Calendar.DayOf(d.ReceivedAt)
		d.CheckedOn = &day
	}
	d.PO, d.ReceivedAt, d.State = po, now.UTC(), Received
	d.setLines(d.lineNumbers(), Received)
	return nil
}

// Release gives lines to the shop, all that are accepted where none is named.
// A hold that blocks release blocks its own line only, unless it is the whole
// order's. Errors: *OutOfOrder, *Blocked, *NoSuchLine.
func (d *Document) Release(lines []int) error {
	if err := d.Allows(Release); err != nil {
		return err
	}
	if len(lines) == 0 {
		lines = d.linesIn(Accepted)
	}
	for _, n := range lines {
		line := d.line(n)
		if line == nil {
			return &NoSuchLine{n, d.lineNumbers()}
		}
		if line.State != Accepted {
			return &OutOfOrder{Act: Release, State: line.State}
		}
	}
	if len(lines) == 0 {
		return &OutOfOrder{Act: Release, State: d.State}
	}
	if holds := d.blocking(blocksRelease, lines); len(holds) > 0 {
		return &Blocked{Release, holds}
	}
	d.setLines(lines, Released)
	d.State = d.Standing()
	return nil
}

// StartFrame lets the frame of a line be bought and made though its customer's
// own material is not here. Errors: *OutOfOrder, *NoSuchLine.
func (d *Document) StartFrame(number int) error {
	if err := d.Allows(StartFrame); err != nil {
		return err
	}
	line := d.line(number)
	if line == nil {
		return &NoSuchLine{number, d.lineNumbers()}
	}
	line.StartFrame = true
	return nil
}

// Close ends a shipped order. Errors: *OutOfOrder.
func (d *Document) Close() error {
	if err := d.Allows(Close); err != nil {
		return err
	}
	d.State = Closed
	d.setLines(d.lineNumbers(), Closed)
	return nil
}

// NoSuchLine tells that an act names a line that the order does not have.
type NoSuchLine struct {
	Line  int
	Lines []int
}

func (e *NoSuchLine) Error() string {
	return fmt.Sprintf("there is no line %d; the order has the lines %s", e.Line, strings.Trim(fmt.Sprint(e.Lines), "[]"))
}

// Standing is the state of an order as its lines make it: shipped when all are,
// in part when some are, else as far as the first of them has come.
func (d *Document) Standing() State {
	var count [11]int
	lines := 0
	for i := range d.Lines {
		if d.Lines[i].State != Cancelled {
			lines++
			count[slices.Index(States, d.Lines[i].State)]++
		}
	}
	of := func(s State) int { return count[slices.Index(States, s)] }
	switch {
	case lines == 0:
		return Cancelled
	case of(Closed) == lines:
		return Closed
	case of(Shipped)+of(Closed) == lines:
		return Shipped
	case of(Shipped)+of(Closed)+of(ShippedInPart) > 0:
		return ShippedInPart
	case of(Ready) == lines:
		return Ready
	case of(Ready)+of(InWork) > 0:
		return InWork
	case of(Released) > 0:
		return Released
	case of(Accepted) > 0:
		return Accepted
	}
	return d.State
}

func (d *Document) lineNumbers() []int {
	numbers := make([]int, 0, len(d.Lines))
	for i := range d.Lines {
		if d.Lines[i].State != Cancelled {
			numbers = append(numbers, d.Lines[i].Line)
		}
	}
	return numbers
}

func (d *Document) linesIn(s State) (numbers []int) {
	for i := range d.Lines {
		if d.Lines[i].State == s {
			numbers = append(numbers, d.Lines[i].Line)
		}
	}
	return numbers
}

func (d *Document) line(number int) *DocumentLine {
	for i := range d.Lines {
		if d.Lines[i].Line == number && d.Lines[i].State != Cancelled {
			return &d.Lines[i]
		}
	}
	return nil
}

func (d *Document) setLines(numbers []int, s State) {
	for _, n := range numbers {
		d.line(n).State = s
	}
}
