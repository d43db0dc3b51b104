package source

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"strconv"
)

// object is a JSON object; encoding/json writes its keys sorted, so that the
// same types always give the same bytes.
type object = map[string]any

// Schema writes the form of one catalog file as a JSON Schema (draft 2020-12),
// for editors that complete and check while one types. It is made from the
// same tags that Decode reads. It does not ask for the required top-level
// keys, since those may stand in another file; all else that is required, it
// requires. Text that an editor's YAML reader takes for a number or a truth
// value is let through wherever Decode reads text, and what a type that reads
// its own text accepts is left to Decode.
func Schema(into any) ([]byte, error) {
	top, err := planOf(into)
	if err != nil {
		return nil, err
	}
	w := schemaWriter{defs: object{}, names: map[*plan]string{}}
	schema := w.structure(top)
	delete(schema, "required")
	schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	schema["title"] = top.typ.Name()
	schema["$defs"] = w.defs
	return json.MarshalIndent(schema, "", "  ")
}

type schemaWriter struct {
	defs  object
	names map[*plan]string
}

// scalarTypes are what a YAML reader makes of text without quotes.
var scalarTypes = []string{"string", "number", "boolean"}

func (w *schemaWriter) schema(p *plan, o options) object {
	switch p.shape {
	case shapePointer:
		return w.schema(p.elem, o)
	case shapeStruct, shapeUnmarshaler, shapeShort:
		return w.reference(p)
	case shapeBool:
		return object{"enum": []any{true, false, "yes", "no", "true", "false"}}
	case shapeInt:
		return object{"type": "integer"}
	case shapeUint:
		return object{"type": "integer", "minimum": 0}
	}
	own := w.longForm(p, o)
	if p.shape == shapeString || p.shape == shapeText {
		return own
	}
	return anyOf(object{}, append(shortForms(p), own))
}

// longForm is the schema of text, lists and maps.
func (w *schemaWriter) longForm(p *plan, o options) object {
	switch p.shape {
	case shapeList:
		return object{"type": "array", "items": w.schema(p.elem, o)}
	case shapeOneOrMany:
		item := w.schema(p.elem, o)
		return object{"anyOf": []any{item, object{"type": "array", "items": item}}}
	case shapeMap:
		return w.mapping(p, o)
	}
	if len(o.oneof) > 0 {
		return object{"enum": words(o.oneof)}
	}
	return object{"type": scalarTypes}
}

func (w *schemaWriter) mapping(p *plan, o options) object {
	names := object{"pattern": CodePattern}
	if o.anyKeys {
		names = object{"minLength": 1}
	}
	return object{
		"type":                 "object",
		"propertyNames":        names,
		"additionalProperties": w.schema(p.elem, options{oneof: o.oneof}),
	}
}

// words lists what may be written for the words of a oneof tag, both as text
// and as what a YAML reader takes the bare word for.
func words(oneof []string) []any {
	var all []any
	for _, word := range oneof {
		all = append(all, word)
		if number, err := strconv.ParseInt(word, 10, 64); err == nil {
			all = append(all, number)
		}
		switch word {
		case "true", "yes", "on":
			all = append(all, true)
		case "false", "no", "off":
			all = append(all, false)
		}
	}
	return all
}

// reference gives a named type its entry under $defs, once, and refers to it.
func (w *schemaWriter) reference(p *plan) object {
	name, found := w.names[p]
	if !found {
		name = w.name(p)
		w.names[p] = name
		w.defs[name] = nil // taken before its parts are written: a type may contain itself
		w.defs[name] = w.definition(p)
	}
	return object{"$ref": "#/$defs/" + name}
}

var notInName = regexp.MustCompile(`[^A-Za-z0-9_.]+`)

// name makes the name of a definition from the Go type, such as "unit.Length".
func (w *schemaWriter) name(p *plan) string {
	base := notInName.ReplaceAllString(p.typ.String(), "_")
	name := base
	for n := 2; ; n++ {
		if _, taken := w.defs[name]; !taken {
			return name
		}
		name = fmt.Sprintf("%s_%d", base, n)
	}
}

func (w *schemaWriter) definition(p *plan) object {
	if p.shape != shapeStruct {
		return anyOf(object{"title": p.typ.Name()}, shortForms(p))
	}
	return anyOf(object{}, append(shortForms(p), w.structure(p)))
}

// shortForms lists the forms of a value other than a mapping.
func shortForms(p *plan) []any {
	var forms []any
	if p.fromText || p.shape == shapeUnmarshaler {
		forms = append(forms, object{"type": scalarTypes})
	}
	if p.fromTexts {
		forms = append(forms, object{"type": "array", "items": object{"type": scalarTypes}})
	}
	return forms
}

// anyOf adds forms to a schema, the only one without more ado.
func anyOf(to object, forms []any) object {
	if len(forms) == 1 {
		maps.Copy(to, forms[0].(object))
		return to
	}
	to["anyOf"] = forms
	return to
}

func (w *schemaWriter) structure(p *plan) object {
	properties, required := object{}, []string{}
	for _, f := range p.fields {
		property := w.schema(f.plan, f.options)
		if f.doc != "" {
			property["description"] = f.doc
		}
		properties[f.key] = property
		if f.required {
			required = append(required, f.key)
		}
	}
	schema := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		schema["required"] = required
	}
	return schema
}
