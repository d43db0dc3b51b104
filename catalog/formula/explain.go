package formula

import (
	"regexp"
	"slices"
	"strings"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/ast"
	"cel.dev/cel-go/common/operators"
)

// syntaxFault puts one refusal of the parser in plain words.
func syntaxFault(in *reader, issue *cel.Error) *Fault {
	pos := in.offset(issue.Location.Line(), issue.Location.Column())
	switch {
	case strings.Contains(issue.Message, "int literal"):
		return in.src.fault(pos, "a whole number here has too many digits", "numbers go up to 9223372036854775807")
	case strings.Contains(issue.Message, "float literal"):
		return in.src.fault(pos, "a number here cannot be read", "write frac('1/2') or frac('0.5')")
	case strings.Contains(issue.Message, "recursion"):
		return in.src.fault(pos, "the formula has too many steps one inside another", "split it into several named formulas")
	case strings.Contains(issue.Message, "reserved identifier"):
		_, word, _ := strings.Cut(issue.Message, ": ")
		return in.src.fault(pos, word+" is a reserved word and cannot be a name", "use one of the declared names")
	case strings.Contains(issue.Message, "expecting ':'"), strings.Contains(in.parse, "?") && !strings.Contains(in.parse, ":"):
		return in.src.fault(pos, "the ? has no : after it", "write condition ? value when yes : value when no")
	case strings.Contains(issue.Message, "':'"), strings.Contains(in.parse, ":") && !strings.Contains(in.parse, "?"):
		return in.src.fault(pos, "the : has no ? before it", "write condition ? value when yes : value when no")
	}
	return in.src.fault(pos, "the formula cannot be read from here on", "check the signs and names around this place")
}

// offset turns the parser's line and column into a position.
func (in *reader) offset(line, column int) int {
	pos := 0
	for _, r := range in.parse {
		if line <= 1 {
			break
		}
		if pos++; r == '\n' {
			line--
		}
	}
	return pos + max(column, 0)
}

// explain turns the type checker's refusals into sentences. One fault an
// expression: what the resolver found first stands.
func (r *resolver) explain(tree *ast.AST, issues *cel.Issues) {
	byID := make(map[int64]ast.Expr)
	ast.PostOrderVisit(tree.Expr(), ast.NewExprVisitor(func(e ast.Expr) { byID[e.ID()] = e }))
	for _, issue := range issues.Errors() {
		e, known := byID[issue.ExprID]
		switch {
		case !known:
			r.faults[issue.ExprID] = r.src.fault(0, "the formula cannot be checked: "+issue.Message, "")
		case strings.HasPrefix(issue.Message, "expected type"):
			r.notCondition(e, issue.Message)
		case e.Kind() == ast.CallKind:
			r.mismatch(e, argumentKinds(issue.Message))
		default:
			r.fault(e, issue.Message, "")
		}
	}
}

var (
	foundType     = regexp.MustCompile(`found '([^']*)'`)
	argumentTypes = regexp.MustCompile(`applied to '\((.*)\)'`)
)

// argumentKinds reads the kinds out of "found no matching overload for '_+_'
// applied to '(length, int)'"; a kind that is unknown or a list is zero.
func argumentKinds(message string) []Kind {
	m := argumentTypes.FindStringSubmatch(message)
	if m == nil || m[1] == "" {
		return nil
	}
	var kinds []Kind
	for _, t := range strings.Split(m[1], ", ") {
		kinds = append(kinds, kindOf(t))
	}
	return kinds
}

// notCondition explains a part of && or || that is not yes/no.
func (r *resolver) notCondition(e ast.Expr, message string) {
	var kind Kind
	if m := foundType.FindStringSubmatch(message); m != nil {
		kind = kindOf(m[1])
	}
	r.fault(e, "&& and || join conditions, and this is "+kind.withArticle(), "compare it with something, as in "+comparison(kind))
}

