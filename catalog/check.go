package catalog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/calendar"
	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// The codes of findings that are asked for elsewhere.
const (
	codeRuleBroken     = "rule.broken"
	codeDefaultClashes = "default.clashes"
	codeNoJig          = "bend.no-jig"
)

// mostPicks bounds what is looked at: no product has as many attributes.
const mostPicks = 1000

// Check settles a product's attributes by what was picked and by defaults, for
// an order that counts for a day of the plant. It gives either a Config, complete and valid, or every finding at once: an
// unknown product; unknown attributes in the order given; what is wrong with
// each attribute, in the product's order; broken rules in theirs. Nothing is
// ever filled in or changed silently: a default is marked, and one that
// clashes with the picks is a finding.
//
// An attribute whose asked_when does not hold, or reads one that is not asked,
// is not asked itself and has no setting. Where it hangs on something that is
// itself wrong, nothing is said about it; nor do rules speak of what is wrong
// already.
//
// Rules are judged by the product's rule base, and by their formulas where they
// could not be made part of it (see MayStillRefuse).
func (c *Catalog) Check(product string, picks []Pick, day calendar.Date) (*Config, []Finding) {
	return c.check(product, picks, day, true)
}

// check is Check, by the rule base or by formulas alone, which a catalog that is
// still being read has.
func (c *Catalog) check(product string, picks []Pick, day calendar.Date, byBase bool) (*Config, []Finding) {
	p, found := c.Products.Get(product)
	switch {
	case !found:
		return nil, []Finding{c.unknownProduct(product, day)}
	case len(picks) > mostPicks:
		return nil, []Finding{tooMany(len(picks))}
	}
	k := checking{product: p, scope: p.scope, day: day}
	if byBase {
		k.judge = c.ready.product(p).judge(p)
	}
	if after(p.LastOrder, day) {
		k.findings = append(k.findings, c.withdrawnProduct(p, day))
	}
	k.read(picks)
	k.out.settle(p.scope, k.entries, k.judge)
	k.out.dropEchoes(p.scope)
	k.report()
	if len(k.findings) == 0 {
		k.fixtures(c)
	}
	if len(k.findings) > 0 {
		return nil, k.findings
	}
	return k.config(c), nil
}

func tooMany(picks int) Finding {
	return Finding{Pointer: "/configuration", Code: "configuration.too-many", Message: fmt.Sprintf("%d picks are more than the %d that are looked at.", picks, mostPicks)}
}

// checking is the state of one Check.
type checking struct {
	product  *Product
	scope    *productScope
	day      calendar.Date
	judge    *judge            // nil to judge by formulas alone
	entries  []entry           // by attribute
	refused  map[int][]Finding // what is wrong with an entry, by attribute
	out      outcome
	findings []Finding
	changes  map[int][]change // tried so far, by attribute
}

// read sorts the picks by attribute and reads each.
func (k *checking) read(picks []Pick) {
	k.entries = make([]entry, len(k.scope.attributes))
	for _, pick := range picks {
		i, known := k.scope.index[pick.Attribute]
		switch {
		case !known:
			k.findings = append(k.findings, k.unknownAttribute(pick.Attribute))
			continue
		case k.entries[i].given:
			a := k.scope.attributes[i]
			k.refuse(i, a.finding("attribute.twice", "%s is picked twice, as %s and as %s: leave one out.", a.Name, quoted(k.entries[i].text), quoted(pick.Text)))
			continue
		}
		read, findings := k.scope.attributes[i].enter(pick.Text, k.day)
		k.entries[i] = read
		if len(findings) > 0 {
			k.refuse(i, findings...)
		}
	}
	if !k.scope.withdraws {
		return
	}
	for i, a := range k.scope.attributes {
		byDefault := &a.byDefault
		k.entries[i].stale = !k.entries[i].given && byDefault.sound && a.Choose != nil && a.options[byDefault.chosen].withdrawn(k.day)
	}
}

