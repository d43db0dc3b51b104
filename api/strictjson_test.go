package api

import (
	"bytes"
	stdjson "encoding/json"
	"fmt"
	"math"
	"net/http/httptest"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"github.com/google/uuid"
	"pgregory.net/rapid"
)

// testCard has one field of every kind a body may hold.
type testCard struct {
	Name   string            `json:"name,omitempty" maxLength:"5"`
	Count  int64             `json:"count,omitempty"`
	Small  int8              `json:"small,omitempty"`
	Level  uint16            `json:"level,omitempty" exclusiveMaximum:"500"`
	Ratio  float64           `json:"ratio,omitempty"`
	Single float32           `json:"single,omitempty"`
	Yes    bool              `json:"yes,omitempty"`
	Key    uuid.UUID         `json:"key,omitzero" format:"uuid"`
	At     time.Time         `json:"at,omitzero"`
	Odds   testOdds          `json:"odds,omitempty"`
	Maybe  *int              `json:"maybe" required:"false"`
	Never  *string           `json:"never,omitempty"`
	Any    any               `json:"any,omitempty"`
	Raw    jsontext.Value    `json:"raw,omitempty"`
	Texts  map[string]string `json:"texts,omitempty" maxProperties:"3"`
	Counts map[string]int    `json:"counts,omitempty"`
	Sides  []int             `json:"sides,omitempty" maxItems:"4" minimum:"1"`
	Cards  []testCard        `json:"cards,omitempty" maxItems:"3"`
	Size   int               `json:"size,omitempty" enum:"1,2,4"`
	CardPlace
}

// CardPlace is embedded, hence exported: its fields are the card's own.
type CardPlace struct {
	Bay string `json:"bay,omitempty" enum:"north,south"`
}

// testOdds reads itself from text.
type testOdds struct{ For, Against int }

func (o *testOdds) UnmarshalText(text []byte) error {
	if _, err := fmt.Sscanf(string(text), "%d:%d", &o.For, &o.Against); err != nil {
		return fmt.Errorf("write odds as in 3:1")
	}
	return nil
}

// findingsText gives findings as "pointer code" lines.
func findingsText(findings []Finding) string {
	var lines []string
	for _, f := range findings {
		lines = append(lines, f.Pointer+" "+f.Code)
	}
	return strings.Join(lines, ", ")
}

func nested(depth int) string {
	return strings.Repeat("[", depth) + strings.Repeat("]", depth)
}

