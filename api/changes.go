package api

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"billwright/bom"
	"billwright/bom/demand"
	"billwright/bom/demand/demanddb"
	"billwright/bom/load"
	"billwright/bom/order"
	"billwright/bom/order/orderdb"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
	"billwright/migrations/tenancy"
)

type changeInput struct {
	OrderAct
	Body changeBody
}

// changeBody is what is asked to be otherwise. What is left out stays.
type changeBody struct {
	Sidemark     *string        `json:"sidemark,omitempty" required:"false" maxLength:"300" doc:"Another sidemark."`
	ShipTo       *string        `json:"ship_to,omitempty" required:"false" maxLength:"1000" doc:"Another place that it goes to."`
	Requested    *string        `json:"requested,omitempty" required:"false" maxLength:"40" doc:"Another day that the dealer asks for; an empty text takes it away."`
	ShipComplete *bool          `json:"ship_complete,omitempty" required:"false" doc:"Whether all lines must ship together."`
	Agreed       *agreedChange  `json:"agreed,omitempty" required:"false" doc:"Only from a rep or the owner: another ship date that was agreed; an empty date takes back the one agreed before."`
	Lines        []changeLine   `json:"lines,omitempty" required:"false" maxItems:"200" doc:"Lines that are changed, removed or added."`
	Repin        bool           `json:"repin,omitempty" required:"false" doc:"true pins the order to the catalog revision in force: every line is checked and priced anew under it, and the difference tells all that this drags along."`
	Overrides    []overrideBody `json:"overrides,omitempty" required:"false" maxItems:"50" doc:"Locks that the change passes by; only from the owner or an engineer."`
	Reason       string         `json:"reason" maxLength:"300" doc:"Why."`
}

type changeLine struct {
	Line          int               `json:"line,omitempty" required:"false" minimum:"0" maximum:"32000" doc:"Number of the line; without it, a line is added."`
	Remove        bool              `json:"remove,omitempty" required:"false" doc:"true takes the line out of the order."`
	Product       string            `json:"product,omitempty" required:"false" maxLength:"100" doc:"Product of an added line."`
	Quantity      int               `json:"quantity,omitempty" required:"false" minimum:"0" maximum:"999" doc:"How many; left out, as many as before, and 1 of an added line."`
	Configuration map[string]string `json:"configuration,omitempty" required:"false" maxProperties:"100" doc:"Values that are otherwise, by attribute; an empty text goes back to the default."`
	Price         *typedChange      `json:"price,omitempty" required:"false" doc:"Only from a rep or the owner: a price typed for the line. One typed before stays as long as only the quantity is otherwise."`
	Ways          map[string]string `json:"ways,omitempty" required:"false" maxProperties:"100" doc:"Ways that are otherwise, by the path of the part."`
}

type overrideBody struct {
	Lock        string `json:"lock" maxLength:"80" doc:"Code of the lock."`
	Reason      string `json:"reason" maxLength:"300" doc:"Why it is overridden."`
	Disposition string `json:"disposition" maxLength:"40" doc:"What becomes of what was made: keep it in use, recut it to the new size where it is long enough, put it in stock, scrap it, or charge it to the dealer."`
	Charge      string `json:"charge,omitempty" required:"false" maxLength:"20" doc:"What is charged for it, such as 85.00; with the disposition charge only."`
}

