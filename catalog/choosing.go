package catalog

import (
	"fmt"
	"sync"

	"billwright/catalog/calendar"
	"billwright/catalog/choices"
)

// Choosing is what may be chosen of a product on a day, made ready for
// questions. It is immutable and shared.
type Choosing struct {
	Product *Product
	// Rules is the product's rule base: a field for each attribute but free text.
	Rules *choices.Compiled
	// Origins tell where the rules come from, by their index.
	Origins []RuleOrigin
	// Refuses are the conditions that are not among the rules.
	Refuses []MayStillRefuse

	base *rulebase
	from *choices.Base // what Rules were made of
}

// Limits are rules of a product that do not stand in its catalog and follow from
// it: what the bill refuses.
type Limits struct {
	Rules []choices.Rule
	// Refuses are the limits that could not be made rules.
	Refuses []MayStillRefuse
}

// Limited is the same catalog with limits beside the rules of each product. It
// asks for those of a product when they are first needed, once, and must be
// handed on before anybody else uses it.
func (c *Catalog) Limited(of func(*Product) Limits) *Catalog {
	limited := *c
	limited.ready = &readiness{limits: of}
	return &limited
}

// readiness keeps what was made ready of products.
type readiness struct {
	limits func(*Product) Limits

	mu       sync.Mutex
	products map[*Product]*readyProduct
}

// readyProduct is one product's rules, as they are and as of days on which
// something is withdrawn.
type readyProduct struct {
	once sync.Once
	base *rulebase

	judging sync.Once
	judged  *judge

	mu    sync.Mutex
	plain *Choosing // with nothing withdrawn, and no limits
	asOf  map[string]*Choosing
}

// mostDays bounds what is kept of a product: days on which different things are
// withdrawn.
const mostDays = 3

func (r *readiness) product(p *Product) *readyProduct {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.products == nil {
		r.products = map[*Product]*readyProduct{}
	}
	ready := r.products[p]
	if ready == nil {
		ready = &readyProduct{asOf: map[string]*Choosing{}}
		r.products[p] = ready
	}
	return ready
}

// Choosing makes what may be chosen of a product on a day ready, limits of the
// bill among it, or gives what was made ready before. The error tells why the
// rules cannot be made a base of choices, such as a size of too many steps.
func (c *Catalog) Choosing(p *Product, day calendar.Date) (*Choosing, error) {
	ready := c.ready.product(p)
	base := ready.rulebase(p)
	key := p.scope.withdrawnOn(day)
	ready.mu.Lock()
	defer ready.mu.Unlock()
	if made := ready.asOf[key]; made != nil {
		return made, nil
	}
	made := &Choosing{Product: p, Refuses: base.refuses, base: base}
	from, origins := base.asOf(day)
	if c.ready.limits != nil {
		limits := c.ready.limits(p)
		for _, r := range limits.Rules {
			from.Rules = append(from.Rules, r)
			origins = append(origins, RuleOrigin{Kind: RuleLimit, Code: r.ID, Says: r.Says, index: -1})
		}
		made.Refuses = append(append([]MayStillRefuse{}, base.refuses...), limits.Refuses...)
	}
	made.Origins = origins
	if err := made.compile(&from); err != nil {
		return nil, err
	}
	if len(ready.asOf) >= mostDays {
		clear(ready.asOf)
	}
	ready.asOf[key] = made
	return made, nil
}

func (r *readyProduct) rulebase(p *Product) *rulebase {
	r.once.Do(func() { r.base = newRulebase(p) })
	return r.base
}

func (c *Choosing) compile(base *choices.Base) (err error) {
	c.from = base
	c.Rules, err = choices.Compile(base, choices.Options{})
	if err != nil {
		return fmt.Errorf("make the rules of %s ready: %w", c.Product.Code, err)
	}
	return nil
}

// Field is the field of an attribute; None for free text.
func (c *Choosing) Field(a *Attribute) int32 { return c.base.fields[a.slot] }

// Attribute is the attribute of a field.
func (c *Choosing) Attribute(field int32) *Attribute {
	for i, f := range c.base.fields {
		if f == field {
			return c.base.scope.attributes[i]
		}
	}
	panic(fmt.Sprintf("catalog: there is no field %d", field))
}

// Attributes are those of the product, in its order.
func (c *Choosing) Attributes() []*Attribute { return c.base.scope.attributes }

// Broken are the rules of the base, limits of the bill among them, that picks
// break, what is not picked taken by its default.
func (c *Choosing) Broken(picks []Pick, day calendar.Date) ([]RuleOrigin, error) {
	k := checking{product: c.Product, scope: c.Product.scope, day: day}
	k.read(picks)
	k.out.settle(k.scope, k.entries, nil)
	all, err := c.Rules.Violations(c.base.picks(c.Rules, &k.out, k.entries))
	if err != nil {
		return nil, err
	}
	broken := make([]RuleOrigin, len(all))
	for i, v := range all {
		broken[i] = c.Origins[v.Rule]
	}
	return broken, nil
}
