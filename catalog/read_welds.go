package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/formula"
	"billwright/catalog/unit"
)

// welding checks filler wires and welding processes.
func (r *reading) welding() {
	entries(r.spot("wires"), r.cat.Wires, func(s spot, code string, w *Wire) {
		w.Code = code
		s = s.at(w.Pos)
		s.in("lead_days").days(w.LeadDays)
		s.buying(w.Buy, Masses)
	})
	entries(r.spot("processes"), r.cat.Processes, func(s spot, code string, p *Process) {
		p.Code = code
		s = s.at(p.Pos)
		s.in("efficiency").share(p.Efficiency)
		if s.in("wire").from("wires", p.Wire) {
			r.use("wires", p.Wire)
		}
	})
}

// joints checks where a group is welded, once all its parts are known.
func (r *productReading) joints(b branch, p *Part) {
	if p.Joints.Len() == 0 && len(p.AfterWelding) == 0 {
		return
	}
	if !p.Welded {
		b.s.fault("joints and what is done after welding belong to a welded group", "write welded: yes")
	}
	b.s.in("after_welding").operations(p.AfterWelding, goesBy{})
	if weld, taken := p.Parts.Get("weld"); taken && p.Joints.Len() > 0 {
		b.s.in("parts").in("weld").at(weld.Pos).fault("the rows of the group's joints stand under "+p.Path+"/weld", "give the part another code")
	}
	entries(b.s.in("joints"), p.Joints, func(s spot, code string, j *Joint) {
		s = s.at(j.Pos)
		s.code("joint", code)
		j.Code = code
		r.joint(s, p, j)
	})
}

func (r *productReading) joint(s spot, group *Part, j *Joint) {
	r.known.compile(s.in("when"), j.When, formula.Bool)
	r.pieces(s.in("pieces"), j.Pieces)
	r.lengths(s, namedExpr{"length", j.Length})
	s.in("joins").twice(values(j.Joins))
	for _, path := range j.Joins {
		r.below(s.in("joins").at(path.Pos), group, path.Value)
	}
	if r.weld(s.in("weld"), &j.Weld) == Plug {
		if j.Length != nil || j.AllRound != "" {
			s.fault("a plug has no length", "leave length and all_round out; pieces tells how many plugs")
		}
		return
	}
	switch {
	case j.Length == nil && j.AllRound == "" && !s.unread():
		s.exactly(nil, []string{"length", "all_round"})
	case j.Length != nil && j.AllRound != "":
		s.exactly([]string{"length", "all_round"}, []string{"length", "all_round"})
	case j.AllRound != "" && r.below(s.in("all_round"), group, j.AllRound) && r.parts[j.AllRound].Steel == nil:
		s.in("all_round").fault(j.AllRound+" is no piece of steel", "name the piece that is welded all round")
	}
}

// below faults a path that is not of a part below a group.
func (r *productReading) below(s spot, group *Part, path string) bool {
	inside := []string{}
	for known := range r.parts {
		if strings.HasPrefix(known, group.Path+"/") {
			inside = append(inside, known)
		}
	}
	slices.Sort(inside)
	if len(inside) == 0 {
		return false // that it is no group is told
	}
	if !slices.Contains(inside, path) {
		s.fault(fmt.Sprintf("%q is no part below %s", path, group.Path), meant(path, inside))
		return false
	}
	if part := r.parts[path]; part.Wood != nil || part.Glass != nil || part.Cushion != nil {
		s.fault(path+" is not welded", "name a piece of steel, hardware, or a group of them")
		return false
	}
	return true
}

// weld checks how something is welded, and gives its kind.
func (r *productReading) weld(s spot, w *Weld) string {
	s = s.at(w.Pos)
	if s.in("process").from("processes", w.Process) {
		r.use("wire")
		r.r.use("processes", w.Process)
	}
	if slices.Contains([]string{Fillet, SquareGroove, BevelGroove, VGroove, Plug}, w.Kind) && !s.unread() {
		s.measuresOf(w)
		s.groove(w)
	}
	for _, size := range []struct {
		name  string
		value *unit.Length
	}{{"leg", w.Leg}, {"throat", w.Throat}, {"depth", w.Depth}, {"hole", w.Hole}} {
		if size.value != nil {
			s.in(size.name).above(*size.value)
		}
	}
	if w.Reinforcement.Sign() < 0 || w.Reinforcement.Cmp(unit.RatioOf(1)) > 0 {
		s.in("reinforcement").fault(fmt.Sprintf("%s is not laid over a weld", w.Reinforcement), "write 0 to 1, such as 10 %")
	}
	if sides := s.in("sides"); !sides.unread() && (w.Sides < 0 || w.Sides > 2) {
		sides.fault(fmt.Sprintf("nothing is welded on %d sides", w.Sides), "write 1 or 2")
	}
	s.in("grind_minutes").time(w.GrindMinutes)
	if w.GrindMinutes.Sign() > 0 && !w.GrindFlush {
		s.in("grind_minutes").fault("the weld is not ground flush", "write grind_flush: yes, or leave the minutes out")
	}
	s.in("work").operations(w.Work, goesBy{length: true})
	return w.Kind
}

