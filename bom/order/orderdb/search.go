package orderdb

import (
	"encoding/json"
	"strings"
	"unicode"
	"unicode/utf8"

	"billwright/bom/order"
	"billwright/catalog"
)

// searchText is what a fragment is looked for in: the number with and without
// its hyphen, purchase order number, sidemark, dealer and products, folded, one
// to a line so that no fragment runs over from one to the next.
func searchText(o *order.Order) string {
	fields := make([]string, 0, 6+2*len(o.Lines))
	fields = append(fields, o.Number, strings.ReplaceAll(o.Number, "-", ""), o.PO, o.Sidemark, o.Dealer, o.DealerName)
	for i := range o.Lines {
		product := o.Lines[i].Config.Product
		fields = append(fields, product.Code, product.Name)
	}
	for i, field := range fields {
		fields[i] = fold(field)
	}
	return strings.Join(fields, "\n")
}

// fold takes case away and makes one space of each run of white space.
func fold(text string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(text, unicode.IsSpace), " "))
}

// findable tells whether a fragment can stand in a stored text at all;
// PostgreSQL refuses the others as text.
func findable(fragment string) bool {
	return utf8.ValidString(fragment) && !strings.Contains(fragment, "\x00")
}

// configuration is a line's settings as a JSON object of attribute and value,
// for where-used; the order's document has the entered texts and the defaults.
func configuration(config *catalog.Config) string {
	settings := make(map[string]string, len(config.Settings))
	for i := range config.Settings {
		s := &config.Settings[i]
		settings[s.Attribute.Code] = s.Value.String()
	}
	return texts(settings)
}

// texts is a map of texts as a JSON object; nothing is an empty one.
func texts(of map[string]string) string {
	if len(of) == 0 {
		return "{}"
	}
	text, err := json.Marshal(of)
	if err != nil { // a map of texts always can be written
		panic("orderdb: " + err.Error())
	}
	return string(text)
}
