package api

import (
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// The sheets of a bill's parts. Each row begins with its line, product,
// quantity and path; each head names the unit of its column.

var partSheets = map[string]func([]bom.LineBill) sheet{
	"steel": steelSheet, "wood": woodSheet, "glass": glassSheet, "finish": finishSheet, "cushions": cushionSheet,
	"cloth": clothSheet, "hardware": hardwareSheet, "cartons": cartonSheet, "cautions": cautionSheet,
}

// partSheet makes a sheet of the rows of all lines; cells begins with a row's
// path.
func partSheet[T any](lines []bom.LineBill, heads []string, rows func(*bom.LineBill) []T, cells func(*T) []string) sheet {
	s := sheet{heads: append([]string{"line", "product", "quantity", "path"}, heads...)}
	for i := range lines {
		line := &lines[i]
		of := rows(line)
		for k := range of {
			first := []string{strconv.Itoa(line.Line), line.Product, strconv.Itoa(line.Quantity)}
			s.rows = append(s.rows, append(first, cells(&of[k])...))
		}
	}
	return s
}

func count(n int) string                 { return strconv.Itoa(n) }
func pounds(m bom.Pounds) string         { return unit.Mass(m).Pounds(2) }
func boardFeet(v bom.BoardFeet) string   { return unit.Volume(v).BoardFeet(2) }
func squareFeet(a bom.SquareFeet) string { return unit.Area(a).SquareFeet(2) }

func maybeInches(l *unit.Length) string {
	if l == nil {
		return ""
	}
	return inches(*l)
}

func operations(work []bom.OperationRow) string {
	texts := make([]string, len(work))
	for i, w := range work {
		texts[i] = w.Work + " " + w.Minutes.String()
	}
	return strings.Join(texts, "; ")
}

func steelSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"name", "section", "material", "shape", "each", "pieces", "finished length (in)", "cut length (in)",
		"short point (in)", "ends", "bends", "work", "weight (lb)", "coated area (ft2)"},
		func(l *bom.LineBill) []bom.SteelRow { return l.Steel },
		func(r *bom.SteelRow) []string {
			bends := make([]string, len(r.Bends))
			for i, b := range r.Bends {
				bends[i] = count(b.Angle) + " deg at " + inches(b.At) + " in, radius " + inches(b.Radius) + " in"
			}
			return []string{r.Path, r.Name, r.Section, r.Material, r.Shape, count(r.Each), count(r.Pieces), inches(r.Finished), inches(r.Cut),
				maybeInches(r.ShortPoint), r.Ends, strings.Join(bends, "; "), operations(r.Work), pounds(r.Weight), squareFeet(r.Coated)}
		})
}

func woodSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"name", "species", "finish", "shape", "each", "pieces", "length (in)", "width (in)", "thickness (in)", "grain",
		"rough thickness", "blank length (in)", "blank width (in)", "strips (in)", "rip width (in)", "edge", "edge length (in)",
		"lumber net (bf)", "lumber gross (bf)", "seasonal movement (in)", "weight (lb)", "finished area (ft2)"},
		func(l *bom.LineBill) []bom.WoodRow { return l.Wood },
		func(r *bom.WoodRow) []string {
			strips := make([]string, len(r.Strips))
			for i, width := range r.Strips {
				strips[i] = inches(width)
			}
			return []string{r.Path, r.Name, r.Species, r.Finish, r.Shape, count(r.Each), count(r.Pieces), inches(r.Length), inches(r.Width),
				inches(r.Thickness), r.Grain, r.Rough, inches(r.Blank.Length), inches(r.Blank.Width), strings.Join(strips, "; "), inches(r.RipWidth),
				r.Edge, inches(r.EdgeRun), boardFeet(r.Net), boardFeet(r.Gross), inches(r.Movement), pounds(r.Weight), squareFeet(r.Area)}
		})
}

func glassSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"name", "glass", "shape", "each", "pieces", "length (in)", "width (in)", "thickness (in)", "edge", "safety",
		"safety reason", "weight (lb)", "area (ft2)"},
		func(l *bom.LineBill) []bom.GlassRow { return l.Glass },
		func(r *bom.GlassRow) []string {
			return []string{r.Path, r.Name, r.Glass, r.Shape, count(r.Each), count(r.Pieces), inches(r.Length), inches(r.Width), inches(r.Thickness),
				r.Edge, r.Safety, r.Reason, pounds(r.Weight), squareFeet(r.Area)}
		})
}

func finishSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"step", "finish", "do", "hand", "pieces", "area (ft2)", "minutes", "coating", "powder (lb)", "liquid (gal)", "wait (h)"},
		func(l *bom.LineBill) []bom.FinishRow { return l.Finish },
		func(r *bom.FinishRow) []string {
			powder, liquid := "", ""
			if r.Powder != nil {
				powder = pounds(*r.Powder)
			}
			if r.Liquid != nil {
				liquid = unit.Volume(*r.Liquid).Gallons(2)
			}
			return []string{r.Path, count(r.Step), r.Finish, r.Work, yesNo(r.Hand), count(r.Pieces), squareFeet(r.Area),
				decimal(int64(r.Minutes), 10, 1), r.Coating, powder, liquid, r.Wait}
		})
}

func cushionSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"name", "form", "cloth", "each", "pieces", "length (in)", "width (in)", "height (in)", "cut (along x across, in)",
		"foam", "foam length (in)", "foam width (in)", "foam height (in)", "zip (in)", "welt cord (in)"},
		func(l *bom.LineBill) []bom.CushionRow { return l.Cushions },
		func(r *bom.CushionRow) []string {
			cuts := make([]string, len(r.Cut))
			for i, p := range r.Cut {
				cuts[i] = count(p.Pieces) + " " + p.Name + " " + inches(p.Along) + " x " + inches(p.Across)
			}
			return []string{r.Path, r.Name, r.Form, r.Cloth, count(r.Each), count(r.Pieces), inches(r.Length), inches(r.Width), inches(r.Height),
				strings.Join(cuts, "; "), r.Foam, inches(r.FoamSize.Length), inches(r.FoamSize.Width), inches(r.FoamSize.Height), inches(r.Zip), inches(r.Cord)}
		})
}

func clothSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"cloth", "own material", "usable width (in)", "repeat (in)", "rows (run in in)", "net length (in)", "length (yd)"},
		func(l *bom.LineBill) []bom.ClothRow { return l.Cloth },
		func(r *bom.ClothRow) []string {
			rows := make([]string, len(r.Rows))
			for i, row := range r.Rows {
				rows[i] = count(row.Rows) + " of " + count(row.InRow) + " " + row.Piece + ", run " + inches(row.Run)
			}
			return []string{r.Path, r.Cloth, yesNo(r.Own), inches(r.Usable), inches(r.Repeat), strings.Join(rows, "; "), inches(r.Net), unit.Length(r.Yards).Yards(2)}
		})
}

func hardwareSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"name", "item", "each", "pieces", "slot (in)", "weight (lb)"},
		func(l *bom.LineBill) []bom.HardwareRow { return l.Hardware },
		func(r *bom.HardwareRow) []string {
			return []string{r.Path, r.Name, r.Item, count(r.Each), count(r.Pieces), maybeInches(r.Slot), pounds(r.Weight)}
		})
}

func cartonSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"packs", "pieces", "inside length (in)", "inside width (in)", "inside depth (in)", "blank length (in)", "blank width (in)",
		"board", "grade", "tare (lb)", "gross (lb)", "density", "freight class", "two-person lift"},
		func(l *bom.LineBill) []bom.CartonRow { return l.Cartons },
		func(r *bom.CartonRow) []string {
			return []string{r.Path, strings.Join(r.Packs, "; "), count(r.Pieces), inches(r.Length), inches(r.Width), inches(r.Depth), inches(r.Blank.Length),
				inches(r.Blank.Width), r.Board, r.Grade, pounds(r.Tare), pounds(r.Gross), r.Density, r.Class, yesNo(r.TwoLift)}
		})
}

func cautionSheet(lines []bom.LineBill) sheet {
	return partSheet(lines, []string{"code", "says"},
		func(l *bom.LineBill) []bom.Caution { return l.Cautions },
		func(r *bom.Caution) []string { return []string{r.Path, r.Code, r.Says} })
}
