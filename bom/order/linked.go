package order

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/unit"
)

// The acts that make another order of one.
const (
	Copy     Act = "copy"
	Split    Act = "split"
	AskParts Act = "ask for parts"
	Remake   Act = "re-make"
)

// How an order is linked to the one that it came of.
const (
	RelationCopy   = "copy"
	RelationSplit  = "split"
	RelationParts  = "parts"
	RelationRemake = "re-make"
)

// Origin is the order that another came of, and how.
type Origin struct {
	Order    string `json:"order"`
	Relation string `json:"relation"`
	Reason   string `json:"reason,omitempty"`
}

// LineOrigin is the line that a linked line was taken from.
type LineOrigin struct {
	Line int `json:"line"`
	// Unit is the unit that is made again, or 0.
	Unit int `json:"unit,omitempty"`
	// Agreed says what the price is where it does not follow from the price list.
	Agreed string `json:"agreed,omitempty"`
}

// Taken is what linked orders that are still open take of a line.
type Taken struct {
	Line     int
	Unit     int
	Path     string
	Quantity int
}

// PartAsked asks for pieces of a part of a shipped line.
type PartAsked struct {
	Line     int
	Path     string
	Quantity int
}

// Charging says what a linked order costs: "" by the price list, "none", "full"
// for what the original line cost, or an amount for each unit.
type Charging struct {
	Word   string
	Amount unit.Money
}

// ParseCharging reads what is charged.
func ParseCharging(text string) (Charging, error) {
	switch text {
	case "", "none", "full":
		return Charging{Word: text}, nil
	}
	amount, err := unit.ParseMoney(text)
	if err != nil || amount < 0 {
		return Charging{}, fmt.Errorf("%s is no charge: write none, full or an amount such as 85.00", clip(text))
	}
	return Charging{"amount", amount}, nil
}

// price is what a unit of a linked line costs; nil leaves it to the price list.
func (c Charging) price(relation string, line *DocumentLine) *AgreedPrice {
	var nothing unit.Money
	switch c.Word {
	case "none":
		return &AgreedPrice{relation + ", not charged", &nothing}
	case "amount":
		return &AgreedPrice{relation + ", as agreed", &c.Amount}
	case "full":
		price := &AgreedPrice{relation + ", at the price of the original line", nil}
		if line.Price != nil {
			price.Unit = line.Price.NetUnit
		}
		return price
	}
	return nil
}

func (c Charging) said(relation string, line *DocumentLine) string {
	if p := c.price(relation, line); p != nil {
		return p.For
	}
	return ""
}

// Parts makes the draft of an order of replacement parts: each is the sub-tree of
// a shipped line, made by the catalog that the line was made by. More than was
// shipped, less what open orders take already, is refused. Errors: *OutOfOrder.
func (d *Document) Parts(cat *catalog.Catalog, asked []PartAsked, taken []Taken, charge Charging, reason string) (*Draft, []catalog.Finding, error) {
	if err := d.Allows(AskParts); err != nil {
		return nil, nil, err
	}
	draft := d.linked(cat, RelationParts, reason)
	var findings []catalog.Finding
	if len(asked) == 0 {
		findings = append(findings, catalog.Finding{Pointer: "/parts", Code: "parts.missing", Message: "Say which parts are needed."})
	}
	taken = slices.Clone(taken)
	for i, p := range asked {
		line, finding := d.part(cat, p, taken)
		if finding != nil {
			finding.Pointer = fmt.Sprintf("/parts/%d%s", i, finding.Pointer)
			findings = append(findings, *finding)
			continue
		}
		taken = append(taken, Taken{Line: p.Line, Path: p.Path, Quantity: p.Quantity})
		draft.Lines = append(draft.Lines, DraftLine{Number: i + 1, Product: line.Product, Quantity: strconv.Itoa(p.Quantity), Picks: line.picks(), Ways: line.Ways, Part: p.Path,
			Of: &LineOrigin{Line: p.Line, Agreed: charge.said(RelationParts, line)}, Agreed: charge.price(RelationParts, line)})
	}
	return draft, findings, nil
}

// chargeMinimum is the code of the charge up to the minimum of orders of parts.
const chargeMinimum = "parts.minimum"

// partsCharge charges an order of parts by the price list up to the catalog's
// minimum. Where a price was agreed, or is still to be quoted, nothing is added.
func (o *Order) partsCharge(cat *catalog.Catalog, draft *Draft) {
	agreed := func(l DraftLine) bool { return l.Agreed != nil || l.typed != nil }
	if o.Of == nil || o.Of.Relation != RelationParts || o.Net == nil || slices.ContainsFunc(draft.Lines, agreed) {
		return
	}
	if line, charged := cat.PartsCharge(*o.Net); charged {
		o.Charges = append(o.Charges, Charge{Code: chargeMinimum, For: line.For, Amount: line.List})
		*o.Net += line.List // which is the minimum
	}
}

