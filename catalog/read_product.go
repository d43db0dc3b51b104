package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// productReading is the state of reading one product.
type productReading struct {
	r      *reading
	s      spot
	p      *Product
	known  *names
	scope  *productScope
	behind map[string][]int // name that formulas read -> attributes behind it, by index
	parts  map[string]*Part // by path
}

func (r *reading) products() {
	if r.cat.Products.Len() == 0 {
		r.spot("products").fault("the catalog has no products", "write at least one")
	}
	entries(r.spot("products"), r.cat.Products, func(s spot, code string, p *Product) {
		p.Code = code
		s = s.at(p.Pos)
		s.code("product", code)
		s.in("lead_days").days(p.LeadDays)
		one := productReading{
			r: r, s: s, p: p, known: r.names(formula.NewScope()), behind: map[string][]int{}, parts: map[string]*Part{},
			scope: &productScope{index: map[string]int{}, unit: r.cat.entryUnit()},
		}
		p.scope = one.scope
		s.withdrawal("products", code, p.LastOrder, p.Successor)
		r.declareTables(one.known)
		one.all()
	})
}

func (r *productReading) all() {
	before := len(r.r.faults)
	r.sample()
	r.attributes()
	r.properties()
	template := declareStandards(r.known.scope, r.r.own)
	r.askedWhen()
	r.defaults()
	r.figures()
	r.scope.template = r.known.scope.NewEnv()
	copy(r.scope.template, template)
	r.rules()
	r.openRules()
	r.partTree()
	r.cartons()
	if len(r.r.faults) == before && len(r.r.decoded) == 0 && !r.r.finishOnUnknown {
		r.defaultsTogether()
	}
}

// attributes declares every attribute that is sound in itself.
func (r *productReading) attributes() {
	s := r.s.in("attributes")
	entries(s, r.p.Attributes, func(s spot, name string, a *Attribute) {
		a.Code = name
		s = s.at(a.Pos)
		kind, ok := r.attribute(s, a)
		if !s.name(name) || !ok {
			r.known.breaks(name)
			return
		}
		declare := func() (int, error) { return r.known.scope.Declare(name, kind) }
		if a.Choose != nil {
			declare = func() (int, error) { return r.known.scope.DeclareChoice(name, a.codes()) }
		}
		slot, err := declare()
		if err != nil {
			s.fault(err.Error(), "")
			r.known.breaks(name)
			return
		}
		a.slot = slot
		r.scope.index[name] = slot
		r.scope.attributes = append(r.scope.attributes, a)
		r.behind[name] = []int{slot}
	})
}

// attribute checks an attribute by itself.
func (r *productReading) attribute(s spot, a *Attribute) (kind formula.Kind, ok bool) {
	given := []string{}
	for _, one := range []struct {
		name string
		is   bool
		kind formula.Kind
	}{
		{"choose", a.Choose != nil, formula.Text}, {"size", a.Size != nil, formula.Length},
		{"count", a.Count != nil, formula.Number}, {"write", a.Write != nil, formula.Text},
	} {
		if one.is {
			given, kind = append(given, one.name), one.kind
		}
	}
	if len(given) != 1 {
		s.exactly(given, []string{"choose", "size", "count", "write"})
		return 0, false
	}
	before := len(r.r.faults)
	switch {
	case a.Choose != nil:
		r.choose(s.in("choose"), a)
		if len(a.options) == 0 {
			return kind, false
		}
		if len(r.r.faults) > before {
			r.known.breaks(a.Code) // what it may be is not known in full
		}
		s.in("choose").open(a)
		return kind, true
	case a.Size != nil:
		s.in("size").size(a.Size)
	case a.Count != nil && s.in("count").unread():
		return kind, false
	case a.Count != nil:
		if a.Count.From < 0 || a.Count.To < a.Count.From {
			s.in("count").fault(fmt.Sprintf("from %d to %d is no range", a.Count.From, a.Count.To), "write 0 or more, and no less under to than under from")
		}
	case a.Write.Longest < 1 || a.Write.Longest > 2000:
		s.in("write").in("longest").fault(fmt.Sprintf("%d characters", a.Write.Longest), "write 1 to 2000")
	}
	return kind, len(r.r.faults) == before
}

