package paper

import (
	"strings"

	"billwright/bom"
)

// Cautions stand where the work can hurt: those of the bill on the paper of the
// department that has their row, and one of the department's own. All of them
// defer to local codes and licensed practice; none claims conformity to any
// standard. The departments' own are common practice.

const defers = " Follow the shop’s own licensed practice and the local code."

var ownCautions = map[Department][2]string{
	Saw:        {"Before the cut:", "hold long bar at both ends and clamp the offcut side too; cut ends are hot and sharp. Before the fire: eyes, face, hands and feet covered, floor clear and dry, nobody in the swing, no galvanized steel in the fire."},
	Weld:       {"Before the arc:", "screens up and others warned; eyes, skin and breath covered; no coating, oil or galvanizing at the joint; hot work as it is cleared on this paper."},
	Wood:       {"Before the blade:", "guards on, hands behind the push block, dust drawn off at the machine; glue-up clamps hold a load of their own."},
	Finish:     {"Before the gun:", "air moving, nothing that sparks, breath and skin covered as the data sheet says; rags into closed metal."},
	Upholstery: {"Before the knife:", "cut away from the hand that holds; stapler and zip press keep their guards; foam stays away from heat."},
	Assembly:   {"Before the lift:", "two persons or a device where this paper says so; glass is carried upright, by gloved hands, never by one edge."},
	Boxing:     {"Before the box:", "lift with the legs, two persons or a device where the carton says so; straps fly when they are cut."},
	Shipping:   {"Before the truck:", "wheels chocked, dock plate set, nothing stacked higher than its paper says."},
}

// departmentOf is the department that a caution of a line belongs to: the one
// that has the row of its path, or a row below it.
func departmentOf(l *bom.LineBill, path string) Department {
	for _, part := range lineRows(l) {
		if part.path == path {
			return part.department
		}
	}
	for _, part := range lineRows(l) {
		if strings.HasPrefix(part.path, path+"/") {
			return Assembly // a group as a whole
		}
	}
	return Assembly
}

// placed is a row of a line with the department that has it.
type placed struct {
	path       string
	department Department
}

func lineRows(l *bom.LineBill) []placed {
	var rows []placed
	add := func(path string, d Department) { rows = append(rows, placed{path, d}) }
	for i := range l.Steel {
		add(l.Steel[i].Path, Saw)
	}
	for i := range l.Wood {
		add(l.Wood[i].Path, Wood)
	}
	for i := range l.Glass {
		add(l.Glass[i].Path, Assembly)
	}
	for i := range l.Stone {
		add(l.Stone[i].Path, Assembly)
	}
	for i := range l.Finish {
		add(l.Finish[i].Path, Finish)
	}
	for i := range l.Cushions {
		add(l.Cushions[i].Path, Upholstery)
	}
	for i := range l.Cartons {
		add(l.Cartons[i].Path, Boxing)
	}
	return rows
}

// cautions adds those of the bill, the same words once with the rows that they are
// of, and the department's own.
func (b *bench) cautions() {
	at := map[string]int{}
	for i := range b.job.Bill.Lines {
		l := &b.job.Bill.Lines[i]
		for k := range l.Cautions {
			c := &l.Cautions[k]
			if !b.cautioned(l, c) {
				continue
			}
			address := bom.RowAddress(l.Line, c.Path)
			if n, said := at[c.Says]; said {
				lead := &b.sheet.Blocks[n].Lead
				*lead = strings.TrimSuffix(*lead, ":") + ", " + address + ":"
				continue
			}
			at[c.Says] = len(b.sheet.Blocks)
			b.add(Block{Kind: Caution, Lead: "Caution, " + address + ":", Text: c.Says})
		}
	}
	own := ownCautions[b.dept]
	b.add(Block{Kind: Caution, Lead: own[0], Text: own[1] + defers})
}

// cautioned tells whether a caution belongs on the sheet. Hot work is done at the
// fire and at the joint; what tips or reaches out is told where it is assembled.
func (b *bench) cautioned(l *bom.LineBill, c *bom.Caution) bool {
	switch c.Code {
	case "hot-work":
		return b.dept == Saw || b.dept == Weld
	case "tip-load", "overhang":
		return b.dept == Assembly || b.dept == departmentOf(l, c.Path)
	}
	return b.dept == departmentOf(l, c.Path)
}
