package formula

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"billwright/catalog/unit"
)

// grower grows random formulas together with their values, reckoned in
// math/big and nothing of this package.
type grower struct {
	t    *rapid.T
	vars map[Kind][]grownVar
	// zero is set when some division anywhere is by zero, or some step is not
	// above zero: the formula may then be refused, at once or when evaluated.
	zero bool
}

type grownVar struct {
	name  string
	value *big.Rat
}

func (g *grower) pick(n int, label string) int { return rapid.IntRange(0, n-1).Draw(g.t, label) }

// grow gives a formula in brackets where needed, and its value in numbers,
// nanometres or square micrometres.
func (g *grower) grow(k Kind, depth int) (string, *big.Rat) {
	if depth == 0 || g.pick(5, "leaf") == 0 {
		return g.leaf(k)
	}
	a, x := g.grow(k, depth-1)
	switch g.pick(9, "shape") {
	case 0:
		b, y := g.grow(k, depth-1)
		return "(" + a + " + " + b + ")", new(big.Rat).Add(x, y)
	case 1:
		b, y := g.grow(k, depth-1)
		return "(" + a + " - " + b + ")", new(big.Rat).Sub(x, y)
	case 2:
		b, y := g.grow(Number, depth-1)
		return "(" + a + " * " + b + ")", new(big.Rat).Mul(x, y)
	case 3:
		b, y := g.grow(Number, depth-1)
		return g.quotient(a+" / (frac('1') * "+b+")", x, y, 1)
	case 4:
		return "-(" + a + ")", new(big.Rat).Neg(x)
	case 5:
		b, y := g.grow(k, depth-1)
		return g.extreme(a, x, b, y)
	case 6:
		return "abs(" + a + ")", new(big.Rat).Abs(x)
	case 7:
		return g.choice(k, depth, a, x)
	}
	return g.special(k, depth, a, x)
}

func (g *grower) leaf(k Kind) (string, *big.Rat) {
	if len(g.vars[k]) > 0 && g.pick(2, "variable") == 0 {
		v := g.vars[k][g.pick(len(g.vars[k]), "which")]
		return v.name, v.value
	}
	switch k {
	case Length:
		n := rapid.Int64Range(0, 400*16).Draw(g.t, "sixteenths")
		text := fmt.Sprintf("len('%d/16 in')", n)
		return text, big.NewRat(n*int64(unit.Inch), 16)
	case Area:
		a, x := g.leaf(Length)
		b, y := g.leaf(Length)
		return "(" + a + " * " + b + ")", new(big.Rat).Quo(new(big.Rat).Mul(x, y), big.NewRat(1_000_000, 1))
	}
	n, d := rapid.Int64Range(0, 99).Draw(g.t, "num"), rapid.Int64Range(1, 12).Draw(g.t, "den")
	if d == 1 {
		return fmt.Sprint(n), big.NewRat(n, 1)
	}
	return fmt.Sprintf("frac('%d/%d')", n, d), big.NewRat(n, d)
}

func (g *grower) quotient(text string, x, y *big.Rat, scale int64) (string, *big.Rat) {
	if y.Sign() == 0 {
		g.zero = true
		return "(" + text + ")", new(big.Rat)
	}
	q := new(big.Rat).Quo(x, y)
	return "(" + text + ")", q.Mul(q, big.NewRat(scale, 1))
}

func (g *grower) extreme(a string, x *big.Rat, b string, y *big.Rat) (string, *big.Rat) {
	least, greatest := x, y
	if x.Cmp(y) > 0 {
		least, greatest = y, x
	}
	if g.pick(2, "min") == 0 {
		return "min(" + a + ", " + b + ")", least
	}
	return "max(" + a + ", " + b + ", " + a + ")", greatest
}

func (g *grower) choice(k Kind, depth int, a string, x *big.Rat) (string, *big.Rat) {
	b, y := g.grow(k, depth-1)
	c, p := g.grow(Length, depth-1)
	d, q := g.grow(Length, depth-1)
	signs := map[string]bool{"<": p.Cmp(q) < 0, "<=": p.Cmp(q) <= 0, ">": p.Cmp(q) > 0, ">=": p.Cmp(q) >= 0, "==": p.Cmp(q) == 0, "!=": p.Cmp(q) != 0}
	sign := rapid.SampledFrom([]string{"<", "<=", ">", ">=", "==", "!="}).Draw(g.t, "sign")
	text := "(" + c + " " + sign + " " + d + " ? " + a + " : " + b + ")"
	if signs[sign] {
		return text, x
	}
	return text, y
}

