package formula

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"cel.dev/cel-go/cel"
)

// Scope holds the names a formula may use: variables with a kind and a slot in
// the environment, choices, and bracket tables. Declare first, compile then;
// many goroutines may compile against one Scope.
type Scope struct {
	mu     sync.Mutex
	names  map[string]*variable
	tables map[string]*table
	env    *cel.Env // made on the first Compile after a declaration
}

type variable struct {
	name    string
	kind    Kind
	slot    int
	allowed []string // the values of a choice, nil for other variables
}

// Bracket is one row of a bracket table: it holds for keys below Below and not
// below the row before; the first row holds for every key under its Below.
type Bracket struct {
	Below Value // Length or Number
	Gives Value
}

type table struct {
	name  string
	key   Kind
	gives Kind
	rows  []Bracket
}

// NewScope makes an empty scope.
func NewScope() *Scope {
	return &Scope{names: make(map[string]*variable), tables: make(map[string]*table)}
}

// Declare adds a variable and gives its slot: 0, 1, 2 .. in the order of
// declaration. A name is one or more words joined by dots, each of letters,
// digits and underscores and not beginning with a digit. It is refused when it
// is taken, is the name of a function, or is a word of the language.
func (s *Scope) Declare(name string, k Kind) (slot int, err error) {
	return s.declare(name, k, nil)
}

// DeclareChoice adds a variable of kind Text that can only be one of allowed.
// A formula that compares it with any other text is faulted.
func (s *Scope) DeclareChoice(name string, allowed []string) (slot int, err error) {
	if len(allowed) == 0 {
		return 0, fmt.Errorf("choice %q has no allowed values", name)
	}
	return s.declare(name, Text, slices.Clone(allowed))
}

func (s *Scope) declare(name string, k Kind, allowed []string) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := checkName(name); err != nil {
		return 0, err
	}
	if k < Number || k > Text {
		return 0, fmt.Errorf("name %q: unknown kind %d", name, k)
	}
	if _, taken := s.names[name]; taken {
		return 0, fmt.Errorf("name %q is declared twice", name)
	}
	v := &variable{name: name, kind: k, slot: len(s.names), allowed: allowed}
	s.names[name], s.env = v, nil
	return v.slot, nil
}

// DeclareTable adds a bracket table of at least one row, in ascending order of
// Below. Every Below is of kind key (Length or Number), every Gives of one
// kind. A formula reads it with band('name', x); x is never rounded first.
func (s *Scope) DeclareTable(name string, key Kind, rows []Bracket) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if name == "" || len(name) > 64 || strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r == '\'' || r == '\\' }) {
		return fmt.Errorf("table name %q: use 1 to 64 letters, digits and signs other than ' and \\", name)
	}
	if _, taken := s.tables[name]; taken {
		return fmt.Errorf("table %q is declared twice", name)
	}
	t := &table{name: name, key: key, rows: slices.Clone(rows)}
	if err := t.check(); err != nil {
		return err
	}
	s.tables[name] = t
	return nil
}

func (t *table) check() error {
	if t.key != Length && t.key != Number {
		return fmt.Errorf("table %q: its key must be a length or a number, not %v", t.name, t.key)
	}
	if len(t.rows) == 0 {
		return fmt.Errorf("table %q has no rows", t.name)
	}
	t.gives = t.rows[0].Gives.kind
	for i, row := range t.rows {
		switch {
		case row.Below.kind != t.key:
			return fmt.Errorf("table %q, row %d: its limit is %v, it must be %v", t.name, i+1, row.Below.kind.withArticle(), t.key.withArticle())
		case row.Gives.kind == 0:
			return fmt.Errorf("table %q, row %d: it gives no value", t.name, i+1)
		case row.Gives.kind != t.gives:
			return fmt.Errorf("table %q, row %d: it gives %v, the first row %v", t.name, i+1, row.Gives.kind.withArticle(), t.gives.withArticle())
		case i > 0 && row.Below.ratio.Cmp(t.rows[i-1].Below.ratio) <= 0:
			return fmt.Errorf("table %q, row %d: its limit %v is not above the limit %v before it", t.name, i+1, row.Below, t.rows[i-1].Below)
		}
	}
	return nil
}

// find gives the value of the row with low <= x < high.
func (t *table) find(x exact) (Value, bool) {
	i, _ := slices.BinarySearchFunc(t.rows, x, func(row Bracket, x exact) int {
		if x.cmp(exact{r: row.Below.ratio}) < 0 {
			return 1
		}
		return -1
	})
	if i == len(t.rows) {
		return Value{}, false
	}
	return t.rows[i].Gives, true
}

// Slot gives the slot of a declared name.
func (s *Scope) Slot(name string) (slot int, declared bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.names[name]
	if !ok {
		return 0, false
	}
	return v.slot, true
}

// NewEnv makes an environment with a slot, not yet set, for each declared name.
func (s *Scope) NewEnv() []Value {
	s.mu.Lock()
	defer s.mu.Unlock()
	return make([]Value, len(s.names))
}

// reading is what one Compile sees of a scope: a copy, so that a declaration
// made meanwhile disturbs nothing.
type reading struct {
	env    *cel.Env
	names  map[string]*variable
	tables map[string]*table
}

func (s *Scope) reading() (*reading, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.env == nil {
		env, err := s.extend()
		if err != nil {
			return nil, fmt.Errorf("formula language: %w", err)
		}
		s.env = env
	}
	return &reading{env: s.env, names: maps.Clone(s.names), tables: maps.Clone(s.tables)}, nil
}

func (s *Scope) extend() (*cel.Env, error) {
	base, err := language()
	if err != nil {
		return nil, err
	}
	vars := make([]cel.EnvOption, 0, len(s.names))
	for _, v := range s.names {
		vars = append(vars, cel.Variable(v.name, celTypes[v.kind]))
	}
	return base.Extend(vars...)
}

// checkName refuses names that a formula could not write.
func checkName(name string) error {
	if len(name) == 0 || len(name) > 100 {
		return fmt.Errorf("name %q: use 1 to 100 letters, digits, underscores and dots", name)
	}
	if _, taken := functions[name]; taken {
		return fmt.Errorf("name %q is the name of a function: choose another", name)
	}
	for word := range strings.SplitSeq(name, ".") {
		if slices.Contains(reservedWords, word) {
			return fmt.Errorf("name %q: %q is a word of the formula language: choose another", name, word)
		}
		if !isWord(word) {
			return fmt.Errorf("name %q: use letters, digits and underscores, as in %q", name, asWord(name))
		}
	}
	return nil
}

// reservedWords are those of CEL and those our own signs are mistaken for.
var reservedWords = []string{
	"as", "break", "const", "continue", "else", "false", "for", "function", "if", "import", "in", "let",
	"loop", "namespace", "null", "package", "return", "true", "var", "void", "while", "and", "or", "not", "then",
}

func isWord(s string) bool {
	for i, r := range s {
		if !isLetter(r) && (i == 0 || !isDigit(r)) {
			return false
		}
	}
	return s != ""
}

// asWord turns "seat-height" into the nearest name that can be written.
func asWord(name string) string {
	fixed := strings.Map(func(r rune) rune {
		if isLetter(r) || isDigit(r) || r == '.' {
			return r
		}
		return '_'
	}, strings.Trim(name, "."))
	if fixed == "" || isDigit(rune(fixed[0])) {
		fixed = "n_" + fixed
	}
	return fixed
}

func isLetter(r rune) bool { return r == '_' || 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' }
func isDigit(r rune) bool  { return '0' <= r && r <= '9' }
