// Package source reads a folder of catalog files (YAML) into tagged Go
// structs. It reports every fault it finds at once, each with its file, line,
// column, the path of keys that leads there, what is wrong and what would do
// instead. It knows nothing of what the catalog describes.
//
// # How a struct says what may be written
//
//	type Leg struct {
//		Pos    source.Pos                   `yaml:"-"` // filled: where the leg's mapping begins
//		Length unit.Length                  `yaml:"length,required" doc:"Finished length."`
//		Shape  string                       `yaml:"shape" oneof:"round square flat" doc:"Cross-section of the bar."` // words with spaces: oneof:"hot rolled|cold drawn"
//		Holes  source.OneOrMany[Hole]       `yaml:"holes" doc:"Holes drilled before welding."`
//		Notes  source.Map[source.Text]      `yaml:"notes" keys:"any" doc:"Remarks by heading."`
//		Cap    *Cap                         `yaml:"cap" doc:"Foot cap, if any."`
//	}
//
// Every exported field carries a yaml tag ("-" for one that is not read). An
// embedded struct without a tag lends its keys to the struct around it. Fields
// may be string, bool (true, false, yes, no), whole numbers, [Text], [Pos], a
// type whose pointer is an [encoding.TextUnmarshaler], a struct, a pointer to
// any of these (nil when the key is left out), a slice, [OneOrMany] or [Map].
// A type whose pointer has the method FromText(Text) error may be written as
// one scalar, and with FromTexts([]Text) error as a list of scalars; the long
// form is the struct itself, if it has keys. An error of theirs becomes the
// fault; a [Fault] keeps its message and hint, and joined errors are reported
// one by one.
//
// # What is refused
//
// Anchors, aliases, merge keys, tags, directives, a second document in one
// file, duplicate and unknown keys, empty values, byte order marks, control
// characters, and anything beyond the limits below. No document can make
// Decode panic or take more memory than the limits allow.
package source

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strings"
)

// Limits on what is read. They are far above any catalog we know of (a large
// one is about 100 files and 2 MiB) and low enough that a hostile folder is
// refused within seconds.
const (
	MaxFiles      = 2_000     // files in a folder
	MaxFileBytes  = 4 << 20   // bytes in one file
	MaxTotalBytes = 64 << 20  // bytes in all files together
	MaxDepth      = 32        // mappings and lists inside one another
	MaxFileNodes  = 200_000   // keys, values, lists and mappings in one file
	MaxTotalNodes = 2_000_000 // the same over all files together
	MaxFaults     = 1_000     // faults reported; one more then says that there were others
)

// File is one catalog file: its path as shown to people, and its content.
type File struct {
	Path  string
	Bytes []byte
}

// Pos is a place in a catalog file. Line and Column count from 1; Column
// counts characters, not bytes. Line 0 stands for the file as a whole, and an
// empty File for all files together.
type Pos struct {
	File         string
	Line, Column int
}

// String gives the place as compilers write it: "products/bench.yaml:14:7",
// or the file alone when there is no line.
func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Fault is one thing wrong in the files.
type Fault struct {
	Pos
	Where   string // path of keys, such as "products › lodden › parts › leg"; list items count from 1; "" at the top
	Message string // what is wrong
	Hint    string // what would do instead; may be ""
}

// Error joins place, path, message and hint into one line of text.
func (f Fault) Error() string {
	var parts []string
	if place := f.Pos.String(); place != "" {
		parts = append(parts, place)
	}
	if f.Where != "" {
		parts = append(parts, f.Where)
	}
	text := strings.Join(append(parts, f.Message), ": ")
	if f.Hint == "" {
		return text
	}
	return text + "; " + f.Hint
}

// SortFaults orders faults by file, line, column, path and message.
func SortFaults(faults []Fault) {
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Where, b.Where),
			cmp.Compare(a.Message, b.Message),
		)
	})
}

// Text is a scalar kept with its place. Value is what was written, whatever
// YAML would make of it: 72, no and 1/8 in are all text.
type Text struct {
	Value string
	Pos   Pos
}

// String gives the text itself.
func (t Text) String() string { return t.Value }

// OneOrMany is a list that may be written as its only item: "holes: top"
// stands for "holes: [top]".
type OneOrMany[T any] []T

func (OneOrMany[T]) oneOrMany() {}

// Map holds values by key in the order in which they were written, over all
// files. The zero Map is empty. A Map is only filled by [Decode]; copies share
// their content.
type Map[T any] struct {
	keys   []Text
	values []T
	index  map[string]int
}

// Len is the number of keys.
func (m Map[T]) Len() int { return len(m.keys) }

// All goes through keys and values in the order written.
func (m Map[T]) All() iter.Seq2[Text, T] {
	return func(yield func(Text, T) bool) {
		for i, key := range m.keys {
			if !yield(key, m.values[i]) {
				return
			}
		}
	}
}

// Get is the value under key, and whether there is one.
func (m Map[T]) Get(key string) (T, bool) {
	i, found := m.index[key]
	if !found {
		var none T
		return none, false
	}
	return m.values[i], true
}

// EachValue visits the values in the order written.
func (m Map[T]) EachValue(visit func(any)) {
	for _, value := range m.values {
		visit(value)
	}
}

// With is the map with another value under a key that it has; the map itself is
// left as it is.
func (m Map[T]) With(key string, value T) Map[T] {
	i, found := m.index[key]
	if !found {
		return m
	}
	values := make([]T, len(m.values))
	copy(values, m.values)
	values[i] = value
	m.values = values
	return m
}

// Keys lists the keys in the order written. The caller may change the slice.
func (m Map[T]) Keys() []string {
	keys := make([]string, len(m.keys))
	for i, key := range m.keys {
		keys[i] = key.Value
	}
	return keys
}

// Pos is the place of key, the zero Pos when it is absent.
func (m Map[T]) Pos(key string) Pos {
	i, found := m.index[key]
	if !found {
		return Pos{}
	}
	return m.keys[i].Pos
}

// has, add and elem let the decoder fill a Map whatever its T.

func (m *Map[T]) has(key string) (Pos, bool) {
	_, found := m.index[key]
	return m.Pos(key), found
}

func (m *Map[T]) add(key Text, value any) {
	if m.index == nil {
		m.index = map[string]int{}
	}
	m.index[key.Value] = len(m.keys)
	m.keys = append(m.keys, key)
	m.values = append(m.values, *value.(*T))
}

func (m *Map[T]) elem() any { return new(T) }