func (b *changeBody) change() (order.Change, []Finding) {
	c := order.Change{Sidemark: b.Sidemark, ShipTo: b.ShipTo, Requested: b.Requested, ShipComplete: b.ShipComplete}
	if b.Agreed != nil {
		c.Agreed = &order.AgreedEntry{Date: b.Agreed.Date, Reason: b.Agreed.Reason}
	}
	var findings []Finding
	if strings.TrimSpace(b.Reason) == "" {
		findings = append(findings, Finding{Pointer: "/reason", Code: codeMissing, Message: "Say why the order is changed."})
	}
	for i, l := range b.Lines {
		at := "/lines/" + strconv.Itoa(i)
		asked := order.LineChange{Line: l.Line, Remove: l.Remove, Product: l.Product, Ways: l.Ways}
		if l.Price != nil {
			asked.Price = &order.PriceEntry{Net: l.Price.Net, Reason: l.Price.Reason}
		}
		if l.Quantity > 0 {
			asked.Quantity = strconv.Itoa(l.Quantity)
		}
		for _, attribute := range slices.Sorted(maps.Keys(l.Configuration)) {
			asked.Picks = append(asked.Picks, catalog.Pick{Attribute: attribute, Text: l.Configuration[attribute]})
		}
		switch {
		case l.Line > 0 && l.Product != "":
			findings = append(findings, Finding{Pointer: at + "/product", Code: "product.fixed", Message: "A line keeps its product: remove it and add another line."})
		case l.Line == 0 && l.Remove:
			findings = append(findings, Finding{Pointer: at + "/line", Code: codeMissing, Message: "Say which line is removed."})
		case l.Line > 0 && slices.ContainsFunc(b.Lines[:i], func(o changeLine) bool { return o.Line == l.Line }):
			findings = append(findings, Finding{Pointer: at + "/line", Code: "line.twice", Message: fmt.Sprintf("Line %d is changed above already; say all of it there.", l.Line)})
		}
		c.Lines = append(c.Lines, asked)
	}
	for i, o := range b.Overrides {
		over := order.Override{Lock: o.Lock, Reason: o.Reason, Disposition: o.Disposition}
		if o.Charge != "" {
			charge, err := unit.ParseMoney(o.Charge)
			if err != nil {
				findings = append(findings, Finding{Pointer: fmt.Sprintf("/overrides/%d/charge", i), Code: "money.unreadable", Message: sentence(err.Error())})
			}
			over.Charge = &charge
		}
		c.Overrides = append(c.Overrides, over)
	}
	return c, findings
}

// changeDifference is all that a change makes otherwise; what stays is not
// listed.
type changeDifference struct {
	Fields       []order.FieldChange `json:"fields"`
	Bill         []bom.RowChange     `json:"bill"`
	Price        []priceChange       `json:"price" doc:"Line 0 is the whole order."`
	Promise      *promiseChange      `json:"promise,omitempty"`
	Requirements []needChange        `json:"requirements" doc:"What is needed more, or below nothing less."`
	Holds        []order.Hold        `json:"holds" doc:"Holds that the change calls for."`
	Overrides    []order.Override    `json:"overrides"`
	Surplus      []order.SurplusRow  `json:"surplus" doc:"What was used up and does not fit any more, and what becomes of it."`
}

type priceChange struct {
	Line int         `json:"line"`
	Was  *unit.Money `json:"was,omitempty" doc:"Absent of what is new or to be quoted."`
	Is   *unit.Money `json:"is,omitempty" doc:"Absent of what is gone or to be quoted."`
}

type promiseChange struct {
	Was calendar.Date `json:"was"`
	Is  calendar.Date `json:"is"`
}

type needChange struct {
	Line   int           `json:"line"`
	Unit   int           `json:"unit"`
	Path   string        `json:"path"`
	Kind   string        `json:"kind"`
	Item   string        `json:"item"`
	Length string        `json:"length,omitempty"`
	Week   string        `json:"week"`
	NeedBy calendar.Date `json:"need_by"`
	Pieces int           `json:"pieces"`
	Amount quantity      `json:"amount"`
}

type changeReply struct {
	Order string `json:"order"`
	ChangeSummary
	Asked      changeBody       `json:"asked"`
	Difference changeDifference `json:"difference"`
}

// reckoned is a change with what it makes of the order and its needs.
type reckoned struct {
	*order.Changed
	needs      []demand.Requirement
	difference []byte
}

// reckon tells what a change makes of the order as it stands, and stores
// nothing.
func (a *acting) reckon(b *changeBody) (*reckoned, error) {
	asked, findings := b.change()
	if len(findings) > 0 {
		return nil, invalid(findings...)
	}
	if b.Repin {
		asked.Repin = a.current
	}
	return a.reckonChange(asked)
}

