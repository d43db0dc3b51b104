// Package fused holds the test that no product of floats is fused with an
// addition. The language lets a compiler round x*y + z once instead of twice
// (Go specification, "Floating-point operators"); on arm64 it does, on amd64 not,
// so that the same bill would come out differently by machine. A product written
// float64(x*y) is always rounded by itself.
package fused

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"
)

// reckoning are the packages whose figures stand on bills.
var reckoning = []string{"billwright/catalog", "billwright/catalog/unit", "billwright/catalog/formula", "billwright/catalog/calendar", "billwright/bom"}

// fusedInstruction matches every arm64 instruction that multiplies and adds
// floats at once.
var fusedInstruction = regexp.MustCompile(`\bFN?M(ADD|SUB)[SD]\b`)

// assembly compiles packages for arm64 and gives the compiler's listing.
func assembly(t *testing.T, packages ...string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	args := []string{"build", "-gcflags=-S"}
	build := exec.CommandContext(ctx, "go", append(args, packages...)...)
	build.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64", "CGO_ENABLED=0")
	var listing bytes.Buffer
	build.Stderr = &listing
	if err := build.Run(); err != nil {
		t.Fatalf("go build for arm64: %v\n%.2000s", err, listing.String())
	}
	return listing.String()
}

func TestNoFusedMultiplyAdd(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles for arm64")
	}
	listing := assembly(t, reckoning...)
	for _, name := range reckoning {
		if !strings.Contains(listing, "\n"+name+".") && !strings.HasPrefix(listing, name+".") && !strings.Contains(listing, "# "+name+"\n") {
			t.Errorf("the listing has nothing of %s", name)
		}
	}
	if !strings.Contains(listing, "FMULD") {
		t.Error("the listing has no product of floats at all")
	}
	for line := range strings.Lines(listing) {
		if fusedInstruction.MatchString(line) {
			t.Errorf("a product is fused with an addition; write it float64(a*b): %s", strings.TrimSpace(line))
		}
	}
}

// The test above can fail: it finds the fused product of the control and only
// that one.
func TestAFusedProductIsFound(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles for arm64")
	}
	found := fusedInstruction.FindAllString(assembly(t, "./testdata/control"), -1)
	if len(found) != 1 {
		t.Errorf("found %q in the control, want one", found)
	}
}
