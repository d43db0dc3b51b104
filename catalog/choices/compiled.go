package choices

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"sync"
)

// Bounds past which work is given up, unless Options say otherwise. They are
// counts and not times, so that the same base always comes out the same.
const (
	DefaultNodes  = 200_000     // of one diagram
	DefaultWork   = 20_000_000  // of one diagram, in constraints looked at
	DefaultTotal  = 100_000_000 // of all diagrams together
	DefaultSearch = 200_000     // of one search, in constraints looked at
)

// Options bound the work of a compilation; zero stands for the defaults.
type Options struct {
	Nodes, Work, Total, Search int
	// Previous is an earlier revision: what of it still stands is taken over.
	Previous *Compiled
}

func (o *Options) settle() {
	for _, bound := range []struct {
		of       *int
		standard int
	}{{&o.Nodes, DefaultNodes}, {&o.Work, DefaultWork}, {&o.Total, DefaultTotal}, {&o.Search, DefaultSearch}} {
		if *bound.of <= 0 {
			*bound.of = bound.standard
		}
	}
}

// ErrContradiction is the answer when picks cannot be completed at all; WhyNot
// tells the reason.
var ErrContradiction = errors.New("the picks contradict each other or the rules")

// ErrBound is the answer when a question was given up at a bound. What is
// answered beside it is said by each question.
var ErrBound = errors.New("the rules are too tangled to be searched within the bound")

// Compiled is a rule base made ready for questions. It is immutable and may be
// shared; each goroutine asks through an Asker of its own.
type Compiled struct {
	base     *base
	byHub    []*diagram // by value of the hub; one without a hub
	distinct []*diagram // the different ones, each once
	whole    *problem   // the base with the hub among its fields
	kept     *witnesses
	options  Options
	reused   int
	askers   sync.Pool
}

// Compile makes a base ready. The error is Faults when the base is not sound.
func Compile(b *Base, options Options) (*Compiled, error) {
	ready, err := ready(b)
	if err != nil {
		return nil, err
	}
	options.settle()
	c := &Compiled{base: ready, options: options}
	c.options.Previous = nil
	c.compileAll(options.Previous)
	c.whole = newProblem(condition(ready, everything(ready), false))
	c.kept = newWitnesses()
	c.askers.New = func() any { return newAsker(c) }
	return c, nil
}

// everything is the vector of all values of all fields.
func everything(b *base) []uint64 {
	all := make([]uint64, b.words)
	for i := range b.fields {
		f := &b.fields[i]
		fill(all[f.off:f.off+f.words], f.size)
	}
	return all
}

func (c *Compiled) compileAll(previous *Compiled) {
	known := map[fingerprint]*diagram{}
	if previous != nil {
		for _, d := range previous.distinct {
			if !d.over {
				known[d.print] = d
			}
		}
	}
	hubs, spent := int32(1), 0
	if c.base.hub != None {
		hubs = int32(c.base.fields[c.base.hub].size)
	}
	mine := map[*diagram]bool{}
	for h := range hubs {
		k := condition(c.base, c.only(h), true)
		print := c.printOf(k)
		d := known[print]
		switch {
		case d == nil:
			d = c.compileOne(k, min(c.options.Work, c.options.Total-spent))
			d.print = print
			known[print] = d
			spent += d.work
		case !mine[d]:
			c.reused++
		}
		if !mine[d] {
			mine[d] = true
			c.distinct = append(c.distinct, d)
		}
		c.byHub = append(c.byHub, d)
	}
}

func (c *Compiled) compileOne(k *conditioner, limit int) *diagram {
	if k.impossible {
		return &diagram{none: true, kinds: &classing{}}
	}
	d := compile(newProblem(k), c.options.Nodes, limit)
	d.finish(c.base)
	return d
}

// only is everything with one value of the hub.
func (c *Compiled) only(h int32) []uint64 {
	dom := everything(c.base)
	if c.base.hub != None {
		f := &c.base.fields[c.base.hub]
		clear(dom[f.off : f.off+f.words])
		put(dom[f.off:], h)
	}
	return dom
}

// printOf is the fingerprint of what is left for a value of the hub, whichever
// value that is.
func (c *Compiled) printOf(k *conditioner) fingerprint {
	if c.base.hub == None {
		return k.print()
	}
	f := &c.base.fields[c.base.hub]
	own := slices.Clone(k.dom)
	clear(k.dom[f.off : f.off+f.words])
	print := k.print()
	k.dom = own
	return print
}

// finish replaces the domains by exactly those classes that a choice has, and
// keeps their values.
func (d *diagram) finish(b *base) {
	if d.none || d.over {
		return
	}
	exact := slices.Clone(d.full)
	freed := make([]uint64, d.words)
	for _, s := range d.parts {
		for _, f := range s.fields {
			off := d.kinds.off[f]
			clear(exact[off : int(off)+d.kinds.wordsOf(f)])
		}
	}
	for i := range d.nodes {
		n := &d.nodes[i]
		if n.field == None {
			continue
		}
		for j := n.from; j < n.end; j++ {
			orInto(exact[d.kinds.off[n.field]:], d.maskOf(n.field, &d.arcs[j]))
			if set := d.freedBy(&d.arcs[j]); set != nil {
				orInto(freed, set)
			}
		}
	}
	ones(freed, func(f int32) {
		off, n := d.kinds.off[f], d.kinds.wordsOf(f)
		copy(exact[off:int(off)+n], d.full[off:])
	})
	d.full = exact
	d.values = make([]uint64, b.words)
	for f := range b.fields {
		d.expand(b, int32(f), d.fullOf(int32(f)), d.values)
	}
}

