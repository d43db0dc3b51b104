package catalog

import (
	"slices"
	"strings"

	"billwright/catalog/formula"
)

// What products use: kinds of material, each of which needs a need-by day, and
// the entries of tables, of which those that nothing uses are warned of.

// use notes that something uses an entry of a table.
func (r *reading) use(table, code string) {
	if r.used[table] == nil {
		r.used[table] = map[string]bool{}
	}
	r.used[table][code] = true
}

// readBy notes the standards and the tables that a formula reads.
func (r *reading) readBy(f *formula.Formula) {
	for _, name := range f.Names() {
		if standard, is := strings.CutPrefix(name, "standard."); is {
			r.use("standards", standard)
		}
	}
	if !strings.Contains(f.Text(), "band") {
		return
	}
	for code := range r.cat.Tables.All() {
		if strings.Contains(f.Text(), "'"+code.Value+"'") || strings.Contains(f.Text(), `"`+code.Value+`"`) {
			r.use("tables", code.Value)
		}
	}
}

// use notes that the product uses a kind of material.
func (r *productReading) use(kind string) {
	if r.r.uses[kind] == "" {
		r.r.uses[kind] = r.p.Code
	}
}

// made gives the codes that a formula of a part may come to, as results does,
// and notes what it is made of. Where that cannot be said it may be all.
func (r *productReading) made(s spot, b branch, p *Part, e *Expr, table string) []string {
	codes := r.results(s, b, e, table)
	used := codes
	if codes == nil {
		used = r.r.codes(table)
	}
	for _, code := range used {
		r.r.use(table, code)
	}
	// What was picked from the table itself is seen to where it is picked.
	if r.plainly(e.compiled, table) == nil && r.r.cat.anyWithdrawn(table, used) {
		r.scope.fixtures = append(r.scope.fixtures, fixture{table: table, part: p, whens: b.whens, text: e})
	}
	return codes
}

// fixedTo notes what a part is made of whatever is picked.
func (r *productReading) fixedTo(b branch, p *Part, table, code string) {
	r.r.use(table, code)
	if r.r.cat.anyWithdrawn(table, []string{code}) {
		r.scope.fixtures = append(r.scope.fixtures, fixture{table: table, part: p, whens: b.whens, code: code})
	}
}

// finishUses notes the coatings of finishes; nil stands for all.
func (r *productReading) finishUses(table string, codes []string) {
	finishes := r.r.cat.MetalFinishes
	if table == "wood_finishes" {
		finishes = r.r.cat.WoodFinishes
	}
	if codes == nil {
		codes = finishes.Keys()
	}
	for _, code := range codes {
		finish, found := finishes.Get(code)
		if !found {
			continue
		}
		for _, step := range finish.Steps {
			if coating, found := r.r.cat.Coatings.Get(step.Coating); found {
				r.use(coating.Kind)
			}
		}
	}
}

// lumberUses notes whether blanks are made or bought; nil stands for all.
func (r *productReading) lumberUses(codes []string) {
	if codes == nil {
		codes = r.r.cat.Species.Keys()
	}
	for _, code := range codes {
		species, found := r.r.cat.Species.Get(code)
		switch {
		case found && species.Bought():
			r.use("blank")
		case found:
			r.use("lumber")
		}
	}
}

// clothUses notes what cushions are covered with; nil stands for all. Own
// material, leather too, must be here when bought cloth would be.
func (r *productReading) clothUses(codes []string) {
	if codes == nil {
		codes = r.r.cat.Fabrics.Keys()
	}
	for _, code := range codes {
		fabric, found := r.r.cat.Fabrics.Get(code)
		switch {
		case found && fabric.Leather != nil && !fabric.Own:
			r.use("leather")
		case found:
			r.use("cloth")
		}
	}
}

// sewnIn notes that zip, cord and trimmings of a cushion form are bought as
// hardware is.
func (r *productReading) sewnIn(b branch, p *Part, code string) {
	form, _ := r.r.cat.CushionForms.Get(code)
	if form.Zip != nil || form.Cord != nil || form.Trimmings.Len() > 0 {
		r.use("hardware")
	}
	for _, trimming := range form.Trimmings.All() {
		r.fixedTo(b, p, "hardware", trimming.Item)
	}
}

func (r *productReading) mayBeOwn(codes []string) bool {
	if codes == nil {
		codes = r.r.cat.Fabrics.Keys()
	}
	return slices.ContainsFunc(codes, func(code string) bool {
		fabric, found := r.r.cat.Fabrics.Get(code)
		return found && fabric.Own
	})
}