// reckonChange is reckon of a change that was read.
func (a *acting) reckonChange(asked order.Change) (*reckoned, error) {
	events, err := orderdb.Events(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return nil, err
	}
	changed, found, err := a.doc.Change(a.cat, asked, events, a.who.roleAmong(order.Overriders), a.now)
	if err != nil {
		return nil, err
	}
	if len(found) > 0 {
		return nil, invalid(shown(found)...)
	}
	r := &reckoned{Changed: changed}
	was, err := orderdb.Requirements(a.ctx, a.tx, a.who.workshop, a.before.ID)
	if err != nil {
		return nil, err
	}
	var surplus []demand.Disposed
	if !a.doc.Test {
		if r.needs, err = a.needsOf(changed, events, was); err != nil {
			return nil, err
		}
		used := demand.Used(was, uses(a.cat, events), unitsOf(a.doc))
		r.needs, surplus = demand.Dispose(r.needs, used, func(r *demand.Requirement) string { return dispositionOf(a.cat, asked.Overrides, r.Kind) })
		r.needs = numbered(r.needs, was)
	}
	stored, err := orderdb.Bill(a.ctx, a.tx, a.who.workshop, a.before.Number, 0)
	if err != nil {
		return nil, err
	}
	rows, err := bom.Compare(stored.Document, changed.BillDocument)
	if err != nil {
		return nil, err
	}
	d := changeDifference{Fields: changed.Fields, Bill: rows, Price: pricesChanged(a.doc, changed.After), Requirements: []needChange{},
		Holds: append([]order.Hold{}, changed.Placed...), Overrides: append([]order.Override{}, asked.Overrides...), Surplus: []order.SurplusRow{}}
	if changed.After.Promise != a.doc.Promise {
		d.Promise = &promiseChange{a.doc.Promise, changed.After.Promise}
	}
	units := changed.Bill.Units
	for i := range surplus {
		d.Surplus = append(d.Surplus, surplusRow(&surplus[i].Requirement, surplus[i].Disposition, units))
	}
	for _, n := range demand.Compare(was, r.needs) {
		d.Requirements = append(d.Requirements, needChange{Line: n.Line, Unit: n.Unit, Path: n.Path, Kind: n.Kind, Item: n.Item, Length: lengthOf(n.Length, units),
			Week: n.NeedBy.Week().String(), NeedBy: n.NeedBy, Pieces: n.Pieces, Amount: quantityOf(&demanddb.Need{Kind: n.Kind, Measure: n.Measure}, n.Amount, units)})
	}
	r.difference, err = encode(d)
	return r, err
}

// postChange stores what would become of the order; the order stays as it is.
func (s *Server) postChange(ctx context.Context, in *changeInput) (*acted, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	return s.actWith(ctx, in.OrderAct, order.ProposeChange, in.Body, func(a *acting) (orderdb.Reply, error) {
		a.current = st.catalog
		r, err := a.reckon(&in.Body)
		if err != nil {
			return orderdb.Reply{}, err
		}
		request, err := encode(in.Body)
		if err != nil {
			return orderdb.Reply{}, err
		}
		at := s.set.Clock()
		c := orderdb.StoredChange{Version: a.before.Version, Request: request, Difference: r.difference, Reason: strings.TrimSpace(in.Body.Reason), At: at, By: a.who.actor()}
		if c.Change, err = orderdb.AddChange(a.ctx, a.tx, a.who.workshop, a.before, c); err != nil {
			return orderdb.Reply{}, err
		}
		a.reason = c.Reason
		if err := a.audit(order.ProposeChange, at); err != nil {
			return orderdb.Reply{}, err
		}
		return changeAnswer(http.StatusCreated, a.before.Number, &c)
	})
}

func changeAnswer(status int, number string, c *orderdb.StoredChange) (orderdb.Reply, error) {
	shown, err := showChange(number, c)
	if err != nil {
		return orderdb.Reply{}, err
	}
	body, err := encode(shown)
	return orderdb.Reply{Status: status, Location: fmt.Sprintf("%s/changes/%d", orderPath(number), c.Change), Body: body}, err
}

func showChange(number string, c *orderdb.StoredChange) (*changeReply, error) {
	r := &changeReply{Order: number, ChangeSummary: summaryOf(c)}
	if err := errors.Join(json.Unmarshal(c.Request, &r.Asked), json.Unmarshal(c.Difference, &r.Difference)); err != nil {
		return nil, fmt.Errorf("read a stored change: %w", err)
	}
	return r, nil
}

type oneChange struct {
	Numbered
	Change int `path:"change" minimum:"1" maximum:"1000000" doc:"Number of the change."`
}

type changeOutput struct{ Body changeReply }

// getChange shows a proposed change with its difference.
func (s *Server) getChange(ctx context.Context, in *oneChange) (*changeOutput, error) {
	who := principalOf(ctx)
	var out *changeOutput
	err := tenancy.Transact(ctx, s.set.Pool, who.scope(), func(tx pgx.Tx) error {
		stored, err := findOrder(ctx, tx, who, in.Number)
		if err != nil {
			return err
		}
		c, err := orderdb.FindChange(ctx, tx, who.workshop, stored.ID, in.Change)
		if err != nil {
			return changeNotFound(err, in.Change)
		}
		shown, err := showChange(stored.Number, &c)
		if err == nil {
			out = &changeOutput{*shown}
		}
		return err
	})
	return out, err
}

