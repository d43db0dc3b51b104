package cutting

import "math"

// simplex is a revised simplex method with an explicit inverse of the basis,
// for linear programmes with few rows to which columns and rows are added as
// they are found. Rows are "at least" (sign +1) or "at most" (sign -1). It
// minimises. Every product is rounded by itself, so that all machines agree.
type simplex struct {
	sign    []float64
	rhs     []float64
	penalty []float64 // cost of leaving one unit of an "at least" row unmet
	cols    []column
	basis   []int       // variable in each place
	inverse [][]float64 // of the basis: inverse[place][row]
	x       []float64   // value of the variable in each place
	y       []float64   // price of each row
	inBasis []bool      // of cols
	pivots  int
	work    *meter
	ray     []float64
	picks   []int
}

type column struct {
	cost float64
	rows []int32
	vals []float64
}

// Variables from 0 are columns; row i's slack and shortage are below 0.
func slackOf(i int) int    { return -1 - 2*i }
func shortageOf(i int) int { return -2 - 2*i }
func rowOf(v int) int      { return (-1 - v) / 2 }
func isSlack(v int) bool   { return v < 0 && (-1-v)%2 == 0 }

const (
	priceTolerance = 1e-9
	pivotTolerance = 1e-8
	valueTolerance = 1e-9
)

// addRow adds a row with nothing in it; its slack or shortage is basic.
func (s *simplex) addRow(sign, rhs, penalty float64) int {
	i := len(s.rhs)
	s.sign, s.rhs, s.penalty = append(s.sign, sign), append(s.rhs, rhs), append(s.penalty, penalty)
	for p := range s.inverse {
		s.inverse[p] = append(s.inverse[p], 0)
	}
	line := make([]float64, i+1, i+33)
	line[i] = 1
	v := slackOf(i)
	if sign > 0 {
		v = shortageOf(i)
	}
	s.inverse, s.basis = append(s.inverse, line), append(s.basis, v)
	s.x, s.y = append(s.x, rhs), append(s.y, s.cost(v))
	return i
}

// addLimit adds a row over the columns there are; its slack is basic, below zero
// where the row is broken: call dual afterwards.
func (s *simplex) addLimit(sign, rhs, penalty float64, coefficient func(column int) float64) int {
	i := len(s.rhs)
	s.sign, s.rhs, s.penalty = append(s.sign, sign), append(s.rhs, rhs), append(s.penalty, penalty)
	for v := range s.cols {
		if f := coefficient(v); f != 0 {
			s.cols[v].rows = append(s.cols[v].rows, int32(i))
			s.cols[v].vals = append(s.cols[v].vals, f)
		}
	}
	line := make([]float64, i+1, i+33)
	line[i] = -sign
	x := rhs
	for p, v := range s.basis {
		s.inverse[p] = append(s.inverse[p], 0)
		if v < 0 {
			continue
		}
		if f := coefficient(v); f != 0 {
			subtract(line[:i], s.inverse[p][:i], -f*sign)
			x -= float64(f * s.x[p])
		}
	}
	s.inverse, s.basis = append(s.inverse, line), append(s.basis, slackOf(i))
	s.x, s.y = append(s.x, -sign*x), append(s.y, 0)
	return i
}

func (s *simplex) addColumn(c column) {
	s.cols, s.inBasis = append(s.cols, c), append(s.inBasis, false)
}

func (s *simplex) cost(v int) float64 {
	switch {
	case v >= 0:
		return s.cols[v].cost
	case isSlack(v):
		return 0
	}
	return s.penalty[rowOf(v)]
}

// coefficient of a slack or shortage in its own row.
func (s *simplex) own(v int) float64 {
	if isSlack(v) {
		return -s.sign[rowOf(v)]
	}
	return s.sign[rowOf(v)]
}

// reduced is a variable's reduced cost.
func (s *simplex) reduced(v int) float64 {
	if v < 0 {
		return s.cost(v) - float64(s.y[rowOf(v)]*s.own(v))
	}
	c := &s.cols[v]
	d, y, vals := c.cost, s.y, c.vals[:len(c.rows)]
	for j, r := range c.rows {
		d -= float64(y[r] * vals[j])
	}
	return d
}