func TestHostileJSON(t *testing.T) {
	for _, c := range []struct{ name, body, want string }{
		{"good", `{"name":"a","count":-5,"raw":{"b":[1]}}`, ""},
		{"duplicate", `{"name":"a","name":"b"}`, "/name duplicate-field"},
		{"duplicate after escape", `{"name":"a","\u006eame":"b"}`, "/name duplicate-field"},
		{"duplicate in a map", `{"texts":{"a":"1","a":"2"}}`, "/texts/a duplicate-field"},
		{"duplicate in what is not looked at", `{"raw":{"a":1,"a":2}}`, "/raw/a duplicate-field"},
		{"duplicate in an unknown field", `{"x":{"a":1,"a":2}}`, "/x unknown-field, /x/a duplicate-field"},
		{"case", `{"Name":"a"}`, "/Name unknown-field"},
		{"case beside the right one", `{"name":"a","NAME":"b"}`, "/NAME unknown-field"},
		{"Kelvin sign for k", `{"` + "\u212a" + `ey":"a"}`, "/\u212aey unknown-field"},
		{"invalid UTF-8", "{\"name\":\"\xff\"}", "/name bad-json"},
		{"invalid UTF-8 in a name", "{\"na\xc3\x28me\":1}", " bad-json"},
		{"overlong UTF-8", "{\"name\":\"\xc0\xaf\"}", "/name bad-json"},
		{"surrogate in UTF-8", "{\"name\":\"\xed\xa0\x80\"}", "/name bad-json"},
		{"lone high surrogate", `{"name":"\ud800"}`, "/name bad-json"},
		{"lone low surrogate", `{"name":"\udc00"}`, "/name bad-json"},
		{"surrogates swapped", `{"name":"\udc00\ud800"}`, "/name bad-json"},
		{"surrogate pair", `{"name":"\ud83d\ude00"}`, ""},
		{"NUL", `{"name":"a\u0000"}`, "/name nul-character"},
		{"NUL in a name", `{"na\u0000me":1}`, "/na\x00me nul-character, /na\x00me unknown-field"},
		{"NUL in a map's key", `{"texts":{"\u0000":"a"}}`, "/texts/\x00 nul-character"},
		{"NUL deep in anything", `{"any":[{"a":"\u0000"}]}`, "/any/0/a nul-character"},
		{"NUL deep in raw", `{"raw":[{"a":"\u0000"}]}`, "/raw/0/a nul-character"},
		{"NUL byte", "{\"name\":\"a\x00\"}", "/name bad-json"},
		{"NUL byte behind", "{}\x00", " trailing-data"},
		{"second document", `{}{}`, " trailing-data"},
		{"second document, spaced", "{} \n null", " trailing-data"},
		{"stray bracket behind", `{}]`, " trailing-data"},
		{"space behind", "{} \r\n\t", ""},
		{"byte order mark", "\ufeff{}", " bad-json"},
		{"depth 32", `{"any":` + nested(31) + `}`, ""},
		{"depth 33", `{"any":` + nested(32) + `}`, "/any" + strings.Repeat("/0", 31) + " too-deep"},
		{"depth 33 in raw", `{"raw":` + nested(32) + `}`, "/raw" + strings.Repeat("/0", 31) + " too-deep"},
		{"depth 33 in unknown", `{"x":` + nested(32) + `}`, "/x unknown-field, /x" + strings.Repeat("/0", 31) + " too-deep"},
		{"depth 100000, unclosed", strings.Repeat(`{"any":[`, 50000), strings.Repeat("/any/0", 16) + " too-deep"},
		{"1e400", `{"ratio":1e400}`, "/ratio inexact-number"},
		{"-1e400", `{"ratio":-1e400}`, "/ratio inexact-number"},
		{"1e-400", `{"ratio":1e-400}`, "/ratio inexact-number"},
		{"huge exponent", `{"ratio":1e99999999999999999999}`, "/ratio inexact-number"},
		{"zero with a huge exponent", `{"ratio":0e99999999999999999999}`, ""},
		{"2^53+1 as float", `{"ratio":9007199254740993}`, "/ratio inexact-number"},
		{"2^53+1 as integer", `{"count":9007199254740993}`, ""},
		{"2^53+1 as anything", `{"any":9007199254740993}`, ""},
		{"tenth", `{"ratio":0.1}`, ""},
		{"tenth, padded", `{"ratio":0.1000e0}`, ""},
		{"too many digits", `{"ratio":0.30000000000000000001}`, "/ratio inexact-number"},
		{"too many digits, single", `{"single":0.123456789}`, "/single inexact-number"},
		{"too many digits, anything", `{"any":[0.30000000000000000001]}`, "/any/0 inexact-number"},
		{"NaN", `{"ratio":NaN}`, "/ratio bad-json"},
		{"Infinity", `{"ratio":-Infinity}`, "/ratio bad-json"},
		{"hexadecimal", `{"count":0x10}`, " bad-json"},
		{"leading zero", `{"count":012}`, " bad-json"},
		{"plus", `{"count":+1}`, "/count bad-json"},
		{"whole as decimal", `{"count":12.0}`, "/count wrong-type"},
		{"whole with exponent", `{"count":1e2}`, "/count wrong-type"},
		{"fraction", `{"count":1.5}`, "/count wrong-type"},
		{"beyond 64 bits", `{"count":9223372036854775808}`, "/count out-of-range"},
		{"beyond 8 bits", `{"small":128}`, "/small out-of-range"},
		{"below zero", `{"level":-1}`, "/level out-of-range"},
		{"limit left out", `{"level":500}`, "/level out-of-range"},
		{"number as text", `{"count":"5"}`, "/count wrong-type"},
		{"text as number", `{"name":5}`, "/name wrong-type"},
		{"array for object", `[]`, " wrong-type"},
		{"text for object", `"{}"`, " wrong-type"},
		{"null for object", `null`, " null"},
		{"single quotes", `{'name':"a"}`, " bad-json"},
		{"comment", `{/**/}`, " bad-json"},
		{"trailing comma", `{"name":"a",}`, " bad-json"},
		{"tab in text", "{\"name\":\"\t\"}", "/name bad-json"},
		{"unclosed", `{"name":"a"`, " bad-json"},
		{"unclosed text", `{"name":"a`, "/name bad-json"},
		{"nothing", ``, " bad-json"},
		{"blank", " \n", " bad-json"},
		{"null allowed", `{"maybe":null}`, ""},
		{"null not allowed", `{"never":null,"name":null,"texts":{"a":null},"sides":[null],"counts":{"b":null}}`,
			"/never null, /name null, /texts/a null, /sides/0 null, /counts/b null"},
		{"pointer escapes", `{"texts":{"a/b~":1}}`, "/texts/a~1b~0 wrong-type"},
		{"many faults of meaning at once", `{"name":"abcdef","sides":[0,"2",3],"cards":[{},{"size":3,"bay":"nort"}],"key":"x","odds":"x","at":"x"}`,
			"/name too-long, /sides/0 out-of-range, /sides/1 wrong-type, /cards/1/size not-allowed, /cards/1/bay not-allowed, /key bad-form, /odds bad-value, /at bad-form"},
		{"meaning, then syntax", `{"name":5,"count":"x",]`, "/name wrong-type, /count wrong-type, " + " bad-json"},
		{"too many", `{"sides":[1,2,3,4,5],"texts":{"a":"","b":"","c":"","d":""}}`, "/sides too-many, /texts too-many"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var card testCard
			got := decodeStrict([]byte(c.body), &card)
			if text := findingsText(got); text != c.want {
				t.Errorf("got  %s\nwant %s\n%v", text, c.want, got)
			}
			for _, f := range got {
				if !utf8.ValidString(f.Message) || f.Message == "" || len(f.Message) > 400 {
					t.Errorf("message %q", f.Message)
				}
			}
		})
	}
}

