// Package golden reckons the golden orders of a catalog: orders kept with it,
// each with figures that must come out. What comes out otherwise is what a new
// revision would change for the shop, the dealer or the buyer. The package is
// pure.
package golden

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/bom/order"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/source"
	"billwright/catalog/unit"
)

// Change is one expected figure that no longer comes out.
type Change struct {
	// Order is the golden order's name.
	Order string
	// Pos is where the figure is expected.
	Pos source.Pos
	// Figure is its address, such as "base/leg cut_length".
	Figure       string
	Was, Becomes string
	// Hint names the address that seems meant where there is no such figure.
	Hint string
}

// String is the change in one line, with its place.
func (c Change) String() string {
	text := fmt.Sprintf("%s: golden order %s: %s: was %s, becomes %s", c.Pos, c.Order, c.Figure, c.Was, c.Becomes)
	if c.Hint != "" {
		text += "; " + c.Hint
	}
	return text
}

// findings is the address of the codes with which an order is refused.
const findings = "findings"

// net is the address of the order's net price.
const net = "net"

// Run reckons every golden order of a catalog, at noon of its day in the
// plant's zone, and gives the expected figures that do not come out, in the
// order in which the catalog lists them.
func Run(cat *catalog.Catalog) []Change {
	var changes []Change
	for name, g := range cat.GoldenOrders.All() {
		figures, refused := reckon(cat, g)
		expected := false
		for address, want := range g.Expect.All() {
			expected = expected || address.Value == findings
			if refused != nil && address.Value != findings {
				continue // one line tells why nothing comes out
			}
			got, found := find(figures, address.Value)
			if found && same(address.Value, got, texts(want)) {
				continue
			}
			c := Change{Order: name.Value, Pos: address.Pos, Figure: address.Value, Was: shown(texts(want)), Becomes: "nothing"}
			if found {
				c.Becomes = becomes(address.Value, got, refused)
			} else {
				c.Hint = hint(figures, address.Value)
			}
			changes = append(changes, c)
		}
		if refused != nil && !expected {
			changes = append(changes, Change{Order: name.Value, Pos: name.Pos, Figure: findings, Was: "none", Becomes: sentences(refused)})
		}
	}
	return changes
}

// ErrNoOrder tells that a catalog has no golden order of that name.
var ErrNoOrder = errors.New("no such golden order")

// Expected is the expect block of a golden order as it would have to read for
// nothing to change: the figures it lists, those that are gone left out, or
// every figure where it lists none or can no longer be refused as it was.
// Errors: ErrNoOrder.
func Expected(cat *catalog.Catalog, name string) (string, error) {
	g, found := cat.GoldenOrders.Get(name)
	if !found {
		return "", fmt.Errorf("%w: %q", ErrNoOrder, name)
	}
	figures, _ := reckon(cat, g)
	kept := slices.DeleteFunc(slices.Clone(figures), func(f figure) bool {
		_, listed := g.Expect.Get(f.address)
		return !listed
	})
	if len(kept) == 0 {
		kept = figures
	}
	return block(kept), nil
}

// reckon gives the figures of a golden order in the order of its bill; of one
// that is refused, the codes of its findings.
func reckon(cat *catalog.Catalog, g *catalog.GoldenOrder) ([]figure, []catalog.Finding) {
	line := order.DraftLine{Product: g.Product.Value, Quantity: strconv.Itoa(g.Quantity)}
	for attribute, text := range g.Configuration.All() {
		line.Picks = append(line.Picks, catalog.Pick{Attribute: attribute.Value, Text: text.Value})
	}
	for path, way := range g.Ways.All() {
		if line.Ways == nil {
			line.Ways = map[string]string{}
		}
		line.Ways[path.Value] = way.Value
	}
	draft := &order.Draft{Dealer: g.Dealer.Value, PO: "golden", Lines: []order.DraftLine{line}}
	at, err := noon(cat, g.Day)
	if err != nil { // Read made sure of the zone
		return nil, []catalog.Finding{{Code: "calendar.zone", Message: err.Error()}}
	}
	o, refused := order.Reckon(cat, draft, at)
	if len(refused) > 0 {
		codes := make([]string, len(refused))
		for i := range refused {
			codes[i] = refused[i].Code
		}
		return []figure{{findings, codes}}, refused
	}
	figures, err := figuresOf(o)
	if err != nil {
		return nil, []catalog.Finding{{Code: "bill.unwritable", Message: err.Error()}}
	}
	return figures, nil
}

func noon(cat *catalog.Catalog, day calendar.Date) (time.Time, error) {
	zone, err := time.LoadLocation(cat.Days.Zone)
	if err != nil {
		return time.Time{}, err
	}
	return time.Date(day.Year, day.Month, day.Day, 12, 0, 0, 0, zone), nil
}

func texts(want source.OneOrMany[source.Text]) []string {
	list := make([]string, len(want))
	for i, text := range want {
		list[i] = text.Value
	}
	return list
}

// same compares lists as they stand, and findings in any order. A length may be
// written in any unit, and a sum of money without its last nought.
func same(address string, got, want []string) bool {
	if address == findings {
		return slices.Equal(slices.Sorted(slices.Values(got)), slices.Sorted(slices.Values(want)))
	}
	return slices.EqualFunc(got, want, func(a, b string) bool {
		if a == b {
			return true
		}
		if address == net {
			return equal(a, b, unit.ParseMoney)
		}
		return equal(a, b, unit.ParseLength)
	})
}

func equal[T comparable](a, b string, parse func(string) (T, error)) bool {
	x, err1 := parse(a)
	y, err2 := parse(b)
	return err1 == nil && err2 == nil && x == y
}

func becomes(address string, got []string, refused []catalog.Finding) string {
	if address == findings && refused != nil {
		return sentences(refused)
	}
	return shown(got)
}

func shown(list []string) string {
	if len(list) == 0 {
		return "none"
	}
	return strings.Join(list, ", ")
}

// sentences are findings with their codes, which is what expect lists.
func sentences(refused []catalog.Finding) string {
	all := make([]string, len(refused))
	for i, f := range refused {
		all[i] = f.Code + " (" + f.Message + ")"
	}
	return strings.Join(all, ", ")
}

func hint(figures []figure, address string) string {
	known := make([]string, len(figures))
	for i, f := range figures {
		known[i] = f.address
	}
	if near, found := source.Nearest(address, known); found {
		return fmt.Sprintf("the bill has no such figure; did you mean %q?", near)
	}
	// Of the same row, where the path is right and the field is not.
	path, _, _ := strings.Cut(address, " ")
	var row []string
	for _, one := range known {
		if field, found := strings.CutPrefix(one, path+" "); found {
			row = append(row, field)
		}
	}
	if len(row) > 0 {
		return fmt.Sprintf("the row %s has %s", path, strings.Join(row, ", "))
	}
	return "the bill has no such row"
}
