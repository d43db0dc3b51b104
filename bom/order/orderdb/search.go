package orderdb

import (
	"encoding/json"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"billwright/bom/order"
	"billwright/catalog"
)

// searched is what an order is looked for by.
type searched struct {
	// text is what a fragment is looked for in: folded, one field to a line so
	// that no fragment runs over from one to the next. The first lines are those
	// of searchHead; products and fabrics follow by code and name.
	text string
	// products and fabrics are codes.
	products, fabrics []string
}

// The lines of the text that a field of their own is looked for in, from 1.
const (
	searchNumber   = 1
	searchPO       = 3
	searchSidemark = 4
)

// searchHead are the first lines of the text.
func searchHead(number, po, sidemark, dealer, dealerName string) []string {
	return []string{number, strings.ReplaceAll(number, "-", ""), po, sidemark, dealer, dealerName}
}

// searchedOf tells what an order is looked for by. Its fabrics are those that are
// picked, and those of its bill, where there is one.
func searchedOf(o *order.Order) searched {
	fields := searchHead(o.Number, o.PO, o.Sidemark, o.Dealer, o.DealerName)
	s := searched{products: []string{}, fabrics: []string{}}
	add := func(codes *[]string, code, name string) {
		if !slices.Contains(*codes, code) {
			*codes, fields = append(*codes, code), append(fields, code, name)
		}
	}
	for i := range o.Lines {
		config := o.Lines[i].Config
		add(&s.products, config.Product.Code, config.Product.Name)
		for k := range config.Settings {
			set := &config.Settings[k]
			if choose := set.Attribute.Choose; choose != nil && choose.From == "fabrics" {
				add(&s.fabrics, set.Value.String(), set.Name)
			}
			if set.Open {
				fields = append(fields, set.Entered)
			}
		}
	}
	if o.Bill != nil {
		for i := range o.Bill.Lines {
			for k := range o.Bill.Lines[i].Cloth {
				if code := o.Bill.Lines[i].Cloth[k].Cloth; !slices.Contains(s.fabrics, code) {
					s.fabrics, fields = append(s.fabrics, code), append(fields, code)
				}
			}
		}
	}
	for i, field := range fields {
		fields[i] = fold(field)
	}
	s.text = strings.Join(fields, "\n")
	return s
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
