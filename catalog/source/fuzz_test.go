package source

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// checkDecode reads bytes as a file and checks what must hold of any answer:
// no panic, the same answer twice, faults in order and each with a place
// inside the file.
func checkDecode(t interface{ Errorf(string, ...any) }, text []byte) {
	var first, second book
	files := []File{{"a.yaml", text}}
	faults := Decode(files, &first)
	if again := Decode(files, &second); !reflect.DeepEqual(again, faults) || tell(first) != tell(second) {
		t.Errorf("%q: read twice, two answers:\n%v\n%v", text, faults, again)
	}
	sorted := append([]Fault(nil), faults...)
	SortFaults(sorted)
	if len(faults) <= MaxFaults && !reflect.DeepEqual(sorted, faults) {
		t.Errorf("%q: faults out of order: %v", text, faults)
	}
	all := strings.Split(string(text), "\n")
	for i, fault := range faults {
		if i == MaxFaults {
			continue
		}
		if fault.Message == "" || fault.File != "a.yaml" || fault.Line > len(all) {
			t.Errorf("%q: fault %#v", text, fault)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, test := range goodDocuments {
		f.Add([]byte(test.doc))
	}
	for _, test := range faultyDocuments {
		f.Add([]byte(test.doc))
	}
	for _, doc := range []string{"&a [*a]", "? - ? - : -", "!!map {<<: *x}", "a: |9\n", "\"\\x", "%YAML 9\n---", "- # c\n\n  # d\n- e", "{a: &b !c d, *b : e}"} {
		f.Add([]byte(doc))
	}
	f.Fuzz(func(t *testing.T, text []byte) { checkDecode(t, text) })
}

// Arbitrary bytes hardly ever parse; texts of YAML's own marks often do.
func TestDecodeAnyText(t *testing.T) {
	words := rapid.SampledFrom([]string{
		"plant", "parts", "notes", "closures", "carriers", "leg", "zone", "name", "holes", "needs", "at", "length", "72 in", "1", "yes", "~",
		": ", ":", "- ", "? ", ", ", "[", "]", "{", "}", "\n", "\n  ", "\n    ", "\t", " ", "#", " # x\n", "'", "\"", "\\", "|", ">", "&a ", "*a", "!t ", "! ", "<<", "---\n", "...\n", "%", "\r\n", "é", "\x00", "\xff", "\u2028",
	})
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(words, 0, 40).Draw(t, "words")
		checkDecode(t, []byte(strings.Join(parts, "")))
	})
}

// Whatever texts are written under whatever headings, in quotes, are read back
// with their lines.
func TestNotesAreReadAsWritten(t *testing.T) {
	text := rapid.StringMatching(`[ -~äß→\n\t]{1,30}`)
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfNDistinct(text, 0, 10, rapid.ID).Draw(t, "headings")
		values := make([]string, len(keys))
		doc := "notes:\n"
		for i, key := range keys {
			values[i] = text.Draw(t, "note")
			doc += fmt.Sprintf("  %s: %s\n", strconv.Quote(key), strconv.Quote(values[i]))
		}
		if len(keys) == 0 {
			doc = "notes: {}\n"
		}
		var got book
		if faults := Decode([]File{{"a.yaml", []byte(doc)}}, &got); faults != nil {
			t.Fatalf("%s: %v", doc, faults)
		}
		if got.Notes.Len() != len(keys) {
			t.Fatalf("%s: %d notes", doc, got.Notes.Len())
		}
		i := 0
		for key, note := range got.Notes.All() {
			if key.Value != keys[i] || note.Value != values[i] || key.Pos != (Pos{"a.yaml", i + 2, 3}) || note.Pos.Line != i+2 {
				t.Fatalf("%s: note %d is %q at %s: %q at %s", doc, i, key, key.Pos, note, note.Pos)
			}
			i++
		}
	})
}

// However a list of entries is cut into files, it reads the same.
func TestAnySplitReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "parts")
		whole, files := "", []File{}
		doc := ""
		for i := range n {
			entry := fmt.Sprintf("  p%d: {name: N%d, length: %d in}\n", i, i, i)
			whole, doc = whole+entry, doc+entry
			if i == n-1 || rapid.Bool().Draw(t, "cut here") {
				files = append(files, File{fmt.Sprintf("%02d.yaml", i), []byte("parts:\n" + doc)})
				doc = ""
			}
		}
		var one, many book
		faults := Decode([]File{{"a.yaml", []byte("parts:\n" + whole)}}, &one)
		faults = append(faults, Decode(files, &many)...)
		if faults != nil || !reflect.DeepEqual(one.Parts.Keys(), many.Parts.Keys()) {
			t.Fatalf("%v; %q, %q", faults, one.Parts.Keys(), many.Parts.Keys())
		}
		for key, p := range one.Parts.All() {
			other, _ := many.Parts.Get(key.Value)
			if p.Name != other.Name || p.Length != other.Length {
				t.Fatalf("%s: %v, %v", key, p, other)
			}
		}
	})
}
