package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/calendar"
	"billwright/catalog/source"
)

// after tells that a day lies after the last one on which something may be
// ordered.
func after(last *calendar.Date, day calendar.Date) bool { return last != nil && last.Before(day) }

// withdrawal checks what is said of a withdrawal of one entry of a table.
func (s spot) withdrawal(table, code string, last *calendar.Date, successor string) {
	s.succession(singular[table], code, last, successor, s.r.codes(table))
}

// succession checks a successor among the codes that it may have.
func (s spot) succession(what, code string, last *calendar.Date, successor string, known []string) {
	s = s.in("successor")
	switch {
	case successor == "":
	case last == nil:
		s.fault(fmt.Sprintf("%s takes the place of %s, which is not withdrawn", successor, code), "write the last day under last_order, or leave it out")
	case successor == code:
		s.fault(fmt.Sprintf("%s is to take its own place", code), "name another, or leave it out")
	default:
		s.known(what, successor, slices.DeleteFunc(slices.Clone(known), func(other string) bool { return other == code }))
	}
}

// withdrawn tells that an option may no longer be ordered on a day.
func (o *option) withdrawn(day calendar.Date) bool { return after(o.last, day) }

// successor is the option that takes the place of another on a day: its
// successor, or that one's, the first that may be ordered. There may be none.
func (a *Attribute) successor(i int, day calendar.Date) (int, bool) {
	for range a.options {
		next, found := a.find(a.options[i].successor)
		if !found {
			return 0, false
		}
		if !a.options[next].withdrawn(day) {
			return next, true
		}
		i = next
	}
	return 0, false // they go round in a ring
}

// codesOn are the codes that may be ordered on a day.
func (a *Attribute) codesOn(day calendar.Date) []string {
	codes := make([]string, 0, len(a.options))
	for i := range a.options {
		if !a.options[i].withdrawn(day) {
			codes = append(codes, a.options[i].Code)
		}
	}
	return codes
}

// gone is the finding that an option was picked, or is the default, after its
// last day.
func (a *Attribute) gone(i int, day calendar.Date, byDefault bool) Finding {
	o, codes := &a.options[i], a.codesOn(day)
	f := a.finding("choice.withdrawn", "%s %s could be ordered until %s", a.Name, o.Name, o.last)
	if byDefault {
		f.Message = fmt.Sprintf("%s was not picked, and its default, %s, could be ordered until %s", a.Name, o.Name, o.last)
	}
	f.Allowed = codes
	switch next, found := a.successor(i, day); {
	case found:
		f.Nearest = a.options[next].Code
		f.Message += fmt.Sprintf("; %s takes its place.", a.options[next].named())
	case len(codes) == 0:
		f.Message += ", and nothing is offered instead."
	default:
		f.Message += fmt.Sprintf("; take one of %s.", listed(a.namedOf(codes)))
	}
	return f
}

// withdrawnProduct is the finding that a product is ordered after its last day.
func (c *Catalog) withdrawnProduct(p *Product, day calendar.Date) Finding {
	f := Finding{Pointer: "/product", Code: "product.withdrawn", Message: fmt.Sprintf("%s could be ordered until %s", p.Name, p.LastOrder)}
	successor, found := c.Products.Get(p.Successor)
	for range c.Products.Len() { // a ring has no end
		if !found || !after(successor.LastOrder, day) {
			break
		}
		successor, found = c.Products.Get(successor.Successor)
	}
	if !found || after(successor.LastOrder, day) {
		f.Message += "."
		return f
	}
	f.Nearest = successor.Code
	f.Message += fmt.Sprintf("; %s takes its place.", WithCode(successor.Name, successor.Code))
	return f
}

// fixture is something a part is made of that was not picked: it is what it is,
// or follows from a formula.
type fixture struct {
	table string
	part  *Part
	whens []*Expr
	code  string
	text  *Expr // instead of code
}

// fixtures finds what was withdrawn and is still in a part of the
// configuration.
func (k *checking) fixtures(c *Catalog) {
	for i := range k.scope.fixtures {
		f := &k.scope.fixtures[i]
		if !existingParts(f.whens, k.out.env) {
			continue
		}
		code := f.code
		if f.text != nil {
			value, err := f.text.Eval(k.out.env)
			if err != nil {
				continue // the bill tells it
			}
			code = value.Text()
		}
		name, last, successor := c.entry(f.table, code)
		if !after(last, k.day) {
			continue
		}
		instead := "say what takes its place"
		if other := c.successorName(f.table, successor, k.day); other != "" {
			instead = "change it to " + other
		}
		says := fmt.Sprintf("%s of %s is made of %s, which could be ordered until %s: the workshop has to %s.", partName(f.part), k.product.Name, name, last, instead)
		k.findings = append(k.findings, Finding{Pointer: "/product", Code: "part.withdrawn", Message: says})
	}
}

// successorName is the name of the first of a table's entry, its successor and
// that one's that may be ordered on a day; empty where there is none.
func (c *Catalog) successorName(table, code string, day calendar.Date) string {
	for range 100 { // a ring has no end
		name, last, successor := c.entry(table, code)
		if name == "" || !after(last, day) {
			return name
		}
		code = successor
	}
	return ""
}

func partName(p *Part) string {
	if p.Name != "" {
		return p.Name
	}
	return p.Path
}

// entry is the name of a table's entry with its withdrawal; the name is empty
// for a code that is not there.
func (c *Catalog) entry(table, code string) (name string, last *calendar.Date, successor string) {
	switch table {
	case "sections":
		if x, found := c.Sections.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	case "species":
		if x, found := c.Species.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	case "glass":
		if x, found := c.Glass.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	case "stone":
		if x, found := c.Stone.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	case "wood_finishes":
		return finishEntry(c.WoodFinishes, code)
	case "metal_finishes":
		return finishEntry(c.MetalFinishes, code)
	case "fabrics":
		if x, found := c.Fabrics.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	case "hardware":
		if x, found := c.Hardware.Get(code); found {
			return x.Name, x.LastOrder, x.Successor
		}
	}
	return "", nil, ""
}

func finishEntry(finishes source.Map[*Finish], code string) (name string, last *calendar.Date, successor string) {
	x, found := finishes.Get(code)
	if !found {
		return "", nil, ""
	}
	return x.Name, x.LastOrder, x.Successor
}

// anyWithdrawn tells that an entry of a table has a last day, so that parts
// made of it must be looked at.
func (c *Catalog) anyWithdrawn(table string, codes []string) bool {
	for _, code := range codes {
		if _, last, _ := c.entry(table, code); last != nil {
			return true
		}
	}
	return false
}
