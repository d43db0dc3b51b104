package handwork

import (
	"strings"
	"testing"
)

// Welds and splices are among what is worked by hand.
func TestTheWorkingsCoverWelds(t *testing.T) {
	all := ""
	for _, file := range handFiles(t) {
		all += file["welds"] + file["steel"]
	}
	for _, must := range []string{`"V groove"`, `"fillet"`, "spliced", "all round", "flush", "welded"} {
		if !strings.Contains(all, must) {
			t.Errorf("no bill worked by hand has %s", must)
		}
	}
}
