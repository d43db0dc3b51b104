package catalog

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"billwright/catalog/formula"
)

// names are the names that the formulas of one product or form may read.
type names struct {
	scope *formula.Scope
	// broken are names that have a fault of their own: that formulas cannot
	// read them needs no telling.
	broken []string
	// unreadable are those of them that formulas cannot spell, such as
	// top-length: what is told of a formula with one in it is beside the point.
	unreadable []string
	// tables are bracket tables that have a fault of their own.
	tables []string
	// later are names that stand further down than the formula read.
	later []string
}

// compile compiles a formula; a nil or empty one is passed over, since its
// absence is a fault elsewhere. It tells whether the formula may be used.
func (n *names) compile(s spot, e *Expr, want formula.Kind) bool {
	if e == nil || e.Value == "" {
		return false
	}
	s = s.at(e.Pos)
	compiled, err := n.scope.Compile(e.Value, want)
	if err == nil {
		e.compiled = compiled
		s.r.readBy(compiled)
		return true
	}
	var faults formula.Faults
	if !errors.As(err, &faults) {
		s.fault(err.Error(), "")
		return false
	}
	if n.spellsUnreadable(e.Value) {
		return false
	}
	for _, f := range faults {
		if mentions(f, n.broken) || n.namesBrokenTable(f) {
			continue
		}
		hint := f.Hint
		if mentions(f, n.later) {
			hint = "a formula here reads only what stands above it"
		}
		s.fault(fmt.Sprintf("in the formula, at its %s: %s", formulaPlace(f), f.Message), quotedTwice(e.Value, want, f.Message, hint))
	}
	return false
}

// plainWords are what a formula is whose quotes YAML took for its own.
var plainWords = regexp.MustCompile(`^[\pL\pN]+([-_ ][\pL\pN]+)*$`)

// quotedTwice adds to a hint how a text is written as a formula, where a text is
// wanted and nothing but words stands there: of edge: 'eased' YAML leaves eased.
func quotedTwice(text string, want formula.Kind, message, hint string) string {
	write := fmt.Sprintf("write \"'%s'\"", text)
	switch {
	case hint == "write '"+text+"'":
		return write
	case want != formula.Text || !plainWords.MatchString(text):
		return hint
	case strings.HasPrefix(hint, "did you mean"):
		return hint + "; if a text is meant, " + write
	case strings.HasPrefix(message, "unknown name") && hint != "":
		return "if a text is meant, " + write + "; " + hint
	}
	return "if a text is meant, " + write
}

// breaks notes a name with a fault of its own, as it is written and as it would
// have to be.
func (n *names) breaks(name string) {
	n.broken = append(n.broken, name)
	if !formulaName.MatchString(strings.TrimPrefix(name, standardPrefix)) {
		n.broken = append(n.broken, spelled(name))
		n.unreadable = append(n.unreadable, name)
	}
}

// spelled is a name as formulas could read it.
func spelled(name string) string {
	return strings.ToLower(strings.NewReplacer("-", "_", "/", "_", " ", "_").Replace(name))
}

func (n *names) spellsUnreadable(text string) bool {
	return slices.ContainsFunc(n.unreadable, func(name string) bool { return hasWord(text, name) })
}

func formulaPlace(f *formula.Fault) string {
	if f.Line > 1 {
		return fmt.Sprintf("line %d, column %d", f.Line, f.Column)
	}
	return fmt.Sprintf("column %d", f.Column)
}

// mentions tells that a fault speaks of one of the names. What stands in quotes
// is no name: it is the name of a table, or a text.
func mentions(f *formula.Fault, names []string) bool {
	message := quotedWords.ReplaceAllString(f.Message, "''")
	return slices.ContainsFunc(names, func(name string) bool { return hasWord(message, name) })
}

var quotedWords = regexp.MustCompile(`'[^']*'`)

func (n *names) namesBrokenTable(f *formula.Fault) bool {
	return slices.ContainsFunc(n.tables, func(name string) bool { return strings.Contains(f.Message, "table '"+name+"'") })
}

// hasWord tells whether a name stands in a text as a word of its own.
func hasWord(text, name string) bool {
	for rest := text; ; {
		i := strings.Index(rest, name)
		if i < 0 {
			return false
		}
		before, after := rest[:i], rest[i+len(name):]
		if !endsInWord(before) && !beginsWord(after) {
			return true
		}
		rest = after
	}
}

func endsInWord(s string) bool { return s != "" && wordByte(s[len(s)-1]) }
func beginsWord(s string) bool { return s != "" && wordByte(s[0]) }
func wordByte(b byte) bool {
	return b == '_' || 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z' || '0' <= b && b <= '9'
}
