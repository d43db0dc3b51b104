package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/formula"
)

// test is a condition on one attribute made ready for checking.
type test struct {
	attribute *Attribute
	values    []formula.Value
	interval  *Condition // of a length or a whole number, instead of values
}

// met tells whether the attribute is settled and meets the condition.
func (t *test) met(env []formula.Value) bool {
	value := env[t.attribute.slot]
	switch {
	case t.interval == nil:
		return slices.Contains(t.values, value)
	case value.Kind() == formula.Length:
		return t.interval.meetsLength(value.Length())
	}
	return value.Kind() == formula.Number && t.interval.meetsNumber(int(value.Number().Num()))
}

func allMet(tests []test, env []formula.Value) bool {
	for i := range tests {
		if !tests[i].met(env) {
			return false
		}
	}
	return true
}

// rule is a Rule, or the rule that follows from a wood finish's species, made
// ready for checking.
type rule struct {
	code                 string // of a rule that the catalog writes
	says                 string
	where, allow, forbid []test
	need                 *formula.Formula
	pair                 *woodPair
	jig                  *jigPair
	open                 *Attribute // the rule is for something unlisted only
	// concerns are the attributes it reads, by index, and first those that one
	// would change to mend it.
	concerns []int
	primary  int // so many of them stand in what it says, not in when it applies
}

// verdict is what a rule says of a configuration.
type verdict uint8

const (
	holds verdict = iota
	broken
	unreckoned // a formula of it failed
)

// judge applies the rule to an environment in which the attributes that are
// not asked are not set: a rule says nothing of those. An error is that of a
// formula.
func (r *rule) judge(env []formula.Value) (verdict, error) {
	switch {
	case !allMet(r.where, env):
		return holds, nil
	case r.need != nil:
		return judged(r.need, env)
	case r.pair != nil:
		return r.pair.judge(env)
	case r.jig != nil:
		return r.jig.judge(env)
	case r.open != nil && !r.open.Choose.Open.opened(env):
		return holds, nil
	case len(r.forbid) > 0:
		if allMet(r.forbid, env) {
			return broken, nil
		}
		return holds, nil
	}
	for i := range r.allow {
		t := &r.allow[i]
		if env[t.attribute.slot].Kind() != 0 && !t.met(env) {
			return broken, nil
		}
	}
	return holds, nil
}

func judged(need *formula.Formula, env []formula.Value) (verdict, error) {
	value, err := need.Eval(env)
	switch {
	case err != nil:
		return unreckoned, err
	case value.Bool():
		return holds, nil
	}
	return broken, nil
}

// sentence is what people are told when the rule is broken.
func (r *rule) sentence(env []formula.Value) string {
	switch {
	case r.pair != nil:
		return r.pair.sentence(env)
	case r.jig != nil:
		return r.jig.sentence(env)
	}
	return r.says
}

// woodPair is the rule that follows from the species a wood finish may go on,
// for one wood part of a product.
type woodPair struct {
	catalog         *Catalog
	whens           []*formula.Formula // conditions under which the part exists
	species, finish *formula.Formula
}

// judge holds for a part that does not exist.
func (w *woodPair) judge(env []formula.Value) (verdict, error) {
	for _, when := range w.whens {
		exists, err := when.Eval(env)
		if err != nil {
			return unreckoned, err
		}
		if !exists.Bool() {
			return holds, nil
		}
	}
	species, err := w.species.Eval(env)
	if err != nil {
		return unreckoned, err
	}
	code, err := w.finish.Eval(env)
	if err != nil {
		return unreckoned, err
	}
	finish, found := w.catalog.WoodFinishes.Get(code.Text())
	if found && finish.goesOn(species.Text()) {
		return holds, nil
	}
	return broken, nil
}

func (f *Finish) goesOn(species string) bool {
	for _, on := range f.On {
		if on.Value == species {
			return true
		}
	}
	return false
}

func (w *woodPair) sentence(env []formula.Value) string {
	species, _ := w.species.Eval(env)
	code, _ := w.finish.Eval(env)
	finish, found := w.catalog.WoodFinishes.Get(code.Text())
	if !found {
		return fmt.Sprintf("There is no wood finish %q.", code.Text())
	}
	if finish.Says != "" {
		return finish.Says
	}
	on := make([]string, 0, len(finish.On))
	for _, s := range finish.On {
		on = append(on, WithCode(w.catalog.speciesName(s.Value), s.Value))
	}
	return fmt.Sprintf("%s does not go on %s; it goes on %s.", finish.Name, w.catalog.speciesName(species.Text()), strings.Join(on, ", "))
}

func (c *Catalog) speciesName(code string) string {
	if s, found := c.Species.Get(code); found {
		return s.Name
	}
	return code
}
