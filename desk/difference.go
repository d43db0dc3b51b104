package desk

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/big"
	"strings"
	"time"

	"billwright/bom"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// differenceRow is one place where two versions differ: the difference stands
// between what was and what is.
type differenceRow struct {
	Group, Place, Was, By, Is string
}

// reckon makes the rows of a change, and the figures on top.
func (p *changePage) reckon() {
	group := func(name string, rows []differenceRow) {
		if len(rows) > 0 {
			rows[0].Group = name
		}
		p.Rows = append(p.Rows, rows...)
	}
	d := &p.Difference
	var fields, prices, bill, needs []differenceRow
	for _, f := range d.Fields {
		fields = append(fields, between(placeOf(f.Line, f.Field), f.Was, f.Is))
	}
	for _, one := range d.Price {
		if one.Line == 0 {
			p.Net = one
			continue
		}
		prices = append(prices, between(placeOf(one.Line, "net price"), moneyOr(one.Was), moneyOr(one.Is)))
	}
	for i := range d.Bill {
		bill = append(bill, billRows(&d.Bill[i])...)
	}
	p.Bill = len(d.Bill)
	for _, n := range d.Requirements {
		by := n.Amount.Text
		if by == "" {
			by = fmt.Sprint(n.Pieces)
		}
		if !strings.HasPrefix(by, "-") {
			by = "+" + by
		}
		needs = append(needs, differenceRow{Place: n.Week + " › " + n.Kind + " › " + n.Item + " › " + placeOf(n.Line, n.Path), By: minus(by)})
	}
	group("Order", fields)
	group("Price", prices)
	group("Bill", bill)
	group("Requirements", needs)
	if p.Net.Was != nil && p.Net.Is != nil {
		if by, err := p.Net.Is.Sub(*p.Net.Was); err == nil {
			p.NetBy = signed(money(by))
		}
	}
	if d.Promise != nil {
		p.Days = daysBetween(d.Promise.Was, d.Promise.Is)
	}
}

func daysBetween(a, b calendar.Date) int {
	at := func(d calendar.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }
	return int(at(b).Sub(at(a)).Hours() / 24)
}

func moneyOr(m *unit.Money) string {
	if m == nil {
		return ""
	}
	return m.String()
}

func placeOf(line int, what string) string {
	what = strings.ReplaceAll(strings.ReplaceAll(what, "/", " › "), "_", " ")
	if line == 0 {
		return what
	}
	return fmt.Sprintf("%d › %s", line, what)
}

// billRows tells a row of the bill by the fields that are otherwise, and one
// that is new or gone by its pieces.
func billRows(c *bom.RowChange) (rows []differenceRow) {
	place := placeOf(c.Line, c.Path)
	if c.Unit > 0 {
		place += fmt.Sprintf(", unit %d", c.Unit)
	}
	was, is := flatFields(c.Was), flatFields(c.Is)
	switch {
	case c.Was == nil:
		return []differenceRow{{Place: place + " (" + c.Part + ")", By: "new", Is: summary(is)}}
	case c.Is == nil:
		return []differenceRow{{Place: place + " (" + c.Part + ")", Was: summary(was), By: "gone"}}
	}
	for _, name := range sortedKeys(was, is) {
		if was[name] != is[name] {
			rows = append(rows, between(place+" › "+strings.ReplaceAll(name, "_", " "), was[name], is[name]))
		}
	}
	return rows
}

// flatFields are the plain values of a row, those within others by their path.
func flatFields(row json.RawMessage) map[string]string {
	flat := map[string]string{}
	if row == nil {
		return flat
	}
	decoder := json.NewDecoder(bytes.NewReader(row))
	decoder.UseNumber()
	var value any
	if decoder.Decode(&value) == nil {
		flatten(flat, "", value)
	}
	return flat
}

func flatten(into map[string]string, at string, value any) {
	join := func(name string) string {
		if at == "" {
			return name
		}
		return at + " " + name
	}
	switch value := value.(type) {
	case map[string]any:
		for name, one := range value {
			flatten(into, join(name), one)
		}
	case []any:
		for i, one := range value {
			flatten(into, join(fmt.Sprint(i+1)), one)
		}
	default:
		into[at] = fmt.Sprint(value)
	}
}

// summary tells a row that is new or gone in a few of its values.
func summary(row map[string]string) string {
	var parts []string
	if n := row["pieces"]; n != "" {
		parts = append(parts, n+" pieces")
	}
	for _, name := range []string{"name", "item", "cut_length", "coating", "work"} {
		if v := row[name]; v != "" {
			parts = append(parts, v)
		}
	}
	return strings.Join(parts, ", ")
}

// between holds two values against each other: by what they differ, where both
// are figures of one unit.
func between(place, was, is string) differenceRow {
	r := differenceRow{Place: place, Was: was, Is: is, By: "changed"}
	if was == "" {
		r.Was = "none"
	}
	if is == "" {
		r.Is = "none"
	}
	a, unitA, okA := figure(was)
	b, unitB, okB := figure(is)
	if okA && okB && unitA == unitB {
		by := new(big.Rat).Sub(b, a)
		r.By = signed(written(by, unitA, max(decimals(was), decimals(is))))
	}
	return r
}

// figure reads "36 1/2 in", "12.34 lb" or "4": the number, exact, and its unit.
func figure(text string) (*big.Rat, string, bool) {
	words := strings.Fields(text)
	sum, n := new(big.Rat), 0
	for ; n < len(words) && n < 2; n++ {
		part, ok := new(big.Rat).SetString(words[n])
		if !ok || n == 1 && !strings.Contains(words[n], "/") {
			break
		}
		sum.Add(sum, part)
	}
	return sum, strings.Join(words[n:], " "), n > 0 && len(words)-n <= 1
}

// written writes an exact figure as the shop does: inches in fractions, all else
// in as many decimals as the figures have that it is between.
func written(r *big.Rat, of string, digits int) string {
	whole := new(big.Int).Quo(r.Num(), r.Denom())
	rest := new(big.Rat).Sub(r, new(big.Rat).SetInt(whole))
	text := whole.String()
	switch {
	case of == "in" && rest.Sign() == 0:
	case of == "in":
		text = new(big.Rat).Abs(rest).RatString()
		if whole.Sign() != 0 {
			text = whole.String() + " " + text
		} else if r.Sign() < 0 {
			text = "-" + text
		}
	default:
		text = r.FloatString(digits)
	}
	if of != "" {
		text += " " + of
	}
	return text
}

// decimals are the digits behind the point of a figure.
func decimals(text string) int {
	word, _, _ := strings.Cut(text, " ")
	if _, behind, found := strings.Cut(word, "."); found {
		return len(behind)
	}
	return 0
}

func signed(text string) string {
	if strings.HasPrefix(text, "-") || strings.HasPrefix(text, "\u2212") {
		return minus(text)
	}
	return "+" + text
}

// minus is as wide as a plus.
func minus(text string) string {
	if rest, found := strings.CutPrefix(text, "-"); found {
		return "\u2212" + rest
	}
	return text
}