// choose gathers the values of a choice.
func (r *productReading) choose(s spot, a *Attribute) {
	c := a.Choose
	add := func(o option) {
		if _, twice := a.byCode[o.Code]; !twice {
			a.byCode[o.Code] = len(a.options)
			a.options = append(a.options, o)
		}
	}
	a.byCode = map[string]int{}
	switch {
	case c.From == "" && c.Values.Len() == 0:
		s.exactly(nil, []string{"from", "values"})
	case c.From != "" && c.Values.Len() > 0:
		s.exactly([]string{"from", "values"}, []string{"from", "values"})
	case c.From == "":
		if len(c.Among) > 0 {
			s.in("among").fault("among picks from a table, and none is named", "name it under from")
		}
		for code, named := range c.Values.All() {
			s.in("values").in(code.Value).at(code.Pos).succession("value", code.Value, named.LastOrder, named.Successor, c.Values.Keys())
			add(option{Option: Option{Code: code.Value, Name: named.Name}, value: formula.TextOf(code.Value), last: named.LastOrder, successor: named.Successor})
		}
	case singular[c.From] != "" && len(c.Among) == 0 && r.r.whole[c.From] != nil:
		whole := r.r.whole[c.From]
		a.options, a.byCode = whole.options, whole.byCode
	case singular[c.From] != "" && len(c.Among) == 0:
		r.chooseAll(s, c, add)
		if len(a.options) > 0 {
			r.r.whole[c.From] = a
		}
	case singular[c.From] != "":
		r.chooseFrom(s, c, add)
	}
}

// chooseAll takes a whole table. Its options are made once and shared by all who
// choose from it: many products may choose from thousands of fabrics.
func (r *productReading) chooseAll(s spot, c *Choose, add func(option)) {
	codes := r.r.codes(c.From)
	if len(codes) == 0 {
		s.in("from").fault(fmt.Sprintf("the catalog has no %s to choose from", c.From), "")
	}
	for _, code := range codes {
		add(r.r.cat.item(c.From, code))
	}
}

func (r *productReading) chooseFrom(s spot, c *Choose, add func(option)) {
	codes := r.r.codes(c.From)
	if len(codes) == 0 {
		s.in("from").fault(fmt.Sprintf("the catalog has no %s to choose from", c.From), "")
		return
	}
	s = s.in("among")
	s.twice(values(c.Among))
	for _, code := range c.Among {
		if s.at(code.Pos).from(c.From, code.Value) {
			add(r.r.cat.item(c.From, code.Value))
		}
	}
}

// size checks that limits and standard sizes can be entered.
func (s spot) size(size *Size) {
	s.in("from").notBelow(size.From) // 0 in is a length to choose, such as no repeat
	s.in("to").above(size.To)
	s.in("step_inch").above(size.StepInch)
	s.in("step_metric").above(size.StepMM)
	if size.To < size.From {
		s.fault(fmt.Sprintf("from %s to %s is no range", size.From, size.To), "swap them")
		return
	}
	if size.StepInch <= 0 || size.StepMM <= 0 {
		return
	}
	s.in("from").onStep(size, size.From)
	s.in("to").onStep(size, size.To)
	for i, l := range size.Standard {
		s := s.in("standard").item(i)
		switch {
		case l < size.From || l > size.To:
			s.fault(fmt.Sprintf("the standard size %s is not from %s to %s", l, size.From, size.To), "")
		case slices.Contains(size.Standard[:i], l):
			s.fault(fmt.Sprintf("%s is listed twice", l), "leave one out")
		default:
			s.onStep(size, l)
		}
	}
}

func (s spot) onStep(size *Size, l unit.Length) {
	if l%size.StepInch != 0 && l%size.StepMM != 0 {
		s.fault(fmt.Sprintf("%s is on neither step, so that nobody can enter it", l), fmt.Sprintf("the steps are %s and %s mm", size.StepInch, size.StepMM.Millimetres()))
	}
}

