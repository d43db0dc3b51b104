package bom_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/sampling"
)

// quantity is a text that begins with a number other than nought.
var quantity = regexp.MustCompile(`^-?[0-9.]*[1-9]`)

// told are the fields that say how a thing is, and not how much.
var told = []string{"path", "name", "each", "pieces", "step", "angle", "section", "material", "shape", "ends", "form", "note", "glass", "item", "board", "grade", "species",
	"rough_thickness", "finish", "do", "coating", "temperature"}

// covered are the parts of a bill whose every quantity is told.
var covered = []string{"steel", "welds", "welded", "hardware", "finish", "cushions", "cloth", "wood", "glass", "stone", "cartons"}

// Every quantity of every row of those parts stands in the row's reasons, as the bill writes it.
func TestEveryQuantityHasItsReasons(t *testing.T) {
	lacking := map[string]string{}
	for name, cat := range map[string]*catalog.Catalog{"demonstration": read(t), "metric": metricShop(t)} {
		source := rand.New(rand.NewPCG(11, 7))
		for range 400 {
			config := sampling.Config(cat, source.IntN)
			if config == nil {
				continue
			}
			line := bom.Line{Number: 1, Quantity: 1 + source.IntN(5), Config: config}
			bill, working, findings := bom.Explode(cat, []bom.Line{line}, true)
			if len(findings) > 0 {
				continue
			}
			trace := &bom.Trace{Catalog: cat, Lines: []bom.Line{line}, Bill: bill, Working: working}
			for _, path := range rowPaths(t, document(t, bill)) {
				why, err := trace.Why(bom.RowAddress(1, path))
				if err != nil {
					t.Fatal(err)
				}
				if !slices.Contains(covered, why.Part) {
					continue
				}
				text := why.Text()
				eachQuantity(t, why.Part, why.Values, func(field, value string) {
					if !strings.Contains(text, value) {
						lacking[field] = fmt.Sprintf("%s of %s in the %s: %s", field, path, name, value)
					}
				})
			}
		}
	}
	for _, field := range slices.Sorted(func(yield func(string) bool) {
		for field := range lacking {
			if !yield(field) {
				return
			}
		}
	}) {
		t.Errorf("nothing tells how this came about: %s", lacking[field])
	}
}

// eachQuantity visits the quantities of a row and of what it holds.
func eachQuantity(t *testing.T, name string, value json.RawMessage, visit func(field, value string)) {
	t.Helper()
	var members map[string]json.RawMessage
	var list []json.RawMessage
	var text string
	switch {
	case json.Unmarshal(value, &members) == nil && members != nil:
		for field, member := range members {
			if !slices.Contains(told, field) {
				eachQuantity(t, name+"."+field, member, visit)
			}
		}
	case json.Unmarshal(value, &list) == nil && list != nil:
		for _, member := range list {
			eachQuantity(t, name, member, visit)
		}
	case json.Unmarshal(value, &text) == nil && quantity.MatchString(text):
		visit(name, text)
	}
}
