package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"billwright/catalog"
	"billwright/catalog/demonstration"
)

func TestCallsThatAreNotUnderstood(t *testing.T) {
	for _, args := range [][]string{nil, {"begin"}, {"start", "now"}, {"start", "--clock", "yesterday"}, {"start", "--listen", "0.0.0.0:80"},
		{"start", "--listen", "nowhere"}, {"start", "--connections", "1"}, {"start", "--address", "desk"}, {"catalog"}, {"catalog", "mend", "x"}, {"clock"}} {
		var out bytes.Buffer
		err := run(t.Context(), args, &out, &out)
		if !errors.Is(err, errUsage) {
			t.Errorf("%q: %v, want a usage error", args, err)
		}
		if code := exitCode(err, &out); code != 2 {
			t.Errorf("%q: exit status %d, want 2", args, code)
		}
	}
}

func TestCatalogCheckPrintsEveryFault(t *testing.T) {
	dir := t.TempDir()
	text := "workshop:\n  code: tiny\n  name: Tiny\n  effectve: 2026-11-02\nproducts: {}\n"
	if err := os.WriteFile(filepath.Join(dir, "tiny.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	err := run(t.Context(), []string{"catalog", "check", dir}, &out, &out)
	if err == nil || exitCode(err, &out) != 1 {
		t.Errorf("a faulty catalog: %v", err)
	}
	for _, want := range []string{"tiny.yaml:4", "effective", "calendar", "standards"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the faults do not name %q:\n%s", want, out.String())
		}
	}
}

func TestDemonstrationFolderHasNoFaults(t *testing.T) {
	var out bytes.Buffer
	if err := run(t.Context(), []string{"catalog", "check", "../../catalog/demonstration"}, &out, &out); err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	cat, faults := catalog.Read(demonstration.Files())
	if cat == nil {
		t.Fatal(faults)
	}
	if want := fmt.Sprintf("no faults. %d products", cat.Products.Len()); cat.Products.Len() < 17 || !strings.Contains(out.String(), want) {
		t.Errorf("printed %q, want %q", out.String(), want)
	}
}
