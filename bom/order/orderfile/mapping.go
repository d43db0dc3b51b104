// Package orderfile reads orders out of files of rows: CSV or the rows of a
// spreadsheet. A mapping says how the file is written and which column holds
// what; nothing of that is guessed. It knows no catalog but that it is given, and
// stores nothing.
package orderfile

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Mapping says how a file of orders is written and which of its columns holds
// what.
type Mapping struct {
	// File is csv or xlsx.
	File string `yaml:"file"`
	// Encoding and Delimiter are of CSV: see Encodings and Delimiters.
	Encoding  string `yaml:"encoding"`
	Delimiter string `yaml:"delimiter"`
	// Sheet names the sheet of a workbook.
	Sheet string `yaml:"sheet"`
	// Decimal is the mark between whole and parts of sizes: . or ,
	Decimal *Said `yaml:"decimal"`
	// Unit is that of sizes which are written without one.
	Unit *Said `yaml:"unit"`
	// Dates is the form of dates: see DateForms.
	Dates string `yaml:"dates"`
	// Ignore are the columns that are left out on purpose.
	Ignore []string `yaml:"ignore"`

	Order         OrderFields        `yaml:"order"`
	Line          LineFields         `yaml:"line"`
	Configuration map[string]*Source `yaml:"configuration"`
}

// OrderFields say where the fields of an order stand. Rows with the same dealer
// and key are the lines of one order.
type OrderFields struct {
	// Key tells the orders apart; without it the purchase order number does.
	Key          *Source `yaml:"key"`
	Dealer       *Source `yaml:"dealer"`
	PO           *Source `yaml:"po"`
	Ordered      *Source `yaml:"ordered"`
	Sidemark     *Source `yaml:"sidemark"`
	ShipTo       *Source `yaml:"ship_to"`
	Requested    *Source `yaml:"requested"`
	ShipComplete *Source `yaml:"ship_complete"`
}

// LineFields say where the fields of a line stand.
type LineFields struct {
	Product  *Source `yaml:"product"`
	Quantity *Source `yaml:"quantity"`
}

// Source is where a field comes from: a column, or one value for the whole file.
// Written as a text alone it is a column.
type Source struct {
	Column string `yaml:"column"`
	Value  string `yaml:"value"`
	// Values give the code for what stands in the column; where there are any,
	// nothing else may stand there.
	Values map[string]string `yaml:"values"`
	// Unit and Decimal are of this column, instead of the file's.
	Unit    *Said `yaml:"unit"`
	Decimal *Said `yaml:"decimal"`
}

// Said is something declared: for the whole file, or by row in a column. Written
// as a text alone it is for the whole file.
type Said struct {
	Value  string            `yaml:"value"`
	Column string            `yaml:"column"`
	Values map[string]string `yaml:"values"`
}

// UnmarshalYAML reads the short form.
func (s *Source) UnmarshalYAML(node *yaml.Node) error {
	if node.Kind == yaml.ScalarNode {
		s.Column = node.Value
		return nil
	}
	type plain Source
	return strictly(node, (*plain)(s))
}

// UnmarshalYAML reads the short form.
func (s *Said) UnmarshalYAML(node *yaml.Node) error {
	if node.Kind == yaml.ScalarNode {
		s.Value = node.Value
		return nil
	}
	type plain Said
	return strictly(node, (*plain)(s))
}

// strictly decodes a map and refuses fields that are none, which the library
// forgets to do below a decoder of one's own.
func strictly(node *yaml.Node, into any) error {
	if node.Kind != yaml.MappingNode {
		return fmt.Errorf("line %d: write the name of a column, or column: or value: and what belongs to it", node.Line)
	}
	known := []string{"column", "value", "values", "unit", "decimal"}
	for i := 0; i < len(node.Content); i += 2 {
		if name := node.Content[i].Value; !slices.Contains(known, name) {
			return fmt.Errorf("line %d: there is no field %q here; it may be %s", node.Content[i].Line, name, strings.Join(known, ", "))
		}
	}
	return node.Decode(into)
}

// What a mapping may declare.
var (
	Files      = []string{"csv", "xlsx"}
	Encodings  = []string{"utf-8", "utf-16le", "utf-16be", "windows-1252", "iso-8859-1", "iso-8859-15"}
	Delimiters = []string{",", ";", "|", "tab"}
	Decimals   = []string{".", ","}
	Units      = []string{"in", "ft", "yd", "mm", "cm", "m"}
	DateForms  = []string{"year-month-day", "day.month.year", "day/month/year", "month/day/year", "sheet"}
)