// direction is inverse x column, into s.ray.
func (s *simplex) direction(v int) []float64 {
	if cap(s.ray) < len(s.basis) {
		s.ray = make([]float64, len(s.basis)+32)
	}
	ray := s.ray[:len(s.basis)]
	if v < 0 {
		r, own := rowOf(v), s.own(v)
		for p := range ray {
			ray[p] = float64(s.inverse[p][r] * own)
		}
		return ray
	}
	c := &s.cols[v]
	for p, line := range s.inverse {
		sum := 0.0
		for j, r := range c.rows {
			sum += float64(line[r] * c.vals[j])
		}
		ray[p] = sum
	}
	s.work.spend(int64(len(ray) * len(c.rows)))
	return ray
}

// pivot brings v into a place.
func (s *simplex) pivot(v, place int, ray []float64, reduced float64) {
	line := s.inverse[place]
	by := 1 / ray[place]
	for j := range line {
		line[j] = float64(line[j] * by)
	}
	step := float64(s.x[place] * by)
	for p, f := range ray {
		if p == place || f == 0 {
			continue
		}
		s.x[p] -= float64(f * step)
		subtract(s.inverse[p], line, f)
	}
	s.x[place] = step
	subtract(s.y, line, -reduced)
	if out := s.basis[place]; out >= 0 {
		s.inBasis[out] = false
	}
	if s.basis[place] = v; v >= 0 {
		s.inBasis[v] = true
	}
	s.pivots++
	s.work.spend(int64(len(ray) * len(ray)))
}

func subtract(from, line []float64, f float64) {
	from = from[:len(line)]
	for j, v := range line {
		from[j] -= float64(f * v)
	}
}

// primal pivots until no variable's reduced cost is below zero.
func (s *simplex) primal() {
	s.picks = s.picks[:0]
	for limit := 50*len(s.basis) + 2000; limit > 0 && !s.work.done(); limit-- {
		v, d := s.entering()
		if d >= -priceTolerance {
			return
		}
		ray := s.direction(v)
		place := s.leaving(ray)
		if place < 0 {
			return
		}
		s.pivot(v, place, ray, d)
	}
}

// entering chooses from the best of the last full look as long as it has any.
func (s *simplex) entering() (int, float64) {
	for range 2 {
		best, at := -priceTolerance, 0
		kept := s.picks[:0]
		for _, v := range s.picks {
			d := s.reduced(v)
			if d >= -priceTolerance {
				continue
			}
			if kept = append(kept, v); d < best {
				best, at = d, v
			}
		}
		if s.picks = kept; len(kept) > 0 {
			return at, best
		}
		s.look()
	}
	return 0, 0
}

// look gathers the variables of least reduced cost.
func (s *simplex) look() {
	const few = 24
	var ds [few + 1]float64
	consider := func(v int) {
		d := s.reduced(v)
		n := len(s.picks)
		if d >= -priceTolerance || n == few && d >= ds[n-1] {
			return
		}
		if n < few {
			s.picks = append(s.picks, v)
			n++
		}
		at := n - 1
		for ; at > 0 && ds[at-1] > d; at-- {
			ds[at], s.picks[at] = ds[at-1], s.picks[at-1]
		}
		ds[at], s.picks[at] = d, v
	}
	for v := range s.cols {
		if !s.inBasis[v] {
			consider(v)
		}
	}
	for i := range s.rhs {
		// A slack or shortage in the basis has reduced cost 0.
		consider(slackOf(i))
	}
	s.work.spend(int64(8 * len(s.cols)))
}

// leaving finds the place that reaches zero first, the largest pivot of those
// that tie.
func (s *simplex) leaving(ray []float64) int {
	least := math.Inf(1)
	for p, f := range ray {
		if f > pivotTolerance {
			least = min(least, (max(s.x[p], 0)+valueTolerance)/f)
		}
	}
	place := -1
	for p, f := range ray {
		if f > pivotTolerance && max(s.x[p], 0)/f <= least && (place < 0 || f > ray[place]) {
			place = p
		}
	}
	return place
}

// value is the objective.
func (s *simplex) value() float64 {
	sum := 0.0
	for p, v := range s.basis {
		sum += float64(s.cost(v) * s.x[p])
	}
	return sum
}

// unmet is how much "at least" rows are short by.
func (s *simplex) unmet() float64 {
	sum := 0.0
	for p, v := range s.basis {
		if v < 0 && !isSlack(v) {
			sum += max(s.x[p], 0)
		}
	}
	return sum
}