// properties declares what formulas read of the items chosen from tables.
func (r *productReading) properties() {
	for _, a := range r.scope.attributes {
		if a.Choose == nil {
			continue
		}
		for i, property := range properties[a.Choose.From] {
			name := a.Code + "." + property.name
			slot := mustDeclare(r.known.scope, name, property.kind)
			if i == 0 {
				a.firstProperty = slot
			}
			r.behind[name] = []int{a.slot}
		}
		if a.Choose.Open != nil {
			name := a.Code + ".open"
			a.Choose.Open.slot = mustDeclare(r.known.scope, name, formula.Bool)
			r.behind[name] = []int{a.slot}
		}
		r.scope.withdraws = r.scope.withdraws || slices.ContainsFunc(a.options, func(o option) bool { return o.last != nil })
	}
}

// askedWhen compiles the conditions of attributes, which read what stands
// above them only: what is asked later is not known yet.
func (r *productReading) askedWhen() {
	defer func() { r.known.later = nil }()
	r.known.later = r.p.Figures.Keys()
	for i, a := range r.scope.attributes {
		s := r.s.in("attributes").in(a.Code).in("asked_when").at(a.Pos)
		if !r.known.compile(s, a.AskedWhen, formula.Bool) {
			continue
		}
		a.askedBy = r.reads(a.AskedWhen.compiled)
		for _, read := range a.askedBy {
			if read >= i {
				s.at(a.AskedWhen.Pos).fault(fmt.Sprintf("%s is not settled yet when %s is asked", r.scope.attributes[read].Code, a.Code),
					"a condition reads only the attributes above it")
			}
		}
	}
}

// defaults reads each default as if somebody had picked it.
func (r *productReading) defaults() {
	for _, a := range r.scope.attributes {
		if a.Default == nil {
			continue
		}
		entered, findings := a.enter(a.Default.Value, calendar.Date{})
		s := r.s.in("attributes").in(a.Code).in("default").at(a.Default.Pos)
		for _, f := range findings {
			hint := ""
			if f.Nearest != "" {
				hint = fmt.Sprintf("did you mean %q?", f.Nearest)
			}
			s.fault("as a default: "+strings.TrimSuffix(f.Message, "."), hint)
		}
		if entered.open {
			s.fault(fmt.Sprintf("the default %q is not listed", a.Default.Value), "a default is one of "+listed(a.codes()))
			continue
		}
		a.byDefault = entered
	}
}

// figures compiles the named formulas, each of which reads those above it.
func (r *productReading) figures() {
	later := r.p.Figures.Keys()
	defer func() { r.known.later = nil }()
	entries(r.s.in("figures"), r.p.Figures, func(s spot, name string, e *Expr) {
		r.known.later = later
		later = later[1:]
		if !r.figure(s, name, e) {
			r.known.breaks(name)
		}
	})
}

func (r *productReading) figure(s spot, name string, e *Expr) bool {
	if r.p.Attributes.Pos(name).Line > 0 {
		s.fault(fmt.Sprintf("%q is an attribute already", name), "choose another name")
		return false
	}
	sound := r.known.compile(s, e, 0)
	if !s.name(name) || !sound {
		return false
	}
	slot, err := r.known.scope.Declare(name, e.compiled.Kind())
	if err != nil {
		s.fault(err.Error(), "")
		return false
	}
	reads := r.reads(e.compiled)
	r.behind[name] = reads
	r.scope.figures = append(r.scope.figures, figure{name: name, formula: e.compiled, slot: slot, reads: reads})
	return true
}

// defaultsTogether checks that the defaults do not break a rule among
// themselves, which nobody could mend by picking nothing.
func (r *productReading) defaultsTogether() {
	_, findings := r.r.cat.check(r.p.Code, nil, calendar.Date{}, false)
	for _, f := range findings {
		if f.Code != codeDefaultClashes {
			continue
		}
		name := strings.TrimPrefix(f.Pointer, "/configuration/")
		a := r.scope.attributes[r.scope.index[name]]
		r.s.in("attributes").in(name).in("default").at(a.Default.Pos).fault("the defaults clash among themselves: "+f.Message, "")
	}
}
