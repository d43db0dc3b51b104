package api

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/go-json-experiment/json/jsontext"

	"billwright/bom/order"
	"billwright/catalog"
)

// The fields of an order are kept as written until the domain has seen the
// whole order: a number where a text belongs is then one finding among all
// others, and not a refusal that hides them.
type (
	textEntry     []byte
	flagEntry     []byte
	quantityEntry []byte
	choiceEntry   []byte
)

// orderRequest is the body of POST /v1/orders and POST /v1/checks.
type orderRequest struct {
	Dealer       textEntry     `json:"dealer" required:"false" doc:"Code of the dealer who orders. The workshop's own people name it; a dealer's key may leave it out."`
	PO           textEntry     `json:"po" required:"false" doc:"The dealer's purchase order number, 1 to 40 characters. An order needs it, a check does not. Case and spaces do not tell two numbers apart."`
	Sidemark     textEntry     `json:"sidemark" required:"false" doc:"The dealer's mark for his own customer or room, at most 60 characters."`
	ShipTo       textEntry     `json:"ship_to" required:"false" doc:"Where it goes, as printed on the label, at most 300 characters in several lines."`
	Requested    textEntry     `json:"requested" required:"false" doc:"Day the dealer asks for, such as 2026-11-25. It moves nothing."`
	ShipComplete flagEntry     `json:"ship_complete" required:"false" doc:"true when all lines must ship together."`
	Intent       textEntry     `json:"intent" required:"false" doc:"order, which it is without it; quote for a price that holds until valid_until; draft to keep it though something is missing."`
	ValidUntil   textEntry     `json:"valid_until" required:"false" doc:"Of a quote: last day on which it may be placed as it is, such as 2026-12-24."`
	Lines        []lineRequest `json:"lines" required:"false" maxItems:"200" doc:"What is ordered, 1 to 200 lines."`
	Agreed       *agreedEntry  `json:"agreed,omitempty" required:"false" doc:"Only from a rep or the owner: a ship date that was agreed with the dealer. It is promised, whatever the lead times."`
	POOverride   textEntry     `json:"po_override_reason" required:"false" doc:"Only from a rep or the owner: why a second order under this purchase order number is meant, at most 300 characters."`
}

type lineRequest struct {
	Product       textEntry              `json:"product" required:"false" doc:"Code of the product."`
	Quantity      quantityEntry          `json:"quantity" required:"false" doc:"How many, a whole number from 1 to 999."`
	Configuration map[string]choiceEntry `json:"configuration" required:"false" maxProperties:"100" doc:"Value by attribute: the code of a choice, a length with its unit such as 72 1/2 in, or text. A count may be a whole number. What is left out takes its default."`
	Price         *priceEntry            `json:"price,omitempty" required:"false" doc:"Only from a rep or the owner: a price typed in place of the list's."`
	Ways          map[string]textEntry   `json:"ways" required:"false" maxProperties:"100" doc:"How a piece of steel is made that is longer than the bars on the rack, by the path of the part: stock to order or splice. A check or an order that needs a choice is refused with what is offered."`
}

func entrySchema(s huma.Schema) *huma.Schema { return &s }

// Schema says what the entry should hold; the handler finds what it does not.
func (textEntry) Schema(huma.Registry) *huma.Schema {
	return entrySchema(huma.Schema{Type: huma.TypeString})
}

// Schema says what the entry should hold; the handler finds what it does not.
func (flagEntry) Schema(huma.Registry) *huma.Schema {
	return entrySchema(huma.Schema{Type: huma.TypeBoolean})
}

// Schema says what the entry should hold; the handler finds what it does not.
func (quantityEntry) Schema(huma.Registry) *huma.Schema {
	least, most := 1.0, float64(order.MaxQuantity)
	return entrySchema(huma.Schema{Type: huma.TypeInteger, Minimum: &least, Maximum: &most})
}

// Schema says what the entry should hold; the handler finds what it does not.
func (choiceEntry) Schema(huma.Registry) *huma.Schema {
	return entrySchema(huma.Schema{OneOf: []*huma.Schema{{Type: huma.TypeString}, {Type: huma.TypeInteger}}})
}

// fingerprint is the SHA-256 of everything the request says, told apart by
// field and kind: equal requests have equal ones however they are written.
func (r *orderRequest) fingerprint(who *principal) [sha256.Size]byte {
	said := sized(make([]byte, 0, 2<<10), "order 1 "+who.replayScope())
	for _, field := range [][]byte{r.Dealer, r.PO, r.Sidemark, r.ShipTo, r.Requested, r.ShipComplete, r.POOverride, r.Intent, r.ValidUntil} {
		said = canonical(said, field)
	}
	if r.Agreed != nil {
		said = canonical(canonical(append(said, 'a'), r.Agreed.Date), r.Agreed.Reason)
	}
	for i := range r.Lines {
		line := &r.Lines[i]
		said = canonical(canonical(append(said, 'l'), line.Product), line.Quantity)
		for _, attribute := range slices.Sorted(maps.Keys(line.Configuration)) {
			said = canonical(sized(append(said, 'c'), attribute), line.Configuration[attribute])
		}
		if line.Price != nil {
			said = canonical(canonical(append(said, 'p'), line.Price.Net), line.Price.Reason)
		}
		for _, path := range slices.Sorted(maps.Keys(line.Ways)) {
			said = canonical(sized(append(said, 'w'), path), line.Ways[path])
		}
	}
	return sha256.Sum256(said)
}

