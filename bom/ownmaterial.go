package bom

import (
	"errors"
	"fmt"
	"strings"

	"billwright/catalog"
	"billwright/catalog/unit"
)

// Customer's own material: what came, held against what is needed. The line is
// exploded again with the width and the repeat that came, since either changes
// how pieces lie: what is needed of what came need not be what was asked for.
//
//	needed    = net + pattern + flaws of the cloth row, before it is rounded to
//	            what is bought; of leather the area
//	there     = received - what flaws in it take
//	short by  = needed - there, where that is more than nothing
//	send      = short by, rounded as the cloth is
//
// Worked: 8 plates of 17 in with a repeat of 13-1/2 in from 53 in: 3 in a row, 3
// rows of 27 in. Of 48 in usable only 2 lie in a row: 4 rows, 108 in instead of
// 81; of 3 yd received 12 in are flawed, which leaves 96 in: short by 12 in, send
// 1/2 yd by the quarter yard.

// Received is what came of customer's own material. What is nil or 0 is as it
// was said with the order.
type Received struct {
	// Length is what came by the roll, Area what came of leather.
	Length unit.Length
	Area   unit.Area
	Usable unit.Length
	Repeat *unit.Length
	Across *unit.Length
	// Flaws is how much of the length cannot be cut from.
	Flaws unit.Length
}

// The verdicts on own material.
const (
	OwnEnough = "enough"
	OwnShort  = "short"
	OwnUnfit  = "cannot be cut"
)

// OwnMaterialCheck is what came of a line's own material, reckoned again.
type OwnMaterialCheck struct {
	Line    int    `json:"line"`
	Path    string `json:"path"`
	Cloth   string `json:"cloth"`
	Verdict string `json:"verdict"`
	// Said is the cloth row of the bill, Came the same row by what came; there is
	// none where it cannot be cut at all.
	Said ClothRow  `json:"said"`
	Came *ClothRow `json:"came,omitempty"`
	// Needed is what is cut, not rounded; There is what came less its flaws.
	Needed unit.Length `json:"needed,omitzero"`
	There  unit.Length `json:"there,omitzero"`
	Short  unit.Length `json:"short,omitzero"`
	Send   Cloth       `json:"send,omitzero"`
	// NeededArea, ThereArea and ShortArea are those of leather.
	NeededArea Surface `json:"needed_area,omitzero"`
	ThereArea  Surface `json:"there_area,omitzero"`
	ShortArea  Surface `json:"short_area,omitzero"`
	// Says is the verdict in sentences: what came otherwise than said, and by how
	// much and why it is short.
	Says []string `json:"says"`
	// Working is that of the row by what came.
	Working []Working `json:"working,omitempty"`
}

// ErrNotOwnMaterial tells that a line has no row of customer's own material at
// a path.
var ErrNotOwnMaterial = errors.New("there is no customer's own material at this path")

// cameFor is what came, for the cushions that are cut from it.
type cameFor struct {
	Received
	of   map[string]bool // by path
	said Goods
}

// CheckOwnMaterial holds what came against what the row at path of a line needs,
// such as cushion/cloth. Error: ErrNotOwnMaterial, wrapped with the rows there
// are.
func CheckOwnMaterial(cat *catalog.Catalog, line Line, path string, came Received) (*OwnMaterialCheck, error) {
	said := reckoning{cat: cat, units: unitsOf(cat), line: line, env: line.Config.Env()}
	said.explode()
	row, err := said.ownRow(path)
	if err != nil {
		return nil, err
	}
	check := &OwnMaterialCheck{Line: line.Number, Path: path, Cloth: row.Cloth, Said: *row}
	again := reckoning{cat: cat, units: said.units, line: line, env: line.Config.Env(), trace: true, came: &cameFor{Received: came, of: map[string]bool{}, said: row.sewn.goods}}
	for i := range row.cuts {
		for _, of := range row.cuts[i].of {
			again.came.of[of.path] = true
		}
	}
	again.cat = cat.Watched(again.readsStandard)
	again.explode()
	check.differences(&again, row)
	now, err := again.ownRow(path)
	if err != nil || len(again.findings) > 0 {
		check.unfit(again.findings)
		return check, nil
	}
	check.Came = now
	for i := range again.steps {
		if again.steps[i].path == path {
			check.Working = append(check.Working, again.steps[i].written(again.units))
		}
	}
	if now.sewn.fabric.Leather != nil {
		check.area(now, came, again.units)
	} else {
		check.length(&again, now, came)
	}
	return check, nil
}

