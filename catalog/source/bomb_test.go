package source

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
)

// fill repeats part until the text is as long as size allows.
func fill(part string, size int) string { return strings.Repeat(part, size/len(part)) }

func aliasBomb() string {
	var doc strings.Builder
	doc.WriteString("closures: [&a0 lol]\nnotes:\n")
	for i := 1; i < 60; i++ {
		fmt.Fprintf(&doc, "  k%d: &a%d [%s]\n", i, i, strings.TrimSuffix(fill(fmt.Sprintf("*a%d,", i-1), 60), ","))
	}
	return doc.String()
}

func manyKeys(n int) string {
	var doc strings.Builder
	doc.WriteString("notes:\n")
	for i := range n {
		fmt.Fprintf(&doc, "  k%d: x\n", i)
	}
	return doc.String()
}

func staircase(steps int) string {
	var doc strings.Builder
	for i := range steps {
		doc.WriteString(strings.Repeat(" ", i) + "parts:\n")
	}
	return doc.String()
}

const tooMany = "more than 200000 keys and values"

// Each text is refused, or read, within the same bounds of time and memory
// (what is allocated in all, so the most that can be live is less). The worst
// we know take half a second and 310 MB here without the race detector.
var bombs = []struct {
	name, text string
	first      string // begins the message of the first fault; "" if there is none
}{
	{"aliases of aliases", aliasBomb(), "the anchor &a0 is not read"},
	{"an alias of itself", "closures: &a [*a]\n", "the anchor &a is not read"},
	{"many anchors", "closures: [" + fill("&a a,", 1_900_000) + "]", "the anchor &a is not read"},
	{"100 MB", fill("a: b\n", 100_000_000), "more than 4 MiB"},
	{"100 MB of brackets", fill("[", 100_000_000), "more than 4 MiB"},
	{"4 MiB of brackets", fill("[", MaxFileBytes), tooMany},
	{"4 MiB of items in items", fill("- ", MaxFileBytes), tooMany},
	{"as many brackets as are let through", fill("[", maxMarks-1), "not readable as YAML: exceeded max depth"},
	{"as many items in items", fill("- ", 2*maxMarks-2), "not readable as YAML: exceeded max depth"},
	{"9,000 lists in lists", fill("[", 9_000) + fill("]", 9_000), "more than 32 mappings and lists"},
	{"9,000 mappings in mappings", fill("{a: ", 36_000) + "b" + fill("}", 9_000), "more than 32 mappings and lists"},
	{"9,000 keys in keys", fill("? ", 18_000), "more than 32 mappings and lists"},
	{"2,000 mappings as stairs", staircase(2_000), "more than 32 mappings and lists"},
	{"as many keys as are let through", manyKeys(MaxFileNodes/2 - 2), ""},
	{"more keys", manyKeys(MaxFileNodes / 2), tooMany},
	{"many more keys", manyKeys(250_000), tooMany},
	{"keys without values", "notes: {" + fill("a,", 2*maxMarks-40) + "}", tooMany},
	{"the same key again and again", "notes:\n" + fill("  a: b\n", 7*90_000), "the key \"a\" is given twice"},
	{"remarks on every line", fill("a: # b\n", 7*190_000), tooMany},
	{"remarks between items", "closures:\n" + fill("- a # b\n# c\n", 12*130_000), ""},
	{"only remarks", fill("#\n", 2*(maxMarks-1)), ""},
	{"one long remark", "#" + fill("a", MaxFileBytes-1), ""},
	{"one long text", "closures: [\"" + fill("a", MaxFileBytes-20) + "\"]", ""},
	{"one long folded text", "notes:\n  a: >\n" + fill("    a\n\n", 7*190_000), ""},
	{"a quote never closed", "closures: [\"" + fill("a\n", 2*390_000), "not readable as YAML: found unexpected end of stream"},
	{"a mistake on the last line", fill("a: b\n", 5*190_000) + "a: b: c\n", "not readable as YAML: mapping values"},
	{"a mistake on every line", fill("a b\nc: d\n", 9*80_000), "not readable as YAML: mapping values"},
	{"one long key", "? " + fill("a", MaxFileBytes-10), "unknown key"},
	{"one long anchor", "edition: &" + fill("a", MaxFileBytes-20) + " 1", "the anchor &aaa"},
	{"one long tag", "edition: !" + fill("a", MaxFileBytes-20) + " 1", "a tag (!) is not read"},
	{"exclamation marks", "closures: ['" + fill("! ", MaxFileBytes-20) + "']", ""},
	{"spaces", "edition:" + fill(" ", MaxFileBytes-20), "empty value"},
}

