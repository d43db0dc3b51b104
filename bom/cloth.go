package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cloth.
//
// Cloth is reckoned by rows across the usable width for the whole line, never
// by area and never by cushion (rows, runs, joins and bias squares: goods.go).
// Pieces of one name and size are laid together, whatever cushion they are for.
//
//	net       = sum of rows·run over all kinds of pieces
//	pattern   = where the form goes by a table, runs are not rounded, and the
//	            net grows by the table's share for the sum of both repeats;
//	            narrow goods may have a table of their own
//	flaws     = (net + pattern) · share for flaws
//	cloth     = net + pattern + flaws, rounded by the form's own rounding or
//	            cloth_rounding, once for the line, or for the order where its
//	            dye lot is tied (dyelot.go)
//
// Worked: 4 plates 21 x 21 in from 54 in usable: 2 in a row, 2 rows, 42 in; in
// a 13-1/2 in repeat each run is 27 in, so 54 in.

// ClothRow is the cloth of one fabric for a whole line.
type ClothRow struct {
	Path   string      `json:"path"`
	Cloth  string      `json:"cloth"`
	Own    bool        `json:"own_material"`
	Usable unit.Length `json:"usable_width,omitzero"`
	Repeat unit.Length `json:"repeat"`
	Rows   []CutRow    `json:"rows"`
	Net    unit.Length `json:"net_length,omitzero"`
	// Pattern and Flaws are what the net grows by before it is rounded.
	Pattern unit.Length `json:"pattern_allowance,omitzero"`
	Flaws   unit.Length `json:"flaw_allowance,omitzero"`
	Length  Cloth       `json:"length,omitzero"`
	// Area and Hides are given for leather, which has no width, rows or length.
	Area  Surface `json:"area,omitzero"`
	Hides int     `json:"hides,omitzero"`
	// Across is the pattern's repeat across the goods, where pieces match by it.
	Across unit.Length `json:"repeat_across,omitzero"`
	// Pooled is the path of the order's cloth that this line's is cut with. Rows,
	// net and allowances are then what the line would take by itself, and Length
	// or Area is its share of what is bought.
	Pooled string `json:"pooled,omitempty"`

	sewn sewn // the first of what it is for
	cuts []cut
}

// cut is all pieces of one kind that are cut from one cloth, and whose they are.
type cut struct {
	Panel
	of []cutFor
}

// cutFor is a number of pieces of one cushion row.
type cutFor struct {
	line   int
	path   string
	pieces int
}

// Needed is what is needed of the cloth, as people read it.
func (c *ClothRow) Needed(u Units) string {
	switch c.Hides {
	case 0:
		return c.Length.In(u)
	case 1:
		return c.Area.In(u) + " in 1 hide"
	}
	return fmt.Sprintf("%s in %d hides", c.Area.In(u), c.Hides)
}

// CutRow is a number of like rows across the goods.
type CutRow struct {
	Piece string      `json:"piece"`
	InRow int         `json:"in_row"`
	Rows  int         `json:"rows"`
	Run   unit.Length `json:"run"`
}

// cloth sums the line's cloth in the order of first use: what is cut from the
// same goods, and reckoned and rounded alike, is laid together.
func (r *reckoning) cloth() {
	for i := range r.sewing {
		first := &r.sewing[i]
		if first.laid || len(first.panels) == 0 {
			continue
		}
		var cuts []cut
		for j := i; j < len(r.sewing); j++ {
			if other := &r.sewing[j]; !other.laid && other.sameGoods(first) {
				cuts = other.into(cuts, r.line.Number)
				other.laid = true
			}
		}
		row := ClothRow{Path: first.path + "/" + first.role, Cloth: first.cloth, Own: first.fabric.Own, sewn: *first, cuts: cuts}
		if r.sum(&row) {
			if r.trace && row.Usable > 0 {
				r.note(row.Path, "goods", "%s usable width, pattern repeats every %s", row.Usable, row.Repeat)
				if row.Across > 0 {
					r.note(row.Path, "goods across", "pattern repeats every %s across the goods", row.Across)
				}
			}
			r.bill.Cloth = append(r.bill.Cloth, row)
			r.needCloth(&row)
		}
	}
}

