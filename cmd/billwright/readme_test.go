package main

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// What differs from one start to the next. The bill's hash does not.
var ofOneStart = regexp.MustCompile(`Order [0-9A-Z]{4}-[0-9A-Z]{4}`)

// The README's example is what the program prints, line by line and in order,
// but for the lines it says it leaves out.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, block, found := strings.Cut(string(text), "```text\n")
	block, _, ends := strings.Cut(block, "```")
	if !found || !ends {
		t.Fatal("the README has no ```text block")
	}
	shown := strings.Split(strings.TrimSpace(ofOneStart.ReplaceAllString(block, "-")), "\n")
	if len(shown) < 30 {
		t.Fatalf("the README shows only %d lines", len(shown))
	}
	printed := strings.Split(ofOneStart.ReplaceAllString(start(t, openFolder(t), "--clock", "2026-11-25T09:00:00-06:00").print, "-"), "\n")
	at := 0
	for _, line := range shown {
		if line == "…" || strings.TrimSpace(line) == "" {
			continue
		}
		for at < len(printed) && printed[at] != line {
			at++
		}
		if at == len(printed) {
			t.Fatalf("the program does not print, after what the README shows before it:\n%s", line)
		}
		at++
	}
}
