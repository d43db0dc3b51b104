package desk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"billwright/api"
	"billwright/catalog/calendar"
)

// entryView is the page of an order's entry, made of what was said so far.
type entryView struct {
	Said     said
	Title    string
	Rows     []entryRow
	Lines    []entryLine
	Settle   []unsettled
	Reckoned *reckoning
	Headline []headline
	Dealer   *dealerRow
	Revision int
	Form     string
	// Told is what became of the last act where it was not done.
	Told string
	Link string // where Told leads

	building *building
}

// entryRow is a row of the page. Only the open one lists its choices.
type entryRow struct {
	ID, Name string
	// No numbers the rows of a line, so that a reason can name the row that
	// blocks.
	No int
	// Mark is chosen, default, open, finding or none.
	Mark string
	// Value is what the field shows, Says what remains or where it came from.
	Value, Says string
	Amount      string
	Open, List  bool
	Unit        string
	Choices     []entryChoice
	Findings    []api.Finding
	Near        *nearOffer
	Group       string // begins a group of rows with this head
}

// MarkSays is the row's mark in a word, for who does not see it.
func (r entryRow) MarkSays() string {
	return map[string]string{"chosen": "chosen", "default": "default", "open": "to answer", "finding": "finding", "none": "may be left out"}[r.Mark]
}

// widest is how many letters the field beside the row's sentence shows whole.
const widest = 24

// Long tells whether the field needs the width of its sentence too, which then
// stands below it.
func (r entryRow) Long() bool {
	return r.ID == rowShipTo || r.ID == rowSidemark || r.ID == rowOverride || utf8.RuneCountInString(r.Value) > widest
}

type entryChoice struct {
	Value, Name, Says, Rule string
	Left, Now               bool
}

type entryLine struct {
	No      int
	Name    string
	Amount  string
	Current bool
	Waits   int
}

// unsettled is one thing that is left to settle.
type unsettled struct {
	Mark, Name, Says, Row string
	Line                  int
}

// nearOffer is the nearest that can be built, one key away.
type nearOffer struct {
	// Head is what it is where it is not the nearest that can be built.
	Head    string
	With    string
	Changes []change
	Says    string
	Set     string // the changes as the page takes them
}

// building is a view in the making.
type building struct {
	v        *visit
	s        said
	view     *entryView
	dealers  []dealerRow
	products []productRow
	offer    *lineOffer
	findings map[string][]api.Finding // of the order and of the line shown, by row
}

// entryOf makes the page of what was said.
func (v *visit) entryOf(s said) (*entryView, error) {
	b := &building{v: v, s: s}
	b.s.Line = max(0, min(s.Line, len(s.Asked.Lines)-1))
	b.view = &entryView{Form: v.formToken()}
	for _, step := range []func() error{b.lists, b.reckon, b.choices} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	b.build()
	return b.view, nil
}

// build makes the page of what was asked of the interface. Another open row
// makes another page of the same.
func (b *building) build() {
	v := b.view
	v.Rows, v.Lines, v.Settle = nil, nil, nil
	b.findings = map[string][]api.Finding{}
	for i := range v.Reckoned.Findings {
		f := &v.Reckoned.Findings[i]
		if f.Pointer == "/dealer" && f.Code == "missing" { // the page lists names, not codes
			f.Message = "Choose the dealer who orders from the list."
		}
		if line, row := rowOf(f.Pointer); line == max(b.s.Line, 0) {
			nameAllowed(f, b.offer.choicesOf(row))
		}
	}
	for _, f := range v.Reckoned.Findings {
		if line, row := rowOf(f.Pointer); line < 0 || line == max(b.s.Line, 0) {
			b.findings[row] = append(b.findings[row], f)
		}
	}
	b.headRows()
	b.lineRows()
	b.lines()
	b.settle()
	v.Said, v.building = b.s, b
	b.title()
}

func (b *building) lists() error {
	var dealers struct {
		Revision int         `json:"revision"`
		Rows     []dealerRow `json:"rows"`
	}
	if err := b.v.get("/v1/catalog/dealers", &dealers); err != nil {
		return err
	}
	b.dealers, b.view.Revision = dealers.Rows, dealers.Revision
	for i := range b.dealers {
		if b.dealers[i].Dealer == b.s.Asked.Dealer {
			b.view.Dealer = &b.dealers[i]
		}
	}
	var err error
	b.products, err = b.v.productsOf(dealers.Revision)
	return err
}

// productsOf lists the products of a revision, which never change.
func (v *visit) productsOf(revision int) ([]productRow, error) {
	if kept := v.desk.products.Load(); kept != nil && kept.revision == revision {
		return kept.rows, nil
	}
	var got struct {
		Revision int          `json:"revision"`
		Rows     []productRow `json:"rows"`
	}
	if err := v.get("/v1/catalog/products", &got); err != nil {
		return nil, err
	}
	v.desk.products.Store(&keptProducts{got.Revision, got.Rows})
	return got.Rows, nil
}

