package bom

import (
	"math"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Stacking, by McKee's formula for the compression strength of a regular slotted
// carton (checks K-07 and K-08).
//
//	simplified  5.87 · ECT · root(thickness · perimeter)
//	exponents   5.87 · ECT · thickness^0.5076 · perimeter^0.4924
//	safe load   = strength / safety factor
//	layers      = 1 + safe load / gross weight, rounded down: the lowest carton
//	              bears all those over it
//
// Thickness is the board's, the perimeter that of the panels. The exponents sum
// to 1, so that both forms hold in any units. They are valid up to a perimeter
// of 7 depths (K-09, from memory); beyond it there is no figure, and cartons are
// not stacked. Where the catalog says that the contents bear the load, it gives
// the layers itself. Strength is a force, written as the weight that it bears.
//
// Worked: 32 lb/in board of 0.16 in and a perimeter of 84 in bear 5.87 · 32 ·
// 3.666 = 688.6 lb, or 656.6 lb by the exponents.

// The constants of McKee's formula, as checks K-07 and K-08 have them.
const (
	mckee         = 5.87
	mckeeMore     = 0.0076 // 0.5076 less a half
	mostPerimeter = 7      // depths
)

// StackRow is how cartons of a kind may be stacked. Where no strength is
// reckoned, Reason says why; unless the contents bear the load, they then stand
// by themselves.
type StackRow struct {
	Strength Weight      `json:"compression_strength,omitzero"`
	SafeLoad Weight      `json:"safe_load,omitzero"`
	Layers   int         `json:"layers"`
	Height   unit.Length `json:"height"`
	Reason   string      `json:"reason,omitempty"`
}

// Compression is the strength of a regular slotted carton, by McKee's simplified
// formula or by that with exponents. Errors: unit.ErrOverflow.
func Compression(crush catalog.EdgeCrush, thickness, perimeter unit.Length, exponents bool) (Weight, error) {
	edge := float64(crush.Ratio().Num()) / float64(crush.Ratio().Den())
	t, z := float64(thickness), float64(perimeter)
	strength := float64(float64(mckee*edge) * math.Sqrt(float64(t*z)))
	if exponents {
		// t^(1/2+m) · z^(1/2-m) = root(t·z) · (t/z)^m
		strength = float64(strength * power(t/z, mckeeMore))
	}
	mass, err := unit.MassFromFloat(strength)
	return Weight(mass), err
}

// power is x to a small y, for x > 0 and |y·ln x| < 1, of additions, products
// and quotients alone, so that it is the same on any machine; math.Pow is not.
func power(x, y float64) float64 {
	part, twos := math.Frexp(x)
	// ln part = 2 · artanh((part-1)/(part+1)), part in [1/2, 1): |z| <= 1/3
	z := (part - 1) / (part + 1)
	square, term, sum := float64(z*z), z, z
	for n := 3.0; n <= 33; n += 2 {
		term = float64(term * square)
		sum += term / n
	}
	exponent := float64(y * (float64(2*sum) + float64(float64(twos)*math.Ln2)))
	term, sum = 1, 1
	for n := 1.0; n <= 18; n++ {
		term = float64(term*exponent) / n
		sum += term
	}
	return sum
}

// stack reckons how a made carton may be stacked.
func (r *reckoning) stack(row *CartonRow, made *box, s *catalog.Stacking) (*StackRow, bool) {
	stack := &StackRow{Layers: 1, Height: made.outside[2]}
	perimeter := 2 * (made.panels[0] + made.panels[1])
	switch {
	case s == nil:
		stack.Reason = "its handling does not stack"
	case made.grade.Crush == nil:
		stack.Reason = "the board's edge crush strength is not known"
	case perimeter > mostPerimeter*made.panels[2]:
		stack.Reason = "the perimeter is more than 7 depths, for which the formula does not hold"
	}
	if s != nil && s.Formula == "contents" {
		stack = &StackRow{Layers: s.Layers, Height: unit.Length(s.Layers) * made.outside[2], Reason: "the contents bear those over them"}
	}
	if stack.Reason != "" {
		if r.trace {
			r.note(row.Path, "stack", "%d: %s", stack.Layers, stack.Reason)
		}
		return stack, true
	}
	var x exact
	strength, err := Compression(*made.grade.Crush, *made.board.Caliper, perimeter, s.Formula == "exponents")
	x.keep(err)
	safe, err := unit.MulDivRound(int64(strength), s.Factor.Den(), s.Factor.Num(), unit.Down)
	x.keep(err)
	if !r.settled(row.Path, &x) {
		return nil, false
	}
	stack.Strength, stack.SafeLoad = strength, Weight(safe)
	stack.Layers = 1 + int(min(safe/int64(made.gross), maxPieces))
	stack.Height = unit.Length(stack.Layers) * made.outside[2]
	if r.trace {
		r.note(row.Path, "compression strength", "5.87 x %s x %s form of thickness %s and perimeter %s = %s", made.grade.Crush, s.Formula, *made.board.Caliper, perimeter, strength)
		r.note(row.Path, "stack", "%s / %s = %s; 1 + %s / %s, rounded down = %d", strength, s.Factor, stack.SafeLoad, stack.SafeLoad, row.Gross, stack.Layers)
	}
	return stack, true
}
