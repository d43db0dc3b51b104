package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"billwright/bom"
	"billwright/bom/limits"
	"billwright/catalog"
	"billwright/catalog/demonstration"
)

const (
	demonstrationDraws = 10_000
	demonstrationBar   = 0 // refused without warning
	// Questions of a demonstration product are about as hard as those of the
	// generated catalogue with a base picked, without which its products have none.
	demonstrationP50, demonstrationP99 = 10, 100 // us
)

// measureDemonstrationRules explodes configurations of the demonstration that are
// drawn from what its rules and the limits of its bill leave, and tells how many
// are refused though nothing said so before.
func measureDemonstrationRules(ctx context.Context, r *report) error {
	read, faults := catalog.Read(demonstration.Files())
	if len(faults) > 0 {
		return fmt.Errorf("the demonstration has %d faults, the first: %w", len(faults), faults[0])
	}
	cat := limits.Limited(read)
	m := demonstrationRules{cat: cat, dice: rand.New(rand.NewPCG(20, 26))}
	began := time.Now()
	for _, p := range cat.Products.All() {
		made, err := cat.Choosing(p, cat.Workshop.Effective)
		if err != nil {
			return err
		}
		m.ready = append(m.ready, made)
		m.may += len(made.Refuses)
	}
	r.plain("rules.demonstration.products", float64(len(m.ready)), "products")
	r.plain("rules.demonstration.ready", time.Since(began).Seconds(), "s")
	r.plain("rules.demonstration.may_still_refuse", float64(m.may), "listed")
	for i := range demonstrationDraws {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := m.draw(r, m.ready[i%len(m.ready)]); err != nil {
			return err
		}
	}
	r.plain("rules.demonstration.exploded", demonstrationDraws, "configurations")
	r.plain("rules.demonstration.refused_with_warning", float64(m.warned), "configurations")
	r.atMost("rules.demonstration.refused_without_warning", float64(m.unwarned), "configurations", demonstrationBar)
	m.questions(r)
	return nil
}

type demonstrationRules struct {
	cat                   *catalog.Catalog
	dice                  *rand.Rand
	ready                 []*catalog.Choosing
	may, warned, unwarned int
	asked                 []time.Duration
}

// draw explodes one configuration of a product.
func (m *demonstrationRules) draw(r *report, made *catalog.Choosing) error {
	picks, err := made.Random(m.dice.IntN)
	if err != nil {
		return fmt.Errorf("%s: %w", made.Product.Code, err)
	}
	config, findings := m.cat.Check(made.Product.Code, picks, m.cat.Workshop.Effective)
	if config != nil {
		_, _, findings = bom.Explode(m.cat, []bom.Line{{Number: 1, Quantity: 1, Config: config}}, false)
	}
	switch {
	case len(findings) == 0:
	case slices.ContainsFunc(findings, func(f catalog.Finding) bool { return !warnedOf(made, f) }):
		m.unwarned++
		r.note("%s %v: %s", made.Product.Code, picks, findings[0].Message)
	default:
		m.warned++
	}
	return nil
}

// warnedOf tells that a refusal stands among what the bill may still refuse.
func warnedOf(made *catalog.Choosing, f catalog.Finding) bool {
	return slices.ContainsFunc(made.Refuses, func(may catalog.MayStillRefuse) bool {
		return strings.Contains(f.Message, " › "+strings.ReplaceAll(may.What, "/", " › ")+":") || may.Says == f.Message
	})
}

// questions times what remains beside some of the picks of a configuration.
func (m *demonstrationRules) questions(r *report) {
	const each = 400
	for _, made := range m.ready {
		asker := made.Rules.Asker()
		left := made.Rules.NoValues()
		for range each {
			picks := made.Rules.Picks()
			for f := range picks {
				if asker.Remaining(picks, left) != nil || m.dice.IntN(3) == 0 {
					continue
				}
				nth := m.dice.IntN(made.Rules.HowMany(left, int32(f)))
				for v := range made.Rules.Each(left, int32(f)) {
					if nth == 0 {
						picks[f] = v
						break
					}
					nth--
				}
			}
			began := time.Now()
			_ = asker.Remaining(picks, left)
			m.asked = append(m.asked, time.Since(began))
		}
		asker.Done()
	}
	slices.Sort(m.asked)
	at := func(share float64) float64 {
		return float64(m.asked[int(share*float64(len(m.asked)-1))].Nanoseconds()) / 1000
	}
	r.atMost("rules.demonstration.remaining.p50", at(0.5), "us", demonstrationP50)
	r.atMost("rules.demonstration.remaining.p99", at(0.99), "us", demonstrationP99)
}