type keptProducts struct {
	revision int
	rows     []productRow
}

func (b *building) reckon() (err error) {
	b.view.Reckoned, err = b.v.reckon(b.s.Asked)
	if err != nil {
		return err
	}
	if b.view.Reckoned.Bill != nil {
		b.view.Headline = headlines(b.view.Reckoned.Bill)
	}
	return nil
}

// choices asks what may still be chosen on the line.
func (b *building) choices() error {
	l := b.line()
	if l == nil || l.Product == "" {
		return nil
	}
	var err error
	b.offer, err = b.v.offerBeside(*l)
	return err
}

// offerBeside asks what may still be chosen on a line; nil where the product is
// none. Beside a contradiction the lists are those without the picks that stand
// in it.
func (v *visit) offerBeside(l askedLine, keep ...string) (*lineOffer, error) {
	offer, _, err := v.offer(l, keep...)
	if err != nil || offer == nil || offer.Contradiction == nil {
		return offer, err
	}
	less := askedLine{Product: l.Product, Configuration: map[string]string{}}
	for name, text := range l.Configuration {
		if !slices.Contains(offer.Contradiction.Picks, name) {
			less.Configuration[name] = text
		}
	}
	without, _, err := v.offer(less)
	if err == nil && without != nil && without.Contradiction == nil {
		offer.Attributes = without.Attributes
	}
	return offer, err
}

func (b *building) line() *askedLine {
	if b.s.Line < 0 || b.s.Line >= len(b.s.Asked.Lines) {
		return nil
	}
	return &b.s.Asked.Lines[b.s.Line]
}

// add adds a row; what is found about it decides its mark.
func (b *building) add(r entryRow) {
	r.Findings = b.findings[r.ID]
	delete(b.findings, r.ID)
	if len(r.Findings) > 0 {
		if r.Mark != "open" {
			r.Mark = "finding"
		}
		r.Near = b.nearOf(r.Findings)
	}
	r.Open = r.ID == b.s.Row
	if !r.Open {
		r.Choices = nil
	}
	b.view.Rows = append(b.view.Rows, r)
}

// nearOf is the nearest that can be built that findings tell.
func (b *building) nearOf(findings []api.Finding) *nearOffer {
	for _, f := range findings {
		if len(f.NearestOrder) > 0 {
			var changes []change
			for _, c := range f.NearestOrder {
				changes = append(changes, change{c.Pointer, c.Value, c.LeaveOut, c.Says})
			}
			return near("", changes)
		}
		if len(f.Nearest) > 0 {
			_, row := rowOf(f.Pointer)
			return near("", []change{{Pointer: f.Pointer, Value: &f.Nearest[0], Says: nameOf(f.Nearest[0], b.offer.choicesOf(row))}})
		}
		if len(f.Ways) > 0 && f.Ways[0].Value != "" {
			return near("", []change{{Pointer: f.Ways[0].Pointer, Value: &f.Ways[0].Value, Says: f.Ways[0].Value}})
		}
	}
	return nil
}

func near(with string, changes []change) *nearOffer {
	n := &nearOffer{With: with, Changes: changes}
	var says []string
	var sets []string
	for _, c := range changes {
		says = append(says, c.Says)
		_, row := rowOf(c.Pointer)
		value := ""
		if c.Value != nil {
			value = *c.Value
		}
		sets = append(sets, row+"\n"+value)
	}
	n.Says, n.Set = strings.Join(says, "; "), strings.Join(sets, "\t")
	return n
}

func mark(said, needed bool) string {
	switch {
	case said:
		return "chosen"
	case needed:
		return "open"
	}
	return "none"
}