// CheckOwnMaterial holds what came against what the row at path of a line needs.
// Error: ErrNotOwnMaterial.
func (t *Trace) CheckOwnMaterial(line int, path string, came Received) (*OwnMaterialCheck, error) {
	for i := range t.Lines {
		if t.Lines[i].Number == line {
			return CheckOwnMaterial(t.Catalog, t.Lines[i], path, came)
		}
	}
	return nil, fmt.Errorf("%w: the order has lines 1 to %d", ErrNotOwnMaterial, len(t.Lines))
}

// ownRow finds a row of own material, or tells which there are.
func (r *reckoning) ownRow(path string) (*ClothRow, error) {
	var known []string
	for i := range r.bill.Cloth {
		row := &r.bill.Cloth[i]
		if row.Own && row.Path == path {
			return row, nil
		}
		if row.Own {
			known = append(known, row.Path)
		}
	}
	if len(known) == 0 {
		return nil, fmt.Errorf("%w: line %d has none", ErrNotOwnMaterial, r.line.Number)
	}
	return nil, fmt.Errorf("%w: line %d has it at %s", ErrNotOwnMaterial, r.line.Number, strings.Join(known, ", "))
}

// goods is what came as pieces are laid on it.
func (c *cameFor) goods() Goods {
	goods := c.said
	if c.Usable > 0 {
		goods.Usable = c.Usable
	}
	if c.Repeat != nil {
		goods.Repeat = *c.Repeat
	}
	if c.Across != nil {
		goods.Across = *c.Across
	}
	return goods
}

func (c *OwnMaterialCheck) say(r *reckoning, format string, args ...any) {
	c.Says = append(c.Says, fmt.Sprintf(format, r.written(args)...))
}

// differences tells what came otherwise than said.
func (c *OwnMaterialCheck) differences(r *reckoning, row *ClothRow) {
	if row.sewn.fabric.Leather != nil {
		return
	}
	said, came := row.sewn.goods, r.came.goods()
	for _, one := range []struct {
		what       string
		said, came unit.Length
	}{{"usable width", said.Usable, came.Usable}, {"repeat", said.Repeat, came.Repeat}, {"repeat across", said.Across, came.Across}} {
		if one.said != one.came {
			c.say(r, "The "+one.what+" is %s and not %s as said with the order.", one.came, one.said)
		}
	}
}

func (c *OwnMaterialCheck) unfit(findings []catalog.Finding) {
	c.Verdict = OwnUnfit
	for _, f := range findings {
		c.Says = append(c.Says, f.Message)
	}
}

func (c *OwnMaterialCheck) length(r *reckoning, row *ClothRow, came Received) {
	c.Needed, c.There = row.Net+row.Pattern+row.Flaws, max(came.Length-came.Flaws, 0)
	if row.Length != c.Said.Length {
		c.say(r, "By that %s are needed instead of %s.", row.Length, c.Said.Length)
	}
	flawed := ""
	if came.Flaws > 0 {
		flawed = r.says(", of which %s are flawed", came.Flaws)
	}
	if c.There >= c.Needed {
		c.Verdict = OwnEnough
		c.say(r, "Enough: %s are cut, %s came%s; %s are left.", c.Needed, came.Length, flawed, c.There-c.Needed)
		return
	}
	c.Verdict, c.Short = OwnShort, c.Needed-c.There
	var x exact
	c.Send = Cloth(x.round(r.clothRounding(row.sewn.form), c.Short))
	if x.err != nil {
		c.Send = Cloth(c.Short)
	}
	c.say(r, "Short by %s: %s are cut (%s), %s came%s; send %s more.", c.Short, c.Needed, r.rowsSaid(row), came.Length, flawed, c.Send)
}

// rowsSaid is how a row's length comes about, as people read it.
func (r *reckoning) rowsSaid(row *ClothRow) string {
	parts := make([]string, len(row.Rows))
	for i := range row.Rows {
		parts[i] = r.says("%d of %s for %s", row.Rows[i].Rows, row.Rows[i].Run, row.Rows[i].Piece)
	}
	text := strings.Join(parts, " + ")
	if more := r.more(row); more != "" {
		text += more
	}
	return text
}

func (c *OwnMaterialCheck) area(row *ClothRow, came Received, units Units) {
	c.NeededArea, c.ThereArea = row.Area, Surface(came.Area)
	if c.ThereArea >= c.NeededArea {
		c.Verdict = OwnEnough
		c.Says = append(c.Says, fmt.Sprintf("Enough: %s are needed, %s came.", c.NeededArea.In(units), c.ThereArea.In(units)))
		return
	}
	c.Verdict, c.ShortArea = OwnShort, c.NeededArea-c.ThereArea
	c.Says = append(c.Says, fmt.Sprintf("Short by %s: %s are needed with what falls between the pieces, %s came; send that much more, in hides that hold each piece.",
		c.ShortArea.In(units), c.NeededArea.In(units), c.ThereArea.In(units)))
}
