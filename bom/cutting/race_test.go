//go:build race

package cutting_test

// The race detector makes everything some ten times as slow, and finds what it
// finds in a part of the sets as well: the whole sets are for the run without it.
const underRace = true