func (d *diagram) fullOf(f int32) []uint64 {
	off := d.kinds.off[f]
	return d.full[off : int(off)+d.kinds.wordsOf(f)]
}

// expand adds the values of a mask of classes to a vector of all values.
func (d *diagram) expand(b *base, f int32, mask, into []uint64) {
	fd := &b.fields[f]
	out := into[fd.off : fd.off+fd.words]
	first := d.kinds.first[f]
	for k, w := range mask {
		for class := first + int32(k)*64; w != 0; class, w = class+1, w>>1 {
			if w&1 != 0 {
				orInto(out, d.kinds.values[class])
			}
		}
	}
}

// Fields is how many fields the base has.
func (c *Compiled) Fields() int { return len(c.base.fields) }

// Hub is the index of the hub, or None.
func (c *Compiled) Hub() int32 { return c.base.hub }

// Field gives the index of a field.
func (c *Compiled) Field(code string) (int32, error) {
	if f, found := c.base.byCode[code]; found {
		return f, nil
	}
	return None, &UnknownError{Field: code}
}

// Code gives the code of a field.
func (c *Compiled) Code(f int32) string { return c.base.fields[f].code }

// Values is how many values a field has.
func (c *Compiled) Values(f int32) int { return c.base.fields[f].size }

// Value gives the index of a field's named value.
func (c *Compiled) Value(f int32, name string) (int32, error) {
	if v, found := c.base.fields[f].byName[name]; found {
		return v, nil
	}
	return None, &UnknownError{Field: c.base.fields[f].code, Value: name}
}

// NumberValue gives the index of a number of a field's grid. Of one that is off
// the grid the error names the nearest on it.
func (c *Compiled) NumberValue(f int32, n int64) (int32, error) {
	fd := &c.base.fields[f]
	at, found := slices.BinarySearch(fd.numbers, n)
	if found {
		return int32(at + fd.named()), nil
	}
	e := &UnknownError{Field: fd.code, Value: strconv.FormatInt(n, 10)}
	if at > 0 {
		e.Nearest = append(e.Nearest, fd.numbers[at-1])
	}
	if at < len(fd.numbers) {
		e.Nearest = append(e.Nearest, fd.numbers[at])
	}
	return None, e
}

// Name writes a value: its name, or its number.
func (c *Compiled) Name(f, value int32) string {
	fd := &c.base.fields[f]
	if n, is := fd.number(value); is {
		return strconv.FormatInt(n, 10)
	}
	return fd.names[value]
}

// Number gives the number of a value, or false for a named one.
func (c *Compiled) Number(f, value int32) (int64, bool) { return c.base.fields[f].number(value) }

// Picks gives picks of nothing.
func (c *Compiled) Picks() Picks {
	p := make(Picks, len(c.base.fields))
	for i := range p {
		p[i] = None
	}
	return p
}

// sound tells of picks that the base does not have.
func (c *Compiled) sound(p Picks) error {
	if len(p) != len(c.base.fields) {
		return fmt.Errorf("there are %d picks and %d fields: picks are made by Picks", len(p), len(c.base.fields))
	}
	for f, v := range p {
		if v < None || int(v) >= c.base.fields[f].size {
			return &UnknownError{Field: c.base.fields[f].code, Value: "number " + strconv.Itoa(int(v))}
		}
	}
	return nil
}

// Count is how many complete choices there are, for one value of the hub or,
// with None, in all. ErrBound when a diagram that it needs was given up.
func (c *Compiled) Count(hub int32) (*big.Int, error) {
	total := new(big.Int)
	counted := map[*diagram]*big.Int{}
	for h, d := range c.byHub {
		if hub != None && c.base.hub != None && int32(h) != hub {
			continue
		}
		if d.over {
			return nil, ErrBound
		}
		if counted[d] == nil {
			counted[d] = d.count(d.full)
		}
		total.Add(total, counted[d])
	}
	return total, nil
}

// HubSize is the size of the diagram of one value of the hub, and whether it
// was given up at a bound.
func (c *Compiled) HubSize(hub int32) (size Size, over bool) {
	d := c.byHub[hub]
	return d.size(), d.over
}

// Size is the size of all diagrams together, and how many were given up or
// taken over from the previous revision.
func (c *Compiled) Size() (size Size, over, reused int) {
	for _, d := range c.distinct {
		s := d.size()
		size.Nodes, size.Arcs, size.Bytes = size.Nodes+s.Nodes, size.Arcs+s.Arcs, size.Bytes+s.Bytes
		if d.over {
			over++
		}
	}
	return size, over, c.reused
}