func changeNotFound(err error, number int) error {
	if errors.Is(err, orderdb.ErrNoChange) {
		return notFound(fmt.Sprintf("The order has no change %d.", number))
	}
	return err
}

type decideInput struct {
	OrderAct
	Change int `path:"change" minimum:"1" maximum:"1000000" doc:"Number of the change."`
	Body   reasoned
}

// fingerprinted is what a decision is told apart by.
func (in *decideInput) fingerprinted() any {
	return struct {
		Change int
		Reason string
	}{in.Change, in.Body.Reason}
}

// undecided reads a change that nobody decided yet.
func (a *acting) undecided(number int) (orderdb.StoredChange, error) {
	c, err := orderdb.FindChange(a.ctx, a.tx, a.who.workshop, a.before.ID, number)
	if err != nil {
		return c, changeNotFound(err, number)
	}
	if c.Decision != "" {
		return c, conflict(fmt.Sprintf("Change %d was %s on %s.", number, c.Decision, c.DecidedAt.UTC().Format(time.RFC3339)))
	}
	return c, nil
}

// postApprove applies a change as it was proposed: all of it, or nothing.
func (s *Server) postApprove(ctx context.Context, in *decideInput) (*acted, error) {
	st, err := s.catalogFor(ctx, principalOf(ctx).workshop)
	if err != nil {
		return nil, err
	}
	return s.actOn(ctx, in.OrderAct, order.ApproveChange, in.fingerprinted(), func(a *acting) error {
		a.current = st.catalog
		c, err := a.undecided(in.Change)
		if err != nil {
			return err
		}
		var b changeBody
		if err := json.Unmarshal(c.Request, &b); err != nil {
			return fmt.Errorf("read a stored change: %w", err)
		}
		r, err := a.reckon(&b)
		if err != nil {
			return err
		}
		if !bytes.Equal(r.difference, c.Difference) {
			return conflict(fmt.Sprintf("Change %d would not come to what was proposed any more: the order was at version %d then and is at version %d. Propose it again.", in.Change, c.Version, a.before.Version))
		}
		a.reason = cmp.Or(in.Body.Reason, c.Reason)
		return a.apply(r, in.Change)
	})
}

func (a *acting) apply(r *reckoned, number int) error {
	if err := a.applyChange(r); err != nil {
		return err
	}
	return orderdb.Decide(a.ctx, a.tx, a.who.workshop, a.before.ID, number, "approved", a.now, a.who.actor())
}

// applyChange stores what a change makes of all that hangs on the order.
func (a *acting) applyChange(r *reckoned) error {
	if err := orderdb.Apply(a.ctx, a.tx, a.who.workshop, a.before, r.Changed, a.now); err != nil {
		return err
	}
	for _, h := range r.Placed {
		if err := orderdb.AddHold(a.ctx, a.tx, a.who.workshop, a.before, h, a.now, a.who.actor()); err != nil {
			return err
		}
	}
	if !a.doc.Test {
		if err := orderdb.ReplaceRequirements(a.ctx, a.tx, a.who.workshop, a.before, r.After.Bill.Version, r.needs); err != nil {
			return err
		}
	}
	a.doc, a.cat = r.After, r.Catalog
	if a.doc.Test {
		return nil
	}
	takes, err := load.Of(a.cat, r.Bill, a.doc.Promise)
	if err != nil {
		return conflict(sentence(err.Error()))
	}
	return a.loaded(takes)
}

// postDecline leaves the order as it is, and the proposal with its decision.
func (s *Server) postDecline(ctx context.Context, in *decideInput) (*acted, error) {
	const decline order.Act = "decline change"
	return s.actWith(ctx, in.OrderAct, decline, in.fingerprinted(), func(a *acting) (orderdb.Reply, error) {
		c, err := a.undecided(in.Change)
		if err != nil {
			return orderdb.Reply{}, err
		}
		at := s.set.Clock()
		if err := orderdb.Decide(a.ctx, a.tx, a.who.workshop, a.before.ID, in.Change, "declined", at, a.who.actor()); err != nil {
			return orderdb.Reply{}, err
		}
		c.Decision, c.DecidedAt, c.DecidedBy, a.reason = "declined", &at, a.who.actor(), in.Body.Reason
		if err := a.audit(decline, at); err != nil {
			return orderdb.Reply{}, err
		}
		return changeAnswer(http.StatusOK, a.before.Number, &c)
	})
}
