package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// Typists are the roles that may type a price or agree a ship date.
var Typists = []string{"rep", "owner"}

// PriceEntry is a net price of one unit as somebody typed it in place of the
// list's, with the reason.
type PriceEntry struct{ Net, Reason string }

// AgreedEntry is a ship date as somebody agreed it with the dealer, with the
// reason.
type AgreedEntry struct{ Date, Reason string }

// TypedPrice is what the dealer pays for one unit because it was agreed so: no
// discount is taken off and no surcharge put on.
type TypedPrice struct {
	Net    unit.Money `json:"net"`
	Reason string     `json:"reason"`
	// By is the role of who typed it.
	By string `json:"by"`
}

// Agreed is a ship date that was agreed with the dealer. It is promised whatever
// lead times and holds come to.
type Agreed struct {
	Date   calendar.Date `json:"date"`
	Reason string        `json:"reason"`
	// By is the role of who agreed it.
	By string `json:"by"`
	// Reckoned is what lead times and holds came to when they were last reckoned.
	Reckoned calendar.Date `json:"reckoned"`
}

// Warning is something that people should know of an order, and that keeps
// nobody from taking it. Pointer is as of a Finding.
type Warning struct {
	Pointer string `json:"pointer,omitempty"`
	Code    string `json:"code"`
	Message string `json:"message"`
}

// The codes of warnings that are renewed when the order's promise is.
const (
	WarnAgreedEarly = "agreed.early"
	WarnLoadFull    = "load.full"
)

// mayType finds that a role may not type a price or agree a date.
func mayType(pointer, code, what, role string) []catalog.Finding {
	if slices.Contains(Typists, role) {
		return nil
	}
	return []catalog.Finding{{Pointer: pointer, Code: code, Message: fmt.Sprintf("Only a rep or the owner of the workshop may %s; leave it out.", what)}}
}

func checkReason(pointer, reason, why string) []catalog.Finding {
	if strings.TrimSpace(reason) == "" {
		return []catalog.Finding{{Pointer: pointer, Code: "reason.missing", Message: "Say why " + why + "."}}
	}
	if finding := checkText(pointer, "reason", reason, MaxReason, false); finding != nil {
		return []catalog.Finding{*finding}
	}
	return nil
}

// checkPrices reads the prices that were typed on lines.
func (d *Draft) checkPrices() (findings []catalog.Finding) {
	for i := range d.Lines {
		line, at := &d.Lines[i], fmt.Sprintf("/lines/%d/price", i)
		if line.Price == nil {
			continue
		}
		more := mayType(at, "price.right", "type a price", d.Role)
		more = append(more, checkReason(at+"/reason", line.Price.Reason, "this price and not the list's")...)
		net, err := unit.ParseMoney(line.Price.Net)
		switch {
		case err != nil:
			more = append(more, catalog.Finding{Pointer: at + "/net", Code: "price.unreadable", Message: fmt.Sprintf("The price %s cannot be read: %v.", clip(line.Price.Net), err)})
		case net < 0:
			more = append(more, catalog.Finding{Pointer: at + "/net", Code: "price.negative", Message: fmt.Sprintf("The price %s is less than zero.", net)})
		}
		if len(more) == 0 {
			line.typed = &TypedPrice{Net: net, Reason: strings.TrimSpace(line.Price.Reason), By: d.Role}
		}
		findings = append(findings, more...)
	}
	return findings
}

// checkAgreed reads the ship date that was agreed for an order that counts for a
// day.
func (d *Draft) checkAgreed(plant *calendar.Calendar, day calendar.Date) []catalog.Finding {
	if d.Agreed == nil {
		return nil
	}
	const at = "/agreed"
	findings := append(mayType(at, "agreed.right", "agree a ship date", d.Role), checkReason(at+"/reason", d.Agreed.Reason, "this ship date")...)
	date, err := calendar.ParseDate(d.Agreed.Date)
	if err != nil {
		return append(findings, catalog.Finding{Pointer: at + "/date", Code: "date.unreadable", Message: fmt.Sprintf("The agreed ship date %s is not a day: %v.", clip(d.Agreed.Date), err)})
	}
	if date.Before(day) {
		findings = append(findings, catalog.Finding{Pointer: at + "/date", Code: "agreed.past", Message: fmt.Sprintf("The agreed ship date %s is before %s, the day that the order counts for.", date, day)})
	} else if finding := closedDay(plant, date, at+"/date"); finding != nil {
		findings = append(findings, *finding)
	}
	if len(findings) == 0 {
		d.agreed = &Agreed{Date: date, Reason: strings.TrimSpace(d.Agreed.Reason), By: d.Role}
	}
	return findings
}

