package api

import (
	"strconv"
	"strings"

	"billwright/bom"
	"billwright/catalog/unit"
)

// The sheets of a bill's parts. Each row begins with its line, product,
// quantity and path; each head names the unit of its column. Heads are written
// in inch units below; a metric bill's are put in their place.

var partSheets = map[string]func(*bom.Bill) sheet{
	"steel": steelSheet, "welds": weldSheet, "welded": weldedSheet, "wood": woodSheet, "glass": glassSheet, "stone": stoneSheet, "finish": finishSheet, "routes": routeSheet, "cushions": cushionSheet,
	"cloth": clothSheet, "hardware": hardwareSheet, "cartons": cartonSheet, "cautions": cautionSheet,
}

var metricHeads = strings.NewReplacer("(in)", "(mm)", ", in)", ", mm)", "in in)", "in mm)", "(lb)", "(kg)", "(bf)", "(m3)", "(ft2)", "(m2)", "(yd)", "(m)", "(gal)", "(L)")

// partSheet makes a sheet of the rows of all lines; cells begins with a row's
// path.
func partSheet[T any](bill *bom.Bill, heads []string, rows func(*bom.LineBill) []T, cells func(*T, numbers) []string) sheet {
	s := sheet{heads: append([]string{"line", "product", "quantity", "path"}, heads...)}
	if bill.Units == bom.Metric {
		for i := range s.heads {
			s.heads[i] = metricHeads.Replace(s.heads[i])
		}
	}
	for i := range bill.Lines {
		line := &bill.Lines[i]
		of := rows(line)
		for k := range of {
			first := []string{strconv.Itoa(line.Line), line.Product, strconv.Itoa(line.Quantity)}
			s.rows = append(s.rows, append(first, cells(&of[k], numbers{bill.Units})...))
		}
	}
	return s
}

// numbers writes a bill's figures as plain numbers, in the bill's units.
type numbers struct{ units bom.Units }

// length is in decimal inches or millimetres.
func (n numbers) length(l unit.Length) string {
	if n.units == bom.Metric {
		return l.Millimetres()
	}
	return inches(l)
}

func (n numbers) maybe(l *unit.Length) string {
	if l == nil {
		return ""
	}
	return n.length(*l)
}

// unless leaves the cell of a length that is not there empty.
func (n numbers) unless(l unit.Length) string {
	if l == 0 {
		return ""
	}
	return n.length(l)
}

// of writes a quantity; nothing of it is an empty cell.
func (n numbers) of(quantity interface{ Number(bom.Units) string }, there bool) string {
	if !there {
		return ""
	}
	return quantity.Number(n.units)
}

func count(n int) string { return strconv.Itoa(n) }

func operations(work []bom.OperationRow) string {
	texts := make([]string, len(work))
	for i, w := range work {
		texts[i] = w.Work + " " + w.Minutes.String()
	}
	return strings.Join(texts, "; ")
}

// forging writes what the smith needs: the bar before loss and hot cut, heats
// and note.
func forging(f *bom.ForgingRow, n numbers) string {
	if f == nil {
		return ""
	}
	text := "from " + n.length(f.Stock) + " " + n.units.Names().Length + " of bar"
	if f.Heats > 0 {
		text += ", heats " + count(f.Heats)
	}
	if f.Temperature != "" {
		text += ", at " + f.Temperature
	}
	if f.Note != "" {
		text += "; " + f.Note
	}
	return text
}

// bend writes a line of the bend schedule.
func bend(b *bom.Bend, n numbers) string {
	length := " " + n.units.Names().Length
	text := degrees(b.Angle) + " at " + n.length(b.At) + length
	if b.Until != nil {
		text += " to " + n.length(*b.Until) + length
	}
	text += ", radius " + n.length(b.Radius) + length
	if b.Inside != nil {
		text += ", inside " + n.length(*b.Inside) + length + ", K " + b.KFactor
	}
	if b.Turn != 0 {
		text += ", turned " + degrees(b.Turn)
	}
	if b.Jig != "" {
		text += ", on " + b.Jig
	}
	return text
}

func degrees(angle float64) string { return strconv.FormatFloat(angle, 'f', -1, 64) + " deg" }

func steelSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "section", "material", "shape", "each", "pieces", "finished length (in)", "cut length (in)",
		"short point (in)", "trim (in)", "ends", "bends", "form", "forging", "work", "weight (lb)", "coated area (ft2)", "bar to order (in)", "working days to order it"},
		func(l *bom.LineBill) []bom.SteelRow { return l.Steel },
		func(r *bom.SteelRow, n numbers) []string {
			bends := make([]string, len(r.Bends))
			for i := range r.Bends {
				bends[i] = bend(&r.Bends[i], n)
			}
			bar, lead := toOrder(r.Bar, n)
			return []string{r.Path, r.Name, r.Section, r.Material, r.Shape, count(r.Each), count(r.Pieces), n.length(r.Finished), n.length(r.Cut),
				n.maybe(r.ShortPoint), n.maybe(r.Trim), r.Ends, strings.Join(bends, "; "), r.Form, forging(r.Forging, n), operations(r.Work), r.Weight.Number(n.units), r.Coated.Number(n.units), bar, lead}
		})
}