func comparison(k Kind) string {
	switch k {
	case Number:
		return "legs > 3"
	case Length:
		return "length > len('60 in')"
	case Text:
		return "species == 'oak'"
	}
	return "a > b"
}

// mismatch explains a sign or function that does not take these kinds.
func (r *resolver) mismatch(e ast.Expr, kinds []Kind) {
	call := e.AsCall()
	name, args := call.FunctionName(), call.Args()
	if len(kinds) != len(args) {
		kinds = make([]Kind, len(args))
	}
	if !isSign(name) {
		r.wrongCall(e, name, args, kinds)
		return
	}
	switch name {
	case operators.Add, operators.Subtract:
		r.wrongSum(e, name, args, kinds)
	case operators.Multiply:
		r.wrongProduct(e, kinds)
	case operators.Divide:
		r.wrongQuotient(e, kinds)
	case operators.Negate:
		r.fault(e, "- stands before "+kinds[0].withArticle()+": only numbers, lengths and areas have a sign", "leave the - out, or write ! to turn a condition round")
	case operators.LogicalNot:
		r.fault(e, "! turns a condition round, and this is "+kinds[0].withArticle(), "compare it with something, as in "+comparison(kinds[0]))
	case operators.Conditional:
		r.wrongChoice(e, args, kinds)
	case operators.In:
		r.wrongList(e, args, kinds)
	default:
		r.wrongComparison(e, name, args, kinds)
	}
}

// between shows a pair of kinds around their sign: "length + number".
func between(op string, kinds []Kind) string {
	sign, _ := operators.FindReverseBinaryOperator(op)
	return kinds[0].String() + " " + sign + " " + kinds[1].String()
}

// withUnit is the hint for a bare number where a length is needed; it takes
// over the fault of the number itself, if there is one.
func (r *resolver) withUnit(args []ast.Expr, kinds []Kind) (pos int, hint string) {
	i := slices.Index(kinds, Number)
	number := args[i]
	delete(r.faults, number.ID())
	if !isWritten(number) {
		return -1, "give it a unit, as in " + nameOr(number, "n") + " * len('1 in')"
	}
	return r.pos(number), "write " + asLength(r.written(number))
}

// asLength makes a length in inches of a number as it is written.
func asLength(number string) string {
	digits, minus := strings.CutPrefix(number, "-")
	length := "len('" + strings.TrimSpace(digits) + " in')"
	if minus {
		return "-" + length
	}
	return length
}

// isWritten reports a bare number; a call such as frac('1/2') is none.
func isWritten(e ast.Expr) bool { return e.Kind() == ast.LiteralKind }

func nameOr(e ast.Expr, other string) string {
	if name := path(e); name != "" {
		return name
	}
	return other
}

// unitless tells a fault in which a bare number meets a length or an area.
func (r *resolver) unitless(e ast.Expr, op string, args []ast.Expr, kinds []Kind) bool {
	if !slices.Contains(kinds, Number) || !slices.Contains(kinds, Length) && !slices.Contains(kinds, Area) {
		return false
	}
	pos, hint := r.withUnit(args, kinds)
	if pos < 0 {
		pos = r.pos(e)
	}
	if slices.Contains(kinds, Area) {
		hint = "an area is a length times a length, as in len('12 in') * len('12 in')"
	}
	r.faults[e.ID()] = r.src.fault(pos, between(op, kinds)+": a bare number has no unit", hint)
	return true
}

func (r *resolver) wrongSum(e ast.Expr, op string, args []ast.Expr, kinds []Kind) {
	verb := map[string]string{operators.Add: "added", operators.Subtract: "subtracted"}[op]
	switch {
	case r.unitless(e, op, args, kinds):
	case slices.Contains(kinds, Text):
		r.fault(e, between(op, kinds)+": text cannot be "+verb, "compare it, as in "+comparison(Text))
	case slices.Contains(kinds, Bool):
		r.fault(e, between(op, kinds)+": a condition cannot be "+verb, "turn it into a value, as in c ? 1 : 0")
	default:
		r.fault(e, between(op, kinds)+": only like can be "+verb, "an area divided by a length is a length; a length times a length is an area")
	}
}