func TestBombs(t *testing.T) {
	const most = 600 << 20
	const limit = 20 * time.Second // on a machine that does much else; work that grows with the square takes hours
	for _, bomb := range bombs {
		t.Run(bomb.name, func(t *testing.T) {
			if raceDetector && len(bomb.text) > 100_000 && len(bomb.text) <= MaxFileBytes {
				t.Skip("up to 20 s under the race detector, which has nothing to find in it")
			}
			files := []File{{"a.yaml", []byte(bomb.text)}}
			var into book
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			faults := Decode(files, &into)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if took > limit {
				t.Errorf("took %s", took)
			}
			if allocated := after.TotalAlloc - before.TotalAlloc; allocated > most {
				t.Errorf("allocated %d MiB", allocated>>20)
			}
			first := ""
			if len(faults) > 0 {
				first = faults[0].Message
			}
			if !strings.HasPrefix(first, bomb.first) || (first == "") != (bomb.first == "") {
				t.Errorf("%d faults, the first: %.200q", len(faults), first)
			}
		})
	}
}

// Refusing by size reads nothing.
func TestLongFileCostsNothing(t *testing.T) {
	files := []File{{"a.yaml", make([]byte, 100_000_000)}}
	var into book
	if allocs := testing.AllocsPerRun(3, func() { Decode(files, &into) }); allocs > 300 {
		t.Errorf("%.0f allocations", allocs)
	}
}

func TestFaultsAreCounted(t *testing.T) {
	var into book
	faults := Decode([]File{{"a.yaml", []byte(fill("x: y\n", 5*1_500))}}, &into)
	if len(faults) != MaxFaults+1 {
		t.Fatalf("%d faults", len(faults))
	}
	if last := faults[MaxFaults].Error(); last != "500 more faults are not listed; mend the first ones and check again" {
		t.Error(last)
	}
}

func TestLimitsOverFiles(t *testing.T) {
	small := func(n int, text string) []File {
		files := make([]File, n)
		for i := range files {
			files[i] = File{fmt.Sprintf("%04d.yaml", i), []byte(text)}
		}
		return files
	}
	items := "closures: [" + fill("a,", 2*150_000) + "]\n"
	remark := "#" + fill("a", MaxFileBytes-1)
	for _, test := range []struct {
		name  string
		files []File
		want  string
	}{
		{"as many files as are let through", small(MaxFiles, "closures: [a]\n"), ""},
		{"more files", small(MaxFiles+1, "closures: [a]\n"), "more than 2000 catalog files; put several products in one file"},
		{"as many bytes as are let through", small(16, remark), ""},
		{"more bytes", small(17, remark), "0016.yaml: with this file the catalog has more than 64 MiB; no file from here on is read"},
		{"more values", small(16, items), "0014.yaml: the files before this one hold more than 2000000 keys and values; no file from here on is read"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if raceDetector && len(test.files)*len(test.files[0].Bytes) > 1<<20 {
				t.Skip("a minute under the race detector, which has nothing to find in it")
			}
			var into book
			got := ""
			for _, fault := range Decode(test.files, &into) {
				got += fault.Error()
			}
			if got != test.want {
				t.Errorf("%s\nwant %s", got, test.want)
			}
		})
	}
}