// toOrder is the bar that a piece waits for, and its lead; mostly there is none.
func toOrder(b *bom.BarToOrder, n numbers) (length, lead string) {
	if b == nil {
		return "", ""
	}
	return n.length(b.Length), count(b.LeadDays)
}

func cushionSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "form", "cloth", "each", "pieces", "length (in)", "width (in)", "height (in)", "cut (along x across, in)",
		"foam", "foam length (in)", "foam width (in)", "foam height (in)", "zip (in)", "welt cord (in)", "contrast", "outline", "perimeter (in)", "outline area (ft2)",
		"trimmings of one"},
		func(l *bom.LineBill) []bom.CushionRow { return l.Cushions },
		func(r *bom.CushionRow, n numbers) []string {
			cuts := make([]string, len(r.Cut))
			for i, p := range r.Cut {
				cuts[i] = count(p.Pieces) + " " + p.Name + " " + n.length(p.Along) + " x " + n.length(p.Across) + cutHow(&p)
			}
			return []string{r.Path, r.Name, r.Form, r.Cloth, count(r.Each), count(r.Pieces), n.length(r.Length), n.length(r.Width), n.length(r.Height),
				strings.Join(cuts, "; "), r.Foam, n.length(r.FoamSize.Length), n.length(r.FoamSize.Width), n.length(r.FoamSize.Height), n.length(r.Zip), n.length(r.Cord),
				r.Contrast, r.Shape, n.unless(r.Perimeter), n.of(r.Area, r.Area != 0), trimmings(r.Trimmings, n)}
		})
}

// cutHow tells what the cutter must know of a piece beside its size.
func cutHow(p *bom.Panel) string {
	how := ""
	if p.Bias {
		how += " on the bias"
	}
	if p.Contrast {
		how += " of the contrast"
	}
	return how
}

func trimmings(rows []bom.TrimmingRow, n numbers) string {
	texts := make([]string, len(rows))
	for i := range rows {
		t := &rows[i]
		switch {
		case t.Area > 0:
			texts[i] = t.Item + " " + n.length(t.Length) + " x " + n.length(t.Width)
		case t.Length > 0:
			texts[i] = t.Item + " " + n.length(t.Length) + " " + n.units.Names().Length
		default:
			texts[i] = count(t.Pieces) + " " + t.Item
		}
	}
	return strings.Join(texts, "; ")
}

func clothSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"cloth", "own material", "usable width (in)", "repeat (in)", "rows (run in in)", "net length (in)", "length (yd)", "area (ft2)", "hides", "cut with"},
		func(l *bom.LineBill) []bom.ClothRow { return l.Cloth },
		func(r *bom.ClothRow, n numbers) []string {
			rows := make([]string, len(r.Rows))
			for i, row := range r.Rows {
				rows[i] = count(row.Rows) + " of " + count(row.InRow) + " " + row.Piece + ", run " + n.length(row.Run)
			}
			return []string{r.Path, r.Cloth, yesNo(r.Own), n.unless(r.Usable), n.length(r.Repeat), strings.Join(rows, "; "), n.unless(r.Net),
				n.of(r.Length, r.Length != 0), n.of(r.Area, r.Area != 0), hides(r.Hides), r.Pooled}
		})
}

func hides(n int) string {
	if n == 0 {
		return ""
	}
	return count(n)
}

func hardwareSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "item", "each", "pieces", "slot (in)", "weight (lb)"},
		func(l *bom.LineBill) []bom.HardwareRow { return l.Hardware },
		func(r *bom.HardwareRow, n numbers) []string {
			return []string{r.Path, r.Name, r.Item, count(r.Each), count(r.Pieces), n.maybe(r.Slot), r.Weight.Number(n.units)}
		})
}

func cartonSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"packs", "pieces", "inside length (in)", "inside width (in)", "inside depth (in)", "blank length (in)", "blank width (in)",
		"board", "grade", "tare (lb)", "gross (lb)", "density", "freight class", "two-person lift"},
		func(l *bom.LineBill) []bom.CartonRow { return l.Cartons },
		func(r *bom.CartonRow, n numbers) []string {
			return []string{r.Path, strings.Join(r.Packs, "; "), count(r.Pieces), n.length(r.Length), n.length(r.Width), n.length(r.Depth), n.length(r.Blank.Length),
				n.length(r.Blank.Width), r.Board, r.Grade, r.Tare.Number(n.units), r.Gross.Number(n.units), r.Density, r.Class, yesNo(r.TwoLift)}
		})
}

func cautionSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"code", "says", "load (lb)"},
		func(l *bom.LineBill) []bom.Caution { return l.Cautions },
		func(r *bom.Caution, n numbers) []string {
			return []string{r.Path, r.Code, r.Says, n.of(r.Load, r.Load != 0)}
		})
}