// sum reckons what the row's pieces take and what is bought for them.
func (r *reckoning) sum(row *ClothRow) bool {
	if row.sewn.fabric.Leather != nil {
		return r.leather(row)
	}
	return r.lay(row)
}

func (r *reckoning) needCloth(row *ClothRow) {
	kind, pieces, amount, measure := KindCloth, 1, int64(row.Length), Length
	if row.sewn.fabric.Leather != nil {
		kind, pieces, amount, measure = KindLeather, row.Hides, int64(row.Area), Area
	}
	if row.Own {
		kind = KindOwnMaterial
	}
	r.need(row.Path, kind, row.sewn.fabric.Code, pieces, amount, measure)
}

// into adds a cushion's pieces to those of the same goods; like pieces are laid
// together.
func (s *sewn) into(cuts []cut, line int) []cut {
	for i := range s.panels {
		panel := &s.panels[i]
		cuts = join(cuts, panel, []cutFor{{line, s.path, panel.Pieces}})
	}
	return cuts
}

func join(cuts []cut, panel *Panel, of []cutFor) []cut {
	for k := range cuts {
		if cuts[k].like(panel) {
			cuts[k].Pieces += panel.Pieces
			cuts[k].of = append(cuts[k].of, of...)
			return cuts
		}
	}
	return append(cuts, cut{Panel: *panel, of: of})
}

// like tells that pieces are cut alike and have one name.
func (p *Panel) like(as *Panel) bool {
	a, b := *p, *as
	a.Pieces, b.Pieces = 0, 0
	return a == b
}

func (s *sewn) sameGoods(as *sewn) bool {
	if s.fabric != as.fabric || s.goods != as.goods {
		return false
	}
	if s.fabric.Leather != nil || s.form == as.form {
		return true
	}
	return s.form.Flaws == as.form.Flaws && s.table() == as.table() && sameRounding(s.form.Rounding, as.form.Rounding)
}

func sameRounding(a, b *catalog.Rounding) bool { return a == b || a != nil && b != nil && *a == *b }

// table is the table that gives the share for a pattern, or empty.
func (s *sewn) table() string {
	p := s.form.Pattern
	switch {
	case p == nil || p.By != catalog.ByTable:
		return ""
	case s.narrow():
		return p.Narrow.Table
	case s.goods.Repeat+s.goods.Across == 0:
		return "" // plain cloth goes by none
	}
	return p.Table
}

// narrow tells that the goods go by the pattern's table for narrow goods.
func (s *sewn) narrow() bool {
	p := s.form.Pattern
	return p != nil && p.Narrow != nil && s.goods.Usable < p.Narrow.Below
}

// laidOn is the goods as pieces are laid on them: where a table allows for the
// pattern they are laid as on a plain cloth.
func (s *sewn) laidOn() Goods {
	goods := s.goods
	if s.table() != "" {
		goods.Repeat, goods.Across = 0, 0
	}
	return goods
}

// lay lays all pieces of one cloth out in rows and adds what is bought more.
func (r *reckoning) lay(row *ClothRow) bool {
	of := &row.sewn
	row.Usable, row.Repeat = of.goods.Usable, of.goods.Repeat
	goods := of.laidOn()
	var x exact
	for i := range row.cuts {
		if row.cuts[i].Beside {
			row.Across = goods.Across
		}
		row.Rows = append(row.Rows, CutRows(&row.cuts[i].Panel, goods, r.units)...)
	}
	for _, rows := range row.Rows {
		row.Net += unit.Length(x.times(int64(rows.Run), rows.Rows))
		if r.trace {
			r.note(row.Path, "rows of "+rows.Piece, "%d in a row, %d rows · %s", rows.InRow, rows.Rows, rows.Run)
		}
	}
	if !r.fromBolt(row) || !r.patternShare(row, &x) || !r.flaws(row, &x) {
		return false
	}
	cloth := x.round(r.clothRounding(of.form), row.Net+row.Pattern+row.Flaws)
	if !r.settled(row.Path, &x) {
		return false
	}
	row.Length = Cloth(cloth)
	if r.trace {
		r.note(row.Path, "cloth", "%s net%s, rounded = %s", row.Net, r.more(row), row.Length)
	}
	return true
}