// linked is the draft of an order that comes of this one.
func (d *Document) linked(cat *catalog.Catalog, relation, reason string) *Draft {
	day := d.checkedOn(cat)
	return &Draft{Dealer: d.Dealer, PO: d.PO, Sidemark: d.Sidemark, ShipTo: d.ShipTo, CheckedOn: &day, Of: &Origin{d.Number, relation, reason}}
}

func (d *Document) part(cat *catalog.Catalog, p PartAsked, taken []Taken) (*DocumentLine, *catalog.Finding) {
	refuse := func(pointer, code, format string, args ...any) (*DocumentLine, *catalog.Finding) {
		return nil, &catalog.Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)}
	}
	line := d.line(p.Line)
	if line == nil {
		return refuse("/line", "line.unknown", "%s.", (&NoSuchLine{p.Line, d.lineNumbers()}).Error())
	}
	config, findings := cat.Check(line.Product, line.picks(), d.checkedOn(cat))
	if config == nil {
		return refuse("/line", "line.unreadable", "Line %d can no longer be read under its own catalog: %s", p.Line, findings[0].Message)
	}
	each, finding := partPieces(bom.Parts(cat, config), line, p.Path)
	if finding != nil {
		return nil, finding
	}
	shipped := each * len(d.ShippedUnits(p.Line))
	before := 0
	for _, t := range taken {
		if t.Line == p.Line && t.Path == p.Path {
			before += t.Quantity
		}
	}
	switch {
	case shipped == 0:
		return refuse("/line", "line.not-shipped", "Nothing of line %d has shipped yet: what is spoiled in the shop is told as an event.", p.Line)
	case p.Quantity < 1:
		return refuse("/quantity", "quantity.unreadable", "The quantity %d is less than 1.", p.Quantity)
	case p.Quantity+before > shipped && before > 0:
		return refuse("/quantity", "quantity.too-many", "%d of %s have shipped with line %d, and %d of them are being replaced already.", shipped, p.Path, p.Line, before)
	case p.Quantity > shipped:
		return refuse("/quantity", "quantity.too-many", "%d of %s have shipped with line %d; more cannot be replaced.", shipped, p.Path, p.Line)
	}
	return line, nil
}

// partPieces is how many of a part a unit of a line has.
func partPieces(parts []bom.PartCount, line *DocumentLine, path string) (int, *catalog.Finding) {
	whole, each := 1, 0
	var known []string
	for _, p := range parts {
		if p.Path == line.Part {
			whole = p.Pieces
		}
		if line.Part != "" && p.Path != line.Part && !strings.HasPrefix(p.Path, line.Part+"/") {
			continue
		}
		known = append(known, p.Path)
		if p.Path == path {
			each = p.Pieces
		}
	}
	if each == 0 {
		return 0, &catalog.Finding{Pointer: "/path", Code: "path.unknown", Message: fmt.Sprintf("Line %d has no part %s.", line.Line, clip(path)), Allowed: known}
	}
	return each / whole, nil
}

// RemakeOf makes the draft of an order that makes a shipped unit again, by the
// catalog that it was made by: what was withdrawn since is still good. Errors:
// *OutOfOrder, *NoSuchLine, *NoSuchUnit.
func (d *Document) RemakeOf(cat *catalog.Catalog, number, unit int, taken []Taken, charge Charging, reason string) (*Draft, []catalog.Finding, error) {
	if err := d.Allows(Remake); err != nil {
		return nil, nil, err
	}
	line := d.line(number)
	if line == nil {
		return nil, nil, &NoSuchLine{number, d.lineNumbers()}
	}
	if unit < 1 || unit > line.Quantity {
		return nil, nil, &NoSuchUnit{number, unit, line.Quantity}
	}
	if !slices.Contains(d.ShippedUnits(number), unit) {
		return nil, []catalog.Finding{{Pointer: "/unit", Code: "unit.not-shipped", Message: fmt.Sprintf("Unit %d of line %d has not shipped yet: what is spoiled in the shop is told as an event.", unit, number)}}, nil
	}
	if slices.ContainsFunc(taken, func(t Taken) bool { return t.Line == number && t.Unit == unit }) {
		return nil, []catalog.Finding{{Pointer: "/unit", Code: "unit.twice", Message: fmt.Sprintf("Unit %d of line %d is being made again already.", unit, number)}}, nil
	}
	draft := d.linked(cat, RelationRemake, reason)
	draft.Lines = []DraftLine{{Number: 1, Product: line.Product, Quantity: "1", Picks: line.picks(), Ways: line.Ways, Part: line.Part,
		Of: &LineOrigin{Line: number, Unit: unit, Agreed: charge.said(RelationRemake, line)}, Agreed: charge.price(RelationRemake, line)}}
	return draft, nil, nil
}