func (b *building) headRows() {
	a := &b.s.Asked
	dealer := entryRow{ID: rowDealer, Name: "Dealer", Mark: mark(a.Dealer != "", true), Value: a.Dealer, List: true, Group: "Order"}
	for _, d := range b.dealers {
		says := "terms " + d.Terms
		if d.CreditHold {
			says += "; on credit hold"
		}
		dealer.Choices = append(dealer.Choices, entryChoice{Value: d.Dealer, Name: d.Name, Says: says, Left: true, Now: d.Dealer == a.Dealer})
		if d.Dealer == a.Dealer {
			dealer.Value, dealer.Says = d.Name, says
		}
	}
	b.add(dealer)
	po := entryRow{ID: rowPO, Name: "PO number", Mark: mark(a.PO != "", true), Value: a.PO}
	if b.s.Under != "" {
		po.Says = "order " + b.s.Under + " is under it already; a second one needs a reason"
	}
	b.add(po)
	if b.s.Under != "" || a.Override != "" || len(b.findings[rowOverride]) > 0 || b.s.Row == rowOverride {
		b.add(entryRow{ID: rowOverride, Name: "Why a second order", Mark: mark(a.Override != "", b.s.Under == ""), Value: a.Override, Says: "under this PO number"})
	}
	b.add(entryRow{ID: rowSidemark, Name: "Sidemark", Mark: mark(a.Sidemark != "", false), Value: a.Sidemark})
	requested := entryRow{ID: rowRequested, Name: "Requested", Mark: mark(a.Requested != "", false), Value: a.Requested, Says: "a day, such as 12 feb"}
	if date, err := calendar.ParseDate(a.Requested); err == nil {
		requested.Says = day(date)
	}
	b.add(requested)
	shipTo := entryRow{ID: rowShipTo, Name: "Ship-to", Mark: mark(a.ShipTo != "", false), Value: a.ShipTo}
	if b.s.Usual != "" && a.ShipTo == "" && b.s.Row == rowShipTo { // F4 takes it where it is asked about, and nowhere else
		shipTo.Near = near("", []change{{Pointer: "/" + rowShipTo, Value: &b.s.Usual, Says: b.s.Usual}})
		shipTo.Near.Head = "As last time"
	}
	b.add(shipTo)
	complete := entryRow{ID: rowComplete, Name: "Ships complete", Mark: mark(a.ShipComplete, false), Value: yes(a.ShipComplete), List: true}
	if !a.ShipComplete {
		complete.Mark, complete.Says = "default", "default"
	}
	complete.Choices = []entryChoice{{Value: "no", Name: "No", Left: true, Now: !a.ShipComplete}, {Value: "yes", Name: "Yes", Says: "all lines together", Left: true, Now: a.ShipComplete}}
	b.add(complete)
}

func yes(on bool) string {
	if on {
		return "Yes"
	}
	return "No"
}

func (b *building) productRow(id, name, now string) entryRow {
	r := entryRow{ID: id, Name: name, Value: now, List: true}
	for _, p := range b.products {
		if p.Product == now {
			r.Value = p.Name
			r.Says = fmt.Sprintf("%d working days", p.LeadDays)
		}
		c := entryChoice{Value: p.Product, Name: p.Name, Says: fmt.Sprintf("%d working days", p.LeadDays), Left: true, Now: p.Product == now}
		if p.LastOrder != nil {
			c.Says += ", to be ordered until " + *p.LastOrder
		}
		r.Choices = append(r.Choices, c)
	}
	return r
}

func (b *building) lineRows() {
	l := b.line()
	if l == nil {
		l = &askedLine{}
	}
	product := b.productRow(rowProduct, "Product", l.Product)
	product.Mark, product.No, product.Group = mark(l.Product != "", true), 1, "Line "+strconv.Itoa(b.s.Line+1)
	if b.s.Line < 0 {
		product.Group = "Line 1"
	}
	if c := b.contradiction(); c != nil {
		product.Near = c
	}
	b.add(product)
	if l.Product == "" {
		return
	}
	b.attributeRows(l)
	for _, name := range b.wayRows(l) {
		r := entryRow{ID: way + name, Name: "Way of " + name, Mark: mark(l.Ways[name] != "", true), Value: l.Ways[name], List: true}
		for _, f := range b.findings[r.ID] {
			for _, w := range f.Ways {
				if w.Pointer == f.Pointer {
					r.Choices = append(r.Choices, entryChoice{Value: w.Value, Name: w.Value, Says: w.Says, Left: true})
				}
			}
		}
		b.add(r)
	}
	pieces := entryRow{ID: rowQuantity, Name: "Pieces", No: b.number() + 1, Mark: "chosen", Value: string(l.Quantity)}
	if l.Quantity == "" {
		pieces.Mark, pieces.Value, pieces.Says = "default", "1", "default"
	}
	if d := b.priced(); d != nil && d.Net != nil {
		pieces.Amount = money(*d.Net)
	}
	b.add(pieces)
	another := b.productRow(rowAnother, "Another line", "")
	another.Mark = "none"
	b.add(another)
}

// contradiction is the way out of picks that cannot stand together.
func (b *building) contradiction() *nearOffer {
	if b.offer == nil || b.offer.Contradiction == nil || len(b.offer.NearestOrder) == 0 {
		return nil
	}
	return near("", b.offer.NearestOrder)
}

func (b *building) number() int {
	n := 0
	for _, r := range b.view.Rows {
		n = max(n, r.No)
	}
	return n
}

// wayRows names the parts for which a way is chosen or to be chosen.
func (b *building) wayRows(l *askedLine) (names []string) {
	for row := range b.findings {
		if name, found := strings.CutPrefix(row, way); found {
			names = append(names, name)
		}
	}
	for name := range l.Ways {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
