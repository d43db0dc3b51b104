package catalog

import (
	"fmt"
	"slices"
	"strings"

	"billwright/catalog/formula"
	"billwright/catalog/source"
)

// deepest is how many parts may stand inside one another.
const deepest = 8

// branch is where in the tree of parts the reading stands.
type branch struct {
	s      spot
	path   string
	depth  int
	whens  []*Expr // conditions of this part and those around it
	finish string  // path of the group around it that is finished as one
}

func (r *productReading) partTree() {
	if r.p.Parts.Len() == 0 {
		r.s.in("parts").fault("the product has no parts", "write at least one")
	}
	r.branches(branch{s: r.s}, r.p.Parts)
	// Hardware may name a wood part that stands further down.
	for path, part := range r.parts {
		r.fastener(path, part)
	}
}

func (r *productReading) branches(above branch, parts source.Map[*Part]) {
	entries(above.s.in("parts"), parts, func(s spot, code string, p *Part) {
		b := above
		b.s, b.depth = s.at(p.Pos), above.depth+1
		b.path = strings.TrimPrefix(above.path+"/"+code, "/")
		s.code("part", code)
		p.Path = b.path
		r.parts[b.path] = p
		if b.depth > deepest {
			s.fault(fmt.Sprintf("the part stands %d deep", b.depth), fmt.Sprintf("parts may stand at most %d deep", deepest))
			return
		}
		r.part(b, p)
	})
}

func (r *productReading) part(b branch, p *Part) {
	b.s.in("lift").lifted(p.Lift)
	given := []string{}
	for _, one := range []struct {
		name string
		is   bool
	}{
		{"parts", p.Parts.Len() > 0}, {"steel", p.Steel != nil}, {"wood", p.Wood != nil},
		{"leaf", p.Leaf != nil}, {"glass", p.Glass != nil}, {"stone", p.Stone != nil}, {"cushion", p.Cushion != nil}, {"hardware", p.Hardware != nil},
	} {
		if one.is {
			given = append(given, one.name)
		}
	}
	if len(given) != 1 {
		b.s.exactly(given, []string{"parts", "steel", "wood", "leaf", "glass", "stone", "cushion", "hardware"})
	}
	if r.known.compile(b.s.in("when"), p.When, formula.Bool) {
		b.whens = append(b.whens[:len(b.whens):len(b.whens)], p.When)
	}
	r.pieces(b.s.in("pieces"), p.Pieces)
	r.match(&b, p)
	r.group(&b, p)
	r.material(b, p)
	r.branches(b, p.Parts)
	r.joints(b, p)
}

// group checks what only a group may have.
func (r *productReading) group(b *branch, p *Part) {
	if p.Parts.Len() == 0 {
		if p.MetalFinish != nil {
			b.s.in("metal_finish").fault("only a group is finished as one", "put the part in a group and write the finish there")
		}
		if p.Welded {
			b.s.in("welded").fault("only a group is welded together", "write it on the group")
		}
		return
	}
	if p.MetalFinish == nil {
		return
	}
	s := b.s.in("metal_finish")
	if b.finish != "" {
		s.fault(fmt.Sprintf("%s around it is finished as one already", b.finish), "leave one of the two out")
	}
	b.finish = p.Path
	if r.known.compile(s, p.MetalFinish, formula.Text) {
		r.finishUses("metal_finishes", r.made(s, *b, p, p.MetalFinish, "metal_finishes"))
	}
}

// material checks what the part is made of.
func (r *productReading) material(b branch, p *Part) {
	if p.Steel != nil {
		r.use("steel")
		b.s = b.s.in("steel").at(p.Steel.Pos)
		r.steel(b, p)
	}
	if p.Wood != nil {
		b.s = b.s.in("wood").at(p.Wood.Pos)
		r.wood(b, p)
	}
	if p.Leaf != nil {
		b.s = b.s.in("leaf").at(p.Leaf.Pos)
		r.leaf(b, p)
	}
	if p.Stone != nil {
		r.use("stone")
		b.s = b.s.in("stone").at(p.Stone.Pos)
		r.stone(b, p)
	}
	if p.Glass != nil {
		r.use("glass")
		b.s = b.s.in("glass").at(p.Glass.Pos)
		r.glass(b, p)
	}
	if p.Cushion != nil {
		r.use("foam")
		b.s = b.s.in("cushion").at(p.Cushion.Pos)
		r.cushion(b, p)
	}
	if p.Hardware != nil {
		r.use("hardware")
		b.s.in("hardware").at(p.Hardware.Pos).in("item").from("hardware", p.Hardware.Item)
		r.fixedTo(b, p, "hardware", p.Hardware.Item)
	}
}

