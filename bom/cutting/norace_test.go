//go:build !race

package cutting_test

const underRace = false