// canonical appends a JSON value: a text by what it says, whatever its escapes,
// anything else as written.
func canonical(said, raw []byte) []byte {
	if text, ok := unquote(raw); ok {
		return sized(append(said, '"'), text)
	}
	return sized(append(said, '0'), string(raw))
}

// sized appends a text behind its length, so that no two lists of texts run
// into the same bytes.
func sized(said []byte, text string) []byte {
	return append(binary.AppendUvarint(said, uint64(len(text))), text...)
}

// unquote gives the text of a JSON string, and whether raw is one.
func unquote(raw []byte) (string, bool) {
	if len(raw) < 2 || raw[0] != '"' {
		return "", false
	}
	if plain := raw[1 : len(raw)-1]; !slices.Contains(plain, '\\') {
		return string(plain), true
	}
	text, err := jsontext.AppendUnquote(nil, raw)
	return string(text), err == nil
}

// draft turns the request into the domain's draft, with findings for whatever
// is not of the kind that its field takes.
func (r *orderRequest) draft(who *principal, cat *catalog.Catalog) (*order.Draft, []catalog.Finding) {
	var e entries
	d := &order.Draft{
		Dealer: e.dealer(r.Dealer, who), PO: e.text("/po", r.PO), Sidemark: e.text("/sidemark", r.Sidemark),
		ShipTo: e.text("/ship_to", r.ShipTo), Requested: e.text("/requested", r.Requested),
		ShipComplete: e.flag("/ship_complete", r.ShipComplete), Lines: make([]order.DraftLine, len(r.Lines)),
		Quote: e.intent(r.Intent) == intentQuote, ValidUntil: e.text("/valid_until", r.ValidUntil),
		Role: who.role.String(),
	}
	if r.Agreed != nil {
		d.Agreed = &order.AgreedEntry{Date: e.text("/agreed/date", r.Agreed.Date), Reason: e.text("/agreed/reason", r.Agreed.Reason)}
	}
	for i := range r.Lines {
		asked, at := &r.Lines[i], "/lines/"+strconv.Itoa(i)
		line := &d.Lines[i]
		line.Product = e.text(at+"/product", asked.Product)
		line.Quantity = e.quantity(at+"/quantity", asked.Quantity)
		product, _ := cat.Products.Get(line.Product)
		// Sorted, so that findings about unknown attributes keep their order.
		for _, attribute := range slices.Sorted(maps.Keys(asked.Configuration)) {
			pointer := at + "/configuration/" + escapePointer(attribute)
			if text, ok := e.choice(pointer, asked.Configuration[attribute], attributeOf(product, attribute)); ok {
				line.Picks = append(line.Picks, catalog.Pick{Attribute: attribute, Text: text})
			}
		}
		line.Ways = e.ways(at+"/ways/", asked.Ways)
		if asked.Price != nil {
			line.Price = &order.PriceEntry{Net: e.text(at+"/price/net", asked.Price.Net), Reason: e.text(at+"/price/reason", asked.Price.Reason)}
		}
	}
	return d, e.findings
}

func attributeOf(product *catalog.Product, code string) *catalog.Attribute {
	if product == nil {
		return nil
	}
	attribute, _ := product.Attributes.Get(code)
	return attribute
}

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

func escapePointer(token string) string { return pointerEscapes.Replace(token) }

// entries reads entries and gathers what is wrong with their kind.
type entries struct{ findings []catalog.Finding }

func (e *entries) add(pointer, code, format string, args ...any) {
	e.findings = append(e.findings, catalog.Finding{Pointer: pointer, Code: code, Message: fmt.Sprintf(format, args...)})
}

// kindOf names the kind of a JSON value for people.
func kindOf(raw []byte) string { return kindNames[jsontext.Value(raw).Kind()] }

func (e *entries) text(pointer string, raw []byte) string {
	if raw == nil {
		return ""
	}
	text, ok := unquote(raw)
	switch {
	case ok:
	case raw[0] == 'n':
		e.add(pointer, codeNull, "This field cannot be null; leave it out or give it a value.")
	default:
		e.add(pointer, codeType, "This must be a string, not %s.", kindOf(raw))
	}
	return text
}

// ways reads the ways chosen on a line; nil where none is.
func (e *entries) ways(at string, asked map[string]textEntry) map[string]string {
	if len(asked) == 0 {
		return nil
	}
	ways := make(map[string]string, len(asked))
	for _, path := range slices.Sorted(maps.Keys(asked)) {
		ways[path] = e.text(at+escapePointer(path), asked[path])
	}
	return ways
}

