package formula

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"cel.dev/cel-go/common/ast"
	"cel.dev/cel-go/common/operators"
	"cel.dev/cel-go/common/types"
)

// resolver walks the parsed tree before the type check: it bounds the tree,
// finds the faults that are not a matter of kinds (unknown names, written
// values that cannot be read, choices that do not exist), and puts something
// harmless in the place of each, so that the type check can go on behind it.
type resolver struct {
	*reading
	src    *source
	parsed string // the text that was parsed
	info   *ast.SourceInfo
	make   ast.ExprFactory
	faults map[int64]*Fault // by the expression they are about
	nodes  int
}

// pos is where e begins in the parsed text; a sign begins at the sign itself.
func (r *resolver) pos(e ast.Expr) int {
	if e.Kind() == ast.SelectKind {
		return r.pos(e.AsSelect().Operand())
	}
	at, ok := r.info.GetOffsetRange(e.ID())
	if !ok {
		return 0
	}
	if e.Kind() == ast.CallKind && !isSign(e.AsCall().FunctionName()) {
		return r.beforeBracket(int(at.Start))
	}
	return int(at.Start)
}

// beforeBracket gives the beginning of the name before a bracket or a dot,
// which is where the parser places a call or a dotted name.
func (r *resolver) beforeBracket(bracket int) int {
	text := string([]rune(r.parsed)[:bracket])
	name := strings.TrimRightFunc(text, unicode.IsSpace)
	name = strings.TrimRightFunc(name, func(c rune) bool { return isLetter(c) || isDigit(c) || c == '.' })
	return len([]rune(name))
}

func (r *resolver) fault(e ast.Expr, message, hint string) {
	if _, told := r.faults[e.ID()]; !told {
		r.faults[e.ID()] = r.src.fault(r.pos(e), message, hint)
	}
}

// mend faults e and puts a value of no particular kind in its place.
func (r *resolver) mend(e ast.Expr, message, hint string) {
	r.fault(e, message, hint)
	e.SetKindCase(r.make.NewIdent(e.ID(), unknown))
}

// bound counts steps and depth; a tree over a limit is not looked into.
func (r *resolver) bound(e ast.Expr, depth int) bool {
	if r.nodes++; r.nodes > maxNodes {
		r.faults = map[int64]*Fault{0: r.src.fault(0, fmt.Sprintf("the formula has more than %d steps", maxNodes),
			"split it into several named formulas, or use a table with band()")}
		return false
	}
	if depth > maxDepth {
		r.faults = map[int64]*Fault{0: r.src.fault(0, fmt.Sprintf("the formula has more than %d steps one inside another", maxDepth),
			"split it into several named formulas, or group a long sum with brackets")}
		return false
	}
	for _, part := range parts(e) {
		if !r.bound(part, depth+1) {
			return false
		}
	}
	return true
}

// parts are the expressions directly inside e.
func parts(e ast.Expr) []ast.Expr {
	switch e.Kind() {
	case ast.CallKind:
		if call := e.AsCall(); call.IsMemberFunction() {
			return append([]ast.Expr{call.Target()}, call.Args()...)
		}
		return e.AsCall().Args()
	case ast.ListKind:
		return e.AsList().Elements()
	case ast.SelectKind:
		return []ast.Expr{e.AsSelect().Operand()}
	}
	return nil
}

func (r *resolver) visit(e ast.Expr) {
	switch e.Kind() {
	case ast.LiteralKind:
		r.literal(e)
	case ast.IdentKind, ast.SelectKind:
		r.ident(e)
	case ast.CallKind:
		r.call(e)
	case ast.ListKind:
		r.mend(e, "a list only stands after in", "write x in ['a', 'b']")
	default:
		r.mend(e, "this cannot be used in a formula", "")
	}
}

func (r *resolver) literal(e ast.Expr) {
	switch e.AsLiteral().(type) {
	case types.Int, types.Bool, types.String:
	case types.Double:
		written := r.written(e)
		r.fault(e, written+": decimals are written as exact fractions", "write frac('"+written+"')")
		// A whole number of the same kind lets the type check go on.
		e.SetKindCase(r.make.NewLiteral(e.ID(), types.Int(1)))
	default:
		r.mend(e, r.written(e)+" is not a value of a formula", "")
	}
}

// written is the text of a literal as it stands in the formula.
func (r *resolver) written(e ast.Expr) string {
	at, ok := r.info.GetOffsetRange(e.ID())
	parsed := []rune(r.parsed)
	if !ok || at.Start < 0 || int(at.Stop) > len(parsed) || at.Stop < at.Start {
		return "this"
	}
	return strings.TrimSpace(string(parsed[at.Start:at.Stop]))
}

// path is the dotted name e spells, "" when it is not one.
func path(e ast.Expr) string {
	switch e.Kind() {
	case ast.IdentKind:
		return e.AsIdent()
	case ast.SelectKind:
		if before := path(e.AsSelect().Operand()); before != "" && !e.AsSelect().IsTestOnly() {
			return before + "." + e.AsSelect().FieldName()
		}
	}
	return ""
}