// MaxMapping is the most bytes of a mapping.
const MaxMapping = 64 << 10

// ReadMapping reads a mapping. What is wrong with it comes back all at once, a
// sentence each.
func ReadMapping(text []byte) (*Mapping, []string) {
	if len(text) > MaxMapping {
		return nil, []string{fmt.Sprintf("The mapping has %d bytes; at most %d are read.", len(text), MaxMapping)}
	}
	m := &Mapping{}
	decoder := yaml.NewDecoder(strings.NewReader(string(text)))
	decoder.KnownFields(true)
	if err := decoder.Decode(m); err != nil {
		var many *yaml.TypeError
		if errors.As(err, &many) {
			return nil, many.Errors
		}
		return nil, []string{strings.TrimPrefix(err.Error(), "yaml: ")}
	}
	if faults := m.check(); len(faults) > 0 {
		return nil, faults
	}
	return m, nil
}

func (m *Mapping) check() (faults []string) {
	add := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	one := func(name, value string, of []string) {
		if !slices.Contains(of, value) {
			add("%s must be one of %s, not %q.", name, strings.Join(of, "  "), value)
		}
	}
	one("file", m.File, Files)
	if m.File == "csv" {
		one("encoding", m.Encoding, Encodings)
		one("delimiter", m.Delimiter, Delimiters)
		if m.Sheet != "" {
			add("sheet is of a workbook; leave it out for csv.")
		}
	}
	if m.File == "xlsx" && m.Encoding+m.Delimiter != "" {
		add("encoding and delimiter are of csv; leave them out for xlsx.")
	}
	if m.File == "xlsx" && m.Sheet == "" {
		add("sheet is missing: name the sheet that the orders stand in.")
	}
	said := func(name string, s *Said, of []string) {
		switch {
		case s == nil:
		case s.Value != "" && s.Column != "" || s.Value == "" && s.Column == "":
			add("%s needs either a value for the whole file or a column.", name)
		case s.Value != "":
			one(name, s.Value, of)
		default:
			for _, v := range slices.Sorted(maps.Values(s.Values)) {
				one(name+" (values)", v, of)
			}
		}
	}
	if m.Decimal == nil {
		add("decimal is missing: declare the mark in sizes, . or ,")
	}
	said("decimal", m.Decimal, Decimals)
	said("unit", m.Unit, Units)
	fields := m.fields()
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		f := fields[name]
		if f == nil {
			continue
		}
		if (f.Column == "") == (f.Value == "") {
			add("%s needs either a column or a value.", name)
		}
		said(name+": decimal", f.Decimal, Decimals)
		said(name+": unit", f.Unit, Units)
	}
	for _, name := range []string{"order.dealer", "order.po", "line.product", "line.quantity"} {
		if fields[name] == nil {
			add("%s is missing: name its column, or one value for the whole file.", name)
		}
	}
	dated := m.Order.Ordered != nil || m.Order.Requested != nil
	if dated || m.Dates != "" {
		one("dates", m.Dates, DateForms)
	}
	if m.Dates == "sheet" && m.File != "xlsx" {
		add("dates as cells of a sheet are in xlsx only.")
	}
	return faults
}

// fields are the fields by the names that they have in the mapping; what is not
// mapped is nil.
func (m *Mapping) fields() map[string]*Source {
	o := &m.Order
	fields := map[string]*Source{
		"order.key": o.Key, "order.dealer": o.Dealer, "order.po": o.PO, "order.ordered": o.Ordered, "order.sidemark": o.Sidemark,
		"order.ship_to": o.ShipTo, "order.requested": o.Requested, "order.ship_complete": o.ShipComplete,
		"line.product": m.Line.Product, "line.quantity": m.Line.Quantity,
	}
	for attribute, source := range m.Configuration {
		fields["configuration."+attribute] = source
	}
	return fields
}

// columns are the columns that the mapping names, sorted.
func (m *Mapping) columns() []string {
	named := map[string]bool{}
	add := func(said *Said) {
		if said != nil && said.Column != "" {
			named[said.Column] = true
		}
	}
	add(m.Unit)
	add(m.Decimal)
	for _, f := range m.fields() {
		if f == nil {
			continue
		}
		if f.Column != "" {
			named[f.Column] = true
		}
		add(f.Unit)
		add(f.Decimal)
	}
	return slices.Sorted(maps.Keys(named))
}
