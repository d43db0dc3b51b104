package order

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Draft is an order as somebody asked for it, before any check. Texts are kept
// as entered.
type Draft struct {
	Dealer       string
	PO           string
	Sidemark     string
	ShipTo       string
	Requested    string
	ShipComplete bool
	Lines        []DraftLine
	// Quote asks for a price that holds until the end of the day ValidUntil
	// instead of an order; it needs no purchase order number yet.
	Quote      bool
	ValidUntil string
	// CheckedOn is the day by which options and prices are judged where it is not
	// that of the order: a re-make is judged by the day of what it makes again.
	CheckedOn *calendar.Date
	// Of is the order that it is linked to.
	Of *Origin
	// Substitutions are those that it is exploded with; nil for those in force
	// with the catalog.
	Substitutions []catalog.Substitution
	// Role is the role of who asks; it decides who may type a price or agree a
	// ship date.
	Role string
	// Agreed is a ship date that was agreed, or nil.
	Agreed *AgreedEntry

	requested, validUntil *calendar.Date
	agreed                *Agreed // of Agreed, or agreed before
}

// DraftLine is a line as asked for. Quantity is text, so that 1.5, "two" and
// 1e9 are each told what is wrong with them.
type DraftLine struct {
	// Number is the line's number, or 0 for its place in the draft.
	Number   int
	Product  string
	Quantity string
	Picks    []catalog.Pick
	// Ways are the ways chosen for pieces longer than the bars on the rack, by
	// the path of the part: see bom.Ways.
	Ways map[string]string
	// Part is the path of the part that the line is of, or empty for the whole
	// product; Of is the line that it was taken from.
	Part string
	Of   *LineOrigin
	// Agreed is the price where it is not that of the price list.
	Agreed *AgreedPrice
	// Price is a net price that was typed in place of the list's, or nil.
	Price *PriceEntry

	quantity int
	typed    *TypedPrice // of Price, or typed before
}

// AgreedPrice is the net price of a unit that does not follow from the price
// list.
type AgreedPrice struct {
	For string
	// Unit is nil while it is to be quoted.
	Unit *unit.Money
}

// Limits of an order, stated in the interface's description.
const (
	MaxLines    = 200
	MaxQuantity = 999
	MaxPO       = 40
	MaxSidemark = 60
	MaxShipTo   = 300
	MaxReason   = 300
)

func (d *Draft) check(cat *catalog.Catalog) []catalog.Finding {
	var findings []catalog.Finding
	add := func(pointer, code, format string, args ...any) {
		findings = append(findings, catalog.Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)})
	}
	if !d.dealerKnown(cat) {
		findings = append(findings, unknownDealer(cat, d.Dealer))
	}
	if strings.TrimSpace(d.PO) == "" && !d.Quote {
		add("/po", "po.missing", "A purchase order number is needed: it guards against taking the same order twice.")
	}
	for _, text := range []struct {
		pointer, name, value string
		longest              int
		lines                bool
	}{{"/po", "purchase order number", d.PO, MaxPO, false}, {"/sidemark", "sidemark", d.Sidemark, MaxSidemark, false}, {"/ship_to", "ship-to", d.ShipTo, MaxShipTo, true}} {
		if finding := checkText(text.pointer, text.name, text.value, text.longest, text.lines); finding != nil {
			findings = append(findings, *finding)
		}
	}
	if d.Requested != "" {
		date, err := calendar.ParseDate(d.Requested)
		if err != nil {
			add("/requested", "date.unreadable", "The requested date %q is not a day: %v.", d.Requested, err)
		} else {
			d.requested = &date
		}
	}
	if len(d.Lines) == 0 {
		add("/lines", "lines.missing", "An order has at least one line.")
	}
	if len(d.Lines) > MaxLines {
		add("/lines", "lines.too-many", "%d lines; an order takes at most %d. Split it.", len(d.Lines), MaxLines)
	}
	for i := range d.Lines {
		line := &d.Lines[i]
		quantity, message := readQuantity(line.Quantity)
		if message != "" {
			add(fmt.Sprintf("/lines/%d/quantity", i), "quantity.unreadable", "%s", message)
		}
		line.quantity = quantity
	}
	return append(findings, d.checkPrices()...)
}