// closedDay finds that nothing ships on a day, and names the nearest days on
// which something does.
func closedDay(plant *calendar.Calendar, day calendar.Date, pointer string) *catalog.Finding {
	why, closed := plant.Closed(day)
	if !closed {
		return nil
	}
	f := &catalog.Finding{Pointer: pointer, Code: "agreed.closed", Message: fmt.Sprintf("Nothing ships on %s (%s).", day, why)}
	before, err1 := plant.AddWorkingDays(day, -1)
	after, err2 := plant.AddWorkingDays(day, 1)
	if err1 != nil || err2 != nil {
		return f
	}
	f.Message = fmt.Sprintf("Nothing ships on %s (%s): the nearest working days are %s and %s.", day, why, before, after)
	f.Allowed = []string{before.String(), after.String()}
	for n := 1; f.Nearest == ""; n++ { // the longest rest is bounded
		switch {
		case day.AddDays(-n) == before:
			f.Nearest = before.String()
		case day.AddDays(n) == after:
			f.Nearest = after.String()
		}
	}
	return f
}

// price reckons what the whole line comes to: its units at the typed price, or
// else by its quote, with surcharges. Errors: unit.ErrOverflow.
func (l *Line) price(typed *TypedPrice) error {
	quantity := max(l.Quantity, 1)
	switch {
	case typed != nil:
		net, err := typed.Net.Mul(int64(quantity))
		l.Typed, l.Net = typed, &net
		return err
	case l.Quote == nil || l.Quote.ToBeQuoted:
		return nil
	}
	whole, err := l.Quote.Whole(quantity)
	if err == nil {
		l.Net, l.Surcharges = &whole.Net, whole.Surcharges
	}
	return err
}

// agree lets an agreed ship date stand in the place of the promise that was
// reckoned, and keeps both.
func agree(a *Agreed, promise calendar.Date, warnings []Warning) (*Agreed, calendar.Date, []Warning) {
	warnings = Renewed(warnings, WarnAgreedEarly, nil)
	if a == nil {
		return nil, promise, warnings
	}
	agreed := *a
	agreed.Reckoned = promise
	if agreed.Date.Before(promise) {
		warnings = append(warnings, Warning{Pointer: "/agreed/date", Code: WarnAgreedEarly,
			Message: fmt.Sprintf("Agreed for %s; by lead times it would ship on %s.", agreed.Date, promise)})
	}
	return &agreed, agreed.Date, warnings
}

// Renewed is a list of warnings with those of a code replaced.
func Renewed(warnings []Warning, code string, by []Warning) []Warning {
	kept := slices.DeleteFunc(slices.Clone(warnings), func(w Warning) bool { return w.Code == code })
	return append(kept, by...)
}

// AgreedPassed tells that an order cannot be promised for the day that was agreed.
type AgreedPassed struct{ Agreed, Today calendar.Date }

func (e *AgreedPassed) Error() string {
	return fmt.Sprintf("the ship date %s was agreed and today is %s: agree another, or take it back, by a change of the order", e.Agreed, e.Today)
}

// agreedStands tells whether the ship date that was agreed, if any, is not past:
// nil, or *AgreedPassed.
func (d *Document) agreedStands(cat *catalog.Catalog, now time.Time) error {
	if today := cat.Calendar.DayOf(now); d.Agreed != nil && d.Agreed.Date.Before(today) {
		return &AgreedPassed{d.Agreed.Date, today}
	}
	return nil
}

// sameTyped tells that two prices were typed alike, or neither was.
func sameTyped(a, b *DocumentPrice) bool {
	was, is := (&DocumentLine{Price: a}).typed(), (&DocumentLine{Price: b}).typed()
	return was == is || was != nil && is != nil && *was == *is
}

// typedText is how a typed price is shown among the fields of an order.
func (l *DocumentLine) typedText() string {
	typed := l.typed()
	if typed == nil {
		return ""
	}
	return fmt.Sprintf("%s: %s", typed.Net, typed.Reason)
}

func (d *Document) agreedText() string {
	if d.Agreed == nil {
		return ""
	}
	return fmt.Sprintf("%s: %s", d.Agreed.Date, d.Agreed.Reason)
}

// typed is the price that was typed for a line, or nil.
func (l *DocumentLine) typed() *TypedPrice {
	if l.Price == nil {
		return nil
	}
	return l.Price.Typed
}

func later(a, b calendar.Date) calendar.Date {
	if b.After(a) {
		return b
	}
	return a
}