func (k *checking) refuse(i int, findings ...Finding) {
	if k.refused == nil {
		k.refused = map[int][]Finding{}
	}
	k.refused[i] = append(k.refused[i], findings...)
	k.entries[i].sound = false
}

// report turns the outcome into findings.
func (k *checking) report() {
	for i, a := range k.scope.attributes {
		given := k.entries[i].given
		switch state := k.out.states[i]; {
		case state == notAsked && given:
			k.findings = append(k.findings, a.finding("attribute.not-asked", "%s is not asked here: it is asked only when %s.", a.Name, k.scope.condition(a.AskedWhen)))
		case state == missing && k.entries[i].stale:
			k.findings = append(k.findings, a.gone(a.byDefault.chosen, k.day, true))
		case state == missing:
			k.findings = append(k.findings, a.missing(k.day, k.scope.unit))
		case state == faulty, state == unclear && given:
			k.findings = append(k.findings, k.refused[i]...)
		}
	}
	k.findings = append(k.findings, k.out.failures...)
	for _, r := range k.out.broken {
		k.findings = append(k.findings, k.brokenRule(r))
	}
}

// config gathers the settings; all is well when it is called.
func (k *checking) config(c *Catalog) *Config {
	made := &Config{Product: k.product, Settings: make([]Setting, 0, len(k.scope.attributes)), day: k.day, env: k.out.env}
	for i, a := range k.scope.attributes {
		e := &k.entries[i]
		switch k.out.states[i] {
		case settled:
			made.Settings = append(made.Settings, Setting{Attribute: a, Entered: e.text, Value: e.value, Name: a.name(e, k.scope.unit), Open: e.open})
			if e.open {
				made.Holds = append(made.Holds, a.openHold(e.text))
			}
		case defaulted:
			made.Settings = append(made.Settings, Setting{Attribute: a, Value: a.byDefault.value, Name: a.name(&a.byDefault, k.scope.unit), Defaulted: true})
		}
	}
	k.unknownRepeats(c, made)
	return made
}

func (c *Catalog) unknownProduct(code string, day calendar.Date) Finding {
	const most = 50 // more than anybody reads
	codes := make([]string, 0, c.Products.Len())
	for code, p := range c.Products.All() {
		if !after(p.LastOrder, day) {
			codes = append(codes, code.Value)
		}
	}
	f := Finding{Pointer: "/product", Code: "product.unknown", Message: fmt.Sprintf("There is no product %s.", quoted(code))}
	if near, found := source.Nearest(strings.ToLower(code), codes); found {
		f.Nearest = near
		named, _ := c.Products.Get(near)
		f.Message = fmt.Sprintf("There is no product %s; did you mean %s?", quoted(code), WithCode(named.Name, near))
	}
	f.Allowed = codes[:min(len(codes), most)]
	return f
}

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

func (k *checking) unknownAttribute(name string) Finding {
	known := k.product.Attributes.Keys()
	f := Finding{Pointer: "/configuration/" + pointerEscapes.Replace(shortened(name)), Code: "attribute.unknown", Allowed: known,
		Message: fmt.Sprintf("%s has no attribute %s; it has %s.", k.product.Name, quoted(name), cmp.Or(listed(k.product.attributesNamed()), "none"))}
	if near, found := source.Nearest(strings.ToLower(name), known); found {
		f.Nearest = near
		f.Message = fmt.Sprintf("%s has no attribute %s; did you mean %s?", k.product.Name, quoted(name), WithCode(k.scope.attributes[k.scope.index[near]].Name, near))
	}
	return f
}

// state is how an attribute stands.
type state uint8

const (
	notAsked  state = iota
	settled         // by a pick
	defaulted       // by its default
	missing
	faulty
	unclear // whether it is asked hangs on one that is missing, faulty or unclear
)

func (s state) open() bool { return s == missing || s == faulty || s == unclear }

// outcome is what entries come to.
type outcome struct {
	scope    *productScope
	states   []state
	env      []formula.Value
	broken   []int     // rules, by index
	failures []Finding // formulas that could not be reckoned
	lacking  int       // attributes that are missing, or given though not asked
}