// lengths compiles formulas of lengths, and faults those that come to nothing
// or less whatever is picked.
func (r *productReading) lengths(s spot, list ...namedExpr) {
	for _, one := range list {
		s := s.in(one.name)
		if !r.known.compile(s, one.expr, formula.Length) {
			continue
		}
		if value, fixed := r.fixed(one.expr); fixed && value.Length() <= 0 {
			s.at(one.expr.Pos).fault(fmt.Sprintf("the formula comes to %s whatever is picked", value), "a length is more than zero")
		}
	}
}

// pieces compiles a number of pieces, and faults one that is not a whole
// number whatever is picked.
func (r *productReading) pieces(s spot, e *Expr) {
	if !r.known.compile(s, e, formula.Number) {
		return
	}
	if value, fixed := r.fixed(e); fixed && (value.Number().Den() != 1 || value.Number().Sign() < 0) {
		s.at(e.Pos).fault(fmt.Sprintf("the formula comes to %s pieces whatever is picked", value), "pieces are a whole number; round it by ceil() or floor()")
	}
}

// fixed gives the value of a formula that hangs on nothing that is picked.
func (r *productReading) fixed(e *Expr) (formula.Value, bool) {
	if len(r.reads(e.compiled)) > 0 {
		return formula.Value{}, false
	}
	env := slices.Clone(r.scope.template)
	for _, f := range r.scope.figures {
		if value, err := f.formula.Eval(env); err == nil {
			env[f.slot] = value
		}
	}
	value, err := e.Eval(env)
	return value, err == nil
}

type namedExpr struct {
	name string
	expr *Expr
}

func (r *productReading) wood(b branch, part *Part) {
	s, p := b.s, part.Wood
	r.outline(s, p.Outline())
	r.lengths(s, namedExpr{"thickness", &p.Thickness})
	r.known.compile(s.in("edge"), &p.Edge, formula.Text)
	r.edges(s, p.Outline().Shape, p.Edges)
	r.standing(s, p.Support, p.Tip)
	species := r.known.compile(s.in("species"), &p.Species, formula.Text)
	finish := r.known.compile(s.in("finish"), &p.Finish, formula.Text)
	if species {
		codes := r.made(s.in("species"), b, part, &p.Species, "species")
		r.lumberUses(codes)
		r.sawn(s, b, part, codes)
	}
	if finish {
		r.finishUses("wood_finishes", r.made(s.in("finish"), b, part, &p.Finish, "wood_finishes"))
	}
	if species && finish {
		r.pair(b, p)
	}
}

// fastener checks the wood part that hardware stands under.
func (r *productReading) fastener(path string, p *Part) {
	if p.Hardware == nil {
		return
	}
	s := r.spotOf(path).in("hardware").at(p.Hardware.Pos)
	if p.Hardware.Top == "" {
		if item, found := r.r.cat.Hardware.Get(p.Hardware.Item); found && item.Shank != nil {
			s.fault(fmt.Sprintf("%s sits in a slot, which is sized from the movement of a wood part", p.Hardware.Item), "name that part under \"under\"")
		}
		return
	}
	var woods []string
	for other, part := range r.parts {
		if part.Wood != nil || part.Leaf != nil {
			woods = append(woods, other)
		}
	}
	slices.Sort(woods)
	s.in("under").known("wood part", p.Hardware.Top, woods)
}

// spotOf is the place of a part in the catalog.
func (r *productReading) spotOf(path string) spot {
	s := r.s
	for code := range strings.SplitSeq(path, "/") {
		s = s.in("parts").in(code)
	}
	return s
}
