//go:build !race

package catalog_test

const raced = false