func (e *entries) flag(pointer string, raw []byte) bool {
	if raw != nil && raw[0] != 't' && raw[0] != 'f' {
		e.add(pointer, codeType, "This must be true or false, not %s.", kindOf(raw))
	}
	return raw != nil && raw[0] == 't'
}

// What a post is meant to become.
const (
	intentOrder = "order"
	intentQuote = "quote"
	intentDraft = "draft"
)

func (e *entries) intent(raw []byte) string {
	switch word := e.text("/intent", raw); word {
	case "", intentOrder:
		return intentOrder
	case intentQuote, intentDraft:
		return word
	default:
		e.findings = append(e.findings, catalog.Finding{Pointer: "/intent", Code: "intent.unknown",
			Message: fmt.Sprintf("The intent %s is none: it is order, quote or draft.", quoteShort(word)), Allowed: []string{intentOrder, intentQuote, intentDraft}})
		return intentOrder
	}
}

// isDraft tells whether the request is to be kept as a draft.
func (r *orderRequest) isDraft() bool {
	word, _ := unquote(r.Intent)
	return word == intentDraft
}

// quantity gives a number's text to the domain. A quantity in quotes is refused
// even when it is whole: whoever quotes it has lost its kind, and the next one
// is "2 pcs". In its place the line is checked as if for one.
func (e *entries) quantity(pointer string, raw []byte) string {
	switch {
	case raw == nil || jsontext.Value(raw).Kind() == '0':
		return string(raw)
	case raw[0] == '"':
		text, _ := unquote(raw)
		e.add(pointer, codeType, "The quantity %s is text: write a whole number from 1 to %d without quotes.", quoteShort(text), order.MaxQuantity)
	default:
		e.add(pointer, codeType, "The quantity must be a whole number from 1 to %d, not %s.", order.MaxQuantity, kindOf(raw))
	}
	return "1"
}

// choice gives the text picked for an attribute, which may be nil where there
// is no such attribute. A bare number will do for a count only: a length needs
// its unit.
func (e *entries) choice(pointer string, raw []byte, attribute *catalog.Attribute) (string, bool) {
	if text, ok := unquote(raw); ok {
		return text, true
	}
	isNumber := jsontext.Value(raw).Kind() == '0'
	switch {
	case isNumber && (attribute == nil || attribute.Count != nil):
		return string(raw), true
	case isNumber && attribute.Size != nil:
		e.add(pointer, "length.no-unit", `A length needs its unit: write "%s in" or "%s mm", with the quotes.`, clipNumber(raw), clipNumber(raw))
	case raw[0] == 'n':
		e.add(pointer, codeNull, "This field cannot be null; leave it out or give it a value.")
	default:
		e.add(pointer, codeType, "This must be a string, not %s.", kindOf(raw))
	}
	return "", false
}

func clipNumber(raw []byte) string { return string(raw[:min(len(raw), 20)]) }

// dealer settles who orders: a dealer's key its own dealer, the workshop's
// people whom they name.
func (e *entries) dealer(raw []byte, who *principal) string {
	named := e.text("/dealer", raw)
	if who.dealer == "" {
		if raw == nil {
			e.add("/dealer", codeMissing, "Name the dealer who orders by his code.")
		}
		return named
	}
	if raw != nil && named != "" && named != who.dealer {
		e.add("/dealer", "dealer.other", "This key orders for %q only; leave the dealer out.", who.dealer)
	}
	return who.dealer
}

// together joins the findings about kinds with the domain's, leaving out what
// the domain says of a field that is already at fault, or of what is within it.
func together(entered, domain []catalog.Finding) []catalog.Finding {
	all := slices.Clone(entered)
	for _, finding := range domain {
		if !slices.ContainsFunc(entered, func(known catalog.Finding) bool {
			return finding.Pointer == known.Pointer || strings.HasPrefix(finding.Pointer, known.Pointer+"/")
		}) {
			all = append(all, finding)
		}
	}
	slices.SortStableFunc(all, func(a, b catalog.Finding) int { return cmp.Compare(lineOf(a.Pointer), lineOf(b.Pointer)) })
	return all
}

// lineOf is the place of the line that a pointer lies in, or -1 for one of the
// order itself, which comes first.
func lineOf(pointer string) int {
	rest, within := strings.CutPrefix(pointer, "/lines/")
	text, _, _ := strings.Cut(rest, "/")
	n, err := strconv.Atoi(text)
	if !within || err != nil {
		return -1
	}
	return n
}

// shown turns the domain's findings into those of a reply, at most maxFindings.
func shown(findings []catalog.Finding) []Finding {
	all := make([]Finding, 0, len(findings))
	for _, f := range findings[:min(len(findings), maxFindings)] {
		one := Finding{Pointer: f.Pointer, Code: f.Code, Message: f.Message, Allowed: f.Allowed, Ways: f.Ways}
		if f.Nearest != "" {
			one.Nearest = []string{f.Nearest}
		}
		all = append(all, one)
	}
	return all
}
