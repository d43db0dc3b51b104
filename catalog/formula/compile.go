package formula

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/ast"
	"cel.dev/cel-go/common/operators"
	"cel.dev/cel-go/common/types"

	"billwright/catalog/unit"
)

// Compile reads a formula that must give a value of kind want; a zero want
// takes any kind. The error is Faults, all of them, in the order of the text;
// a syntax that cannot be read hides what stands behind it.
func (s *Scope) Compile(text string, want Kind) (*Formula, error) {
	in := read(text)
	if in.broken && in.src == nil {
		return nil, Faults(in.faults)
	}
	scope, err := s.reading()
	if err != nil {
		return nil, err
	}
	if in.broken {
		return nil, sorted(append(in.faults, scope.unknownNames(in)...))
	}
	root, faults := scope.compile(in, want)
	if len(faults) > 0 {
		return nil, sorted(faults)
	}
	return newFormula(text, root), nil
}

// unknownNames are the names in a text too broken to parse that are not
// declared: worth telling in the same go.
func (s *reading) unknownNames(in *reader) []*Fault {
	var faults []*Fault
	for i, t := range in.tokens {
		call := i+1 < len(in.tokens) && in.tokens[i+1].is("(")
		if _, known := s.names[t.text]; t.kind != tokenName || known || call || !nameText(t.text) {
			continue
		}
		if near := didYouMean(t.text, slices.Sorted(maps.Keys(s.names))); near != "" {
			faults = append(faults, in.src.faultAsWritten(t.start, "unknown name "+quoted(t.text), near))
		}
	}
	return faults
}

func nameText(s string) bool {
	return checkName(s) == nil && unitWords[s] == ""
}

// compile parses, resolves, type-checks and builds.
func (s *reading) compile(in *reader, want Kind) (*node, []*Fault) {
	parsed, issues := s.env.Parse(in.parse)
	if issues.Err() != nil {
		return nil, append(in.faults, syntaxFaults(in, issues)...)
	}
	tree := parsed.NativeRep()
	r := &resolver{
		reading: s, src: in.src, parsed: in.parse, info: tree.SourceInfo(),
		make: ast.NewExprFactory(), faults: make(map[int64]*Fault),
	}
	if !r.bound(tree.Expr(), 1) {
		return nil, slices.Collect(maps.Values(r.faults))
	}
	r.visit(tree.Expr())
	checked, issues := s.env.Check(parsed)
	if issues.Err() != nil {
		r.explain(tree, issues)
	}
	if faults := append(in.faults, slices.Collect(maps.Values(r.faults))...); len(faults) > 0 {
		return nil, faults
	}
	b := &treeBuilder{resolver: r, tree: checked.NativeRep()}
	root := b.build(checked.NativeRep().Expr())
	if len(b.folding) > 0 {
		return nil, b.folding
	}
	if root.constant() {
		_, err := root.value(nil)
		if b.told(err); err != nil {
			return nil, b.folding
		}
	}
	if want != 0 && root.kind != want {
		return nil, []*Fault{wrongResult(in.src, root.kind, want)}
	}
	return root, nil
}

// treeBuilder turns the checked tree into nodes with closures.
type treeBuilder struct {
	*resolver
	tree    *ast.AST
	folding []*Fault // constant parts that cannot be evaluated
}

func (b *treeBuilder) build(e ast.Expr) *node {
	n := &node{src: b.src, pos: b.pos(e)}
	switch e.Kind() {
	case ast.IdentKind:
		v := b.names[e.AsIdent()]
		n.name, n.kind, n.slot = v.name, v.kind, v.slot
		if strings.Contains(n.name, ".") {
			n.pos = b.beforeBracket(n.pos) // the checker places it at its last dot
		}
		n.readVariable()
	case ast.LiteralKind:
		n.literal = literalValue(e)
		n.kind, n.written = n.literal.kind, writtenText(n.literal)
		n.holdLiteral()
	default:
		b.call(n, e)
	}
	return n
}

func literalValue(e ast.Expr) Value {
	switch v := e.AsLiteral().(type) {
	case types.Int:
		return NumberOf(unit.RatioOf(int64(v)))
	case types.Bool:
		return BoolOf(bool(v))
	}
	s, _ := literalText(e)
	return TextOf(s)
}

func writtenText(v Value) string {
	switch v.kind {
	case Text:
		return "'" + v.text + "'"
	case Bool:
		if v.yes {
			return "true"
		}
		return "false"
	}
	return v.String()
}

func (b *treeBuilder) call(n *node, e ast.Expr) {
	call := e.AsCall()
	n.op = call.FunctionName()
	switch n.op {
	case "len", "frac":
		text, _ := literalText(call.Args()[0])
		n.literal, _ = readWritten(n.op, text)
		n.op, n.kind, n.written = "", n.literal.kind, text
		n.holdLiteral()
		return
	case operators.In:
		n.kind, n.args = Bool, []*node{b.build(call.Args()[0])}
		b.listOf(n, call.Args()[1])
		buildIn(n)
		return
	}
	for _, arg := range call.Args() {
		n.args = append(n.args, b.build(arg))
	}
	rule := grammar()[b.tree.GetOverloadIDs(e.ID())[0]]
	n.kind = rule.gives
	if strings.HasPrefix(n.op, bandPrefix) {
		name, _ := literalText(call.Args()[0])
		n.table = b.tables[name]
	}
	rule.build(n)
	b.fold(n)
}

// listOf gives n the written values of a list.
func (b *treeBuilder) listOf(n *node, list ast.Expr) {
	for _, element := range list.AsList().Elements() {
		value := b.build(element)
		v, err := value.value(nil)
		b.told(err)
		n.list = append(n.list, v)
		n.args = append(n.args, value)
	}
}

// fold evaluates n now if it reads no name, and the part of n that can make
// every evaluation fail if that reads none: a divisor, a step to round to.
func (b *treeBuilder) fold(n *node) {
	if len(b.folding) > 0 {
		return
	}
	if n.constant() {
		b.told(n.fold())
		return
	}
	_, steps := roundings[n.op]
	if len(n.args) != 2 || !(steps || n.op == operators.Divide) || !n.args[1].constant() {
		return
	}
	switch x, err := n.args[1].num(nil); {
	case err != nil:
		b.told(err)
	case n.op == operators.Divide && x.sign() == 0:
		b.told(n.divisionByZero())
	case steps && x.sign() <= 0:
		b.told(n.badStep())
	}
}

func (b *treeBuilder) told(err error) {
	if f, ok := errors.AsType[*Fault](err); ok {
		b.folding = append(b.folding, f)
	}
}

// syntaxFaults puts the parser's refusals in plain words. The tokens have been
// judged before, so what is left is rare: mostly an unfinished "? :".
func syntaxFaults(in *reader, issues *cel.Issues) []*Fault {
	if len(in.faults) > 0 {
		return nil // more likely the repair's fault than the engineer's
	}
	var faults []*Fault
	for _, issue := range issues.Errors() {
		faults = append(faults, syntaxFault(in, issue))
	}
	return faults[:min(len(faults), 1)]
}