// checkQuote finds what is wrong with the last day of a quote that is given on a
// day.
func (d *Draft) checkQuote(day calendar.Date) []catalog.Finding {
	finding := catalog.Finding{Pointer: "/valid_until"}
	switch date, err := calendar.ParseDate(d.ValidUntil); {
	case !d.Quote && d.ValidUntil == "":
		return nil
	case !d.Quote:
		finding.Code, finding.Message = "quote.not", "Only a quote has a last day: leave valid_until out, or ask for a quote."
	case d.ValidUntil == "":
		finding.Code, finding.Message = "quote.no-end", "A quote needs the last day on which it holds, such as 2026-12-24."
	case err != nil:
		finding.Code, finding.Message = "date.unreadable", fmt.Sprintf("The last day %q is not a day: %v.", d.ValidUntil, err)
	case date.Before(day):
		finding.Code, finding.Message = "quote.ended", fmt.Sprintf("A quote until %s would have ended before today, %s.", date, day)
	default:
		d.validUntil = &date
		return nil
	}
	return []catalog.Finding{finding}
}

func (d *Draft) dealerKnown(cat *catalog.Catalog) bool {
	_, found := cat.Dealers.Get(d.Dealer)
	return found
}

func unknownDealer(cat *catalog.Catalog, code string) catalog.Finding {
	finding := catalog.Finding{Pointer: "/dealer", Code: "dealer.unknown", Message: fmt.Sprintf("There is no dealer %q in the catalog.", code)}
	if nearest, ok := source.Nearest(code, cat.Dealers.Keys()); ok {
		finding.Nearest = nearest
		finding.Message = fmt.Sprintf("There is no dealer %q in the catalog. Did you mean %s?", code, cat.DealerNamed(nearest))
	}
	return finding
}

func readQuantity(text string) (int, string) {
	n, err := strconv.ParseInt(text, 10, 64)
	switch {
	case text == "":
		return 0, "The quantity is missing: write a whole number from 1 to " + strconv.Itoa(MaxQuantity) + "."
	case err != nil:
		return 0, fmt.Sprintf("The quantity %s is not a whole number: write one from 1 to %d.", clip(text), MaxQuantity)
	case n < 1 || n > MaxQuantity:
		return 0, fmt.Sprintf("The quantity %d is outside 1 to %d.", n, MaxQuantity)
	}
	return int(n), ""
}

// checkText refuses what could not be printed as entered: control characters
// and text that is too long. Text of any script and direction is kept.
func checkText(pointer, name, value string, longest int, lines bool) *catalog.Finding {
	if !utf8.ValidString(value) {
		return &catalog.Finding{Pointer: pointer, Code: "text.not-utf8", Message: fmt.Sprintf("The %s is not valid UTF-8.", name)}
	}
	if n := utf8.RuneCountInString(value); n > longest {
		return &catalog.Finding{Pointer: pointer, Code: "text.long", Message: fmt.Sprintf("The %s has %d characters; at most %d are taken.", name, n, longest)}
	}
	for _, c := range value {
		if unicode.IsControl(c) && !(lines && c == '\n') || c == '\u2028' || c == '\u2029' {
			return &catalog.Finding{Pointer: pointer, Code: "text.control-characters", Message: fmt.Sprintf("The %s holds the control character U+%04X, which cannot be printed.", name, c)}
		}
	}
	return nil
}

func clip(text string) string {
	if len(text) > 40 {
		return strconv.Quote(strings.ToValidUTF8(text[:40], "") + "…")
	}
	return strconv.Quote(text)
}

// FoldPO folds a purchase order number for the guard against doubles: case and
// spaces do not tell two numbers apart.
func FoldPO(po string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsSpace(c) {
			return -1
		}
		return unicode.ToLower(c)
	}, po)
}