// settle finds which attributes are asked, fills the environment, reckons the
// figures and judges the rules, by the rule base if there is one.
func (o *outcome) settle(scope *productScope, entries []entry, by *judge) {
	o.scope = scope
	o.states = make([]state, len(scope.attributes))
	o.env = slices.Clone(scope.template)
	for i, a := range scope.attributes {
		o.attribute(i, a, &entries[i])
	}
	for i := range scope.figures {
		o.figure(&scope.figures[i])
	}
	if by != nil {
		by.rules(o, scope, entries)
		return
	}
	for i, r := range scope.rules {
		o.rule(i, r)
	}
}

func (o *outcome) attribute(i int, a *Attribute, e *entry) {
	o.states[i] = o.asked(a)
	if o.states[i] == notAsked && e.given {
		o.lacking++
	}
	if o.states[i] != missing {
		return
	}
	switch {
	case e.given && !e.sound:
		o.states[i] = faulty
	case e.given:
		o.states[i] = settled
		a.fill(o.env, e)
	case a.byDefault.sound && !e.stale:
		o.states[i] = defaulted
		a.fill(o.env, &a.byDefault)
	default:
		o.lacking++
	}
}

// asked gives missing for an attribute that is asked.
func (o *outcome) asked(a *Attribute) state {
	if a.AskedWhen == nil {
		return missing
	}
	value, err := a.AskedWhen.compiled.Eval(o.env)
	switch {
	case err == nil && value.Bool():
		return missing
	case err == nil:
		return notAsked
	case o.any(a.askedBy, state.open):
		return unclear
	case !o.any(a.askedBy, func(s state) bool { return s == notAsked }):
		o.fail(fmt.Sprintf("Whether %s is asked", a.Name), "/configuration/"+a.Code, err)
	}
	return notAsked
}

func (o *outcome) any(attributes []int, is func(state) bool) bool {
	for _, i := range attributes {
		if is(o.states[i]) {
			return true
		}
	}
	return false
}

// unsettled tells that one of the attributes has no value, so that formulas
// over them may fail without anything being wrong.
func (o *outcome) unsettled(attributes []int) bool {
	return o.any(attributes, func(s state) bool { return s != settled && s != defaulted })
}

func (o *outcome) figure(f *figure) {
	value, err := f.formula.Eval(o.env)
	switch {
	case err == nil:
		o.env[f.slot] = value
	case !o.unsettled(f.reads):
		o.fail("The figure "+f.name, "/configuration", err)
	}
}

func (o *outcome) rule(i int, r *rule) {
	if o.any(r.concerns, state.open) {
		return
	}
	said, err := r.judge(o.env)
	switch {
	case said == broken:
		o.broken = append(o.broken, i)
	case err != nil && !o.unsettled(r.concerns):
		o.fail(fmt.Sprintf("The rule %q", r.says), "/configuration", err)
	}
}

// dropEchoes leaves the rule out that follows from a finish's species where a
// rule of the product that speaks of the same attributes is broken as well: it
// has the better sentence.
func (o *outcome) dropEchoes(scope *productScope) {
	if len(o.broken) < 2 {
		return
	}
	all := slices.Clone(o.broken)
	o.broken = slices.DeleteFunc(o.broken, func(i int) bool {
		pair := scope.rules[i]
		return pair.pair != nil && slices.ContainsFunc(all, func(other int) bool {
			return scope.rules[other].pair == nil && scope.rules[other].covers(pair.concerns[:pair.primary])
		})
	})
}

func (r *rule) covers(attributes []int) bool {
	for _, i := range attributes {
		if !slices.Contains(r.concerns, i) {
			return false
		}
	}
	return true
}

func (o *outcome) fail(what, pointer string, err error) {
	o.failures = append(o.failures, Finding{Pointer: pointer, Code: "formula.failed", Message: fmt.Sprintf("%s cannot be reckoned: %s.", what, o.scope.failure(err))})
}