// special grows what only the kind k has.
func (g *grower) special(k Kind, depth int, a string, x *big.Rat) (string, *big.Rat) {
	switch k {
	case Area:
		b, y := g.grow(Length, depth-1)
		c, z := g.grow(Length, depth-1)
		v := new(big.Rat).Mul(y, z)
		return "(" + b + " * " + c + ")", v.Quo(v, big.NewRat(1_000_000, 1))
	case Number:
		switch g.pick(3, "number") {
		case 0:
			b, y := g.grow(Length, depth-1)
			c, z := g.grow(Length, depth-1)
			return g.quotient(b+" / "+c, y, z, 1)
		case 1:
			return "floor(" + a + ")", new(big.Rat).SetInt(floorOf(x))
		}
		return "ceil(" + a + ")", new(big.Rat).Neg(new(big.Rat).SetInt(floorOf(new(big.Rat).Neg(x))))
	}
	if g.pick(2, "length") == 0 {
		b, y := g.grow(Area, depth-1)
		c, z := g.grow(Length, depth-1)
		return g.quotient(b+" / "+c, y, z, 1_000_000)
	}
	n := rapid.Int64Range(1, 64).Draw(g.t, "step")
	step := big.NewRat(n*int64(unit.Inch), 64)
	steps := new(big.Rat).Quo(x, step)
	down := new(big.Rat).SetInt(floorOf(steps))
	name := rapid.SampledFrom([]string{"up", "down", "nearest"}).Draw(g.t, "rounding")
	text := fmt.Sprintf("%s(%s, len('%d/64 in'))", name, a, n)
	rest := new(big.Rat).Sub(steps, down)
	half := rest.Cmp(big.NewRat(1, 2))
	if name == "up" && rest.Sign() > 0 || name == "nearest" && (half > 0 || half == 0 && steps.Sign() > 0) {
		down.Add(down, big.NewRat(1, 1))
	}
	return text, down.Mul(down, step)
}

func floorOf(x *big.Rat) *big.Int { return new(big.Int).Div(x.Num(), x.Denom()) }

// grain gives the whole grain of a length or an area, half away from zero.
func grain(x *big.Rat) *big.Rat {
	twice := new(big.Rat).Add(new(big.Rat).Abs(x), big.NewRat(1, 2))
	n := new(big.Rat).SetInt(floorOf(twice))
	if x.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

// Random formulas give what math/big gives, rounded once at the end.
func TestEvalAgainstBig(t *testing.T) {
	outcomes := make(map[string]int)
	rapid.Check(t, func(t *rapid.T) {
		g := &grower{t: t, vars: make(map[Kind][]grownVar)}
		s := NewScope()
		var env []Value
		declare := func(name string, v Value, x *big.Rat) {
			if _, err := s.Declare(name, v.Kind()); err != nil {
				t.Fatal(err)
			}
			env = append(env, v)
			g.vars[v.Kind()] = append(g.vars[v.Kind()], grownVar{name, x})
		}
		for i := range 2 {
			nm := rapid.Int64Range(-1e11, 1e11).Draw(t, "nm")
			declare(fmt.Sprintf("l%d.x", i), LengthOf(unit.Length(nm)), big.NewRat(nm, 1))
			n, d := rapid.Int64Range(-50, 50).Draw(t, "n"), rapid.Int64Range(1, 50).Draw(t, "d")
			declare(fmt.Sprintf("n%d", i), number(n, d), big.NewRat(n, d))
		}
		kind := rapid.SampledFrom([]Kind{Number, Length, Area}).Draw(t, "kind")
		text, want := g.grow(kind, rapid.IntRange(0, 5).Draw(t, "depth"))
		got, err := run(s, text, kind, env)
		if kind != Number {
			if exactly := grain(want); err == nil && got.Rounded() != (exactly.Cmp(want) != 0) {
				t.Fatalf("%s: rounded %v, exact value %v", text, got.Rounded(), want)
			}
			want = grain(want)
		}
		switch {
		case err == nil && g.zero:
			outcomes["dead division"]++ // in a side that was not taken
		case err == nil:
			if v := big.NewRat(got.ratio.Num(), got.ratio.Den()); v.Cmp(want) != 0 {
				t.Fatalf("%s = %v, want %v", text, v, want)
			}
			outcomes["equal"]++
		case g.zero && strings.Contains(err.Error(), "division by zero"):
			outcomes["division by zero"]++
		case strings.Contains(err.Error(), "bytes long"), strings.Contains(err.Error(), "more than 5"),
			strings.Contains(err.Error(), "bare integer division"):
			outcomes["refused"]++
		case strings.Contains(err.Error(), "too large") && (g.zero || !want.Num().IsInt64() || !want.Denom().IsInt64()):
			outcomes["too large"]++
		default:
			t.Fatalf("%s: %v; want %v", text, err, want)
		}
	})
	if outcomes["equal"] == 0 || outcomes["equal"] < outcomes["refused"] {
		t.Errorf("the property hardly tests anything: %v", outcomes)
	}
	t.Log(outcomes)
}

func run(s *Scope, text string, kind Kind, env []Value) (Value, error) {
	f, err := s.Compile(text, kind)
	if err != nil {
		return Value{}, err
	}
	f.Working(env) // must not fail whatever the formula
	return f.Eval(env)
}
