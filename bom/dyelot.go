package bom

import (
	"fmt"
	"slices"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cloth whose dye lot is tied.
//
// Where a fabric's dye lot is tied, what several lines of one order need of it is
// one cut: like pieces are laid together over all lines, flaws and pattern are
// allowed for once, and it is rounded once. The bill tells it apart from the
// lines, and each line has a share of it by what it would take by itself:
//
//	share = bought · the line's own net / sum of the nets, to 1 nm, the last
//	        line taking what is left, so that the shares sum to what is bought
//
// What is to be bought is asked for by the lines' shares, so that each cloth is
// counted once, and a line that is held makes only its own share not firm. Of
// leather the area is each line's own and the hides are rounded once; since a
// line cannot ask for no hide, the lines together may ask for more of them.
// Customer's own material is never pooled. Common practice.
//
// Worked: two lines need 27 and 24 in of one cloth; by themselves they would buy
// 27 in each (3/4 yd); together 51 in, 54 in (1-1/2 yd), of which 27/51 and 24/51.

// PooledCloth is the cloth of one fabric that several lines are cut from
// together.
type PooledCloth struct {
	ClothRow
	Of []PooledShare `json:"of"`
}

// PooledShare is what one line takes of it.
type PooledShare struct {
	Line int    `json:"line"`
	Path string `json:"path"`
	// Share is of the length, ShareArea of the leather bought.
	Share     Cloth   `json:"share,omitzero"`
	ShareArea Surface `json:"share_area,omitzero"`
}

// place is where a cloth row stands on a bill.
type place struct{ line, row int }

// pool cuts cloth of one dye lot for all lines together.
func (b *Bill) pool(cat *catalog.Catalog, trace bool) ([]step, []catalog.Finding) {
	var steps []step
	var findings []catalog.Finding
	for i := range b.Lines {
		for k := range b.Lines[i].Cloth {
			first := &b.Lines[i].Cloth[k]
			if !first.sewn.fabric.DyeLot || first.Own || first.Pooled != "" {
				continue
			}
			places := b.sameLot(i, &first.sewn)
			if len(places) < 2 {
				continue
			}
			r := reckoning{cat: cat, units: b.Units, line: Line{Number: b.Lines[i].Line}, trace: trace}
			if trace {
				r.cat = cat.Watched(r.readsStandard)
			}
			b.poolOf(&r, places)
			for j := range r.steps {
				r.steps[j].line = 0
			}
			steps = append(steps, r.steps...)
			findings = append(findings, r.findings...)
		}
	}
	return steps, findings
}

// sameLot finds the rows of lines from i on that are cut from the same goods.
func (b *Bill) sameLot(i int, as *sewn) []place {
	var places []place
	for ; i < len(b.Lines); i++ {
		for k := range b.Lines[i].Cloth {
			if row := &b.Lines[i].Cloth[k]; row.Pooled == "" && row.sewn.sameGoods(as) {
				places = append(places, place{i, k})
			}
		}
	}
	return places
}

func (b *Bill) poolOf(r *reckoning, places []place) {
	first := &b.Lines[places[0].line].Cloth[places[0].row]
	pooled := PooledCloth{ClothRow: ClothRow{Path: b.poolPath(first.sewn.fabric.Code), Cloth: first.sewn.fabric.Name, sewn: first.sewn}}
	for _, at := range places {
		row := &b.Lines[at.line].Cloth[at.row]
		for i := range row.cuts {
			pooled.cuts = join(pooled.cuts, &row.cuts[i].Panel, append([]cutFor(nil), row.cuts[i].of...))
		}
	}
	if !r.sum(&pooled.ClothRow) {
		return
	}
	b.share(r, &pooled, places)
	b.Pooled = append(b.Pooled, pooled)
}

// poolPath is the path of a fabric's next pool; there are several where forms
// round it differently.
func (b *Bill) poolPath(fabric string) string {
	path := "dye-lot/" + fabric
	n := 1
	for i := range b.Pooled {
		if b.Pooled[i].sewn.fabric.Code == fabric {
			n++
		}
	}
	if n > 1 {
		return fmt.Sprintf("%s/%d", path, n)
	}
	return path
}

// share divides what is bought over the lines.
func (b *Bill) share(r *reckoning, pooled *PooledCloth, places []place) {
	var x exact
	all, leather := int64(0), pooled.Hides > 0
	for _, at := range places {
		all += b.Lines[at.line].Cloth[at.row].alone(leather)
	}
	whole, sum, given, hides := int64(pooled.Length), int64(0), int64(0), 0
	for _, at := range places {
		line := &b.Lines[at.line]
		row := &line.Cloth[at.row]
		alone := row.alone(leather)
		sum += alone
		of := PooledShare{Line: line.Line, Path: row.Path}
		if leather {
			upTo := int(x.ratio(int64(pooled.Hides), sum, all))
			of.ShareArea, row.Hides = row.Area, max(upTo-hides, 1)
			hides = upTo
			line.asks(row.Path, row.Hides, int64(row.Area))
		} else {
			upTo := x.ratio(whole, sum, all)
			of.Share = Cloth(upTo - given)
			given, row.Length = upTo, of.Share
			line.asks(row.Path, 1, int64(row.Length))
			if r.trace {
				r.note(pooled.Path, "share of line "+fmt.Sprint(line.Line), "%s · %s / %s = %s", pooled.Length, unit.Length(alone), unit.Length(all), of.Share)
			}
		}
		row.Pooled = pooled.Path
		pooled.Of = append(pooled.Of, of)
	}
	r.settled(pooled.Path, &x)
}

// alone is what a line's row takes by itself, before anything is rounded.
func (c *ClothRow) alone(leather bool) int64 {
	if leather {
		return int64(c.Area)
	}
	return int64(c.Net)
}

// whyPooled explains what several lines are cut from together; its address is
// 0 / path.
func (t *Trace) whyPooled(path string) (*Why, error) {
	at := slices.IndexFunc(t.Bill.Pooled, func(p PooledCloth) bool { return p.Path == path })
	if at < 0 {
		return nil, fmt.Errorf("%w: of the whole order there are %d rows of cloth that is cut for several lines together", ErrNoRow, len(t.Bill.Pooled))
	}
	values, err := Document(t.Bill.Units, &t.Bill.Pooled[at])
	if err != nil {
		return nil, err
	}
	why := &Why{Row: RowAddress(0, path), Path: path, Part: "pooled_cloth", Values: values,
		Revision: t.Bill.Revision, Effective: t.Catalog.Workshop.Effective, Arithmetic: t.Bill.Arithmetic,
		Standards: []WhyStandard{}, Sources: sourcesOf(t.Catalog, values)}
	for i := range t.Working {
		w := &t.Working[i]
		if w.Line != 0 || w.Path != path {
			continue
		}
		why.Figures = append(why.Figures, WhyFigure{Path: w.Path, Figure: w.Figure, Text: w.Text, Standards: w.Standards})
		for _, name := range w.Standards {
			why.standard(t, name)
		}
	}
	return why, nil
}

// asks changes what a line needs of a material.
func (l *LineBill) asks(path string, pieces int, amount int64) {
	for i := range l.materials {
		if l.materials[i].Path == path {
			l.materials[i].Pieces, l.materials[i].Amount = pieces, amount
		}
	}
}
