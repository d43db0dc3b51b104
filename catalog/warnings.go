package catalog

import (
	"fmt"
	"slices"

	"billwright/catalog/source"
)

// Warnings are what looks like a slip and yet is not wrong, in the order of the
// files: a hand finish that ends without a clear coat, values that can never be
// ordered, attributes that are never asked, materials that nothing uses,
// surcharges of one name whose days overlap or that are next to nothing, closures
// of a vendor from whom nothing is bought, parts that no carton packs, work that
// no department does. A catalog with warnings is whole.
func (c *Catalog) Warnings() []source.Fault { return slices.Clone(c.warnings) }

// warn notes something that is not wrong and yet looks like a slip.
func (s spot) warn(message, hint string) {
	s.r.cat.warnings = append(s.r.cat.warnings, source.Fault{Pos: s.pos, Where: s.where, Message: message, Hint: hint})
}

// lint looks through a catalog that is whole. Surcharges that overlap are warned
// of where they are read.
func (r *reading) lint() {
	r.handFinishes("metal_finishes", r.cat.MetalFinishes)
	r.handFinishes("wood_finishes", r.cat.WoodFinishes)
	r.reach()
	r.unused()
	r.vendors()
	r.goldenOrders()
	r.unpacked()
	r.beyondLinear()
	r.undone()
}

// unpacked warns of parts that no carton packs, of products that are boxed: they
// would neither be weighed nor shipped. A carton or a part that is there only
// under a condition counts as any.
func (r *reading) unpacked() {
	for code, p := range r.cat.Products.All() {
		if p.Cartons.Len() == 0 {
			continue
		}
		packed := map[string]bool{}
		for _, carton := range p.Cartons.All() {
			for _, path := range carton.Packs {
				packed[path.Value] = true
			}
		}
		r.leftOut(r.spot("products", code.Value), p.Parts, packed)
	}
}

// leftOut warns of each part that is not packed, of a group of which nothing is
// packed only once.
func (r *reading) leftOut(above spot, parts source.Map[*Part], packed map[string]bool) {
	entries(above.in("parts"), parts, func(s spot, _ string, p *Part) {
		switch {
		case packed[p.Path]:
		case p.packsBelow(packed):
			r.leftOut(s, p.Parts, packed)
		default:
			s.at(p.Pos).warn(fmt.Sprintf("no carton packs %s, so that it is neither weighed nor shipped with the rest", p.Path), "name it under packs of the carton that it goes in")
		}
	})
}

// packsBelow tells that something below the part is packed.
func (p *Part) packsBelow(packed map[string]bool) bool {
	for _, part := range p.Parts.All() {
		if packed[part.Path] || part.packsBelow(packed) {
			return true
		}
	}
	return false
}

// handFinishes warns of work of the hand finishing bench that nothing protects:
// patinas and dyes rub off and rust under bare fingers.
func (r *reading) handFinishes(table string, finishes source.Map[*Finish]) {
	entries(r.spot(table), finishes, func(s spot, _ string, f *Finish) {
		byHand := slices.ContainsFunc(f.Steps, func(step FinishStep) bool { return step.Hand })
		if byHand && !f.Clear && !r.endsClear(f.Steps) {
			s.at(f.Pos).warn("a hand finish that ends without a clear coat over it", "end its steps with a coating that is marked clear: yes, or the hand work is left bare")
		}
	})
}

// endsClear tells that the last coat of steps is a clear one.
func (r *reading) endsClear(steps []FinishStep) bool {
	for _, step := range slices.Backward(steps) {
		if coating, found := r.cat.Coatings.Get(step.Coating); found {
			return coating.Clear
		}
	}
	return false
}

// unused warns of entries of tables that no product can come to use.
func (r *reading) unused() {
	for _, p := range r.cat.Products.All() {
		for _, a := range p.scope.attributes {
			if a.Choose == nil || a.Choose.From == "" {
				continue
			}
			for _, o := range a.options {
				r.use(a.Choose.From, o.Code)
			}
		}
	}
	for _, finishes := range []source.Map[*Finish]{r.cat.MetalFinishes, r.cat.WoodFinishes} {
		for _, f := range finishes.All() {
			for _, step := range f.Steps {
				r.use("coatings", step.Coating)
			}
		}
	}
	for _, species := range r.cat.Species.All() {
		for _, rough := range species.Rough {
			r.use("rough_thicknesses", rough)
		}
	}
	for _, name := range slices.Concat(StandardNames, OptionalStandardNames) {
		r.use("standards", name.Name)
	}
	leftOver(r, "sections", r.cat.Sections)
	leftOver(r, "rough_thicknesses", r.cat.Rough)
	leftOver(r, "wires", r.cat.Wires)
	leftOver(r, "processes", r.cat.Processes)
	leftOver(r, "species", r.cat.Species)
	leftOver(r, "glass", r.cat.Glass)
	leftOver(r, "stone", r.cat.Stone)
	leftOver(r, "climates", r.cat.Climates)
	leftOver(r, "coatings", r.cat.Coatings)
	leftOver(r, "metal_finishes", r.cat.MetalFinishes)
	leftOver(r, "wood_finishes", r.cat.WoodFinishes)
	leftOver(r, "fabrics", r.cat.Fabrics)
	leftOver(r, "foams", r.cat.Foams)
	leftOver(r, "cushion_forms", r.cat.CushionForms)
	leftOver(r, "hardware", r.cat.Hardware)
	leftOver(r, "boards", r.cat.Boards)
	leftOver(r, "handling", r.cat.Handling)
	leftOver(r, "parcels", r.cat.Parcels)
	leftOver(r, "pallets", r.cat.Pallets)
	leftOver(r, "lifts", r.cat.Lifts)
	leftOver(r, "tables", r.cat.Tables)
	leftOver(r, "jigs", r.cat.Jigs)
	leftOver(r, "standards", r.cat.Standards)
}

func leftOver[T any](r *reading, table string, of source.Map[T]) {
	entries(r.spot(table), of, func(s spot, code string, _ T) {
		if !r.used[table][code] {
			s.warn("nothing uses it", "leave it out, or look where its code is misspelled")
		}
	})
}

// vendors warns of closures of somebody from whom nothing is bought, which move
// no date.
func (r *reading) vendors() {
	known := r.bought()
	s := r.spot("calendar", "closures")
	for i, closure := range r.cat.Days.Closures {
		if closure.Vendor != "" && !slices.Contains(known, closure.Vendor) {
			hint := "name him as vendor at what is bought from him"
			if near, found := source.Nearest(closure.Vendor, known); found {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			s.item(i).at(closure.Pos).in("vendor").warn(fmt.Sprintf("nothing is bought from %q, so that this closure moves no date", closure.Vendor), hint)
		}
	}
}

// bought are the vendors from whom something is bought.
func (r *reading) bought() (list []string) {
	for _, x := range r.cat.Sections.All() {
		for _, bar := range x.Stock {
			list = append(list, bar.Vendor)
		}
	}
	for _, x := range r.cat.Wires.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Species.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Glass.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Stone.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Fabrics.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Foams.All() {
		list = append(list, x.Vendor)
	}
	for _, x := range r.cat.Hardware.All() {
		list = append(list, x.Vendor)
	}
	return list
}
