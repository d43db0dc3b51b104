package desk

import (
	"fmt"
	"slices"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// headline is one line of what a bill comes to.
type headline struct{ What, Figure, Rest string }

// headlines tells what a bill comes to in a few words: what is left out is not
// in the bill.
func headlines(b *bom.Bill) (all []headline) {
	for _, tell := range []func(*bom.Bill) headline{steelHeadline, topHeadline, finishHeadline, cushionHeadline, cartonHeadline} {
		if h := tell(b); h.Figure != "" {
			all = append(all, h)
		}
	}
	return all
}

func steelHeadline(b *bom.Bill) headline {
	var pieces int
	var length unit.Length
	var weight bom.Weight
	for i := range b.Lines {
		for j := range b.Lines[i].Steel {
			r := &b.Lines[i].Steel[j]
			pieces += r.Pieces
			length += r.Cut * unit.Length(r.Pieces)
			weight += r.Weight
		}
	}
	if pieces == 0 {
		return headline{}
	}
	return headline{"Steel", fmt.Sprint(pieces, plural(pieces, " piece", " pieces")), b.Units.Length(length) + " of bar cut, " + weight.In(b.Units)}
}

func topHeadline(b *bom.Bill) headline {
	var wood, panes, slabs int
	var gross bom.Lumber
	for i := range b.Lines {
		l := &b.Lines[i]
		for j := range l.Wood {
			wood += l.Wood[j].Pieces
			gross += l.Wood[j].Gross
		}
		for j := range l.Glass {
			panes += l.Glass[j].Pieces
		}
		for j := range l.Stone {
			slabs += l.Stone[j].Pieces
		}
	}
	var parts []string
	if wood > 0 {
		parts = append(parts, fmt.Sprint(wood, " of wood, ", gross.In(b.Units), " gross"))
	}
	if panes > 0 {
		parts = append(parts, fmt.Sprint(panes, " of glass"))
	}
	if slabs > 0 {
		parts = append(parts, fmt.Sprint(slabs, " of stone"))
	}
	if parts == nil {
		return headline{}
	}
	return headline{"Tops", fmt.Sprint(wood + panes + slabs), strings.Join(parts, "; ")}
}

func finishHeadline(b *bom.Bill) headline {
	steps := 0
	var coatings []string
	for i := range b.Lines {
		steps += len(b.Lines[i].Finish)
		for j := range b.Lines[i].Finish {
			if c := b.Lines[i].Finish[j].Coating; c != "" && !slices.Contains(coatings, c) {
				coatings = append(coatings, c)
			}
		}
	}
	if steps == 0 {
		return headline{}
	}
	rest := ""
	if len(coatings) > 0 {
		rest = fmt.Sprint(len(coatings), plural(len(coatings), " coating", " coatings"))
	}
	return headline{"Finish", fmt.Sprint(steps, plural(steps, " step", " steps")), rest}
}

func cushionHeadline(b *bom.Bill) headline {
	pieces := 0
	var cloth []string
	for i := range b.Lines {
		for j := range b.Lines[i].Cushions {
			pieces += b.Lines[i].Cushions[j].Pieces
		}
		for j := range b.Lines[i].Cloth {
			r := &b.Lines[i].Cloth[j]
			cloth = append(cloth, r.Needed(b.Units)+" "+r.Cloth)
		}
	}
	if pieces == 0 {
		return headline{}
	}
	return headline{"Cushions", fmt.Sprint(pieces), strings.Join(cloth, ", ")}
}

func cartonHeadline(b *bom.Bill) headline {
	pieces := 0
	var heaviest bom.Weight
	two := false
	for i := range b.Lines {
		for j := range b.Lines[i].Cartons {
			r := &b.Lines[i].Cartons[j]
			pieces += r.Pieces
			heaviest, two = max(heaviest, r.Gross), two || r.TwoLift
		}
	}
	if pieces == 0 {
		return headline{}
	}
	rest := "heaviest " + heaviest.In(b.Units)
	if two {
		rest += ": two people"
	}
	return headline{"Cartons", fmt.Sprint(pieces), rest}
}
