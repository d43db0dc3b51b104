package source

import (
	"reflect"
	"strings"
)

// Table is what may be written in one kind of mapping, for a reference.
type Table struct {
	// Name is the kind of mapping in words, such as "steel part".
	Name   string
	Fields []TableField
	// Short tells that the mapping may also be written as one text.
	Short bool
}

// TableField is one key of a Table.
type TableField struct {
	Key      string
	Required bool
	Doc      string
	// Kind says how the value is written, in words; Of names the Table of a
	// value that is a mapping, or of a list's or map's elements.
	Kind string
	Of   string
	// Words are the only words allowed, where the value is one of them.
	Words []string
}

// Outline describes the struct that into points to and every mapping below it,
// in the order in which a reader meets them.
func Outline(into any) ([]Table, error) {
	top, err := planOf(into)
	if err != nil {
		return nil, err
	}
	o := outliner{seen: map[*plan]bool{}}
	o.table(top)
	return o.tables, nil
}

type outliner struct {
	tables []Table
	seen   map[*plan]bool
}

func (o *outliner) table(p *plan) {
	if o.seen[p] {
		return
	}
	o.seen[p] = true
	at := len(o.tables)
	o.tables = append(o.tables, Table{Name: wordsOf(p.typ), Short: p.fromText})
	fields := make([]TableField, len(p.fields))
	for i, f := range p.fields {
		kind, of := describe(f.plan)
		fields[i] = TableField{Key: f.key, Required: f.required, Doc: f.doc, Kind: kind}
		if len(f.options.oneof) > 0 {
			fields[i].Words = f.options.oneof
		}
		if of != nil {
			fields[i].Of = wordsOf(of.typ)
		}
	}
	o.tables[at].Fields = fields
	for _, f := range p.fields {
		if _, of := describe(f.plan); of != nil {
			o.table(of)
		}
	}
}

// describe says how a value is written, and which mapping it is or holds.
func describe(p *plan) (kind string, of *plan) {
	switch p.shape {
	case shapePointer:
		return describe(p.elem)
	case shapeStruct:
		return "mapping", p
	case shapeMap:
		kind, of := describe(p.elem)
		return "map of codes, each a " + kind, of
	case shapeList:
		kind, of := describe(p.elem)
		return "list, each a " + kind, of
	case shapeOneOrMany:
		kind, of := describe(p.elem)
		return kind + ", or a list of them", of
	case shapeBool:
		return "yes or no", nil
	case shapeInt, shapeUint:
		return "whole number", nil
	case shapeText, shapeString:
		return "text", nil
	}
	return wordsOf(p.typ), nil
}

// wordsOf writes a Go type's name in words: SteelPart is "steel part".
func wordsOf(t reflect.Type) string {
	var words strings.Builder
	for i, c := range t.Name() {
		if i > 0 && c >= 'A' && c <= 'Z' {
			words.WriteByte(' ')
		}
		words.WriteRune(c)
	}
	return strings.ToLower(words.String())
}
