package catalog

import (
	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// productScope is a product made ready for checking: where each name of its
// formulas stands in an environment, and what is reckoned in which order.
//
// An environment has a slot for each attribute in order, then for each
// property of what an attribute chooses from a table, then for each standard
// that is a length or a plain number, then for each figure in order.
type productScope struct {
	unit       unit.EntryUnit // in which lengths are named that nobody entered
	attributes []*Attribute
	index      map[string]int // by attribute
	template   []formula.Value
	figures    []figure
	rules      []*rule
	ownCloths  []ownCloth
	fixtures   []fixture // of parts, of tables in which something is withdrawn
	withdraws  bool      // some option of it has a last day
	prices     *PriceList
}

// figure is a named formula of a product.
type figure struct {
	name    string
	formula *formula.Formula
	slot    int
	reads   []int // attributes that it depends on, by index
}

// Option is one value of an attribute that chooses.
type Option struct{ Code, Name string }

// option is an Option made ready for checking.
type option struct {
	Option
	value      formula.Value
	properties []formula.Value // unset where the item has none
	last       *calendar.Date  // on which it may be ordered; nil for one not withdrawn
	successor  string
}

// Options are the values that a choice may take, in the catalog's order; none
// for other attributes.
func (a *Attribute) Options() []Option {
	list := make([]Option, len(a.options))
	for i, o := range a.options {
		list[i] = o.Option
	}
	return list
}

// property is one thing that formulas may read of an item chosen from a table.
type property struct {
	name string
	kind formula.Kind
}

// properties by table.
var properties = map[string][]property{
	"glass":   {{"thickness", formula.Length}},
	"stone":   {{"thickness", formula.Length}},
	"fabrics": {{"usable_width", formula.Length}, {"repeat", formula.Length}},
}

// item is the option that stands for an entry of a table.
func (c *Catalog) item(table, code string) option {
	o := option{Option: Option{Code: code}, value: formula.TextOf(code)}
	switch table {
	case "species":
		x, _ := c.Species.Get(code)
		o.Name = x.Name
	case "wood_finishes":
		x, _ := c.WoodFinishes.Get(code)
		o.Name = x.Name
	case "metal_finishes":
		x, _ := c.MetalFinishes.Get(code)
		o.Name = x.Name
	case "hardware":
		x, _ := c.Hardware.Get(code)
		o.Name = x.Name
	case "glass":
		x, _ := c.Glass.Get(code)
		o.Name, o.properties = x.Name, []formula.Value{formula.LengthOf(x.Thickness)}
	case "stone":
		x, _ := c.Stone.Get(code)
		o.Name, o.properties = x.Name, []formula.Value{formula.LengthOf(x.Thickness)}
	case "fabrics":
		x, _ := c.Fabrics.Get(code)
		o.Name, o.properties = x.Name, make([]formula.Value, 2)
		switch {
		case x.Leather != nil:
			o.properties = []formula.Value{formula.LengthOf(x.Leather.Width), formula.LengthOf(0)}
		case x.Usable > 0: // of own material nothing is known before it is ordered
			o.properties = []formula.Value{formula.LengthOf(x.Usable), formula.LengthOf(x.Repeat)}
		}
	}
	_, o.last, o.successor = c.entry(table, code)
	return o
}

// fill writes an entry and what formulas may read of it into an environment.
func (a *Attribute) fill(env []formula.Value, e *entry) {
	env[a.slot] = e.value
	if a.firstProperty > 0 {
		copy(env[a.firstProperty:], a.options[e.chosen].properties)
	}
	if a.Choose != nil && a.Choose.Open != nil {
		env[a.Choose.Open.slot] = formula.BoolOf(e.open)
	}
}

// find is the index of a choice's value.
func (a *Attribute) find(code string) (int, bool) {
	i, found := a.byCode[code]
	return i, found
}

// names are the names of a scope, among which those that are faulty elsewhere.
func (r *reading) names(scope *formula.Scope) *names {
	known := &names{scope: scope}
	for _, name := range r.lacking {
		known.breaks(name)
	}
	return known
}

// declareStandards declares the standards and gives an environment in which
// they, and nothing else, are set.
func declareStandards(scope *formula.Scope, own []*ownStandard) []formula.Value {
	first := len(scope.NewEnv())
	for _, standard := range own {
		mustDeclare(scope, standard.name, standard.value.Kind())
	}
	template := scope.NewEnv()
	for i, standard := range own {
		template[first+i] = standard.value
	}
	return template
}

// mustDeclare declares a name that Read made sure of.
func mustDeclare(scope *formula.Scope, name string, kind formula.Kind) int {
	slot, err := scope.Declare(name, kind)
	if err != nil {
		panic("catalog: " + err.Error())
	}
	return slot
}