func (r *resolver) ident(e ast.Expr) {
	name := path(e)
	if _, known := r.names[name]; known {
		return
	}
	if name == "" {
		r.mend(e, "a dot only stands inside a name, as in standard.seam", "")
		return
	}
	if owner := r.choiceWith(name); owner != "" {
		r.fault(e, name+" is a value of "+owner+": a text is written in quotes", "write '"+name+"'")
		e.SetKindCase(r.make.NewLiteral(e.ID(), types.String(name)))
		return
	}
	message, hint := unknownName(name, r.names)
	r.mend(e, message, hint)
}

func unknownName(name string, names map[string]*variable) (message, hint string) {
	if example, is := functions[name]; is {
		return name + " is a function and takes its values in brackets", "write " + example
	}
	return "unknown name " + quoted(name), didYouMeanOneOf("name", name, names)
}

// didYouMeanOneOf suggests a declared name or table: one that is near, else
// the first few of them all.
func didYouMeanOneOf[V any](what, word string, declared map[string]V) string {
	known := slices.Sorted(maps.Keys(declared))
	if near := didYouMean(word, known); near != "" {
		return near
	}
	if len(known) == 0 {
		return "no " + what + " is declared here"
	}
	return "the " + what + "s here are " + firstFew(known)
}

// choiceWith names a choice that has value among those allowed.
func (r *resolver) choiceWith(value string) string {
	for _, name := range slices.Sorted(maps.Keys(r.names)) {
		if slices.Contains(r.names[name].allowed, value) {
			return name
		}
	}
	return ""
}

func (r *resolver) call(e ast.Expr) {
	call := e.AsCall()
	name, args := call.FunctionName(), call.Args()
	switch {
	case call.IsMemberFunction():
		r.mend(e, quoted(path(call.Target())+"."+name)+" is not a function", "functions are written like "+functions["min"])
		return
	case name == operators.Subtract && r.unquoted(e):
		return
	case name == operators.In && args[1].Kind() == ast.ListKind:
		r.visit(args[0])
		r.list(args[1])
		r.choice(args[0], args[1].AsList().Elements()...)
		return
	case name == operators.In:
		r.visit(args[0])
		r.mend(e, "in needs a list written out after it", "write x in ['a', 'b']")
		return
	case name == operators.Index:
		r.mend(e, "[ ] only stands after in", "write x in ['a', 'b']")
		return
	}
	if name == "band" && len(args) > 0 {
		r.unquotedTable(args[0])
	}
	for _, arg := range args {
		r.visit(arg)
	}
	switch name {
	case operators.Equals, operators.NotEquals:
		r.choice(args[0], args[1])
		r.choice(args[1], args[0])
	case operators.Divide:
		r.division(e, args[0], args[1])
	case "len", "frac":
		r.writtenCall(e, name, args)
	case "band":
		r.band(e, args)
	default:
		r.function(e, name)
	}
}

func (r *resolver) function(e ast.Expr, name string) {
	if isSign(name) {
		return
	}
	if _, known := functions[name]; known {
		return
	}
	if _, is := r.names[name]; is {
		r.mend(e, name+" is a name, not a function", "write a sign between it and the bracket, such as "+name+" * (..)")
		return
	}
	known := slices.Sorted(maps.Keys(functions))
	hint := didYouMean(name, known)
	switch {
	case name == "round":
		hint = "write " + functions["nearest"] + ", or up or down"
	case hint == "":
		hint = "the functions are " + strings.Join(known, ", ")
	}
	r.mend(e, "unknown function "+quoted(name), hint)
}

// unquoted recognizes white-oak, which reads as white minus oak, as the text
// it must be when it is the value of a choice and its parts are no names.
func (r *resolver) unquoted(e ast.Expr) bool {
	value, strangers := r.dashed(e)
	if value == "" || strangers == 0 {
		return false
	}
	owner := r.choiceWith(value)
	if owner == "" {
		return false
	}
	first := e
	for first.Kind() == ast.CallKind {
		first = first.AsCall().Args()[0]
	}
	r.faults[e.ID()] = r.src.fault(r.pos(first), value+" is a value of "+owner+": a text is written in quotes", "write '"+value+"'")
	e.SetKindCase(r.make.NewLiteral(e.ID(), types.String(value)))
	return true
}

// dashed spells a chain of names and whole numbers joined by minus signs, and
// counts the names in it that are not declared.
func (r *resolver) dashed(e ast.Expr) (value string, strangers int) {
	switch {
	case e.Kind() == ast.IdentKind:
		if _, known := r.names[e.AsIdent()]; !known {
			strangers = 1
		}
		return e.AsIdent(), strangers
	case e.Kind() == ast.LiteralKind && e.AsLiteral().Type() == types.IntType:
		return r.written(e), 0
	case e.Kind() == ast.CallKind && e.AsCall().FunctionName() == operators.Subtract:
		left, m := r.dashed(e.AsCall().Args()[0])
		right, n := r.dashed(e.AsCall().Args()[1])
		if left != "" && right != "" {
			return left + "-" + right, m + n
		}
	}
	return "", 0
}
