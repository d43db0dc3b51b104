package demonstration

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// unused are the keys of the format that the demonstration has no use for, and
// why.
var unused = map[string]string{
	"Operation.minutes_per_m": "an inch workshop writes its minutes by the foot; the metric workshop of bom/testdata/metric by the metre",
	"Days.cut_off":            "the day counts until midnight, so that an order at 20:30 counts for that day",
}

// The demonstration shows the format off: it uses every key of it.
func TestEveryKeyOfTheFormatIsUsed(t *testing.T) {
	cat := read(t)
	keys := keyUse{}
	keys.walk(reflect.ValueOf(cat.Plan))
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		why, excused := unused[key]
		switch {
		case !keys[key] && !excused:
			t.Errorf("%s is used nowhere", key)
		case keys[key] && excused:
			t.Errorf("%s is used, though %s", key, why)
		}
	}
	if len(keys) < 150 {
		t.Errorf("%d keys were looked at, too few to say anything", len(keys))
	}
}

// keyUse tells of each key, TYPE.KEY, whether a value stands anywhere.
type keyUse map[string]bool

func (k keyUse) walk(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			k.walk(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			k.walk(v.Index(i))
		}
	case reflect.Struct:
		if all := v.MethodByName("All"); all.IsValid() { // a source.Map
			for _, value := range all.Call(nil)[0].Seq2() {
				k.walk(value)
			}
			return
		}
		k.fields(v)
	}
}

func (k keyUse) fields(v reflect.Value) {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		key, _, _ := strings.Cut(field.Tag.Get("yaml"), ",")
		if key == "" || key == "-" {
			continue
		}
		name := v.Type().Name() + "." + key
		k[name] = k[name] || given(v.Field(i))
		k.walk(v.Field(i))
	}
}

// given tells that a value is not what it is when nothing is written.
func given(v reflect.Value) bool {
	if length := v.MethodByName("Len"); length.IsValid() {
		return length.Call(nil)[0].Int() > 0
	}
	return !v.IsZero()
}
