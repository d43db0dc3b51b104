package cutting

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// weighing is a leaf's prices: what each piece is worth, what each bar may hold
// at most, what rows give or take, and what the prices come to in all.
type weighing struct {
	c     *checker
	price []int64 // of items
	may   []int64 // of bars
	rows  []weighedRow
	value *big.Int
}

// weighedRow is a row with its price: above 0 it is worth that for each count
// of a bar ("at least" rows), below 0 it takes away.
type weighedRow struct {
	times []int64 // of items
	over  int64
	price int64
	// only are the stock lines of the bars that count; nil for all.
	only []int
}

// most is a bound on all that is multiplied or added in a leaf's check.
const mostWorth = int64(1) << 60

func (c *checker) weigh(l *Leaf) (*weighing, error) {
	w := &weighing{c: c, price: make([]int64, len(c.items)), may: make([]int64, len(c.bars)), value: new(big.Int)}
	if l.Scale <= 0 || len(l.Branches) != len(c.path) {
		return nil, fmt.Errorf("scale %d, and %d prices for %d decisions", l.Scale, len(l.Branches), len(c.path))
	}
	for i, b := range c.bars {
		if b.cost > mostWorth/l.Scale {
			return nil, errors.New("scale x cost is too much to reckon")
		}
		w.may[i] = b.cost * l.Scale
	}
	if err := errors.Join(w.pieces(l), w.stock(l)); err != nil {
		return nil, err
	}
	for i, d := range c.path {
		if err := w.decision(d, l.Branches[i]); err != nil {
			return nil, err
		}
	}
	for i := range l.Cuts {
		if err := w.cut(&l.Cuts[i]); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// count adds times x price to the value.
func (w *weighing) count(times, price int64) {
	w.value.Add(w.value, new(big.Int).Mul(big.NewInt(times), big.NewInt(price)))
}

func inRange(price int64) error {
	if price < 0 || price > mostWorth {
		return fmt.Errorf("price %d is out of range", price)
	}
	return nil
}

func (w *weighing) pieces(l *Leaf) error {
	for _, price := range l.Prices {
		i, found := w.c.index[price.Length]
		if !found || w.price[i] != 0 {
			return fmt.Errorf("length %d is priced twice or is no piece", price.Length)
		}
		if err := inRange(price.Price); err != nil {
			return err
		}
		w.price[i] = price.Price
		w.count(w.c.items[i].need, price.Price)
	}
	return nil
}

func (w *weighing) stock(l *Leaf) error {
	priced := map[int]int64{}
	for _, s := range l.Stock {
		if _, twice := priced[s.Stock]; twice {
			return fmt.Errorf("stock line %d is priced twice", s.Stock)
		}
		if err := inRange(s.Price); err != nil {
			return err
		}
		priced[s.Stock] = s.Price
	}
	for i, b := range w.c.bars {
		price := priced[b.line]
		if price == 0 {
			continue
		}
		if b.limit == Unlimited {
			return fmt.Errorf("stock line %d has no limit that could have a price", b.line)
		}
		w.may[i] += price
		w.count(b.limit, -price)
	}
	return nil
}

// decision counts a branch: an "at least" one is worth its price for each count,
// an "at most" one costs it.
func (w *weighing) decision(d decision, price int64) error {
	if err := inRange(price); err != nil {
		return err
	}
	if price == 0 {
		return nil
	}
	if !d.high {
		price = -price
	}
	w.count(d.limit, price)
	return w.row(d.row, price)
}

// cut counts a rounded row: over all bars it counts no more than the same sum
// over all pieces, rounded down.
func (w *weighing) cut(c *RowPrice) error {
	if err := errors.Join(inRange(c.Price), w.c.rowMakesSense(&c.Row)); err != nil {
		return err
	}
	if len(c.Row.Stock) > 0 {
		return errors.New("a cut must count pieces")
	}
	all := new(big.Int)
	for _, t := range c.Row.Terms {
		all.Add(all, new(big.Int).Mul(big.NewInt(t.Times), big.NewInt(w.c.items[w.c.index[t.Length]].need)))
	}
	all.Div(all, big.NewInt(c.Row.Over))
	if !all.IsInt64() {
		return errors.New("a cut's limit is too much to reckon")
	}
	w.count(all.Int64(), -c.Price)
	return w.row(&c.Row, -c.Price)
}

func (w *weighing) row(r *Row, price int64) error {
	if len(r.Stock) > 0 && len(r.Terms) == 0 {
		for i, b := range w.c.bars {
			if slices.Contains(r.Stock, b.line) {
				w.may[i] -= price
			}
		}
		return nil
	}
	row := weighedRow{times: make([]int64, len(w.c.items)), over: r.Over, price: price, only: r.Stock}
	for _, t := range r.Terms {
		if t.Times > mostWorth/MaxCount {
			return errors.New("a row counts too many times")
		}
		row.times[w.c.index[t.Length]] = t.Times
	}
	w.rows = append(w.rows, row)
	return nil
}
