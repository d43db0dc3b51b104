package cutting

import "math"

// dual pivots until no basic variable is below zero, keeping reduced costs from
// falling below zero: for rows and right-hand sides that changed.
func (s *simplex) dual() {
	for limit := 20*len(s.basis) + 1000; limit > 0 && !s.work.done(); limit-- {
		place, least := -1, -1e-8
		for p, x := range s.x {
			if x < least {
				place, least = p, x
			}
		}
		if place < 0 {
			return
		}
		v, d := s.cheapest(place)
		if v == noVariable {
			return
		}
		ray := s.direction(v)
		if math.Abs(ray[place]) < pivotTolerance {
			return
		}
		s.pivot(v, place, ray, d)
	}
}

const noVariable = math.MinInt

// cheapest finds the variable whose reduced cost first reaches zero when the
// place leaves.
func (s *simplex) cheapest(place int) (int, float64) {
	line := s.inverse[place]
	best, at, atD, atF := math.Inf(1), noVariable, 0.0, 0.0
	consider := func(v int, f float64) {
		if f > -1e-7 {
			return
		}
		d := max(s.reduced(v), 0)
		ratio := d / -f
		if ratio < best-1e-12 || ratio <= best+1e-12 && f < atF {
			best, at, atD, atF = ratio, v, s.reduced(v), f
		}
	}
	for v := range s.cols {
		c := &s.cols[v]
		f := 0.0
		vals := c.vals[:len(c.rows)]
		for j, r := range c.rows {
			f += float64(line[r] * vals[j])
		}
		if f <= -1e-7 && !s.inBasis[v] {
			consider(v, f)
		}
	}
	for i := range s.rhs {
		consider(slackOf(i), float64(line[i]*s.own(slackOf(i))))
		if s.sign[i] > 0 {
			consider(shortageOf(i), float64(line[i]*s.own(shortageOf(i))))
		}
	}
	s.work.spend(int64(8 * len(s.cols)))
	return at, atD
}

// setRHS takes new right-hand sides; call dual afterwards.
func (s *simplex) setRHS(rhs []float64) {
	copy(s.rhs, rhs)
	s.solveX()
}

func (s *simplex) solveX() {
	for p, line := range s.inverse {
		sum := 0.0
		for r, b := range s.rhs {
			sum += float64(line[r] * b)
		}
		s.x[p] = sum
	}
	s.work.spend(int64(len(s.basis) * len(s.basis)))
}

func (s *simplex) solveY() {
	clear(s.y)
	for p, v := range s.basis {
		if c := s.cost(v); c != 0 {
			subtract(s.y, s.inverse[p], -c)
		}
	}
}

// refresh reckons the inverse anew when its error has grown; it returns false
// when the basis is singular.
func (s *simplex) refresh() bool {
	if s.pivots < 300 && s.residual() < 1e-7 {
		return true
	}
	return s.refactor()
}

func (s *simplex) residual() float64 {
	sum := make([]float64, len(s.rhs))
	for p, v := range s.basis {
		s.each(v, func(r int, f float64) { sum[r] += float64(f * s.x[p]) })
	}
	worst := 0.0
	for r, b := range s.rhs {
		worst = max(worst, math.Abs(sum[r]-b)/(1+math.Abs(b)))
	}
	return worst
}

// each calls f with every row of a variable.
func (s *simplex) each(v int, f func(row int, value float64)) {
	if v < 0 {
		f(rowOf(v), s.own(v))
		return
	}
	for j, r := range s.cols[v].rows {
		f(int(r), s.cols[v].vals[j])
	}
}

// refactor inverts the basis anew. It returns false when the basis was singular
// and slacks took the place of some of its variables.
func (s *simplex) refactor() bool { return s.start(append([]int(nil), s.basis...)) }

// start makes a basis of the given variables by Gauss-Jordan elimination with
// the largest pivot of each, slacks first, since they cost nothing. Where they
// are too few or depend on each other, shortages and slacks fill up.
func (s *simplex) start(vars []int) bool {
	for i, line := range s.inverse {
		clear(line)
		line[i] = 1
		s.basis[i] = noVariable
	}
	s.pivots = 0
	clear(s.inBasis)
	free := len(s.basis)
	whole := true
	for pass := range 2 {
		for _, v := range vars {
			if (v < 0) == (pass == 0) && free > 0 {
				if s.place(v) {
					free--
				} else {
					whole = false
				}
			}
		}
	}
	for i := 0; i < len(s.rhs) && free > 0; i++ {
		v := slackOf(i)
		if s.sign[i] > 0 {
			v = shortageOf(i)
		}
		if s.place(v) {
			free--
			whole = false
		}
	}
	s.solveX()
	s.solveY()
	return whole
}

// settle makes every basic variable at least zero, from scratch if need be.
func (s *simplex) settle() {
	s.dual()
	for _, x := range s.x {
		if x < -1e-6 {
			s.start(nil)
			return
		}
	}
}

// place pivots a variable into the free place where it weighs most.
func (s *simplex) place(v int) bool {
	ray := s.direction(v)
	at := -1
	for p, f := range ray {
		if s.basis[p] == noVariable && math.Abs(f) > 1e-9 && (at < 0 || math.Abs(f) > math.Abs(ray[at])) {
			at = p
		}
	}
	if at < 0 {
		return false
	}
	line := s.inverse[at]
	by := 1 / ray[at]
	for j := range line {
		line[j] = float64(line[j] * by)
	}
	for p, f := range ray {
		if p != at && f != 0 {
			subtract(s.inverse[p], line, f)
		}
	}
	if s.basis[at] = v; v >= 0 {
		s.inBasis[v] = true
	}
	s.work.spend(int64(len(ray) * len(ray)))
	return true
}
