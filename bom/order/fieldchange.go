package order

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"billwright/catalog"
	"billwright/catalog/calendar"
)

// FieldChange is a field of the order or of a line that is not what it was.
type FieldChange struct {
	// Line is 0 for the order itself.
	Line  int    `json:"line"`
	Field string `json:"field"`
	Was   string `json:"was"`
	Is    string `json:"is"`
}

// fieldsChanged lists what an order says otherwise, in the order of its fields
// and lines.
func fieldsChanged(was, is *Document) []FieldChange {
	var fields []FieldChange
	add := func(line int, field, a, b string) {
		if a != b {
			fields = append(fields, FieldChange{line, field, a, b})
		}
	}
	add(0, "catalog_revision", strconv.Itoa(was.Revision), strconv.Itoa(is.Revision))
	add(0, "substitutions", substitutionsText(was.Substitutions), substitutionsText(is.Substitutions))
	add(0, "sidemark", was.Sidemark, is.Sidemark)
	add(0, "ship_to", was.ShipTo, is.ShipTo)
	add(0, "requested", dayText(was.Requested), dayText(is.Requested))
	add(0, "agreed", was.agreedText(), is.agreedText())
	add(0, "ship_complete", strconv.FormatBool(was.ShipComplete), strconv.FormatBool(is.ShipComplete))
	for i := range was.Lines {
		old := &was.Lines[i]
		line := is.line(old.Line)
		if line == nil {
			add(old.Line, "product", old.Product, "")
			add(old.Line, "quantity", strconv.Itoa(old.Quantity), "0")
			continue
		}
		add(old.Line, "quantity", strconv.Itoa(old.Quantity), strconv.Itoa(line.Quantity))
		add(old.Line, "price", old.typedText(), line.typedText())
		for _, code := range settingCodes(old, line) {
			add(old.Line, code, old.setting(code), line.setting(code))
		}
		if !maps.Equal(old.Ways, line.Ways) {
			add(old.Line, "ways", fmt.Sprint(old.Ways), fmt.Sprint(line.Ways))
		}
	}
	for i := range is.Lines {
		line := &is.Lines[i]
		if was.line(line.Line) != nil {
			continue
		}
		add(line.Line, "product", "", line.Product)
		add(line.Line, "quantity", "0", strconv.Itoa(line.Quantity))
		add(line.Line, "price", "", line.typedText())
		for k := range line.Configuration {
			add(line.Line, line.Configuration[k].Attribute, "", line.Configuration[k].ValueName)
		}
	}
	return fields
}

func substitutionsText(list []catalog.Substitution) string {
	texts := make([]string, len(list))
	for i, s := range list {
		texts[i] = s.By + " for " + s.Item
	}
	return strings.Join(texts, ", ")
}

func dayText(d *calendar.Date) string {
	if d == nil {
		return ""
	}
	return d.String()
}

func settingCodes(lines ...*DocumentLine) (codes []string) {
	for _, l := range lines {
		for i := range l.Configuration {
			if code := l.Configuration[i].Attribute; !slices.Contains(codes, code) {
				codes = append(codes, code)
			}
		}
	}
	return codes
}

func (l *DocumentLine) setting(code string) string {
	for i := range l.Configuration {
		if s := &l.Configuration[i]; s.Attribute == code {
			return s.ValueName
		}
	}
	return ""
}
