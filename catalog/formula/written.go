package formula

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"cel.dev/cel-go/common/ast"
	"cel.dev/cel-go/common/operators"
	"cel.dev/cel-go/common/types"

	"billwright/catalog/unit"
)

// What a formula writes out: lists, the values of choices, fractions, lengths,
// the names of tables.

// list checks the list after in: written values of one kind. What is wrong
// with an element is told about the element.
func (r *resolver) list(e ast.Expr) {
	elements := e.AsList().Elements()
	if len(elements) == 0 {
		r.fault(e, "the list after in is empty", "write the values it may have, as in ['a', 'b']")
		return
	}
	var first string
	for _, element := range elements {
		r.visit(element)
		kind := writtenKind(element)
		switch {
		case r.faults[element.ID()] != nil:
		case kind == "":
			r.fault(element, "a list holds only written values", "compare names with == and ||")
		case first == "":
			first = kind
		case kind != first:
			r.fault(element, "the list mixes "+first+" and "+kind, "write values of one kind")
		}
	}
}

// writtenKind names the kind of a written value, "" for anything else.
func writtenKind(e ast.Expr) string {
	switch e.Kind() {
	case ast.LiteralKind:
		return kindOf(e.AsLiteral().Type().TypeName()).String()
	case ast.CallKind:
		switch call := e.AsCall(); call.FunctionName() {
		case "len":
			return Length.String()
		case "frac":
			return Number.String()
		case operators.Negate:
			return writtenKind(call.Args()[0])
		}
	}
	return ""
}

// choice checks the texts that a choice is compared with.
func (r *resolver) choice(e ast.Expr, values ...ast.Expr) {
	v, is := r.names[path(e)]
	if !is || v.allowed == nil {
		return
	}
	for _, value := range values {
		if value.Kind() != ast.LiteralKind {
			continue
		}
		text, isText := value.AsLiteral().(types.String)
		if !isText || slices.Contains(v.allowed, string(text)) {
			continue
		}
		hint := didYouMean(string(text), v.allowed)
		if hint == "" {
			hint = "it is one of " + firstFew(v.allowed)
		}
		r.fault(value, v.name+" is never '"+quoted(string(text))+"'", hint)
	}
}

// firstFew lists words, cut after eight.
func firstFew(words []string) string {
	const most = 8
	if len(words) > most {
		return strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return strings.Join(words, ", ")
}

// division refuses 3 / 4: whoever writes it may expect 0, 0.75 or 1.
func (r *resolver) division(e, top, bottom ast.Expr) {
	if !bareNumber(top) || !bareNumber(bottom) {
		return
	}
	x, y := r.written(top), r.written(bottom)
	hint := "write it as one frac('..')"
	if top.Kind() == ast.LiteralKind && bottom.Kind() == ast.LiteralKind {
		hint = "write frac('" + x + "/" + y + "')"
		r.faults[e.ID()] = r.src.fault(r.pos(top), x+" / "+y+": bare integer division", hint)
		return
	}
	r.fault(e, "bare integer division", hint)
}

// bareNumber reports a calculation of whole numbers written out.
func bareNumber(e ast.Expr) bool {
	switch e.Kind() {
	case ast.LiteralKind:
		return e.AsLiteral().Type() == types.IntType
	case ast.CallKind:
		call := e.AsCall()
		switch call.FunctionName() {
		case operators.Add, operators.Subtract, operators.Multiply, operators.Divide, operators.Negate:
			return !slices.ContainsFunc(call.Args(), func(a ast.Expr) bool { return !bareNumber(a) })
		}
	}
	return false
}

// writtenCall reads the text inside len() and frac().
func (r *resolver) writtenCall(e ast.Expr, name string, args []ast.Expr) {
	if len(args) != 1 {
		r.fault(e, name+" takes one text", "write "+functions[name])
		return
	}
	text, isText := literalText(args[0])
	if !isText {
		if r.faults[args[0].ID()] != nil {
			delete(r.faults, args[0].ID()) // len(0.5): the one below says it all
		}
		hint := "write " + functions[name]
		if bareNumber(args[0]) || args[0].Kind() == ast.LiteralKind {
			hint = "write " + name + "('" + r.written(args[0]) + map[string]string{"len": " in"}[name] + "')"
		}
		r.mend(e, name+" reads a text in quotes, not a calculation", hint)
		return
	}
	if _, err := readWritten(name, text); err != nil {
		message, hint := err.Error(), ""
		if p, ok := errors.AsType[*unit.ParseError](err); ok {
			message, hint = p.Reason, p.Hint
		}
		r.fault(args[0], name+"('"+quoted(text)+"'): "+message, hint)
	}
}

func literalText(e ast.Expr) (string, bool) {
	if e.Kind() != ast.LiteralKind {
		return "", false
	}
	s, ok := e.AsLiteral().(types.String)
	return string(s), ok
}

// readWritten gives the value of len('..') or frac('..').
func readWritten(name, text string) (Value, error) {
	if name == "len" {
		l, err := unit.ParseLength(text)
		return LengthOf(l), err
	}
	n, err := unit.ParseRatio(text)
	return NumberOf(n), err
}

// unquotedTable takes a bare word that is the name of a table as that name.
func (r *resolver) unquotedTable(e ast.Expr) {
	name := path(e)
	if _, known := r.tables[name]; known {
		r.fault(e, name+" is a table: its name is written in quotes", "write '"+name+"'")
		e.SetKindCase(r.make.NewLiteral(e.ID(), types.String(name)))
	}
}

// band names the function that has the kinds of the table: the type checker
// judges a call by its arguments' kinds alone.
func (r *resolver) band(e ast.Expr, args []ast.Expr) {
	if len(args) != 2 {
		r.mend(e, "band takes a table's name and a value", "write "+functions["band"])
		return
	}
	name, isText := literalText(args[0])
	if !isText {
		delete(r.faults, args[0].ID())
		r.mend(e, "the first part of band is the name of a table, in quotes", "write "+functions["band"])
		return
	}
	t, known := r.tables[name]
	if !known {
		hint := didYouMeanOneOf("table", name, r.tables)
		r.faults[e.ID()] = r.src.fault(r.pos(args[0]), "unknown table '"+quoted(name)+"'", hint)
		e.SetKindCase(r.make.NewIdent(e.ID(), unknown))
		return
	}
	e.SetKindCase(r.make.NewCall(e.ID(), bandName(t.key, t.gives), args...))
}
