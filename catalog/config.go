package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/formula"
)

// Pick is one attribute as somebody entered it.
type Pick struct {
	Attribute string
	Text      string
}

// Config is one product with every asked attribute settled: picked or
// defaulted. It is made by Catalog.Check and is complete and valid.
type Config struct {
	Product  *Product
	Settings []Setting
	// Holds are those that what was picked calls for by itself.
	Holds []Hold
	day   calendar.Date
	env   []formula.Value
	plain []*Part // cushions of own material whose repeat is not known
}

// Setting is one settled attribute.
type Setting struct {
	Attribute *Attribute
	// Entered is the text as entered, kept for papers; empty when defaulted.
	Entered string
	Value   formula.Value
	// Name is the value as people read it: a choice's name, a length's text.
	Name      string
	Defaulted bool
	// Open tells that something unlisted was written for an open choice: it is
	// in Entered and Name, while Value is the listed value it is reckoned as.
	Open bool
}

// Env is the environment that the product's formulas are evaluated over. It is
// shared: callers must not change it.
func (c *Config) Env() []formula.Value { return c.env }

// Day is the plant's day that the order counts for.
func (c *Config) Day() calendar.Date { return c.day }

// Finding is one thing wrong with a configuration or an order. Pointer is the
// JSON pointer (RFC 6901) of the field within the line or the order.
type Finding struct {
	Pointer string `json:"pointer"`
	// Code is stable; Message is a sentence for people and may be reworded.
	Code    string   `json:"code"`
	Message string   `json:"message"`
	Allowed []string `json:"allowed,omitempty"`
	// Nearest is the nearest value that would do, where one is known.
	Nearest string `json:"nearest,omitempty"`
	// Ways are the ways out, each a value of a field of the order with which the
	// thing can be made after all.
	Ways []WayOut `json:"ways,omitempty"`
}

// WayOut is one way out of a finding: a value to write at a place of the order.
type WayOut struct {
	Pointer string `json:"pointer" doc:"JSON Pointer (RFC 6901) of the field to write."`
	Value   string `json:"value" doc:"What to write there."`
	Says    string `json:"says" doc:"What that comes to, for people."`
}