func (r *resolver) wrongProduct(e ast.Expr, kinds []Kind) {
	what := between(operators.Multiply, kinds)
	if !slices.ContainsFunc(kinds, func(k Kind) bool { return !k.measurable() }) {
		r.fault(e, what+": a formula has no volumes", "leave the volume to the bill, and give it the area or the length")
		return
	}
	r.fault(e, what+": only numbers, lengths and areas can be multiplied", asValue(kinds))
}

// asValue is the hint for what cannot be reckoned with.
func asValue(kinds []Kind) string {
	if slices.Contains(kinds, Text) {
		return "compare a text, as in " + comparison(Text)
	}
	return "turn a condition into a value, as in c ? 2 : 1"
}

func (r *resolver) wrongQuotient(e ast.Expr, kinds []Kind) {
	what := between(operators.Divide, kinds)
	if !slices.ContainsFunc(kinds, func(k Kind) bool { return !k.measurable() }) {
		r.fault(e, what+": cannot be divided this way round", "did you mean "+between(operators.Divide, []Kind{kinds[1], kinds[0]})+"?")
		return
	}
	r.fault(e, what+": only numbers, lengths and areas can be divided", asValue(kinds))
}

func (r *resolver) wrongComparison(e ast.Expr, op string, args []ast.Expr, kinds []Kind) {
	what := between(op, kinds)
	switch {
	case r.unitless(e, op, args, kinds):
	case kinds[0] == kinds[1] && kinds[0] == Text:
		r.fault(e, what+": a text is not less or more than another", "write ==, != or in ['a', 'b']")
	case slices.ContainsFunc(args, isComparison):
		r.fault(e, "two comparisons in a row", "write a < b && b < c")
	case kinds[0] == kinds[1]:
		r.fault(e, what+": conditions have no order", "write == or !=")
	default:
		r.fault(e, what+": different kinds can never be compared", "compare "+kinds[0].withArticle()+" with "+kinds[0].withArticle())
	}
}

func isComparison(e ast.Expr) bool {
	return e.Kind() == ast.CallKind && binding[e.AsCall().FunctionName()] == bindsCompare
}

func (r *resolver) wrongChoice(e ast.Expr, args []ast.Expr, kinds []Kind) {
	if kinds[0] != Bool && kinds[0] != 0 {
		r.fault(args[0], "before ? stands a condition, and this is "+kinds[0].withArticle(), "compare it with something, as in "+comparison(kinds[0]))
		return
	}
	hint := "write the same kind on both sides of :"
	if (kinds[1] == Number && kinds[2] == Length) || (kinds[1] == Length && kinds[2] == Number) {
		_, hint = r.withUnit(args[1:], kinds[1:])
	}
	r.fault(e, "the two sides of : differ: "+kinds[1].withArticle()+" when yes, "+kinds[2].withArticle()+" when no", hint)
}

func (r *resolver) wrongList(e ast.Expr, args []ast.Expr, kinds []Kind) {
	first := args[1].AsList().Elements()[0]
	hint := "write " + kinds[0].withArticle() + " in the list"
	if kinds[0] == Length && isWritten(first) && writtenKind(first) == Number.String() {
		hint = "write " + asLength(r.written(first)) + " in the list"
	}
	r.fault(e, kinds[0].withArticle()+" is never in a list of "+writtenKind(first)+"s", hint)
}