// fromBolt refuses a repeat or a piece that is longer than the goods come in.
func (r *reckoning) fromBolt(row *ClothRow) bool {
	bolt, fabric := row.sewn.fabric.Bolt, row.sewn.fabric
	if bolt == 0 {
		return true
	}
	if repeat := row.sewn.goods.Repeat; repeat > bolt {
		r.refuse("cloth.repeat-too-long", row.Path, "the repeat of %s is longer than the bolt of %s that %s comes in: correct one of the two, or choose another cloth", repeat, bolt, fabric.Name)
		return false
	}
	for _, rows := range row.Rows {
		if rows.Run > bolt {
			r.refuse("cloth.bolt-too-short", row.Path, "%s needs %s along the roll in one piece, and %s comes in bolts of %s: choose a smaller size, a cloth with longer bolts, or one that the piece need not be turned on",
				rows.Piece, rows.Run, fabric.Name, bolt)
			return false
		}
	}
	return true
}

// more is what the net grows by, for the working.
func (r *reckoning) more(row *ClothRow) string {
	text := ""
	if row.Pattern > 0 {
		text = " + " + r.units.Length(row.Pattern) + " for the pattern"
	}
	if row.Flaws > 0 {
		text += " + " + r.units.Length(row.Flaws) + " for flaws"
	}
	return text
}

// patternShare adds the table's share for the repeats along and across.
func (r *reckoning) patternShare(row *ClothRow, x *exact) bool {
	of := &row.sewn
	name := of.table()
	repeats := of.goods.Repeat + of.goods.Across
	if name == "" {
		return true
	}
	table, found := r.cat.Tables.Get(name)
	if !found {
		r.refuse("table.unknown", row.Path, "there is no table %q", name)
		return false
	}
	share, err := table.Share(repeats)
	if err != nil {
		r.refuse("formula.failed", row.Path, "the share for repeats of %s together cannot be looked up: %v", repeats, err)
		return false
	}
	row.Pattern = x.share(row.Net, share)
	if r.trace {
		r.note(row.Path, "pattern", "%s along + %s across: %s of %s = %s", of.goods.Repeat, of.goods.Across, share, row.Net, row.Pattern)
	}
	return true
}

// flaws adds the shares of cloth and form for flaws in the goods.
func (r *reckoning) flaws(row *ClothRow, x *exact) bool {
	share, err := row.sewn.form.Flaws.Add(row.sewn.fabric.Flaws)
	x.keep(err)
	if share.Sign() > 0 {
		row.Flaws = x.share(row.Net+row.Pattern, share)
		if r.trace {
			r.note(row.Path, "flaws", "%s of %s = %s", share, row.Net+row.Pattern, row.Flaws)
		}
	}
	return r.settled(row.Path, x)
}

// share is a share of a length, rounded up to 1 nm, so that rounding up to what
// is bought never comes out short.
func (x *exact) share(l unit.Length, share unit.Ratio) unit.Length {
	part, err := l.Scale(share, unit.Up)
	x.keep(err)
	return part
}

func (r *reckoning) clothRounding(form *catalog.CushionForm) unit.Rounding {
	if form.Rounding == nil {
		return r.cat.Rounding("cloth_rounding")
	}
	mode, err := unit.ParseMode(form.Rounding.Mode)
	if err != nil {
		return unit.Rounding{} // refused where it rounds; Read takes no other word
	}
	return unit.Rounding{Mode: mode, To: form.Rounding.To}
}