// measuresOf checks that a weld has the measures of its kind and no others.
func (s spot) measuresOf(w *Weld) {
	given := map[string]bool{"leg": w.Leg != nil, "throat": w.Throat != nil, "depth": w.Depth != nil, "hole": w.Hole != nil,
		"gap": w.Gap != 0, "root_face": w.RootFace != 0, "angle": w.Angle != 0}
	needs := map[string][]string{Fillet: {}, SquareGroove: {"depth"}, BevelGroove: {"depth", "angle"}, VGroove: {"depth", "angle"}, Plug: {"hole", "depth"}}[w.Kind]
	may := map[string][]string{Fillet: {"leg", "throat"}, SquareGroove: {"gap"}, BevelGroove: {"gap", "root_face"}, VGroove: {"gap", "root_face"}}[w.Kind]
	for _, measure := range []string{"leg", "throat", "depth", "hole", "gap", "root_face", "angle"} {
		switch needed := slices.Contains(needs, measure); {
		case needed && !given[measure]:
			s.fault(fmt.Sprintf("a %s weld needs %q", w.Kind, measure), "")
		case given[measure] && !needed && !slices.Contains(may, measure):
			s.in(measure).fault(fmt.Sprintf("a %s weld has no %q", w.Kind, measure), "leave it out")
		}
	}
	if w.Kind == Fillet && given["leg"] == given["throat"] {
		both := []string{"leg", "throat"}
		if !given["leg"] {
			s.exactly(nil, both)
			return
		}
		s.exactly(both, both)
	}
}

// groove checks the measures of a groove against each other.
func (s spot) groove(w *Weld) {
	s.in("gap").notBelow(w.Gap)
	s.in("root_face").notBelow(w.RootFace)
	if w.Depth != nil && w.RootFace > *w.Depth {
		s.in("root_face").fault(fmt.Sprintf("%s are left square of a depth of %s", w.RootFace, *w.Depth), "leave less than the depth")
	}
	widest := map[string]int{BevelGroove: 60, VGroove: 120}[w.Kind]
	if widest > 0 && w.Angle != 0 && (w.Angle < 1 || w.Angle > widest) {
		s.in("angle").fault(fmt.Sprintf("a %s is not opened to %d degrees", w.Kind, w.Angle), fmt.Sprintf("write 1 to %d", widest))
	}
	if w.Kind == SquareGroove && w.Gap == 0 {
		s.fault("a square groove without a gap takes no filler", "write its gap, or weld it as a bevel or V groove")
	}
}

// splice checks whether and how a piece may be spliced.
func (r *productReading) splice(s spot, p *SteelPart) {
	if p.Splice == nil {
		return
	}
	splice := p.Splice
	s = s.in("splice").at(splice.Pos)
	if p.Straight == nil && p.Mitred == nil {
		s.fault("only a straight or mitred piece is spliced", "leave it out")
	}
	if most := s.in("most"); !most.unread() && (splice.Most < 1 || splice.Most > 9) {
		most.fault(fmt.Sprintf("a piece is not spliced %d times", splice.Most), "write 1 to 9")
	}
	s.in("from_ends").notBelow(splice.FromEnds)
	s.in("preparation").notBelow(splice.Preparation)
	for i := range splice.At {
		r.lengths(s.in("at"), namedExpr{fmt.Sprint(i + 1), &splice.At[i]})
	}
	r.lengths(s, namedExpr{"length", splice.Length})
	if r.weld(s.in("weld"), &splice.Weld) == Plug {
		s.in("weld").in("kind").fault("a plug does not join two ends", "weld them by a groove, or by a fillet round a sleeve")
	}
}
