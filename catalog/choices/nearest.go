package choices

import "fmt"

// The weights of Wish.
const (
	DefaultWeight = int64(1)
	MostWeight    = int64(1) << 16
)

// weightShift sets a changed pick above all that is only nicer or less nice.
const weightShift = 32

// mostWeights is what the weights of all fields may come to.
const mostWeights = int64(1) << 27

// mostPrice is the largest price of one value, in whatever unit it has.
const mostPrice = int64(1) << 45

// Wish is what somebody wants built.
type Wish struct {
	Picks   Picks
	Weights []int64 // by field, what changing its pick costs: 0 to MostWeight; nil for DefaultWeight each
	// Usual are values for what is not picked, taken where they can be; nil for
	// none.
	Usual Picks
}

// Order is a complete choice that keeps all rules.
type Order struct {
	Picks Picks
	// Changed are the fields whose pick was changed, rising.
	Changed []int32
	// Cost is the sum of the weights of what was changed, or of the prices.
	Cost int64
	// Proven tells that no complete choice costs less.
	Proven bool
}

// Nearest finds the order that changes the least of a wish: the least sum of
// weights and, among those, the numbers nearest to those picked (in steps of
// the field's values, and one for each usual value not taken). The error is
// ErrContradiction when nothing can be built at all, ErrBound when the search
// found none within its bound; an order that is found but not proven says so.
func (a *Asker) Nearest(wish *Wish) (Order, error) {
	if err := a.c.sound(wish.Picks); err != nil {
		return Order{}, err
	}
	if wish.Usual != nil {
		if err := a.c.sound(wish.Usual); err != nil {
			return Order{}, err
		}
	}
	if wish.Weights != nil && len(wish.Weights) != len(a.c.base.fields) {
		return Order{}, fmt.Errorf("there are %d weights and %d fields: give one for each, or none", len(wish.Weights), len(a.c.base.fields))
	}
	k, sum := newCosts(a.c.base), int64(0)
	for f := range a.c.base.fields {
		w := DefaultWeight
		if wish.Weights != nil {
			w = wish.Weights[f]
		}
		if w < 0 || w > MostWeight {
			return Order{}, fmt.Errorf("the weight of %s is %d: weights are 0 to %d", a.c.Code(int32(f)), w, MostWeight)
		}
		if sum += w; sum > mostWeights {
			return Order{}, fmt.Errorf("the weights come to more than %d: make them smaller", mostWeights)
		}
		k.wish(a.c.base, int32(f), wish, w)
		k.other[f] = w << weightShift
	}
	order, err := a.minimum(k, wish.Picks)
	order.Cost >>= weightShift
	return order, err
}

// wish sets the costs of a field's values.
func (k *costs) wish(b *base, f int32, wish *Wish, weight int64) {
	fd := &b.fields[f]
	at, pick := fd.off*64, wish.Picks[f]
	for v := range int32(fd.size) {
		cost := int64(0)
		switch {
		case pick != None && v != pick:
			cost = weight << weightShift
			if fd.bothNumbers(v, pick) {
				cost += int64(max(v-pick, pick-v))
			}
		case pick == None && wish.Usual != nil && wish.Usual[f] != None && wish.Usual[f] != v:
			cost = 1
		}
		k.value[at+int(v)] = cost
	}
}

func (f *field) bothNumbers(a, b int32) bool {
	return int(a) >= f.named() && int(b) >= f.named()
}

// Cheapest completes picks, all kept, at the least sum of prices: price gives
// that of a value of a field, up to 2^45 either way. The errors are those of
// Nearest.
func (a *Asker) Cheapest(picks Picks, price func(f, value int32) int64) (Order, error) {
	if err := a.c.sound(picks); err != nil {
		return Order{}, err
	}
	k := newCosts(a.c.base)
	for f := range a.c.base.fields {
		fd := &a.c.base.fields[f]
		k.other[f], k.signed = unreachable, true
		for v := range int32(fd.size) {
			p := price(int32(f), v)
			switch {
			case p > mostPrice || p < -mostPrice:
				return Order{}, fmt.Errorf("%s %s has a price of %d: prices are up to %d", fd.code, a.c.Name(int32(f), v), p, mostPrice)
			case picks[f] != None && picks[f] != v:
				p = unreachable
			}
			k.value[fd.off*64+int(v)] = p
		}
	}
	return a.minimum(k, picks)
}

// minimum finds the complete choice that costs the least.
func (a *Asker) minimum(k *costs, picks Picks) (Order, error) {
	best, at := unreachable, (*diagram)(nil)
	hub, over := None, false
	for _, h := range a.hubsByCost(k) {
		d := a.c.byHub[h]
		over = over || d.over
		if d.none || d.over {
			continue
		}
		own := a.hubCost(k, h)
		missing := k.missing(a.c, d, picks)
		if missing >= unreachable || !k.signed && plusCost(own, missing) >= best || plusCost(own, k.load(a, d)) >= best {
			continue
		}
		if cost := plusCost(own, k.least(a, d)); cost < best {
			best, at, hub = cost, d, h
		}
	}
	order := Order{Picks: a.c.Picks(), Cost: best, Proven: true}
	if at != nil {
		k.load(a, at)
		k.least(a, at)
		k.choice(a, at, order.Picks)
		if a.c.base.hub != None {
			order.Picks[a.c.base.hub] = hub
		}
	}
	if over {
		if err := a.minimumBySearch(k, &order); err != nil {
			return Order{}, err
		}
	}
	if order.Cost >= unreachable {
		return Order{}, ErrContradiction
	}
	for f, v := range picks {
		if v != None && order.Picks[f] != v {
			order.Changed = append(order.Changed, int32(f))
		}
	}
	return order, nil
}

// missing is what the picks that a diagram has no choice for cost at least.
func (k *costs) missing(c *Compiled, d *diagram, picks Picks) int64 {
	sum := int64(0)
	for f, v := range picks {
		if v != None && int32(f) != c.base.hub && !has(c.of(d.values, int32(f)), v) {
			sum = plusCost(sum, k.other[f])
		}
	}
	return sum
}

// hubsByCost gives the values of the hub, those that cost the least first.
func (a *Asker) hubsByCost(k *costs) []int32 {
	hubs := make([]int32, len(a.c.byHub))
	least := 0
	for h := range hubs {
		hubs[h] = int32(h)
		if a.hubCost(k, int32(h)) < a.hubCost(k, int32(least)) {
			least = h
		}
	}
	hubs[0], hubs[least] = hubs[least], hubs[0]
	return hubs
}

func (a *Asker) hubCost(k *costs, h int32) int64 {
	if a.c.base.hub == None {
		return 0
	}
	return k.value[a.c.base.fields[a.c.base.hub].off*64+int(h)]
}

// minimumBySearch looks for something cheaper among what has no diagram.
func (a *Asker) minimumBySearch(k *costs, order *Order) error {
	b, possible := a.whole()
	if !possible || a.c.base.hub != None && !a.restrictToGivenUp(b) {
		return nil
	}
	s := &descent{board: b, costs: k, order: order, limit: b.work + minimumSearches*a.c.options.Search}
	if err := s.descend(0); err != nil {
		order.Proven = false
		if order.Cost >= unreachable {
			return err
		}
	}
	return nil
}

// minimumSearches is how many searches' work looking for a minimum may take.
const minimumSearches = 5
