package source

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// validate checks value against schema by the rules of JSON Schema 2020-12 for
// the keywords that Schema writes, and reports a keyword it does not know
// (draft 2020-12, Core section 8.2 for $ref and $defs, section 10 for the
// applicators; Validation section 6 for the assertions).
func validate(root, schema object, value any) error {
	for keyword, by := range schema {
		var err error
		switch keyword {
		case "$schema", "$defs", "title", "description":
		case "$ref":
			name, _ := strings.CutPrefix(by.(string), "#/$defs/")
			err = validate(root, root["$defs"].(object)[name].(object), value)
		case "type":
			err = validateType(by, value)
		case "enum":
			if !slices.Contains(by.([]any), value) {
				err = fmt.Errorf("%v is none of %v", value, by)
			}
		case "minimum":
			if number, is := value.(float64); is && number < by.(float64) {
				err = fmt.Errorf("%v is below %v", value, by)
			}
		case "minLength":
			if text, is := value.(string); is && float64(len([]rune(text))) < by.(float64) {
				err = fmt.Errorf("%q is shorter than %v", text, by)
			}
		case "pattern":
			if text, is := value.(string); is && !regexp.MustCompile(by.(string)).MatchString(text) {
				err = fmt.Errorf("%q does not match %s", text, by)
			}
		case "anyOf":
			err = validateAny(root, by.([]any), value)
		case "items":
			if list, is := value.([]any); is {
				for _, item := range list {
					err = firstError(err, validate(root, by.(object), item))
				}
			}
		case "properties", "additionalProperties", "propertyNames", "required":
			if keys, is := value.(object); is {
				err = validateKeys(root, schema, keyword, keys)
			}
		default:
			err = fmt.Errorf("keyword %s is not one of the draft, or not known here", keyword)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func firstError(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

func validateType(by, value any) error {
	is := map[string]bool{}
	switch value := value.(type) {
	case string:
		is["string"] = true
	case bool:
		is["boolean"] = true
	case float64:
		is["number"], is["integer"] = true, value == float64(int64(value))
	case []any:
		is["array"] = true
	case object:
		is["object"] = true
	}
	names, isList := by.([]any)
	if !isList {
		names = []any{by}
	}
	for _, name := range names {
		if is[name.(string)] {
			return nil
		}
	}
	return fmt.Errorf("%v is not of type %v", value, by)
}

func validateAny(root object, forms []any, value any) error {
	var last error
	for _, form := range forms {
		if last = validate(root, form.(object), value); last == nil {
			return nil
		}
	}
	return last
}

func validateKeys(root, schema object, keyword string, keys object) error {
	properties, _ := schema["properties"].(object)
	for key, value := range keys {
		property, known := properties[key]
		var err error
		switch more, closed := schema["additionalProperties"].(bool); {
		case keyword == "properties" && known:
			err = validate(root, property.(object), value)
		case keyword == "additionalProperties" && !known && closed && !more:
			err = fmt.Errorf("key %q is not known", key)
		case keyword == "additionalProperties" && !known && !closed:
			err = validate(root, schema["additionalProperties"].(object), value)
		case keyword == "propertyNames":
			err = validate(root, schema["propertyNames"].(object), key)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", key, err)
		}
	}
	if keyword == "required" {
		for _, key := range schema["required"].([]any) {
			if _, found := keys[key.(string)]; !found {
				return fmt.Errorf("key %q is missing", key)
			}
		}
	}
	return nil
}

// asJSON reads a document as an editor would: YAML into the JSON data model.
func asJSON(t *testing.T, doc string) any {
	t.Helper()
	var read, value any
	if err := yaml.Unmarshal([]byte(doc), &read); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(stringKeys(read))
	if err == nil {
		err = json.Unmarshal(text, &value)
	}
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// stringKeys turns keys that YAML took for numbers back into text.
func stringKeys(value any) any {
	switch value := value.(type) {
	case map[string]any:
		for key := range value {
			value[key] = stringKeys(value[key])
		}
	case map[any]any:
		keys := object{}
		for key := range value {
			keys[fmt.Sprint(key)] = stringKeys(value[key])
		}
		return keys
	case []any:
		for i := range value {
			value[i] = stringKeys(value[i])
		}
	}
	return value
}

func schemaOf(t *testing.T, into any) object {
	t.Helper()
	text, err := Schema(into)
	if err != nil {
		t.Fatal(err)
	}
	var schema object
	if err := json.Unmarshal(text, &schema); err != nil {
		t.Fatal(err)
	}
	return schema
}

// What Decode reads, the schema accepts.
func TestSchemaAcceptsGoodDocuments(t *testing.T) {
	schema := schemaOf(t, new(book))
	for _, test := range goodDocuments {
		value := asJSON(t, test.doc)
		if value == nil {
			continue // an editor checks nothing in an empty file
		}
		if err := validate(schema, schema, value); err != nil {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}

// The faults of shape, keys and words are seen by the schema as well.
func TestSchemaRefuses(t *testing.T) {
	schema := schemaOf(t, new(book))
	for _, test := range []struct{ doc, want string }{
		{"colour: red\n", `colour: key "colour" is not known`},
		{"plant: {night: true}\n", `plant: key "zone" is missing`},
		{"plant: {zone: x, night: maybe}\n", `plant: night: maybe is none of [true false yes no true false]`},
		{"plant: [a]\n", `plant: [a] is not of type object`},
		{"closures: monday\n", `closures: monday is not of type array`},
		{"closures: [[a]]\n", `closures: [a] is not of type [string number boolean]`},
		{"edition: 1.5\n", `edition: 1.5 is not of type integer`},
		{"parts: {Leg: {name: A}}\n", `parts: Leg: "Leg" does not match ` + CodePattern},
		{"parts: {leg: {name: A, shape: rund}}\n", `parts: leg: shape: rund is none of [round square flat]`},
		{"parts: {leg: {name: A, count: -1}}\n", `parts: leg: count: -1 is below 0`},
		{"parts: {leg: {name: A, length: [2]}}\n", `parts: leg: length: [2] is not of type [string number boolean]`},
		{"parts: {leg: {name: A, needs: {a: b}}}\n", `parts: leg: needs: map[a:b] is not of type array`},
		{"parts: {leg: {name: A, parts: {cap: {}}}}\n", `parts: leg: parts: cap: key "name" is missing`},
		{"limits: {a: [low, mid]}\n", `limits: a: mid is none of [low high]`},
		{"notes: {'': a}\n", `notes: : "" is shorter than 1`},
	} {
		err := validate(schema, schema, asJSON(t, test.doc))
		if err == nil || err.Error() != test.want {
			t.Errorf("%s%v\nwant %s", test.doc, err, test.want)
		}
	}
}

func TestSchemaText(t *testing.T) {
	schema := schemaOf(t, new(book))
	if schema["$schema"] != "https://json-schema.org/draft/2020-12/schema" || schema["title"] != "book" {
		t.Errorf("head: %v, %v", schema["$schema"], schema["title"])
	}
	defs := slices.Sorted(maps.Keys(schema["$defs"].(object)))
	if want := []string{"source.hole", "source.inches", "source.need", "source.part", "source.plant"}; !slices.Equal(defs, want) {
		t.Errorf("definitions %q", defs)
	}
	length := schema["$defs"].(object)["source.part"].(object)["properties"].(object)["length"]
	if want := (object{"$ref": "#/$defs/source.inches", "description": "Finished length."}); !reflect.DeepEqual(length, want) {
		t.Errorf("length: %v", length)
	}
	first, _ := Schema(new(book))
	second, _ := Schema(new(book))
	if !bytes.Equal(first, second) {
		t.Error("the same types give two texts")
	}
}

// A required top-level key may be in another file: no editor is to miss it.
func TestSchemaOfOneFileOfMany(t *testing.T) {
	type top struct {
		Zone  string     `yaml:"zone,required"`
		Yes   string     `yaml:"yes" oneof:"yes no 3"`
		Loose looseWords `yaml:"loose"`
	}
	schema := schemaOf(t, new(top))
	for _, doc := range []string{"{}", "yes: no\n", "yes: true\n", "yes: 3\n", "loose: a\n", "loose: [a, 3]\n"} {
		if err := validate(schema, schema, asJSON(t, doc)); err != nil {
			t.Errorf("%s: %v", doc, err)
		}
	}
}

// looseWords is a list that may be written as words in one text.
type looseWords []string

func (l *looseWords) FromText(t Text) error { *l = strings.Fields(t.Value); return nil }

// Mistakes in Go types are told by Schema as an error and by Decode as a fault
// without a place; they are not left to the first file that meets them.
func TestGoTypesThatCannotBeRead(t *testing.T) {
	type itself struct{ Name string }
	for _, test := range []struct {
		into any
		want string
	}{
		{nil, "catalog files are read into a pointer to a struct, not into <nil>"},
		{book{}, "catalog files are read into a pointer to a struct, not into source.book"},
		{(*book)(nil), "catalog files are read into a pointer to a struct, not into *source.book"},
		{new(int), "catalog files are read into a pointer to a struct, not into *int"},
		{new(Text), "source.Text cannot hold the keys of a file"},
		{new(itself), "the Go type source.itself cannot be read from a file: field Name has no yaml tag; write `yaml:\"-\"` if no file gives it"},
		{new(struct {
			A float64 `yaml:"a"`
		}), "the Go type float64 cannot be read from a file: use string, bool, whole numbers, a text unmarshaler, a struct, a slice or source.Map"},
		{new(struct {
			A map[string]int `yaml:"a"`
		}), "the Go type map[string]int cannot be read from a file: use string, bool, whole numbers, a text unmarshaler, a struct, a slice or source.Map"},
		{new(struct {
			A OneOrMany[[]string] `yaml:"a"`
		}), "the Go type source.OneOrMany[[]string] cannot be read from a file: one item cannot be told from many when the items are lists"},
	} {
		_, err := Schema(test.into)
		if err == nil || err.Error() != test.want {
			t.Errorf("schema: %v\nwant %s", err, test.want)
		}
		faults := Decode(nil, test.into)
		if len(faults) != 1 || faults[0].Error() != test.want {
			t.Errorf("decode: %v\nwant %s", faults, test.want)
		}
	}
}

func TestTagsThatCannotBeRead(t *testing.T) {
	_, err := Schema(new(struct {
		A string `yaml:"a,omitempty"`
		B string `yaml:""`
		C string `yaml:"c"`
		D string `yaml:"c"`
	}))
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{
		"field A: tag `yaml:\"a,omitempty\"` is neither \"key\" nor \"key,required\"",
		"field B: tag `yaml:\"\"` is neither",
		`two fields have the key "c"`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%v\nlacks %s", err, want)
		}
	}
}
