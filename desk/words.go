package desk

import (
	"encoding/json"
	"html/template"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"billwright/bom/order"
	"billwright/catalog/calendar"
	"billwright/catalog/unit"
)

// words are the functions that templates write by.
func words(s *static) template.FuncMap {
	return template.FuncMap{
		"static": s.path, "day": day, "nearDay": nearDay, "number": func(n int64) string { return parted(strconv.FormatInt(n, 10)) }, "money": money, "plural": plural, "join": strings.Join, "stateSays": stateSays, "attributesSay": attributesSay, "dispositionSays": dispositionSays,
		"lower": strings.ToLower, "add": func(a, b int) int { return a + b },
		"list": func(values ...any) []any { return values },
		"asJSON": func(v any) (string, error) {
			text, err := json.Marshal(v)
			return string(text), err
		},
		"nearOf": func(n *nearOffer) any {
			return struct {
				Near *nearOffer
				Says string
			}{n, ""}
		},
		"shownLine": func(v *entryView) *pricedLine { return v.building.priced() },
	}
}

// day writes a date as people say it: Fri 29 Jan 2027.
func day(d calendar.Date) string {
	if !d.Valid() {
		return ""
	}
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Format("Mon 2 Jan 2006")
}

// moment writes an instant as the plant's clock tells it, and names the zone.
func (d *Desk) moment(t time.Time) string {
	return t.In(d.zone.Load()).Format("2 Jan 2006 15:04 MST")
}

// setClock takes the plant's zone; where it cannot be read the last one stands.
func (v *visit) setClock() {
	if zone, err := v.desk.set.API.Zone(v.Context(), v.desk.set.Workshop); err == nil {
		v.desk.zone.Store(zone)
	}
}

// money writes an amount with its thousands parted, a minus as wide as a plus.
func money(m unit.Money) string {
	return parted(m.String())
}

// parted parts the thousands of a number and gives it a minus as wide as a plus.
func parted(number string) string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign, number = "\u2212", number[1:]
	}
	whole, rest, point := strings.Cut(number, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if point {
		rest = "." + rest
	}
	return sign + whole + rest
}

// nearDay writes a day of these months: Tue 8 Dec.
func nearDay(d calendar.Date) string {
	if !d.Valid() {
		return ""
	}
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Format("Mon 2 Jan")
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// stateSays tells what comes next of an order in a state.
func stateSays(s order.State) string {
	switch s {
	case order.Drafted:
		return "not an order yet"
	case order.Quoted:
		return "holds until its last day"
	case order.Received:
		return "to be accepted"
	case order.Accepted:
		return "to be released to the shop"
	}
	return ""
}

// attributesSay names the attributes that a lock locks.
func attributesSay(o order.Document, l order.Locked) string {
	names := slices.Clone(l.Attributes)
	for i := range o.Lines {
		for _, s := range o.Lines[i].Configuration {
			if at := slices.Index(names, s.Attribute); at >= 0 && o.Lines[i].Line == l.Line {
				names[at] = s.Name
			}
		}
	}
	return strings.Join(names, ", ")
}

// dispositionSays tells what becomes of what was made.
func dispositionSays(disposition string) string {
	says := map[string]string{"keep": "kept in use", "recut": "cut again to the new size", "stock": "put in stock", "scrap": "scrapped", "charge": "charged to the dealer"}[disposition]
	if says == "" {
		return disposition
	}
	return says
}

// sortedKeys are the names in either of two maps.
func sortedKeys(a, b map[string]string) []string {
	all := maps.Clone(a)
	maps.Copy(all, b)
	return slices.Sorted(maps.Keys(all))
}