func TestEveryKindOfFieldIsRead(t *testing.T) {
	const text = `{"name":"b\u00e9","count":-9223372036854775808,"small":-128,"level":499,"ratio":-2.5e-3,"single":0.25,"yes":true,
		"key":"0197a1b2-0000-7000-8000-000000000001","at":"2026-11-25T14:30:00Z","odds":"3:1","maybe":7,"never":"n",
		"any":{"a":[1,1.5,"x",true,null,{}]}, "raw" : [ 1, "\u0041" ] ,"texts":{"k":"v\n"},"counts":{"k":1,"l":0},
		"sides":[1,2],"cards":[{"count":1},{"cards":[]}],"size":4,"bay":"south"}`
	var got testCard
	if f := decodeStrict([]byte(text), &got); f != nil {
		t.Fatal(findingsText(f))
	}
	seven, n := 7, "n"
	want := testCard{
		Name: "bé", Count: math.MinInt64, Small: -128, Level: 499, Ratio: -0.0025, Single: 0.25, Yes: true,
		Key: uuid.MustParse("0197a1b2-0000-7000-8000-000000000001"), At: time.Date(2026, 11, 25, 14, 30, 0, 0, time.UTC),
		Odds: testOdds{3, 1}, Maybe: &seven, Never: &n,
		Any: map[string]any{"a": []any{int64(1), 1.5, "x", true, nil, map[string]any{}}},
		Raw: jsontext.Value(`[ 1, "\u0041" ]`), Texts: map[string]string{"k": "v\n"}, Counts: map[string]int{"k": 1, "l": 0},
		Sides: []int{1, 2}, Cards: []testCard{{Count: 1}, {Cards: []testCard{}}}, Size: 4, CardPlace: CardPlace{"south"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// Nothing decoded may point into the body: its buffer is used again.
func TestNothingOfTheBodyIsKept(t *testing.T) {
	text := []byte(`{"name":"abc","texts":{"key":"value"},"raw":{"a":"b"},"any":["text"]}`)
	var got testCard
	if f := decodeStrict(text, &got); f != nil {
		t.Fatal(f)
	}
	for i := range text {
		text[i] = 'X'
	}
	if got.Name != "abc" || got.Texts["key"] != "value" || string(got.Raw) != `{"a":"b"}` || got.Any.([]any)[0] != "text" {
		t.Errorf("%+v", got)
	}
}

func TestFindingsTeach(t *testing.T) {
	for _, c := range []struct{ body, message string }{
		{`{"nmae":"a"}`, `There is no field "nmae" here; "name" was probably meant.`},
		{`{"bay":"nort"}`, `This is not one of the values allowed here; "north" was probably meant.`},
		{`{"name":"abcdef"}`, "Write at most 5 characters; this has 6."},
		{`{"name":[1]}`, "This must be a string, not an array."},
		{`{"count":1.0}`, "This must be a whole number, written without a point or exponent."},
		{`{"level":500}`, "This number is outside the range of the field: it must be at least 0 and less than 500."},
		{"{\n  \"name\" \"a\"}", "This is not JSON: invalid character '\"' after object name (expecting ':') at line 2, byte 10."},
		{"{}\n{}", "Something follows the end of the JSON document at line 2, byte 2; send one document."},
		{`{"odds":"x"}`, "Write odds as in 3:1."},
		{`{"key":"x"}`, "Write a UUID: 32 hexadecimal digits in the form 8-4-4-4-12."},
		{`{"` + strings.Repeat("é", 50) + `":1}`, `There is no field "` + strings.Repeat("é", 40) + `…" here.`},
	} {
		var card testCard
		got := decodeStrict([]byte(c.body), &card)
		if len(got) != 1 || got[0].Message != c.message {
			t.Errorf("%s\ngot  %v\nwant %s", c.body, got, c.message)
		}
	}
	var card testCard
	far := decodeStrict([]byte(`{"colour":1}`), &card)
	if len(far) != 1 || !slices.Contains(far[0].Allowed, "texts") || far[0].Nearest != nil {
		t.Errorf("an unknown field with nothing near it lists what there is: %+v", far)
	}
}

func TestFindingsAreBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"counts":{`)
	for i := range 5000 {
		fmt.Fprintf(&b, `"k%d":"x",`, i)
	}
	var card testCard
	got := decodeStrict([]byte(b.String()+`"end":1}}`), &card)
	if len(got) != maxFindings {
		t.Errorf("%d findings", len(got))
	}
	if p := faulty(got); !strings.Contains(p.Detail, "first 100") {
		t.Errorf("detail %q", p.Detail)
	}
	got = decodeStrict([]byte(`{"cards":[{"`+strings.Repeat("k", 100_000)+`":1}]}`), &card)
	if len(got) != 1 || got[0].Pointer != "/cards/0" || len(got[0].Message) > 400 {
		t.Errorf("a name of 100 kB: %.500v", got)
	}
}

func TestExactFloat(t *testing.T) {
	for text, exact := range map[string]bool{
		"0": true, "-0": true, "0.0": true, "0e5": true, "1": true, "10": true, "1e2": true, "100e-2": true, "0.1": true,
		"0.001e3": true, "9007199254740992": true, "9007199254740993": false, "9007199254740994": true,
		"1.7976931348623157e308": true, "1.7976931348623159e308": false, "5e-324": true, "3e-324": false,
		"123456789012345": true, "1234567890123456789": false, "0.1000000000000000055511151231257827": false,
	} {
		if _, got := exactFloat(text, 64); got != exact {
			t.Errorf("%s: exact %t", text, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Float64().Filter(func(f float64) bool { return !math.IsInf(f, 0) && !math.IsNaN(f) }).Draw(t, "n")
		text, err := json.Marshal(n)
		if err != nil {
			t.Fatal(err)
		}
		if got, exact := exactFloat(string(text), 64); !exact || got != n {
			t.Fatalf("%s: %v %t", text, got, exact)
		}
	})
}

func TestNearest(t *testing.T) {
	words := []string{"white-oak", "walnut", "ash", "po"}
	for s, want := range map[string]string{
		"wite-oak": "white-oak", "WALNUT": "walnut", "walnt": "walnut", "as": "ash", "PO": "po", "pq": "", "maple": "",
		"": "", strings.Repeat("walnut", 20): "",
	} {
		if got := nearest(s, words); got != want {
			t.Errorf("%.20q: %q, want %q", s, got, want)
		}
	}
}

// What cannot be read or is not checked is found when a route is registered.
func TestTypesThatPromiseTooMuchAreRefused(t *testing.T) {
	for name, v := range map[string]any{
		"no json tag": struct{ A string }{},
		"open array": struct {
			A []string `json:"a"`
		}{},
		"bytes": struct {
			A []byte `json:"a"`
		}{},
		"own decoding": struct {
			A ownDecoding `json:"a"`
		}{},
		"channel": struct {
			A chan int `json:"a"`
		}{},
		"int keys": struct {
			A map[int]string `json:"a"`
		}{},
		"multiple of": struct {
			A int `json:"a" multipleOf:"5"`
		}{},
		"unique items": struct {
			A []string `json:"a" maxItems:"3" uniqueItems:"true"`
		}{},
		"read only": struct {
			A string `json:"a" readOnly:"true"`
		}{},
		"string option": struct {
			A int `json:"a,string"`
		}{},
		"further fields": struct {
			_ struct{} `json:"-" additionalProperties:"true"`
			A int      `json:"a"`
		}{},
		"dependent field": struct {
			A int `json:"a,omitempty" dependentRequired:"b"`
			B int `json:"b,omitempty"`
		}{},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s was taken", name)
				}
			}()
			planOf(reflect.TypeOf(v))
		}()
	}
}

type ownDecoding struct{ s string }

func (o *ownDecoding) UnmarshalJSON(b []byte) error { o.s = string(b); return nil }

// What is refused must be what the schema documents: the framework's own
// validator, run on the same document, agrees. (It takes null for any field
// that is not required and 1e2 for a whole number; those are left out.)
func TestDecoderAgreesWithTheDocumentedSchema(t *testing.T) {
	reg := huma.NewMapRegistry("#/", huma.DefaultSchemaNamer)
	schema := reg.Schema(reflect.TypeFor[testOrder](), true, "")
	good := testOrderText(t)
	taken, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		var doc any
		if err := stdjson.Unmarshal(good, &doc); err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			doc = mutate(t, doc, 0)
		}
		text, err := stdjson.Marshal(doc)
		if err != nil {
			t.Fatal(err)
		}
		var res huma.ValidateResult
		huma.Validate(reg, schema, huma.NewPathBuffer(nil, 0), huma.ModeWriteToServer, doc, &res)
		var order testOrder
		got := decodeStrict(text, &order)
		if (len(got) == 0) != (len(res.Errors) == 0) {
			t.Fatalf("%s\nfound     %v\nvalidator %v", text, findingsText(got), res.Errors)
		}
		if len(got) == 0 {
			taken++
		} else {
			refused++
		}
	})
	if taken == 0 || refused == 0 {
		t.Errorf("%d taken, %d refused: the test tried one side only", taken, refused)
	}
}

// mutate changes one place of a document: drops, adds or replaces a value.
func mutate(t *rapid.T, doc any, depth int) any {
	into := depth < 4 && rapid.IntRange(0, 3).Draw(t, "into") > 0
	switch v := doc.(type) {
	case map[string]any:
		if into && len(v) > 0 {
			keys := make([]string, 0, len(v))
			for k := range v {
				keys = append(keys, k)
			}
			slices.Sort(keys)
			k := rapid.SampledFrom(keys).Draw(t, "key")
			switch rapid.IntRange(0, 5).Draw(t, "what") {
			case 0:
				delete(v, k)
			case 1:
				v[strings.ToUpper(k)] = v[k]
			default:
				v[k] = mutate(t, v[k], depth+1)
			}
			return v
		}
	case []any:
		if into && len(v) > 0 {
			i := rapid.IntRange(0, len(v)-1).Draw(t, "item")
			v[i] = mutate(t, v[i], depth+1)
			return v
		}
	}
	return rapid.SampledFrom([]any{
		"", "a", "GB", "stock", "2026-W07", "x@fernbank.example", strings.Repeat("é", 40), strings.Repeat("é", 81),
		float64(0), float64(1), float64(999), float64(1000), 2.5, true, []any{}, map[string]any{}, map[string]any{"a": "b"},
		"0197a1b2-0000-7000-8000-000000000001",
	}).Draw(t, "value")
}

// Arrays of nothing must not cost many times their text.
func TestSmallTextDoesNotBecomeLargeMemory(t *testing.T) {
	text := []byte(`{"cards":[` + strings.Repeat("{},", 300_000) + `{}]}`)
	var card testCard
	bytesUsed := testing.Benchmark(func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			card = testCard{}
			if f := decodeStrict(text, &card); findingsText(f) != "/cards too-many" {
				b.Fatal(findingsText(f))
			}
		}
	}).AllocedBytesPerOp()
	if bytesUsed > 64<<10 {
		t.Errorf("%d bytes for an array that is refused", bytesUsed)
	}
}

func TestOneReplyListsAllFaults(t *testing.T) {
	s, _ := brokenServer(t, Settings{})
	body := strings.NewReplacer(`"po":"PO-2026-0417"`, `"po":""`, `"quantity":1,`, `"quantity":"1",`, `"country":"GB"`, `"countri":"GB"`).
		Replace(string(testOrderText(t)))
	w := httptest.NewRecorder()
	r := httptest.NewRequest("POST", "/v1/orders", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	s.Handler().ServeHTTP(w, r)
	p := readProblem(t, w.Result(), 400)
	const want = "/po too-short, /ship_to/countri unknown-field, /ship_to/country missing, /lines/0/quantity wrong-type"
	if got := findingsText(p.Errors); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// FuzzDecodeStrict holds the decoder against the library's own: whatever is
// taken is taken there too and means the same, and nothing makes it panic.
func FuzzDecodeStrict(f *testing.F) {
	f.Add(testOrderText(f))
	for _, s := range []string{
		`{"name":"a","texts":{"a":"b"},"sides":[1,2],"raw":[1,{"a":null}],"any":{"a":[0.1,-0,1e3]}}`,
		`{"cards":[{"odds":"3:1"},{"maybe":null}],"bay":"south"}`, `{"a":1,"a":2}`, `{"name":"\ud83d\ude00"}`, "{}{}", "[[[]]]", "",
		`{"at":"2026-11-25T14:30:00Z","key":"0197a1b2-0000-7000-8000-000000000001"}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		original := bytes.Clone(text)
		var got, want testCard
		if findings := decodeStrict(text, &got); findings == nil {
			if err := json.Unmarshal(text, &want, json.RejectUnknownMembers(true)); err != nil {
				t.Fatalf("taken, but the library says %v", err)
			}
			if a, b := encoded(t, got), encoded(t, want); !bytes.Equal(a, b) {
				t.Fatalf("read as\n%s\nby the library as\n%s", a, b)
			}
		} else {
			for _, f := range findings {
				if !jsontext.Pointer(f.Pointer).IsValid() || !utf8.ValidString(f.Message) {
					t.Fatalf("bad finding %+q", f)
				}
			}
			if _, err := json.Marshal(faulty(findings)); err != nil {
				t.Fatalf("a problem that cannot be sent: %v", err)
			}
		}
		var anything any
		findings := decodeStrict(text, &anything)
		if valid := jsontext.Value(text).IsValid(); findings == nil && !valid {
			t.Fatal("taken, but no JSON")
		}
		var order testOrder
		decodeStrict(text, &order) // for a panic only
		if !bytes.Equal(original, text) {
			t.Fatal("the body was changed")
		}
	})
}

// encoded leaves out what a card holds of any kind, at every level: whole
// numbers there are int64 here and float64 in the library.
func encoded(t *testing.T, c testCard) []byte {
	t.Helper()
	var strip func(*testCard)
	strip = func(c *testCard) {
		c.Any = nil
		for i := range c.Cards {
			strip(&c.Cards[i])
		}
	}
	strip(&c)
	text, err := json.Marshal(c, json.Deterministic(true))
	if err != nil {
		t.Fatal(err)
	}
	return text
}
