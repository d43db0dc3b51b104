package formula

import (
	"strings"
	"sync"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/operators"
)

// Limits of a formula. The size is checked before anything reads the text, the
// nesting before it is handed to the parser.
const (
	maxBytes = 2_000 // of text
	maxDepth = 50    // of brackets, and of steps one inside another
	maxNodes = 500   // names, written values, signs and calls
	maxArgs  = 10    // of min and max
)

// unknown is the name of a variable that stands for whatever was found faulty,
// so that one fault does not bring others in its train. The "@" keeps it out
// of reach of any text.
const unknown = "@unknown"

// rule is one sign or function for one list of kinds: what it takes, what it
// gives and how it is evaluated.
type rule struct {
	name  string
	takes []Kind
	gives Kind
	build builder
}

// id names the rule for the type checker: "_+_(length,length)".
func (r *rule) id() string {
	kinds := make([]string, len(r.takes))
	for i, k := range r.takes {
		kinds[i] = k.String()
	}
	return r.name + "(" + strings.Join(kinds, ",") + ")"
}

// grammar is everything a formula can say, by the id of each rule. The type
// checker's declarations and the evaluation are both made from it.
var grammar = sync.OnceValue(func() map[string]*rule {
	g := make(map[string]*rule)
	for _, r := range allRules() {
		g[r.id()] = &r
	}
	return g
})

func allRules() []rule {
	var rules []rule
	rules = append(rules, arithmeticRules()...)
	rules = append(rules, comparisonRules()...)
	rules = append(rules, logicRules()...)
	rules = append(rules, functionRules()...)
	return append(rules, bandRules()...)
}

func arithmeticRules() []rule {
	rules := []rule{
		{operators.Multiply, []Kind{Number, Number}, Number, buildMul},
		{operators.Multiply, []Kind{Length, Number}, Length, buildMul},
		{operators.Multiply, []Kind{Number, Length}, Length, buildMul},
		{operators.Multiply, []Kind{Area, Number}, Area, buildMul},
		{operators.Multiply, []Kind{Number, Area}, Area, buildMul},
		{operators.Multiply, []Kind{Length, Length}, Area, buildMulLengths},
		{operators.Divide, []Kind{Number, Number}, Number, buildDiv},
		{operators.Divide, []Kind{Length, Number}, Length, buildDiv},
		{operators.Divide, []Kind{Length, Length}, Number, buildDiv},
		{operators.Divide, []Kind{Area, Number}, Area, buildDiv},
		{operators.Divide, []Kind{Area, Area}, Number, buildDiv},
		{operators.Divide, []Kind{Area, Length}, Length, buildDivAreaByLength},
	}
	for _, k := range []Kind{Number, Length, Area} {
		rules = append(rules,
			rule{operators.Add, []Kind{k, k}, k, buildAdd},
			rule{operators.Subtract, []Kind{k, k}, k, buildSub},
			rule{operators.Negate, []Kind{k}, k, buildNeg},
			rule{"abs", []Kind{k}, k, buildAbs})
	}
	return rules
}

func comparisonRules() []rule {
	orders := map[string]func(int) bool{
		operators.Less:          func(c int) bool { return c < 0 },
		operators.LessEquals:    func(c int) bool { return c <= 0 },
		operators.Greater:       func(c int) bool { return c > 0 },
		operators.GreaterEquals: func(c int) bool { return c >= 0 },
	}
	var rules []rule
	for _, k := range []Kind{Number, Length, Area} {
		for name, holds := range orders {
			rules = append(rules, rule{name, []Kind{k, k}, Bool, buildOrder(holds)})
		}
	}
	for _, k := range []Kind{Number, Length, Area, Bool, Text} {
		rules = append(rules,
			rule{operators.Equals, []Kind{k, k}, Bool, buildEqual(true)},
			rule{operators.NotEquals, []Kind{k, k}, Bool, buildEqual(false)})
	}
	return rules
}

