package api

import (
	"strings"

	"billwright/bom"
)

// The sheets of tops, shelves and panes: wood, glass and stone.

func woodSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "match set", "species", "finish", "shape", "each", "pieces", "length (in)", "width (in)", "end width (in)", "thickness (in)", "grain",
		"rough thickness", "blank length (in)", "blank width (in)", "blank bought", "strips (in)", "rip width (in)", "edge", "edge length (in)",
		"edges by profile (in)", "mating edge (in)", "overhang at the ends (in)", "overhang at the sides (in)",
		"lumber net (bf)", "lumber gross (bf)", "seasonal movement (in)", "sawing", "climate", "weight (lb)", "finished area (ft2)"},
		func(l *bom.LineBill) []bom.WoodRow { return l.Wood },
		func(r *bom.WoodRow, n numbers) []string {
			strips := make([]string, len(r.Strips))
			for i, width := range r.Strips {
				strips[i] = n.length(width)
			}
			edges := make([]string, len(r.Edges))
			for i, e := range r.Edges {
				edges[i] = e.Profile + " " + n.length(e.Length)
			}
			ends, sides := n.overhang(r.Overhang)
			return []string{r.Path, r.Name, r.MatchSet, r.Species, r.Finish, r.Shape, count(r.Each), count(r.Pieces), n.length(r.Length), n.length(r.Width), n.unless(r.EndWidth),
				n.length(r.Thickness), r.Grain, r.Rough, n.length(r.Blank.Length), n.length(r.Blank.Width), yesNo(r.Bought), strings.Join(strips, "; "), n.unless(r.RipWidth),
				r.Edge, n.length(r.EdgeRun), strings.Join(edges, "; "), n.unless(r.Mating), ends, sides,
				n.of(r.Net, r.Net != 0), n.of(r.Gross, r.Gross != 0), n.length(r.Movement), r.Sawing, r.Climate, r.Weight.Number(n.units), r.Area.Number(n.units)}
		})
}

func glassSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "glass", "shape", "each", "pieces", "length (in)", "width (in)", "end width (in)", "thickness (in)", "edge", "edge length (in)", "work", "safety",
		"safety reason", "weight (lb)", "weight at least (lb)", "weight at most (lb)", "area (ft2)", "area class", "billed area (ft2)", "overhang at the ends (in)", "overhang at the sides (in)"},
		func(l *bom.LineBill) []bom.GlassRow { return l.Glass },
		func(r *bom.GlassRow, n numbers) []string {
			work := make([]string, len(r.Work))
			for i, w := range r.Work {
				work[i] = strings.TrimSpace(w.Do+" "+w.Note) + " by the " + w.By
			}
			least, most := n.weightRange(r.Range)
			ends, sides := n.overhang(r.Overhang)
			return []string{r.Path, r.Name, r.Glass, r.Shape, count(r.Each), count(r.Pieces), n.length(r.Length), n.length(r.Width), n.unless(r.EndWidth), n.length(r.Thickness),
				r.Edge, n.unless(r.EdgeRun), strings.Join(work, "; "), r.Safety, r.Reason, r.Weight.Number(n.units), least, most, r.Area.Number(n.units), r.AreaClass, n.of(r.Billed, r.Billed != 0), ends, sides}
		})
}

func stoneSheet(bill *bom.Bill) sheet {
	return partSheet(bill, []string{"name", "stone", "shape", "each", "pieces", "length (in)", "width (in)", "end width (in)", "thickness (in)", "edge", "edge length (in)",
		"weight (lb)", "weight at least (lb)", "weight at most (lb)", "area (ft2)", "overhang at the ends (in)", "overhang at the sides (in)"},
		func(l *bom.LineBill) []bom.StoneRow { return l.Stone },
		func(r *bom.StoneRow, n numbers) []string {
			least, most := n.weightRange(r.Range)
			ends, sides := n.overhang(r.Overhang)
			return []string{r.Path, r.Name, r.Stone, r.Shape, count(r.Each), count(r.Pieces), n.length(r.Length), n.length(r.Width), n.unless(r.EndWidth), n.length(r.Thickness),
				r.Edge, n.length(r.EdgeRun), r.Weight.Number(n.units), least, most, r.Area.Number(n.units), ends, sides}
		})
}

// overhang is empty where no support is written.
func (n numbers) overhang(o *bom.Overhang) (ends, sides string) {
	if o == nil {
		return "", ""
	}
	return n.length(o.Ends), n.length(o.Sides)
}

func (n numbers) weightRange(between *bom.WeightRange) (least, most string) {
	if between == nil {
		return "", ""
	}
	return between.Least.Number(n.units), between.Most.Number(n.units)
}
