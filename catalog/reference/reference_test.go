package reference

import (
	"bytes"
	"flag"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write catalog/REFERENCE.md anew")

func TestReferenceIsWhatTheCodeReads(t *testing.T) {
	var now bytes.Buffer
	if err := Write(&now); err != nil {
		t.Fatal(err)
	}
	const path = "../REFERENCE.md"
	if *update {
		if err := os.WriteFile(path, now.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(kept, now.Bytes()) {
		t.Error("catalog/REFERENCE.md is not what the code reads: run go test ./catalog/reference -update")
	}
}

// Every key says what it is, and no kind of value is left as the name of a Go
// type.
func TestEveryKeyIsExplained(t *testing.T) {
	var text bytes.Buffer
	if err := Write(&text); err != nil {
		t.Fatal(err)
	}
	rows := 0
	for _, line := range strings.Split(text.String(), "\n") {
		cells := strings.Split(line, " | ")
		if !strings.HasPrefix(line, "| `") || len(cells) != 4 {
			continue
		}
		rows++
		if len(strings.TrimSuffix(cells[3], " |")) < 5 {
			t.Errorf("this key is not explained: %s", line)
		}
		for _, bare := range []string{"map", "struct", "text unmarshaler", "open", "unknown"} {
			if strings.TrimSpace(cells[2]) == bare {
				t.Errorf("this value is not described: %s", line)
			}
		}
	}
	if rows < 150 {
		t.Errorf("only %d keys", rows)
	}
}