func logicRules() []rule {
	rules := []rule{
		{operators.LogicalNot, []Kind{Bool}, Bool, buildNot},
		{operators.LogicalAnd, []Kind{Bool, Bool}, Bool, buildAnd},
		{operators.LogicalOr, []Kind{Bool, Bool}, Bool, buildOr},
	}
	for _, k := range []Kind{Number, Length, Area, Bool, Text} {
		rules = append(rules, rule{operators.Conditional, []Kind{Bool, k, k}, k, buildChoose})
	}
	return rules
}

func functionRules() []rule {
	rules := []rule{
		{"len", []Kind{Text}, Length, nil}, // read when compiled: never built
		{"frac", []Kind{Text}, Number, nil},
		{"up", []Kind{Length, Length}, Length, buildToStep},
		{"down", []Kind{Length, Length}, Length, buildToStep},
		{"nearest", []Kind{Length, Length}, Length, buildToStep},
		{"ceil", []Kind{Number}, Number, buildToWhole},
		{"floor", []Kind{Number}, Number, buildToWhole},
	}
	for _, k := range []Kind{Number, Length, Area} {
		for n := 2; n <= maxArgs; n++ {
			takes := make([]Kind, n)
			for i := range takes {
				takes[i] = k
			}
			rules = append(rules, rule{"min", takes, k, buildExtreme(-1)}, rule{"max", takes, k, buildExtreme(+1)})
		}
	}
	return rules
}

// bandRules give each pair of key and result kinds its own function, since the
// kind of a band() call depends on the table it names; see resolver.band.
func bandRules() []rule {
	var rules []rule
	for _, key := range []Kind{Number, Length} {
		for _, gives := range []Kind{Number, Length, Area, Bool, Text} {
			rules = append(rules, rule{bandName(key, gives), []Kind{Text, key}, gives, buildBand})
		}
	}
	return rules
}

const bandPrefix = "band@"

func bandName(key, gives Kind) string { return bandPrefix + key.String() + "@" + gives.String() }

// functions are the names an engineer can call, with the way each is written.
var functions = map[string]string{
	"len":     "len('15 in')",
	"frac":    "frac('3/4')",
	"up":      "up(x, len('1/16 in'))",
	"down":    "down(x, len('1/16 in'))",
	"nearest": "nearest(x, len('1/16 in'))",
	"ceil":    "ceil(n)",
	"floor":   "floor(n)",
	"min":     "min(a, b)",
	"max":     "max(a, b)",
	"abs":     "abs(x)",
	"band":    "band('table', x)",
}

var celTypes = map[Kind]*cel.Type{
	Number: cel.IntType, // so that a written whole number is a Number
	Length: cel.OpaqueType(Length.String()),
	Area:   cel.OpaqueType(Area.String()),
	Bool:   cel.BoolType,
	Text:   cel.StringType,
}

// kindOf reads a type as the checker prints it; zero for lists and unknowns.
func kindOf(celType string) Kind {
	for k, t := range celTypes {
		if cel.FormatCELType(t) == celType {
			return k
		}
	}
	return 0
}

// language is the environment all scopes extend: our grammar and nothing else.
var language = sync.OnceValues(func() (*cel.Env, error) {
	overloads := make(map[string][]cel.FunctionOpt)
	for id, r := range grammar() {
		takes := make([]*cel.Type, len(r.takes))
		for i, k := range r.takes {
			takes[i] = celTypes[k]
		}
		overloads[r.name] = append(overloads[r.name], cel.Overload(id, takes, celTypes[r.gives]))
	}
	for k, t := range celTypes {
		id := operators.In + "(" + k.String() + ")"
		overloads[operators.In] = append(overloads[operators.In],
			cel.Overload(id, []*cel.Type{t, cel.ListType(t)}, cel.BoolType))
	}
	opts := []cel.EnvOption{
		cel.ParserRecursionLimit(4 * maxDepth),
		cel.ParserExpressionSizeLimit(2 * maxBytes),
		cel.Variable(unknown, cel.DynType),
	}
	for name, o := range overloads {
		opts = append(opts, cel.Function(name, o...))
	}
	return cel.NewCustomEnv(opts...)
})
