package saw

import (
	"errors"
	"fmt"

	"billwright/bom/cutting"
	"billwright/catalog/unit"
)

// Verify checks a plan from scratch: the engine's plan and its proof by
// cutting.Verify, then what is shown of it against the list, so that every
// marked piece stands on the bars exactly as often as it is asked for. It
// returns all it finds, or nil.
func (p *Plan) Verify() error {
	found := []error{cutting.Verify(&p.problem, p.solved)}
	type marked struct {
		mark, row string
		length    unit.Length
	}
	open := map[marked]int64{}
	for i := range p.list.Pieces {
		piece := &p.list.Pieces[i]
		open[marked{piece.Mark, piece.Row, piece.Length}] += piece.Count
	}
	var pieces, bars, kept unit.Length
	next := int64(1)
	for i := range p.Bars {
		b := &p.Bars[i]
		if b.Number != next {
			found = append(found, fmt.Errorf("bar %d is numbered %d", next, b.Number))
		}
		next += b.Count
		taken, cuts := p.list.Saw.TrimStart+p.list.Saw.TrimEnd, int64(0)
		for _, c := range b.Cuts {
			open[marked{c.Mark, c.Row, c.Length}] -= c.Count * b.Count
			taken, cuts = taken+c.Length*unit.Length(c.Count), cuts+c.Count
			pieces += c.Length * unit.Length(c.Count*b.Count)
		}
		if !p.list.Saw.AfterEvery {
			cuts--
		}
		if taken += p.list.Saw.Kerf * unit.Length(cuts); taken > b.Length {
			found = append(found, fmt.Errorf("bar %d of %s holds %s", b.Number, b.Length, taken))
		}
		bars += b.Length * unit.Length(b.Count)
		if b.Kept {
			kept += b.Leftover * unit.Length(b.Count)
		}
	}
	for m, n := range open {
		if n != 0 {
			found = append(found, fmt.Errorf("%q of %s: %d of them are on no bar", m.mark, m.length, n))
		}
	}
	if bars != pieces+kept+p.Waste || kept != p.Kept {
		found = append(found, fmt.Errorf("bars of %s are not pieces of %s, %s kept and %s waste", bars, pieces, kept, p.Waste))
	}
	return errors.Join(found...)
}
