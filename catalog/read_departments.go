package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/unit"
)

// work is something that is done to products of the catalog: its name, what
// Department.Does may call it besides, and what its kind is called.
type work struct {
	words []string
	kind  string
	timed bool
}

// departments checks that each word is done by one department, and that there is
// such work.
func (r *reading) departments() {
	r.cat.doing = map[string]*Department{}
	all := r.works()
	known := slices.Clone(workKinds)
	for _, w := range all {
		for _, word := range w.words {
			if word != "" && !slices.ContainsFunc(known, func(k string) bool { return strings.EqualFold(k, word) }) {
				known = append(known, word)
			}
		}
	}
	entries(r.spot("departments"), r.cat.Departments, func(s spot, code string, d *Department) {
		d.Code = code
		s.code("department", code)
		s = s.at(d.Pos)
		if d.Minutes <= 0 || d.Minutes > 1_000_000 {
			s.in("minutes_a_week").fault(fmt.Sprintf("%d minutes a week", d.Minutes), "write 1 to 1000000, such as 4800 for two people")
		}
		s.in("days_before").days(d.DaysBefore)
		s.in("does").twice(values(d.Does))
		for _, word := range d.Does {
			s.in("does").at(word.Pos).done(word.Value, d, known)
		}
	})
}

func (s spot) done(word string, d *Department, known []string) {
	key := strings.ToLower(word)
	if !slices.ContainsFunc(known, func(k string) bool { return strings.EqualFold(k, word) }) {
		s.known("operation, station or kind of work", word, known)
		return
	}
	if other := s.r.cat.doing[key]; other != nil && other != d {
		s.fault(fmt.Sprintf("%s is done by %s already", word, other.Code), "let one department do it")
		return
	}
	s.r.cat.doing[key] = d
}

// works is all that is done in minutes to the products of the catalog.
func (r *reading) works() (all []work) {
	operations := func(kind string, list []Operation) {
		for i := range list {
			all = append(all, work{[]string{list[i].Work}, kind, list[i].timed()})
		}
	}
	weld := func(w *Weld) {
		process, found := r.cat.Processes.Get(w.Process)
		all = append(all, work{nil, WorkWelding, found && process.Rate != nil || w.GrindMinutes.Sign() > 0})
		operations(WorkWelding, w.Work)
	}
	var parts func(p *Part)
	parts = func(p *Part) {
		if p.Steel != nil {
			operations(WorkSteel, p.Steel.Work)
			if p.Steel.Splice != nil {
				weld(&p.Steel.Splice.Weld)
			}
		}
		for _, j := range p.Joints.All() {
			weld(&j.Weld)
		}
		operations(WorkWelding, p.AfterWelding)
		for _, below := range p.Parts.All() {
			parts(below)
		}
	}
	for _, p := range r.cat.Products.All() {
		for _, part := range p.Parts.All() {
			parts(part)
		}
	}
	for _, f := range r.cat.MetalFinishes.All() {
		all = append(all, f.works(WorkMetalFinish)...)
	}
	for _, f := range r.cat.WoodFinishes.All() {
		all = append(all, f.works(WorkWoodFinish)...)
	}
	return all
}

func (o *Operation) timed() bool {
	return slices.ContainsFunc([]unit.Ratio{o.Minutes, o.PerFoot, o.PerMetre, o.PerBend, o.PerHeat}, func(m unit.Ratio) bool { return m.Sign() > 0 })
}

func (f *Finish) works(kind string) (all []work) {
	for i := range f.Steps {
		step := &f.Steps[i]
		w := work{[]string{step.Work, step.Station}, kind, step.Minutes.Sign() > 0 || step.PerArea.Sign() > 0 || step.PerMetre.Sign() > 0}
		if step.Hand {
			w.words = append(w.words, WorkHandFinish)
		}
		all = append(all, w)
	}
	return all
}

// undone warns of kinds of work some of which no department does, where there
// are departments at all: it would be in no load.
func (r *reading) undone() {
	if r.cat.Departments.Len() == 0 {
		return
	}
	var told []string
	for _, w := range r.works() {
		if _, done := r.cat.Doing(append(slices.Clone(w.words), w.kind)...); done || !w.timed || slices.Contains(told, w.kind) {
			continue
		}
		told = append(told, w.kind)
		what := w.kind
		if len(w.words) > 0 {
			what += ", such as " + w.words[0]
		}
		r.spot("departments").at(first(r.cat.Departments)).warn("no department does "+what+", so that its minutes are in no load", fmt.Sprintf("name %s under does of one", w.kind))
	}
}