// wrongCall explains a function given other values than it takes.
func (r *resolver) wrongCall(e ast.Expr, name string, args []ast.Expr, kinds []Kind) {
	if strings.HasPrefix(name, bandPrefix) {
		r.wrongBand(e, args, kinds)
		return
	}
	hint := "write " + functions[name]
	switch name {
	case "up", "down", "nearest":
		r.wrongStep(e, name, args, kinds)
	case "ceil", "floor":
		if len(kinds) == 1 && kinds[0] == Length {
			mode := map[string]string{"ceil": "up", "floor": "down"}[name]
			hint = "a length is rounded with " + functions[mode]
		}
		r.fault(e, name+" takes one number"+given(kinds), hint)
	case "min", "max":
		r.wrongExtreme(e, name, args, kinds)
	case "abs":
		r.fault(e, "abs takes one number, length or area"+given(kinds), hint)
	default:
		r.fault(e, name+" is not used this way"+given(kinds), hint)
	}
}

// given ends a sentence with what was found instead.
func given(kinds []Kind) string {
	if len(kinds) == 0 {
		return ", and was given nothing"
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		if words[i] = k.withArticle(); k == 0 {
			words[i] = "something faulty"
		}
	}
	if len(words) > 4 {
		words = append(words[:4], "more")
	}
	return ", and was given " + andList(words)
}

func andList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func (r *resolver) wrongStep(e ast.Expr, name string, args []ast.Expr, kinds []Kind) {
	switch {
	case len(args) == 2 && kinds[0] == Length && kinds[1] == Number:
		_, hint := r.withUnit(args[1:], kinds[1:])
		r.fault(e, name+": the step to round to is a length, not a number", hint)
	case len(args) == 2 && kinds[0] == Number && kinds[1] == Length:
		r.fault(e, name+" rounds a length, not a number", "a number is rounded with ceil(n) or floor(n)")
	default:
		r.fault(e, name+" takes a length and the step to round it to"+given(kinds), "write "+functions[name])
	}
}

func (r *resolver) wrongExtreme(e ast.Expr, name string, args []ast.Expr, kinds []Kind) {
	switch {
	case len(args) < 2:
		r.fault(e, name+" compares two values or more"+given(kinds), "write "+functions[name])
	case len(args) > maxArgs:
		r.fault(e, name+" takes up to ten values", "put one "+name+" inside another")
	case slices.Contains(kinds, Number) && slices.Contains(kinds, Length):
		_, hint := r.withUnit(args, kinds)
		r.fault(e, name+" takes values of one kind"+given(kinds), hint)
	default:
		r.fault(e, name+" takes numbers, lengths or areas, all of one kind"+given(kinds), "")
	}
}

func (r *resolver) wrongBand(e ast.Expr, args []ast.Expr, kinds []Kind) {
	name, _ := literalText(args[0])
	t := r.tables[name]
	hint := "give it " + t.key.withArticle()
	if t.key == Length && kinds[1] == Number {
		_, hint = r.withUnit(args[1:], kinds[1:])
	}
	r.fault(args[1], "table '"+name+"' is looked up by "+t.key.withArticle()+", and this is "+kinds[1].withArticle(), hint)
}

// wrongResult is the fault of a formula that gives another kind than needed.
func wrongResult(src *source, gives, want Kind) *Fault {
	hints := map[[2]Kind]string{
		{Number, Length}: "multiply it by a length, as in n * len('1 in')",
		{Length, Number}: "divide it by a length, as in x / len('1 in')",
		{Area, Length}:   "divide it by a length",
		{Length, Area}:   "multiply it by a length",
		{Number, Bool}:   "compare it, as in " + comparison(Number),
		{Length, Bool}:   "compare it, as in " + comparison(Length),
		{Text, Bool}:     "compare it, as in " + comparison(Text),
		{Bool, Number}:   "write c ? 1 : 0",
		{Bool, Length}:   "write c ? len('1 in') : len('0 in')",
	}
	return src.fault(0, "the formula gives "+gives.withArticle()+", and "+want.withArticle()+" is needed here", hints[[2]Kind{gives, want}])
}
