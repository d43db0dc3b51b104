package bom

import (
	"fmt"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Cloth.
//
// Cloth is reckoned by rows across the usable width for the whole line, never
// by area and never by cushion:
//
//	in a row  = usable width / size across, rounded down
//	rows      = pieces / in a row, rounded up
//	run       = size along; with a pattern to match, rounded up to whole repeats
//	net       = sum of rows·run over all kinds of pieces
//	pattern   = where the form goes by a table, runs are not rounded, and the
//	            net grows by the table's share for the sum of both repeats
//	flaws     = (net + pattern) · share for flaws
//	cloth     = net + pattern + flaws, rounded by the form's own rounding or
//	            cloth_rounding, once for the line
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
		if r.sewing[i].laid {
			continue
		}
		first := r.sewing[i]
		var panels []Panel
		for j := i; j < len(r.sewing); j++ {
			if other := &r.sewing[j]; other.sameGoods(&first) {
				panels = append(panels, other.panels...)
				other.laid = true
			}
		}
		row := ClothRow{Path: first.path + "/cloth", Cloth: first.cloth, Own: first.fabric.Own}
		if first.fabric.Leather != nil {
			r.leather(&row, first.fabric, panels)
		} else {
			r.lay(&row, &first, panels)
		}
	}
}

func (s *sewn) sameGoods(as *sewn) bool {
	if s.laid || s.fabric != as.fabric || s.usable != as.usable || s.repeat != as.repeat {
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
	if s.form.Pattern != nil && s.form.Pattern.By == catalog.ByTable {
		return s.form.Pattern.Table
	}
	return ""
}

// lay lays all pieces of one cloth out in rows and adds what is bought more.
func (r *reckoning) lay(row *ClothRow, goods *sewn, panels []Panel) {
	row.Usable, row.Repeat = goods.usable, goods.repeat
	repeat := goods.repeat
	if goods.table() != "" {
		repeat = 0
	}
	var x exact
	for i := range panels {
		row.Rows = append(row.Rows, CutRows(&panels[i], goods.usable, repeat, r.cat.Length("seam"), r.units)...)
	}
	for _, rows := range row.Rows {
		row.Net += unit.Length(x.times(int64(rows.Run), rows.Rows))
		if r.trace {
			r.note(row.Path, "rows of "+rows.Piece, "%d in a row, %d rows · %s", rows.InRow, rows.Rows, rows.Run)
		}
	}
	if !r.patternShare(row, goods, &x) || !r.flaws(row, goods, &x) {
		return
	}
	cloth := x.round(r.clothRounding(goods.form), row.Net+row.Pattern+row.Flaws)
	if !r.settled(row.Path, &x) {
		return
	}
	row.Length = Cloth(cloth)
	if r.trace {
		r.note(row.Path, "cloth", "%s net%s, rounded = %s", row.Net, r.more(row), row.Length)
	}
	r.bill.Cloth = append(r.bill.Cloth, *row)
	kind := KindCloth
	if row.Own {
		kind = KindOwnMaterial
	}
	r.need(row.Path, kind, goods.fabric.Code, 1, int64(cloth), Length)
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
func (r *reckoning) patternShare(row *ClothRow, goods *sewn, x *exact) bool {
	name := goods.table()
	repeats := goods.repeat + goods.fabric.Across
	if name == "" || repeats == 0 {
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
		r.note(row.Path, "pattern", "%s along + %s across: %s of %s = %s", goods.repeat, goods.fabric.Across, share, row.Net, row.Pattern)
	}
	return true
}

// flaws adds the shares of cloth and form for flaws in the goods.
func (r *reckoning) flaws(row *ClothRow, goods *sewn, x *exact) bool {
	share, err := goods.form.Flaws.Add(goods.fabric.Flaws)
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

// CutRows lays one kind of piece in rows across the usable width. A joined
// piece gives its full widths and its remainder. The panel must fit (see
// reckoning.panel).
func CutRows(p *Panel, usable, repeat, seam unit.Length, units Units) []CutRow {
	run := p.Along
	if p.Match && repeat > 0 {
		run = (run + repeat - 1) / repeat * repeat
	}
	if !p.Joined {
		inRow := int(usable / p.Across)
		return []CutRow{{Piece: p.Name, InRow: inRow, Rows: (p.Pieces + inRow - 1) / inRow, Run: run}}
	}
	// k widths joined measure k·usable - (k-1)·2·seam.
	gain := usable - 2*seam
	full := int((p.Across - 2*seam) / gain)
	rest := p.Across - unit.Length(full)*gain
	rows := []CutRow{{Piece: p.Name, InRow: 1, Rows: full * p.Pieces, Run: run}}
	if rest > 2*seam {
		inRow := int(usable / rest)
		rows = append(rows, CutRow{Piece: p.Name + ", rest of " + units.Length(rest), InRow: inRow, Rows: (p.Pieces + inRow - 1) / inRow, Run: run})
	}
	return rows
}
