// Package limits turns what the explosion refuses into rules of choices, so that
// what is offered while somebody picks is also what can be made: a bar too short
// for a piece, goods too narrow for a cushion, a pane over the vendor's limit, a
// length that comes to nothing.
//
// A part is tried by itself, for every combination of the choices and small counts
// that its formulas read, at the ends of its sizes and by halving between ends
// that come to something else; points in between are then tried too. What hangs
// on more than that allows, on the whole product as a carton's weight does, or on
// the quantity is told as what the bill may still refuse, where it was ever seen.
package limits

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/catalog"
	"billwright/catalog/calendar"
	"billwright/catalog/choices"
	"billwright/catalog/formula"
)

// wholeTrials are the configurations of a product that are exploded whole, to see
// what no part by itself tells.
const wholeTrials = 60

// Of finds the limits of a product: the same for the same catalog, since what is
// tried hangs on nothing else.
func Of(cat *catalog.Catalog, p *catalog.Product) catalog.Limits {
	seed := fnv.New64a()
	seed.Write([]byte(p.Code))
	f := finding{cat: cat, p: p, dice: rand.New(rand.NewPCG(seed.Sum64(), uint64(bom.Arithmetic))), told: map[string]bool{}}
	f.parts(p.Parts.Keys(), "")
	f.wholes()
	return f.limits
}

// Limited is the catalog with the limits of its products beside their rules.
func Limited(cat *catalog.Catalog) *catalog.Catalog {
	return cat.Limited(func(p *catalog.Product) catalog.Limits { return Of(cat, p) })
}

// failed is the code of a formula that cannot be reckoned.
const failed = "formula.failed"

// ofAnother tells that a finding is about another part too, which was not tried
// beside it.
func ofAnother(code string) bool { return strings.HasSuffix(code, ".no-top") }

// finding is the state of one Of.
type finding struct {
	cat    *catalog.Catalog
	p      *catalog.Product
	dice   *rand.Rand
	limits catalog.Limits
	told   map[string]bool // paths whose refusals are told, one way or the other
}

// parts goes through parts and those below them.
func (f *finding) parts(codes []string, above string) {
	for _, code := range codes {
		path := above + code
		part, found := f.p.Part(path)
		if !found {
			continue
		}
		if part.Parts.Len() > 0 {
			f.parts(part.Parts.Keys(), path+"/")
			continue
		}
		f.part(path)
	}
}

// part finds what is refused of a part.
func (f *finding) part(path string) {
	var says, code string
	refused := func(env []formula.Value, settled bool) bool {
		for _, one := range bom.Refused(f.cat, f.cat.Trial(f.p, env), path) {
			// Without what is not asked a formula may fail that nobody can ask for.
			if !madeSomehow(one) && !ofAnother(one.Code) && (settled || one.Code != failed) {
				if says == "" {
					says, code = sentence(one.Message), one.Code
				}
				return true
			}
		}
		return false
	}
	found := f.p.Refused(f.p.Formulas(path), refused, f.dice.IntN)
	switch {
	case !found.Found:
		f.refuse(path, "whether it can be made is known only when the bill is reckoned", found.Attributes)
	case len(found.Rows) > 0 && !f.confirmed(path, code, found.Rows):
		f.refuse(path, "whether it can be made hangs on the rest of the bill", found.Attributes)
	case len(found.Rows) > 0:
		f.told[path] = true
		f.limits.Rules = append(f.limits.Rules, choices.Rule{ID: code + " " + path, Says: "The bill refuses it. At one of these sizes: " + says, Forbid: found.Rows})
	}
}

// rowTrials are the rows of a limit that are tried on a whole product.
const rowTrials = 60

// confirmed tells that what was found of a part by itself is so of whole
// configurations: of rows that any can be drawn from, one each is exploded.
func (f *finding) confirmed(path, code string, rows []choices.Row) bool {
	made, err := f.cat.Choosing(f.p, f.cat.Workshop.Effective)
	if err != nil {
		return false
	}
	for i := range min(len(rows), rowTrials) {
		picks, err := made.Draw(rows[i*len(rows)/min(len(rows), rowTrials)], f.dice.IntN)
		if err != nil {
			continue // the rules keep it out already
		}
		config, _ := f.cat.Check(f.p.Code, picks, f.cat.Workshop.Effective)
		if config == nil {
			continue
		}
		_, _, findings := bom.Explode(f.cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
		if !slices.ContainsFunc(findings, func(one catalog.Finding) bool { return one.Code == code || place(one.Message) == path }) {
			return false
		}
	}
	return true
}

// madeSomehow tells that a finding only asks which way a thing is to be made.
func madeSomehow(one catalog.Finding) bool {
	return slices.ContainsFunc(one.Ways, func(w catalog.WayOut) bool { return strings.Contains(w.Pointer, "/ways/") })
}

func (f *finding) refuse(path, says string, attributes []string) {
	if f.told[path] {
		return
	}
	f.told[path] = true
	f.limits.Refuses = append(f.limits.Refuses, catalog.MayStillRefuse{What: path, Says: fmt.Sprintf("%s: %s.", strings.ReplaceAll(path, "/", " › "), says), Attributes: append([]string{}, attributes...)})
}

// wholes explodes configurations drawn at random, and tells what is refused of
// them that no part told.
func (f *finding) wholes() {
	day := f.cat.Workshop.Effective
	made, err := f.cat.Limited(func(*catalog.Product) catalog.Limits { return f.limits }).Choosing(f.p, day)
	if err != nil {
		return // the lint of the rules tells it
	}
	for range wholeTrials {
		picks, err := made.Random(f.dice.IntN)
		if err != nil {
			return
		}
		f.whole(picks, day)
	}
}

func (f *finding) whole(picks []catalog.Pick, day calendar.Date) {
	config, _ := f.cat.Check(f.p.Code, picks, day)
	if config == nil {
		return
	}
	_, _, findings := bom.Explode(f.cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	for _, one := range findings {
		path, says := place(one.Message), sentence(one.Message)
		if madeSomehow(one) {
			says = "some of it needs a way to be chosen, since it is longer than the bars on the rack"
		}
		f.refuse(path, strings.TrimSuffix(says, "."), f.p.Attributes.Keys())
	}
}

var placed = regexp.MustCompile(`^line \d+ › ([^:]*): `)

// place is the path of what a finding of the explosion is about.
func place(message string) string {
	if m := placed.FindStringSubmatch(message); m != nil {
		return strings.ReplaceAll(m[1], " › ", "/")
	}
	return "the bill"
}

// sentence is a finding of the explosion without its line.
func sentence(message string) string {
	m := placed.FindStringSubmatch(message)
	if m == nil {
		return message
	}
	return m[1] + ": " + strings.TrimPrefix(message, m[0])
}
