package paper

import (
	"fmt"

	"billwright/bom"
	"billwright/bom/picture"
)

// upholstery puts together the paper of the cutters and sewers: cushions, cloth
// with its rows, and the goods drawn as they are cut.
func (b *bench) upholstery() {
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		if len(l.Cushions)+len(l.Cloth) == 0 {
			continue
		}
		b.heading(l)
		var rows []Row
		for k := range l.Cushions {
			c := &l.Cushions[k]
			size := picture.Number(c.Length, b.units) + " x " + picture.Number(c.Width, b.units) + " x " + picture.Number(c.Height, b.units)
			rows = append(rows, b.row(l.Line, "cushions", c.Path, "", c.Pieces, size, b.cushionWhat(c), b.cushionThen(c), "sewn"))
		}
		b.table("Size, "+b.units.Names().Length, rows)
		rows = nil
		for k := range l.Cloth {
			rows = append(rows, b.cloth(l.Line, "cloth", &l.Cloth[k]))
		}
		b.table("Cloth, "+b.units.Names().Cloth, rows)
		b.layouts(l.Line)
	}
	var rows []Row
	for i := range b.job.Bill.Pooled {
		rows = append(rows, b.pooled(&b.job.Bill.Pooled[i]))
	}
	if len(rows) > 0 {
		b.add(Block{Kind: Heading, Text: "Cloth of one dye lot for several lines"})
		b.table("Cloth, "+b.units.Names().Cloth, rows)
		b.layouts(0)
	}
	if b.job.Unreckoned != "" && b.rows > 0 {
		b.add(Block{Kind: Note, Text: "No layout of the cloth is drawn: " + b.job.Unreckoned})
	}
}

func (b *bench) cushionWhat(c *bom.CushionRow) Cell {
	what := Cell{strong(c.Name), small(c.Form + " in " + c.Cloth + after(", contrast ", c.Contrast))}
	if c.Shape != "" {
		what = append(what, small(fmt.Sprintf("%s, around %s, area %s", c.Shape, b.units.Tape(c.Perimeter), c.Area.In(b.units))))
	}
	for i := range c.Cut {
		what = append(what, small(b.panel(&c.Cut[i])))
	}
	return what
}

// panel is one kind of piece of cloth as the cutter reads it.
func (b *bench) panel(p *bom.Panel) string {
	text := fmt.Sprintf("cut %d %s, %s along x %s across", p.Pieces, p.Name, b.units.Tape(p.Along), b.units.Tape(p.Across))
	for _, how := range []struct {
		is   bool
		says string
	}{{p.Bias, "on the bias"}, {p.Contrast, "of the contrast"}, {p.Match, "matched"}, {p.Beside, "matched across"}, {p.Joined, "joined"}, {p.Railroaded, "railroaded"}} {
		if how.is {
			text += ", " + how.says
		}
	}
	return text
}

func (b *bench) cushionThen(c *bom.CushionRow) Cell {
	then := Cell{plain(c.Foam), small("foam " + b.units.Sides(c.FoamSize.Length, c.FoamSize.Width, c.FoamSize.Height))}
	if c.Zip > 0 {
		then = append(then, small("zip "+b.units.Tape(c.Zip)))
	}
	if c.Cord > 0 {
		then = append(then, small("welt cord "+b.units.Tape(c.Cord)))
	}
	for i := range c.Trimmings {
		t := &c.Trimmings[i]
		switch {
		case t.Area > 0:
			then = append(then, small("each "+t.Item+" "+b.units.Tape(t.Length)+" x "+b.units.Tape(t.Width)))
		case t.Length > 0:
			then = append(then, small("each "+t.Item+" "+b.units.Tape(t.Length)))
		default:
			then = append(then, small(fmt.Sprintf("each %d %s", t.Pieces, t.Item)))
		}
	}
	return then
}

// cloth is one cloth: how much of it, in which rows it is cut.
func (b *bench) cloth(line int, part string, c *bom.ClothRow) Row {
	figure, pieces := c.Length.Number(b.units), 1
	what := Cell{strong(c.Cloth)}
	if c.Own {
		what = append(what, small("customer's own material"))
	}
	if c.Area > 0 {
		figure, pieces = c.Area.Number(b.units), max(1, c.Hides)
		what = append(what, small(fmt.Sprintf("leather, %s, %d hides", c.Area.In(b.units), c.Hides)))
	}
	if c.Usable > 0 {
		what = append(what, small("usable width "+b.units.Length(c.Usable)+", repeat "+b.units.Length(c.Repeat)))
	}
	if c.Across > 0 {
		what = append(what, small("repeat across "+b.units.Length(c.Across)))
	}
	for i := range c.Rows {
		r := &c.Rows[i]
		what = append(what, small(fmt.Sprintf("%d rows of %d %s, each row %s", r.Rows, r.InRow, r.Piece, b.units.Tape(r.Run))))
	}
	then := Cell{}
	if c.Net > 0 {
		then = append(then, plain("net "+b.units.Tape(c.Net)))
	}
	if c.Pattern > 0 {
		then = append(then, small("for the pattern "+b.units.Tape(c.Pattern)))
	}
	if c.Flaws > 0 {
		then = append(then, small("for flaws "+b.units.Tape(c.Flaws)))
	}
	if c.Pooled != "" {
		then = append(then, small("cut together with other lines: "+c.Pooled))
	}
	row := b.row(line, part, c.Path, "", pieces, figure, what, then, "cut")
	row.Cells[1] = Cell{}
	return row
}

func (b *bench) pooled(p *bom.PooledCloth) Row {
	row := b.cloth(0, "pooled_cloth", &p.ClothRow)
	for i := range p.Of {
		share := p.Of[i].Share.In(b.units)
		if p.Of[i].ShareArea > 0 {
			share = p.Of[i].ShareArea.In(b.units)
		}
		row.Cells[4] = append(row.Cells[4], small(bom.RowAddress(p.Of[i].Line, p.Of[i].Path)+" takes "+share))
	}
	return row
}

// layouts draws the goods of a line, or those of several lines.
func (b *bench) layouts(line int) {
	for i := range b.job.Layouts {
		if layout := &b.job.Layouts[i]; layout.Line == line {
			b.add(Block{Kind: Drawing, Picture: picture.Cloth(layout, b.units)})
		}
	}
}
