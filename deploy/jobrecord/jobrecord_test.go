// Package jobrecord keeps testdata/job.md true: every test it names is there.
package jobrecord

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
)

func TestEveryTestNamedIsThere(t *testing.T) {
	known := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	root := os.DirFS("../..")
	err := fs.WalkDir(root, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := fs.ReadFile(root, path)
		for _, found := range declared.FindAllSubmatch(text, -1) {
			known[string(found[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	record, err := fs.ReadFile(root, "testdata/job.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for _, line := range strings.Split(string(record), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if !strings.HasPrefix(line, "| ") || len(cells) != 2 || cells[0] == "capability" {
			continue
		}
		rows++
		names := regexp.MustCompile(`Test\w+`).FindAllString(cells[1], -1)
		if len(names) == 0 && !strings.Contains(cells[1], "*not yet*") {
			t.Errorf("%q names no test and does not say *not yet*", cells[0])
		}
		for _, name := range names {
			if !known[name] {
				t.Errorf("%q names %s, which is not there", cells[0], name)
			}
		}
	}
	if rows < 60 {
		t.Errorf("only %d capabilities", rows)
	}
}
