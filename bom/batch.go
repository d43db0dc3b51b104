package bom

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Match sets. Parts of one order that name the same match set and have the same
// finish are finished as one batch, so that they look alike, and travel
// together. Recoat windows are held against the work on the whole batch.
//
//	pieces, area, minutes, amounts = those of the batch's parts added up

// BatchRow is one finish batch of an order.
type BatchRow struct {
	// Path is batch/SET/FINISH; it stays as long as the set keeps its name.
	Path string `json:"path"`
	// Match is the set as first written.
	Match  string `json:"match"`
	Finish string `json:"finish"`
	// Parts are the line and the path of each part in the batch: 2/base.
	Parts    []string    `json:"parts"`
	Pieces   int         `json:"pieces"`
	Area     Surface     `json:"area"`
	Minutes  Minutes     `json:"minutes"`
	Coatings []BatchCoat `json:"coatings,omitempty"`
	// Ready is when the whole batch is done at the earliest, after it was begun.
	Ready *Hours `json:"ready,omitempty"`
}

// BatchCoat is what a batch takes of one coating.
type BatchCoat struct {
	Coating string  `json:"coating"`
	Powder  *Weight `json:"powder,omitempty"`
	Liquid  *Liquid `json:"liquid,omitempty"`
}

// match is a chain that belongs to a match set.
type match struct {
	line  int
	batch string // path
	name  string // of the set, as written
	chain
}

// matched keeps a chain for its batch, if the part names a match set, and gives
// the batch's path.
func (r *reckoning) matched(p *catalog.Part, c *chain) string {
	if p.Match == nil {
		return ""
	}
	name, ok := r.text(p.Path, "match", p.Match)
	if !ok || strings.TrimSpace(name) == "" {
		return ""
	}
	set := foldSet(name)
	if set == "" {
		r.refuse("match.unreadable", p.Path, "the match set %q has no letter and no digit to know it by; write a name such as A or dining room", name)
		return ""
	}
	path := "batch/" + set + "/" + c.finish.Code
	r.matches = append(r.matches, match{line: r.line.Number, batch: path, name: strings.TrimSpace(name), chain: *c})
	return path
}

// foldSet folds the name of a match set: letters small, runs of anything but
// letters and digits as one hyphen.
func foldSet(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
	return strings.Join(words, "-")
}

// batch is a batch in the making: its chain has the steps of the first part,
// with the work on all of them.
type batch struct {
	row     BatchRow
	members []match
	chain
	sums exact
}

// batches puts the matches of an order together, in the order in which the
// sets first appear. A wood and a metal finish of one code are two batches.
func batches(matches []match) []batch {
	var all []batch
	for _, m := range matches {
		i := slices.IndexFunc(all, func(b batch) bool { return b.row.Path == m.batch && b.finish == m.finish })
		if i < 0 {
			i = len(all)
			b := batch{row: BatchRow{Path: m.batch, Match: m.name, Finish: m.finish.Name}, chain: chain{path: m.path, finish: m.finish, rows: slices.Clone(m.rows)}}
			for k := range b.rows {
				b.rows[k].Minutes = 0
			}
			all = append(all, b)
		}
		all[i].join(m)
	}
	return all
}

func (b *batch) join(m match) {
	b.members = append(b.members, m)
	b.row.Parts = append(b.row.Parts, strconv.Itoa(m.line)+"/"+m.path)
	b.pieces += m.pieces
	b.area = unit.Area(b.sums.plus(int64(b.area), int64(m.area)))
	for i := range m.rows {
		b.rows[i].Minutes = Minutes(b.sums.plus(int64(b.rows[i].Minutes), int64(m.rows[i].Minutes)))
		b.coat(&m.rows[i])
	}
}

// coat adds what a row takes.
func (b *batch) coat(row *FinishRow) {
	if row.Coating == "" {
		return
	}
	all := &b.row.Coatings
	i := slices.IndexFunc(*all, func(c BatchCoat) bool { return c.Coating == row.Coating })
	if i < 0 {
		i = len(*all)
		*all = append(*all, BatchCoat{Coating: row.Coating})
	}
	c := &(*all)[i]
	c.Powder, c.Liquid = together(c.Powder, row.Powder, &b.sums), together(c.Liquid, row.Liquid, &b.sums)
}

// together adds two amounts that may be absent.
func together[Q ~int64](a, b *Q, x *exact) *Q {
	if a == nil || b == nil {
		return cmp.Or(a, b)
	}
	sum := Q(x.plus(int64(*a), int64(*b)))
	return &sum
}

// batched reckons a batch: its sums, its time and its recoat windows, which then
// stand in the rows of all its parts. A window that is overrun is told at the
// batch's first part.
func (r *reckoning) batched(b *batch) BatchRow {
	row := b.row
	row.Pieces, row.Area = b.pieces, Surface(b.area)
	var ready Hours
	for i := range b.rows {
		row.Minutes = Minutes(b.sums.plus(int64(row.Minutes), int64(b.rows[i].Minutes)))
		ready += b.span(i, &b.sums)
	}
	if b.finish.Timed {
		row.Ready = &ready
	}
	r.noteBatch(&row, len(b.rows))
	r.line.Number = b.members[0].line
	if r.settled(b.path, &b.sums) {
		r.windows(&b.chain)
	}
	for i := range b.rows {
		for k := range b.members {
			if own := b.members[k].rows[i].Recoat; own != nil {
				own.Longest = b.rows[i].Recoat.Longest
			}
		}
	}
	return row
}

// noteBatch is told of no line: a batch belongs to the whole order.
func (r *reckoning) noteBatch(row *BatchRow, steps int) {
	if !r.trace {
		return
	}
	parts := strings.Join(row.Parts, " + ")
	r.note(row.Path, "pieces", "of %s = %d", parts, row.Pieces)
	r.note(row.Path, "area", "of %s = %s", parts, row.Area)
	r.note(row.Path, "minutes", "of %d steps on %d pieces = %s", steps, row.Pieces, row.Minutes)
	for _, c := range row.Coatings {
		if c.Powder != nil {
			r.note(row.Path, "powder "+c.Coating, "of %s = %s", parts, *c.Powder)
		}
		if c.Liquid != nil {
			r.note(row.Path, "liquid "+c.Coating, "of %s = %s", parts, *c.Liquid)
		}
	}
	if row.Ready != nil {
		r.note(row.Path, "ready", "%s of work, and the cures and waits of %d steps = %s", row.Minutes, steps, *row.Ready)
	}
}
