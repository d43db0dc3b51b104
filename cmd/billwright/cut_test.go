package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

var update = flag.Bool("update", false, "rewrite what the calls of testdata/cut print")

// Each archive of testdata/cut is a call, the files it reads, and what it prints
// and writes: the first line of its comment says what it shows, the second is
// the call.
func TestCalls(t *testing.T) {
	paths, err := filepath.Glob("testdata/cut/*.txtar")
	if err != nil || len(paths) < 5 {
		t.Fatalf("%d calls: %v", len(paths), err)
	}
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) { checkCall(t, path) })
	}
}

func checkCall(t *testing.T, path string) {
	archive, err := txtar.ParseFile(path)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	t.Chdir(dir)
	lines := strings.Split(strings.TrimSpace(string(archive.Comment)), "\n")
	var inputs []txtar.File
	for _, file := range archive.Files {
		if name, given := strings.CutPrefix(file.Name, "given/"); given {
			inputs = append(inputs, file)
			if err := os.WriteFile(name, file.Data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	var out, errs bytes.Buffer
	code := exitCode(run(t.Context(), words(lines[1]), &out, &errs), &errs)
	got := append(inputs, txtar.File{Name: "exit", Data: []byte(fmt.Sprintln(code))}, txtar.File{Name: "out", Data: out.Bytes()}, txtar.File{Name: "errors", Data: errs.Bytes()})
	drawings, err := filepath.Glob("*/*.svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range drawings {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, txtar.File{Name: filepath.ToSlash(name), Data: text})
	}
	text := txtar.Format(&txtar.Archive{Comment: archive.Comment, Files: got})
	if want := txtar.Format(archive); !bytes.Equal(text, want) {
		if *update {
			if err := os.WriteFile(filepath.Join(here, path), text, 0o644); err != nil {
				t.Fatal(err)
			}
			return
		}
		t.Errorf("comes out otherwise; if that is meant, run with -update:\n%s", text)
	}
}

// here is the package's folder, which a call leaves for its own.
var here = func() string {
	dir, err := os.Getwd()
	if err != nil {
		panic(err)
	}
	return dir
}()

// words parts a call as a shell does, with double and single quotes.
func words(call string) []string {
	var all []string
	var word strings.Builder
	quote, open := rune(0), false
	for _, r := range call {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, open = r, true
		case quote == 0 && r == ' ':
			if open {
				all, open = append(all, word.String()), false
				word.Reset()
			}
		default:
			open = true
			word.WriteRune(r)
		}
	}
	if open {
		all = append(all, word.String())
	}
	return all[1:] // without the program's name
}

// The three forms of one plan tell the same pieces, as many as the list has.
func TestFormsOfOnePlanAgree(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("pieces.csv", []byte("length,count,mark\n57 in,8,leg\n69 in,4,rail\n100 in,2,long\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	ask := func(format string) string {
		var out bytes.Buffer
		if err := run(t.Context(), []string{"cut", "pieces.csv", "--stock", "20 ft @ 79.00", "--kerf", "1/8 in", "--trim", "1/2 in", "--format", format}, &out, &out); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	var document struct {
		Groups []struct {
			Pieces int64
			Plan   []struct {
				Count int64
				Cuts  []struct{ Count int64 }
			}
		}
	}
	if err := json.Unmarshal([]byte(ask("json")), &document); err != nil {
		t.Fatal(err)
	}
	byJSON := int64(0)
	for _, bar := range document.Groups[0].Plan {
		for _, cut := range bar.Cuts {
			byJSON += bar.Count * cut.Count
		}
	}
	rows, err := csv.NewReader(strings.NewReader(ask("csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	byCSV := 0
	for _, row := range rows[1:] {
		alike, err := strconv.Atoi(row[2])
		if err != nil {
			t.Fatal(err)
		}
		pieces, err := strconv.Atoi(row[6])
		if err != nil {
			t.Fatal(err)
		}
		byCSV += alike * pieces
	}
	if byJSON != 14 || byCSV != 14 || document.Groups[0].Pieces != 14 || !strings.Contains(ask("text"), "14 pieces on 4 bars") {
		t.Errorf("%d pieces in JSON, %d in CSV, 14 are listed", byJSON, byCSV)
	}
}

// The README's plan is what its call prints.
func TestReadmeShowsAPlan(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(text), "cat > pieces.csv <<END\n")
	list, rest, listEnds := strings.Cut(rest, "END\n")
	call, rest, callEnds := strings.Cut(rest, "\n```\n\n```text\n")
	want, _, ends := strings.Cut(rest, "```")
	if !found || !listEnds || !callEnds || !ends {
		t.Fatal("the README has no call of billwright cut with what it prints")
	}
	t.Chdir(t.TempDir())
	if err := os.WriteFile("pieces.csv", []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := run(t.Context(), words(call), &out, &out); err != nil || out.String() != want {
		t.Errorf("%s prints, with %v,\n%s", call, err, out.String())
	}
}
