//go:build race

package catalog_test

// raced tells that the race detector slows everything down.
const raced = true
